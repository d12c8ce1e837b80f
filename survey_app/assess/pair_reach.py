"""How far a pair of units carries a rate under a region's limits, without a site."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UsageError
from survey_app.physics.arrays import FloatArray
from survey_app.physics.free_space import free_space_range_m
from survey_app.physics.pointing import polarisation_mismatch_db
from survey_app.physics.rates import mcs_count, phy_rate_mbps
from survey_app.physics.receiver import sensitivity_at_width_dbm
from survey_app.site.gear_part import Pattern
from survey_app.site.gear_type import RadioType
from survey_app.site.site import Defaults
from survey_app.spectrum.channels import channels_in_words, middle_mhz
from survey_app.spectrum.choice import other_channels, valid_channels
from survey_app.spectrum.limits import correlated_chain_gain_db, power_limits
from survey_app.spectrum.permission import RuleSet, resolve, why_not
from survey_app.spectrum.rules import Place, Region, Topology
from survey_app.spectrum.topology import topology_of

__all__ = ["FIGURES", "PairReach", "RateReach", "TradeFigure", "Unit", "pair_reach", "range_at_margin_m"]

FIGURES: tuple[tuple[str, int], ...] = (("full rate", 7), ("several stations", 4), ("one small stream", 2))
"""The three figures that the trade quotes: their words, and the rate index that each stands for."""

_GUARD_INTERVAL_US = 0.8
_NEAR_M = 1000.0
_WEAKER: tuple[Literal["access_point", "station", "both"], ...] = ("access_point", "station", "both")
_CROSSED = frozenset({"v+h", "slant", "slant+slant", "circular"})


@dataclass(frozen=True, slots=True)
class Unit:
    """One end of the pair: a radio type and what it radiates with.

    Parameters
    ----------
    gear : RadioType
        The unit.
    pattern : Pattern
        Its own antenna, or the one on its connectors.
    """

    gear: RadioType
    pattern: Pattern


@dataclass(frozen=True, slots=True)
class RateReach:
    """One rate and how far it carries.

    Attributes
    ----------
    mcs : int
        Rate index per stream.
    link_rate_mbps, usable_mbps : float
        Rate on the air, and what is left of it one way. [Mbit/s]
    sent_dbm : tuple of float
        Total power of the access point and of the station at this rate, law and unit heeded. [dBm]
    reach_m : float
        Distance at which the wanted margin is just kept in both directions. [m]
    weaker : {"access_point", "station", "both"}
        Whose sending sets the reach.
    """

    mcs: int
    link_rate_mbps: float
    usable_mbps: float
    sent_dbm: tuple[float, float]
    reach_m: float
    weaker: Literal["access_point", "station", "both"]


@dataclass(frozen=True, slots=True)
class TradeFigure:
    """One of the three figures of the trade.

    Attributes
    ----------
    words : str
        What it stands for.
    mcs : int
        Its rate index.
    reach_m, without_limits_m : float
        Under the region's limits, and as far as the units' own power would carry. [m]
    """

    words: str
    mcs: int
    reach_m: float
    without_limits_m: float


@dataclass(frozen=True, slots=True)
class PairReach:
    """How far a pair carries.

    Attributes
    ----------
    region, channel, centre_mhz, width_mhz
        Under which rules and where in the band.
    topologies : tuple of Topology
        As what access point and station are judged.
    conducted_limit_dbm, eirp_limit_dbm : tuple of float
        What the rules leave either end. [dBm]
    limit_sentences : tuple of str
        The rules in words, with their documents.
    efficiency : float
        Throughput over link rate, as the access point's type states it.
    needed_rate_mbps : float
        Link rate for the wanted throughput. [Mbit/s]
    needed_mcs, reach_m : int and float, or None
        Rate index that carries it and its reach; None where no rate does. [m]
    rates : tuple of RateReach
        Every rate that both units have, the slowest first.
    figures : tuple of TradeFigure
        The three figures of the trade, as far as the pair has their rates.
    sentences : tuple of str
        Why the figures are what they are, and what is left out.
    """

    region: str
    channel: int
    centre_mhz: float
    width_mhz: int
    topologies: tuple[Topology, Topology]
    conducted_limit_dbm: tuple[float, float]
    eirp_limit_dbm: tuple[float, float]
    limit_sentences: tuple[str, str]
    efficiency: float
    needed_rate_mbps: float
    needed_mcs: int | None
    reach_m: float | None
    rates: tuple[RateReach, ...]
    figures: tuple[TradeFigure, ...]
    sentences: tuple[str, ...]


def range_at_margin_m(
    level_over_loss_db: ArrayLike, frequency_mhz: float, margin_db: float | None, defaults: Defaults | None = None
) -> FloatArray:
    """Distance in free space at which a margin is just kept.

    Parameters
    ----------
    level_over_loss_db : array_like of float, shape (...)
        Power and both gains over the sensitivity: the loss at which no margin is left. [dB]
    frequency_mhz : float
        Carrier frequency. [MHz]
    margin_db : float or None
        Wanted margin; None = the site's defaults, which want more beyond 1 km. [dB]
    defaults : Defaults or None
        Whose margins count; None = those of a new site.

    Returns
    -------
    ndarray of float, shape (...)
        Distance; NaN where the input is NaN. [m]

    Notes
    -----
    Free space, [P525]_. Between the two default margins lies a gap: a pair that keeps the larger one nowhere beyond
    1 km but the smaller one up to there reaches just 1 km.

    Examples
    --------
    >>> round(float(range_at_margin_m(129.0, 5800.0, 15.0)))
    2061
    """
    level = np.asarray(level_over_loss_db, dtype=np.float64)
    if margin_db is not None:
        return free_space_range_m(level - margin_db, frequency_mhz)
    wanted = defaults if defaults is not None else Defaults()
    near = free_space_range_m(level - wanted.margin_near_db, frequency_mhz)
    far = np.maximum(free_space_range_m(level - wanted.margin_far_db, frequency_mhz), _NEAR_M)
    return np.where(near <= _NEAR_M, near, far)


def pair_reach(
    access_point: Unit,
    station: Unit,
    region: Region,
    *,
    wanted_mbps: float,
    several_stations: bool = False,
    width_mhz: int = 20,
    margin_db: float | None = None,
    rise_db: float | None = None,
    channel: int | None = None,
) -> PairReach:
    """Return how far a pair of units carries a rate.

    Parameters
    ----------
    access_point, station : Unit
        The two ends.
    region : Region
        Radio rules.
    wanted_mbps : float
        Throughput wanted one way, > 0. [Mbit/s]
    several_stations : bool, default False
        The access point serves further stations too, which changes its rule and its efficiency.
    width_mhz : int, default 20
        Channel width. [MHz]
    margin_db, rise_db : float or None
        Wanted margin, and planned rise of the noise by neighbours; None = the defaults of a new site. [dB]
    channel : int or None
        Channel; None = the one that carries farthest.

    Raises
    ------
    UsageError
        The rate is not positive, a unit has no such width or channel, or no rule permits the pair.

    Examples
    --------
    >>> from survey_app.gear import load_catalogue
    >>> from survey_app.spectrum import load_regions
    >>> panel = load_catalogue().find("bowline-p18")
    >>> unit = Unit(panel, panel.pattern)
    >>> found = pair_reach(unit, unit, load_regions().find("US"), wanted_mbps=10.0, margin_db=15.0, channel=161)
    >>> found.needed_mcs, round(found.reach_m, -3)
    (1, 18000.0)
    """
    if not (math.isfinite(wanted_mbps) and wanted_mbps > 0.0):
        raise UsageError(f"{wanted_mbps:g} Mbit/s cannot be carried", remedy="ask for more than 0")
    for name, value in (("margin", margin_db), ("rise of the noise", rise_db)):
        if value is not None and not 0.0 <= value <= 60.0:
            raise UsageError(f"a {name} of {value:g} dB is out of range", remedy="give 0 to 60")
    pair = _Pair(access_point, station, region, several_stations, width_mhz)
    budget = _Budget(pair, margin_db, Defaults().interference_rise_db if rise_db is None else rise_db)
    options = [_option(pair, number) for number in ([channel] if channel is not None else _channels(pair))]
    efficiency = _efficiency(access_point.gear, several=several_stations)
    needed = wanted_mbps / efficiency
    enough = np.flatnonzero(budget.rate_mbps >= needed)
    index = int(enough[0]) if enough.size else None
    # where no rate is enough the fastest decides which channel is shown
    judged = index if index is not None else int(np.flatnonzero(~np.isnan(budget.rate_mbps))[-1])
    best = max(options, key=lambda option: (budget.reach_m(option)[0][judged], -option.channel))
    return _answer(pair, budget, best, efficiency=efficiency, needed=needed, index=index)


@dataclass(frozen=True, slots=True)
class _Pair:
    """What was asked for, both ends in order: access point, station."""

    access_point: Unit
    station: Unit
    region: Region
    several: bool
    width_mhz: int

    @property
    def units(self) -> tuple[Unit, Unit]:
        return self.access_point, self.station

    @property
    def place(self) -> Place:
        """Both ends hang outdoors unless both units are for indoors only."""
        return "indoor" if all(unit.gear.indoor for unit in self.units) else "outdoor"

    @property
    def topologies(self) -> tuple[Topology, Topology]:
        count = 2 if self.several else 1
        omni = self.access_point.pattern.model == "omni"
        return (
            topology_of("access_point", count, omnidirectional=omni),
            topology_of("station", count, omnidirectional=omni),
        )


@dataclass(frozen=True, slots=True)
class _Option:
    """One channel with what its rules leave either end."""

    channel: int
    centre_mhz: float
    rules: tuple[RuleSet, RuleSet]
    conducted_dbm: tuple[float, float]
    eirp_dbm: tuple[float, float]


def _option(pair: _Pair, channel: int) -> _Option:
    centre = middle_mhz(channel)
    rules: list[RuleSet] = []
    for unit, topology in zip(pair.units, pair.topologies, strict=True):
        _tunes(unit.gear, channel, centre, pair.width_mhz)
        found = resolve(pair.region, pair.place, topology, centre, pair.width_mhz, True)
        if found is None:
            refusal = why_not(pair.region, pair.place, topology, centre, pair.width_mhz, True)
            others = channels_in_words(other_channels(pair.region, pair.place, topology, pair.width_mhz))
            why = refusal.sentence.rstrip(".") if refusal is not None else "no rule permits it"
            raise UsageError(f"channel {channel}: {why}", remedy=f"channels {others} serve" if others else None)
        rules.append(found)
    limits = power_limits(
        rules,
        [unit.pattern.gain_dbi for unit in pair.units],
        chain_gain_db=[_chain_gain_db(unit, pair.region) for unit in pair.units],
    )
    conducted, eirp = limits.limit_conducted_dbm, limits.limit_eirp_dbm
    return _Option(
        channel,
        centre,
        (rules[0], rules[1]),
        (float(conducted[0]), float(conducted[1])),
        (float(eirp[0]), float(eirp[1])),
    )


def _channels(pair: _Pair) -> list[int]:
    """Return the channels that the rules permit both ends and both units tune."""
    offered = [set(valid_channels(pair.region, pair.place, use, pair.width_mhz)) for use in pair.topologies]
    numbers = [n for n in sorted(offered[0] & offered[1]) if all(_can_tune(unit.gear, n, pair) for unit in pair.units)]
    if not numbers:
        raise UsageError(
            f"{pair.region.region} permits no channel of {pair.width_mhz} MHz {pair.place}s that both units tune",
            remedy="ask for another width or another unit",
        )
    return numbers


def _can_tune(gear: RadioType, channel: int, pair: _Pair) -> bool:
    centre, half = middle_mhz(channel), pair.width_mhz / 2
    return gear.tunes_low_mhz <= centre - half and centre + half <= gear.tunes_high_mhz


def _tunes(gear: RadioType, channel: int, centre: float, width_mhz: int) -> None:
    if not (gear.tunes_low_mhz <= centre - width_mhz / 2 and centre + width_mhz / 2 <= gear.tunes_high_mhz):
        raise UsageError(
            f"{gear.name} does not tune channel {channel}",
            remedy=f"it tunes {gear.tunes_low_mhz:g} to {gear.tunes_high_mhz:g} MHz",
        )


def _chain_gain_db(unit: Unit, region: Region) -> float:
    """Chains into antennas of one polarisation may add up in the air, where the region counts it."""
    if unit.pattern.polarisation in _CROSSED or not region.counts_chains:
        return 0.0
    return float(correlated_chain_gain_db(unit.gear.chains))


def _efficiency(gear: RadioType, *, several: bool) -> float:
    if gear.access == "scheduled":
        return gear.efficiency_scheduled
    return gear.efficiency_many_stations if several else gear.efficiency_one_station


class _Budget:
    """The pair's figures by rate index, and its reach on a channel."""

    def __init__(self, pair: _Pair, margin_db: float | None, rise_db: float) -> None:
        self.pair, self.margin_db, self.rise_db = pair, margin_db, rise_db
        gears = [unit.gear for unit in pair.units]
        for gear in gears:
            if pair.width_mhz not in gear.widths_mhz:
                widths = ", ".join(str(width) for width in gear.widths_mhz)
                raise UsageError(f"{gear.name} has no channel of {pair.width_mhz} MHz", remedy=f"it has {widths} MHz")
        mode = min((gear.mode for gear in gears), key=("n", "ac", "ax").index)
        count = min(
            mcs_count(mode),
            *(min(g.highest_mcs + 1, len(g.power_per_mcs_dbm), len(g.sensitivity_20mhz_dbm)) for g in gears),
        )
        streams = min(gear.streams for gear in gears)
        self.rate_mbps = phy_rate_mbps(mode, pair.width_mhz, np.arange(count), streams, _GUARD_INTERVAL_US)
        self.power_dbm = np.array([gear.power_per_mcs_dbm[:count] for gear in gears])
        sensitivity = np.array([gear.sensitivity_20mhz_dbm[:count] for gear in gears])
        self.sensitivity_dbm = sensitivity_at_width_dbm(sensitivity, pair.width_mhz)
        patterns = [unit.pattern for unit in pair.units]
        cross = min(pattern.cross_polar_db for pattern in patterns)
        kinds = [pattern.polarisation for pattern in patterns]
        mismatch = max(float(polarisation_mismatch_db(a, b, cross)) for a, b in (kinds, kinds[::-1]))
        self.gains_db = sum(pattern.gain_dbi for pattern in patterns) - mismatch

    def sent_dbm(self, conducted_dbm: Sequence[float]) -> FloatArray:
        """Return what either end sends, shape (2, rates): in whole steps, NaN where the limit is under the floor."""
        rows = []
        for unit, power, limit in zip(self.pair.units, self.power_dbm, conducted_dbm, strict=True):
            floor, step = unit.gear.power_floor_dbm, unit.gear.power_step_db
            most = floor + math.floor((limit - floor) / step + 1e-9) * step if math.isfinite(limit) else limit
            rows.append(np.minimum(power, most) if most >= floor else np.full_like(power, np.nan))
        return np.array(rows)

    def reach_at(self, conducted_dbm: Sequence[float], frequency_mhz: float) -> tuple[FloatArray, FloatArray]:
        """Return the reach of each rate [m], and whose sending sets it, a place in `_WEAKER`."""
        over = self.sent_dbm(conducted_dbm) + self.gains_db - self.sensitivity_dbm[::-1] - self.rise_db
        worse = np.where(np.isnan(self.rate_mbps), np.nan, np.min(over, axis=0))
        weaker = np.where(over[0] == over[1], 2.0, (over[1] < over[0]).astype(float))
        return range_at_margin_m(worse, frequency_mhz, self.margin_db), weaker

    def reach_m(self, option: _Option) -> tuple[FloatArray, FloatArray]:
        """Return the same on a channel."""
        reach, weaker = self.reach_at(option.conducted_dbm, option.centre_mhz)
        return np.nan_to_num(reach, nan=-1.0), weaker


