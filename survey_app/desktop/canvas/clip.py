"""Lines and outlines cut to the window before they reach the painter.

At ten centimetres across the screen a hop of a kilometre is twelve million pixels long: its dashes alone would take
minutes. What lies outside is cut away in double precision.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from survey_app.desktop.canvas.segments import inside_parts

__all__ = ["clip_lines", "clip_outline", "needs_clip"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Box = tuple[float, float, float, float]


def needs_clip(points: Floats, box: Box) -> bool:
    """Whether any point lies outside a box (x_min, y_min, x_max, y_max)."""
    low, high = points.min(axis=0), points.max(axis=0)
    return bool(low[0] < box[0] or low[1] < box[1] or high[0] > box[2] or high[1] > box[3])


def clip_lines(points: Floats, joined: Bools, box: Box) -> tuple[Floats, Bools]:
    """Return lines without what lies outside a box; pieces that meet inside stay joined.

    Parameters
    ----------
    points : ndarray of float, shape (n, 2)
        Points of all lines in a row.
    joined : ndarray of bool, shape (n,)
        Whether a point is joined to the next.
    box : (x_min, y_min, x_max, y_max)
        Same unit as the points.

    Returns
    -------
    points, joined
        As the parameters.
    """
    start = np.flatnonzero(joined[:-1])
    a, b = points[start], points[start + 1]
    step = b - a
    enter, leave = inside_parts(a, step, box)
    kept = enter <= leave
    a, step, enter, leave, start = a[kept], step[kept], enter[kept], leave[kept], start[kept]
    ends = np.empty((len(a), 2, 2))
    ends[:, 0] = a + enter[:, None] * step
    ends[:, 1] = np.where((leave == 1.0)[:, None], points[start + 1], a + leave[:, None] * step)
    # a piece that ends where the next one begins shares the point with it
    chained = (leave[:-1] == 1.0) & (enter[1:] == 0.0) & (start[1:] == start[:-1] + 1)
    keep = np.ones((len(a), 2), dtype=np.bool_)
    keep[1:, 0] = ~chained
    links = np.zeros((len(a), 2), dtype=np.bool_)
    links[:, 0] = True
    links[:-1, 1] = chained
    return ends[keep], links[keep]


def clip_outline(points: Floats, box: Box) -> Floats:
    """Return the part of an outline inside a box, as one outline (parts may hang together along the box's edge).

    Parameters
    ----------
    points : ndarray of float, shape (n, 2)
        Corners; the last is joined to the first.
    box : (x_min, y_min, x_max, y_max)
        Same unit as the points.

    Returns
    -------
    ndarray of float, shape (m, 2)
        Empty where nothing is inside.
    """
    for axis in (0, 1):
        for limit, sign in ((box[axis], 1.0), (box[axis + 2], -1.0)):
            if len(points) == 0:
                return points
            points = _cut(points, axis, limit, sign)
    return points


def _cut(points: Floats, axis: int, limit: float, sign: float) -> Floats:
    here = sign * (points[:, axis] - limit)
    if (here >= 0).all():
        return points
    following = np.roll(points, -1, axis=0)
    there = np.roll(here, -1)
    crosses = (here >= 0) != (there >= 0)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        t = np.where(crosses, here / (here - there), 0.0)
    cut = points + t[:, None] * (following - points)
    cut[crosses, axis] = limit
    both = np.stack((points, cut), axis=1)
    return np.asarray(both[np.stack((here >= 0, crosses), axis=1)], dtype=np.float64)
