"""The path of one hop from the side: ground, earth bulge, ray, first Fresnel zone, what its line crosses and passes.

What is crossed is told with its place and its height; how near it comes to the ray the assessment says.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from survey_app.assess.cuts import Crossed, crossed_by
from survey_app.ground.crossing import area_spans
from survey_app.ground.place import Placed
from survey_app.ground.relief.profiles import Profiles
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.physics.arrays import FloatArray
from survey_app.physics.fresnel import fresnel_zone_radius_m
from survey_app.physics.geometry import STANDARD_K, earth_bulge_m
from survey_app.site.site import Design
from survey_app.site.structure import Mast, OverheadLine, Pole, Structure, TreeStand

if TYPE_CHECKING:
    from survey_app.assess.record import HopRow, RadioRow, Side

__all__ = ["Beside", "Crossed", "SectionProfile", "WaterSpan", "section_profile"]

_COUNT = 161
_SAME_M = 1e-6
_GONE = ("removed", "later")


@dataclass(frozen=True)
class Beside:
    """A thing that comes near the ray without standing on its line; distances count from the access point.

    Attributes
    ----------
    structure : Structure
        What it is.
    place_m : float
        Where it comes nearest. [m]
    clearance_m, ratio : float, float or None
        How far the ray passes it: metres, and parts of the first zone there. [m, 1]
    side : str
        Where it lies, seen from the access point.
    base_m, top_m : float, float or None
        Its foot and its top over the site datum; only a pole or a mast has a top here. [m]
    """

    structure: Structure
    place_m: float
    clearance_m: float
    ratio: float | None
    side: Side
    base_m: float
    top_m: float | None


@dataclass(frozen=True)
class WaterSpan:
    """Water under the line of a hop: from where to where, and its highest usual level over the site datum. [m]"""

    id: str
    title: str
    enter_m: float
    leave_m: float
    level_m: float


@dataclass(frozen=True)
class SectionProfile:
    """One hop from the side, from the access point to the station; heights over the site datum.

    Attributes
    ----------
    distance_m : ndarray of float, shape (n,)
        Along the ground, rising. [m]
    bulge_m : ndarray of float, shape (n,)
        The earth's curve above the chord; to be added to whatever stands on the ground. [m]
    ground_m : ndarray of float, shape (n,)
        Ground without the bulge: the relief, where there is none straight between the feet that are known. [m]
    ray_m : ndarray of float, shape (n,)
        The straight line between both antennas. [m]
    zone_radius_m : ndarray of float, shape (n,)
        First Fresnel zone; NaN where the channel is not known. [m]
    relief : str
        What the ground comes from: words of the relief; empty = none, the ground is assumed.
    crossed : tuple of Crossed
        By the place where the line enters them, then by id.
    grown : tuple of Crossed
        Trees on the line after the site's years of growth.
    beside : tuple of Beside
        What comes near the ray beside its line, the nearest first.
    waters : tuple of WaterSpan
        By the place where the line enters them.
    k : float
        Effective earth radius factor. [1]
    """

    distance_m: FloatArray
    bulge_m: FloatArray
    ground_m: FloatArray
    ray_m: FloatArray
    zone_radius_m: FloatArray
    relief: str
    crossed: tuple[Crossed, ...]
    grown: tuple[Crossed, ...]
    beside: tuple[Beside, ...]
    waters: tuple[WaterSpan, ...]
    k: float

    @property
    def length_m(self) -> float:
        """Ground distance between the ends. [m]"""
        return float(self.distance_m[-1])

    def at(self, values: FloatArray, distance_m: float) -> float:
        """Return one of the profile's lines at a distance. [m]"""
        return float(np.interp(distance_m, self.distance_m, values))


