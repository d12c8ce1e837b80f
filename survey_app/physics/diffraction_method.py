"""Which published method a hop's obstacles call for, and the loss by it."""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.physics.arrays import BoolArray, FloatArray, float_array, nan_unless
from survey_app.physics.bullington import bullington_loss_db, ragged_bullington_parameter
from survey_app.physics.diffraction import (
    CLEAR_PARAMETER,
    diffraction_parameter,
    knife_edge_loss_db,
    narrow_screen_loss_db,
    rounded_obstacle_loss_db,
    screen_loss_db,
)
from survey_app.physics.domains import not_negative, positive

__all__ = [
    "BULLINGTON",
    "METHODS",
    "NARROW_SCREEN",
    "NONE",
    "ROUNDED",
    "SCREEN",
    "SINGLE_EDGE",
    "UNKNOWN",
    "diffraction_method",
    "obstacle_loss_db",
]

#: Names of the methods as they stand beside a figure, by number.
METHODS: Final = (
    "no edge in the zone",
    "P.526 4.1 single knife edge",
    "P.526 4.2 rounded obstacle",
    "P.526 5.1 finite-width screen",
    "P.526 5.2 narrow screen",
    "P.526 4.5.1 Bullington",
)
NONE: Final = 0
SINGLE_EDGE: Final = 1
ROUNDED: Final = 2
SCREEN: Final = 3
NARROW_SCREEN: Final = 4
BULLINGTON: Final = 5
#: Number of a hop of which an obstacle is unknown; it has no name.
UNKNOWN: Final = -1

# An upright edge counts as a side of the obstacle where it lies within the first Fresnel zone.
_ZONE_PARAMETER = 2.0**0.5
# Width in parameters up to which the integral is taken: half of the first zone's diameter.
_NARROW_PARAMETER = 2.0**0.5

_Indices: TypeAlias = NDArray[np.int64]


def diffraction_method(
    parameter_top: ArrayLike,
    parameter_left: ArrayLike,
    parameter_right: ArrayLike,
    radius_m: ArrayLike,
    offsets: ArrayLike,
) -> _Indices:
    """Choose the method for each hop from its obstacles.

    Parameters
    ----------
    parameter_top, parameter_left, parameter_right : array_like of float, shape (m,)
        Diffraction parameters of the edges of each obstacle, one row an obstacle (a flat roof is one, with its worse
        edge); positive where the ray has to go over or round that edge, plus infinity for a side without end. [1]
    radius_m : array_like of float, shape (m,) or one for all
        Radius of a rounded crest, > 0 for ridges of the ground only; 0 is a sharp edge. [m]
    offsets : array_like of int, shape (n + 1,)
        Hop i has the obstacles from ``offsets[i]`` to before ``offsets[i + 1]``.

    Returns
    -------
    ndarray of int, shape (n,)
        Index into `METHODS`; -1 (`UNKNOWN`) where a parameter or radius of the hop is NaN.

    Raises
    ------
    ValueError
        The arrays do not fit each other.

    Notes
    -----
    The rule, ours. An obstacle counts when its easiest way round, the least of its three parameters, is above -0.78,
    where 0.55 of the first zone is free. None: no loss. More than one: Bullington. Exactly one: a rounded crest goes by
    4.2; an obstacle with both sides outside the first zone is a single knife edge, 4.1; with a side inside it, it is a
    screen of finite width, 5.1, and where it is narrower than half the zone's diameter the integral of 5.2, because the
    sum of 5.1 is too high for masts and poles. Bullington adds (1 - exp(-L/6)) (10 + 0.02 d) to the loss of its edge,
    which one isolated edge does not have, so a second obstacle that just enters the zone adds up to 10 dB at once.
    Source of the methods: [P526]_, P.526-15 (2019), sections 4.1, 4.2, 4.5.1, 5.1 and 5.2.

    Examples
    --------
    >>> inf = float("inf")
    >>> found = diffraction_method([0, 1, 1, -2], [inf, 0.5, inf, inf], [inf, 4, inf, inf], 0, [0, 1, 2, 4])
    >>> [METHODS[number] for number in found]
    ['P.526 4.1 single knife edge', 'P.526 5.1 finite-width screen', 'P.526 4.1 single knife edge']
    """
    obstacles = _Obstacles(parameter_top, parameter_left, parameter_right, radius_m, offsets)
    return obstacles.method()


