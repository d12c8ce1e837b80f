"""Edges of prisms in space: outline under the top, corners, underside, and the ridges where planes of the top meet."""

from __future__ import annotations

import math
from enum import IntEnum
from typing import NamedTuple

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.hull import Hull, Hulls, crossings_at, hull_of, in_order, top_at
from survey_app.ground.solids import IntArray
from survey_app.physics.kernels import kernel

__all__ = ["Part", "PrismEdges", "edges_of"]


_STEPS_OF_CORNER = 40.0


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


class PrismEdges(NamedTuple):
    """Straight edges of prisms, prism after prism.

    Attributes
    ----------
    ends : ndarray of float, shape (edges, 6)
        x, y, z of both ends; the lower end of a corner is -inf where the prism goes down into the ground. [m]
    part : ndarray of int, shape (edges,)
        `Part`.
    corner : ndarray of int, shape (edges,)
        Corner of the prism, counted over its rings, from which the edge starts or runs up; -1 for a ridge.
    first : ndarray of int, shape (prisms + 1,)
        First edge of each prism, and the number of edges.
    """

    ends: FloatArray
    part: IntArray
    corner: IntArray
    first: IntArray


def edges_of(hulls: Hulls) -> PrismEdges:
    """Return the edges of prisms.

    Parameters
    ----------
    hulls : Hulls
        Finite corners; equal neighbours give no edge.

    Returns
    -------
    PrismEdges
        An outline edge under several planes is cut where they meet.
    """
    first = np.zeros(len(hulls.first_corner), np.int64)
    put_all = _all_edges.sized(_STEPS_OF_CORNER * len(hulls.corners))
    put_all(hulls, PrismEdges(np.empty((0, 6)), np.empty(0, np.int64), np.empty(0, np.int64), first))
    count = int(first[-1])
    edges = PrismEdges(np.empty((count, 6)), np.empty(count, np.int64), np.empty(count, np.int64), first)
    put_all(hulls, edges)
    return edges


@kernel
def _put(
    edges: PrismEdges, at: int, x0: float, y0: float, z0: float, x1: float, y1: float, z1: float, part: int, corner: int
) -> int:
    """Put an edge, or only count it where there is no room yet."""
    if len(edges.part):
        ends = edges.ends[at]
        ends[0], ends[1], ends[2], ends[3], ends[4], ends[5] = x0, y0, z0, x1, y1, z1
        edges.part[at], edges.corner[at] = part, corner
    return at + 1


@kernel
def _outline_edge(hull: Hull, c: int, edges: PrismEdges, at: int) -> int:
    """Put the corner, the top and the underside of one edge of the outline."""
    d = hull.after[c]
    x0, y0, x1, y1 = hull.corners[c, 0], hull.corners[c, 1], hull.corners[d, 0], hull.corners[d, 1]
    ox, oy, planes = hull.corners[0, 0], hull.corners[0, 1], hull.planes
    breaks = np.empty(len(planes) * len(planes))
    breaks[0] = 0.0
    count = 1
    for i in range(len(planes)):
        for j in range(i):
            if planes[i, 2] == math.inf or planes[j, 2] == math.inf:
                continue
            da, db, dc = planes[i, 0] - planes[j, 0], planes[i, 1] - planes[j, 1], planes[i, 2] - planes[j, 2]
            at_0, at_1 = da * (x0 - ox) + db * (y0 - oy) + dc, da * (x1 - ox) + db * (y1 - oy) + dc
            if at_0 * at_1 < 0.0:
                t = at_0 / (at_0 - at_1)
                x, y = x0 + t * (x1 - x0), y0 + t * (y1 - y0)
                if planes[i, 0] * (x - ox) + planes[i, 1] * (y - oy) + planes[i, 2] <= top_at(hull, x, y)[0] + 1e-9:
                    breaks[count] = t
                    count += 1
    in_order(breaks, count)
    breaks[count] = 1.0
    xa, ya = x0, y0
    za = top_at(hull, xa, ya)[0]
    if hull.underside < za:
        at = _put(edges, at, x0, y0, hull.underside, x0, y0, za, 1, c)
    for k in range(1, count + 1):
        t = breaks[k]
        xb, yb = (x0 + t * (x1 - x0), y0 + t * (y1 - y0)) if t < 1.0 else (x1, y1)
        zb = top_at(hull, xb, yb)[0]
        at = _put(edges, at, xa, ya, za, xb, yb, zb, 0, c)
        xa, ya, za = xb, yb, zb
    if hull.underside > -math.inf:
        at = _put(edges, at, x0, y0, hull.underside, x1, y1, hull.underside, 3, c)
    return at


