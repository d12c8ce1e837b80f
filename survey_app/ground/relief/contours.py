"""Contours of the ground in a window: lines of one height, for the eye."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.relief.surface import LevelGround, Surface

__all__ = ["Contour", "contours"]

_ACROSS = 72
_MOST_LEVELS = 12
_LEAST_STEP_M = 0.1
_STEPS = (1.0, 2.0, 5.0, 10.0)


class Contour(NamedTuple):
    """One line of one height.

    Attributes
    ----------
    height_m : float
        Over the site datum. [m]
    points_m : ndarray of float, shape (n, 2)
        Along the line. [m]
    """

    height_m: float
    points_m: FloatArray


def contours(ground: Surface, window_m: tuple[float, float, float, float]) -> tuple[Contour, ...]:
    """Return the contours of the ground in a window, twelve heights at most.

    Parameters
    ----------
    ground : Surface
        The relief; level ground has none.
    window_m : (x_min, y_min, x_max, y_max)
        [m]

    Notes
    -----
    The ground is looked at on a square lattice whose points do not move with the window, about 72 across it, and is
    taken to be flat between three neighbours: a line is off by less than one step of that lattice. Where the ground is
    not known there is no line.

    Examples
    --------
    >>> contours(LevelGround(3.0, "flat"), (0.0, 0.0, 10.0, 10.0))
    ()
    """
    if isinstance(ground, LevelGround):
        return ()
    x0, y0, x1, y1 = window_m
    step = _round_step(max(x1 - x0, y1 - y0) / _ACROSS)
    xs = np.arange(math.floor(x0 / step), math.ceil(x1 / step) + 1) * step
    ys = np.arange(math.floor(y0 / step), math.ceil(y1 / step) + 1) * step
    x, y = np.meshgrid(xs, ys)
    height = ground.heights_m(x, y)
    if not np.isfinite(height).any():
        return ()
    low, high = float(np.nanmin(height)), float(np.nanmax(height))
    rise = max(_round_step(max((high - low) / _MOST_LEVELS, 1e-9)), _LEAST_STEP_M)
    corners = np.stack((x, y, height), axis=-1)
    triangles = _triangles(corners)
    found = []
    for level in range(math.ceil(low / rise), math.floor(high / rise) + 1):
        # a level through lattice points themselves would meet three edges at once
        cut = _cut(triangles, level * rise + 1e-9 * rise)
        found += [Contour(level * rise, line) for line in _joined(cut)]
    return tuple(found)


def _round_step(least: float) -> float:
    power = 10.0 ** math.floor(math.log10(least))
    return next(step * power for step in _STEPS if step * power >= least * (1.0 - 1e-9))


def _triangles(corners: FloatArray) -> FloatArray:
    """Return two triangles per cell whose heights are known, shape (n, 3, 3)."""
    a, b, c, d = corners[:-1, :-1], corners[:-1, 1:], corners[1:, 1:], corners[1:, :-1]
    lower, upper = np.stack((a, b, c), axis=2), np.stack((a, c, d), axis=2)
    every = np.concatenate((lower.reshape(-1, 3, 3), upper.reshape(-1, 3, 3)))
    known: FloatArray = every[np.isfinite(every[:, :, 2]).all(axis=1)]
    return known


def _cut(triangles: FloatArray, height_m: float) -> FloatArray:
    """Return where a level cuts triangles, shape (n, 2 ends, 2)."""
    above = triangles[:, :, 2] > height_m
    cut = triangles[above.any(axis=1) & ~above.all(axis=1)]
    nxt = np.roll(cut, -1, axis=1)
    crossed = (cut[:, :, 2] > height_m) != (nxt[:, :, 2] > height_m)
    # both triangles beside an edge reckon its point from the same end, so that it is the same bit for bit
    swap = (cut[:, :, 0] > nxt[:, :, 0]) | ((cut[:, :, 0] == nxt[:, :, 0]) & (cut[:, :, 1] > nxt[:, :, 1]))
    first = np.where(swap[:, :, None], nxt, cut)[crossed]
    second = np.where(swap[:, :, None], cut, nxt)[crossed]
    part = (height_m - first[:, 2]) / (second[:, 2] - first[:, 2])
    ends: FloatArray = (first[:, :2] + part[:, None] * (second[:, :2] - first[:, :2])).reshape(-1, 2, 2)
    return ends


def _joined(pieces: FloatArray) -> list[FloatArray]:
    """Return single lines joined end to end."""
    ends = [(tuple(a), tuple(b)) for a, b in pieces.tolist() if a != b]
    at: dict[tuple[float, ...], list[int]] = {}
    for n, (a, b) in enumerate(ends):
        at.setdefault(a, []).append(n)
        at.setdefault(b, []).append(n)
    left = dict.fromkeys(range(len(ends)))
    lines = []
    # open lines first, from their ends; then what runs round
    for n in [*(n for rows in at.values() if len(rows) == 1 for n in rows), *range(len(ends))]:
        if n not in left:
            continue
        a, b = ends[n]
        start = a if len(at[a]) == 1 else b if len(at[b]) == 1 else a
        line, here, row = [start], start, n
        while True:
            left.pop(row)
            here = ends[row][1] if ends[row][0] == here else ends[row][0]
            line.append(here)
            row = next((one for one in at[here] if one in left), -1)
            if row < 0:
                break
        lines.append(np.array(line))
    return lines
