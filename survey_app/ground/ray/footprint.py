"""Where a line on the plan runs inside the footprint of a prism.

Inside is what an odd number of rings encloses. A corner that lies on the line belongs to its left side, so that every
ring is crossed an even number of times however it lies. Where a corner lies closer to the line than `GRAZE_M`, the
footprint is asked twice, of the line moved so far to its left and to its right: where both are inside, the line runs
through; where one is, it runs along an edge.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.hull import in_order
from survey_app.ground.ray.line import Line
from survey_app.ground.ray.packed import GRAZE_M, Packed
from survey_app.physics.kernels import kernel

__all__ = ["ALONG_LEFT", "ALONG_RIGHT", "THROUGH", "edge_crossings", "most_crossings", "pieces"]

IntArray = NDArray[np.int64]

THROUGH, ALONG_LEFT, ALONG_RIGHT = 0, 1, -1
"""The footprint lies on both sides of the line, only to its left, only to its right."""


def most_crossings(packed: Packed) -> int:
    """Return how many edges of one prism a line can cross at most."""
    edges = np.insert(np.cumsum(packed.chain[:, 1] - packed.chain[:, 0]), 0, 0)
    return int(np.diff(edges[packed.first_chain]).max(initial=0)) + 2


@kernel
def edge_crossings(
    corner: FloatArray,
    chain: IntArray,
    chain_box: FloatArray,
    first: int,
    last: int,
    line: Line,
    shift: float,
    graze: float,
    found: FloatArray,
) -> tuple[int, bool]:
    """Find where a line crosses the edges of a prism.

    Parameters
    ----------
    corner, chain, chain_box : ndarray
        See `Packed`.
    first, last : int
        The prism's first chain, and the first of the next prism.
    line : Line
        With a length on the plan.
    shift : float
        How far to the left of the line to ask, times its length. [m2]
    graze : float
        How close to the line is on it, times its length. [m2]
    found : ndarray of float
        Takes the parts of the line's length, rising.

    Returns
    -------
    count : int
    close : bool
        Whether a corner lies on the line.
    """
    count = 0
    close = False
    scale = 1.0 / (line.dx * line.dx + line.dy * line.dy)
    for n in range(first, last):
        if last - first > 1:
            away = abs(line.dx * (chain_box[n, 1] - line.y) - line.dy * (chain_box[n, 0] - line.x))
            if away > abs(line.dx) * chain_box[n, 3] + abs(line.dy) * chain_box[n, 2]:
                continue
        c = chain[n, 0]
        # from the line's own end, so that far from the origin the corners keep their digits
        ax, ay = corner[c, 0] - line.x, corner[c, 1] - line.y
        va = line.dx * ay - line.dy * ax
        close |= abs(va) <= graze
        for c in range(chain[n, 0] + 1, chain[n, 1] + 1):
            bx, by = corner[c, 0] - line.x, corner[c, 1] - line.y
            vb = line.dx * by - line.dy * bx
            close |= abs(vb) <= graze
            if (va >= shift) != (vb >= shift):
                part = (va - shift) / (va - vb)
                found[count] = ((ax + part * (bx - ax)) * line.dx + (ay + part * (by - ay)) * line.dy) * scale
                count += 1
            ax, ay, va = bx, by, vb
    if count == 2:
        if found[0] > found[1]:
            found[0], found[1] = found[1], found[0]
    elif count > 2:
        in_order(found, count)
    return count, close


@kernel
def only_span(corner: FloatArray, first: int, last: int, line: Line, graze: float) -> tuple[int, bool, float, float]:
    """Find where a line is over a footprint of one ring that it enters once; the quick way of `edge_crossings`.

    Returns
    -------
    count : int
        Edges that are crossed; with more than two the ends are not those of one span.
    close : bool
    enter, leave : float
    """
    count = before = after = 0
    va = line.dx * (corner[first, 1] - line.y) - line.dy * (corner[first, 0] - line.x)
    nearest = abs(va)
    for c in range(first + 1, last + 1):
        vb = line.dx * (corner[c, 1] - line.y) - line.dy * (corner[c, 0] - line.x)
        nearest = min(nearest, abs(vb))
        crossed = (va >= 0.0) != (vb >= 0.0)
        # chosen, not branched to: which edges are crossed cannot be foreseen
        before = after if crossed else before
        after = c if crossed else after
        count += crossed
        va = vb
    if count != 2:
        return count, nearest <= graze, 0.0, 0.0
    scale = 1.0 / (line.dx * line.dx + line.dy * line.dy)
    one = _met(corner, before, line, scale)
    two = _met(corner, after, line, scale)
    return count, nearest <= graze, min(one, two), max(one, two)


@kernel
def _met(corner: FloatArray, c: int, line: Line, scale: float) -> float:
    """Return where a line crosses the edge that ends in a corner, bit for bit as `edge_crossings` does."""
    ax, ay = corner[c - 1, 0] - line.x, corner[c - 1, 1] - line.y
    bx, by = corner[c, 0] - line.x, corner[c, 1] - line.y
    va, vb = line.dx * ay - line.dy * ax, line.dx * by - line.dy * bx
    part = va / (va - vb)
    along: float = ((ax + part * (bx - ax)) * line.dx + (ay + part * (by - ay)) * line.dy) * scale
    return along


@kernel
def pieces(
    corner: FloatArray,
    chain: IntArray,
    chain_box: FloatArray,
    first: int,
    last: int,
    line: Line,
    room: FloatArray,
    piece: FloatArray,
    side: NDArray[np.int8],
) -> int:
    """Find the pieces of a line over the footprint of a prism; a line that stands upright is all inside or nowhere.

    Parameters
    ----------
    corner, chain, chain_box, first, last : ndarray and int
        See `edge_crossings`.
    line : Line
        The line.
    room : ndarray of float, shape (2, `most_crossings`)
        Is written to.
    piece : ndarray of float, shape (2 * `most_crossings`, 2)
        Takes the ends of the pieces, rising, uncut by the ends of the line.
    side : ndarray of int, shape (2 * `most_crossings`,)
        Takes `THROUGH`, `ALONG_LEFT` or `ALONG_RIGHT`.

    Returns
    -------
    int
        How many.
    """
    upright = line.plan_m <= GRAZE_M
    along = line
    if upright:  # it stands inside where a metre along x through it does
        along = Line(line.x, line.y, 0.0, 1.0, 0.0, 0.0, 1.0, 1.0, False)
    graze = GRAZE_M * along.plan_m
    one, other = room[0], room[1]
    lefts, close = edge_crossings(corner, chain, chain_box, first, last, along, 0.0, graze, one)
    if not (close or upright):
        for n in range(0, lefts, 2):
            piece[n // 2, 0], piece[n // 2, 1], side[n // 2] = one[n], one[n + 1], THROUGH
        return lefts // 2
    lefts = edge_crossings(corner, chain, chain_box, first, last, along, graze, graze, one)[0]
    rights = edge_crossings(corner, chain, chain_box, first, last, along, -graze, graze, other)[0]
    count = _merged(one, lefts, other, rights, piece, side)
    if not upright:
        return count
    for n in range(count):
        if side[n] == THROUGH and piece[n, 0] < -GRAZE_M and piece[n, 1] > GRAZE_M:
            piece[0, 0], piece[0, 1], side[0] = 0.0, 1.0, THROUGH
            return 1
    return 0


@kernel
def _merged(
    one: FloatArray, lefts: int, other: FloatArray, rights: int, piece: FloatArray, side: NDArray[np.int8]
) -> int:
    """Join what the lines moved left and right say."""
    count = i = j = 0
    before = -np.inf
    while i < lefts or j < rights:
        left = j >= rights or (i < lefts and one[i] <= other[j])
        at = one[i] if left else other[j]
        inside_left, inside_right = i % 2 == 1, j % 2 == 1
        if at > before and (inside_left or inside_right):
            piece[count, 0], piece[count, 1] = before, at
            side[count] = THROUGH if inside_left and inside_right else (ALONG_LEFT if inside_left else ALONG_RIGHT)
            count += 1
        before = at
        if left:
            i += 1
        else:
            j += 1
    return count
