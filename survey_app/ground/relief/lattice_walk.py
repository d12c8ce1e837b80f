"""Kernels on a lattice of heights: along lines through it, and over its points inside outlines.

Positions are counted in steps of the lattice: u along a row, v down the rows, whole numbers at its points.
"""

from __future__ import annotations

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.relief.profiles import IntArray
from survey_app.physics.kernels import kernel

__all__ = ["BORDER", "lattice_profiles", "points_inside"]

BORDER = 1e-9
"""So many steps beyond its border a place counts as on it: rounding must not make what lies there unknown."""

_STEPS_OF_POINT = 8.0


def lattice_profiles(heights: FloatArray, lines: FloatArray) -> tuple[IntArray, FloatArray, FloatArray, FloatArray]:
    """Return first points, parts, heights and bows of the ground under lines.

    Parameters
    ----------
    heights : ndarray of float, shape (rows, columns)
        Two rows and two columns at least; NaN where a height is not known.
    lines : ndarray of float, shape (lines, 4)
        u and v of both ends.
    """
    rows, columns = heights.shape
    met = np.fmin(np.abs(lines[:, 2] - lines[:, 0]), columns) + np.fmin(np.abs(lines[:, 3] - lines[:, 1]), rows)
    steps = _STEPS_OF_POINT * float(np.sum(met + 3.0))
    return _profiles.sized(steps)(heights, lines)


def points_inside(heights: FloatArray, corners: FloatArray, first: IntArray) -> FloatArray:
    """Return the lowest and the highest point of the lattice inside outlines.

    Parameters
    ----------
    heights : ndarray of float, shape (rows, columns)
        NaN where one is not known.
    corners : ndarray of float, shape (corners, 2)
        u and v of the corners of all outlines.
    first : ndarray of int, shape (outlines + 1,)
        First corner of each outline.

    Returns
    -------
    ndarray of float, shape (outlines, 2)
        (inf, -inf) where no point is inside; NaN where one of them is not known.
    """
    rows, columns = heights.shape
    tall = np.fmin(np.ptp(corners[:, 1]) + 1.0, rows) if len(corners) else 0.0
    wide = np.fmin(np.ptp(corners[:, 0]) + 1.0, columns) if len(corners) else 0.0
    # no outline is larger than all of them together
    steps = float(tall) * (len(corners) + 0.2 * float(wide) * (len(first) - 1)) + len(corners)
    return _inside.sized(steps)(heights, corners, first)


@kernel
def _height(heights: FloatArray, u: float, v: float) -> float:
    """Return the bilinear height at a place inside; a point that weighs nothing may be unknown."""
    rows, columns = heights.shape
    u, v = min(max(u, 0.0), columns - 1.0), min(max(v, 0.0), rows - 1.0)
    column, row = min(int(u), columns - 2), min(int(v), rows - 2)
    right, down = u - column, v - row
    if right == 0.0:
        upper, lower = heights[row, column], heights[row + 1, column]
    elif right == 1.0:
        upper, lower = heights[row, column + 1], heights[row + 1, column + 1]
    else:
        upper = (1.0 - right) * heights[row, column] + right * heights[row, column + 1]
        lower = (1.0 - right) * heights[row + 1, column] + right * heights[row + 1, column + 1]
    if down == 0.0:
        return float(upper)
    if down == 1.0:
        return float(lower)
    return float((1.0 - down) * upper + down * lower)


@kernel
def _bow(heights: FloatArray, u0: float, v0: float, u1: float, v1: float) -> float:
    """Return how far the ground in the middle of a piece within one cell lies over its chord."""
    rows, columns = heights.shape
    column = min(max(int((u0 + u1) / 2.0), 0), columns - 2)
    row = min(max(int((v0 + v1) / 2.0), 0), rows - 2)
    if u0 == u1 and u0 == np.floor(u0):
        # along a line of the lattice only that line counts
        at = int(u0)
        return float((heights[row, at] - heights[row, at]) + (heights[row + 1, at] - heights[row + 1, at]))
    if v0 == v1 and v0 == np.floor(v0):
        at = int(v0)
        return float((heights[at, column] - heights[at, column]) + (heights[at, column + 1] - heights[at, column + 1]))
    twist = (heights[row, column] + heights[row + 1, column + 1]) - (
        heights[row, column + 1] + heights[row + 1, column]
    )
    return float(-(u1 - u0) * (v1 - v0) * twist / 4.0)


