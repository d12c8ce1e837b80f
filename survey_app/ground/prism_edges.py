"""Edges of prisms in space: outline under the top, corners, underside, and the ridges where planes of the top meet."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.solids import IntArray, Prisms
from survey_app.physics.kernels import kernel

__all__ = ["Part", "PrismEdges", "edges_of", "top_at"]


class Part(IntEnum):
    """Which part of a solid is meant."""

    TOP_EDGE = 0
    CORNER = 1
    RIDGE = 2
    UNDER_EDGE = 3
    TOP = 4
    WALL = 5
    UNDERSIDE = 6
    UPRIGHT = 7
    WIRE = 8


@dataclass(frozen=True)
class PrismEdges:
    """Straight edges of prisms, prism after prism.

    Attributes
    ----------
    ends_m : ndarray of float, shape (edges, 6)
        x, y, z of both ends; the lower end of a corner is -inf where the prism goes down into the ground. [m]
    part : ndarray of int, shape (edges,)
        `Part`.
    corner : ndarray of int, shape (edges,)
        Corner of the prism, counted over its rings, from which the edge starts or runs up; -1 for a ridge.
    first_edge : ndarray of int, shape (prisms + 1,)
        First edge of each prism, and the number of edges.
    """

    ends_m: FloatArray
    part: IntArray
    corner: IntArray
    first_edge: IntArray


def edges_of(prisms: Prisms) -> PrismEdges:
    """Return the edges of prisms.

    Parameters
    ----------
    prisms : Prisms
        Finite corners; equal neighbours give no edge.

    Returns
    -------
    PrismEdges
        An outline edge under several planes is cut where they meet. What is inside a courtyard is no edge.
    """
    first = np.zeros(len(prisms) + 1, np.int64)
    arrays = (prisms.corners_m, prisms.ring_start, prisms.first_ring, prisms.underside_m, prisms.planes)
    _all_edges(*arrays, np.empty((0, 6)), np.empty(0, np.int64), np.empty(0, np.int64), first)
    count = int(first[-1])
    ends, part, corner = np.empty((count, 6)), np.empty(count, np.int64), np.empty(count, np.int64)
    _all_edges(*arrays, ends, part, corner, first)
    return PrismEdges(ends, part, corner, first)


@kernel
def top_at(planes, n, x, y):  # type: ignore[no-untyped-def]
    """Return the top of prism `n` at a point counted from its first corner, and the lowest plane there."""
    low, which = math.inf, 0
    for i in range(planes.shape[1]):
        height = planes[n, i, 0] * x + planes[n, i, 1] * y + planes[n, i, 2] if planes[n, i, 2] < math.inf else math.inf
        if height < low:
            low, which = height, i
    return low, which


@kernel
def _put(ends, part, corner, at, x0, y0, z0, x1, y1, z1, what, where):  # type: ignore[no-untyped-def]
    if len(part):
        ends[at, 0], ends[at, 1], ends[at, 2] = x0, y0, z0
        ends[at, 3], ends[at, 4], ends[at, 5] = x1, y1, z1
        part[at], corner[at] = what, where
    return at + 1


@kernel
def _outline_edge(planes, n, ends, part, corner, at, ox, oy, x0, y0, x1, y1, underside, here):  # type: ignore[no-untyped-def]
    """Put the top, the corner and the underside of one edge of an outline, given from the prism's first corner."""
    breaks = np.empty(planes.shape[1] * (planes.shape[1] - 1) // 2 + 2)
    breaks[0] = 0.0
    count = 1
    for i in range(planes.shape[1]):
        for j in range(i):
            if planes[n, i, 2] == math.inf or planes[n, j, 2] == math.inf:
                continue
            da, db = planes[n, i, 0] - planes[n, j, 0], planes[n, i, 1] - planes[n, j, 1]
            at_0 = da * x0 + db * y0 + planes[n, i, 2] - planes[n, j, 2]
            at_1 = da * x1 + db * y1 + planes[n, i, 2] - planes[n, j, 2]
            if (at_0 > 0.0) == (at_1 > 0.0) or at_0 == 0.0 or at_1 == 0.0:
                continue
            t = at_0 / (at_0 - at_1)
            x, y = x0 + t * (x1 - x0), y0 + t * (y1 - y0)
            mine = planes[n, i, 0] * x + planes[n, i, 1] * y + planes[n, i, 2]
            if mine <= top_at(planes, n, x, y)[0] + 1e-9:
                breaks[count] = t
                count += 1
    inner = np.sort(breaks[:count])
    xa, ya = x0, y0
    za = top_at(planes, n, xa, ya)[0]
    if underside < za:
        at = _put(ends, part, corner, at, x0 + ox, y0 + oy, underside, x0 + ox, y0 + oy, za, 1, here)
    for k in range(1, count + 1):
        t = inner[k] if k < count else 1.0
        xb, yb = x0 + t * (x1 - x0), y0 + t * (y1 - y0)
        if k == count:
            xb, yb = x1, y1
        zb = top_at(planes, n, xb, yb)[0]
        at = _put(ends, part, corner, at, xa + ox, ya + oy, za, xb + ox, yb + oy, zb, 0, here)
        xa, ya, za = xb, yb, zb
    if underside > -math.inf:
        at = _put(
            ends, part, corner, at, x0 + ox, y0 + oy, underside, x1 + ox, y1 + oy, underside, 3, here
        )
    return at


@kernel
def _edges(corners, ring_start, first_ring, undersides, planes, n, ends, part, corner, at):  # type: ignore[no-untyped-def]
    """Put the edges of prism `n` from place `at` on (nothing is written into empty arrays) and return the next place."""
    begin = ring_start[first_ring[n]]
    ox, oy = corners[begin, 0], corners[begin, 1]
    total = ring_start[first_ring[n + 1]] - begin
    for ring in range(first_ring[n], first_ring[n + 1]):
        start, stop = ring_start[ring], ring_start[ring + 1]
        for c in range(start, stop):
            d = c + 1 if c + 1 < stop else start
            x0, y0 = corners[c, 0] - ox, corners[c, 1] - oy
            x1, y1 = corners[d, 0] - ox, corners[d, 1] - oy
            if x0 != x1 or y0 != y1:
                at = _outline_edge(
                    planes, n, ends, part, corner, at, ox, oy, x0, y0, x1, y1, undersides[n], c - begin
                )
    met = np.empty(total)
    for i in range(planes.shape[1]):
        for j in range(i):
            if planes[n, i, 2] == math.inf or planes[n, j, 2] == math.inf:
                continue
            da, db = planes[n, i, 0] - planes[n, j, 0], planes[n, i, 1] - planes[n, j, 1]
            dc = planes[n, i, 2] - planes[n, j, 2]
            square = da * da + db * db
            if square < 1e-18:
                continue
            # the line where both planes are level with each other, its foot from the first corner and its direction
            fx, fy = -dc * da / square, -dc * db / square
            size = math.sqrt(square)
            ux, uy = -db / size, da / size
            low, high = -math.inf, math.inf
            for other in range(planes.shape[1]):
                if other == i or other == j or planes[n, other, 2] == math.inf:
                    continue
                ga, gb = planes[n, other, 0] - planes[n, i, 0], planes[n, other, 1] - planes[n, i, 1]
                level = ga * fx + gb * fy + planes[n, other, 2] - planes[n, i, 2]
                rise = ga * ux + gb * uy
                if abs(rise) < 1e-15:
                    if level < -1e-9:
                        low, high = 1.0, 0.0
                elif rise > 0.0:
                    low = max(low, -level / rise)
                else:
                    high = min(high, -level / rise)
            if low >= high:
                continue
            count = 0
            for ring in range(first_ring[n], first_ring[n + 1]):
                start, stop = ring_start[ring], ring_start[ring + 1]
                for c in range(start, stop):
                    d = c + 1 if c + 1 < stop else start
                    x0, y0 = corners[c, 0] - ox, corners[c, 1] - oy
                    x1, y1 = corners[d, 0] - ox, corners[d, 1] - oy
                    g0, g1 = da * x0 + db * y0 + dc, da * x1 + db * y1 + dc
                    if (g0 >= 0.0) != (g1 >= 0.0):
                        t = g0 / (g0 - g1)
                        x, y = x0 + t * (x1 - x0), y0 + t * (y1 - y0)
                        met[count] = (x - fx) * ux + (y - fy) * uy
                        count += 1
            spans = np.sort(met[:count])
            for k in range(0, count - 1, 2):
                a, b = max(spans[k], low), min(spans[k + 1], high)
                if a < b:
                    xa, ya, xb, yb = fx + a * ux, fy + a * uy, fx + b * ux, fy + b * uy
                    za, zb = top_at(planes, n, xa, ya)[0], top_at(planes, n, xb, yb)[0]
                    at = _put(ends, part, corner, at, xa + ox, ya + oy, za, xb + ox, yb + oy, zb, 2, -1)
    return at


@kernel
def _all_edges(corners, ring_start, first_ring, undersides, planes, ends, part, corner, first):  # type: ignore[no-untyped-def]
    """Put the edges of all prisms and set where each prism's begin."""
    at = 0
    for n in range(len(first_ring) - 1):
        at = _edges(corners, ring_start, first_ring, undersides, planes, n, ends, part, corner, at)
        first[n + 1] = at
