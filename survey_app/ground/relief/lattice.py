"""Ground as a lattice of heights, bilinear between its points."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.relief.lattice_walk import BORDER, lattice_profiles, points_inside
from survey_app.ground.relief.outlines import ends_of, with_edges
from survey_app.ground.relief.profiles import Profiles
from survey_app.physics.kernels import kernel

__all__ = ["Lattice", "bilinear"]

_MANY = 200_000
"""So many points are quicker one by one, compiled, than in passes over all of them."""
_STEPS_OF_POINT = 0.5


@dataclass(frozen=True, eq=False)
class Lattice:
    """A surface through the points of a lattice.

    Parameters
    ----------
    rows_m : ndarray of float, shape (rows, columns)
        Heights over the site datum, two rows and two columns at least; NaN where one is not known. [m]
    to_steps : ndarray of float, shape (2, 3)
        From the plane to steps of the lattice: `(u, v) = to_steps @ (x, y, 1)`, u along a row, v down the rows.
    words : str
        Where the heights come from.
    sigma_m : float
        Standard deviation of a height. [m]
    shift_m : float, default 0
        How far at most a point of the lattice lies off its true place on the plane. [m]
    resampled_m : float, default 0
        How far at most the surface lies off the one that it was sampled from; 0 = it was not. [m]
    """

    rows_m: FloatArray
    to_steps: FloatArray
    words: str
    sigma_m: float
    shift_m: float = 0.0
    resampled_m: float = 0.0

    def _steps(self, x_m: FloatArray, y_m: FloatArray) -> tuple[FloatArray, FloatArray]:
        # written out, so that a point's answer does not depend on how many are asked for
        a, b = self.to_steps
        u, v = a[0] * x_m + a[1] * y_m + a[2], b[0] * x_m + b[1] * y_m + b[2]
        return u, v

    def heights_m(self, x_m: ArrayLike, y_m: ArrayLike) -> FloatArray:
        """Return the ground at points of the plane, NaN beyond the lattice. [m]"""
        x, y = broadcast(x_m, y_m)
        if x.size < _MANY:
            return bilinear(self.rows_m, *self._steps(x, y))
        found = np.empty(x.shape)
        rows_m = np.require(self.rows_m, np.float64, ("C", "W"))
        _heights.sized(_STEPS_OF_POINT * x.size)(
            rows_m, np.array(self.to_steps, np.float64, order="C"), x.ravel(), y.ravel(), found.ravel()
        )
        return found

    def profiles(self, start_m: FloatArray, end_m: FloatArray) -> Profiles:
        """Return the ground under lines: every line of the lattice that they cross is a point."""
        start, end = ends_of(start_m, end_m)
        lines = np.column_stack((*self._steps(*start.T), *self._steps(*end.T)))
        return Profiles(*lattice_profiles(self.rows_m, np.ascontiguousarray(lines)))

    def extremes_m(self, outlines: Sequence[FloatArray]) -> FloatArray:
        """Return the lowest and the highest ground inside outlines. [m]

        A bilinear patch has neither within: they lie on the outline or at a point of the lattice.
        """
        if not outlines:
            return np.empty((0, 2))
        first = np.concatenate(([0], np.cumsum([len(one) for one in outlines]))).astype(np.int64)
        corners = np.column_stack(self._steps(*np.concatenate(outlines).T))
        inside = points_inside(self.rows_m, np.ascontiguousarray(corners), first)
        return with_edges(self, outlines, inside)


def bilinear(rows_m: FloatArray, u: FloatArray, v: FloatArray) -> FloatArray:
    """Return the height at places of a lattice, counted in its steps; NaN beyond it. [m]

    Examples
    --------
    >>> float(bilinear(np.array([[0.0, 1.0], [2.0, 5.0]]), np.array(0.5), np.array(0.5)))
    2.0
    """
    rows, columns = rows_m.shape
    inside = None
    if not (_all_within(u, columns - 1.0) and _all_within(v, rows - 1.0)):
        inside = (u >= -BORDER) & (u <= columns - 1.0 + BORDER) & (v >= -BORDER) & (v <= rows - 1.0 + BORDER)
        u, v = np.where(inside, u, 0.0), np.where(inside, v, 0.0)
        # of the borders' own width nothing is left
        u, v = np.clip(u, 0.0, columns - 1.0), np.clip(v, 0.0, rows - 1.0)
    # no number is negative: the whole part is the step before
    column, row = np.minimum(u.astype(np.int32), columns - 2), np.minimum(v.astype(np.int32), rows - 2)
    right, down = u - column, v - row
    first = row * np.int64(columns) + column
    flat = rows_m.ravel()
    corners = [flat.take(first + shift, mode="clip") for shift in (0, 1, columns, columns + 1)]
    height = np.asarray(_mixed(_mixed(corners[0], corners[1], right), _mixed(corners[2], corners[3], right), down))
    if np.isnan(height).any():
        height = _between(_between(corners[0], corners[1], right), _between(corners[2], corners[3], right), down)
    return height if inside is None else np.where(inside, height, np.nan)


def _all_within(steps: FloatArray, most: float) -> bool:
    """Return whether all places are known, and none lies beyond a border."""
    return not steps.size or bool(steps.min() >= 0.0 and steps.max() <= most)


def _mixed(one: FloatArray, other: FloatArray, part: FloatArray) -> FloatArray:
    return (1.0 - part) * one + part * other


def _between(one: FloatArray, other: FloatArray, part: FloatArray) -> FloatArray:
    """Return the value at a part of the way; an end that weighs nothing may be unknown."""
    mixed = _mixed(one, other, part)
    return np.where(~np.isnan(mixed), mixed, np.where(part == 0.0, one, np.where(part == 1.0, other, np.nan)))


@kernel
def _heights(rows_m: FloatArray, to_steps: FloatArray, x: FloatArray, y: FloatArray, found: FloatArray) -> None:
    """Write the heights at points of the plane; bit for bit what `bilinear` says."""
    rows, columns = rows_m.shape
    for n in range(len(x)):
        u = to_steps[0, 0] * x[n] + to_steps[0, 1] * y[n] + to_steps[0, 2]
        v = to_steps[1, 0] * x[n] + to_steps[1, 1] * y[n] + to_steps[1, 2]
        found[n] = math.nan
        if not (-BORDER <= u <= columns - 1.0 + BORDER and -BORDER <= v <= rows - 1.0 + BORDER):
            continue
        u, v = min(max(u, 0.0), columns - 1.0), min(max(v, 0.0), rows - 1.0)
        c, r = min(int(u), columns - 2), min(int(v), rows - 2)
        u, v = u - c, v - r
        upper = _height_between(rows_m[r, c], rows_m[r, c + 1], u)
        found[n] = _height_between(upper, _height_between(rows_m[r + 1, c], rows_m[r + 1, c + 1], u), v)


@kernel
def _height_between(one: float, other: float, part: float) -> float:
    mixed = (1.0 - part) * one + part * other
    if mixed == mixed:
        return mixed
    return one if part == 0.0 else (other if part == 1.0 else math.nan)
