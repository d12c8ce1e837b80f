"""Whether anything stands in a ray: yes or no, for many rays at once."""

from __future__ import annotations

from collections.abc import Collection

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.ray.body import in_prism, in_upright_long, kept_below
from survey_app.ground.ray.cells import Cells
from survey_app.ground.ray.footprint import THROUGH, edge_crossings, most_crossings, only_span, pieces
from survey_app.ground.ray.index import RayIndex
from survey_app.ground.ray.line import Line, can_be_judged, line_of, rays
from survey_app.ground.ray.packed import GRAZE_M, Packed
from survey_app.ground.ray.walk import bodies_along, first_cell
from survey_app.ground.solids import SolidKind
from survey_app.physics.kernels import kernel

__all__ = ["blocked"]

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]


def blocked(
    index: RayIndex,
    start_m: ArrayLike,
    end_m: ArrayLike,
    *,
    without: ArrayLike | None = None,
    kinds: Collection[SolidKind] | None = None,
) -> BoolArray:
    """Return whether anything stands in each ray.

    A ray is blocked where it runs inside a body, or between bodies that touch, over more than `GRAZE_M`, the body's top
    taken lower, its underside higher and a round body thinner by as much. So what it only touches does not block it: a
    wall it begins on, a corner it passes, an edge or a flat roof it runs along. A wire never blocks.

    Parameters
    ----------
    index : RayIndex
        The solids.
    start_m, end_m : array_like of float, shape (n, 3)
        x, y, height over the site datum. [m]
    without : array_like of int, shape (n, k), optional
        Things (places in `Solids.ids`) that do not count for each ray, such as the structure that carries an end;
        negative = none.
    kinds : collection of SolidKind, optional
        What counts; everything if left out.

    Returns
    -------
    ndarray of bool, shape (n,)
        The same for a ray and its reverse. True, too, where a ray is not `usable`: nobody sees along a ray that is not
        known. False for a ray shorter than `GRAZE_M`.

    Raises
    ------
    ValueError
        The shapes do not fit together.
    """
    start, end = rays(start_m, end_m)
    excluded = _excluded(without, len(start))
    counts = np.ones(len(index.packed.thing), np.bool_)
    if kinds is not None:
        counts = np.isin(index.kind, [int(kind) for kind in kinds])
    room = most_crossings(index.packed)
    answer = _blocked.sized(index.steps(len(start)))(index.packed, index.cells, start, end, excluded, counts, room)
    return np.asarray(answer, np.bool_)


def _excluded(without: ArrayLike | None, n: int) -> IntArray:
    excluded = np.array(np.empty((n, 0)) if without is None else without, np.int64, order="C")
    if excluded.ndim != 2 or len(excluded) != n:
        raise ValueError(f"expected things to leave out of shape ({n}, k), got {excluded.shape}")
    return excluded


