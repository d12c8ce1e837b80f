"""What a radio covers inside its building, through the walls that are drawn there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import shapely

from survey_app.assess.coverage.levels import path_gain_db
from survey_app.assess.coverage.pair import SPARE_ID, Pair
from survey_app.assess.coverage.served import ServedMount, best_mcs
from survey_app.assess.indoors import Indoors, Inside, WaysThrough, indoors_of, ways_through
from survey_app.errors import UsageError
from survey_app.ground.shell import Shell, holds, shell_of
from survey_app.ground.visibility.outlines import area_above
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.indoor_path import indoor_path_loss_db
from survey_app.physics.wall_loss import rays_loss_db
from survey_app.site.structure import Building

__all__ = ["FloorView", "floor_view", "mounts_inside"]

_POINTS = 6000
_FINEST_M = 0.25
_NEAREST_M = 0.1


class _Levels(NamedTuple):
    """Of far ends at points: path gains less losses without and with walls, distance, and what is gone through."""

    bare_db: FloatArray
    through_db: FloatArray
    distance_m: FloatArray
    ways: WaysThrough

    @property
    def is_free(self) -> BoolArray:
        """Which rays go through nothing."""
        free = np.ones(len(self.bare_db), np.bool_)
        free[self.ways.ray] = False
        return free


@dataclass(frozen=True)
class FloorView:
    """A floor as a radio on it covers it.

    Attributes
    ----------
    floor : shapely.Geometry
        Outline of the building.
    seen : shapely.Geometry
        What no wall stands before.
    rates : tuple of (mcs, shapely.Geometry, shapely.Geometry)
        The highest rate first: where it would be without walls, and where it is.
    step_m : float
        Step of the grid; outlines are good to half of it. [m]
    radius_m : float
        How far the farthest corner is. [m]
    """

    floor: shapely.Geometry
    seen: shapely.Geometry
    rates: tuple[tuple[int, shapely.Geometry, shapely.Geometry], ...]
    step_m: float
    radius_m: float


def floor_view(pair: Pair, over_floor_m: float) -> FloorView:
    """Return what a radio indoors covers of its building, doors that open and shut taken as shut.

    Parameters
    ----------
    pair : Pair
        Radio and far end.
    over_floor_m : float
        Height of far ends over the building's foot. [m]

    Raises
    ------
    UsageError
        The radio is in no building whose outline is known.

    Notes
    -----
    At each point of a grid the likely loss of free space and walls, ended as [P1238]_ has it, see
    `physics.indoor_path`; half of the places like it have the rate.
    """
    indoors, foot = _indoors(pair)
    floor = shapely.make_valid(shapely.Polygon(indoors.shell.rings[0], indoors.shell.rings[1:]))
    x0, y0, x1, y1 = floor.bounds
    step = max(_FINEST_M, float(np.sqrt((x1 - x0) * (y1 - y0) / _POINTS)))
    # one point beyond the outline on each side, so that no outline ends before its wall
    x, y = (np.arange(low - step, high + 2.0 * step, step) for low, high in ((x0, x1), (y0, y1)))
    columns, rows = np.meshgrid(x, y)
    points = np.column_stack((columns.ravel(), rows.ravel(), np.full(columns.size, foot + over_floor_m)))
    points[:, :2] = _within(floor, points[:, :2])
    level = _levels(pair, indoors, points)
    over, wanted = pair.power_over_sensitivity_db, pair.wanted_db(level.distance_m)
    has = np.flatnonzero(~np.isnan(pair.rate_mbps) & np.isfinite(over)).tolist()

    def area(field: FloatArray) -> shapely.Geometry:
        return shapely.intersection(area_above(x, y, field.reshape(columns.shape)), floor)

    rates = [
        (mcs, area(level.bare_db + over[mcs] - wanted), area(level.through_db + over[mcs] - wanted))
        for mcs in sorted(has, key=lambda mcs: (-pair.rate_mbps[mcs], -mcs))
    ]
    seen = area(np.where(level.is_free, 1.0, -1.0))
    eye = pair.eye_m
    corners = shapely.get_coordinates(floor)
    radius = float(np.max(np.hypot(corners[:, 0] - eye[0], corners[:, 1] - eye[1])))
    return FloorView(floor, seen, tuple(rates), step, radius)


def mounts_inside(pair: Pair) -> tuple[ServedMount, ...]:
    """Return the other mounts of the radio's building as far ends through its walls, the nearest first."""
    indoors, _ = _indoors(pair)
    own = pair.job.radios[pair.radios.ids[pair.radio]].mount
    spots = {key: pair.job.placed.mounts[key] for key in pair.job.mounts if key not in (own, SPARE_ID)}
    at = np.array([(one.x_m, one.y_m, one.elevation_m) for one in spots.values()]).reshape(-1, 3)
    apart = np.sqrt(np.sum(np.square(at - pair.eye_m), axis=1)) > _NEAREST_M
    mine = holds(indoors.shell, at) & apart if len(at) else np.zeros(0, np.bool_)
    keys, points = [key for key, is_in in zip(spots, mine, strict=True) if is_in], at[mine]
    if not keys:
        return ()
    level = _levels(pair, indoors, points)
    wanted = pair.wanted_db(level.distance_m)
    sent = float(pair.found.powers.aiming_dbm[pair.radio])
    found = []
    for n, key in enumerate(keys):
        mcs = best_mcs(pair, level.through_db[n : n + 1], wanted[n : n + 1])
        walls = tuple(dict.fromkeys(indoors.makes[m].thing for m in level.ways.make[level.ways.ray == n].tolist()))
        known = bool(np.isfinite(level.through_db[n]))
        found.append(
            ServedMount(
                mount=key,
                distance_m=float(level.distance_m[n]),
                seen=not walls,
                level_dbm=float(level.through_db[n] + sent) if known else None,
                mcs=mcs,
                rate_mbps=None if mcs is None else float(pair.rate_mbps[mcs]),
                through=walls,
            )
        )
    return tuple(sorted(found, key=lambda one: (one.distance_m, one.mount)))


