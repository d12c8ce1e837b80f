"""Ripple of hops over water and open surfaces: a second ray by way of the surface, seen by both ends' own antennas."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from survey_app.assess.budget import Aims
from survey_app.assess.gain import gain_toward_dbi
from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.geometry import HopGeometry
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.mount_rows import height_sigma_m
from survey_app.ground.place import Placed
from survey_app.physics.arrays import FloatArray
from survey_app.physics.reflection import reflected_ray
from survey_app.physics.ripple import Ripple, height_ripple, null_heights_m, water_level_ripple
from survey_app.physics.surface import surface_permittivity
from survey_app.site.structure import Building, Obstacle
from survey_app.site.surroundings import Water

__all__ = ["RIPPLE_DB", "WaterRipple", "ripples"]

_SURFACE = "sea water"
_WEAK_DB = -3.0
_LOWEST_M = 0.05
RIPPLE_DB = 3.0
"""Swing of the level by a reflection that is worth a word. [dB]"""
_STILL_M = 0.01  # a surface that moves less is taken to stand still
_AROUND_M = 0.5  # how far round the lower end its weak heights are told, over a surface that stands still
_LEAST_SPREAD_M = 0.1  # no antenna is hung more exactly
_LEVELS = 3
_POLARISATIONS = ("horizontal", "vertical")


@dataclass(frozen=True)
class WaterRipple:
    """What the reflection from one surface does to a hop.

    Attributes
    ----------
    hop, water : str
        Ids.
    moves : bool
        The level of the surface moves; else the figures are over the heights round the lower end.
    horizontal, vertical : Ripple
        Per polarisation, against the direct ray alone. [dB]
    point_m : float
        Where the surface is met at its mean level, from the access point along the ground. [m]
    period_m : float
        Change of the level, or of the height, from one null to the next. [m]
    lower : str
        Mount of the lower end.
    avoid_m : tuple of float
        Heights of the lower end, over the site datum, where both rays are opposed; none where the surface moves. [m]
    better_m : float or None
        How much higher or lower the lower end is out of the weak heights; None where the surface moves, or where it is
        weak at every height near. [m]
    """

    hop: str
    water: str
    moves: bool
    horizontal: Ripple
    vertical: Ripple
    point_m: float
    period_m: float
    lower: str
    avoid_m: tuple[float, ...]
    better_m: float | None

    @property
    def worse(self) -> Ripple:
        """The polarisation that falls deeper."""
        return min(self.horizontal, self.vertical, key=lambda one: one.lowest_db)

    @property
    def swing_db(self) -> float:
        """From the highest to the lowest level of the worse polarisation. [dB]"""
        return self.worse.highest_db - self.worse.lowest_db


class _Over(NamedTuple):
    """A hop over a surface, with everything that its ripple depends on."""

    water: Water
    point_m: float
    heights_m: tuple[float, float]
    distance_m: float
    frequency_mhz: float
    toward: tuple[tuple[float, float, float, float], ...]  # of either end: bearing, elevation, aim, bracket tilt
    antennas: tuple[tuple[object, ...], ...]
    lower: str
    spread_m: float


def ripples(
    job: Job, placed: Placed, radios: RadioArrays, hops: HopArrays, where: HopGeometry, aims: Aims, memo: Fresh
) -> dict[str, WaterRipple]:
    """Return the ripple of every hop whose reflection falls on a recorded surface, by hop.

    Parameters
    ----------
    job : Job
        The indexed site.
    placed : Placed
        Where things are.
    radios, hops : RadioArrays, HopArrays
        The site as arrays.
    where : HopGeometry
        Bearings, elevations and distances of the hops.
    aims : Aims
        Where the radios look.
    memo : Fresh
        What is known from an earlier value of the site.

    Notes
    -----
    The reflected ray leaves either end downward, where a narrow beam gives it less than the direct one, and the surface
    is taken to be as smooth as a mirror: what is said is the worst of a calm day. Of several surfaces under one hop the
    one that moves most counts.
    """
    waters = [one for one in job.design.waters if one.status != "removed" and one.id in placed.outlines]
    if not waters or not len(hops.ids):
        return {}
    over = _over(job, placed, waters, radios, hops, where, aims)
    names = list(over)
    given = [(n, *over[n]) for n in names]

    def make(stale: list[int]) -> Sequence[WaterRipple]:
        return [_ripple(names[m], over[names[m]], radios, hops) for m in stale]

    return dict(zip(names, memo.each("ripples", names, given, make), strict=True))


def _over(
    job: Job,
    placed: Placed,
    waters: list[Water],
    radios: RadioArrays,
    hops: HopArrays,
    where: HopGeometry,
    aims: Aims,
) -> dict[str, _Over]:
    """Return the hops whose reflection falls on a surface."""
    from shapely import contains_xy, make_valid, polygons, union_all

    found: dict[str, _Over] = {}
    # an outline that crosses itself is a finding of its own; here it covers what it encloses
    areas = {
        one.id: make_valid(polygons(placed.outlines[one.id]))
        for one in waters
        if np.isfinite(placed.outlines[one.id]).all()
    }
    dry = [
        make_valid(polygons(placed.outlines[one.id]))
        for one in job.design.structures
        if isinstance(one, Building | Obstacle) and np.isfinite(placed.outlines[one.id]).all()
    ]
    land = union_all(dry) if dry else None
    for n, key in enumerate(hops.ids):
        a, s = int(hops.access_point[n]), int(hops.station[n])
        distance_m, mhz = float(where.ground_distance_m[n]), float(hops.centre_mhz[n])
        if not (distance_m > 0.0 and math.isfinite(mhz) and math.isfinite(aims.bearing_deg[a] + aims.bearing_deg[s])):
            continue
        for water in sorted(waters, key=lambda one: one.level_low_m - one.level_high_m):
            levels_m = np.linspace(water.level_low_m, water.level_high_m, _LEVELS)
            h1_m, h2_m = float(radios.elevation_m[a]), float(radios.elevation_m[s])
            if water.id not in areas or min(h1_m, h2_m) <= water.level_high_m:
                continue
            points_m = reflected_ray(h1_m - levels_m, h2_m - levels_m, distance_m).point_m
            x_m = radios.x_m[a] + (radios.x_m[s] - radios.x_m[a]) * points_m / distance_m
            y_m = radios.y_m[a] + (radios.y_m[s] - radios.y_m[a]) * points_m / distance_m
            wet = contains_xy(areas[water.id], x_m, y_m)
            if land is not None:
                wet &= ~contains_xy(land, x_m, y_m)
            if not wet.any():
                continue
            found[key] = _Over(
                water=water,
                point_m=float(points_m[_LEVELS // 2]),
                heights_m=(h1_m, h2_m),
                distance_m=distance_m,
                frequency_mhz=mhz,
                toward=(_toward(aims, a, where.bearing_a_deg[n], where.elevation_a_deg[n]),
                        _toward(aims, s, where.bearing_s_deg[n], where.elevation_s_deg[n])),
                antennas=(_antenna(radios, a), _antenna(radios, s)),
                lower=job.radios[radios.ids[a if h1_m < h2_m else s]].mount,
                spread_m=_spread_m(job, job.radios[radios.ids[a if h1_m < h2_m else s]].mount),
            )  # fmt: skip
            break
    return found


def _spread_m(job: Job, mount_id: str) -> float:
    """Return how exactly the height of a mount is known. [m]"""
    return max(_LEAST_SPREAD_M, height_sigma_m(job.mounts[mount_id].height_known, job.defaults))


def _toward(aims: Aims, row: int, bearing_deg: float, elevation_deg: float) -> tuple[float, float, float, float]:
    return float(bearing_deg), float(elevation_deg), float(aims.bearing_deg[row]), float(aims.bracket_deg[row])


def _antenna(radios: RadioArrays, row: int) -> tuple[object, ...]:
    """Return what the gain of a radio toward a direction follows from."""
    columns = (
        radios.kind, radios.gain_dbi, radios.azimuth_beamwidth_deg, radios.elevation_beamwidth_deg,
        radios.front_to_back_db, radios.electrical_downtilt_deg,
    )  # fmt: skip
    return (*(float(column[row]) for column in columns), radios.tables.get(row))


def _ripple(hop_id: str, one: _Over, radios: RadioArrays, hops: HopArrays) -> WaterRipple:
    n = hops.row[hop_id]
    rows = int(hops.access_point[n]), int(hops.station[n])
    permittivity = complex(surface_permittivity(_SURFACE, one.frequency_mhz))
    water, (h1_m, h2_m) = one.water, one.heights_m
    moves = water.level_high_m - water.level_low_m > _STILL_M
    lower_first = h1_m < h2_m
    low_m, high_m = min(h1_m, h2_m) - water.level_high_m, max(h1_m, h2_m) - water.level_high_m

    def reflected_gain_db(h_a_m: FloatArray | float, h_s_m: FloatArray | float) -> FloatArray:
        grazing_deg = reflected_ray(h_a_m, h_s_m, one.distance_m).grazing_deg
        rise_deg = np.rad2deg(np.arctan2(np.subtract(h_s_m, h_a_m), one.distance_m))
        total: FloatArray = np.zeros(np.shape(grazing_deg))
        for row, (bearing, _, aim, bracket), direct_deg in zip(rows, one.toward, (rise_deg, -rise_deg), strict=True):
            both_deg = np.stack([np.broadcast_to(-grazing_deg, total.shape), np.broadcast_to(direct_deg, total.shape)])
            reflected, direct = gain_toward_dbi(
                radios, np.array(row), np.array(bearing), both_deg, np.array(aim), np.array(bracket)
            )
            total = total + reflected - direct
        return total

    def at_level(level_m: FloatArray) -> FloatArray:
        return reflected_gain_db(h1_m - level_m, h2_m - level_m)

    def at_height(height_m: FloatArray) -> FloatArray:
        return reflected_gain_db(height_m, high_m) if lower_first else reflected_gain_db(high_m, height_m)

    def over_heights(polarisation: str, shift_m: float = 0.0) -> Ripple:
        middle_m = low_m + shift_m
        return height_ripple(
            high_m, one.distance_m, max(_LOWEST_M, middle_m - one.spread_m), middle_m + one.spread_m,
            one.frequency_mhz, permittivity, polarisation, _WEAK_DB, 0.0, at_height,
        )  # fmt: skip

    def over_levels(polarisation: str) -> Ripple:
        return water_level_ripple(
            h1_m, h2_m, one.distance_m, water.level_low_m, water.level_high_m, one.frequency_mhz, permittivity,
            polarisation, _WEAK_DB, 0.0, at_level,
        )  # fmt: skip

    across, upright = map(over_levels if moves else over_heights, _POLARISATIONS)
    avoid_m: tuple[float, ...] = ()
    better_m = None
    if not moves:
        around_m = max(_AROUND_M, one.spread_m)
        heights_m, _ = null_heights_m(
            high_m, one.distance_m, max(_LOWEST_M, low_m - around_m), low_m + around_m, one.frequency_mhz,
            permittivity, _POLARISATIONS[0], 0.0, at_height,
        )  # fmt: skip
        avoid_m = tuple((heights_m + water.level_high_m).tolist())
        better_m = _better_m((heights_m - low_m).tolist(), over_heights)
    span_m = water.level_high_m - water.level_low_m if moves else 2.0 * one.spread_m
    return WaterRipple(
        hop=hop_id,
        water=water.id,
        moves=moves,
        horizontal=across,
        vertical=upright,
        point_m=one.point_m,
        period_m=span_m / across.cycles if across.cycles > 0.0 else math.inf,
        lower=one.lower,
        avoid_m=avoid_m,
        better_m=better_m,
    )


def _better_m(nulls_m: list[float], over_heights: Callable[[str, float], Ripple]) -> float | None:
    """Return the least shift to a height midway between two nulls where neither polarisation is weak."""
    middles_m = sorted(((a + b) / 2.0 for a, b in pairwise(nulls_m)), key=abs)
    for shift_m in middles_m:
        found = [over_heights(one, shift_m) for one in _POLARISATIONS]
        if all(one.highest_db - one.lowest_db < RIPPLE_DB for one in found):
            return shift_m
    return None
