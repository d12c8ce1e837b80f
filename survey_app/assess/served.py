"""What part of an area inside a building serves a movable camera: doors open, doors shut, goods in the racks."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from survey_app.assess.gain import OMNI, gain_toward_dbi
from survey_app.assess.gather import RATES, HopArrays, RadioArrays, pattern_of
from survey_app.assess.hop_rates import HopRates, hop_rates
from survey_app.assess.in_the_way import Surroundings
from survey_app.assess.indoors import Indoors, Inside, WaysThrough, indoors_of, ways_through
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.nulls import number, unknown
from survey_app.assess.numbers import Numbers, polarisation_losses_db
from survey_app.assess.record import AreaRow, NullReason
from survey_app.ground.plane import true_bearing
from survey_app.ground.ray.crossings import crossings
from survey_app.ground.shell import Shell, holds, shell_of
from survey_app.ground.solids import SolidKind
from survey_app.ground.spots import Spots, spots_in
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.indoor_path import IndoorLoss, indoor_path_loss_db, served_fraction
from survey_app.physics.loss_range import LossRange
from survey_app.physics.rates import at_mcs, lowest_mcs_for
from survey_app.physics.wall_loss import rays_loss_db
from survey_app.site.structure import Building
from survey_app.site.surroundings import ServedArea

__all__ = ["area_rows"]

_SPOTS = 1200
_FIGURES = (
    "served_open_fraction", "served_fraction", "served_full_fraction", "weakest_x_m", "weakest_y_m",
    "weakest_level_dbm", "rate_everywhere_mbps",
)  # fmt: skip


class _Link(NamedTuple):
    """One access point that the station may join, and what it has for every spot but the way.

    Attributes
    ----------
    access_point : int
        Its row among the radios.
    centre_mhz, width_mhz : float
        Its channel. [MHz]
    mcs : int
        Rate index that is needed; beyond the table where none is enough.
    rates_mbps : tuple of float
        By rate index; NaN where that is not to be had. [Mbit/s]
    fixed_db : tuple of float
        By rate index, in the worse direction: power less sensitivity, feeders, polarisation, noise rise and wanted
        margin. [dB]
    sent_dbm : float
        Power of the access point at the needed index less feeders and polarisation. [dBm]
    """

    access_point: int
    centre_mhz: float
    width_mhz: float
    mcs: int
    rates_mbps: tuple[float, ...]
    fixed_db: tuple[float, ...]
    sent_dbm: float

    @property
    def is_known(self) -> bool:
        """Whether the rate that is needed is to be had, and what is sent and heard at it is known."""
        return 0 <= self.mcs < RATES and math.isfinite(self.fixed_db[self.mcs]) and math.isfinite(self.centre_mhz)


class _Asked(NamedTuple):
    """One area as it is asked about: everything that its answer depends on."""

    area: ServedArea
    outline: FloatArray
    building: Building
    foot_m: float
    shell: Shell
    within: Inside
    goods: tuple[tuple[Any, float], ...]
    """Obstacles that stand inside, each with its foot."""
    needed_mbps: float
    wanted_db: float
    links: tuple[_Link, ...]
    access_points: tuple[str, ...]
    antennas: tuple[Any, ...]
    """Pattern, place and aim of the station and of every access point."""


class _Answer(NamedTuple):
    """What is known of every spot: share served in the best of the links, and the level at the station."""

    shares: tuple[FloatArray, FloatArray, FloatArray]
    rate_everywhere_mbps: float
    level_dbm: FloatArray
    behind: tuple[str, ...]
    weakest: int


def area_rows(job: Job, found: Numbers, memo: Fresh) -> tuple[AreaRow, ...]:
    """Return what part of each area is served, in the site's order.

    Parameters
    ----------
    job : Job
        The indexed site.
    found : Numbers
        Its numbers.
    memo : Fresh
        What is known from an earlier value of the site.
    """
    areas = list(job.served_areas.values())
    if not areas:
        return ()
    asked = [_asked(job, found, area) for area in areas]

    def make(stale: list[int]) -> Sequence[AreaRow]:
        return [_row(found, areas[n], asked[n]) for n in stale]

    return tuple(memo.each("served areas", [area.id for area in areas], asked, make))


def _asked(job: Job, found: Numbers, area: ServedArea) -> _Asked | tuple[ServedArea, str]:
    """Return what an area's answer depends on, or why there is none."""
    building = job.structures.get(area.structure)
    shell = shell_of(found.around.now.standing.solids, area.structure)
    outline, foot_m = job.placed.outlines.get(area.id), job.placed.feet_m.get(area.structure, math.nan)
    if not isinstance(building, Building) or shell is None or outline is None or not math.isfinite(foot_m):
        return area, "Give the building and the corners of the area a place."
    station = found.radios.row.get(area.station or "")
    hop = next((n for n, s in enumerate(found.hops.station.tolist()) if s == station), None)
    if station is None or hop is None:
        return area, "Name the station that moves about in it, and join it to an access point by a hop."
    joined = [found.radios.ids[int(found.hops.access_point[hop])], *area.also_joins]
    spots = {key: _spot(found.radios, found.radios.row[key]) for key in joined if key in found.radios.row}
    inside = tuple(key for key in spots if bool(holds(shell, [spots[key]])[0]))
    if not inside:
        return area, "Hang an access point that it may join inside the building."
    needed_mbps = area.needed_rate_mbps
    if needed_mbps is None:
        needed_mbps = float(at_mcs(found.rates.rate_mbps[hop], float(found.needed[hop])))
    wanted_db = float(found.hops.wanted_margin_db[hop])
    links = _links(job, found, station, inside, needed_mbps, wanted_db)
    if not all(link.is_known for link in links):
        return area, "Give its access points a channel, and name a rate that both units have."
    return _Asked(
        area=area,
        outline=outline,
        building=building,
        foot_m=foot_m,
        shell=shell,
        within=found.around.inside.get(area.structure, Inside()),
        goods=tuple((job.structures[key], job.placed.feet_m[key]) for key in _standing_in(found.around, shell)),
        needed_mbps=needed_mbps,
        wanted_db=wanted_db,
        links=links,
        access_points=inside,
        antennas=tuple(_antenna(job, found, found.radios.row[key]) for key in (area.station, *inside) if key),
    )


