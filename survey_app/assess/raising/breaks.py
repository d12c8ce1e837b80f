"""Where along a move the outcome for a solid can change: what the geometry itself says, so that nothing is stepped."""

from __future__ import annotations

import math

import numpy as np

from survey_app.assess.raising.moves import Move
from survey_app.ground.clearance import Bodies, Pairs
from survey_app.ground.hull import Hulls
from survey_app.physics.arrays import FloatArray

__all__ = ["breaks_m"]

_MOST = 96  # of the corners of one outline; a rounder one is no sharper for it
_SAME_M = 1e-6


def breaks_m(
    move: Move, start_m: FloatArray, end_m: FloatArray, wavelength_m: float, bodies: Bodies, pairs: Pairs, free: float
) -> FloatArray:
    """Return the places along a move where the ray comes to, or leaves, an edge of what stands near.

    Parameters
    ----------
    move : Move
        The move.
    start_m, end_m : ndarray of float, shape (3,)
        Both ends before it. [m]
    wavelength_m : float
        [m]
    bodies : Bodies
        What stands there.
    pairs : Pairs
        Which of it stands near; their rays do not matter.
    free : float
        Part of the first zone that is to be free. [1]

    Returns
    -------
    ndarray of float, shape (n,)
        Rising, from 0 to the end of the move, both included, and the middles between all. [m]

    Notes
    -----
    A solid that goes down into the ground is cleared upwards once and for good, but for an antenna that would stand in
    it. A crown is left below or above, so that both its heights count, at every corner, with the part of the zone that
    is to be free on either side. Along an edge it is the corners that the ray passes on the plan.
    """
    found = [0.0, move.most_m]
    prisms = np.unique(pairs.solid[pairs.family == 0]).tolist()
    for n in prisms:
        if move.way == "along":
            found += _passed(move, start_m, end_m, wavelength_m, bodies.hulls, n, free)
        else:
            found += _met(move, start_m, end_m, wavelength_m, bodies, n, free)
    if move.way == "along":
        found += _uprights_passed(move, start_m, end_m, wavelength_m, bodies, pairs, free)
    places = np.unique(np.array(found))
    places = places[(places >= 0.0) & (places <= move.most_m)]
    keep = np.r_[True, np.diff(places) > _SAME_M]
    places = places[keep]
    middles = 0.5 * (places[:-1] + places[1:])
    return np.sort(np.concatenate((places, middles)))


def _corners(hulls: Hulls, n: int) -> FloatArray:
    """Return corners of a prism, thinned where there are very many."""
    rows = hulls.corners[hulls.first_corner[n] : hulls.first_corner[n + 1]]
    return rows[:: 1 + (len(rows) - 1) // _MOST]


def _met(
    move: Move, start_m: FloatArray, end_m: FloatArray, wavelength_m: float, bodies: Bodies, n: int, free: float
) -> list[float]:
    """Return where a ray that rises meets the heights of one prism."""
    hulls = bodies.hulls
    underside = float(hulls.underside[n])
    top = float(bodies.solids.prisms.highest_m[n])
    flat = end_m[:2] - start_m[:2]
    square = float(flat @ flat)
    found = []
    for weight, height in ((move.direction_m[0][2], start_m[2]), (move.direction_m[1][2], end_m[2])):
        # an antenna would come out of it there
        found += [(level - float(height)) / weight for level in (underside, top) if weight > 0.0 and level > -math.inf]
    if underside == -math.inf or square == 0.0:
        return found
    for corner in _corners(hulls, n):
        t = float((corner - start_m[:2]) @ flat) / square
        weight = (1.0 - t) * move.direction_m[0][2] + t * move.direction_m[1][2]
        if not 0.0 < t < 1.0 or weight < 1e-3:
            continue
        height = float(start_m[2] + t * (end_m[2] - start_m[2]))
        zone = free * _zone_m(wavelength_m, math.sqrt(square), t)
        found += [(level - height + way) / weight for level in (underside, top) for way in (-zone, 0.0, zone)]
    return found


def _passed(
    move: Move, start_m: FloatArray, end_m: FloatArray, wavelength_m: float, hulls: Hulls, n: int, free: float
) -> list[float]:
    """Return where a ray that turns on the plan passes the corners of one prism."""
    return [
        place
        for corner in _corners(hulls, n)
        for place in _passes(move, start_m, end_m, wavelength_m, float(corner[0]), float(corner[1]), free, 0.0)
    ]


def _uprights_passed(
    move: Move, start_m: FloatArray, end_m: FloatArray, wavelength_m: float, bodies: Bodies, pairs: Pairs, free: float
) -> list[float]:
    found: list[float] = []
    for n in np.unique(pairs.solid[pairs.family == 1]).tolist():
        x, y = bodies.rounds.centre[n].tolist()
        wide = max(float(bodies.rounds.radius_foot[n]), float(bodies.rounds.radius_top[n]))
        found += _passes(move, start_m, end_m, wavelength_m, x, y, free, wide)
    return found


def _passes(
    move: Move,
    start_m: FloatArray,
    end_m: FloatArray,
    wavelength_m: float,
    x: float,
    y: float,
    free: float,
    wide: float,
) -> list[float]:
    """Return where the ray passes a point of the plan, and where its zone begins and ends to."""
    (ax, ay, _), (bx, by, _) = move.direction_m
    turns_first = ax != 0.0 or ay != 0.0
    dx, dy = (ax, ay) if turns_first else (bx, by)
    moving, pivot = (start_m, end_m) if turns_first else (end_m, start_m)
    # the line from the pivot through the point meets the line on which the end moves
    px, py = x - float(pivot[0]), y - float(pivot[1])
    mx, my = float(moving[0]) - float(pivot[0]), float(moving[1]) - float(pivot[1])
    across = dx * py - dy * px
    if across == 0.0:
        return []
    at = -(mx * py - my * px) / across
    ex, ey = mx + at * dx, my + at * dy
    square = ex * ex + ey * ey
    part = (px * ex + py * ey) / square if square > 0.0 else 0.0
    if not 0.0 < part < 1.0:
        return []
    length = math.sqrt(square)
    # a step of the end moves the ray sideways at the point by its part, less what lies along the ray
    sideways = part * abs(dx * ey - dy * ex) / length
    if sideways < 1e-6:
        return [at]
    wider = (wide + free * _zone_m(wavelength_m, length, part)) / sideways
    return [at - wider, at, at + wider]


def _zone_m(wavelength_m: float, length_m: float, part: float) -> float:
    return math.sqrt(wavelength_m * length_m * part * (1.0 - part))
