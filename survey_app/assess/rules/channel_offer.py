"""Which other channel a cell could use: allowed, tuned, clear of its neighbours, and strong enough."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from survey_app.assess.findings import cure
from survey_app.assess.law import chain_gain_db, place_of
from survey_app.assess.record import Cure
from survey_app.assess.rules.view import View
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.rates import at_mcs
from survey_app.spectrum.channels import centre_mhz, channels_in_words
from survey_app.spectrum.choice import other_channels
from survey_app.spectrum.limits import power_limits
from survey_app.spectrum.permission import RuleSet
from survey_app.spectrum.rules import Topology

__all__ = ["channel_cures", "members_of", "tunes"]

_WIDTHS_APART = 3.0
_SLACK_DB = 0.05

_PLACE_IN_RANK = {"licence": 1, "radar": 3}
_Rank = tuple[bool, bool, bool, bool, bool, int, int]


def members_of(view: View, access_point: str) -> tuple[str, ...]:
    """Return the radios of a cell, the access point first."""
    cell = view.cells.get(access_point)
    return (access_point, *cell.stations) if cell is not None else (access_point,)


def channel_cures(
    view: View, access_point: str, width_mhz: int | None = None, *, without: Literal["radar", "licence"] | None = None
) -> tuple[Cure, ...]:
    """Return the edit that puts a cell on the best other channel, or nothing where none would do.

    Parameters
    ----------
    view : View
        What is known.
    access_point : str
        The cell.
    width_mhz : int or None
        Another width to change to at once; None keeps the cell's own. [MHz]
    without : {"radar", "licence"} or None
        Leave out channels with a radar duty, or that want a registration or licence.

    Notes
    -----
    A channel would do where the rules permit every radio of the cell, every unit tunes it and may use it, no near radio
    of another cell is within three widths of it, and the margin at the needed rate still is no reason to stop. The
    wanted margin, no licence, no radar duty and no other cell's channel are preferred, then the nearest channel.
    """
    row = view.radios[access_point]
    region = view.numbers.law.region
    if region is None:
        return ()
    width = width_mhz or int(row.width_mhz)
    radio = view.job.radios[access_point]
    allowed = other_channels(
        region, place_of(view.job, radio), _judged_as(row.topology), width, radio.power_mode == "automatic"
    )
    ranks = _ranks(view, access_point, [n for n in allowed if (n, width) != (row.channel, row.width_mhz)], width)
    if without is not None:
        ranks = {channel: rank for channel, rank in ranks.items() if not rank[_PLACE_IN_RANK[without]]}
    if not ranks:
        return ()
    best = min(ranks, key=lambda channel: ranks[channel])
    others = [channel for channel in sorted(ranks) if channel != best]
    more = f" ({channels_in_words(others, width)} would do too)" if others else ""
    if width_mhz is None:
        text = f"Put {access_point} on channel {best}{more}."
        return (cure(text, "set_channel", radio_id=access_point, channel=best),)
    text = f"Put {access_point} on channel {best} at {width} MHz{more}."
    return (cure(text, "set_channel", radio_id=access_point, channel=best, width_mhz=width),)


def _judged_as(topology: str) -> Topology:
    """Return the topology whose channels are offered: one that is not in a cell yet counts as a hub."""
    if topology == "point_to_point":
        return "point_to_point"
    return "client" if topology == "client" else "multipoint_hub"


def tunes(view: View, radio_id: str, channel: int, width_mhz: float) -> bool:
    """Return whether unit and antenna of a radio reach a whole channel; what is not known is no obstacle."""
    radio = view.job.radios[radio_id]
    low, high = float(centre_mhz(channel)) - width_mhz / 2, float(centre_mhz(channel)) + width_mhz / 2
    kinds = (view.job.radio_type(radio), view.job.antenna_type(radio))
    return math.isnan(low) or all(
        kind is None or (kind.tunes_low_mhz <= low and high <= kind.tunes_high_mhz) for kind in kinds
    )


def _ranks(view: View, access_point: str, channels: list[int], width_mhz: int) -> dict[int, _Rank]:
    """Return how good each channel is that would do; less is better."""
    members = members_of(view, access_point)
    rules = {channel: _rules(view, members, channel, width_mhz) for channel in channels}
    fitting = [channel for channel, sets in rules.items() if sets and _clear(view, members, channel, width_mhz)]
    spare = _spare_db(view, access_point, members, fitting, width_mhz, rules)
    here = view.radios[access_point].channel or 0
    elsewhere = {channel for cell, channel in view.channels.items() if cell != access_point}
    found = view.job.radio_type(view.job.radios[access_point])
    noted = found is not None and found.radar_certified is True
    ranks: dict[int, _Rank] = {}
    for channel, least in zip(fitting, spare, strict=True):
        if least < 0.0:
            continue
        radar = any(one.radar_duty for one in rules[channel])
        ranks[channel] = (
            bool(least < 1.0),
            any(one.needs_licence for one in rules[channel]),
            radar and not noted,
            radar,
            channel in elsewhere,
            abs(channel - here),
            channel,
        )
    return ranks


def _rules(view: View, members: tuple[str, ...], channel: int, width_mhz: int) -> list[RuleSet]:
    """Return the rules for every radio of a cell, or nothing where one of them may not or cannot use the channel."""
    found: list[RuleSet] = []
    for key in members:
        radio, kind = view.job.radios[key], view.job.radio_type(view.job.radios[key])
        rules = view.rules_on(
            place_of(view.job, radio),
            _judged_as(view.radios[key].topology),
            channel,
            width_mhz,
            power_control=radio.power_mode == "automatic",
        )
        if rules is None or not tunes(view, key, channel, width_mhz):
            return []
        if kind is not None and (
            width_mhz not in kind.widths_mhz or (rules.radar_duty and kind.radar_certified is False)
        ):
            return []
        found.append(rules)
    return found


def _clear(view: View, members: tuple[str, ...], channel: int, width_mhz: int) -> bool:
    """Return whether no near radio of another cell is within three widths of a channel."""
    radios = view.numbers.radios
    own = {radios.row[key] for key in members}
    near = sorted({other for row in own for other in view.neighbours.get(row, ())} - own)
    if not near:
        return True
    apart = np.abs(radios.centre_mhz[near] - float(centre_mhz(channel)))
    wanted = _WIDTHS_APART * (radios.width_mhz[near] + width_mhz) / 2.0
    return not bool(np.any(apart < wanted))


@dataclass(frozen=True)
class _Sender:
    """One direction of a hop: rows of hop, sender and receiver, and the sender's place among the cell's radios."""

    hop: int
    sends: int
    hears: int
    member: int


def _senders(view: View, access_point: str, members: tuple[str, ...]) -> list[_Sender]:
    hops, row = view.numbers.hops, view.numbers.radios.row
    place = {key: n for n, key in enumerate(members)}
    rows = []
    for hop_id in view.cells[access_point].hops if access_point in view.cells else ():
        hop = view.job.hops[hop_id]
        a, s = hop.access_point, hop.station
        rows.append(_Sender(hops.row[hop_id], row[a], row[s], place[a]))
        rows.append(_Sender(hops.row[hop_id], row[s], row[a], place[s]))
    return rows


def _spare_db(
    view: View,
    access_point: str,
    members: tuple[str, ...],
    channels: list[int],
    width_mhz: int,
    rules: dict[int, list[RuleSet]],
) -> list[float]:
    """Say of each channel whether the cell keeps its margins at full legal power there.

    1 or more where the wanted margin is kept, 0 where it is thinner but no reason to stop, -1 where it is, or where a
    unit cannot send as little as the rules allow.
    """
    if not channels:
        return []
    found, job = view.numbers, view.job
    index = np.array([found.radios.row[key] for key in members], dtype=np.intp)
    gains = [chain_gain_db(job, job.radios[key], found.law.region) for key in members]
    limits = power_limits(
        [one for channel in channels for one in rules[channel]],
        np.tile(found.radios.gain_dbi[index], len(channels)),
        np.tile(found.radios.feeder_loss_db[index], len(channels)),
        np.tile(gains, len(channels)),
    ).limit_conducted_dbm.reshape(len(channels), len(members))
    senders = _senders(view, access_point, members)
    return [
        _kept(view, senders, limits[n], float(centre_mhz(channel)), width_mhz, index)
        for n, channel in enumerate(channels)
    ]


def _kept(
    view: View,
    senders: list[_Sender],
    limit_dbm: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    centre: float,
    width_mhz: int,
    index: np.ndarray[tuple[int, ...], np.dtype[np.intp]],
) -> float:
    found, defaults = view.numbers, view.job.defaults
    if np.any(found.radios.power_floor_dbm[index] > limit_dbm + _SLACK_DB):
        return -1.0
    kept = 1.0
    for one in senders:
        needed = found.needed[one.hop]
        upward = one.sends == found.hops.station[one.hop]
        table, sensitivity = (
            (found.rates.power_s_dbm, found.rates.sensitivity_a_dbm)
            if upward
            else (found.rates.power_a_dbm, found.rates.sensitivity_s_dbm)
        )
        at_needed = float(at_mcs(table[one.hop], needed)), float(at_mcs(sensitivity[one.hop], needed))
        sent = min(at_needed[0], float(found.radios.ceiling_dbm[one.sends]), float(limit_dbm[one.member]))
        wider = 10.0 * float(np.log10(width_mhz / found.hops.width_mhz[one.hop]))
        margin = sent + _path_gain_db(view, one.hop, centre) - at_needed[1] - wider - defaults.interference_rise_db
        if margin < defaults.thin_margin_db:
            return -1.0
        if margin < found.hops.wanted_margin_db[one.hop] - _SLACK_DB:
            kept = 0.0
    return kept


def _path_gain_db(view: View, hop: int, centre: float) -> float:
    """Return a hop's path gain on another channel; with both peak gains where its own is not known yet."""
    found = view.numbers
    there = float(free_space_loss_db(found.where.distance_m[hop], centre))
    now = float(found.path.path_gain_db[hop])
    if np.isfinite(now):
        return now + float(found.path.free_space_loss_db[hop]) - there
    a, s = found.hops.access_point[hop], found.hops.station[hop]
    ends = found.radios.gain_dbi[[a, s]] - found.radios.feeder_loss_db[[a, s]]
    return float(np.sum(ends)) - there - float(found.path.polarisation_loss_db[hop])