def _spot(radios: RadioArrays, n: int) -> tuple[float, float, float]:
    return float(radios.x_m[n]), float(radios.y_m[n]), float(radios.elevation_m[n])


def _antenna(job: Job, found: Numbers, n: int) -> tuple[Any, ...]:
    radio = job.radios[found.radios.ids[n]]
    aim = float(found.aims.bearing_deg[n]), float(found.aims.bracket_deg[n])
    return pattern_of(job, radio), _spot(found.radios, n), aim, job.placed.plane


def _standing_in(around: Surroundings, shell: Shell) -> tuple[str, ...]:
    """Return the obstacles that stand inside a building: racks, machines."""
    solids = around.now.standing.solids
    prisms = solids.prisms
    found = []
    for n in np.flatnonzero(prisms.kind == int(SolidKind.OBSTACLE)).tolist():
        ring = prisms.corners_m[prisms.ring_start[prisms.first_ring[n]] :][:1]
        if bool(holds(shell, np.column_stack((ring, np.full(1, -np.inf))))[0]):
            found.append(solids.ids[int(prisms.thing[n])])
    return tuple(found)


def _links(
    job: Job, found: Numbers, station: int, access_points: Sequence[str], needed_mbps: float, wanted_db: float
) -> tuple[_Link, ...]:
    radios, full = found.radios, found.powers.full_dbm
    a = np.array([radios.row[key] for key in access_points], dtype=np.intp)
    s = np.full(len(a), station, dtype=np.intp)
    pairs = _pairs(job, found.hops, radios, a, s)
    rates: HopRates = hop_rates(radios, pairs)
    mcs = lowest_mcs_for(rates.rate_mbps, np.full(len(a), needed_mbps))
    from_a = np.minimum(rates.power_a_dbm, full[a, None])
    from_s = np.minimum(rates.power_s_dbm, full[s, None])
    lost = radios.feeder_loss_db[a] + radios.feeder_loss_db[s] + polarisation_losses_db(job, pairs)
    margin = np.minimum(from_a - rates.sensitivity_s_dbm, from_s - rates.sensitivity_a_dbm)
    fixed = margin - lost[:, None] - job.defaults.interference_rise_db - wanted_db
    sent = at_mcs(from_a, mcs) - lost
    return tuple(
        _Link(
            access_point=int(a[n]),
            centre_mhz=float(radios.centre_mhz[a[n]]),
            width_mhz=float(radios.width_mhz[a[n]]),
            mcs=int(np.nan_to_num(mcs[n], nan=-1.0)),
            rates_mbps=tuple(rates.rate_mbps[n].tolist()),
            fixed_db=tuple(fixed[n].tolist()),
            sent_dbm=float(sent[n]),
        )
        for n in range(len(a))
    )


def _pairs(job: Job, hops: HopArrays, radios: RadioArrays, a: Any, s: Any) -> HopArrays:
    """Return access points and the station as hops that might be."""
    ids = tuple(radios.ids[n] for n in a.tolist())
    return dataclasses.replace(
        hops,
        ids=ids,
        row={key: n for n, key in enumerate(ids)},
        access_point=a,
        station=s,
        cell=np.zeros(len(a), dtype=np.intp),
        centre_mhz=radios.centre_mhz[a],
        width_mhz=radios.width_mhz[a],
        wanted_margin_db=np.zeros(len(a)),
        guard_interval_us=np.array([job.radios[key].guard_interval_us for key in ids], dtype=float),
        legacy_cap_mbps=np.full(len(a), np.inf),
    )


