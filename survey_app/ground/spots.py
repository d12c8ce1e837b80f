"""Spots that stand for the whole of an area: the middles of even squares."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from survey_app.ground._arrays import FloatArray

__all__ = ["Spots", "spots_in"]

_FINEST_M = 0.25
_HALVED = 4


class Spots(NamedTuple):
    """Spots of an area.

    Attributes
    ----------
    at_m : ndarray of float, shape (n, 2)
        The spots. [m]
    step_m : float
        Side of the square that each stands for. [m]
    area_m2 : float
        The area. [m²]
    """

    at_m: FloatArray
    step_m: float
    area_m2: float


def spots_in(outline: FloatArray, most: int) -> Spots:
    """Return spots that stand for an area.

    Parameters
    ----------
    outline : ndarray of float, shape (corners, 2)
        Corners in order; inside is what the outline goes round an odd number of times. [m]
    most : int
        About so many spots at the most, > 0.

    Returns
    -------
    Spots
        None where the outline encloses nothing or has a corner that is not known.

    Examples
    --------
    >>> found = spots_in(np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [0.0, 2.0]]), 8)
    >>> found.at_m[:2].tolist(), len(found.at_m), found.area_m2
    ([[0.5, 0.5], [1.5, 0.5]], 8, 8.0)
    """
    if len(outline) < 3 or not np.isfinite(outline).all():
        return Spots(np.zeros((0, 2)), math.nan, math.nan)
    low, high = outline.min(axis=0), outline.max(axis=0)
    x, y = (outline - low).T
    area_m2 = abs(float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))) / 2.0
    step_m = max(_FINEST_M, math.sqrt(area_m2 / most))
    for _ in range(_HALVED):
        at_m = _middles(outline, low, high, step_m)
        if len(at_m) or area_m2 == 0.0:
            break
        step_m /= 2.0  # so narrow that no middle fell inside
    return Spots(at_m, step_m, area_m2)


def _middles(outline: FloatArray, low: FloatArray, high: FloatArray, step_m: float) -> FloatArray:
    columns, rows = (max(1, math.ceil((b - a) / step_m - 1e-9)) for a, b in zip(low, high, strict=True))
    x, y = np.meshgrid((np.arange(columns) + 0.5) * step_m, (np.arange(rows) + 0.5) * step_m)
    at = np.column_stack((x.ravel(), y.ravel()))
    odd = np.zeros(len(at), bool)
    for (ax, ay), (bx, by) in zip(outline - low, np.roll(outline, -1, axis=0) - low, strict=True):
        over = (ay > at[:, 1]) != (by > at[:, 1])
        if over.any():
            odd[over] ^= at[over, 0] < ax + (at[over, 1] - ay) / (by - ay) * (bx - ax)
    return at[odd] + low
