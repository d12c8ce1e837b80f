"""Pairs of radios that hang near each other: found by sorting, never by asking every radio about every other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import IntArray, RadioArrays
from survey_app.physics.arrays import FloatArray

__all__ = ["NEAR_M", "NearPairs", "near_pairs"]

NEAR_M = 30.0
"""Farther apart than this, radios of one site are judged by their channels alone; common practice."""


@dataclass(frozen=True)
class NearPairs:
    """Pairs of radios less than `NEAR_M` apart, each once, shape (pairs,).

    Attributes
    ----------
    a, b : ndarray of int
        Rows of the two radios, a < b.
    apart_m : ndarray of float
        Distance from antenna to antenna. [m]
    """

    a: IntArray
    b: IntArray
    apart_m: FloatArray


def near_pairs(radios: RadioArrays) -> NearPairs:
    """Return all pairs of radios that hang near each other, in the order of their rows.

    Parameters
    ----------
    radios : RadioArrays
        All radios, placed.
    """
    order = np.argsort(radios.x_m, kind="stable")
    x = radios.x_m[order]
    # along x, the radios that follow each within reach; then the other two directions decide
    last = np.searchsorted(x, x + NEAR_M, side="right")
    follow = last - np.arange(len(x)) - 1
    first = np.repeat(np.arange(len(x)), follow)
    second = first + 1 + np.arange(len(first)) - np.repeat(np.cumsum(follow) - follow, follow)
    near = np.abs(radios.y_m[order[first]] - radios.y_m[order[second]]) < NEAR_M
    one, other = order[first[near]], order[second[near]]
    a, b = np.minimum(one, other), np.maximum(one, other)
    apart = np.sqrt(
        np.square(radios.x_m[a] - radios.x_m[b])
        + np.square(radios.y_m[a] - radios.y_m[b])
        + np.square(radios.elevation_m[a] - radios.elevation_m[b])
    )
    keep = np.flatnonzero(apart < NEAR_M)
    keep = keep[np.lexsort((b[keep], a[keep]))]
    return NearPairs(a=a[keep], b=b[keep], apart_m=apart[keep])
