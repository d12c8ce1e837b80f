"""What walls, doors, floors and roofs take from a hop that begins or ends inside a building."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from survey_app.assess.indoors import Indoors, Make, WaysThrough, ways_through
from survey_app.assess.nulls import number
from survey_app.assess.record import WallMet
from survey_app.physics.building_entry import building_entry_range_db
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.indoor_path import BY_PLACE, indoor_path_loss_db
from survey_app.physics.loss_range import LossRange
from survey_app.physics.wall_loss import construction_loss_db

__all__ = ["NO_WALLS", "Ray", "ThroughWalls", "through_walls"]

_BY_WALLS = "walls of the plan at their angle (P.2040)"
_BY_PLACE = "what is usual at such places (P.1238), less than the walls of the straight ray"
_OUTSIDE = frozenset({"outer_wall", "roof"})
Point = tuple[float, float, float]


class Ray(NamedTuple):
    """A hop as walls see it.

    Attributes
    ----------
    start_m, end_m : (x, y, height)
        Antenna of the access point and of the station. [m]
    centre_mhz, width_mhz : float
        Channel; the centre is NaN where none is chosen. [MHz]
    """

    start_m: Point
    end_m: Point
    centre_mhz: float
    width_mhz: float


class ThroughWalls(NamedTuple):
    """What a hop loses by what it goes through.

    Attributes
    ----------
    low_db, likely_db, high_db : float
        Together; NaN where no channel is chosen and something is in the way. [dB]
    method : str
        How that loss was found, in words; empty where nothing is in the way.
    walls : tuple of WallMet
        In the order from the access point.
    entry_low_db, entry_high_db : float
        Between which the loss into such buildings lies at nine of ten places; NaN where the hop goes into none. [dB]
    """

    low_db: float = 0.0
    likely_db: float = 0.0
    high_db: float = 0.0
    method: str = ""
    walls: tuple[WallMet, ...] = ()
    entry_low_db: float = math.nan
    entry_high_db: float = math.nan


NO_WALLS = ThroughWalls()
"""Of a hop that begins and ends outside."""


def through_walls(ray: Ray, at_start: Sequence[Indoors], at_end: Sequence[Indoors]) -> ThroughWalls:
    """Return what a hop loses by what it goes through.

    Parameters
    ----------
    ray : Ray
        The hop.
    at_start, at_end : sequence of Indoors
        Buildings that the access point and the station are inside of.

    Notes
    -----
    Doors that are now open and now closed count as closed; in the least loss they count as open. Between two places of
    one building the loss ends where that of such places does, see `physics.indoor_path`. Where the hop comes from
    outside, each wall is counted, and the statistic of building entry of [P2109]_ stands beside it for comparison.
    """
    buildings = {one.building: one for one in (*at_start, *at_end)}
    if not buildings:
        return NO_WALLS
    # from the same end whichever of the two is the access point: both directions lose the same to the last bit
    turned = ray.end_m < ray.start_m
    ends = (ray.end_m, ray.start_m) if turned else (ray.start_m, ray.end_m)
    met = [row for key in sorted(buildings) for row in _met(ray, buildings[key], *ends)]
    rows = sorted(met, key=lambda row: (row.along, row.building, row.number))
    walls = [_wall(row, ray, turned=turned) for row in rows]
    entry = _entry(ray, at_start, at_end)
    same = sorted({one.building for one in at_start} & {one.building for one in at_end})
    shut_in = buildings[same[0]] if same and all(wall.kind not in _OUTSIDE for wall in walls) else None
    low_db, likely_db, high_db, method = _sum(rows, walls, ray, shut_in)
    return ThroughWalls(
        low_db, likely_db, high_db, method, tuple(reversed(walls) if turned else walls), entry.low_db, entry.high_db
    )


class _Met(NamedTuple):
    """One thing that a ray goes through."""

    along: float
    building: str
    number: int
    make: Make
    incidence_deg: float
    opens: bool
    loss_db: tuple[float, float, float]


def _met(ray: Ray, indoors: Indoors, start_m: Point, end_m: Point) -> list[_Met]:
    found: WaysThrough = ways_through(indoors, np.array([start_m]), np.array([end_m]))
    rows = zip(*(part.tolist() for part in found[1:]), strict=True)
    return [
        _Met(along, indoors.building, number, make, angle_deg, opens, _loss_db(ray, make, angle_deg))
        for number, along, angle_deg, opens in rows
        for make in (indoors.makes[number],)
    ]


def _loss_db(ray: Ray, make: Make, incidence_deg: float) -> tuple[float, float, float]:
    if not math.isfinite(ray.centre_mhz):
        return math.nan, math.nan, math.nan
    low_db, likely_db, high_db = construction_loss_db(make.made, ray.centre_mhz, ray.width_mhz, incidence_deg)
    return float(low_db), float(likely_db), float(high_db)


def _wall(row: _Met, ray: Ray, *, turned: bool) -> WallMet:
    low_db, likely_db, high_db = row.loss_db
    return WallMet(
        thing=row.make.thing,
        kind=row.make.kind,
        made=row.make.made.name,
        known=row.make.known,
        place_m=(1.0 - row.along if turned else row.along) * math.dist(ray.start_m[:2], ray.end_m[:2]),
        incidence_deg=row.incidence_deg,
        low_db=number(0.0 if row.opens else low_db),
        likely_db=number(likely_db),
        high_db=number(high_db),
    )


def _sum(
    rows: Sequence[_Met], walls: Sequence[WallMet], ray: Ray, shut_in: Indoors | None
) -> tuple[float, float, float, str]:
    """Return what all of it takes together, and how that was found."""
    if not rows:
        return 0.0, 0.0, 0.0, ""
    low_db = sum(0.0 if row.opens else row.loss_db[0] for row in rows)
    likely_db, high_db = (sum(row.loss_db[n] for row in rows) for n in (1, 2))
    if shut_in is None or math.isnan(likely_db):
        return low_db, likely_db, high_db, _BY_WALLS
    slabs = LossRange(np.float64(low_db), np.float64(likely_db), np.float64(high_db))  # type: ignore[arg-type]
    distance_m = math.dist(ray.start_m, ray.end_m)
    floors = sum(wall.kind == "floor" for wall in walls)
    found = indoor_path_loss_db(distance_m, ray.centre_mhz, slabs, shut_in.place, floors)
    if int(found.route) != BY_PLACE:
        return low_db, likely_db, high_db, _BY_WALLS
    free_db = float(free_space_loss_db(distance_m, ray.centre_mhz))
    low_db, likely_db, high_db = (float(part) - free_db for part in (found.low_db, found.likely_db, found.high_db))
    return low_db, likely_db, high_db, _BY_PLACE


class _Entry(NamedTuple):
    low_db: float
    high_db: float


def _entry(ray: Ray, at_start: Sequence[Indoors], at_end: Sequence[Indoors]) -> _Entry:
    """Return between which the loss into the buildings lies that one end alone is inside of."""
    mine = {one.building: one for one in (*at_start, *at_end)}
    entered = sorted({one.building for one in at_start} ^ {one.building for one in at_end})
    if not entered or not math.isfinite(ray.centre_mhz):
        return _Entry(math.nan, math.nan)
    steep_deg = math.degrees(math.atan2(abs(ray.end_m[2] - ray.start_m[2]), math.dist(ray.start_m[:2], ray.end_m[:2])))
    ranges = {kind: building_entry_range_db(ray.centre_mhz, kind, steep_deg) for kind in ("traditional", "efficient")}
    low_db = sum(float(ranges[mine[key].entry[0]].low_db) for key in entered)
    high_db = sum(float(ranges[mine[key].entry[1]].high_db) for key in entered)
    return _Entry(low_db, high_db)
