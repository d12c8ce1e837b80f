"""Thousands of lines as plain segments, cut to the window and parted into dashes at once.

The painter draws single straight lines some ten times faster than it strokes a long path or finds its dashes.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["dashed", "inside_parts", "segments_of", "thinned"]

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Box = tuple[float, float, float, float]


_MANY_POINTS, _SHORT = 20_000, 2.5


def thinned(points: Floats, joined: Bools) -> tuple[Floats, Bools]:
    """Return lines with every second point left out where there are very many and they lie very close; in pixels.

    Ends of lines stay. What is lost is a quarter of a chord's height at most, far under a pixel.
    """
    while len(points) > _MANY_POINTS:
        links = joined[:-1]
        steps = np.hypot(*(points[1:] - points[:-1]).T)[links]
        if len(steps) == 0 or float(np.median(steps)) > _SHORT:
            break
        between = np.zeros(len(points), dtype=np.bool_)
        between[1:-1] = links[:-1] & links[1:]
        between[::2] = False
        if not between.any():
            break
        points, joined = points[~between], joined[~between]
    return points, joined


def segments_of(points: Floats, joined: Bools, box: Box) -> tuple[Floats, Floats, Floats]:
    """Return the segments of lines that meet a box.

    Parameters
    ----------
    points : ndarray of float, shape (n, 2)
        Points of all lines in a row.
    joined : ndarray of bool, shape (n,)
        Whether a point is joined to the next.
    box : (x_min, y_min, x_max, y_max)
        Same unit as the points.

    Returns
    -------
    ends : ndarray of float, shape (m, 4)
        x, y of the start and x, y of the end of each segment, cut to the box.
    start : ndarray of float, shape (m,)
        How far along its line the cut segment begins.
    length : ndarray of float, shape (m,)
        How long the cut segment is.
    """
    first = np.flatnonzero(joined[:-1])
    a, b = points[first], points[first + 1]
    meets = (
        (np.minimum(a[:, 0], b[:, 0]) <= box[2])
        & (np.maximum(a[:, 0], b[:, 0]) >= box[0])
        & (np.minimum(a[:, 1], b[:, 1]) <= box[3])
        & (np.maximum(a[:, 1], b[:, 1]) >= box[1])
    )
    step = b - a
    whole = np.hypot(step[:, 0], step[:, 1])
    along = _along(points, joined, first, whole)
    a, step, whole, along = a[meets], step[meets], whole[meets], along[meets]
    enter, leave = inside_parts(a, step, box)
    kept = enter <= leave
    a, step, whole, along, enter, leave = (v[kept] for v in (a, step, whole, along, enter, leave))
    ends = np.concatenate((a + enter[:, None] * step, a + leave[:, None] * step), axis=1)
    return ends, along + enter * whole, (leave - enter) * whole


def _along(points: Floats, joined: Bools, first: NDArray[np.intp], whole: Floats) -> Floats:
    """Return how far along its own line each segment begins."""
    steps = np.zeros(len(points))
    steps[first + 1] = whole
    run = np.cumsum(steps)
    heads = np.ones(len(points), dtype=np.bool_)
    heads[1:] = ~joined[:-1]
    base = np.maximum.accumulate(np.where(heads, run, 0.0))
    return np.asarray(run[first] - base[first], dtype=np.float64)


def inside_parts(a: Floats, step: Floats, box: Box) -> tuple[Floats, Floats]:
    """Return the parts of each segment at which it enters and leaves a box; entering after leaving misses it."""
    enter, leave = np.zeros(len(a)), np.ones(len(a))
    for axis in (0, 1):
        for limit, sign in ((box[axis], 1.0), (box[axis + 2], -1.0)):
            here, slope = sign * (a[:, axis] - limit), sign * step[:, axis]
            with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
                t = -here / slope
            enter = np.where(slope > 0, np.maximum(enter, t), enter)
            leave = np.where(slope < 0, np.minimum(leave, t), leave)
            leave = np.where((slope == 0) & (here < 0), -1.0, leave)
    return enter, leave


def dashed(ends: Floats, start: Floats, length: Floats, pattern: tuple[float, ...]) -> Floats:
    """Return the dashes of segments; a dash goes on round the corners of its line.

    Parameters
    ----------
    ends, start, length : ndarray
        As `segments_of` returns them.
    pattern : tuple of float
        Lengths of line and gap in turn, same unit.

    Returns
    -------
    ndarray of float, shape (k, 4)
        x, y of the start and of the end of each dash.
    """
    period = float(sum(pattern))
    rows = []
    offset = 0.0
    for dash, gap in zip(pattern[::2], pattern[1::2], strict=True):
        low = np.floor((start - offset - dash) / period).astype(np.int64) + 1
        high = np.ceil((start + length - offset) / period).astype(np.int64) - 1
        counts = np.maximum(high - low + 1, 0)
        which = np.repeat(np.arange(len(ends)), counts)
        nth = np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)
        begin = (low[which] + nth) * period + offset - start[which]
        span = length[which]
        part = np.stack((np.clip(begin, 0.0, span), np.clip(begin + dash, 0.0, span)), axis=1)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            part = np.where(span[:, None] > 0.0, part / span[:, None], 0.0)
        a, b = ends[which, :2], ends[which, 2:]
        rows.append(np.concatenate((a + part[:, :1] * (b - a), a + part[:, 1:] * (b - a)), axis=1))
        offset += dash + gap
    return np.concatenate(rows) if rows else np.empty((0, 4))
