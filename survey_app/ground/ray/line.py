"""Rays as the loops take them: which can be used, and which end comes first."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.physics.kernels import kernel

__all__ = ["Line", "can_be_judged", "line_between", "line_of", "rays", "usable"]

_FAR_M = 1e9
"""No ray on earth has larger numbers."""


class Line(NamedTuple):
    """A ray from its lower end; parts of it run from 0 there to 1 at the other end.

    The order of the ends is that of height, then x, then y, so a ray and its reverse are one and the same line.
    A part of a reversed ray is 1 - part, which loses nothing, for parts are kept as multiples of 2**-52.

    Attributes
    ----------
    x, y, z : float
        Lower end. [m]
    dx, dy, dz : float
        From there to the other end. [m]
    plan_m, long_m : float
        Length on the plan, and in space. [m]
    turned : bool
        Whether the lower end is the ray's end.
    """

    x: float
    y: float
    z: float
    dx: float
    dy: float
    dz: float
    plan_m: float
    long_m: float
    turned: bool


def rays(start_m: ArrayLike, end_m: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Return the ends of rays as arrays of the loops' own kind.

    Raises
    ------
    ValueError
        The ends are not two arrays of one shape (n, 3).
    """
    start, end = (np.require(points, np.float64, ("C", "W")) for points in (start_m, end_m))
    if start.shape != end.shape or start.ndim != 2 or start.shape[1] != 3:
        raise ValueError(f"expected ends of one shape (n, 3), got {start.shape} and {end.shape}")
    return start, end


def usable(start_m: ArrayLike, end_m: ArrayLike) -> NDArray[np.bool_]:
    """Return which rays can be judged: all their coordinates are numbers, and none of them out of this world.

    Parameters
    ----------
    start_m, end_m : array_like of float, shape (n, 3)
        x, y, height. [m]
    """
    start, end = rays(start_m, end_m)
    return np.asarray(_usable.sized(2.0 * len(start))(start, end), np.bool_)


@kernel
def _usable(start_m: FloatArray, end_m: FloatArray) -> NDArray[np.bool_]:
    answer = np.empty(len(start_m), np.bool_)
    for n in range(len(start_m)):
        answer[n] = can_be_judged(line_of(start_m, end_m, n))
    return answer


@kernel
def can_be_judged(line: Line) -> bool:
    """Return whether a line is `usable`."""
    # a NaN is not less than anything
    return abs(line.x) + abs(line.y) + abs(line.z) + line.long_m < _FAR_M


@kernel
def line_of(start_m: FloatArray, end_m: FloatArray, n: int) -> Line:
    """Return one of the rays as a line."""
    return line_between(start_m[n, 0], start_m[n, 1], start_m[n, 2], end_m[n, 0], end_m[n, 1], end_m[n, 2])


@kernel
def line_between(ax: float, ay: float, az: float, bx: float, by: float, bz: float) -> Line:
    """Return the ray from one point to another as a line."""
    turned = az > bz or (az == bz and (ax > bx or (ax == bx and ay > by)))
    if turned:
        ax, ay, az, bx, by, bz = bx, by, bz, ax, ay, az
    dx, dy, dz = bx - ax, by - ay, bz - az
    plan2 = dx * dx + dy * dy
    return Line(ax, ay, az, dx, dy, dz, np.sqrt(plan2), np.sqrt(plan2 + dz * dz), turned)
