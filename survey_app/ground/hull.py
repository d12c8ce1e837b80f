"""One prism as a kernel sees it: its corners whatever ring they are in, and its top."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.solids import IntArray, Prisms
from survey_app.physics.kernels import kernel

__all__ = ["Hull", "Hulls", "crossings_at", "hull_of", "hulls_of", "in_order", "inside_outline", "top_at"]


class Hulls(NamedTuple):
    """Prisms as arrays; `after` is the corner that follows each in its ring, counted within the prism."""

    corners: FloatArray
    after: IntArray
    first_corner: IntArray
    underside: FloatArray
    planes: FloatArray


class Hull(NamedTuple):
    """One prism: corners of all rings, the corner that follows each, underside, planes of the top."""

    corners: FloatArray
    after: IntArray
    underside: float
    planes: FloatArray


def hulls_of(prisms: Prisms) -> Hulls:
    """Return prisms as kernels take them.

    Parameters
    ----------
    prisms : Prisms
        Rings of finite corners.

    Returns
    -------
    Hulls
        Arrays of their own.
    """
    first_corner = prisms.ring_start[prisms.first_ring] if len(prisms) else np.zeros(1, np.int64)
    after = np.arange(1, len(prisms.corners_m) + 1)
    rings = np.diff(prisms.ring_start) > 0
    after[prisms.ring_start[1:][rings] - 1] = prisms.ring_start[:-1][rings]
    after -= np.repeat(first_corner[:-1], np.diff(first_corner))
    return Hulls(
        np.array(prisms.corners_m, np.float64, order="C"),
        after.astype(np.int64),
        np.array(first_corner, np.int64),
        np.array(prisms.underside_m, np.float64),
        np.array(prisms.planes, np.float64, order="C"),
    )


@kernel
def hull_of(hulls: Hulls, n: int) -> Hull:
    """Return prism `n`."""
    begin, stop = hulls.first_corner[n], hulls.first_corner[n + 1]
    return Hull(hulls.corners[begin:stop], hulls.after[begin:stop], hulls.underside[n], hulls.planes[n])


@kernel
def top_at(hull: Hull, x: float, y: float) -> tuple[float, int]:
    """Return the height of the top at a point of the plan, and which plane is lowest there."""
    low, which = math.inf, 0
    x, y = x - hull.corners[0, 0], y - hull.corners[0, 1]
    for i in range(hull.planes.shape[0]):
        if hull.planes[i, 2] < math.inf:
            height = hull.planes[i, 0] * x + hull.planes[i, 1] * y + hull.planes[i, 2]
            if height < low:
                low, which = height, i
    return low, which


@kernel
def inside_outline(hull: Hull, x: float, y: float) -> bool:
    """Return whether a point lies inside an odd number of the rings."""
    inside = False
    for c in range(len(hull.after)):
        d = hull.after[c]
        x0, y0 = hull.corners[c, 0] - x, hull.corners[c, 1] - y
        x1, y1 = hull.corners[d, 0] - x, hull.corners[d, 1] - y
        if (y0 > 0.0) != (y1 > 0.0) and (x0 * y1 - x1 * y0 > 0.0) == (y1 > y0):
            inside = not inside
    return inside


@kernel
def crossings_at(after: IntArray, across: FloatArray, along: FloatArray, level: float, met: FloatArray) -> int:
    """Put into `met`, in order, `along` where the outline crosses the line `across = level`; return how often.

    A corner on the line belongs to its upper side, so that closed rings are met an even number of times.
    """
    count = 0
    for c in range(len(after)):
        d = after[c]
        a, b = across[c] - level, across[d] - level
        if (a >= 0.0) != (b >= 0.0):
            met[count] = along[c] + a / (a - b) * (along[d] - along[c])
            count += 1
    in_order(met, count)
    return count


@kernel
def in_order(values: FloatArray | IntArray, count: int) -> None:
    """Sort the first `count` values in place, smallest first (Shell's method: little to compile)."""
    gap = count // 2
    while gap > 0:
        for i in range(gap, count):
            value = values[i]
            j = i
            while j >= gap and values[j - gap] > value:
                values[j] = values[j - gap]
                j -= gap
            values[j] = value
        gap //= 2
