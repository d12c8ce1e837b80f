"""From a file's grid of heights to a lattice on the plane of a site."""

from __future__ import annotations

import math

import numpy as np

from survey_app.errors import UsageError
from survey_app.ground._arrays import FloatArray
from survey_app.ground.grid import to_reference
from survey_app.ground.plane import Plane, to_geographic
from survey_app.ground.relief.lattice import Lattice, bilinear
from survey_app.ground.relief.raster import Raster

__all__ = ["MOST_POINTS", "lattice_on", "steps_at"]

MOST_POINTS = 25_000_000
"""A larger grid is not held in memory."""

_STRAIGHT = 0.02
"""How far, in steps, the points may lie off a straight lattice on the plane; else it is sampled anew."""
_TRIED = 17
_COMPARED = 300


def steps_at(plane: Plane | None, raster: Raster, x_m: FloatArray, y_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return where points of the plane lie on a grid, in its steps; NaN where its reference does not reach.

    Raises
    ------
    UsageError
        The grid lies on the earth and the plane does not, or nothing but a guess joins both.
    """
    x, y = x_m, y_m
    if raster.reference is not None:
        if plane is None:
            raise UsageError(
                "its grid lies on the earth and the plan is tied to no place there",
                where="relief",
                remedy="give the plane its anchor",
            )
        lat_deg, lon_deg = to_geographic(plane, x_m, y_m)
        found = to_reference(raster.reference, lat_deg, lon_deg)
        x, y = found.first, found.second
    (a, b, c), (d, e, f) = raster.to_reference
    scale = a * e - b * d
    dx, dy = x - c, y - f
    return (e * dx - b * dy) / scale, (a * dy - d * dx) / scale


def lattice_on(plane: Plane | None, raster: Raster, words: str, sigma_m: float) -> Lattice:
    """Return a grid of heights as a lattice on the plane.

    Parameters
    ----------
    plane : Plane or None
        The anchored plane.
    raster : Raster
        Heights in metres over the site datum.
    words : str
        Where the heights come from.
    sigma_m : float
        Their standard deviation. [m]

    Raises
    ------
    UsageError
        The grid cannot be placed, or has too many points to be sampled anew.

    Notes
    -----
    Over the size of a site a map grid is a straight lattice on the plane, turned and stretched a little. Where its
    points lie within a fiftieth of a step of one, their heights are used as they are, and the lattice says how far off
    they lie. Else, as for degrees over tens of kilometres, the surface is sampled once at the points of a lattice along
    the axes of the plane, with the grid's own steps, and the lattice says how far its surface lies off the first one.
    """
    low, high = _extent(plane, raster)
    x, y = (
        one.ravel() for one in np.meshgrid(np.linspace(low[0], high[0], _TRIED), np.linspace(low[1], high[1], _TRIED))
    )
    u, v = steps_at(plane, raster, x, y)
    reached = np.isfinite(u) & np.isfinite(v)
    if reached.sum() < 3:
        raise UsageError("its grid does not reach the site", where="relief", remedy="look at its projection")
    middle, half = (low + high) / 2.0, np.maximum((high - low) / 2.0, 1.0)
    terms = _terms((x - middle[0]) / half[0], (y - middle[1]) / half[1], 1)[reached]
    steps = np.column_stack((u, v))[reached]
    fit = np.linalg.lstsq(terms, steps, rcond=None)[0]
    off = np.abs(terms @ fit - steps).max()
    straight = np.column_stack(
        (fit[1] / half[0], fit[2] / half[1], fit[0] - fit[1] * middle[0] / half[0] - fit[2] * middle[1] / half[1])
    )
    step_m = 1.0 / math.sqrt(abs(np.linalg.det(straight[:, :2])))
    if off <= _STRAIGHT:
        return Lattice(raster.rows, straight, words, sigma_m, shift_m=float(off) * step_m)
    return _sampled(plane, raster, words, sigma_m, (low, high), step_m)


def _terms(x: FloatArray, y: FloatArray, degree: int) -> FloatArray:
    """Return the terms of a polynomial of two variables, the constant first, then x and y."""
    powers = [(i, total - i) for total in range(degree + 1) for i in range(total, -1, -1)]
    return np.column_stack([np.power(x, i) * np.power(y, j) for i, j in powers])


def _extent(plane: Plane | None, raster: Raster) -> tuple[FloatArray, FloatArray]:
    """Return the corners of an upright box on the plane that holds the grid."""
    rows, columns = raster.rows.shape
    corners = np.array([[0.0, 0.0], [columns - 1.0, 0.0], [0.0, rows - 1.0], [columns - 1.0, rows - 1.0]])
    at = np.zeros((4, 2))
    # from the plane to the grid there is a formula, back there is none: a few steps along the slope find it
    for _ in range(12):
        here = np.column_stack(steps_at(plane, raster, at[:, 0], at[:, 1]))
        right = np.column_stack(steps_at(plane, raster, at[:, 0] + 1.0, at[:, 1])) - here
        up = np.column_stack(steps_at(plane, raster, at[:, 0], at[:, 1] + 1.0)) - here
        miss = corners - here
        scale = right[:, 0] * up[:, 1] - right[:, 1] * up[:, 0]
        move_x = (miss[:, 0] * up[:, 1] - miss[:, 1] * up[:, 0]) / scale
        move_y = (right[:, 0] * miss[:, 1] - right[:, 1] * miss[:, 0]) / scale
        if not (np.isfinite(move_x).all() and np.isfinite(move_y).all()):
            raise UsageError("its grid does not reach the site", where="relief", remedy="look at its projection")
        at += np.column_stack((move_x, move_y))
        if max(np.abs(move_x).max(), np.abs(move_y).max()) < 1e-3:
            break
    return at.min(axis=0), at.max(axis=0)


def _sampled(
    plane: Plane | None,
    raster: Raster,
    words: str,
    sigma_m: float,
    box: tuple[FloatArray, FloatArray],
    step_m: float,
) -> Lattice:
    """Return the surface of a grid sampled at a lattice along the axes of the plane."""
    low, high = box
    columns, rows = (math.floor(n) + 1 for n in (high - low) / step_m)
    if columns * rows > MOST_POINTS:
        raise UsageError(
            f"its grid has {columns * rows / 1e6:,.0f} million points on the plan, at most {MOST_POINTS // 1_000_000} "
            "million are held",
            where="relief",
            remedy="import a smaller part of it",
        )
    curve = _Curve(plane, raster, box)
    heights = np.empty((rows, columns))
    x = low[0] + step_m * np.arange(columns)
    for row in range(rows):
        heights[row] = bilinear(raster.rows, *curve.steps(x, np.full(columns, high[1] - step_m * row)))
    to_steps = np.array([[1.0 / step_m, 0.0, -low[0] / step_m], [0.0, -1.0 / step_m, high[1] / step_m]])
    error = _resampling_error_m(raster, heights, curve, (low[0], high[1]), step_m)
    return Lattice(heights, to_steps, words, sigma_m, shift_m=curve.off * step_m, resampled_m=error)


class _Curve:
    """The way from the plane to steps of a grid as a polynomial of the third degree: as exact here, and quick."""

    def __init__(self, plane: Plane | None, raster: Raster, box: tuple[FloatArray, FloatArray]) -> None:
        low, high = box
        self._middle, self._half = (low + high) / 2.0, np.maximum((high - low) / 2.0, 1.0)
        x, y = (
            one.ravel()
            for one in np.meshgrid(np.linspace(low[0], high[0], _TRIED), np.linspace(low[1], high[1], _TRIED))
        )
        u, v = steps_at(plane, raster, x, y)
        reached = np.isfinite(u) & np.isfinite(v)
        terms = self._terms(x[reached], y[reached])
        steps = np.column_stack((u, v))[reached]
        self._fit = np.linalg.lstsq(terms, steps, rcond=None)[0]
        self.off = float(np.abs(terms @ self._fit - steps).max())

    def _terms(self, x: FloatArray, y: FloatArray) -> FloatArray:
        return _terms((x - self._middle[0]) / self._half[0], (y - self._middle[1]) / self._half[1], 3)

    def steps(self, x: FloatArray, y: FloatArray) -> tuple[FloatArray, FloatArray]:
        u, v = (self._terms(x, y) @ self._fit).T
        return u, v


def _resampling_error_m(
    raster: Raster, heights: FloatArray, curve: _Curve, corner_m: tuple[float, float], step_m: float
) -> float:
    """Return how far the sampled surface lies off the grid's own at most, looked at in the middle of its cells. [m]"""
    rows, columns = heights.shape
    u: FloatArray = np.linspace(0, columns - 2, min(_COMPARED, columns - 1)).astype(np.int64).astype(np.float64) + 0.5
    worst = 0.0
    for row in np.linspace(0, rows - 2, min(_COMPARED, rows - 1)).astype(np.int64).tolist():
        v = row + 0.5
        here = bilinear(heights, u, np.full(len(u), v))
        x: FloatArray = corner_m[0] + step_m * u
        own = bilinear(raster.rows, *curve.steps(x, np.full(len(u), corner_m[1] - step_m * v)))
        off = np.abs(here - own)
        worst = max(worst, float(np.max(off[np.isfinite(off)], initial=0.0)))
    return worst
