"""Places along a run: where a length of it lies, and how far along it a point is nearest."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

__all__ = ["Nearest", "nearest_along", "run_length_m", "stretch_of"]

Floats = NDArray[np.float64]


class Nearest(NamedTuple):
    """The nearest point of a run."""

    distance_m: float
    along_m: float
    """From its first corner. [m]"""
    piece: int
    """Number of the straight piece that it is on."""
    x_m: float
    y_m: float


def _along(run: Floats) -> Floats:
    return np.concatenate((np.zeros(1), np.cumsum(np.hypot(*np.diff(run, axis=0).T))))


def run_length_m(run: Floats) -> float:
    """Return the length of a run, shape (corners, 2). [m]"""
    return float(_along(run)[-1])


def stretch_of(run: Floats, from_m: float, to_m: float) -> Floats:
    """Return the corners of a stretch of a run, cut off where the run ends.

    Parameters
    ----------
    run : ndarray of float, shape (corners, 2)
        Corners of the run. [m]
    from_m, to_m : float
        Along the run. [m]

    Returns
    -------
    ndarray of float, shape (n, 2)
        Both ends with the corners between; empty where nothing of it lies on the run.

    Examples
    --------
    >>> stretch_of(np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 3.0]]), 3.0, 5.0).tolist()
    [[3.0, 0.0], [4.0, 0.0], [4.0, 1.0]]
    >>> len(stretch_of(np.array([[0.0, 0.0], [4.0, 0.0]]), 5.0, 6.0))
    0
    """
    along = _along(run)
    low, high = max(from_m, 0.0), min(to_m, float(along[-1]))
    if not low < high:
        return np.empty((0, 2))
    at = np.concatenate(([low], along[(along > low) & (along < high)], [high]))
    return np.stack((np.interp(at, along, run[:, 0]), np.interp(at, along, run[:, 1])), axis=1)


def nearest_along(run: Floats, x_m: float, y_m: float) -> Nearest:
    """Return the point of a run that is nearest to a point.

    Parameters
    ----------
    run : ndarray of float, shape (corners, 2)
        At least two corners. [m]
    x_m, y_m : float
        The point. [m]

    Examples
    --------
    >>> nearest_along(np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 3.0]]), 5.0, 1.0)
    Nearest(distance_m=1.0, along_m=5.0, piece=1, x_m=4.0, y_m=1.0)
    """
    a, step = run[:-1], np.diff(run, axis=0)
    square = np.maximum(np.sum(np.square(step), axis=1), 1e-18)
    away = np.array((x_m, y_m)) - a
    part = np.clip(np.sum(away * step, axis=1) / square, 0.0, 1.0)
    foot = a + part[:, None] * step
    distance = np.hypot(foot[:, 0] - x_m, foot[:, 1] - y_m)
    n = int(np.argmin(distance))
    along_m = float(_along(run)[n] + part[n] * np.sqrt(square[n]))
    return Nearest(float(distance[n]), along_m, n, float(foot[n, 0]), float(foot[n, 1]))
