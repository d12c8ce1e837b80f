"""Bullington: many edges along a path put together as one, for many profiles at once."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.diffraction import knife_edge_loss_db
from survey_app.physics.domains import finite, positive
from survey_app.physics.free_space import wavelength_m
from survey_app.physics.geometry import EARTH_RADIUS_M, STANDARD_K
from survey_app.physics.kernels import kernel

__all__ = ["bullington_loss_db", "bullington_parameter", "ragged_bullington_parameter"]


_STEPS_OF_POINT = 1.0

# Everything in these kernels is the same, bit for bit, when the ends change places: sums and products of two terms, and
# the largest over the points.


@kernel
def _extremes(
    near_m: FloatArray, far_m: FloatArray, slope_1: FloatArray, slope_2: FloatArray, square: FloatArray
) -> tuple[float, float, float, float]:
    """Return the largest e / d1 and e / d2, the smallest e^2 / (d1 d2) and the length; NaN where a point is unknown."""
    steepest_1 = -np.inf
    steepest_2 = -np.inf
    nearest = np.inf
    length_m = 0.0
    check = 0.0
    for point in range(near_m.size):
        near, far = near_m[point], far_m[point]
        if near == 0.0 or far == 0.0:
            continue
        if near < 0.0 or far < 0.0:
            check = np.nan
        check += square[point]
        if near + far > length_m:  # a comparison costs less than max(), which looks for NaN
            length_m = near + far
        if slope_1[point] > steepest_1:
            steepest_1 = slope_1[point]
        if slope_2[point] > steepest_2:
            steepest_2 = slope_2[point]
        if square[point] < nearest:
            nearest = square[point]
    if check - check != 0.0:
        length_m = np.nan
    return steepest_1, steepest_2, nearest, length_m


@kernel
def _parameters(
    d1_m: FloatArray,
    d2_m: FloatArray,
    height_m: FloatArray,
    offsets: NDArray[np.int64],
    shared: bool,
    h1_m: FloatArray,
    h2_m: FloatArray,
    scale_per_m: FloatArray,
    curve_per_m: FloatArray,
    result: FloatArray,
) -> None:
    """Write the parameter of each profile into the result; `shared` distances serve all profiles.

    The loop over the points stands here, without a branch, and writes into arrays made here: only then does the
    compiler take several points at a time, which halves the time.
    """
    longest = 0
    for profile in range(result.size):
        longest = max(longest, offsets[profile + 1] - offsets[profile])
    slope_1, slope_2, square = np.empty(longest), np.empty(longest), np.empty(longest)
    for profile in range(result.size):
        first, last = offsets[profile], offsets[profile + 1]
        skipped = first if shared else 0
        near_m, far_m = d1_m[first - skipped : last - skipped], d2_m[first - skipped : last - skipped]
        height, low, high, curve = height_m[first:last], h1_m[profile], h2_m[profile], curve_per_m[profile]
        for point in range(last - first):
            near, far = near_m[point], far_m[point]
            product, whole = near * far, near + far
            part = 1.0 / (product * whole)
            # height over the straight ray, earth bulge included
            above_m = height[point] + product * curve - (low * far + high * near) * (product * part)
            stretch = above_m * (whole * part)
            slope_1[point] = stretch * far
            slope_2[point] = stretch * near
            square[point] = stretch * above_m
        steepest_1, steepest_2, nearest, length_m = _extremes(near_m, far_m, slope_1, slope_2, square)
        scale = scale_per_m[profile] * length_m
        if length_m == 0.0:
            result[profile] = -np.inf
        elif steepest_1 >= 0.0:
            result[profile] = np.sqrt(scale * (steepest_1 * steepest_2))
        else:
            result[profile] = -np.sqrt(scale * nearest)


def ragged_bullington_parameter(
    distance_1_m: ArrayLike,
    distance_2_m: ArrayLike,
    height_m: ArrayLike,
    offsets: ArrayLike,
    h1_m: ArrayLike,
    h2_m: ArrayLike,
    frequency_mhz: ArrayLike,
    k: ArrayLike = STANDARD_K,
) -> FloatArray:
    r"""Diffraction parameter of the one edge that stands for a whole profile, profiles of any length one after another.

    Parameters
    ----------
    distance_1_m, distance_2_m : array_like of float, shape (m,)
        Ground distance from each point to either end, >= 0. Points at an end (distance 0) do not count. [m]
    height_m : array_like of float, shape (m,)
        Height of each point over one datum. [m]
    offsets : array_like of int, shape (n + 1,)
        Profile i has the points from ``offsets[i]`` to before ``offsets[i + 1]``; from 0 to m, never falling.
    h1_m, h2_m : array_like of float, shape (n,) or one for all
        Height of the antennas at either end over that datum. [m]
    frequency_mhz : array_like of float, shape (n,) or one for all
        Carrier frequency, > 0. [MHz]
    k : array_like of float, shape (n,) or one for all, default 4/3
        Effective earth radius factor, > 0; infinity is a flat earth. [1]

    Returns
    -------
    ndarray of float, shape (n,)
        Parameter; minus infinity without a point; NaN where an input of the profile is NaN or outside its range. [1]

    Raises
    ------
    ValueError
        The arrays do not fit each other.

    Notes
    -----
    With e the height of a point above the straight ray, earth bulge included, and d the length of the path:

    .. math:: \nu = \sqrt{\frac{2 d}{\lambda} \max_i \frac{e_i}{d_{1i}} \max_i \frac{e_i}{d_{2i}}}

    where a point reaches the ray, and else

    .. math:: \nu = -\min_i |e_i| \sqrt{\frac{2 d}{\lambda d_{1i} d_{2i}}}

    The source takes slopes from the horizontal and looks for the point where the two steepest rays meet; taken from the
    straight ray its equations become the first line, which needs no such point and gives the same bits from both ends.
    The source has an effective earth radius of 8500 km, which is k = 8500 / 6371. Put a point at each edge of each
    obstacle, not on a grid. Source: [P526]_, P.526-15 (2019), section 4.5.1, the same as [P452]_, P.452-16 (2015),
    section 4.2.1.

    Examples
    --------
    >>> near, far, height = [100, 250, 400], [400, 250, 100], [0, 13, 0]
    >>> ragged_bullington_parameter(near, far, height, [0, 3, 3], 14, 14, 5500).round(3)
    array([-0.54,  -inf])
    """
    d1_m, d2_m, points_m = (np.ravel(float_array(part)) for part in (distance_1_m, distance_2_m, height_m))
    starts = np.ascontiguousarray(offsets, dtype=np.int64)
    if starts.ndim != 1 or starts.size == 0 or starts[0] != 0 or (np.diff(starts) < 0).any():
        raise ValueError("offsets must be one row that begins at 0 and never falls")
    if not d1_m.size == d2_m.size == points_m.size == starts[-1]:
        raise ValueError("distances and heights must have as many points as the last of the offsets says")
    count = starts.size - 1
    ends = [np.broadcast_to(float_array(part), (count,)) for part in (h1_m, h2_m, frequency_mhz, k)]
    return _parameter(d1_m, d2_m, points_m, starts, False, ends)


def bullington_parameter(
    distance_1_m: ArrayLike,
    distance_2_m: ArrayLike,
    height_m: ArrayLike,
    h1_m: ArrayLike,
    h2_m: ArrayLike,
    frequency_mhz: ArrayLike,
    k: ArrayLike = STANDARD_K,
) -> FloatArray:
    r"""Diffraction parameter of the one edge that stands for a whole profile, all profiles of one length.

    Parameters
    ----------
    distance_1_m, distance_2_m : array_like of float, shape (p,) or (..., p)
        Ground distance from each point to either end, >= 0; one row serves all profiles without being copied. Points at
        an end (distance 0) do not count. [m]
    height_m : array_like of float, shape (..., p)
        Height of each point over one datum. [m]
    h1_m, h2_m, frequency_mhz, k : array_like of float, broadcast with the profiles
        As in `ragged_bullington_parameter`.

    Returns
    -------
    ndarray of float, shape (...)
        Parameter; NaN where an input of the profile is NaN or outside its range. [1]

    Raises
    ------
    ValueError
        The arrays do not fit each other.

    Notes
    -----
    See `ragged_bullington_parameter`. Source: [P526]_, P.526-15 (2019), section 4.5.1.

    Examples
    --------
    >>> round(float(bullington_parameter([100, 250, 400], [400, 250, 100], [0, 14, 0], 14, 14, 5500)), 3)
    0.002
    """
    d1_m, d2_m, points_m = float_array(distance_1_m), float_array(distance_2_m), float_array(height_m)
    shared = d1_m.ndim == 1 and d2_m.ndim == 1
    points = points_m.shape[-1] if points_m.ndim else 0
    if not shared:
        d1_m, d2_m = np.broadcast_to(d1_m, points_m.shape), np.broadcast_to(d2_m, points_m.shape)
    if points_m.ndim == 0 or d1_m.shape[-1] != points or d2_m.shape[-1] != points:
        raise ValueError("distances and heights must have the same number of points")
    shape, count = points_m.shape[:-1], int(np.prod(points_m.shape[:-1]))
    starts = np.arange(count + 1, dtype=np.int64) * points
    ends = [np.ravel(np.broadcast_to(float_array(part), shape)) for part in (h1_m, h2_m, frequency_mhz, k)]
    parameter = _parameter(np.ravel(d1_m), np.ravel(d2_m), np.ravel(points_m), starts, shared, ends)
    return parameter.reshape(shape)


def _parameter(
    d1_m: FloatArray,
    d2_m: FloatArray,
    points_m: FloatArray,
    starts: NDArray[np.int64],
    shared: bool,
    ends: list[Any],
) -> FloatArray:
    h1_m, h2_m, frequency_mhz, k = ends
    result: FloatArray = np.empty(starts.size - 1)
    with np.errstate(divide="ignore"):
        curve_per_m = 1.0 / (2.0 * EARTH_RADIUS_M * nan_unless(k > 0.0, k))
        scale_per_m = 2.0 / wavelength_m(frequency_mhz)
    low_m, high_m = finite(h1_m), finite(h2_m)
    points = (_writable(d1_m), _writable(d2_m), _writable(points_m))
    _parameters.sized(_STEPS_OF_POINT * points[0].size + starts.size)(
        *points, starts, shared, low_m, high_m, scale_per_m, curve_per_m, result
    )
    unknown = np.isnan(low_m) | np.isnan(high_m) | np.isnan(scale_per_m) | np.isnan(curve_per_m)
    return nan_unless(~unknown, result)


def _writable(values: FloatArray) -> FloatArray:
    """Return the values as the one kind of array for which the kernel is compiled."""
    return values if values.flags.writeable and values.flags.c_contiguous else np.array(values, order="C")


def bullington_loss_db(parameter: ArrayLike, distance_m: ArrayLike) -> FloatArray:
    r"""Loss of a whole profile from the parameter of the edge that stands for it.

    Parameters
    ----------
    parameter : array_like of float, shape (...)
        See `bullington_parameter`; minus infinity is a path without an obstacle. [1]
    distance_m : array_like of float, broadcast with it
        Length of the path, > 0. [m]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss, >= 0; NaN where an input is NaN or the distance not positive. [dB]

    Notes
    -----
    .. math:: L = J + (1 - e^{-J / 6}) (10 + 0.02 d)

    with d in kilometres. The second term, up to 10 dB on a short path, stands for the ground between the edges and for
    the edges that the construction leaves out; one isolated edge does not have it. Made for terrain; that roofs are put
    in as points is our choice. Source: [P526]_, P.526-15 (2019), section 4.5.1.

    Examples
    --------
    >>> round(float(bullington_loss_db(0.002, 500)), 2)
    12.41
    """
    edge_db = knife_edge_loss_db(parameter)
    return edge_db - np.expm1(-edge_db / 6.0) * (10.0 + 0.02 * positive(distance_m) / 1000.0)
