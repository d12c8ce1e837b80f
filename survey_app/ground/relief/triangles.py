"""Ground as triangles between spot heights, level or slanting, unknown outside of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.errors import UsageError
from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.relief.outlines import ends_of, with_edges
from survey_app.ground.relief.profiles import IntArray, Profiles

__all__ = ["Triangles", "triangulated"]

BoolArray = NDArray[np.bool_]
_AT_ONE_PLACE_M = 1e-3
_THIN = 1e-9
_ON_EDGE = 1e-9


@dataclass(frozen=True, eq=False)
class Triangles:
    """A surface of triangles; made by `triangulated`.

    Attributes
    ----------
    points_m : ndarray of float, shape (points, 2)
        [m]
    point_heights_m : ndarray of float, shape (points,)
        Over the site datum. [m]
    edges : ndarray of int, shape (edges, 2)
        Both points of every edge, each edge once.
    words : str
        Where the heights come from.
    sigma_m : float
        Standard deviation of a height. [m]
    """

    points_m: FloatArray
    point_heights_m: FloatArray
    edges: IntArray
    words: str
    sigma_m: float
    _net: Any
    _origin_m: FloatArray

    def heights_m(self, x_m: ArrayLike, y_m: ArrayLike) -> FloatArray:
        """Return the ground at points of the plane, NaN outside of the triangles. [m]"""
        x, y = broadcast(x_m, y_m)
        flat = np.column_stack((x.ravel(), y.ravel())) - self._origin_m
        found = np.full(len(flat), np.nan)
        asked = np.flatnonzero(np.isfinite(flat).all(axis=1))
        triangle = self._net.find_simplex(flat[asked], tol=_ON_EDGE)
        asked, triangle = asked[triangle >= 0], triangle[triangle >= 0]
        frame = self._net.transform[triangle]
        away = flat[asked] - frame[:, 2]
        first = frame[:, 0, 0] * away[:, 0] + frame[:, 0, 1] * away[:, 1]
        second = frame[:, 1, 0] * away[:, 0] + frame[:, 1, 1] * away[:, 1]
        corner = self.point_heights_m[self._net.simplices[triangle]]
        found[asked] = corner[:, 2] + first * (corner[:, 0] - corner[:, 2]) + second * (corner[:, 1] - corner[:, 2])
        return found.reshape(x.shape)

    def profiles(self, start_m: FloatArray, end_m: FloatArray) -> Profiles:
        """Return the ground under lines: every edge that they cross is a point."""
        from survey_app.ground.relief.triangle_walk import edges_met

        start, end = ends_of(start_m, end_m)
        ground = np.column_stack((self.heights_m(*start.T), self.heights_m(*end.T)))
        here, there = start - self._origin_m, end - self._origin_m
        # every line is walked one way, so that both ways give the same bits
        turned = (there[:, 0] < here[:, 0]) | ((there[:, 0] == here[:, 0]) & (there[:, 1] < here[:, 1]))
        ways = np.where(turned[:, None], np.column_stack((there, here)), np.column_stack((here, there)))
        points = np.ascontiguousarray(self.points_m - self._origin_m)
        met, part, height = edges_met(points, self.point_heights_m, self.edges, np.ascontiguousarray(ways))
        return _in_order(met, part, height, turned, ground)

    def extremes_m(self, outlines: Sequence[FloatArray]) -> FloatArray:
        """Return the lowest and the highest ground inside outlines. [m]"""
        if not outlines:
            return np.empty((0, 2))
        inside = np.array([self._inside(one) for one in outlines])
        return with_edges(self, outlines, inside)

    def _inside(self, outline: FloatArray) -> tuple[float, float]:
        """Return the lowest and the highest spot height inside an outline."""
        (x, y), low, high = self.points_m.T, outline.min(axis=0), outline.max(axis=0)
        near = np.flatnonzero((x >= low[0]) & (x <= high[0]) & (y >= low[1]) & (y <= high[1]))
        here, there = outline, np.roll(outline, -1, axis=0)
        px, py = x[near, None], y[near, None]
        crossed = (here[:, 1] <= py) != (there[:, 1] <= py)
        with np.errstate(divide="ignore", invalid="ignore"):
            met = here[:, 0] + (py - here[:, 1]) / (there[:, 1] - here[:, 1]) * (there[:, 0] - here[:, 0])
        odd = (crossed & (met > px)).sum(axis=1) % 2 == 1
        heights = self.point_heights_m[near[odd]]
        return float(heights.min(initial=np.inf)), float(heights.max(initial=-np.inf))


def _in_order(met: IntArray, part: FloatArray, height: FloatArray, turned: BoolArray, ends: FloatArray) -> Profiles:
    """Return profiles from what lines meet between their ends, in any order, and the ground at their ends."""
    count = len(turned)
    line = np.repeat(np.arange(count), np.diff(met))
    back = turned[line]
    tie = np.arange(len(part))
    order = np.lexsort((np.where(back, -tie, tie), np.where(back, -part, part), line))
    first = met + 2 * np.arange(count + 1, dtype=np.int64)
    is_end = np.zeros(int(first[-1]), bool)
    is_end[first[:-1]] = is_end[first[1:] - 1] = True
    along, over, bow = (np.zeros(len(is_end)) for _ in range(3))
    along[~is_end] = np.where(back, 1.0 - part, part)[order]
    over[~is_end] = height[order]
    along[first[1:] - 1] = 1.0
    over[first[:-1]], over[first[1:] - 1] = ends.T
    # the triangles fill a convex area: between two points of it nothing is unknown
    unknown = np.isnan(over[:-1]) | np.isnan(over[1:])
    bow[:-1][unknown] = np.nan
    bow[first[1:] - 1] = 0.0
    return Profiles(first, along, over, bow)


def triangulated(points_m: FloatArray, heights_m: FloatArray, words: str, sigma_m: float) -> Triangles:
    """Return the surface through spot heights.

    Parameters
    ----------
    points_m : ndarray of float, shape (points, 2)
        Three at least, no two at one place, not all on one line. [m]
    heights_m : ndarray of float, shape (points,)
        Over the site datum. [m]
    words : str
        Where the heights come from.
    sigma_m : float
        Standard deviation of a height. [m]

    Raises
    ------
    UsageError
        The points cannot be joined to triangles.

    Notes
    -----
    Delaunay's triangles: no spot height lies inside the circle through the corners of another triangle. Where four lie
    on one circle either diagonal is right, and the order of the points decides.

    Examples
    --------
    >>> corners = np.array([[0.0, 0.0], [10.0, 0.0], [0.0, 10.0]])
    >>> round(float(triangulated(corners, np.array([0.0, 1.0, 2.0]), "", 0.1).heights_m(2.0, 2.0)), 12)
    0.6
    """
    from scipy.spatial import Delaunay, QhullError

    points = np.asarray(points_m, np.float64)
    heights = np.ascontiguousarray(heights_m, dtype=np.float64)
    if not np.isfinite(points).all():
        raise _refused("a spot height has no place on the plan", "tie the plane to the earth, or write it in metres")
    if len(points) < 3:
        raise _refused(f"{len(points)} spot heights make no surface", "give three at least")
    _check_apart(points)
    # from their middle, so that far from the origin the triangles keep their digits
    origin = points.mean(axis=0)
    try:
        net = Delaunay(points - origin)
    except QhullError as error:
        raise _refused("all spot heights lie on one line", "add one beside the line") from error
    if _is_thin(points - origin):
        raise _refused("all spot heights lie on one line", "add one beside the line")
    corners = np.sort(net.simplices, axis=1).astype(np.int64)
    pairs = np.concatenate((corners[:, [0, 1]], corners[:, [0, 2]], corners[:, [1, 2]]))
    edges = np.ascontiguousarray(np.unique(pairs, axis=0))
    return Triangles(points, heights, edges, words, sigma_m, net, origin)


def _check_apart(points: FloatArray) -> None:
    from scipy.spatial import cKDTree

    pairs = cKDTree(points).query_pairs(_AT_ONE_PLACE_M, output_type="ndarray")
    if len(pairs):
        one, other = sorted(pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))][0].tolist())
        x, y = points[one]
        raise _refused(
            f"spot heights {one + 1} and {other + 1} stand at one place ({x:.3f}, {y:.3f})", "leave one of them out"
        )


def _is_thin(points: FloatArray) -> bool:
    """Return whether the points lie on one line as far as their numbers can tell."""
    spread = np.linalg.svd(points, compute_uv=False)
    return bool(spread[1] <= _THIN * spread[0])


def _refused(what: str, remedy: str) -> UsageError:
    return UsageError(what, where="relief", remedy=remedy)
