"""What hides the points of a grid from one point: body after body, each only where it can stand before them."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.ray.body import in_prism, in_upright_long, kept_below
from survey_app.ground.ray.footprint import edge_crossings, most_crossings, only_span
from survey_app.ground.ray.index import RayIndex
from survey_app.ground.ray.line import line_between
from survey_app.ground.ray.packed import GRAZE_M, PAD_M, Packed
from survey_app.ground.ray.sight import blocked
from survey_app.ground.solids import SolidKind
from survey_app.physics.kernels import kernel

__all__ = ["hide_behind"]

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

_MORE = 1.0 + 1e-9
"""What is left out for being too far or too low is so by more than rounding."""


def hide_behind(
    index: RayIndex,
    eye_m: FloatArray,
    x_m: FloatArray,
    y_m: FloatArray,
    height_m: FloatArray,
    seen: BoolArray,
    *,
    without: int = -1,
    kinds: Collection[SolidKind] | None = None,
) -> None:
    """Take from the points of a grid that are seen those in whose ray something stands, as `blocked` says.

    Parameters
    ----------
    index : RayIndex
        The solids.
    eye_m : ndarray of float, shape (3,)
        x, y, height over the site datum; finite. [m]
    x_m, y_m : ndarray of float, shape (columns,), (rows,)
        Where the columns and the rows of the grid stand, evenly and rising. [m]
    height_m : ndarray of float, shape (rows, columns)
        Of the points, over the site datum; finite where they are seen. [m]
    seen : ndarray of bool, shape (rows, columns)
        Which points are asked; False is written where something stands between.
    without : int
        A thing (place in `Solids.ids`) that does not count; negative = none.
    kinds : collection of SolidKind, optional
        What counts; everything if left out.
    """
    if not seen.any() or not len(index.packed.box):
        return
    packed, box = index.packed, index.packed.box
    counts = packed.thing != without
    if kinds is not None:
        counts &= np.isin(index.kind, [int(kind) for kind in kinds])
    # near ones first: they hide most, and what is hidden is asked no more
    beside = np.maximum(np.abs(box[:, :2] - eye_m[:2]) - box[:, 2:4], 0.0)
    order = np.argsort((beside * beside).sum(axis=1), kind="stable")
    order = order[counts[order] & (order < packed.prisms + packed.uprights)]
    lowest = float(height_m.min(where=seen, initial=np.inf))
    doubtful = np.zeros(seen.shape, np.bool_)
    _hide.sized(float(len(order)) * seen.size)(
        packed, order, np.array(eye_m, np.float64), x_m, y_m, height_m, lowest, seen, doubtful, most_crossings(packed)
    )
    doubtful &= seen
    if doubtful.any():
        rows, columns = np.nonzero(doubtful)
        ends = np.column_stack((x_m[columns], y_m[rows], height_m[rows, columns]))
        own = np.full((len(ends), 1), without)
        seen[rows, columns] = ~blocked(index, np.broadcast_to(eye_m, ends.shape), ends, without=own, kinds=kinds)


_WELL_M, _STOUT_M, _LARGE_M = 0.05, 0.1, 400.0
"""What is hidden for sure: well between the corners and under the top of a body that is neither thin nor huge."""
_DOWN = 1e-6
_UP = 1.0 - _DOWN
"""From a part of a step to the next whole one, a little more than it takes."""


@kernel
def _hide(
    packed: Packed,
    order: IntArray,
    eye: FloatArray,
    x: FloatArray,
    y: FloatArray,
    height: FloatArray,
    lowest: float,
    seen: BoolArray,
    doubtful: BoolArray,
    most: int,
) -> None:
    """One long loop, like that of `blocked`, and for the same reason."""
    corner, chain, chain_box, first_chain = packed.corner, packed.chain, packed.chain_box, packed.first_chain
    plane, planes, level, box, prisms, post = (
        packed.plane,
        packed.planes,
        packed.level,
        packed.box,
        packed.prisms,
        packed.round,
    )
    found = np.empty(most)
    rows, columns = seen.shape
    step_x, step_y = (x[columns - 1] - x[0]) / (columns - 1), (y[rows - 1] - y[0]) / (rows - 1)
    ex, ey, ez = eye[0], eye[1], eye[2]
    for n in range(len(order)):
        b = order[n]
        top = box[b, 4]
        if top <= min(ez, lowest):
            continue
        left, right = box[b, 0] - box[b, 2] - ex, box[b, 0] + box[b, 2] - ex
        low, high = box[b, 1] - box[b, 3] - ey, box[b, 1] + box[b, 3] - ey
        around = left <= 0.0 <= right and low <= 0.0 <= high
        # the corners of the box seen farthest right and left: a point behind the box lies between
        rx, ry, lx, ly = left, low, left, low
        for m in range(4):
            rx, ry, lx, ly = _wider(rx, ry, lx, ly, right if m & 1 else left, high if m & 2 else low)
        if b < prisms and first_chain[b] + 1 == first_chain[b + 1] and not around:
            c0 = chain[first_chain[b], 0]
            rx, ry, lx, ly = _wide(corner, c0, chain[first_chain[b], 1], ex, ey)
        across, deep = max(abs(left), abs(right)), max(abs(low), abs(high))
        far2 = across * across + deep * deep
        over = ez - top
        reach = np.inf
        if over > 0.0:
            # a ray that comes down on a point so far away passes over the whole body
            reach = np.sqrt(far2) * (ez - lowest) / over * _MORE
        y0 = max(y[0] - ey, low if low > 0.0 else -reach)
        y1 = min(y[rows - 1] - ey, high if high < 0.0 else reach)
        x0 = max(x[0] - ex, left if left > 0.0 else -reach)
        x1 = min(x[columns - 1] - ex, right if right < 0.0 else reach)
        j0 = max(int((y0 + ey - y[0]) / step_y), 0)
        j1 = min(int((y1 + ey - y[0]) / step_y) + 1, rows - 1)
        near_x, near_y = max(left, -right, 0.0), max(low, -high, 0.0)
        near2 = (near_x * near_x + near_y * near_y) / _MORE
        sure = not around and b < prisms and level[b] and first_chain[b] + 1 == first_chain[b + 1]
        if sure:
            c0, c1 = chain[first_chain[b], 0], chain[first_chain[b], 1]
            sure = across - near_x + deep - near_y < _LARGE_M and _is_stout(corner, c0, c1)
        sx, sy = _inwards(rx, ry, _WELL_M)
        tx, ty = _inwards(lx, ly, -_WELL_M)
        for j in range(j0, j1 + 1):
            dy = y[j] - ey
            from_x, to_x = x0, x1
            if not around:
                from_x, to_x = _left_of(rx, ry, dy, from_x, to_x)
                from_x, to_x = _left_of(-lx, -ly, dy, from_x, to_x)
                if from_x > to_x:
                    continue
            well_from, well_to = np.inf, -np.inf
            if sure:
                well_from, well_to = _left_of(sx, sy, dy, from_x, to_x)
                well_from, well_to = _left_of(-tx, -ty, dy, well_from, well_to)
            i0 = int(max((from_x + ex - x[0]) / step_x + _UP, 0.0))
            i1 = min(int((to_x + ex - x[0]) / step_x + _DOWN), columns - 1)
            for i in range(i0, i1 + 1):
                if not seen[j, i]:
                    continue
                z = height[j, i]
                down, away_x = ez - z, x[i] - ex
                plan2 = away_x * away_x + dy * dy
                if over > 0.0 and (down <= 0.0 or down * down * far2 * _MORE < over * over * plan2):
                    continue
                if well_from <= away_x <= well_to and plan2 > far2 * _MORE:
                    # the ray passes over the whole body, well between its corners: is it lower than the top there?
                    under = over + _WELL_M
                    if down > 0.0:
                        below = under < 0.0 or under * under * plan2 < down * down * near2
                    else:
                        below = under < 0.0 and down * down * far2 < under * under * plan2
                    if below:
                        seen[j, i] = False
                        continue
                line = line_between(ex, ey, ez, x[i], y[j], z)
                if line.plan_m <= GRAZE_M:
                    doubtful[j, i] = True
                    continue
                away = abs(line.dx * (box[b, 1] - line.y) - line.dy * (box[b, 0] - line.x))
                if away > abs(line.dx) * box[b, 3] + abs(line.dy) * box[b, 2] or top <= line.z:
                    continue
                if b >= prisms:
                    seen[j, i] = not in_upright_long(post, b - prisms, line)
                    continue
                graze = GRAZE_M * line.plan_m
                c = first_chain[b]
                count, close, enter, leave = 0, False, 0.0, 0.0
                one = c + 1 == first_chain[b + 1]
                if one:
                    count, close, enter, leave = only_span(corner, chain[c, 0], chain[c, 1], line, graze)
                if not one or count > 2:
                    count, close = edge_crossings(
                        corner, chain, chain_box, c, first_chain[b + 1], line, 0.0, graze, found
                    )
                elif count == 2:
                    found[0], found[1] = enter, leave
                if close:
                    doubtful[j, i] = True
                    continue
                for m in range(0, count, 2):
                    enter, leave = max(found[m], 0.0), min(found[m + 1], 1.0)
                    if enter < leave:
                        if level[b]:
                            enter, leave = kept_below(line.z - top + GRAZE_M, line.dz, enter, leave)
                        else:
                            enter, leave = in_prism(plane, planes, box, b, line, enter, leave, GRAZE_M)
                        if (leave - enter) * line.long_m > GRAZE_M:
                            seen[j, i] = False


@kernel
def _wide(corner: FloatArray, first: int, last: int, ex: float, ey: float) -> tuple[float, float, float, float]:
    """Return what is farthest right and farthest left of the corners of a ring, seen from outside of its box."""
    rx, ry = corner[first, 0] - ex, corner[first, 1] - ey
    lx, ly = rx, ry
    for c in range(first, last):
        for m in range(4):
            # wide enough that rays that pass a corner closely are asked, too
            x = corner[c, 0] - ex + (PAD_M if m & 1 else -PAD_M)
            y = corner[c, 1] - ey + (PAD_M if m & 2 else -PAD_M)
            rx, ry, lx, ly = _wider(rx, ry, lx, ly, x, y)
    return rx, ry, lx, ly


@kernel
def _wider(rx: float, ry: float, lx: float, ly: float, x: float, y: float) -> tuple[float, float, float, float]:
    """Return the points that are farthest right and farthest left, seen from the origin, with one more."""
    if rx * y - ry * x < 0.0:
        rx, ry = x, y
    if lx * y - ly * x > 0.0:
        lx, ly = x, y
    return rx, ry, lx, ly


@kernel
def _inwards(x: float, y: float, by: float) -> tuple[float, float]:
    """Return a point moved to the left, seen from the origin."""
    far = np.sqrt(x * x + y * y)
    return x - by * y / far, y + by * x / far


@kernel
def _is_stout(corner: FloatArray, first: int, last: int) -> bool:
    """Return whether a ring is convex and a disc of `_STOUT_M` fits into it.

    Such a ring holds, with the disc and any corner, all smaller discs on the way to the corner: a ray over it that
    leaves its outermost corners `_WELL_M` aside runs over it for much more than `GRAZE_M`.
    """
    x = y = 0.0
    for c in range(first, last):
        x, y = x + corner[c, 0] / (last - first), y + corner[c, 1] / (last - first)
    least, most = np.inf, -np.inf
    bends = turns = 0
    for c in range(first, last):
        ax, ay = corner[c, 0], corner[c, 1]
        dx, dy = corner[c + 1, 0] - ax, corner[c + 1, 1] - ay
        after = c + 2 if c + 2 <= last else first + 1
        # a ring that runs round twice turns back more often
        turns += (dx > 0.0) != (corner[after, 0] - corner[c + 1, 0] > 0.0)
        bends += 1 if dx * (corner[after, 1] - ay) - dy * (corner[after, 0] - ax) > 0.0 else -1
        away = (dx * (y - ay) - dy * (x - ax)) / np.sqrt(dx * dx + dy * dy)
        least, most = min(least, away), max(most, away)
    return turns == 2 and abs(bends) == last - first and (least > _STOUT_M or most < -_STOUT_M)


@kernel
def _left_of(rx: float, ry: float, y: float, from_x: float, to_x: float) -> tuple[float, float]:
    """Cut a piece of the row at y to what lies left of the way from the origin to a point, or on it."""
    if ry > 0.0:
        to_x = min(to_x, rx * y / ry)
    elif ry < 0.0:
        from_x = max(from_x, rx * y / ry)
    elif rx * y < 0.0:
        to_x = from_x - 1.0
    return from_x, to_x
