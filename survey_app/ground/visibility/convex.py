"""Many convex polygons in space, cut by half spaces, all at once."""

from __future__ import annotations

import numpy as np

from survey_app.ground._arrays import FloatArray
from survey_app.ground.solids import IntArray

__all__ = ["cut"]


def cut(corners: FloatArray, count: IntArray, spaces: FloatArray) -> tuple[FloatArray, IntArray]:
    """Return what is left of convex polygons inside half spaces.

    Parameters
    ----------
    corners : ndarray of float, shape (polygons, corners, 3)
        Corners in order; what stands beyond a polygon's count is not looked at.
    count : ndarray of int, shape (polygons,)
        How many corners each has; 0 = nothing of it.
    spaces : ndarray of float, shape (polygons, spaces, 4)
        Rows (a, b, c, d): kept is where a x + b y + c z + d >= 0.

    Returns
    -------
    corners : ndarray of float, shape (polygons, more corners, 3)
    count : ndarray of int, shape (polygons,)
        0 where fewer than three corners are left.

    Notes
    -----
    One plane after another, [SUTHERLAND]_.

    Examples
    --------
    >>> square = np.array([[[0, 0, 0], [2, 0, 0], [2, 2, 0], [0, 2, 0.0]]])
    >>> corners, count = cut(square, np.array([4]), np.array([[[-1, 0, 0, 1.0]]]))
    >>> corners[0, : count[0], :2].tolist()
    [[0.0, 0.0], [1.0, 0.0], [1.0, 2.0], [0.0, 2.0]]
    """
    for n in range(spaces.shape[1]):
        corners, count = _cut_once(corners, count, spaces[:, n])
    return corners, np.where(count >= 3, count, 0)


def _cut_once(corners: FloatArray, count: IntArray, space: FloatArray) -> tuple[FloatArray, IntArray]:
    rows, most = corners.shape[:2]
    if not rows:
        return corners, count
    place = np.arange(most)
    there = place < count[:, None]
    following = np.where(place + 1 < count[:, None], place + 1, 0)
    over = (corners * space[:, None, :3]).sum(axis=2) + space[:, None, 3]
    over = np.where(there, over, -1.0)
    after = np.take_along_axis(over, following, axis=1)
    kept = there & (over >= 0.0)
    crossed = there & ((over >= 0.0) != (after >= 0.0))
    part = np.where(crossed, over / np.where(crossed, over - after, 1.0), 0.0)[..., None]
    towards = np.take_along_axis(corners, following[..., None], axis=1)
    # weights of both ends, not start and difference: an edge cut from either end gives the same point
    between = (1.0 - part) * corners + part * towards
    found = np.stack((corners, between), axis=2).reshape(rows, 2 * most, 3)
    wanted = np.stack((kept, crossed), axis=2).reshape(rows, 2 * most)
    order = np.argsort(~wanted, axis=1, kind="stable")
    left = wanted.sum(axis=1)
    width = max(int(left.max()), 1)
    return np.take_along_axis(found, order[:, :width, None], axis=1), left.astype(np.int64)
