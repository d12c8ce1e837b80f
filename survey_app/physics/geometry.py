"""Geometry of a path over a round earth, and directions seen in an antenna's own frame."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = [
    "EARTH_RADIUS_M",
    "STANDARD_K",
    "antenna_angles_along_deg",
    "antenna_angles_deg",
    "earth_bulge_m",
    "effective_earth_factor",
    "elevation_deg",
    "off_axis_deg",
    "slant_distance_m",
    "slope_toward",
]

EARTH_RADIUS_M = 6_371_000.0  # mean radius used throughout the P series, [P452]_
STANDARD_K = 4.0 / 3.0  # effective earth radius factor of a standard atmosphere, [P452]_


def effective_earth_factor(refractivity_gradient_n_per_km: ArrayLike) -> FloatArray:
    r"""Effective earth radius factor k from the gradient of refractivity with height.

    Parameters
    ----------
    refractivity_gradient_n_per_km : array_like of float, shape (...)
        Change of refractivity with height, > -157 (below that rays bend back to the ground). [N-units/km]

    Returns
    -------
    ndarray of float, shape (...)
        Factor k; NaN where the gradient is NaN or -157 or lower. [1]

    Notes
    -----
    .. math:: k = \frac{157}{157 + dN / dh}

    Source: [P452]_, P.452-16 (2015), Annex 1, median effective Earth radius factor, with the sign of the gradient
    itself.

    Examples
    --------
    >>> float(effective_earth_factor(-78.5))
    2.0
    """
    gradient = float_array(refractivity_gradient_n_per_km)
    return 157.0 / (157.0 + nan_unless(gradient > -157.0, gradient))


def earth_bulge_m(distance_1_m: ArrayLike, distance_2_m: ArrayLike, k: ArrayLike = STANDARD_K) -> FloatArray:
    r"""Height of the earth's curve above the chord between the ends of a path.

    Parameters
    ----------
    distance_1_m, distance_2_m : array_like of float, broadcast together
        Ground distance from the point to either end, >= 0. [m]
    k : array_like of float, broadcast with the distances, default 4/3
        Effective earth radius factor, > 0; infinity is a flat earth. [1]

    Returns
    -------
    ndarray of float, broadcast shape
        Bulge; NaN where a distance is negative, k not positive, or an input is NaN. [m]

    Notes
    -----
    .. math:: b = \frac{d_1 d_2}{2 k R}

    Parabola in place of the circle (1 micrometre off at 20 km), as in the obstacle heights of [P452]_, P.452-16
    (2015), Annex 1, section 4.2.1; R = 6371 km.

    Examples
    --------
    >>> round(float(earth_bulge_m(1500, 1500)), 4)
    0.1324
    """
    distance_1_m, distance_2_m, k = float_array(distance_1_m), float_array(distance_2_m), float_array(k)
    distance_1_m = nan_unless((distance_1_m >= 0.0) & np.isfinite(distance_1_m), distance_1_m)
    distance_2_m = nan_unless((distance_2_m >= 0.0) & np.isfinite(distance_2_m), distance_2_m)
    # The product of the distances first, so that both directions of a path give the same bits.
    return distance_1_m * distance_2_m / (2.0 * EARTH_RADIUS_M * nan_unless(k > 0.0, k))


def elevation_deg(
    h_from_m: ArrayLike, h_to_m: ArrayLike, ground_distance_m: ArrayLike, k: ArrayLike = STANDARD_K
) -> FloatArray:
    r"""Elevation angle at one antenna toward another.

    Parameters
    ----------
    h_from_m, h_to_m : array_like of float, broadcast together
        Heights of the two antennas over one datum. [m]
    ground_distance_m : array_like of float, broadcast with the heights
        Distance along the ground, > 0. [m]
    k : array_like of float, broadcast with the rest, default 4/3
        Effective earth radius factor, > 0; infinity is a flat earth. [1]

    Returns
    -------
    ndarray of float, broadcast shape
        Angle above the horizontal, up positive, -90 to 90; NaN where the distance or k is not positive or an input is
        NaN. [deg]

    Notes
    -----
    .. math:: \epsilon = \arctan \left( \frac{h_2 - h_1}{d} - \frac{d}{2 k R} \right)

    The published angle in milliradians, put through the arctangent so that it also holds on steep short hops: within
    0.0002 deg of the exact geometry from 50 m to 10 km where the heights differ by less than 60 m, within 0.003 deg for
    a rise of 10 deg over 10 km. Source: [P452]_, P.452-16 (2015), path profile analysis; R = 6371 km.

    Examples
    --------
    >>> round(float(elevation_deg(12, 6, 80)), 2)
    -4.29
    """
    return np.rad2deg(np.arctan(slope_toward(h_from_m, h_to_m, ground_distance_m, k)))


def slope_toward(
    h_from_m: ArrayLike, h_to_m: ArrayLike, ground_distance_m: ArrayLike, k: ArrayLike = STANDARD_K
) -> FloatArray:
    """Slope at one antenna toward another: the tangent of `elevation_deg`, with its arguments.

    Returns
    -------
    ndarray of float, broadcast shape
        Rise over run, up positive; NaN where the distance or k is not positive or an input is NaN. [1]

    Notes
    -----
    See `elevation_deg`; source: [P452]_, P.452-16 (2015), path profile analysis.

    Examples
    --------
    >>> round(float(slope_toward(12, 6, 80)), 5)
    -0.075
    """
    h_from_m, h_to_m = float_array(h_from_m), float_array(h_to_m)
    distance_m, k = float_array(ground_distance_m), float_array(k)
    distance_m = nan_unless((distance_m > 0.0) & np.isfinite(distance_m), distance_m)
    h_from_m, h_to_m = nan_unless(np.isfinite(h_from_m), h_from_m), nan_unless(np.isfinite(h_to_m), h_to_m)
    k = nan_unless(k > 0.0, k)
    return (h_to_m - h_from_m) / distance_m - distance_m / (2.0 * EARTH_RADIUS_M * k)


def slant_distance_m(ground_distance_m: ArrayLike, h1_m: ArrayLike, h2_m: ArrayLike) -> FloatArray:
    r"""Straight distance from antenna to antenna.

    Parameters
    ----------
    ground_distance_m : array_like of float, shape (...)
        Distance along the datum surface, >= 0. [m]
    h1_m, h2_m : array_like of float, broadcast with `ground_distance_m`
        Heights of the two antennas over that datum. [m]

    Returns
    -------
    ndarray of float, broadcast shape
        Straight distance; NaN where the distance is negative or an input is NaN. [m]

    Notes
    -----
    .. math:: s = \sqrt{4 (R + h_1)(R + h_2) \sin^2 \frac{d}{2 R} + (h_2 - h_1)^2}

    Chord between two points over a sphere. Heights over sea level stretch the distance (0.026 % at 1650 m), heights
    over a datum of the site do not. Derived from the cosine rule; R = 6371 km as in [P452]_, P.452-16 (2015).

    Examples
    --------
    >>> round(float(slant_distance_m(304.810, 38, 46)), 3)
    304.917
    """
    distance_m, h1_m, h2_m = float_array(ground_distance_m), float_array(h1_m), float_array(h2_m)
    distance_m = nan_unless((distance_m >= 0.0) & np.isfinite(distance_m), distance_m)
    h1_m, h2_m = nan_unless(np.isfinite(h1_m), h1_m), nan_unless(np.isfinite(h2_m), h2_m)
    half_chord = np.sin(distance_m / (2.0 * EARTH_RADIUS_M))
    stretch_m2 = (EARTH_RADIUS_M + h1_m) * (EARTH_RADIUS_M + h2_m)
    return np.sqrt(4.0 * stretch_m2 * np.square(half_chord) + np.square(h2_m - h1_m))


def antenna_angles_deg(
    bearing_deg: ArrayLike, elevation_deg: ArrayLike, aim_bearing_deg: ArrayLike, aim_tilt_deg: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    r"""Direction to a point as an aimed antenna sees it.

    Parameters
    ----------
    bearing_deg : array_like of float, shape (...)
        Bearing toward the point, clockwise; any turn is fine. [deg]
    elevation_deg : array_like of float, broadcast with the rest
        Elevation angle toward the point, up positive, -90 to 90. [deg]
    aim_bearing_deg : array_like of float, broadcast with the rest
        Bearing of the antenna's mechanical axis, from the same north. [deg]
    aim_tilt_deg : array_like of float, broadcast with the rest
        Tilt of the mechanical axis, negative is down, -90 to 90. [deg]

    Returns
    -------
    azimuth_off_deg : ndarray of float, broadcast shape
        Angle off the axis in the antenna's azimuth plane, clockwise positive, -180 to 180. [deg]
    elevation_off_deg : ndarray of float, broadcast shape
        Angle above that plane, up positive, -90 to 90; NaN (both) where an input is NaN or an elevation or tilt lies
        outside -90 to 90. [deg]

    Notes
    -----
    True rotation by the mechanical tilt: an antenna tilted down by 8 deg looks 8 deg up behind itself and is not
    tilted at all 90 deg off its axis. Source: [F1336]_, F.1336-5 (2019), recommends 3.4, with the downtilt there =
    -`aim_tilt_deg`; arctangents in place of the printed arcsine and arccosine keep small angles exact and give azimuth
    its sign.

    Examples
    --------
    >>> azimuth_off_deg, elevation_off_deg = antenna_angles_deg(45, -5, 0, -8)
    >>> round(float(azimuth_off_deg), 3), round(float(elevation_off_deg), 3)
    (44.786, 0.672)
    """
    elevation_deg, aim_tilt_deg = float_array(elevation_deg), float_array(aim_tilt_deg)
    elevation_deg = nan_unless(np.abs(elevation_deg) <= 90.0, elevation_deg)
    downtilt = np.deg2rad(-nan_unless(np.abs(aim_tilt_deg) <= 90.0, aim_tilt_deg))
    bearing_deg, aim_bearing_deg = float_array(bearing_deg), float_array(aim_bearing_deg)
    turn_deg = nan_unless(np.isfinite(bearing_deg), bearing_deg) - aim_bearing_deg
    azimuth = np.deg2rad(_wrapped_deg(turn_deg))
    elevation = np.deg2rad(elevation_deg)
    ahead = np.cos(elevation) * np.cos(azimuth)
    right = np.cos(elevation) * np.sin(azimuth)
    up = np.sin(elevation)
    ahead_off, up_off = _tilted(ahead, up, downtilt)
    azimuth_off_deg = np.rad2deg(np.arctan2(right, ahead_off))
    elevation_off_deg = np.rad2deg(np.arctan2(up_off, np.hypot(ahead_off, right)))
    unusable = np.isnan(azimuth_off_deg) | np.isnan(elevation_off_deg)
    return nan_unless(~unusable, azimuth_off_deg), nan_unless(~unusable, elevation_off_deg)


def antenna_angles_along_deg(
    east_m: ArrayLike, north_m: ArrayLike, slope: ArrayLike, aim_bearing_deg: ArrayLike, aim_tilt_deg: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    r"""Direction along a line on the plan as an aimed antenna sees it: `antenna_angles_deg` for very many lines.

    Parameters
    ----------
    east_m, north_m : array_like of float, shape (...)
        The line from the antenna. [m]
    slope : array_like of float, broadcast with the rest
        Rise of the line over its length on the plan, up positive, see `slope_toward`. [1]
    aim_bearing_deg : array_like of float, broadcast with the rest
        Bearing of the antenna's mechanical axis, from the north of `north_m`. [deg]
    aim_tilt_deg : array_like of float, broadcast with the rest
        Tilt of the mechanical axis, negative is down, -90 to 90. [deg]

    Returns
    -------
    azimuth_off_deg, elevation_off_deg : ndarray of float, broadcast shape
        As `antenna_angles_deg` gives them; NaN where an input is NaN, the line has no length, or a tilt lies outside
        -90 to 90. [deg]

    Notes
    -----
    The line is turned by products alone, and becomes angles only in the antenna's frame. Source: [F1336]_, F.1336-5
    (2019), recommends 3.4, as there.

    Examples
    --------
    >>> azimuth_off_deg, elevation_off_deg = antenna_angles_along_deg(50, 50, np.tan(np.deg2rad(-5)), 0, -8)
    >>> round(float(azimuth_off_deg), 3), round(float(elevation_off_deg), 3)
    (44.786, 0.672)
    """
    east_m, north_m, slope = float_array(east_m), float_array(north_m), float_array(slope)
    aim, aim_tilt_deg = np.deg2rad(float_array(aim_bearing_deg)), float_array(aim_tilt_deg)
    downtilt = np.deg2rad(-nan_unless(np.abs(aim_tilt_deg) <= 90.0, aim_tilt_deg))
    run_m = np.sqrt(np.square(east_m) + np.square(north_m))
    run_m = nan_unless(run_m > 0.0, run_m)
    ahead_m = north_m * np.cos(aim) + east_m * np.sin(aim)
    right_m = east_m * np.cos(aim) - north_m * np.sin(aim)
    ahead_off_m, up_off_m = _tilted(ahead_m, slope * run_m, downtilt)
    across_m = np.sqrt(np.square(ahead_off_m) + np.square(right_m))
    # the arctangent of a quotient takes half the time of that of two sides
    with np.errstate(divide="ignore", invalid="ignore"):
        azimuth = np.arctan(right_m / ahead_off_m) + np.where(ahead_off_m < 0.0, np.copysign(np.pi, right_m), 0.0)
        elevation = np.arctan(up_off_m / across_m)
    # straight along the vertical axis there is no azimuth, and any will do
    azimuth = np.where((across_m == 0.0) & (up_off_m != 0.0), 0.0, azimuth)
    return np.rad2deg(azimuth), np.rad2deg(elevation)


def _tilted(ahead: FloatArray, up: FloatArray, downtilt: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the parts ahead and up of a vector in a frame that is tilted down."""
    return ahead * np.cos(downtilt) - up * np.sin(downtilt), up * np.cos(downtilt) + ahead * np.sin(downtilt)


