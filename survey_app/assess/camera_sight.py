"""What stands between a camera's lens and the middle of its target."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from survey_app.assess.demand import target_xy
from survey_app.assess.in_the_way import Stand, Surroundings, of_solids
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.ground.clearance import Pairs
from survey_app.ground.place import Placed
from survey_app.ground.ray.crossings import crossings
from survey_app.ground.ray.near import near
from survey_app.ground.solids import SolidKind
from survey_app.physics.arrays import FloatArray
from survey_app.site.network import CameraTarget

__all__ = ["Hidden", "hidden_targets", "line_of_sight"]

_PASSING = frozenset({int(SolidKind.TRAFFIC), int(SolidKind.WIRE)})
_AT_LENS_M = 1.0  # its own pole, bracket and wall
_AT_TARGET_M = 0.5  # the face that it is there to see


class Hidden(NamedTuple):
    """What hides the target of a camera.

    Attributes
    ----------
    thing : str
        Id of the structure.
    at_m : float
        How far from the lens, along the ground, the line of sight enters it. [m]
    x_m, y_m, height_m : float
        Where that is, over the site datum. [m]
    """

    thing: str
    at_m: float
    x_m: float
    y_m: float
    height_m: float


def hidden_targets(job: Job, placed: Placed, around: Surroundings, memo: Fresh) -> dict[str, Hidden]:
    """Return what hides the middle of the target of a camera, for those that do not see it.

    Parameters
    ----------
    job : Job
        The indexed site.
    placed : Placed
        Where things are.
    around : Surroundings
        What stands on the site, trees in leaf.
    memo : Fresh
        What is known from an earlier value of the site; every camera is looked at by itself.

    Notes
    -----
    The line runs straight from the lens to the target's middle; a target stands on the relief, or on the ground of what
    carries the camera where there is none. What lies within a metre of the lens or half a metre of the target is its
    own bracket or what it is there to see. Cameras indoors are left out: walls are no solids.
    """
    seen = [
        (camera.id, camera.target)
        for camera in job.cameras.values()
        if camera.target is not None and camera.environment != "indoors" and camera.id in placed.cameras
    ]
    lines = {key: line for key, target in seen if (line := line_of_sight(placed, key, target)) is not None}
    if not lines:
        return {}
    names = list(lines)
    ends = np.array([lines[key] for key in names])
    stand, feet_m = around.now, placed.feet_m
    under = near(stand.index, ends[:, 0], ends[:, 1], 0.0)
    under_each: list[dict[str, None]] = [{} for _ in names]
    things = of_solids(stand.thing, Pairs(under.ray, under.family.astype(np.int64), under.body))
    for ray, thing in zip(under.ray.tolist(), things.tolist(), strict=True):
        under_each[ray][stand.standing.solids.ids[thing]] = None
    given = [
        (lines[key], tuple((around.structures[one], feet_m[one]) for one in sorted(under_each[n])))
        for n, key in enumerate(names)
    ]
    found = memo.each("hidden targets", names, given, lambda stale: _first_met(stand, ends[stale]))
    return {key: one for key, one in zip(names, found, strict=True) if one is not None}


def _first_met(stand: Stand, ends: FloatArray) -> list[Hidden | None]:
    """Return what hides each target, of lines of shape (n, 2, 3)."""
    found = crossings(stand.index, ends[:, 0], ends[:, 1])
    length_m = np.sqrt(np.sum((ends[:, 1] - ends[:, 0]) ** 2, axis=1))
    hidden: list[Hidden | None] = [None] * len(ends)
    for row in np.flatnonzero(np.isfinite(found.inside_from)).tolist():
        ray, part = int(found.ray[row]), float(found.inside_from[row])
        if int(stand.kind[found.family[row]][found.body[row]]) in _PASSING:
            continue
        if float(found.inside_to[row]) * length_m[ray] <= _AT_LENS_M or (1.0 - part) * length_m[ray] <= _AT_TARGET_M:
            continue
        x_m, y_m, height_m = (ends[ray, 0] + part * (ends[ray, 1] - ends[ray, 0])).tolist()
        at_m = part * math.dist(ends[ray, 0, :2], ends[ray, 1, :2])
        known = hidden[ray]
        if known is None or at_m < known.at_m:
            hidden[ray] = Hidden(stand.standing.solids.ids[found.thing[row]], at_m, x_m, y_m, height_m)
    return hidden


def line_of_sight(
    placed: Placed, camera_id: str, target: CameraTarget
) -> tuple[tuple[float, float, float], tuple[float, float, float]] | None:
    """Return lens and middle of the target of a camera, or None where one has no place.

    Parameters
    ----------
    placed : Placed
        Where things are.
    camera_id : str
        A camera with a place.
    target : CameraTarget
        Its target.
    """
    spot = placed.cameras[camera_id]
    x_m, y_m = target_xy(placed, target)
    if not all(map(math.isfinite, (spot.x_m, spot.y_m, spot.elevation_m, x_m, y_m))):
        return None
    ground_m = float(placed.ground.heights_m(x_m, y_m))
    low_m = ground_m if math.isfinite(placed.ground.sigma_m) and math.isfinite(ground_m) else spot.foot_m
    if not math.isfinite(low_m):
        return None
    return (spot.x_m, spot.y_m, spot.elevation_m), (x_m, y_m, low_m + target.height_m)