@kernel
def _blocked(
    packed: Packed,
    cells: Cells,
    start_m: FloatArray,
    end_m: FloatArray,
    excluded: IntArray,
    counts: BoolArray,
    most: int,
) -> BoolArray:
    """Walk every line from its lower end: it only rises, and a cell whose top it is over is passed.

    One long loop, and numbers taken from arrays one by one: handing arrays on, or rows of them, costs more than the
    work done on them.
    """
    corner, chain, chain_box, first_chain = packed.corner, packed.chain, packed.chain_box, packed.first_chain
    plane, planes, level, box, prisms, post = (
        packed.plane,
        packed.planes,
        packed.level,
        packed.box,
        packed.prisms,
        packed.round,
    )
    first, body, top = cells.first, cells.body, cells.top_m
    answer = np.zeros(len(start_m), np.bool_)
    seen = np.full(len(box), -1, np.int64)
    found = np.empty(most)
    highest = top.max()
    for n in range(len(start_m)):
        line = line_of(start_m, end_m, n)
        if not can_be_judged(line):
            answer[n] = True
            continue
        if line.z >= highest or line.long_m <= GRAZE_M:
            continue
        if line.plan_m <= GRAZE_M:
            answer[n] = _blocked_closely(packed, cells, line, n, excluded, counts, most)
            continue
        until = (highest - line.z) / line.dz if line.z + line.dz > highest else 1.0
        walk = first_cell(cells.x_m, cells.y_m, cells.size_m, cells.columns, cells.rows, line, until)
        cell, part, next_x, next_y = walk.cell, walk.part, walk.next_x, walk.next_y
        wide, deep, graze = abs(line.dx), abs(line.dy), GRAZE_M * line.plan_m
        doubtful = hidden = False
        while part < walk.end and not hidden:
            z = line.z + part * line.dz
            if top[cell] > z:
                for entry in range(first[cell], first[cell + 1]):
                    b = body[entry]
                    if box[b, 4] <= z:
                        break
                    if seen[b] == n:
                        continue
                    seen[b] = n
                    away = abs(line.dx * (box[b, 1] - line.y) - line.dy * (box[b, 0] - line.x))
                    if away > wide * box[b, 3] + deep * box[b, 2] or not counts[b]:
                        continue
                    if excluded.shape[1] and _left_out(packed.thing[b], excluded, n):
                        continue
                    if b >= prisms:
                        if in_upright_long(post, b - prisms, line):
                            hidden = True
                            break
                        continue
                    c = first_chain[b]
                    if c + 1 == first_chain[b + 1]:
                        count, close, enter, leave = only_span(corner, chain[c, 0], chain[c, 1], line, graze)
                        if close:
                            doubtful = True
                            continue
                        if count == 0:
                            continue
                        if count == 2:
                            enter, leave = max(enter, 0.0), min(leave, 1.0)
                            if enter < leave and line.z + enter * line.dz < box[b, 4]:
                                if level[b]:
                                    enter, leave = kept_below(line.z - box[b, 4] + GRAZE_M, line.dz, enter, leave)
                                else:
                                    enter, leave = in_prism(plane, planes, box, b, line, enter, leave, GRAZE_M)
                                if (leave - enter) * line.long_m > GRAZE_M:
                                    hidden = True
                                    break
                            continue
                    count, close = edge_crossings(
                        corner, chain, chain_box, c, first_chain[b + 1], line, 0.0, graze, found
                    )
                    if close:
                        doubtful = True
                        continue
                    for m in range(0, count, 2):
                        enter, leave = max(found[m], 0.0), min(found[m + 1], 1.0)
                        if enter < leave:
                            enter, leave = in_prism(plane, planes, box, b, line, enter, leave, GRAZE_M)
                            if (leave - enter) * line.long_m > GRAZE_M:
                                hidden = True
                    if hidden:
                        break
            if next_x < next_y:
                part = next_x
                next_x += walk.per_x
                cell += walk.step_x
            else:
                part = next_y
                next_y += walk.per_y
                cell += walk.step_y
        if doubtful and not hidden:
            hidden = _blocked_closely(packed, cells, line, n, excluded, counts, most)
        answer[n] = hidden
    return answer


@kernel
def _left_out(thing: int, excluded: IntArray, n: int) -> bool:
    found = False
    for m in range(excluded.shape[1]):
        found = found or excluded[n, m] == thing
    return found


@kernel
def _blocked_closely(
    packed: Packed, cells: Cells, line: Line, n: int, excluded: IntArray, counts: BoolArray, most: int
) -> bool:
    """Judge a line that stands upright or passes corners: blocked where both its sides are inside at the same place."""
    room, piece, side = np.empty((2, most)), np.empty((2 * most, 2)), np.empty(2 * most, np.int8)
    spans, sides, count = np.empty((16, 2)), np.empty(16, np.int8), 0
    for b in bodies_along(packed, cells, line):
        if packed.box[b, 4] <= line.z or not counts[b] or _left_out(packed.thing[b], excluded, n):
            continue
        if b >= packed.prisms:
            if in_upright_long(packed.round, b - packed.prisms, line):
                return True
            continue
        c0, c1 = packed.first_chain[b], packed.first_chain[b + 1]
        for m in range(pieces(packed.corner, packed.chain, packed.chain_box, c0, c1, line, room, piece, side)):
            enter, leave = max(piece[m, 0], 0.0), min(piece[m, 1], 1.0)
            if enter < leave:
                enter, leave = in_prism(packed.plane, packed.planes, packed.box, b, line, enter, leave, GRAZE_M)
            if (leave - enter) * line.long_m <= GRAZE_M:
                continue
            if side[m] == THROUGH:
                return True
            for k in range(count):
                both = min(leave, spans[k, 1]) - max(enter, spans[k, 0])
                if sides[k] != side[m] and both * line.long_m > GRAZE_M:
                    return True
            if count == len(spans):
                spans, sides = _twice(spans, sides)
            spans[count, 0], spans[count, 1], sides[count] = enter, leave, side[m]
            count += 1
    return False


@kernel
def _twice(spans: FloatArray, sides: NDArray[np.int8]) -> tuple[FloatArray, NDArray[np.int8]]:
    more, more_sides = np.empty((2 * len(spans), 2)), np.empty(2 * len(sides), np.int8)
    for n in range(len(sides)):
        more[n, 0], more[n, 1], more_sides[n] = spans[n, 0], spans[n, 1], sides[n]
    return more, more_sides
