"""What the relief hides: from which least height a viewer sees every place of a grid round it."""

from __future__ import annotations

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.clearance import curvature_per_m
from survey_app.physics.kernels import kernel

__all__ = ["LOWEST_M", "least_seen_m"]

LOWEST_M = -100.0
"""No place is seen from deeper under its ground than this; the answer beside the viewer. [m]"""
_RAYS_PER_STEP = 2


def least_seen_m(ground_m: FloatArray, eye_m: float, step_m: float, k: float | None = None) -> FloatArray:
    """Return the least height over the ground at which something is seen over all the ground before it.

    Parameters
    ----------
    ground_m : ndarray of float, shape (2 n + 1, 2 n + 1)
        Heights over the site datum on a grid with the viewer over its middle; NaN where one is not known. [m]
    eye_m : float
        The viewer, over the site datum. [m]
    step_m : float
        From one point of the grid to the next, > 0. [m]
    k : float, optional
        Factor of the earth's radius, > 0; left out, the earth is flat.

    Returns
    -------
    ndarray of float, shape (2 n + 1, 2 n + 1)
        Negative where the ground itself is seen, by how much it could be lower; at least `LOWEST_M`. NaN where ground
        there or before it is not known. [m]

    Raises
    ------
    ValueError
        The grid is not square with a point in its middle.

    Notes
    -----
    In each eighth of the circle rays leave the viewer so closely that at the grid's edge they are half a step apart.
    Each keeps the steepest slope at the lines of the grid that it crosses, the ground between two points of a line
    taken straight. A place is held against the slope of its two neighbouring rays, in proportion. The earth's bulge is
    exact: seen from the viewer the ground falls away with the square of the distance.
    """
    rows = np.ascontiguousarray(ground_m, np.float64).copy()
    if rows.ndim != 2 or rows.shape[0] != rows.shape[1] or rows.shape[0] % 2 == 0:
        raise ValueError(f"expected a square grid with a point in its middle, got shape {rows.shape}")
    bend = 0.0 if k is None else curvature_per_m(k)
    return np.asarray(_least_seen(rows, float(eye_m), bend * step_m * step_m), np.float64)


@kernel
def _least_seen(ground: FloatArray, eye: float, bend: float) -> FloatArray:
    n = len(ground) // 2
    rays = _RAYS_PER_STEP * max(n, 1)
    least = np.full(ground.shape, LOWEST_M)
    steepest = np.empty(rays + 1)
    for eighth in range(8):
        # along the main axis and across it, in rows and columns
        sign_a, sign_b = 1 - 2 * (eighth & 1), 1 - (eighth & 2)
        upright = eighth >= 4
        ai, aj = (sign_a, 0) if upright else (0, sign_a)
        bi, bj = (0, sign_b) if upright else (sign_b, 0)
        steepest[:] = -np.inf
        for r in range(1, n + 1):
            i0, j0 = n + r * ai, n + r * aj
            if r > 1:
                per = rays / r
                for c in range(r + 1):
                    at = c * per
                    ray = min(int(at), rays - 1)
                    part = at - ray
                    slope = (1.0 - part) * steepest[ray] + part * steepest[ray + 1]
                    over = eye + slope * r + bend * (r * r + c * c) - ground[i0 + c * bi, j0 + c * bj]
                    # not known stays not known
                    least[i0 + c * bi, j0 + c * bj] = LOWEST_M if over < LOWEST_M else over
            inverse, across = 1.0 / r, r / rays
            fall, fall2 = bend * r, bend * r / (rays * rays)
            for ray in range(rays + 1):
                at = ray * across
                c = min(int(at), r - 1)
                part = at - c
                one, two = ground[i0 + c * bi, j0 + c * bj], ground[i0 + (c + 1) * bi, j0 + (c + 1) * bj]
                slope = ((1.0 - part) * one + part * two - eye) * inverse - fall - fall2 * ray * ray
                if slope > steepest[ray] or slope != slope:
                    steepest[ray] = slope
    return least