@kernel
def _walk(
    heights: FloatArray,
    line: FloatArray,
    at: int,
    part: FloatArray,
    height: FloatArray,
    bow: FloatArray,
) -> int:
    """Write the points of one line from `at` on and return how many they are; only count them where at < 0."""
    rows, columns = heights.shape
    u0, v0, u1, v1 = line[0], line[1], line[2], line[3]
    turned = u1 < u0 or (u1 == u0 and v1 < v0)
    if turned:
        u0, v0, u1, v1 = u1, v1, u0, v0
    du, dv = u1 - u0, v1 - v0
    known = np.isfinite(du) and np.isfinite(dv)
    # the part of the line over the lattice; empty where it passes by
    enter, leave = 0.0, 1.0
    for axis in range(2):
        begin, run, last = (u0, du, columns - 1.0) if axis == 0 else (v0, dv, rows - 1.0)
        if run == 0.0:
            if not -BORDER <= begin <= last + BORDER:
                enter, leave = 2.0, -1.0
        else:
            one, other = (-BORDER - begin) / run, (last + BORDER - begin) / run
            enter, leave = max(enter, min(one, other)), min(leave, max(one, other))
    if not known or enter > leave:
        enter, leave = 2.0, -1.0
    # crossings of columns and rows, both rising along the line
    column, row, step = 0, 0, 1 if dv > 0.0 else -1
    last_column, last_row = -1, -1
    if enter <= leave:
        if du > 0.0:
            column, last_column = max(0, int(np.floor(u0)) + 1), min(columns - 1, int(np.ceil(u1)) - 1)
        if dv > 0.0:
            row, last_row = max(0, int(np.floor(v0)) + 1), min(rows - 1, int(np.ceil(v1)) - 1)
        elif dv < 0.0:
            row, last_row = min(rows - 1, int(np.ceil(v0)) - 1), max(0, int(np.floor(v1)) + 1)
    columns_left = last_column - column + 1 if enter <= leave and du > 0.0 else 0
    rows_left = (last_row - row) * step + 1 if enter <= leave and dv != 0.0 else 0
    count, t, before_u, before_v = 0, 0.0, u0, v0
    while True:
        # the first point stands at the start, the last at the end, whether there is ground or not
        if count == 0:
            u, v, t = u0, v0, 0.0
        else:
            next_u = (column - u0) / du if columns_left > 0 else 2.0
            next_v = (row - v0) / dv if rows_left > 0 else 2.0
            t = min(next_u, next_v)
            if t >= 1.0:
                u, v, t = u1, v1, 1.0
            else:
                u = float(column) if next_u == t else min(max(u0 + t * du, 0.0), columns - 1.0)
                v = float(row) if next_v == t else min(max(v0 + t * dv, 0.0), rows - 1.0)
                if next_u == t:
                    column, columns_left = column + 1, columns_left - 1
                if next_v == t:
                    row, rows_left = row + step, rows_left - 1
                if t <= 0.0 or t < enter or t > leave:
                    continue
        if at >= 0:
            inside = enter <= t <= leave
            here = at + count
            part[here] = t
            height[here] = _height(heights, u, v) if inside else np.nan
            bow[here] = 0.0
            if count > 0:
                over = inside and not np.isnan(height[here - 1])
                bow[here - 1] = _bow(heights, before_u, before_v, u, v) if over else np.nan
            before_u, before_v = u, v
        count += 1
        if t == 1.0:
            break
    if at >= 0 and turned:
        _turn(part, height, bow, at, count)
    return count


@kernel
def _turn(part: FloatArray, height: FloatArray, bow: FloatArray, at: int, count: int) -> None:
    """Put the points of a line into the order from its other end."""
    for near in range(count // 2):
        low, high = at + near, at + count - 1 - near
        part[low], part[high] = part[high], part[low]
        height[low], height[high] = height[high], height[low]
    for near in range((count - 1) // 2):
        low, high = at + near, at + count - 2 - near
        bow[low], bow[high] = bow[high], bow[low]
    for here in range(at, at + count):
        part[here] = 1.0 - part[here]


@kernel
def _profiles(heights: FloatArray, lines: FloatArray) -> tuple[IntArray, FloatArray, FloatArray, FloatArray]:
    first = np.zeros(len(lines) + 1, np.int64)
    nothing = np.empty(0)
    for n in range(len(lines)):
        first[n + 1] = first[n] + _walk(heights, lines[n], -1, nothing, nothing, nothing)
    part, height, bow = np.empty(first[-1]), np.empty(first[-1]), np.empty(first[-1])
    for n in range(len(lines)):
        _walk(heights, lines[n], first[n], part, height, bow)
    return first, part, height, bow


@kernel
def _inside(heights: FloatArray, corners: FloatArray, first: IntArray) -> FloatArray:
    rows, columns = heights.shape
    found = np.empty((len(first) - 1, 2))
    flips = np.zeros(columns + 1, np.int64)
    for n in range(len(first) - 1):
        low, high = np.inf, -np.inf
        left, right, top, bottom = np.inf, -np.inf, np.inf, -np.inf
        for k in range(first[n], first[n + 1]):
            left, right = min(left, corners[k, 0]), max(right, corners[k, 0])
            top, bottom = min(top, corners[k, 1]), max(bottom, corners[k, 1])
        from_row, to_row, from_column, to_column = 0, -1, 0, -1
        if np.isfinite(left) and np.isfinite(right) and np.isfinite(top) and np.isfinite(bottom):
            from_row, to_row = int(max(0.0, np.ceil(top))), int(min(rows - 1.0, np.floor(bottom)))
            from_column, to_column = int(max(0.0, np.ceil(left))), int(min(columns - 1.0, np.floor(right)))
        for row in range(from_row, to_row + 1):
            flips[from_column : to_column + 2] = 0
            for k in range(first[n], first[n + 1]):
                after = k + 1 if k + 1 < first[n + 1] else first[n]
                if (corners[k, 1] <= row) != (corners[after, 1] <= row):
                    share = (row - corners[k, 1]) / (corners[after, 1] - corners[k, 1])
                    met = corners[k, 0] + share * (corners[after, 0] - corners[k, 0])
                    flips[int(min(max(np.ceil(met), from_column * 1.0), to_column + 1.0))] += 1
            odd = 0
            for column in range(from_column, to_column + 1):
                odd = (odd + flips[column]) % 2
                if odd == 1:
                    height = heights[row, column]
                    if np.isnan(height):
                        low, high = np.nan, np.nan
                    elif not np.isnan(low):
                        low, high = min(low, height), max(high, height)
        found[n, 0], found[n, 1] = low, high
    return found
