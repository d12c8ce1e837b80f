"""Cells of one site on frequencies that overlap, near enough that one takes the margin of the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from survey_app.assess.findings import Draft
from survey_app.assess.gather import IntArray
from survey_app.assess.interference import Left
from survey_app.assess.rules.channel_offer import channel_cures
from survey_app.assess.rules.neighbours import deaf_pairs
from survey_app.assess.rules.view import View
from survey_app.physics.decibels import sum_dbm
from survey_app.spectrum.channels import overlap_fraction

__all__ = ["CODES", "RULES"]

CODES = {"same-channel-heard": "Another cell on the same channel takes the margin"}

_LOSS_THAT_COUNTS_DB = 1.0
_SLACK_DB = 0.05


@dataclass(frozen=True)
class _Hurt:
    """One direction that hears another cell, and what that leaves of it."""

    hop: str
    hears: int
    sends: int
    level_dbm: float
    sinr_db: float
    left_db: float
    wanted_db: float


def same_channel_heard(view: View) -> Iterator[Draft]:
    """The worst direction between every two cells whose channels overlap, where less than the wanted margin is left."""
    found, between = view.numbers, view.interference
    ids, cells = found.radios.ids, tuple(view.job.cells)
    worst: dict[tuple[int, int], _Hurt] = {}
    told = _told(view)
    ways = (
        (found.hops.access_point, found.up.noise_dbm, found.up.margin_needed_db, between.up),
        (found.hops.station, found.down.noise_dbm, found.down.margin_needed_db, between.down),
    )
    for hears, noise, margin, left in ways:
        for one in _hurt(view, hears, noise, margin, left):
            pair = int(between.cell[one.hears]), int(between.cell[one.sends])
            key = (min(pair), max(pair))
            if key not in worst or one.left_db < worst[key].left_db:
                worst[key] = one
    for (first, second), one in sorted(worst.items()):
        if (first, second) in told:
            continue
        yield Draft(
            code="same-channel-heard",
            severity="warn",
            subject=cells[first],
            second_subject=cells[second],
            message=(
                f"Their channels overlap, and {ids[one.hears]} hears {ids[one.sends]} of the other cell at "
                f"{one.level_dbm:.0f} dBm in its channel: {one.sinr_db:.1f} dB over it and the noise, "
                f"{one.left_db:.1f} dB of margin are left."
            ),
            source="PRACTICE",
            value=one.left_db,
            limit=one.wanted_db,
            unit="dB",
            radio=ids[one.hears],
            concerns=(one.hop,),
            place=view.at_radio(ids[one.hears]),
            cures=(*channel_cures(view, cells[first]), *channel_cures(view, cells[second])),
        )


def _told(view: View) -> set[tuple[int, int]]:
    """Return the pairs of cells of which it is said already that radios on one structure deafen each other."""
    cell = view.interference.cell
    return {(int(min(cell[a], cell[b])), int(max(cell[a], cell[b]))) for a, b in deaf_pairs(view)}


def _hurt(view: View, hears: IntArray, noise_dbm: np.ndarray, margin_db: np.ndarray, left: Left) -> Iterator[_Hurt]:
    """Yield the directions that lose what counts, to less than is wanted, to one radio on an overlapping channel."""
    found, between = view.numbers, view.interference
    radios, hops = found.radios, found.hops
    near = view.mounts
    floor = noise_dbm + view.job.defaults.interference_rise_db
    for n in np.flatnonzero((left.worst >= 0) & (left.lost_db >= _LOSS_THAT_COUNTS_DB)).tolist():
        row = int(hears[n])
        level = between.in_channel_dbm[row]
        lost = sum_dbm(np.full(len(level), floor[n]), level) - floor[n]
        share = overlap_fraction(radios.centre_mhz, radios.width_mhz, radios.centre_mhz[row], radios.width_mhz[row])
        other = (between.cell != between.cell[row]) & (between.cell >= 0) & (share > 0.0)
        mine = near[view.radios[radios.ids[row]].mount].structure
        wanted = float(hops.wanted_margin_db[n])
        for sends in np.flatnonzero(other & (lost >= _LOSS_THAT_COUNTS_DB)).tolist():
            # radios of one structure are judged by what they do to each other on any channel
            if near[view.radios[radios.ids[sends]].mount].structure == mine:
                continue
            left_db = float(margin_db[n] - lost[sends])
            if left_db < wanted - _SLACK_DB:
                yield _Hurt(hops.ids[n], row, sends, float(level[sends]), float(left.sinr_db[n]), left_db, wanted)


RULES = (same_channel_heard,)
