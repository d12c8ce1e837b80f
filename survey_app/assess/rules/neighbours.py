"""Radios that hang near each other: on one spot, or so near that one deafens the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.gather import IntArray
from survey_app.assess.numbers import Numbers
from survey_app.assess.record import Cure
from survey_app.assess.rules.channel_offer import channel_cures
from survey_app.assess.rules.view import View
from survey_app.physics.arrays import FloatArray
from survey_app.physics.decibels import sum_dbm

__all__ = ["CODES", "RULES", "deaf_pairs"]

CODES = {
    "one-spot": "Two antennas on one spot",
    "deaf-neighbour": "Radios of one place deafen each other",
}

_ONE_SPOT_M = 0.05
_APART_M = 0.3
_STEP_ASIDE_M = 0.5
_RAW_STOP_DBM = -30.0
_BUSY_DBM = -62.0
_STOP_MARGIN_DB, _WARN_MARGIN_DB = 3.0, 10.0
_LOSS_THAT_COUNTS_DB = 1.0
_SLACK_DB = 0.05


def one_spot(view: View) -> Iterator[Draft]:
    """Two radios at the same point."""
    pairs = view.near_pairs
    ids = view.numbers.radios.ids
    for k in np.flatnonzero(pairs.apart_m < _ONE_SPOT_M):
        first, second = ids[pairs.a[k]], ids[pairs.b[k]]
        yield Draft(
            code="one-spot",
            severity="stop",
            subject=second,
            second_subject=first,
            message=f"It hangs on the same spot as {first}: two radios need two places, {_APART_M:g} m apart at least.",
            source="PRACTICE",
            value=float(pairs.apart_m[k]),
            limit=_APART_M,
            unit="m",
            radio=second,
            place=view.at_radio(second),
            cures=_aside(view, second, first),
        )


def _aside(view: View, one: str, other: str) -> tuple[Cure, ...]:
    """Move the mount of one of them along its structure; of two radios on one mount, one needs another mount."""
    mounts = view.job.mounts[view.radios[one].mount], view.job.mounts[view.radios[other].mount]
    if mounts[0].id == mounts[1].id:
        return (work_on_site(f"Draw another mount {_STEP_ASIDE_M:g} m from this one, and hang {one} there."),)
    mount = mounts[0]
    room = view.mounts[mount.id].below_top_m
    up = room is None or room > _STEP_ASIDE_M
    height = mount.height_m + (_STEP_ASIDE_M if up else -_STEP_ASIDE_M)
    text = f"Move {mount.id} {_STEP_ASIDE_M:g} m {'up' if up else 'down'}."
    return (cure(text, "set_height", thing_id=mount.id, height_m=round(height, 3)),)


@dataclass(frozen=True)
class _Leaks:
    """What each near pair of radios of different cells does to each other, both ways, shape (leaks,).

    Attributes
    ----------
    hears, sends : ndarray of int
        Rows of the radios.
    apart_m, raw_dbm, leak_dbm : ndarray of float
        Distance; level at the input; what the filter lets through. [m, dBm]
    lost_db, left_db : ndarray of float
        Margin that the leak takes, and margin left at the needed rate, at the powers that noise alone asks for. [dB]
    answered_db : ndarray of float
        What automatic power of the far end is raised by. [dB]
    at_rest_db : ndarray of float
        Margin left once automatic power has settled. [dB]
    """

    hears: IntArray
    sends: IntArray
    apart_m: FloatArray
    raw_dbm: FloatArray
    leak_dbm: FloatArray
    lost_db: FloatArray
    left_db: FloatArray
    answered_db: FloatArray
    at_rest_db: FloatArray


def _pairs_of_cells(view: View) -> tuple[IntArray, IntArray, FloatArray]:
    """Return the near pairs of one structure that belong to different cells."""
    pairs, rows = view.near_pairs, list(view.radios.values())
    cells = np.array([row.cell or "" for row in rows], dtype=np.str_)
    structures = np.array([view.mounts[row.mount].structure for row in rows], dtype=np.str_)
    a, b = pairs.a, pairs.b
    keep = (cells[a] != cells[b]) & (structures[a] == structures[b]) & (pairs.apart_m >= _ONE_SPOT_M)
    return a[keep], b[keep], pairs.apart_m[keep]


def _leaks(view: View) -> _Leaks:
    a, b, apart = _pairs_of_cells(view)
    hears, sends, apart = np.concatenate([a, b]), np.concatenate([b, a]), np.tile(apart, 2)
    rest, quiet = view.numbers.powers.service_dbm, view.quiet.powers.service_dbm
    raised = rest - quiet
    raw = view.interference.levels_dbm[hears, sends] - raised[sends]
    at_rest = view.interference.in_channel_dbm[hears, sends]
    leak = at_rest - raised[sends]
    noise, margin = _noise_and_margin(view.quiet)
    floor = noise[hears] + view.job.defaults.interference_rise_db
    lost = _lost_db(floor, leak)
    raised_margin = _noise_and_margin(view.numbers)[1]
    return _Leaks(
        hears,
        sends,
        apart,
        raw,
        leak,
        lost,
        margin[hears] - lost,
        raised_margin[hears] - margin[hears],
        raised_margin[hears] - _lost_db(floor, at_rest),
    )


def _lost_db(floor_dbm: FloatArray, leak_dbm: FloatArray) -> FloatArray:
    return np.where(np.isfinite(leak_dbm), sum_dbm(floor_dbm, leak_dbm) - floor_dbm, np.nan)


def _noise_and_margin(found: Numbers) -> tuple[FloatArray, FloatArray]:
    """Return noise and smallest margin at the needed rate into each radio, infinite for one without a hop."""
    count = len(found.radios.ids)
    noise, margin = np.full(count, np.inf), np.full(count, np.inf)
    for receiver, way in ((found.hops.access_point, found.up), (found.hops.station, found.down)):
        np.fmin.at(noise, receiver, way.noise_dbm)
        np.fmin.at(margin, receiver, way.margin_needed_db)
    return np.where(np.isinf(noise), np.nan, noise), np.where(np.isinf(margin), np.nan, margin)


def deaf_pairs(view: View) -> tuple[tuple[int, int], ...]:
    """Return the rows of every two radios of which `deaf_neighbour` tells."""
    return tuple(pair for pair, _, _ in _deaf(view, _leaks(view)))


def _deaf(view: View, leaks: _Leaks) -> list[tuple[tuple[int, int], int, bool]]:
    """Return each pair of radios, the way round that is worse, and whether it is a reason to stop."""
    counts = leaks.lost_db >= _LOSS_THAT_COUNTS_DB
    short = leaks.at_rest_db < np.minimum(_WARN_MARGIN_DB, _wanted_db(view)[leaks.hears]) - _SLACK_DB
    deaf = (leaks.left_db < _STOP_MARGIN_DB) & counts
    stop = (deaf & short) | (leaks.raw_dbm > _RAW_STOP_DBM) | (leaks.leak_dbm > _BUSY_DBM)
    warn = deaf | (short & counts)
    # one finding a pair: the way round that is worse
    worst: dict[tuple[int, int], int] = {}
    for k in np.flatnonzero((stop | warn) & np.isfinite(leaks.left_db)).tolist():
        pair = (int(min(leaks.hears[k], leaks.sends[k])), int(max(leaks.hears[k], leaks.sends[k])))
        held = worst.get(pair)
        if held is None or (not stop[k], leaks.left_db[k]) < (not stop[held], leaks.left_db[held]):
            worst[pair] = k
    return [(pair, k, bool(stop[k])) for pair, k in sorted(worst.items())]


def deaf_neighbour(view: View) -> Iterator[Draft]:
    """The leak of a radio on the same structure, judged by the margin that it leaves at the needed rate.

    What noise alone makes the far end send counts: a design whose radios outshout each other is not sound. Where
    automatic power restores the wanted margin all the same, it is a grade less.
    """
    leaks = _leaks(view)
    ids = view.numbers.radios.ids
    for (first, second), k, stop in _deaf(view, leaks):
        hears, sends = ids[leaks.hears[k]], ids[leaks.sends[k]]
        yield Draft(
            code="deaf-neighbour",
            severity="stop" if stop else "warn",
            subject=ids[first],
            second_subject=ids[second],
            message=(
                f"{hears} hears {sends}, {leaks.apart_m[k]:.1f} m away, at {leaks.raw_dbm[k]:.0f} dBm and "
                f"{leaks.leak_dbm[k]:.0f} dBm in its channel: {leaks.left_db[k]:.1f} dB of margin are left."
                f"{_answer(leaks, k)}"
            ),
            source="IEEE80211",
            value=float(leaks.left_db[k]),
            limit=_STOP_MARGIN_DB if stop else _WARN_MARGIN_DB,
            unit="dB",
            radio=hears,
            place=view.at_radio(hears),
            cures=_apart_cures(view, sends, hears),
        )


def _answer(leaks: _Leaks, k: int) -> str:
    """Say what automatic power does about it, where it does something."""
    if not leaks.answered_db[k] > 0.0:
        return ""
    return f" Automatic power answers with {leaks.answered_db[k]:.0f} dB, then {leaks.at_rest_db[k]:.1f} dB are left."


def _wanted_db(view: View) -> FloatArray:
    found = view.numbers
    wanted = np.full(len(found.radios.ids), np.inf)
    np.minimum.at(wanted, found.hops.access_point, found.hops.wanted_margin_db)
    np.minimum.at(wanted, found.hops.station, found.hops.wanted_margin_db)
    return wanted


def _apart_cures(view: View, sends: str, hears: str) -> tuple[Cure, ...]:
    """Offer another channel for either cell; it is at least three widths from the other."""
    cures: list[Cure] = []
    for key in (sends, hears):
        owner = view.radios[key].cell
        cures += channel_cures(view, owner) if owner is not None else ()
    return (*cures, work_on_site("Move one of them 1 m up and to the other side, three widths away in channel."))


RULES = (one_spot, deaf_neighbour)
