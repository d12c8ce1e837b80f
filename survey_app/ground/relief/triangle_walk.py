"""Kernel on triangles of heights: along lines over them."""

from __future__ import annotations

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.relief.profiles import IntArray
from survey_app.physics.kernels import kernel

__all__ = ["triangle_profiles"]


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
def triangle_profiles(
    points: FloatArray, heights: FloatArray, edges: IntArray, lines: FloatArray, ends: FloatArray
) -> tuple[IntArray, FloatArray, FloatArray, FloatArray]:
    """Return first points, parts, heights and bows of the ground under lines.

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
    ends : ndarray of float, shape (lines, 2)
        Ground at both ends, NaN outside of the triangles. [m]
    """
    count = len(lines)
    ways = lines.copy()
    turned = np.zeros(count, np.bool_)
    for n in range(count):
        x0, y0, x1, y1 = lines[n, 0], lines[n, 1], lines[n, 2], lines[n, 3]
        turned[n] = x1 < x0 or (x1 == x0 and y1 < y0)
        if turned[n]:
            ways[n, 0], ways[n, 1], ways[n, 2], ways[n, 3] = x1, y1, x0, y0
    side, nothing = np.empty(len(points)), np.empty(0)
    first = np.zeros(count + 1, np.int64)
    for n in range(count):
        first[n + 1] = first[n] + 2 + _meet(points, heights, edges, ways[n], side, -1, nothing, nothing)
    part, height, bow = np.empty(first[-1]), np.empty(first[-1]), np.zeros(first[-1])
    for n in range(count):
        begin, end = first[n], first[n + 1]
        _meet(points, heights, edges, ways[n], side, begin + 1, part, height)
        order = np.argsort(part[begin + 1 : end - 1], kind="mergesort")
        part[begin + 1 : end - 1] = part[begin + 1 : end - 1][order]
        height[begin + 1 : end - 1] = height[begin + 1 : end - 1][order]
        if turned[n]:
            part[begin + 1 : end - 1] = 1.0 - part[begin + 1 : end - 1][::-1]
            height[begin + 1 : end - 1] = height[begin + 1 : end - 1][::-1].copy()
        part[begin], part[end - 1] = 0.0, 1.0
        height[begin], height[end - 1] = ends[n, 0], ends[n, 1]
        # the triangles fill a convex area: between two points of it nothing is unknown
        for k in range(begin, end - 1):
            if np.isnan(height[k]) or np.isnan(height[k + 1]):
                bow[k] = np.nan
    return first, part, height, bow