def _indoors(pair: Pair) -> tuple[Indoors, float]:
    """Return the building that the radio is in, and its foot over the site datum."""
    job, around = pair.job, pair.found.around
    radio_id = pair.radios.ids[pair.radio]
    first = job.mounts[job.radios[radio_id].mount].structure
    names = sorted(around.structures, key=lambda key: (key != first, key))
    for key in names:
        building, foot = around.structures[key], job.placed.feet_m.get(key, np.nan)
        if not isinstance(building, Building) or not np.isfinite(foot):
            continue
        shell: Shell | None = shell_of(around.now.standing.solids, key)
        if shell is not None and bool(holds(shell, pair.eye_m[None])[0]):
            return indoors_of(building, foot, shell, around.inside.get(key, Inside())), foot
    raise UsageError(
        f"{radio_id} hangs indoors, and in no building that is drawn",
        remedy="draw the building round it",
        where=f"radio {radio_id}",
    )


def _within(floor: shapely.Geometry, points: FloatArray) -> FloatArray:
    """Return points, those outside moved to the nearest place of the outline: outside of the wall nothing is asked."""
    outside = ~shapely.contains_xy(floor, points[:, 0], points[:, 1])
    moved = points.copy()
    if outside.any():
        edge, there = floor.boundary, shapely.points(points[outside])
        nearest = shapely.get_coordinates(shapely.line_interpolate_point(edge, shapely.line_locate_point(edge, there)))
        middle = np.asarray(shapely.point_on_surface(floor).coords[0])
        moved[outside] = nearest + 1e-3 * (middle - nearest)
    return moved


def _levels(pair: Pair, indoors: Indoors, points_m: FloatArray) -> _Levels:
    start = np.tile(pair.eye_m, (len(points_m), 1))
    gain, distance = path_gain_db(pair, points_m)
    distance = np.maximum(distance, _NEAREST_M)
    ways = ways_through(indoors, start, points_m)
    makes = [make.made for make in indoors.makes]
    width = float(pair.found.hops.width_mhz[pair.hop])
    walls = rays_loss_db(len(points_m), ways.ray, ways.make, ways.incidence_deg, makes, pair.centre_mhz, width)
    floor = np.array([make.kind == "floor" for make in indoors.makes], bool)[ways.make]
    floors = np.bincount(ways.ray, weights=floor.astype(float), minlength=len(points_m))
    loss = indoor_path_loss_db(distance, pair.centre_mhz, walls, indoors.place, floors)
    # the gain holds free space already
    behind = loss.likely_db - free_space_loss_db(distance, pair.centre_mhz)
    return _Levels(gain, gain - behind, distance, ways)
