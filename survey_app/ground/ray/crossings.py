"""Every body over whose footprint a ray passes: where it comes over it and leaves it, and how high over its top."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.ray.body import (
    disc_span,
    in_prism,
    in_upright,
    kept_below,
    least_over_m,
    over_m,
    wire_crossing,
)
from survey_app.ground.ray.cells import Cells
from survey_app.ground.ray.footprint import THROUGH, most_crossings, only_span, pieces
from survey_app.ground.ray.index import RayIndex
from survey_app.ground.ray.line import Line, can_be_judged, line_of, rays
from survey_app.ground.ray.packed import GRAZE_M, Packed
from survey_app.ground.ray.walk import first_cell
from survey_app.physics.kernels import kernel

__all__ = ["Crossings", "Family", "crossings"]

IntArray = NDArray[np.int64]
Int8Array = NDArray[np.int8]

_ALONG_M = 1e-3
_ENTER, _LEAVE, _OVER_ENTER, _OVER_LEAVE, _OVER_LEAST, _FROM, _TO = range(7)
_NUMBERS = 7
_NAN = float("nan")
_SAMPLED, _SPARE = 2000, 1.1
"""Of more rays than this about so many tell how many rows there will be; and how much more room is made."""


class Family(IntEnum):
    """Which arrays of `Solids` a body belongs to."""

    PRISM = 0
    UPRIGHT = 1
    WIRE = 2


@dataclass(frozen=True)
class Crossings:
    """What rays pass over or run through, ray after ray and along each ray; rows of one shape (rows,).

    Attributes
    ----------
    ray : ndarray of int
        Place in what was asked.
    family : ndarray of int
        `Family` of the body.
    body : ndarray of int
        Place in the arrays of that family.
    thing : ndarray of int
        Place in `Solids.ids`.
    enter, leave : ndarray of float
        Parts of the ray's length, 0 at its start and 1 at its end, between which it is over the footprint: a prism's
        outline without its holes, an upright's wider disc; the same twice for a wire. [1]
    over_enter_m, over_leave_m : ndarray of float
        The ray's height over the top there, negative under it; an upright's top is its level upper end. [m]
    over_least_m : ndarray of float
        Least of these heights between both. [m]
    inside_from, inside_to : ndarray of float
        Parts between which it runs inside the body; NaN where it does so nowhere over more than `GRAZE_M`, and for a
        wire. [1]
    side : ndarray of int
        0 where the footprint lies on both sides of the ray; 1 or -1 where the ray runs along an edge and the footprint
        lies only to its left or right, looking from its start. Such a row only touches.
    start : ndarray of int, shape (rays + 1,)
        First row of each ray, and the number of rows.
    usable : ndarray of bool, shape (rays,)
        Whether a ray could be judged; one that could not has no rows.
    """

    ray: IntArray
    family: Int8Array
    body: IntArray
    thing: IntArray
    enter: FloatArray
    leave: FloatArray
    over_enter_m: FloatArray
    over_leave_m: FloatArray
    over_least_m: FloatArray
    inside_from: FloatArray
    inside_to: FloatArray
    side: Int8Array
    start: IntArray
    usable: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.ray)


def crossings(index: RayIndex, start_m: ArrayLike, end_m: ArrayLike) -> Crossings:
    """Return what rays pass over or run through.

    Parameters
    ----------
    index : RayIndex
        The solids.
    start_m, end_m : array_like of float, shape (n, 3)
        x, y, height over the site datum. [m]

    Returns
    -------
    Crossings
        By ray, then `enter`, then prisms, uprights, wires. The reversed ray has the same rows, its `enter` bit for bit
        1 - `leave` of this one, and the same heights.

    Raises
    ------
    ValueError
        The shapes do not fit together.

    Notes
    -----
    Spans are cut at the ends of the ray and longer than `GRAZE_M`; those of an edge that the ray runs along are longer
    than a millimetre. A ray that stands upright is over a footprint from end to end or not at all. Parts are multiples
    of 2**-52. Where a corner lies on the ray, its span ends within `GRAZE_M` over the sine of the angle of true.
    """
    start, end = rays(start_m, end_m)
    packed = index.packed
    found = _crossings.sized(index.steps(len(start)))
    most = most_crossings(packed)
    likely = 64
    if len(start) > _SAMPLED:
        # a page of memory costs more than the rows on it unless the large ones of arrays made out here are had
        some = slice(None, None, len(start) // _SAMPLED)
        taken = found(packed, index.cells, start[some].copy(), end[some].copy(), most, *_room(likely))[0]
        likely = int(_SPARE * (taken[-1] / (len(taken) - 1) * len(start))) + likely
    first, number, body, side, can = found(packed, index.cells, start, end, most, *_room(likely))
    family, place = index.families_and_places(body)
    return Crossings(
        np.repeat(np.arange(len(start)), np.diff(first)),
        family,
        place,
        packed.thing.take(body),
        number[_ENTER],
        number[_LEAVE],
        number[_OVER_ENTER],
        number[_OVER_LEAVE],
        number[_OVER_LEAST],
        number[_FROM],
        number[_TO],
        side,
        first,
        can,
    )


def _room(rows: int) -> tuple[FloatArray, IntArray, Int8Array]:
    return np.empty((_NUMBERS, rows)), np.empty(rows, np.int64), np.empty(rows, np.int8)


@kernel
def _crossings(
    packed: Packed,
    cells: Cells,
    start_m: FloatArray,
    end_m: FloatArray,
    most: int,
    number: FloatArray,
    whose: IntArray,
    sides: Int8Array,
) -> tuple[IntArray, FloatArray, IntArray, Int8Array, NDArray[np.bool_]]:
    """Return the first row of each ray, the numbers of every row, body and side; and which rays could be judged.

    Rows are written to the arrays that are given, as long as they go in.
    """
    corner, chain, first_chain, box = packed.corner, packed.chain, packed.first_chain, packed.box
    plane, planes, level, prisms = packed.plane, packed.planes, packed.level, packed.prisms
    first, body = cells.first, cells.body
    rays = len(start_m)
    can = np.zeros(rays, np.bool_)
    row = np.zeros(rays + 1, np.int64)
    here, here_whose, here_side = np.empty((64, _NUMBERS)), np.empty(64, np.int64), np.empty(64, np.int8)
    seen = np.full(len(box), -1, np.int64)
    for n in range(rays):
        line = line_of(start_m, end_m, n)
        can[n] = can_be_judged(line)
        count = 0
        if can[n] and line.long_m > GRAZE_M:
            walk = first_cell(cells.x_m, cells.y_m, cells.size_m, cells.columns, cells.rows, line, 1.0)
            cell, part, next_x, next_y = walk.cell, walk.part, walk.next_x, walk.next_y
            wide, deep, graze = abs(line.dx), abs(line.dy), GRAZE_M * line.plan_m
            while part < walk.end:
                for entry in range(first[cell], first[cell + 1]):
                    b = body[entry]
                    if seen[b] == n:
                        continue
                    seen[b] = n
                    away = abs(line.dx * (box[b, 1] - line.y) - line.dy * (box[b, 0] - line.x))
                    if away > wide * box[b, 3] + deep * box[b, 2] and line.plan_m > GRAZE_M:
                        continue
                    if b < prisms and first_chain[b] + 1 == first_chain[b + 1] and line.plan_m > GRAZE_M:
                        c = first_chain[b]
                        found, close, enter, leave = only_span(corner, chain[c, 0], chain[c, 1], line, graze)
                        if not close and found <= 2:
                            enter, leave = max(enter, 0.0), min(leave, 1.0)
                            if found == 2 and (leave - enter) * line.long_m > GRAZE_M:
                                if count == len(here):
                                    here, here_whose, here_side = _more_here(here, here_whose, here_side, 2 * count)
                                if level[b]:
                                    _over_level(box[b, 4], line, enter, leave, here, count)
                                else:
                                    _over_prism(plane, planes, box, b, line, enter, leave, here, count)
                                here_whose[count], here_side[count] = b, THROUGH
                                count += 1
                            continue
                    if count + 2 * most > len(here):
                        longer = 2 * (count + 2 * most)
                        here, here_whose, here_side = _more_here(here, here_whose, here_side, longer)
                    before = count
                    count = _rare(packed, b, line, most, here, here_side, count)
                    here_whose[before:count] = b
                if next_x < next_y:
                    part = next_x
                    next_x += walk.per_x
                    cell += walk.step_x
                else:
                    part = next_y
                    next_y += walk.per_y
                    cell += walk.step_y
        at = row[n]
        row[n + 1] = at + count
        if at + count > len(whose):
            number, whose, sides = _more(number, whose, sides, 2 * (at + count))
        _put_in_order(line.turned, count, here, here_whose, here_side, at, number, whose, sides)
    total = row[rays]
    return row, number[:, :total], whose[:total], sides[:total], can


@kernel
def _over_level(top: float, line: Line, enter: float, leave: float, here: FloatArray, k: int) -> None:
    """Write the numbers of a span over a prism with one level top that reaches down into the ground."""
    enter, leave = (enter + 1.0) - 1.0, (leave + 1.0) - 1.0
    here[k, _ENTER], here[k, _LEAVE] = enter, leave
    # a line begins at its lower end
    here[k, _OVER_ENTER] = here[k, _OVER_LEAST] = line.z - top + enter * line.dz
    here[k, _OVER_LEAVE] = line.z - top + leave * line.dz
    into = out = enter
    if here[k, _OVER_ENTER] < 0.0:
        into, out = kept_below(line.z - top + GRAZE_M, line.dz, enter, leave)
    if (out - into) * line.long_m > GRAZE_M:
        into, out = kept_below(line.z - top, line.dz, enter, leave)
        here[k, _FROM], here[k, _TO] = (into + 1.0) - 1.0, (out + 1.0) - 1.0
    else:
        here[k, _FROM] = here[k, _TO] = _NAN


@kernel
def _over_prism(
    plane: FloatArray,
    planes: IntArray,
    box: FloatArray,
    b: int,
    line: Line,
    enter: float,
    leave: float,
    here: FloatArray,
    k: int,
) -> None:
    """Write the numbers of a span over any prism."""
    # adding one leaves multiples of 2**-52, of which 1 - part loses nothing
    enter, leave = (enter + 1.0) - 1.0, (leave + 1.0) - 1.0
    here[k, _ENTER], here[k, _LEAVE] = enter, leave
    here[k, _OVER_ENTER] = over_m(plane, planes, box, b, line, enter)
    here[k, _OVER_LEAVE] = over_m(plane, planes, box, b, line, leave)
    here[k, _OVER_LEAST] = least_over_m(plane, planes, box, b, line, enter, leave)
    into, out = in_prism(plane, planes, box, b, line, enter, leave, GRAZE_M)
    if (out - into) * line.long_m > GRAZE_M:
        into, out = in_prism(plane, planes, box, b, line, enter, leave, 0.0)
        here[k, _FROM], here[k, _TO] = (into + 1.0) - 1.0, (out + 1.0) - 1.0
    else:
        here[k, _FROM] = here[k, _TO] = _NAN


@kernel
def _rare(packed: Packed, b: int, line: Line, most: int, here: FloatArray, here_side: Int8Array, count: int) -> int:
    """Write the rows of an upright, a wire, or a prism that is not entered just once; return their new count."""
    if b >= packed.prisms + packed.uprights:
        crossed, part, over = wire_crossing(packed.wire, b - packed.prisms - packed.uprights, line)
        if crossed and 0.0 <= part <= 1.0:
            here[count, :] = over
            here[count, _ENTER] = here[count, _LEAVE] = (part + 1.0) - 1.0
            here[count, _FROM] = here[count, _TO] = _NAN
            here_side[count] = THROUGH
            count += 1
        return count
    if b >= packed.prisms:
        return _over_upright(packed.round, b - packed.prisms, line, here, here_side, count)
    room, piece, side = np.empty((2, most)), np.empty((2 * most, 2)), np.empty(2 * most, np.int8)
    c0, c1 = packed.first_chain[b], packed.first_chain[b + 1]
    for m in range(pieces(packed.corner, packed.chain, packed.chain_box, c0, c1, line, room, piece, side)):
        enter, leave = max(piece[m, 0], 0.0), min(piece[m, 1], 1.0)
        if (leave - enter) * line.long_m > (GRAZE_M if side[m] == THROUGH else _ALONG_M):
            _over_prism(packed.plane, packed.planes, packed.box, b, line, enter, leave, here, count)
            here_side[count] = side[m]
            count += 1
    return count


@kernel
def _over_upright(post: FloatArray, n: int, line: Line, here: FloatArray, here_side: Int8Array, count: int) -> int:
    enter, leave = disc_span(post[n, 0], post[n, 1], max(post[n, 4], post[n, 5]), line)
    enter, leave = (max(enter, 0.0) + 1.0) - 1.0, (min(leave, 1.0) + 1.0) - 1.0
    if (leave - enter) * line.long_m <= GRAZE_M:
        return count
    here[count, _ENTER], here[count, _LEAVE] = enter, leave
    here[count, _OVER_ENTER] = here[count, _OVER_LEAST] = line.z - post[n, 3] + enter * line.dz
    here[count, _OVER_LEAVE] = line.z - post[n, 3] + leave * line.dz
    here[count, _FROM] = here[count, _TO] = _NAN
    into, out = in_upright(post, n, line, enter, leave, GRAZE_M)
    if (out - into) * line.long_m > GRAZE_M:
        into, out = in_upright(post, n, line, enter, leave, 0.0)
        here[count, _FROM], here[count, _TO] = (into + 1.0) - 1.0, (out + 1.0) - 1.0
    here_side[count] = THROUGH
    return count + 1


@kernel
def _put_in_order(
    turned: bool,
    count: int,
    here: FloatArray,
    here_whose: IntArray,
    here_side: Int8Array,
    at: int,
    number: FloatArray,
    whose: IntArray,
    sides: Int8Array,
) -> None:
    """Write the rows of one ray, seen from its own start, in the order in which it meets them."""
    order, enters = np.empty(count, np.int64), np.empty(count)
    for n in range(count):
        # rows were found nearly in the order of the line, so from behind there is little to move
        k = count - 1 - n if turned else n
        enter = 1.0 - here[k, _LEAVE] if turned else here[k, _ENTER]
        place = n
        while place > 0 and (
            enters[place - 1] > enter or (enters[place - 1] == enter and here_whose[order[place - 1]] > here_whose[k])
        ):
            enters[place], order[place] = enters[place - 1], order[place - 1]
            place -= 1
        enters[place], order[place] = enter, k
    for n in range(count):
        k, row = order[n], at + n
        whose[row] = here_whose[k]
        number[_ENTER, row] = enters[n]
        number[_OVER_LEAST, row] = here[k, _OVER_LEAST]
        if turned:
            sides[row] = -here_side[k]
            number[_LEAVE, row] = 1.0 - here[k, _ENTER]
            number[_OVER_ENTER, row], number[_OVER_LEAVE, row] = here[k, _OVER_LEAVE], here[k, _OVER_ENTER]
            number[_FROM, row], number[_TO, row] = 1.0 - here[k, _TO], 1.0 - here[k, _FROM]
        else:
            sides[row] = here_side[k]
            number[_LEAVE, row] = here[k, _LEAVE]
            number[_OVER_ENTER, row], number[_OVER_LEAVE, row] = here[k, _OVER_ENTER], here[k, _OVER_LEAVE]
            number[_FROM, row], number[_TO, row] = here[k, _FROM], here[k, _TO]


@kernel
def _more_here(
    here: FloatArray, whose: IntArray, sides: Int8Array, length: int
) -> tuple[FloatArray, IntArray, Int8Array]:
    more, more_whose, more_sides = np.empty((length, _NUMBERS)), np.empty(length, np.int64), np.empty(length, np.int8)
    for n in range(len(whose)):
        more_whose[n], more_sides[n] = whose[n], sides[n]
        for k in range(_NUMBERS):
            more[n, k] = here[n, k]
    return more, more_whose, more_sides


@kernel
def _more(number: FloatArray, whose: IntArray, sides: Int8Array, length: int) -> tuple[FloatArray, IntArray, Int8Array]:
    more, more_whose, more_sides = np.empty((_NUMBERS, length)), np.empty(length, np.int64), np.empty(length, np.int8)
    for n in range(len(whose)):
        more_whose[n], more_sides[n] = whose[n], sides[n]
    for k in range(_NUMBERS):
        for n in range(len(whose)):
            more[k, n] = number[k, n]
    return more, more_whose, more_sides
