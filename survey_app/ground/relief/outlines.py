"""Lines and outlines as arrays for the surfaces: what is asked of all of them alike."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from survey_app.ground._arrays import FloatArray

if TYPE_CHECKING:
    from survey_app.ground.relief.surface import Surface

__all__ = ["ends_of", "with_edges"]


def ends_of(start_m: FloatArray, end_m: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return both ends of lines as arrays of shape (lines, 2). [m]

    Raises
    ------
    ValueError
        They are not of one such shape.
    """
    start, end = np.asarray(start_m, np.float64), np.asarray(end_m, np.float64)
    if start.shape != end.shape or start.ndim != 2 or start.shape[1] != 2:
        raise ValueError(f"two arrays of shape (lines, 2) are needed, {start.shape} and {end.shape} are given")
    return start, end


def with_edges(surface: Surface, outlines: Sequence[FloatArray], inside_m: FloatArray) -> FloatArray:
    """Return the extremes of the ground inside outlines from those at points inside and the ground under their edges.

    Parameters
    ----------
    surface : Surface
        The ground.
    outlines : sequence of ndarray of float, shape (corners, 2)
        [m]
    inside_m : ndarray of float, shape (outlines, 2)
        Lowest and highest of the surface's own points inside; (inf, -inf) where there is none. [m]
    """
    owner = np.repeat(np.arange(len(outlines)), [len(one) for one in outlines])
    edges = surface.profiles(np.concatenate(outlines), np.concatenate([np.roll(one, -1, axis=0) for one in outlines]))
    point, s = edges.turning()
    height = edges.height_m
    turned = (1.0 - s) * height[point] + s * height[point + 1] + 4.0 * edges.bow_m[point] * s * (1.0 - s)
    line = owner[edges.line]
    whose = np.concatenate((line, line[point]))
    heights = np.concatenate((height, turned))
    low, high = inside_m[:, 0].copy(), inside_m[:, 1].copy()
    # a NaN among them makes the outcome NaN
    with np.errstate(invalid="ignore"):
        np.minimum.at(low, whose, heights)
        np.maximum.at(high, whose, heights)
    unknown = np.zeros(len(outlines), bool)
    unknown[line[np.isnan(edges.bow_m)]] = True
    found = np.column_stack((low, high))
    found[unknown | np.isnan(found).any(axis=1)] = np.nan
    return found
