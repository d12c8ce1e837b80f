"""Profiles of the ground along straight lines: every place where its slope breaks, and how it bows in between."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray

__all__ = ["IntArray", "Profiles", "least_clearance", "level_profiles"]

IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class Profiles:
    r"""The ground under many lines, exactly: nothing is sampled, so no ridge slips through between two points.

    Attributes
    ----------
    first : ndarray of int, shape (lines + 1,)
        First point of each line, and the number of points.
    part : ndarray of float, shape (points,)
        Where along its line: 0 at the start, 1 at the end, rising. Every line has its two ends at least. [1]
    height_m : ndarray of float, shape (points,)
        Ground over the site datum; NaN where it is not known. [m]
    bow_m : ndarray of float, shape (points,)
        How far the ground in the middle between a point and the next lies over the straight line between them: 0 on
        triangles, NaN where the ground in between is not known, 0 at the last point of a line. [m]

    Notes
    -----
    From point `i` to the next, with `s` from 0 to 1, the ground is

    .. math:: h(s) = (1 - s) h_i + s h_{i+1} + 4 b_i s (1 - s)

    because a bilinear patch along a straight line is a parabola. A line and the same line from its other end give the
    same heights and bows, bit for bit, in reverse order.
    """

    first: IntArray
    part: FloatArray
    height_m: FloatArray
    bow_m: FloatArray

    def __len__(self) -> int:
        return len(self.first) - 1

    @property
    def line(self) -> IntArray:
        """Line of each point, shape (points,)."""
        return np.repeat(np.arange(len(self), dtype=np.int64), np.diff(self.first))

    def of(self, line: int) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return part, height and bow of one line. [1, m, m]"""
        here = slice(int(self.first[line]), int(self.first[line + 1]))
        return self.part[here], self.height_m[here], self.bow_m[here]

    def at(self, line: int, part: FloatArray) -> FloatArray:
        """Return the ground under one line at parts of its length; NaN where it is not known. [m]"""
        along, height, bow = self.of(line)
        piece = np.clip(np.searchsorted(along, part, side="right") - 1, 0, len(along) - 2)
        length = along[piece + 1] - along[piece]
        with np.errstate(divide="ignore", invalid="ignore"):
            s = np.where(length > 0.0, (part - along[piece]) / length, 0.0)
        between = (1.0 - s) * height[piece] + s * height[piece + 1] + 4.0 * bow[piece] * s * (1.0 - s)
        # at a point that is known the ground is known, whatever lies beside it
        return np.where(s == 0.0, height[piece], np.where(s == 1.0, height[piece + 1], between))

    def turning(
        self, slope_m: FloatArray | float = 0.0, bend_m: FloatArray | float = 0.0
    ) -> tuple[IntArray, FloatArray]:
        """Return where the ground turns against straight lines over it: the crests and hollows between two points.

        Parameters
        ----------
        slope_m : ndarray of float, shape (lines,)
            How much each straight line rises from its start to its end. [m]
        bend_m : ndarray of float, shape (lines,)
            Earth bulge in the middle of each line, which the ground is lifted by. [m]

        Returns
        -------
        point : ndarray of int, shape (n,)
            The point that the piece begins at.
        s : ndarray of float, shape (n,)
            Where in the piece, 0 < s < 1.
        """
        line = self.line
        begins = np.ones(len(self.part), bool)
        begins[self.first[1:] - 1] = False
        point = np.flatnonzero(begins)
        width = self.part[point + 1] - self.part[point]
        slope = np.broadcast_to(slope_m, len(self))[line[point]]
        bulge = np.broadcast_to(bend_m, len(self))[line[point]]
        middle = self.part[point] + self.part[point + 1]
        # the bulge 4 B t (1 - t) over a piece of width w is its chord and a bow of B w²
        bow = self.bow_m[point] + bulge * width * width
        rise = self.height_m[point + 1] - self.height_m[point] - slope * width
        rise = rise + 4.0 * bulge * width * (1.0 - middle)
        with np.errstate(divide="ignore", invalid="ignore"):
            s = 0.5 + rise / (8.0 * bow)
        inside = (s > 0.0) & (s < 1.0)
        return point[inside].astype(np.int64), s[inside]


def level_profiles(count: int, height_m: float) -> Profiles:
    """Return profiles of two points each over ground that is level, or unknown where the height is NaN.

    Examples
    --------
    >>> level_profiles(2, 0.0).height_m.tolist()
    [0.0, 0.0, 0.0, 0.0]
    """
    bow = np.zeros(2 * count)
    if np.isnan(height_m):
        bow[0::2] = np.nan
    return Profiles(
        first=np.arange(count + 1, dtype=np.int64) * 2,
        part=np.tile([0.0, 1.0], count),
        height_m=np.full(2 * count, float(height_m)),
        bow_m=bow,
    )


def least_clearance(
    profiles: Profiles, start_m: FloatArray, end_m: FloatArray, bulge_m: FloatArray | float = 0.0
) -> tuple[FloatArray, FloatArray]:
    """Return how far straight rays pass over the ground where it comes closest, measured upright.

    Parameters
    ----------
    profiles : Profiles
        Ground under the rays.
    start_m, end_m : ndarray of float, shape (lines,)
        Height of each ray's ends over the site datum. [m]
    bulge_m : ndarray of float, shape (lines,), default 0
        Earth bulge in the middle of each ray; elsewhere it is a parabola through both ends. [m]

    Returns
    -------
    clearance_m : ndarray of float, shape (lines,)
        Ray less ground at its least; negative where the ground is higher. NaN where any of the ground is not known. [m]
    part : ndarray of float, shape (lines,)
        Where that is, the first of such places. [1]

    Examples
    --------
    >>> clearance_m, part = least_clearance(level_profiles(1, 2.0), np.array([5.0]), np.array([9.0]))
    >>> float(clearance_m[0]), float(part[0])
    (3.0, 0.0)
    """
    start, end, bulge = (np.broadcast_to(np.asarray(v, np.float64), len(profiles)) for v in (start_m, end_m, bulge_m))
    line = profiles.line
    point, s = profiles.turning(end - start, bulge)
    height, bow = profiles.height_m, profiles.bow_m
    crest = (1.0 - s) * height[point] + s * height[point + 1] + 4.0 * bow[point] * s * (1.0 - s)
    crest_part = (1.0 - s) * profiles.part[point] + s * profiles.part[point + 1]
    all_line = np.concatenate((line, line[point]))
    part = np.concatenate((profiles.part, crest_part))
    ground = np.concatenate((height, crest)) + 4.0 * bulge[all_line] * part * (1.0 - part)
    clear = (1.0 - part) * start[all_line] + part * end[all_line] - ground
    order = np.lexsort((part, np.where(np.isnan(clear), -np.inf, clear), all_line))
    _, least = np.unique(all_line[order], return_index=True)
    found = order[least]
    unknown = np.zeros(len(profiles), bool)
    unknown[line[np.isnan(bow)]] = True
    return np.where(unknown, np.nan, clear[found]), part[found]