def _answer(
    pair: _Pair, budget: _Budget, best: _Option, *, efficiency: float, needed: float, index: int | None
) -> PairReach:
    reach, weaker = budget.reach_at(best.conducted_dbm, best.centre_mhz)
    free, _ = budget.reach_at((math.inf, math.inf), best.centre_mhz)
    sent = budget.sent_dbm(best.conducted_dbm)
    rates = tuple(
        RateReach(
            mcs=mcs,
            link_rate_mbps=float(budget.rate_mbps[mcs]),
            usable_mbps=float(budget.rate_mbps[mcs]) * efficiency,
            sent_dbm=(float(sent[0, mcs]), float(sent[1, mcs])),
            reach_m=float(reach[mcs]),
            weaker=_WEAKER[int(weaker[mcs])],
        )
        for mcs in range(len(reach))
        if math.isfinite(reach[mcs])
    )
    figures = tuple(
        TradeFigure(words, mcs, float(reach[mcs]), float(free[mcs]))
        for words, mcs in FIGURES
        if mcs < len(reach) and math.isfinite(reach[mcs])
    )
    found = float(reach[index]) if index is not None and math.isfinite(reach[index]) else None
    return PairReach(
        region=pair.region.region,
        channel=best.channel,
        centre_mhz=best.centre_mhz,
        width_mhz=pair.width_mhz,
        topologies=pair.topologies,
        conducted_limit_dbm=best.conducted_dbm,
        eirp_limit_dbm=best.eirp_dbm,
        limit_sentences=(best.rules[0].sentence, best.rules[1].sentence),
        efficiency=efficiency,
        needed_rate_mbps=needed,
        needed_mcs=index if found is not None else None,
        reach_m=found,
        rates=rates,
        figures=figures,
        sentences=_sentences(pair, best, figures, found),
    )