def obstacle_loss_db(
    parameter_top: ArrayLike,
    parameter_left: ArrayLike,
    parameter_right: ArrayLike,
    radius_m: ArrayLike,
    distance_1_m: ArrayLike,
    distance_2_m: ArrayLike,
    offsets: ArrayLike,
    frequency_mhz: ArrayLike,
) -> tuple[FloatArray, _Indices]:
    """Loss of each hop over its obstacles, by the method that `diffraction_method` chooses.

    Parameters
    ----------
    parameter_top, parameter_left, parameter_right, radius_m, offsets
        As in `diffraction_method`.
    distance_1_m, distance_2_m : array_like of float, shape (m,)
        Distance from each obstacle to either end, > 0. [m]
    frequency_mhz : array_like of float, shape (n,) or one for all
        Carrier frequency of each hop, > 0. [MHz]

    Returns
    -------
    loss_db : ndarray of float, shape (n,)
        Loss, >= 0; NaN where an input of the hop is NaN or outside its range. [dB]
    method : ndarray of int, shape (n,)
        Index into `METHODS`, -1 where the loss is unknown.

    Raises
    ------
    ValueError
        The arrays do not fit each other.

    Notes
    -----
    A screen is given its average loss. In Bullington's construction each obstacle stands as high as its easiest edge
    reaches into the zone, so that something beside the ray is not taken for a wall across it. Sources as in
    `diffraction_method`.

    Examples
    --------
    >>> inf = float("inf")
    >>> loss_db, method = obstacle_loss_db([0, 0], inf, inf, 0, [100, 300], [300, 100], [0, 1, 2], 5500)
    >>> loss_db.round(2), method
    (array([6.03, 6.03]), array([1, 1]))
    """
    obstacles = _Obstacles(parameter_top, parameter_left, parameter_right, radius_m, offsets)
    d1_m = np.broadcast_to(positive(distance_1_m), obstacles.top.shape)
    d2_m = np.broadcast_to(positive(distance_2_m), obstacles.top.shape)
    f_mhz = np.broadcast_to(positive(frequency_mhz), (obstacles.hops,))
    method = obstacles.method()
    loss_db = np.where(method == NONE, 0.0, np.nan)
    hops, rows = obstacles.single(method)
    loss_db[hops] = obstacles.single_loss_db(rows, method[hops], d1_m[rows], d2_m[rows], f_mhz[hops])
    many = method == BULLINGTON
    if many.any():
        loss_db[many] = obstacles.combined_loss_db(d1_m, d2_m, f_mhz)[many]
    away = np.bincount(obstacles.hop, np.isnan(d1_m) | np.isnan(d2_m), obstacles.hops) > 0
    loss_db = nan_unless(~away & ~np.isnan(f_mhz), loss_db)
    return loss_db, np.where(np.isnan(loss_db), UNKNOWN, method)


class _Obstacles:
    """Obstacles of many hops as arrays, each with the hop that it stands in."""

    def __init__(
        self, top: ArrayLike, left: ArrayLike, right: ArrayLike, radius: ArrayLike, offsets: ArrayLike
    ) -> None:
        starts = np.ascontiguousarray(offsets, dtype=np.int64)
        if starts.ndim != 1 or starts.size == 0 or starts[0] != 0 or (np.diff(starts) < 0).any():
            raise ValueError("offsets must be one row that begins at 0 and never falls")
        shape = (int(starts[-1]),)
        self.top, self.left, self.right = (np.broadcast_to(float_array(part), shape) for part in (top, left, right))
        self.radius_m: FloatArray = np.broadcast_to(not_negative(radius), shape)
        self.starts = starts
        self.hops = starts.size - 1
        self.hop: _Indices = np.repeat(np.arange(self.hops), np.diff(starts))
        self.easiest: FloatArray = np.minimum(np.minimum(self.left, self.right), self.top)
        self.counts: BoolArray = self.easiest > CLEAR_PARAMETER

    def method(self) -> _Indices:
        """Return the number of the method of each hop."""
        count = np.bincount(self.hop, self.counts, self.hops)
        result = np.select([count == 0, count > 1], [NONE, BULLINGTON], SINGLE_EDGE)
        hops, rows = self.single(result)
        sides = np.minimum(self.left[rows], self.right[rows])
        finite = sides < _ZONE_PARAMETER
        narrow = finite & (self.left[rows] + self.right[rows] < _NARROW_PARAMETER)
        result[hops] = np.select(
            [self.radius_m[rows] > 0.0, narrow, finite], [ROUNDED, NARROW_SCREEN, SCREEN], SINGLE_EDGE
        )
        unknown = np.isnan(self.easiest) | np.isnan(self.radius_m)
        result[np.bincount(self.hop, unknown, self.hops) > 0] = UNKNOWN
        return result

    def single(self, method: _Indices) -> tuple[_Indices, _Indices]:
        """Return the hops with one obstacle that counts, and the row of that obstacle."""
        rows = np.flatnonzero(self.counts)
        rows = rows[(method[self.hop[rows]] != BULLINGTON) & (method[self.hop[rows]] != UNKNOWN)]
        return self.hop[rows], rows

    def single_loss_db(
        self, rows: _Indices, method: _Indices, d1_m: FloatArray, d2_m: FloatArray, f_mhz: FloatArray
    ) -> FloatArray:
        """Return the loss over one obstacle each."""
        top, left, right = self.top[rows], self.left[rows], self.right[rows]
        loss_db = knife_edge_loss_db(self.easiest[rows])
        loss_db = np.where(method == SCREEN, screen_loss_db(top, left, right)[1], loss_db)
        narrow = method == NARROW_SCREEN
        if narrow.any():
            loss_db[narrow] = narrow_screen_loss_db(top[narrow], left[narrow], right[narrow])
        round_ = method == ROUNDED
        height_m = top[round_] / diffraction_parameter(1.0, d1_m, d2_m, f_mhz)[round_]
        loss_db[round_] = rounded_obstacle_loss_db(
            height_m, d1_m[round_], d2_m[round_], f_mhz[round_], self.radius_m[rows][round_]
        )
        return loss_db

    def combined_loss_db(self, d1_m: FloatArray, d2_m: FloatArray, f_mhz: FloatArray) -> FloatArray:
        """Return Bullington's loss of every hop, each obstacle as high as its easiest edge."""
        height_m = self.easiest / diffraction_parameter(1.0, d1_m, d2_m, f_mhz[self.hop])
        parameter = ragged_bullington_parameter(d1_m, d2_m, height_m, self.starts, 0.0, 0.0, f_mhz, np.inf)
        length_m: FloatArray = np.zeros(self.hops)
        np.maximum.at(length_m, self.hop, d1_m + d2_m)
        return bullington_loss_db(parameter, length_m)
