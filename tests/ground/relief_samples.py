"""Ground to test on: lattices turned on the plane, spot heights, and dense sampling by another route."""

from __future__ import annotations

import numpy as np
from scipy.interpolate import LinearNDInterpolator, RegularGridInterpolator

from survey_app.ground._arrays import FloatArray
from survey_app.ground.relief.lattice import Lattice
from survey_app.ground.relief.triangles import Triangles, triangulated


def turned(
    rows: FloatArray, *, turn_deg: float = 0.0, step_m: float = 1.0, at: tuple[float, float] = (0.0, 0.0)
) -> Lattice:
    """Return a lattice whose first row runs along a direction, from a point on, with its rows to the right of it."""
    turn = np.radians(turn_deg)
    along, down = np.array([np.cos(turn), np.sin(turn)]), np.array([np.sin(turn), -np.cos(turn)])
    to_steps = np.array([[*along, -along @ at], [*down, -down @ at]]) / step_m
    return Lattice(np.ascontiguousarray(rows, dtype=float), to_steps, "a sample", 0.1)


def rough(rows: int, columns: int, seed: int = 1) -> FloatArray:
    """Return random heights: no bilinear patch of them is flat."""
    return np.random.default_rng(seed).normal(0.0, 3.0, (rows, columns))


def spots(count: int, seed: int = 2, at: tuple[float, float] = (0.0, 0.0)) -> Triangles:
    """Return a surface through random spot heights on 100 m x 100 m."""
    rng = np.random.default_rng(seed)
    return triangulated(rng.uniform(0.0, 100.0, (count, 2)) + at, rng.normal(0.0, 3.0, count), "a sample", 0.02)


def other_route(surface: Lattice | Triangles, points_m: FloatArray) -> FloatArray:
    """Return heights by an interpolation that is not ours, NaN outside."""
    if isinstance(surface, Triangles):
        found = LinearNDInterpolator(surface._net, surface.point_heights_m)(points_m - surface._origin_m)
        return np.asarray(found, dtype=float)
    rows, columns = surface.rows_m.shape
    there = np.vstack((surface.to_steps, [0.0, 0.0, 1.0]))
    u, v, _ = there @ np.vstack((points_m.T, np.ones(len(points_m))))
    grid = RegularGridInterpolator((np.arange(rows), np.arange(columns)), surface.rows_m, bounds_error=False)
    return np.asarray(grid(np.column_stack((v, u))), dtype=float)
