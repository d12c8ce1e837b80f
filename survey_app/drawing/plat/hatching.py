"""The hatched bands inside many outlines at once, in arrays.

Same grid of 45° lines as `survey_app.drawing.hatch.hatch_band`: through the plane's origin, so that neighbours line up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

__all__ = ["hatch_bands"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
_HALF = math.sqrt(0.5)


def hatch_bands(
    rings: Sequence[Floats],
    pitch_m: Floats,
    band_m: float,
    window: tuple[float, float, float, float] | None = None,
) -> list[Floats]:
    """Return the strokes of the hatch of each outline.

    Parameters
    ----------
    rings : sequence of ndarray, shape (corners, 2)
        Outlines without the first corner repeated. [m]
    pitch_m : ndarray of float, shape (outlines,)
        Distance between lines, measured across them. [m]
    band_m : float
        Width of the band inside the outline. [m]
    window : (x_min, y_min, x_max, y_max) or None
        Lines that do not meet it are left out. [m]

    Returns
    -------
    list of ndarray of float, shape (strokes, 2, 2)
        Ends of the strokes of each outline. [m]

    Examples
    --------
    >>> ring = np.array([(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)])
    >>> strokes = hatch_bands([ring], np.array([2.0]), 1.0)[0]
    >>> bool((abs(strokes[:, 0] - strokes[:, 1]) <= 10.0 + 1e-9).all()), len(strokes) > 10
    (True, True)
    """
    if not rings:
        return []
    edges = _Edges(rings, np.asarray(pitch_m, dtype=np.float64))
    low, high = _line_range(edges, band_m, window)
    edge, line = _pairs(low, high)
    v = line * edges.pitch[edge]
    crossing = (edges.v0[edge] > v) != (edges.v1[edge] > v)
    first, last = _near(edges, edge, v, band_m)
    near = last > first
    crossed_edge, crossed_v = edge[crossing], v[crossing]
    part = (crossed_v - edges.v0[crossed_edge]) / (edges.v1[crossed_edge] - edges.v0[crossed_edge])
    cross_u = edges.u0[crossed_edge] + part * (edges.u1[crossed_edge] - edges.u0[crossed_edge])
    u = np.concatenate((cross_u, first[near], last[near]))
    owner = edges.owner[np.concatenate((crossed_edge, edge[near], edge[near]))]
    number = np.concatenate((line[crossing], line[near], line[near]))
    turns = np.zeros(len(u), dtype=np.int64)
    turns[: len(cross_u)] = 1
    cover = np.zeros(len(u), dtype=np.int64)
    cover[len(cross_u) : len(cross_u) + int(near.sum())] = 1
    cover[len(cross_u) + int(near.sum()) :] = -1
    order = np.lexsort((u, number, owner))
    u, owner, number = u[order], owner[order], number[order]
    # every outline is crossed an even number of times by a line, and every band that begins ends: sums need no restart
    drawn = (np.cumsum(turns[order]) % 2 == 1) & (np.cumsum(cover[order]) > 0)
    before = np.concatenate((np.zeros(1, dtype=np.bool_), drawn[:-1]))
    starts, ends = np.flatnonzero(drawn & ~before), np.flatnonzero(~drawn & before)
    if len(starts) == 0:
        return [np.empty((0, 2, 2)) for _ in rings]
    owner, v = owner[starts], number[starts] * edges.pitch_of[owner[starts]]
    strokes = np.empty((len(starts), 2, 2))
    for end, at in ((0, u[starts]), (1, u[ends])):
        strokes[:, end, 0], strokes[:, end, 1] = (at - v) * _HALF, (at + v) * _HALF
    return np.split(strokes, np.searchsorted(owner, np.arange(1, len(rings))))


class _Edges:
    """Edges of all outlines, turned so that the lines of the hatch lie level."""

    def __init__(self, rings: Sequence[Floats], pitch_m: Floats) -> None:
        counts = np.array([len(ring) for ring in rings])
        here = np.concatenate(rings)
        there = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
        self.owner: Ints = np.repeat(np.arange(len(rings)), counts)
        self.pitch_of = pitch_m
        self.pitch = pitch_m[self.owner]
        self.u0, self.v0 = (here[:, 0] + here[:, 1]) * _HALF, (here[:, 1] - here[:, 0]) * _HALF
        self.u1, self.v1 = (there[:, 0] + there[:, 1]) * _HALF, (there[:, 1] - there[:, 0]) * _HALF


def _line_range(edges: _Edges, band_m: float, window: tuple[float, float, float, float] | None) -> tuple[Ints, Ints]:
    low = np.floor((np.minimum(edges.v0, edges.v1) - band_m) / edges.pitch)
    high = np.ceil((np.maximum(edges.v0, edges.v1) + band_m) / edges.pitch)
    if window is not None:
        x0, y0, x1, y1 = window
        low = np.maximum(low, np.floor((y0 - x1) * _HALF / edges.pitch))
        high = np.minimum(high, np.ceil((y1 - x0) * _HALF / edges.pitch))
    return low.astype(np.int64), high.astype(np.int64)


def _pairs(low: Ints, high: Ints) -> tuple[Ints, Ints]:
    """Return every pair of an edge and a line that may meet its band."""
    counts = np.maximum(high - low + 1, 0)
    edge = np.repeat(np.arange(len(low)), counts)
    begin = np.cumsum(counts) - counts
    return edge, np.arange(len(edge)) - begin[edge] + low[edge]


def _near(edges: _Edges, edge: Ints, v: Floats, band_m: float) -> tuple[Floats, Floats]:
    """Return from where to where a line is no farther from an edge than the band is wide; empty where last < first."""
    u0, v0, u1, v1 = edges.u0[edge], edges.v0[edge], edges.u1[edge], edges.v1[edge]
    du, dv = u1 - u0, v1 - v0
    length = np.maximum(np.hypot(du, dv), 1e-12)
    cu, cv = du / length, dv / length
    inf = np.inf
    with np.errstate(divide="ignore", invalid="ignore"):
        # within the band of the edge's own line, and between its ends
        middle, half = u0 + (v - v0) * cu / cv, band_m / np.abs(cv)
        level = np.abs(cv) < 1e-12
        beside = level & (np.abs(v - v0) > band_m)
        low = np.where(level, np.where(beside, inf, -inf), middle - half)
        high = np.where(level, np.where(beside, -inf, inf), middle + half)
        one, two = u0 - (v - v0) * cv / cu, u0 + (length - (v - v0) * cv) / cu
        upright = np.abs(cu) < 1e-12
        past = upright & (((v - v0) * cv < 0.0) | ((v - v0) * cv > length))
        low = np.maximum(low, np.where(upright, np.where(past, inf, -inf), np.minimum(one, two)))
        high = np.minimum(high, np.where(upright, np.where(past, -inf, inf), np.maximum(one, two)))
    empty = ~(high > low)
    low, high = np.where(empty, inf, low), np.where(empty, -inf, high)
    for ue, ve in ((u0, v0), (u1, v1)):
        squared = band_m * band_m - (v - ve) ** 2
        reach = np.sqrt(np.maximum(squared, 0.0))
        low = np.where(squared > 0.0, np.minimum(low, ue - reach), low)
        high = np.where(squared > 0.0, np.maximum(high, ue + reach), high)
    return low, high