def off_axis_deg(azimuth_off_deg: ArrayLike, elevation_off_deg: ArrayLike) -> FloatArray:
    r"""Angle between a direction in the antenna's frame and its axis.

    Parameters
    ----------
    azimuth_off_deg : array_like of float, shape (...)
        Angle off the axis in the azimuth plane. [deg]
    elevation_off_deg : array_like of float, broadcast with `azimuth_off_deg`
        Angle above that plane, -90 to 90. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Angle, 0 to 180; NaN where an input is NaN or the elevation lies outside -90 to 90. [deg]

    Notes
    -----
    .. math:: \cos \psi = \cos \theta \cos \varphi

    in a form that stays exact near the axis. Spherical trigonometry, no source needed.

    Examples
    --------
    >>> round(float(off_axis_deg(3, 4)), 3)
    4.999
    """
    elevation_off_deg = float_array(elevation_off_deg)
    elevation = np.deg2rad(nan_unless(np.abs(elevation_off_deg) <= 90.0, elevation_off_deg))
    azimuth = np.deg2rad(_wrapped_deg(float_array(azimuth_off_deg)))
    across = np.hypot(np.sin(elevation), np.cos(elevation) * np.sin(azimuth))
    angle_deg: FloatArray = np.rad2deg(np.arctan2(across, np.cos(elevation) * np.cos(azimuth)))
    return angle_deg


def _wrapped_deg(angle_deg: FloatArray) -> FloatArray:
    """Return the angle between -180 and 180, so that a full turn is exactly none."""
    turned_deg = np.remainder(nan_unless(np.isfinite(angle_deg), angle_deg), 360.0)
    return np.where(turned_deg > 180.0, turned_deg - 360.0, turned_deg)
