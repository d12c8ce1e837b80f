"""Ground as a lattice of heights, bilinear between its points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.relief.lattice_walk import BORDER, lattice_profiles, points_inside
from survey_app.ground.relief.outlines import ends_of, with_edges
from survey_app.ground.relief.profiles import Profiles

__all__ = ["Lattice", "bilinear"]

_PORTION = 16384
"""So many points at once stay close at hand for the dozens of passes over them: thrice as quick as all at once."""


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
        if x.size <= _PORTION:
            return bilinear(self.rows_m, *self._steps(x, y))
        found, x, y = np.empty(x.shape), x.ravel(), y.ravel()
        for n in range(0, x.size, _PORTION):
            these = slice(n, n + _PORTION)
            found.ravel()[these] = bilinear(self.rows_m, *self._steps(x[these], y[these]))
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
    inside = (u >= -BORDER) & (u <= columns - 1.0 + BORDER) & (v >= -BORDER) & (v <= rows - 1.0 + BORDER)
    if not inside.all():
        u, v = np.where(inside, u, 0.0), np.where(inside, v, 0.0)
    # of the borders' own width nothing is left, and no number is negative: the whole part is the step before
    right, down = np.clip(u, 0.0, columns - 1.0), np.clip(v, 0.0, rows - 1.0)
    column = np.minimum(right.astype(np.int32), columns - 2)
    row = np.minimum(down.astype(np.int32), rows - 2)
    right, down = right - column, down - row
    first = row * np.int64(columns) + column
    flat = rows_m.ravel()
    upper = _between(flat.take(first), flat.take(first + 1), right)
    lower = _between(flat.take(first + columns), flat.take(first + columns + 1), right)
    height = _between(upper, lower, down)
    return height if inside.all() else np.where(inside, height, np.nan)


def _between(one: FloatArray, other: FloatArray, part: FloatArray) -> FloatArray:
    """Return the value at a part of the way; an end that weighs nothing may be unknown."""
    mixed = np.asarray((1.0 - part) * one + part * other)
    known = ~np.isnan(mixed)
    if known.all():
        return mixed
    return np.where(known, mixed, np.where(part == 0.0, one, np.where(part == 1.0, other, np.nan)))
