"""Which bodies stand near a ray on the plan, for many rays at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.ray.cells import Cells, longer
from survey_app.ground.ray.index import RayIndex
from survey_app.ground.ray.line import Line, can_be_judged, line_of, rays
from survey_app.ground.ray.packed import Packed
from survey_app.physics.kernels import kernel

__all__ = ["Near", "near"]

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

_SAFE_M = 1e-6
_FARTHEST_M = 1e10


@dataclass(frozen=True)
class Near:
    """Bodies near rays, ray after ray; prisms, uprights and wires by their place; rows of one shape (rows,).

    Attributes
    ----------
    ray : ndarray of int
        Place in what was asked.
    family : ndarray of int
        `Family` of the body.
    body : ndarray of int
        Place in the arrays of that family.
    start : ndarray of int, shape (rays + 1,)
        First row of each ray, and the number of rows.
    usable : ndarray of bool, shape (rays,)
        Whether ray and reach are known; one that is not has no rows.
    """

    ray: IntArray
    family: NDArray[np.int8]
    body: IntArray
    start: IntArray
    usable: BoolArray

    def __len__(self) -> int:
        return len(self.ray)


def near(index: RayIndex, start_m: ArrayLike, end_m: ArrayLike, reach_m: ArrayLike) -> Near:
    """Return the bodies whose footprints come closer to rays on the plan than a reach.

    Parameters
    ----------
    index : RayIndex
        The solids.
    start_m, end_m : array_like of float, shape (n, 3)
        x, y, height over the site datum. Ends may coincide. [m]
    reach_m : array_like of float, scalar or shape (n,)
        Distance from the ray between its ends, >= 0. [m]

    Returns
    -------
    Near
        Every body that is closer, and none that is a micrometre farther; the same for a ray and its reverse. A body
        whose footprint the ray passes over counts at any reach.

    Raises
    ------
    ValueError
        The shapes do not fit together.
    """
    start, end = rays(start_m, end_m)
    reach = np.array(np.broadcast_to(np.asarray(reach_m, np.float64), (len(start),)))
    packed = index.packed
    first, body, can = _near.sized(index.steps(len(start), float(reach.max(initial=0.0))))(
        packed, index.cells, start, end, reach
    )
    ray = np.repeat(np.arange(len(start)), np.diff(first))
    family, place = index.families_and_places(body)
    # rays are in order already; of each, the bodies are put in order by family and place
    bodies = max(len(index.place), 1)
    key = np.sort((3 * ray + family) * bodies + place)
    which = key // bodies
    return Near(ray, (which - 3 * ray).astype(np.int8), key - which * bodies, first, can)


@kernel
def _near(
    packed: Packed, cells: Cells, start_m: FloatArray, end_m: FloatArray, reach_m: FloatArray
) -> tuple[IntArray, IntArray, BoolArray]:
    """Return the first row of each ray, the body of each row, and which rays could be judged."""
    corner, chain, chain_box, first_chain = packed.corner, packed.chain, packed.chain_box, packed.first_chain
    post, wire, prisms, uprights = packed.round, packed.wire, packed.prisms, packed.uprights
    box, first, body = packed.box, cells.first, cells.body
    size, x_m, y_m = cells.size_m, cells.x_m, cells.y_m
    rays = len(start_m)
    can, row, whose = np.zeros(rays, np.bool_), np.zeros(rays + 1, np.int64), np.empty(64, np.int64)
    seen = np.full(len(box), -1, np.int64)
    for n in range(rays):
        line = line_of(start_m, end_m, n)
        can[n] = can_be_judged(line) and 0.0 <= reach_m[n] < np.inf
        count = row[n]
        if can[n]:
            reach = min(reach_m[n], _FARTHEST_M) + _SAFE_M
            # columns of cells across the longer way of the ray, so that few cells of a column are near it
            flat = abs(line.dx) >= abs(line.dy)
            a, da, b, db = line.x - x_m, line.dx, line.y - y_m, line.dy
            columns, rows, per_column, per_row = cells.columns, cells.rows, cells.rows, 1
            if not flat:
                a, da, b, db = b, db, a, da
                columns, rows, per_column, per_row = rows, columns, per_row, per_column
            slope = db / da if da != 0.0 else 0.0
            low, high = min(a, a + da), max(a, a + da)
            i0 = max(int(np.floor((low - reach) / size)), 0)
            i1 = min(int(np.floor((high + reach) / size)), columns - 1)
            for i in range(i0, i1 + 1):
                left = min(max(i * size - reach, low), high)
                right = min(max((i + 1) * size + reach, low), high)
                one, two = b + (left - a) * slope, b + (right - a) * slope
                j0 = max(int(np.floor((min(one, two) - reach) / size)), 0)
                j1 = min(int(np.floor((max(one, two) + reach) / size)), rows - 1)
                for j in range(j0, j1 + 1):
                    cell = i * per_column + j * per_row
                    for entry in range(first[cell], first[cell + 1]):
                        k = body[entry]
                        if seen[k] == n:
                            continue
                        seen[k] = n
                        if _far(box, k, line, reach):
                            continue
                        if k < prisms:
                            c0, c1 = first_chain[k], first_chain[k + 1]
                            close = _prism_near(corner, chain, chain_box, c0, c1, line, reach)
                        elif k < prisms + uprights:
                            close = _upright_near(post, k - prisms, line, reach)
                        else:
                            close = _wire_near(wire, k - prisms - uprights, line, reach)
                        if close:
                            if count == len(whose):
                                whose = longer(whose, 2 * count)
                            whose[count] = k
                            count += 1
        row[n + 1] = count
    return row, whose[: row[rays]], can


@kernel
def _far(box: FloatArray, n: int, line: Line, reach: float) -> bool:
    """Return whether a box lies beyond the reach: seen across the line, or along an axis."""
    x, y = box[n, 0] - line.x, box[n, 1] - line.y
    if abs(line.dx * y - line.dy * x) > abs(line.dx) * box[n, 3] + abs(line.dy) * box[n, 2] + reach * line.plan_m:
        return True
    if x + box[n, 2] + reach < min(0.0, line.dx) or x - box[n, 2] - reach > max(0.0, line.dx):
        return True
    return bool(y + box[n, 3] + reach < min(0.0, line.dy) or y - box[n, 3] - reach > max(0.0, line.dy))


@kernel
def _prism_near(
    corner: FloatArray, chain: IntArray, chain_box: FloatArray, first: int, last: int, line: Line, reach: float
) -> bool:
    inside = False
    for n in range(first, last):
        # the line's end stands inside if a line along x from it crosses an odd number of edges
        beside = abs(chain_box[n, 1] - line.y) <= chain_box[n, 3]
        if last - first > 1 and not beside and _far(chain_box, n, line, reach):
            continue
        for c in range(chain[n, 0], chain[n, 1]):
            ax, ay = corner[c, 0] - line.x, corner[c, 1] - line.y
            bx, by = corner[c + 1, 0] - line.x, corner[c + 1, 1] - line.y
            if _edge_near(ax, ay, bx, by, line, reach):
                return True
            if (ay >= 0.0) != (by >= 0.0) and ax + ay / (ay - by) * (bx - ax) > 0.0:
                inside = not inside
    return inside


@kernel
def _upright_near(post: FloatArray, n: int, line: Line, reach: float) -> bool:
    wide = reach + max(post[n, 4], post[n, 5])
    return bool(_distance2(post[n, 0] - line.x, post[n, 1] - line.y, line.dx, line.dy) < wide * wide)


@kernel
def _wire_near(wire: FloatArray, n: int, line: Line, reach: float) -> bool:
    ax, ay, bx, by = wire[n, 0] - line.x, wire[n, 1] - line.y, wire[n, 3] - line.x, wire[n, 4] - line.y
    return _edge_near(ax, ay, bx, by, line, reach)


@kernel
def _edge_near(ax: float, ay: float, bx: float, by: float, line: Line, reach: float) -> bool:
    """Return whether an edge, seen from the line's end, comes closer to the line than the reach."""
    dx, dy = line.dx, line.dy
    va, vb = dx * ay - dy * ax, dx * by - dy * bx
    if min(va, vb) > reach * line.plan_m or max(va, vb) < -reach * line.plan_m:
        return False
    ex, ey = bx - ax, by - ay
    reach2 = reach * reach
    if _distance2(ax, ay, dx, dy) < reach2 or _distance2(bx, by, dx, dy) < reach2:
        return True
    if _distance2(-ax, -ay, ex, ey) < reach2 or _distance2(dx - ax, dy - ay, ex, ey) < reach2:
        return True
    # they cross: each has the ends of the other on both sides
    wa, wb = ex * (0.0 - ay) - ey * (0.0 - ax), ex * (dy - ay) - ey * (dx - ax)
    return (va >= 0.0) != (vb >= 0.0) and (wa >= 0.0) != (wb >= 0.0)


@kernel
def _distance2(x: float, y: float, dx: float, dy: float) -> float:
    """Return the squared distance of a point from the piece from (0, 0) to (dx, dy). [m2]"""
    length2 = dx * dx + dy * dy
    part = min(max((x * dx + y * dy) / length2, 0.0), 1.0) if length2 > 0.0 else 0.0
    fx, fy = x - part * dx, y - part * dy
    return fx * fx + fy * fy
