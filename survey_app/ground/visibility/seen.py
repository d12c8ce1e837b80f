"""What a point sees round it at a height over the ground, flat or not, past everything that stands there."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
import shapely

from survey_app.ground._arrays import FloatArray
from survey_app.ground.ray import hide_behind, ray_index
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.ground.solids import SolidKind, Solids
from survey_app.ground.visibility.carrier import carriers
from survey_app.ground.visibility.horizon import least_seen_m
from survey_app.ground.visibility.outlines import areas_apart
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
    return _over_relief(solids, ground, eye, over_ground_m, radius_m, kinds, k)


def _over_relief(
    solids: Solids,
    ground: Surface,
    eye: FloatArray,
    over_ground_m: float,
    radius_m: float,
    kinds: Collection[SolidKind] | None,
    k: float | None,
) -> Seen:
    step = max(FINEST_STEP_M, radius_m / MOST_STEPS)
    n = int(np.ceil(radius_m / step)) + 1
    x, y = eye[0] + step * np.arange(-n, n + 1), eye[1] + step * np.arange(-n, n + 1)
    heights = ground.heights_m(x, y[:, None])
    within = radius_m * radius_m - ((x - eye[0]) ** 2 + ((y - eye[1]) ** 2)[:, None])
    spare = least_seen_m(heights, float(eye[2]), step, k)
    np.subtract(over_ground_m, spare, out=spare)
    heights += over_ground_m
    seen = (spare > 0.0) & (within > 0.0)
    free = seen.copy()
    own = int(carriers(solids.uprights, eye[None])[0])
    hide_behind(ray_index(solids), eye, x, y, heights, free, without=own, kinds=kinds)
    # halfway to what a solid hides; beside what the ground hides the outline runs where its horizon does
    np.clip(spare, -1.0, 1.0, out=spare)
    np.putmask(spare, seen & ~free, -1.0)
    unknown = np.isnan(spare)
    if not unknown.any():
        hidden, shown = areas_apart(x, y, (within, spare))
        return Seen(shown, hidden, shapely.Polygon(), step)
    not_known, hidden, shown = areas_apart(x, y, (within, np.where(unknown, np.nan, 1.0), spare))
    return Seen(shown, hidden, not_known, step)