@kernel
def _lowest_span(planes: FloatArray, i: int, j: int, x: float, y: float, ux: float, uy: float) -> tuple[float, float]:
    """Return the part of a line, counted from (x, y), on which no other plane lies under planes `i` and `j`."""
    low, high = -math.inf, math.inf
    for other in range(len(planes)):
        if other in (i, j) or planes[other, 2] == math.inf:
            continue
        ga, gb = planes[other, 0] - planes[i, 0], planes[other, 1] - planes[i, 1]
        level = ga * x + gb * y + planes[other, 2] - planes[i, 2]
        rise = ga * ux + gb * uy
        if abs(rise) < 1e-15:
            if level < -1e-9:
                return 1.0, 0.0
        elif rise > 0.0:
            low = max(low, -level / rise)
        else:
            high = min(high, -level / rise)
    return low, high


@kernel
def _ridges(hull: Hull, across: FloatArray, along: FloatArray, met: FloatArray, edges: PrismEdges, at: int) -> int:
    """Put the edges in which two planes of the top meet inside the outline."""
    planes, ox, oy = hull.planes, hull.corners[0, 0], hull.corners[0, 1]
    for i in range(len(planes)):
        for j in range(i):
            if planes[i, 2] == math.inf or planes[j, 2] == math.inf:
                continue
            da, db, dc = planes[i, 0] - planes[j, 0], planes[i, 1] - planes[j, 1], planes[i, 2] - planes[j, 2]
            square = da * da + db * db
            if square < 1e-18:
                continue
            # where both planes are equally high: the foot of that line from the first corner, and its direction
            fx, fy, size = -dc * da / square, -dc * db / square, math.sqrt(square)
            ux, uy = -db / size, da / size
            low, high = _lowest_span(planes, i, j, fx, fy, ux, uy)
            if low >= high:
                continue
            for c in range(len(hull.after)):
                x, y = hull.corners[c, 0] - ox, hull.corners[c, 1] - oy
                across[c], along[c] = da * x + db * y + dc, (x - fx) * ux + (y - fy) * uy
            count = crossings_at(hull.after, across, along, 0.0, met)
            for k in range(0, count - 1, 2):
                a, b = max(met[k], low), min(met[k + 1], high)
                if a < b:
                    xa, ya, xb, yb = ox + fx + a * ux, oy + fy + a * uy, ox + fx + b * ux, oy + fy + b * uy
                    at = _put(edges, at, xa, ya, top_at(hull, xa, ya)[0], xb, yb, top_at(hull, xb, yb)[0], 2, -1)
    return at


@kernel
def _all_edges(hulls: Hulls, edges: PrismEdges) -> None:
    """Put the edges of all prisms and set where those of each begin."""
    most = 1
    for n in range(len(hulls.first_corner) - 1):
        most = max(most, hulls.first_corner[n + 1] - hulls.first_corner[n])
    across, along, met = np.empty(most), np.empty(most), np.empty(most)
    at = edges.first[0]
    for n in range(len(hulls.first_corner) - 1):
        hull = hull_of(hulls, n)
        for c in range(len(hull.after)):
            d = hull.after[c]
            if hull.corners[c, 0] != hull.corners[d, 0] or hull.corners[c, 1] != hull.corners[d, 1]:
                at = _outline_edge(hull, c, edges, at)
        at = _ridges(hull, across, along, met, edges, at)
        edges.first[n + 1] = at