def section_profile(
    design: Design,
    placed: Placed,
    hop: HopRow,
    access_point: RadioRow,
    station: RadioRow,
    k: float = STANDARD_K,
) -> SectionProfile | None:
    """Return the profile of a hop, or None where its ends stand above each other.

    Parameters
    ----------
    design : Design
        Its structures and waters; what is removed or planned for later is left out.
    placed : Placed
        Where everything of the site is.
    hop, access_point, station : HopRow, RadioRow, RadioRow
        The hop and its ends as assessed.
    k : float, default 4/3
        Effective earth radius factor, > 0. [1]
    """
    length_m = hop.ground_distance_m
    if not length_m > 0.0:
        return None
    start, end = (access_point.x_m, access_point.y_m), (station.x_m, station.y_m)
    present = tuple(one for one in design.structures if one.status not in _GONE)
    heights = access_point.antenna_elevation_m, station.antenna_elevation_m
    ends = (*start, heights[0]), (*end, heights[1])
    crossed = crossed_by(present, placed, *ends)
    years = design.defaults.growth_years
    trees = tuple(one for one in present if isinstance(one, TreeStand))
    waters = _waters(design, placed, start, end, length_m)
    feet = (
        access_point.antenna_elevation_m - access_point.height_above_ground_m,
        station.antenna_elevation_m - station.height_above_ground_m,
    )
    spots = [at for one in crossed for at in (one.enter_m, one.middle_m, one.leave_m)]
    spots += [] if hop.clearance_place_m is None else [hop.clearance_place_m]
    spots += [at for water in waters for at in (water.enter_m, water.leave_m)]
    relief = _relief(placed.ground, start, end)
    breaks = relief.part * length_m if relief is not None else np.empty(0)
    places = np.concatenate((np.linspace(0.0, length_m, _COUNT), spots, breaks))
    distance_m = np.unique(np.clip(places, 0.0, length_m))
    ground_m = _ground(distance_m, length_m, feet, crossed, waters)
    if relief is not None:
        ground_m = _on_relief(relief.at(0, distance_m / length_m), ground_m, distance_m, waters)
    slant = hop.distance_m / length_m
    frequency = np.nan if hop.centre_mhz is None else hop.centre_mhz
    return SectionProfile(
        distance_m=distance_m,
        bulge_m=earth_bulge_m(distance_m, length_m - distance_m, k),
        ground_m=ground_m,
        ray_m=np.interp(distance_m, [0.0, length_m], heights),
        zone_radius_m=fresnel_zone_radius_m(distance_m * slant, (length_m - distance_m) * slant, frequency),
        relief="" if isinstance(placed.ground, LevelGround) else placed.ground.words,
        crossed=crossed,
        grown=crossed_by(trees, placed, *ends, years) if years > 0.0 else (),
        beside=_beside(hop, present, placed, crossed),
        waters=waters,
        k=k,
    )


def _beside(
    hop: HopRow, structures: tuple[Structure, ...], placed: Placed, crossed: tuple[Crossed, ...]
) -> tuple[Beside, ...]:
    """Return what the assessment found near the ray and the line does not cross."""
    by_id = {one.id: one for one in structures}
    on_line = {one.structure.id for one in crossed}
    found = []
    for row in hop.obstacles:
        structure = by_id.get(row.thing)
        if structure is None or row.thing in on_line:
            continue
        base_m = placed.feet_m[structure.id]
        top_m = base_m + structure.height_m if isinstance(structure, Pole | Mast) else None
        found.append(Beside(structure, row.place_m, row.clearance_m, row.ratio, row.side, base_m, top_m))
    return tuple(found)


def _waters(
    design: Design, placed: Placed, start: tuple[float, float], end: tuple[float, float], length_m: float
) -> tuple[WaterSpan, ...]:
    waters = [one for one in design.waters if one.status not in _GONE]
    met = area_spans(start, end, [(placed.outlines[one.id],) for one in waters])
    found = [
        WaterSpan(waters[n].id, waters[n].name, enter * length_m, leave * length_m, waters[n].level_high_m)
        for n, enter, leave in zip(met.thing.tolist(), met.enter.tolist(), met.leave.tolist(), strict=True)
    ]
    return tuple(sorted(found, key=lambda one: (one.enter_m, one.id)))


def _relief(ground: Surface, start: tuple[float, float], end: tuple[float, float]) -> Profiles | None:
    """Return the relief under the line, or None where the ground is assumed flat or nothing is known of it."""
    if isinstance(ground, LevelGround):
        return None
    return ground.profiles(np.array([start]), np.array([end]))


def _on_relief(
    relief_m: FloatArray, ground_m: FloatArray, distance_m: FloatArray, waters: tuple[WaterSpan, ...]
) -> FloatArray:
    """Return the ground of the relief where it is known, water at its level, the line through the feet elsewhere."""
    found = np.where(np.isnan(relief_m), ground_m, relief_m)
    for water in waters:
        found[(distance_m >= water.enter_m) & (distance_m <= water.leave_m)] = water.level_m
    return found


def _ground(
    distance_m: FloatArray,
    length_m: float,
    feet: tuple[float, float],
    crossed: tuple[Crossed, ...],
    waters: tuple[WaterSpan, ...],
) -> FloatArray:
    """Return the ground through the feet of both ends and of the areas and waters on the way, straight between them."""
    spans = [(water.enter_m, water.leave_m, water.level_m) for water in waters]
    spans += [
        (one.enter_m, one.leave_m, one.base_m)
        for one in crossed
        if not (one.is_parapet or isinstance(one.structure, Pole | Mast | OverheadLine))
    ]
    # a mast on a roof has its foot up there and a jetty stands in water: the lowest foot at a place is the ground's
    known = {0.0: feet[0], length_m: feet[1]}
    known |= {at: np.inf for enter_m, leave_m, _ in spans for at in (enter_m, leave_m) if at not in known}
    for at in known:
        standing = [foot_m for enter_m, leave_m, foot_m in spans if enter_m - _SAME_M <= at <= leave_m + _SAME_M]
        known[at] = min([known[at], *standing])
    places = sorted(known)
    return np.interp(distance_m, places, [known[one] for one in places])
