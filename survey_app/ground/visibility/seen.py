"""What a point sees round it at a height over the ground, flat or not, past everything that stands there."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
import shapely

from survey_app.ground._arrays import FloatArray
from survey_app.ground.ray import blocked, ray_index
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.ground.solids import SolidKind, Solids
from survey_app.ground.visibility.carrier import carriers
from survey_app.ground.visibility.horizon import least_seen_m
from survey_app.ground.visibility.outlines import area_above
from survey_app.ground.visibility.shadows import disc, level_shadows

__all__ = ["FINEST_STEP_M", "MOST_STEPS", "Seen", "what_is_seen"]

FINEST_STEP_M = 1.0
"""The grid over a relief is never finer. [m]"""
MOST_STEPS = 500
"""From the viewer to the grid's edge at most so many steps."""


@dataclass(frozen=True)
class Seen:
    """What is seen within a radius, as areas of the plan.

    Attributes
    ----------
    seen, hidden, unknown : shapely.Geometry
        Apart from each other; together the disc. Unknown is where ground there or before it is not known.
    step_m : float
        0 = outlines are exact; else the step of the grid on which the relief was looked at: outlines of solids are
        good to half of it. [m]
    """

    seen: shapely.Geometry
    hidden: shapely.Geometry
    unknown: shapely.Geometry
    step_m: float


def what_is_seen(
    solids: Solids,
    ground: Surface,
    viewer_m: FloatArray,
    over_ground_m: float,
    radius_m: float,
    *,
    kinds: Collection[SolidKind] | None = None,
    k: float | None = None,
) -> Seen:
    """Return what a point sees at a height over the ground.

    Parameters
    ----------
    solids : Solids
        What stands.
    ground : Surface
        The relief.
    viewer_m : ndarray of float, shape (3,)
        x, y, height over the site datum; finite.
    over_ground_m : float
        Height over the ground of what is looked at, >= 0. [m]
    radius_m : float
        How far on the plan, > 0. [m]
    kinds : collection of SolidKind, optional
        Which solids count; all if left out.
    k : float, optional
        Factor of the earth's radius, > 0; left out, the earth is flat.

    Notes
    -----
    Over flat ground outlines are exact. Over a relief every point of a grid is asked: past the ground by its horizon,
    past solids by its own straight ray, so that no pole is too thin; there the earth's bulge counts for the ground
    alone.
    """
    eye = np.asarray(viewer_m, np.float64)
    whole = disc(eye, radius_m)
    nothing = shapely.Polygon()
    if isinstance(ground, LevelGround):
        if np.isnan(ground.height_m):
            return Seen(nothing, nothing, whole, 0.0)
        hidden = level_shadows(solids, eye, ground.height_m + over_ground_m, radius_m, kinds=kinds, k=k)
        return Seen(shapely.difference(whole, hidden), hidden, nothing, 0.0)
    step = max(FINEST_STEP_M, radius_m / MOST_STEPS)
    n = int(np.ceil(radius_m / step)) + 1
    x, y = eye[0] + step * np.arange(-n, n + 1), eye[1] + step * np.arange(-n, n + 1)
    heights = ground.heights_m(*np.meshgrid(x, y))
    spare = over_ground_m - least_seen_m(heights, float(eye[2]), step, k)
    # only next to nothing decides where an outline runs: far from it figures do not matter
    spare = np.clip(np.where(np.isnan(heights), np.nan, spare), -1.0, 1.0)
    away2 = (x - eye[0]) ** 2 + ((y - eye[1]) ** 2)[:, None]
    asked = (spare >= 0.0) & (away2 <= (radius_m + 2.0 * step) ** 2)
    rows, columns = np.nonzero(asked)
    targets = np.column_stack((x[columns], y[rows], heights[rows, columns] + over_ground_m))
    spare[rows, columns] = np.where(_blocked(solids, eye, targets, kinds), -1.0, spare[rows, columns])
    seen = shapely.intersection(area_above(x, y, spare), whole)
    known = whole
    if np.isnan(spare).any():
        known = shapely.intersection(area_above(x, y, np.where(np.isnan(spare), np.nan, 1.0)), whole)
        seen = shapely.intersection(seen, known)
    return Seen(seen, shapely.difference(known, seen), shapely.difference(whole, known), step)


def _blocked(
    solids: Solids, eye: FloatArray, targets: FloatArray, kinds: Collection[SolidKind] | None
) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    if not len(targets) or not (len(solids.prisms) or len(solids.uprights)):
        return np.zeros(len(targets), np.bool_)
    own = np.broadcast_to(carriers(solids.uprights, eye[None]), (len(targets), 1))
    return blocked(ray_index(solids), np.broadcast_to(eye, targets.shape), targets, without=own, kinds=kinds)