def _sentences(pair: _Pair, best: _Option, figures: tuple[TradeFigure, ...], reach_m: float | None) -> tuple[str, ...]:
    said = []
    shrunk = [figure for figure in figures if figure.reach_m < 0.99 * figure.without_limits_m]
    if shrunk:
        worst = shrunk[0]
        ends = zip(("access point", "station"), best.conducted_dbm, pair.units, strict=True)
        tight = [
            f"the {end} may send {limit:.0f} dBm of its {max(unit.gear.power_per_mcs_dbm):.0f} dBm "
            f"into {unit.pattern.gain_dbi:.0f} dBi"
            for end, limit, unit in ends
            if limit < max(unit.gear.power_per_mcs_dbm)
        ]
        said.append(
            f"They shrink, {worst.words} from {worst.without_limits_m / 1000:.2f} to {worst.reach_m / 1000:.2f} km, "
            f"because {' and '.join(tight)}: {best.rules[0].sentence}"
        )
    elif figures:
        said.append(f"The region's limits take nothing away here: {best.rules[0].sentence}")
    serves = min(unit.gear.ack_distance_m for unit in pair.units)
    if reach_m is not None and reach_m > serves:
        said.append(f"The units' timing serves {serves / 1000:g} km and no more.")
    said.append("Free space with nothing in the way; the air itself takes about 0.01 dB a kilometre more at 5 GHz.")
    said.append("The whole air is counted; a design that keeps to 60 % of it needs 1/0.6 of the rate.")
    return tuple(said)
