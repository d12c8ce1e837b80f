"""Shadows of the commonest solids, convex level blocks, in one piece each."""

from __future__ import annotations

import numpy as np
import shapely

from survey_app.ground._arrays import FloatArray
from survey_app.ground.visibility.faces import Block
from survey_app.ground.visibility.frame import EVEN_M, TOUCH_M, Frame

__all__ = ["simple_apart", "swept"]

_BESIDE_M = 1e-3


def simple_apart(blocks: list[Block], eye: FloatArray) -> tuple[list[Block], list[Block]]:
    """Return blocks, and apart from them the simple ones: convex, level, on the ground, and not at the viewer.

    Parameters
    ----------
    blocks : list of Block
        Any.
    eye : ndarray of float, shape (3,)
        The viewer. [m]
    """
    if not blocks:
        return [], []
    areas = np.array([block.area for block in blocks], dtype=object)
    plain = np.array([block.is_plain for block in blocks], np.bool_)
    if not plain.any():
        return blocks, []
    hull = shapely.area(shapely.convex_hull(areas))
    plain &= hull - shapely.area(areas) <= 1e-12 * hull
    plain &= shapely.distance(areas, shapely.Point(eye[:2])) > _BESIDE_M
    rest = [block for block, is_plain in zip(blocks, plain.tolist(), strict=True) if not is_plain]
    return rest, [block for block, is_plain in zip(blocks, plain.tolist(), strict=True) if is_plain]


def swept(
    frame: Frame | None, simple: list[Block], eye: FloatArray, height_m: float, radius_m: float
) -> list[shapely.Geometry]:
    """Return what simple blocks hide of a level plane, in one piece each.

    A ray that meets a block at a height is a scaling of the outline about the viewer; over all heights of a block the
    scaled outlines fill the hull of the smallest and the largest. Without a frame the plane is at eye height.

    Parameters
    ----------
    frame : Frame or None
        The viewer who looks at the plane.
    simple : list of Block
        As `simple_apart` finds them.
    eye : ndarray of float, shape (3,)
        The viewer. [m]
    height_m : float
        The plane, over the site datum. [m]
    radius_m : float
        Beyond it nothing counts. [m]
    """
    eye_m = float(eye[2])
    # what does not reach up to the lower end of the rays hides nothing
    hiding = [block for block in simple if float(block.tops[0, 2]) > min(height_m, eye_m) + TOUCH_M]
    if not hiding:
        return []
    foot = np.concatenate([block.rings[0] for block in hiding])
    owner = np.repeat(np.arange(len(hiding)), [len(block.rings[0]) for block in hiding])
    top = np.array([float(block.tops[0, 2]) for block in hiding])[owner]
    near = shapely.distance(np.array([block.area for block in hiding], dtype=object), shapely.Point(eye[:2]))
    # so far out that nothing of it comes back into the disc
    beyond = 2.0 * radius_m / near[owner]
    if frame is None:
        least, most = np.ones(len(foot)), beyond
    else:
        met = frame.scale(frame.seen(np.column_stack((foot, np.minimum(top, max(height_m, eye_m))))))
        looks_up = height_m > eye_m
        least = met if looks_up else np.ones(len(foot))
        most = np.where(looks_up | (top > eye_m - EVEN_M), beyond, np.minimum(met, beyond))
    away = foot - eye[:2]
    ends = [eye[:2] + away * np.maximum(scale, least)[:, None] for scale in (least, most)]
    order = np.argsort(np.concatenate((owner, owner)), kind="stable")
    points = shapely.points(np.concatenate(ends)[order])
    return list(shapely.convex_hull(shapely.multipoints(points, indices=np.concatenate((owner, owner))[order])))
