"""A lattice of square cells over the plan: which bodies stand in each, and how high the highest of them is."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.ray.packed import PAD_M, Packed
from survey_app.physics.kernels import kernel

__all__ = ["Cells", "cells_of", "longer"]

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

_CELLS_PER_BODY = 3.0
_MOST_CELLS = 2_000_000.0
_CELLS_AT_LEAST = 40_000.0
_SPARE = 4.0  # so many times the cells that the bodies need, for ground on which little stands
_ENTRIES_PER_BODY = 24.0
_USUAL: tuple[tuple[float, Literal["higher", "lower"]], ...] = ((0.05, "higher"), (0.95, "lower"))
_USUAL_PART = 0.9


class Cells(NamedTuple):
    """Square cells, numbered along y within x.

    Attributes
    ----------
    x_m, y_m : float
        Lower left corner of the lattice. [m]
    size_m : float
        Side of a cell. [m]
    columns, rows : int
        How many along x and along y.
    first : ndarray of int, shape (cells + 1,)
        First entry of each cell in `body`.
    body : ndarray of int, shape (entries,)
        Bodies whose footprint reaches into the cell, the highest first.
    top_m : ndarray of float, shape (cells,)
        Highest top in the cell; -inf where nothing hides anything. [m]
    """

    x_m: float
    y_m: float
    size_m: float
    columns: int
    rows: int
    first: IntArray
    body: IntArray
    top_m: FloatArray


def cells_of(packed: Packed) -> Cells:
    """Return the lattice over bodies; the same for the same bodies in the same order."""
    box = packed.box
    if not len(box):
        return Cells(0.0, 0.0, 1.0, 1, 1, np.zeros(2, np.int64), np.empty(0, np.int64), np.full(1, -np.inf))
    low, high = (box[:, :2] - box[:, 2:4]).min(axis=0) - PAD_M, (box[:, :2] + box[:, 2:4]).max(axis=0) + PAD_M
    size = _cell_size_m(box, high - low)
    columns, rows = (int(n) + 1 for n in (high - low) // size)
    cell, body = _entries.sized(_steps(packed))(packed, float(low[0]), float(low[1]), size, columns, rows)
    order = np.lexsort((body, -box[body, 4], cell))
    cell, body = cell[order], body[order]
    first = np.searchsorted(cell, np.arange(columns * rows + 1)).astype(np.int64)
    top = np.full(columns * rows, -np.inf)
    taken = first[:-1] < first[1:]
    top[taken] = box[body[first[:-1][taken]], 4]
    return Cells(float(low[0]), float(low[1]), size, columns, rows, first, np.ascontiguousarray(body), top)


def _steps(packed: Packed) -> float:
    """Return about how long it takes the interpreter to lay out the lattice, in its steps."""
    return 10.0 * len(packed.box) + 10.0 * len(packed.corner)


def _cell_size_m(box: FloatArray, span_m: FloatArray) -> float:
    """Return a side with a few cells to a body, but not smaller than the middle one of the bodies.

    What counts is the ground on which nearly all of them stand: one body far away makes the cells no larger, until
    there would be too many of them. They are larger where bodies are large, so that the lists stay short.
    """
    usual = float(np.median(box[:, 2:4])) * 2.0
    sides = np.maximum(_usual_span_m(box), usual)
    size = max(float(np.sqrt(sides[0] * sides[1] / (_CELLS_PER_BODY * len(box)))), usual, 1e-3)
    most = min(_CELLS_AT_LEAST + _CELLS_PER_BODY * _SPARE * len(box), _MOST_CELLS)
    while np.prod(span_m // size + 1.0) > most:
        size *= 1.2
    while size < span_m.max() and np.prod(box[:, 2:4] * 2.0 / size + 1.0, axis=1).sum() > _ENTRIES_PER_BODY * len(box):
        size *= 1.5
    return size


def _usual_span_m(box: FloatArray) -> FloatArray:
    """Return how far bodies lie apart along both axes, the outermost twentieth on every side left out. [m]"""
    low, high = (np.quantile(box[:, :2], part, axis=0, method=way) for part, way in _USUAL)
    return np.asarray(np.maximum(high - low, 0.0) / _USUAL_PART, np.float64)


@kernel
def _entries(
    packed: Packed, x_m: float, y_m: float, size_m: float, columns: int, rows: int
) -> tuple[IntArray, IntArray]:
    """Return pairs of cell and body, in no particular order."""
    cell = np.empty(64, np.int64)
    body = np.empty(64, np.int64)
    box = packed.box
    count = 0
    for b in range(len(box)):
        i0 = max(int((box[b, 0] - box[b, 2] - x_m) / size_m), 0)
        i1 = min(int((box[b, 0] + box[b, 2] - x_m) / size_m), columns - 1)
        j0 = max(int((box[b, 1] - box[b, 3] - y_m) / size_m), 0)
        j1 = min(int((box[b, 1] + box[b, 3] - y_m) / size_m), rows - 1)
        marked = np.zeros((i1 - i0 + 1, j1 - j0 + 1), np.bool_)
        x, y = x_m + i0 * size_m, y_m + j0 * size_m
        if i0 == i1 or j0 == j1 or packed.prisms <= b < packed.prisms + packed.uprights:
            for i in range(marked.shape[0]):
                for j in range(marked.shape[1]):
                    marked[i, j] = True
        elif b < packed.prisms:
            c0, c1 = packed.first_chain[b], packed.first_chain[b + 1]
            _mark_prism(packed.corner, packed.chain, c0, c1, x, y, size_m, marked)
        else:
            w = b - packed.prisms - packed.uprights
            ends = packed.wire[w, 0] - x, packed.wire[w, 1] - y, packed.wire[w, 3] - x, packed.wire[w, 4] - y
            _mark_edge(ends[0], ends[1], ends[2], ends[3], size_m, marked)
        if count + marked.size > len(cell):
            length = max(2 * len(cell), count + marked.size)
            cell, body = longer(cell, length), longer(body, length)
        for i in range(marked.shape[0]):
            for j in range(marked.shape[1]):
                if marked[i, j]:
                    cell[count] = (i0 + i) * rows + j0 + j
                    body[count] = b
                    count += 1
    return cell[:count].copy(), body[:count].copy()


@kernel
def longer(values: IntArray, length: int) -> IntArray:
    """Return numbers with room for more behind them."""
    more = np.empty(length, np.int64)
    for n in range(len(values)):  # a slice would bring in the words of its error, which take long to compile
        more[n] = values[n]
    return more


@kernel
def _mark_prism(
    corner: FloatArray,
    chain: IntArray,
    first: int,
    last: int,
    x_m: float,
    y_m: float,
    size_m: float,
    marked: BoolArray,
) -> None:
    """Mark the cells that a footprint touches: along the outline by its edges, within by what lies left of middles."""
    within = np.zeros(marked.shape, np.bool_)
    for n in range(first, last):
        for c in range(chain[n, 0], chain[n, 1]):
            ax, ay = corner[c, 0] - x_m, corner[c, 1] - y_m
            bx, by = corner[c + 1, 0] - x_m, corner[c + 1, 1] - y_m
            _mark_edge(ax, ay, bx, by, size_m, marked)
            _turn_over(ax, ay, bx, by, size_m, within)
    for i in range(marked.shape[0]):
        for j in range(marked.shape[1]):
            marked[i, j] = marked[i, j] or within[i, j]


@kernel
def _mark_edge(ax: float, ay: float, bx: float, by: float, size_m: float, marked: BoolArray) -> None:
    columns, rows = marked.shape
    if ax > bx:
        ax, ay, bx, by = bx, by, ax, ay
    slope = (by - ay) / (bx - ax) if bx > ax else 0.0
    i0 = max(int(np.floor((ax - PAD_M) / size_m)), 0)
    i1 = min(int(np.floor((bx + PAD_M) / size_m)), columns - 1)
    for i in range(i0, i1 + 1):
        left = min(max(i * size_m - PAD_M, ax), bx)
        right = min(max((i + 1) * size_m + PAD_M, ax), bx)
        y0, y1 = ay + slope * (left - ax), ay + slope * (right - ax)
        if bx - ax <= PAD_M:  # too steep for a slope
            y0, y1 = ay, by
        j0 = max(int(np.floor((min(y0, y1) - PAD_M) / size_m)), 0)
        j1 = min(int(np.floor((max(y0, y1) + PAD_M) / size_m)), rows - 1)
        for j in range(j0, j1 + 1):
            marked[i, j] = True


@kernel
def _turn_over(ax: float, ay: float, bx: float, by: float, size_m: float, within: BoolArray) -> None:
    """Turn over every cell whose middle lies right of an edge, in the rows whose middle line the edge crosses."""
    columns, rows = within.shape
    if ay > by:
        ax, ay, bx, by = bx, by, ax, ay
    j0 = max(int(np.floor(ay / size_m - 0.5)), 0)
    j1 = min(int(np.floor(by / size_m)) + 1, rows - 1)
    for j in range(j0, j1 + 1):
        middle = (j + 0.5) * size_m
        if (ay >= middle) != (by >= middle):
            x = ax + (middle - ay) / (by - ay) * (bx - ax)
            for i in range(max(int(np.floor(x / size_m + 0.5)), 0), columns):
                within[i, j] = not within[i, j]
