"""Kernel on triangles of heights: along lines over them."""

from __future__ import annotations

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.relief.profiles import IntArray
from survey_app.physics.kernels import kernel

__all__ = ["edges_met"]


def edges_met(
    points: FloatArray, heights: FloatArray, edges: IntArray, lines: FloatArray
) -> tuple[IntArray, FloatArray, FloatArray]:
    """Return where lines meet the edges and points of triangles, in no order within a line.

    Parameters
    ----------
    points : ndarray of float, shape (points, 2)
        Spot heights on the plane. [m]
    heights : ndarray of float, shape (points,)
        [m]
    edges : ndarray of int, shape (edges, 2)
        Points of every edge, each edge once.
    lines : ndarray of float, shape (lines, 4)
        x and y of both ends. [m]

    Returns
    -------
    first : ndarray of int, shape (lines + 1,)
        First meeting of each line, and the number of meetings.
    part, height : ndarray of float, shape (meetings,)
        Where along the line, between its ends, and how high. [1, m]
    """
    return _edges_met.sized(0.2 * len(lines) * (len(points) + len(edges)))(points, heights, edges, lines)


@kernel
def _meet(
    points: FloatArray,
    heights: FloatArray,
    edges: IntArray,
    line: FloatArray,
    side: FloatArray,
    at: int,
    part: FloatArray,
    height: FloatArray,
) -> int:
    """Write where one line meets edges and points, unsorted, and return how often; only count where at < 0."""
    x, y, dx, dy = line[0], line[1], line[2] - line[0], line[3] - line[1]
    length_2 = dx * dx + dy * dy
    count = 0
    if not length_2 > 0.0:
        return 0
    for n in range(len(points)):
        side[n] = dx * (points[n, 1] - y) - dy * (points[n, 0] - x)
        if side[n] == 0.0:
            # a point on the line is met by itself, so its edges need no care
            t = ((points[n, 0] - x) * dx + (points[n, 1] - y) * dy) / length_2
            if 0.0 < t < 1.0:
                if at >= 0:
                    part[at + count], height[at + count] = t, heights[n]
                count += 1
    for n in range(len(edges)):
        a, b = edges[n, 0], edges[n, 1]
        if (side[a] > 0.0 and side[b] < 0.0) or (side[a] < 0.0 and side[b] > 0.0):
            share = side[a] / (side[a] - side[b])
            met_x = points[a, 0] + share * (points[b, 0] - points[a, 0])
            met_y = points[a, 1] + share * (points[b, 1] - points[a, 1])
            t = ((met_x - x) * dx + (met_y - y) * dy) / length_2
            if 0.0 < t < 1.0:
                if at >= 0:
                    part[at + count] = t
                    height[at + count] = heights[a] + share * (heights[b] - heights[a])
                count += 1
    return count


@kernel
def _edges_met(
    points: FloatArray, heights: FloatArray, edges: IntArray, lines: FloatArray
) -> tuple[IntArray, FloatArray, FloatArray]:
    count = len(lines)
    side, nothing = np.empty(len(points)), np.empty(0)
    first = np.zeros(count + 1, np.int64)
    for n in range(count):
        first[n + 1] = first[n] + _meet(points, heights, edges, lines[n], side, -1, nothing, nothing)
    part, height = np.empty(first[-1]), np.empty(first[-1])
    for n in range(count):
        _meet(points, heights, edges, lines[n], side, first[n], part, height)
    return first, part, height