def _row(found: Numbers, area: ServedArea, asked: _Asked | tuple[ServedArea, str]) -> AreaRow:
    if not isinstance(asked, _Asked):
        return _unknown(area, asked[1])
    spots = spots_in(asked.outline, _SPOTS)
    if not len(spots.at_m):
        return _unknown(area, "Draw its outline so that it encloses something.")
    answer = _answer(found, asked, spots, indoors_of(asked.building, asked.foot_m, asked.shell, asked.within))
    opened, shut, full = (float(np.mean(share)) for share in answer.shares)
    return AreaRow(
        id=area.id,
        name=area.title,
        structure=area.structure,
        station=area.station,
        access_points=asked.access_points,
        area_m2=spots.area_m2,
        spots=len(spots.at_m),
        step_m=spots.step_m,
        needed_rate_mbps=asked.needed_mbps,
        wanted_margin_db=asked.wanted_db,
        wanted_fraction=area.wanted_fraction,
        goods_loss_db=area.goods_loss_db,
        served_open_fraction=opened,
        served_fraction=shut,
        served_full_fraction=full,
        rate_everywhere_mbps=number(answer.rate_everywhere_mbps),
        weakest_x_m=float(spots.at_m[answer.weakest, 0]),
        weakest_y_m=float(spots.at_m[answer.weakest, 1]),
        weakest_level_dbm=number(answer.level_dbm[answer.weakest]),
        weakest_behind=answer.behind,
    )


def _unknown(area: ServedArea, sentence: str) -> AreaRow:
    names = ("area_m2", "step_m", "needed_rate_mbps", "wanted_margin_db", *_FIGURES)
    reasons: list[NullReason] = unknown(names, sentence)
    return AreaRow(
        id=area.id,
        name=area.title,
        structure=area.structure,
        station=area.station,
        access_points=(),
        spots=0,
        wanted_fraction=area.wanted_fraction,
        goods_loss_db=area.goods_loss_db,
        weakest_behind=(),
        null_reasons=tuple(reasons),
        **dict.fromkeys(names),
    )


def _answer(found: Numbers, asked: _Asked, spots: Spots, indoors: Indoors) -> _Answer:
    area = asked.area
    height_m = asked.foot_m + area.floor_height_m + area.height_m
    ends = np.column_stack((spots.at_m, np.full(len(spots.at_m), height_m)))
    links = [_over(found, asked, indoors, link, ends) for link in asked.links]
    pairs = list(zip(links, asked.links, strict=True))
    shares = tuple(_best([one.shares(link.mcs)[n] for one, link in pairs]) for n in range(3))
    level_dbm = np.max([link.level_dbm for link in links], axis=0)
    weakest = int(np.argmin(level_dbm))
    best = int(np.argmax([link.level_dbm[weakest] for link in links]))
    ways = links[best].ways
    met = [indoors.makes[n].thing for n in ways.make[ways.ray == weakest].tolist()]
    everywhere_mbps = _everywhere_mbps(pairs, area.wanted_fraction)
    behind = tuple(dict.fromkeys(met))
    return _Answer((shares[0], shares[1], shares[2]), everywhere_mbps, level_dbm, behind, weakest)


class _Over(NamedTuple):
    """What one access point gives at every spot: doors open, doors shut, and goods in the racks besides.

    Attributes
    ----------
    link : _Link
        Its figures.
    path_db : tuple of ndarray of float, shape (spots,)
        Gains less the likely loss. [dB]
    sigma_db : tuple of ndarray of float, shape (spots,)
        Spread of that from place to place. [dB]
    ways : WaysThrough
        What the rays go through, doors shut.
    """

    link: _Link
    path_db: tuple[FloatArray, ...]
    sigma_db: tuple[FloatArray, ...]
    ways: WaysThrough

    @property
    def level_dbm(self) -> FloatArray:
        """Likely level at the station, doors shut. [dBm]"""
        return self.link.sent_dbm + self.path_db[1]

    def shares(self, mcs: int) -> tuple[FloatArray, ...]:
        """Return the share served of places like each spot at a rate index, in the three states."""
        pairs = zip(self.path_db, self.sigma_db, strict=True)
        return tuple(served_fraction(self.link.fixed_db[mcs] + path_db, sigma_db) for path_db, sigma_db in pairs)


def _best(shares: Sequence[FloatArray]) -> FloatArray:
    return np.asarray(np.max(shares, axis=0))


