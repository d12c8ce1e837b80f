"""Which other channel a cell could use: allowed, tuned, clear of its neighbours, and strong enough."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from survey_app.assess.findings import cure
from survey_app.assess.gather import IntArray
from survey_app.assess.law import chain_gain_db, place_of
from survey_app.assess.record import Cure
from survey_app.assess.rules.view import View
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.rates import at_mcs
from survey_app.spectrum.channels import channels_in_words, middle_mhz
from survey_app.spectrum.choice import other_channels
from survey_app.spectrum.limits import power_limits
from survey_app.spectrum.permission import RuleSet
from survey_app.spectrum.rules import Place, Topology

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


@dataclass(frozen=True)
class _Member:
    """What a radio of a cell asks of a channel: its rules, and what its unit and antenna can do."""

    place: Place
    topology: Topology
    power_control: bool
    tunes: tuple[tuple[float, float], ...]
    widths_mhz: tuple[int, ...] | None
    refuses_radar: bool

    @classmethod
    def of(cls, view: View, radio_id: str) -> _Member:
        radio = view.job.radios[radio_id]
        unit, antenna = view.job.radio_type(radio), view.job.antenna_type(radio)
        return cls(
            place_of(view.job, radio),
            _judged_as(view.radios[radio_id].topology),
            radio.power_mode == "automatic",
            # what is not known is no obstacle
            tuple((kind.tunes_low_mhz, kind.tunes_high_mhz) for kind in (unit, antenna) if kind is not None),
            None if unit is None else unit.widths_mhz,
            unit is not None and unit.radar_certified is False,
        )

    def reaches(self, channel: int, width_mhz: float) -> bool:
        """Return whether unit and antenna reach a whole channel."""
        low, high = middle_mhz(channel) - width_mhz / 2, middle_mhz(channel) + width_mhz / 2
        return not any(low < lowest or highest < high for lowest, highest in self.tunes)

    def rules_on(self, view: View, channel: int, width_mhz: int) -> RuleSet | None:
        """Return the rules that the radio has on a channel, or None where it may not or cannot use it."""
        if not self.reaches(channel, width_mhz):
            return None
        if self.widths_mhz is not None and width_mhz not in self.widths_mhz:
            return None
        found = view.rules_on(self.place, self.topology, channel, width_mhz, power_control=self.power_control)
        return None if found is None or (self.refuses_radar and found.radar_duty) else found


def tunes(view: View, radio_id: str, channel: int, width_mhz: float) -> bool:
    """Return whether unit and antenna of a radio reach a whole channel; what is not known is no obstacle."""
    return _Member.of(view, radio_id).reaches(channel, width_mhz)


def _ranks(view: View, access_point: str, channels: list[int], width_mhz: int) -> dict[int, _Rank]:
    """Return how good each channel is that would do; less is better."""
    members = members_of(view, access_point)
    asking = [_Member.of(view, key) for key in members]
    rules = {channel: _rules(view, asking, channel, width_mhz) for channel in channels}
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


def _rules(view: View, asking: list[_Member], channel: int, width_mhz: int) -> list[RuleSet]:
    """Return the rules for every radio of a cell, or nothing where one of them may not or cannot use the channel."""
    found: list[RuleSet] = []
    for member in asking:
        rules = member.rules_on(view, channel, width_mhz)
        if rules is None:
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
    apart = np.abs(radios.centre_mhz[near] - middle_mhz(channel))
    wanted = _WIDTHS_APART * (radios.width_mhz[near] + width_mhz) / 2.0
    return not bool(np.any(apart < wanted))


@dataclass(frozen=True)
class _Senders:
    """The directions of a cell's hops, shape (directions,): rows of hop and sender, and its place among the radios."""

    hop: IntArray
    sends: IntArray
    member: IntArray
    upward: BoolArray


def _senders(view: View, access_point: str, members: tuple[str, ...]) -> _Senders:
    hops, row = view.numbers.hops, view.numbers.radios.row
    place = {key: n for n, key in enumerate(members)}
    ids = view.cells[access_point].hops if access_point in view.cells else ()
    ends = [(view.job.hops[hop_id].access_point, view.job.hops[hop_id].station) for hop_id in ids]
    senders = [key for pair in ends for key in pair]
    return _Senders(
        np.repeat(np.array([hops.row[hop_id] for hop_id in ids], dtype=np.intp), 2),
        np.array([row[key] for key in senders], dtype=np.intp),
        np.array([place[key] for key in senders], dtype=np.intp),
        np.tile(np.array([False, True]), len(ids)),
    )


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
    too_strong = np.any(found.radios.power_floor_dbm[index] > limits + _SLACK_DB, axis=1)
    margin, wanted = _margins_db(view, _senders(view, access_point, members), limits, channels, width_mhz)
    stops = np.any(margin < job.defaults.thin_margin_db, axis=1)
    thin = np.any(margin < wanted - _SLACK_DB, axis=1)
    spare: list[float] = np.where(too_strong | stops, -1.0, np.where(thin, 0.0, 1.0)).tolist()
    return spare


def _margins_db(
    view: View, senders: _Senders, limits_dbm: FloatArray, channels: list[int], width_mhz: int
) -> tuple[FloatArray, FloatArray]:
    """Return the margin at the needed rate, shape (channels, directions), and what is wanted, shape (directions,)."""
    found, hop, upward = view.numbers, senders.hop, senders.upward
    if not len(hop):
        return np.zeros((len(channels), 0)), np.zeros(0)
    needed = found.needed[hop]
    rates = found.rates
    power = at_mcs(np.where(upward[:, np.newaxis], rates.power_s_dbm[hop], rates.power_a_dbm[hop]), needed)
    sensitivity = at_mcs(
        np.where(upward[:, np.newaxis], rates.sensitivity_a_dbm[hop], rates.sensitivity_s_dbm[hop]), needed
    )
    allowed = np.fmin(found.radios.ceiling_dbm[senders.sends], limits_dbm[:, senders.member])
    sent = np.where(np.isnan(power), np.nan, np.fmin(power, allowed))
    wider = 10.0 * np.log10(width_mhz / found.hops.width_mhz[hop])
    centres = np.array([middle_mhz(channel) for channel in channels])
    gain = _path_gain_db(view, hop, centres)
    margin = sent + gain - sensitivity - wider - view.job.defaults.interference_rise_db
    return np.asarray(margin), np.asarray(found.hops.wanted_margin_db[hop])


def _path_gain_db(view: View, hop: IntArray, centres_mhz: FloatArray) -> FloatArray:
    """Return path gains on other channels, shape (channels, hops); with both peak gains where none is known yet."""
    found = view.numbers
    there = free_space_loss_db(found.where.distance_m[hop], centres_mhz[:, np.newaxis])
    now = found.path.path_gain_db[hop]
    ends = np.array([found.hops.access_point[hop], found.hops.station[hop]])
    peaks = np.sum(found.radios.gain_dbi[ends] - found.radios.feeder_loss_db[ends], axis=0)
    known = now + found.path.free_space_loss_db[hop]
    return np.asarray(np.where(np.isfinite(now), known, peaks - found.path.polarisation_loss_db[hop]) - there)
