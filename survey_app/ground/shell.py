"""Where straight rays go through the outside of a building: its outer walls and its roof, and at which angle."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.solids import SolidKind, Solids

__all__ = ["Shell", "ShellCrossings", "holds", "shell_crossings", "shell_of"]

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

# What lies nearer to an end than this is what the end hangs on.
_OWN_M = 1e-3
_UNDER_M = 1e-9  # a roof is the lowest of its planes, to the last digit


class Shell(NamedTuple):
    """The outside of a building.

    Attributes
    ----------
    rings : tuple of ndarray of float, shape (corners, 2)
        Outline and courtyards. [m]
    planes : ndarray of float, shape (planes, 3)
        Roof as in `Prisms`: rows (a, b, c) counted from the first corner of the outline, all finite. [1, 1, m]
    """

    rings: tuple[FloatArray, ...]
    planes: FloatArray


class ShellCrossings(NamedTuple):
    """Where rays go through the outside, ray after ray and along each; arrays of one shape (n,).

    Attributes
    ----------
    ray : ndarray of int
        Place of the ray in what was asked.
    along : ndarray of float
        Part of the ray's length, over 0 and under 1. [1]
    incidence_deg : ndarray of float
        Angle between the ray and the square to the wall or roof, 0 to 90. [deg]
    roof : ndarray of bool
        Through the roof, not through a wall.
    """

    ray: IntArray
    along: FloatArray
    incidence_deg: FloatArray
    roof: BoolArray


def shell_of(solids: Solids, building: str) -> Shell | None:
    """Return the outside of a building, or None where it could not be taken as a solid.

    Parameters
    ----------
    solids : Solids
        What stands on the site.
    building : str
        Its id.
    """
    prisms = solids.prisms
    thing = solids.ids.index(building) if building in solids.ids else -1
    mine = np.flatnonzero((prisms.kind == int(SolidKind.BUILDING)) & (prisms.thing == thing))
    if not len(mine):
        return None
    n = int(mine[0])
    edges = range(int(prisms.first_ring[n]), int(prisms.first_ring[n + 1]))
    rings = tuple(prisms.corners_m[prisms.ring_start[r] : prisms.ring_start[r + 1]] for r in edges)
    planes = prisms.planes[n]
    return Shell(rings, planes[np.isfinite(planes[:, 2])])


def holds(shell: Shell, points_m: ArrayLike) -> BoolArray:
    """Return which points are inside a building: within its outline and under its roof.

    Parameters
    ----------
    shell : Shell
        The outside.
    points_m : array_like of float, shape (n, 3)
        x, y, height over the site datum. [m]

    Examples
    --------
    >>> shed = Shell((np.array([[0.0, 0.0], [9.0, 0.0], [9.0, 6.0], [0.0, 6.0]]),), np.array([[0.0, 0.0, 4.0]]))
    >>> holds(shed, [[1.0, 1.0, 2.0], [1.0, 1.0, 5.0], [10.0, 1.0, 2.0]]).tolist()
    [True, False, False]
    """
    (points,) = broadcast(points_m)
    return np.asarray(_within(shell, points[:, :2]) & (points[:, 2] < _top_m(shell, points[:, :2])))


def shell_crossings(shell: Shell, start_m: ArrayLike, end_m: ArrayLike) -> ShellCrossings:
    """Return where straight rays go through the outside of a building.

    Parameters
    ----------
    shell : Shell
        The outside.
    start_m, end_m : array_like of float, shape (rays, 3)
        Ends of the rays: x, y, height over the site datum. [m]

    Returns
    -------
    ShellCrossings
        What lies within a millimetre of an end does not count: a radio hangs on its wall.

    Examples
    --------
    >>> shed = Shell((np.array([[0.0, 0.0], [9.0, 0.0], [9.0, 6.0], [0.0, 6.0]]),), np.array([[0.0, 0.0, 4.0]]))
    >>> found = shell_crossings(shed, [[3.0, 3.0, 2.0]], [[15.0, 3.0, 2.0]])
    >>> found.along.tolist(), found.incidence_deg.tolist(), found.roof.tolist()
    ([0.5], [0.0], [False])
    """
    start, end = broadcast(start_m, end_m)
    towards = end - start
    length_m = np.sqrt(np.sum(np.square(towards), axis=1))
    parts = [_walls(shell, start, towards, length_m), *_roof(shell, start, towards, length_m)]
    ray, along, incidence_deg = (np.concatenate([part[n] for part in parts]) for n in range(3))
    roof = np.repeat([False] + [True] * (len(parts) - 1), [len(part[0]) for part in parts])
    kept = np.flatnonzero((along * length_m[ray] > _OWN_M) & ((1.0 - along) * length_m[ray] > _OWN_M))
    order = kept[np.lexsort((roof[kept], along[kept], ray[kept]))]
    return ShellCrossings(ray[order].astype(np.int64), along[order], incidence_deg[order], roof[order])


_Part = tuple[IntArray, FloatArray, FloatArray]


def _walls(shell: Shell, start: FloatArray, towards: FloatArray, length_m: FloatArray) -> _Part:
    first = np.concatenate(shell.rings)
    second = np.concatenate([np.roll(ring, -1, axis=0) for ring in shell.rings])
    # from the ray's start, so that far from the origin the corners keep their digits
    a, b = first[None] - start[:, None, :2], second[None] - start[:, None, :2]
    flat = towards[:, None, :2]
    side_a, side_b = _cross(flat, a), _cross(flat, b)
    ray, edge = np.nonzero((side_a >= 0.0) != (side_b >= 0.0))
    part = side_a[ray, edge] / (side_a[ray, edge] - side_b[ray, edge])
    run = second[edge] - first[edge]
    met_m = a[ray, edge] + part[:, None] * run
    heading = towards[ray]
    along = np.sum(met_m * heading[:, :2], axis=1) / np.sum(np.square(heading[:, :2]), axis=1)
    height_m = start[ray, 2] + along * heading[:, 2]
    cosine = np.abs(_cross(heading[:, :2], run)) / (np.sqrt(np.sum(np.square(run), axis=1)) * length_m[ray])
    hit = (along > 0.0) & (along < 1.0) & (height_m < _top_m(shell, start[ray, :2] + met_m))
    return ray[hit], along[hit], _angle_deg(cosine[hit])


def _roof(shell: Shell, start: FloatArray, towards: FloatArray, length_m: FloatArray) -> list[_Part]:
    found = []
    for plane in shell.planes:
        a, b, c = plane.tolist()
        over_m = start[:, 2] - (c + _rise(shell, start[:, :2], plane))
        gain = towards[:, 2] - (a * towards[:, 0] + b * towards[:, 1])
        with np.errstate(divide="ignore", invalid="ignore"):
            along = np.where(gain != 0.0, (0.0 - over_m) / gain, np.nan)
        ray = np.flatnonzero((along > 0.0) & (along < 1.0))
        at = start[ray, :2] + along[ray, None] * towards[ray, :2]
        level_m = c + _rise(shell, at, plane)
        ray = ray[_within(shell, at) & (level_m <= _top_m(shell, at) + _UNDER_M)]
        cosine = np.abs(gain[ray]) / (length_m[ray] * np.sqrt(1.0 + a * a + b * b))
        found.append((ray, along[ray], _angle_deg(cosine)))
    return found


def _rise(shell: Shell, at: FloatArray, plane: FloatArray) -> FloatArray:
    away = at - shell.rings[0][0]
    return np.asarray(plane[0] * away[:, 0] + plane[1] * away[:, 1])


def _top_m(shell: Shell, at: FloatArray) -> FloatArray:
    return np.asarray(np.min([plane[2] + _rise(shell, at, plane) for plane in shell.planes], axis=0))


def _within(shell: Shell, at: FloatArray) -> BoolArray:
    """Return which points an odd number of edges lies to the right of."""
    odd = np.zeros(len(at), np.int64)
    for ring in shell.rings:
        a, b = ring[None] - at[:, None], np.roll(ring, -1, axis=0)[None] - at[:, None]
        over = (a[..., 1] >= 0.0) != (b[..., 1] >= 0.0)
        cross = _cross(a, b)
        odd += np.count_nonzero(over & np.where(b[..., 1] > a[..., 1], cross > 0.0, cross < 0.0), axis=1)
    return np.asarray(odd % 2 == 1)


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])


def _angle_deg(cosine: FloatArray) -> FloatArray:
    return np.asarray(np.rad2deg(np.arccos(np.clip(cosine, 0.0, 1.0))))