def _everywhere_mbps(pairs: Sequence[tuple[_Over, _Link]], wanted_fraction: float) -> float:
    """Return the highest rate at which the wanted part is served with doors shut and goods in; NaN = none."""
    rates = sorted({rate for _, link in pairs for rate in link.rates_mbps if math.isfinite(rate)}, reverse=True)
    for rate in rates:
        able = [(over, _index_of(link, rate)) for over, link in pairs]
        shares = [over.shares(mcs)[2] for over, mcs in able if mcs >= 0]
        if shares and float(np.mean(_best(shares))) >= wanted_fraction:
            return rate
    return math.nan


def _index_of(link: _Link, rate_mbps: float) -> int:
    """Return the lowest rate index of a link that carries a rate, -1 where none does or nothing is known of it."""
    found = [
        n
        for n, (rate, fixed_db) in enumerate(zip(link.rates_mbps, link.fixed_db, strict=True))
        if rate >= rate_mbps and math.isfinite(fixed_db)
    ]
    return found[0] if found else -1


def _over(found: Numbers, asked: _Asked, indoors: Indoors, link: _Link, ends: FloatArray) -> _Over:
    start = np.tile(_spot(found.radios, link.access_point), (len(ends), 1))
    ways = ways_through(indoors, start, ends)
    gain_db = _gains_db(found, asked, link, start, ends)
    goods_db = np.where(_among_goods(found.around, asked, start, ends), asked.area.goods_loss_db, 0.0)
    nothing = np.zeros(len(ends))
    states = ((ways.taken(~ways.opens), nothing), (ways, nothing), (ways, goods_db))
    losses = [_loss(indoors, link, taken, start, ends, goods) for taken, goods in states]
    path_db = tuple(gain_db - loss.likely_db for loss in losses)
    return _Over(link, path_db, tuple(loss.sigma_db for loss in losses), ways)


def _loss(
    indoors: Indoors, link: _Link, ways: WaysThrough, start: FloatArray, ends: FloatArray, goods_db: FloatArray
) -> IndoorLoss:
    makes = [make.made for make in indoors.makes]
    walls = rays_loss_db(len(ends), ways.ray, ways.make, ways.incidence_deg, makes, link.centre_mhz, link.width_mhz)
    floor = np.array([make.kind == "floor" for make in indoors.makes], bool)[ways.make]
    floors = np.bincount(ways.ray, weights=floor.astype(float), minlength=len(ends))
    with_goods = LossRange(walls.low_db, walls.likely_db + goods_db, walls.high_db + 2.0 * goods_db)
    distance_m = np.sqrt(np.sum(np.square(ends - start), axis=1))
    return indoor_path_loss_db(distance_m, link.centre_mhz, with_goods, indoors.place, floors)


def _gains_db(found: Numbers, asked: _Asked, link: _Link, start: FloatArray, ends: FloatArray) -> FloatArray:
    """Return the gains of both antennas toward each other, the station's at its spot; a beam is taken as aimed."""
    radios, aims = found.radios, found.aims
    dx, dy, dz = (ends - start).T
    plan_deg = np.mod(np.degrees(np.arctan2(dx, dy)), 360.0)
    up_deg = np.degrees(np.arctan2(dz, np.sqrt(dx * dx + dy * dy)))
    plane = found.placed.plane
    bearing_deg = plan_deg if plane is None else true_bearing(plane, start[:, 0], start[:, 1], plan_deg)
    station = found.radios.row[str(asked.area.station)]
    gain_db = np.zeros(len(ends))
    for n, bearing, elevation in ((link.access_point, bearing_deg, up_deg), (station, bearing_deg + 180.0, -up_deg)):
        rows = np.full(len(ends), n, dtype=np.intp)
        if n == station and radios.kind[n] != OMNI:
            gain_db = gain_db + radios.gain_dbi[n]
            continue
        aim, bracket = np.full(len(ends), aims.bearing_deg[n]), np.full(len(ends), aims.bracket_deg[n])
        gain_db = gain_db + gain_toward_dbi(radios, rows, np.mod(bearing, 360.0), elevation, aim, bracket)
    return gain_db


def _among_goods(around: Surroundings, asked: _Asked, start: FloatArray, ends: FloatArray) -> BoolArray:
    """Return which rays run through what stands inside; all of them where nothing is drawn."""
    if not asked.goods:
        return np.ones(len(ends), bool)
    ids = {thing.id for thing, _ in asked.goods}
    solids = around.now.standing.solids
    met = crossings(around.now.index, start, ends)
    mine = np.array([one in ids for one in solids.ids], bool)
    hit = np.isfinite(met.inside_from) & mine[met.thing]
    among = np.zeros(len(ends), bool)
    among[met.ray[hit]] = True
    return among
