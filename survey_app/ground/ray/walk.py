"""From cell to cell along a line."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from survey_app.ground.ray.cells import Cells, longer
from survey_app.ground.ray.line import Line
from survey_app.ground.ray.packed import PAD_M, Packed
from survey_app.physics.kernels import kernel

__all__ = ["Walk", "bodies_along", "first_cell"]

IntArray = NDArray[np.int64]


class Walk(NamedTuple):
    """Where a walk has come to; it is over when `part` is not less than `end`.

    Attributes
    ----------
    cell : int
        The cell.
    part, end : float
        Part of the line at which it enters the cell, and at which it leaves the lattice.
    next_x, next_y : float
        Parts at which it meets the next border across x and across y.
    per_x, per_y : float
        From one border to the next.
    step_x, step_y : int
        To the neighbour's number.
    """

    cell: int
    part: float
    end: float
    next_x: float
    next_y: float
    per_x: float
    per_y: float
    step_x: int
    step_y: int


@kernel
def first_cell(x_m: float, y_m: float, size_m: float, columns: int, rows: int, line: Line, until: float) -> Walk:
    """Begin at the line's lower end, or where it enters the lattice, and go as far as a part of it."""
    # a little within the border, where nothing stands, so that rounding cannot lead over it
    left, right = x_m + PAD_M / 2.0, x_m + columns * size_m - PAD_M / 2.0
    lower, upper = y_m + PAD_M / 2.0, y_m + rows * size_m - PAD_M / 2.0
    fx, fy = 1.0 / line.dx, 1.0 / line.dy
    part, end, x, y = 0.0, until, line.x, line.y
    ex, ey = x + line.dx, y + line.dy
    if min(x, ex) < left or max(x, ex) > right or min(y, ey) < lower or max(y, ey) > upper:
        part, end = _within(part, end, left - x, right - x, line.dx)
        part, end = _within(part, end, lower - y, upper - y, line.dy)
        if part < end:
            x, y = x + part * line.dx, y + part * line.dy
    i = min(max(int((x - x_m) / size_m), 0), columns - 1)
    j = min(max(int((y - y_m) / size_m), 0), rows - 1)
    next_x = next_y = np.inf
    if line.dx != 0.0:
        next_x = (x_m + (i + (line.dx > 0.0)) * size_m - line.x) * fx
    if line.dy != 0.0:
        next_y = (y_m + (j + (line.dy > 0.0)) * size_m - line.y) * fy
    step_x = rows if line.dx > 0.0 else -rows
    step_y = 1 if line.dy > 0.0 else -1
    return Walk(
        i * rows + j,
        part,
        end,
        next_x,
        next_y,
        size_m * abs(fx),
        size_m * abs(fy),
        step_x,
        step_y,
    )


@kernel
def _within(part: float, end: float, low: float, high: float, d: float) -> tuple[float, float]:
    """Cut two parts of a line to where one coordinate lies between two borders."""
    if d == 0.0:
        return (part, end) if low <= 0.0 <= high else (part, part)
    one, two = low / d, high / d
    return max(part, min(one, two)), min(end, max(one, two))


@kernel
def bodies_along(packed: Packed, cells: Cells, line: Line) -> IntArray:
    """Return the bodies in the cells along a line, each once, as they are met."""
    found, count = np.empty(64, np.int64), 0
    seen = np.zeros(len(packed.box), np.bool_)
    walk = first_cell(cells.x_m, cells.y_m, cells.size_m, cells.columns, cells.rows, line, 1.0)
    cell, part, next_x, next_y = walk.cell, walk.part, walk.next_x, walk.next_y
    while part < walk.end:
        for entry in range(cells.first[cell], cells.first[cell + 1]):
            b = cells.body[entry]
            if not seen[b]:
                seen[b] = True
                if count == len(found):
                    found = longer(found, 2 * count)
                found[count] = b
                count += 1
        if next_x < next_y:
            part = next_x
            next_x += walk.per_x
            cell += walk.step_x
        else:
            part = next_y
            next_y += walk.per_y
            cell += walk.step_y
    return found[:count]
