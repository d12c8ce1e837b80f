"""Diffraction at one obstacle: a sharp edge, a rounded crest, a screen of finite width, a stretch of rough ground."""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.decibels import from_db, to_db
from survey_app.physics.domains import finite, not_negative, positive
from survey_app.physics.free_space import wavelength_m

__all__ = [
    "CLEAR_PARAMETER",
    "average_terrain_loss_db",
    "clearance_parameter",
    "diffraction_parameter",
    "knife_edge_loss_db",
    "narrow_screen_loss_db",
    "rounded_obstacle_loss_db",
    "screen_loss_db",
]

#: At this parameter and below an edge costs nothing; 0.55 of the first Fresnel zone is free. [P526]_, section 4.1.
CLEAR_PARAMETER: Final = -0.78

# Where the printed polynomial of a rounded crest has its peak, rounded down.
_LARGEST_M = 10.0


def diffraction_parameter(
    height_m: ArrayLike, distance_1_m: ArrayLike, distance_2_m: ArrayLike, frequency_mhz: ArrayLike
) -> FloatArray:
    r"""How far an edge stands into the zone round the ray.

    Parameters
    ----------
    height_m : array_like of float, shape (...)
        Height of the edge above the straight ray, earth bulge included; negative when the ray passes clear. The same
        across the path for an upright edge: positive when the ray has to go round. [m]
    distance_1_m, distance_2_m : array_like of float, broadcast with `height_m`
        Distance from the edge to either antenna, > 0. [m]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, > 0. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Parameter, 0 where the edge touches the ray; NaN where an input is NaN or outside its range. [1]

    Notes
    -----
    .. math:: \nu = h \sqrt{\frac{2}{\lambda} \left( \frac{1}{d_1} + \frac{1}{d_2} \right)} = \sqrt 2\, h / r_1

    with the radius of the first Fresnel zone. Holds where the height is small against both distances. Source: [P526]_,
    P.526-15 (2019), section 4.1.

    Examples
    --------
    >>> round(float(diffraction_parameter(1, 150, 150, 5500)), 4)
    0.6994
    """
    d1_m, d2_m = positive(distance_1_m), positive(distance_2_m)
    # One product and one sum of the distances, so that both directions of a path give the same bits.
    return finite(height_m) * np.sqrt(2.0 * (d1_m + d2_m) / (wavelength_m(frequency_mhz) * (d1_m * d2_m)))


def clearance_parameter(clearance_ratio: ArrayLike) -> FloatArray:
    r"""Diffraction parameter of an edge whose clearance is known as a share of the first Fresnel zone.

    Parameters
    ----------
    clearance_ratio : array_like of float, shape (...)
        Clearance over the radius of the first zone; negative when the ray is cut. [1]

    Returns
    -------
    ndarray of float, shape (...)
        Parameter; NaN where the ratio is NaN. [1]

    Notes
    -----
    .. math:: \nu = -\sqrt 2\, c / r_1

    Source: [P526]_, P.526-15 (2019), section 4.1.

    Examples
    --------
    >>> round(float(clearance_parameter(0.6)), 3)
    -0.849
    """
    return -math.sqrt(2.0) * float_array(clearance_ratio)


def knife_edge_loss_db(parameter: ArrayLike) -> FloatArray:
    r"""Loss over one sharp edge.

    Parameters
    ----------
    parameter : array_like of float, shape (...)
        See `diffraction_parameter`; infinity either way is allowed. [1]

    Returns
    -------
    ndarray of float, shape (...)
        Loss, >= 0; NaN where the parameter is NaN. [dB]

    Notes
    -----
    .. math:: J(\nu) = 6.9 + 20 \log_{10} \left( \sqrt{(\nu - 0.1)^2 + 1} + \nu - 0.1 \right), \quad \nu > -0.78

    and 0 below. Within 0.14 dB of the exact Fresnel integral from there to 5; below -0.78 the exact loss swings round
    0 by at most 1.4 dB, of which nothing is promised. Source: [P526]_, P.526-15 (2019), section 4.1, equation (31).

    Examples
    --------
    >>> knife_edge_loss_db([-1, 0, 1]).round(2)
    array([ 0.  ,  6.03, 13.93])
    """
    parameter = float_array(parameter)
    shifted = np.maximum(parameter, CLEAR_PARAMETER) - 0.1
    loss_db = 6.9 + 2.0 * to_db(np.sqrt(shifted * shifted + 1.0) + shifted)
    return np.where(parameter <= CLEAR_PARAMETER, 0.0, np.maximum(loss_db, 0.0))


def rounded_obstacle_loss_db(
    height_m: ArrayLike,
    distance_1_m: ArrayLike,
    distance_2_m: ArrayLike,
    frequency_mhz: ArrayLike,
    radius_m: ArrayLike,
) -> FloatArray:
    r"""Loss over one rounded crest, a cylinder across the path.

    Parameters
    ----------
    height_m : array_like of float, shape (...)
        Height of the crest above the straight ray, earth bulge included; negative when the ray passes clear. [m]
    distance_1_m, distance_2_m : array_like of float, broadcast with `height_m`
        Distance from the crest to either antenna, > 0. [m]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, > 0. [MHz]
    radius_m : array_like of float, broadcast with the rest
        Radius of curvature of the crest, >= 0; 0 is a sharp edge. [m]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss, never less than over a sharp edge of the same height; NaN where an input is NaN or outside its range. [dB]

    Notes
    -----
    .. math:: A = J(\nu) + T(m, n)

    .. math:: m = R \frac{d_1 + d_2}{d_1 d_2} \left( \frac{\pi R}{\lambda} \right)^{-1/3}, \quad
        m n = h \frac{d_1 + d_2}{d_1 d_2} \left( \frac{\pi R}{\lambda} \right)^{1/3}

    .. math:: T = 7.2 m^{1/2} - 2 m + 12.5 m n + 3.6 m^{3/2} - 0.8 m^2, \quad m n \le 4

    .. math:: T = -6 - 20 \log_{10} (m n) + 7.2 m^{1/2} - 2 m + 17 m n + 3.6 m^{3/2} - 0.8 m^2, \quad m n > 4

    The printed product n m is written out, so that a radius of 0 needs no division. The polynomial would turn into a
    gain where the ray passes clear above the crest; it is held at 0 there. Beyond m = 10 it falls with the radius, so
    NaN is returned. For ridges and hill crests, not for roof edges. Source: [P526]_, P.526-15 (2019), section 4.2,
    equations (32) to (34).

    Examples
    --------
    >>> round(float(rounded_obstacle_loss_db(2, 250, 250, 5500, 10)), 2)
    16.81
    """
    height_m, radius_m = finite(height_m), not_negative(radius_m)
    d1_m, d2_m = positive(distance_1_m), positive(distance_2_m)
    bend_per_m = (d1_m + d2_m) / (d1_m * d2_m)
    size = np.cbrt(math.pi * radius_m / wavelength_m(frequency_mhz))
    with np.errstate(divide="ignore", invalid="ignore"):
        m = np.where(radius_m == 0.0, 0.0, radius_m * bend_per_m / size)
    m = nan_unless(m <= _LARGEST_M, m)
    mn = height_m * bend_per_m * size
    curve_db = 7.2 * np.sqrt(m) - 2.0 * m + 3.6 * m * np.sqrt(m) - 0.8 * m * m
    steep_db = -6.0 - 2.0 * to_db(np.maximum(mn, 4.0)) + 17.0 * mn
    extra_db = curve_db + np.where(mn > 4.0, steep_db, 12.5 * mn)
    edge_db = knife_edge_loss_db(diffraction_parameter(height_m, d1_m, d2_m, frequency_mhz))
    return edge_db + np.maximum(extra_db, 0.0)


def screen_loss_db(
    parameter_top: ArrayLike, parameter_left: ArrayLike, parameter_right: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    r"""Loss behind a screen that the wave passes above and on both sides.

    Parameters
    ----------
    parameter_top, parameter_left, parameter_right : array_like of float, broadcast together
        Diffraction parameter of each edge taken alone, positive where the ray has to go over or round it; plus infinity
        for a side without end. [1]

    Returns
    -------
    minimum_db : ndarray of float, broadcast shape
        Loss where the three ways add in phase. [dB]
    average_db : ndarray of float, broadcast shape
        Loss in the mean over a few wavelengths. Both >= 0; NaN where a parameter is NaN. [dB]

    Notes
    -----
    .. math:: J_{min} = -20 \log_{10} \sum_i \frac{1}{j_i}, \quad J_{av} = -10 \log_{10} \sum_i \frac{1}{j_i^2},
        \quad j_i = 10^{J(\nu_i) / 20}

    Made for the shadow of a screen. Where the ray passes beside it the sums would give a gain; nothing is promised
    there and 0 is returned. Against the exact integral over the open plane, taken over the whole shadow, the average is
    right within 0.5 dB where left and right parameter add up to 2 or more, and the field is never stronger than the
    minimum by more than 0.8 dB. The average of a narrower screen is too high, 2.4 dB where they add up to 0.6: see
    `narrow_screen_loss_db`. Source: [P526]_, P.526-15 (2019), section 5.1.

    Examples
    --------
    >>> minimum_db, average_db = screen_loss_db(1, 1, 1)
    >>> round(float(minimum_db), 2), round(float(average_db), 2)
    (4.38, 9.15)
    """
    loss_db = [knife_edge_loss_db(parameter) for parameter in (parameter_top, parameter_left, parameter_right)]
    top, left, right = (from_db(-edge_db / 2.0) for edge_db in loss_db)
    # The sides first, so that a screen seen from the other end, left and right swapped, gives the same bits.
    minimum_db = -2.0 * to_db((left + right) + top)
    average_db = -to_db((left * left + right * right) + top * top)
    return np.maximum(minimum_db, 0.0), np.maximum(average_db, 0.0)


def narrow_screen_loss_db(
    parameter_top: ArrayLike, parameter_left: ArrayLike, parameter_right: ArrayLike
) -> FloatArray:
    r"""Loss behind a screen by the integral over the plane that it leaves open: for masts, poles and columns.

    Parameters
    ----------
    parameter_top, parameter_left, parameter_right : array_like of float, broadcast together
        As in `screen_loss_db`. [1]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss at this very place, >= 0; NaN where a parameter is NaN, or left and right lie the wrong way round. [dB]

    Notes
    -----
    .. math:: L = -20 \log_{10} \left| 1 - \left[ F(\nu_r) - F(-\nu_l) \right] F(\nu_t) \right|, \quad
        F(\nu) = \frac{1}{1 - j} \int_{-\infty}^{\nu} e^{-j \pi t^2 / 2}\, dt

    What is left of the free wave when the part that the screen takes is taken out. Exact for a thin flat screen across
    the path that stands on the ground far below the ray. Behind a screen wider than about half the first zone the field
    changes within centimetres, so this is for narrow ones; what would be a gain is 0. Source: [P526]_, P.526-15 (2019),
    section 5.2, for a rectangular opening, with the screen as its complement.

    Examples
    --------
    >>> round(float(narrow_screen_loss_db(2, 0.1, 0.1)), 2)
    0.72
    """
    from scipy.special import fresnel

    def taken(parameter: FloatArray) -> tuple[FloatArray, FloatArray]:
        sine, cosine = fresnel(parameter)
        return 0.5 * (cosine + sine + 1.0), 0.5 * (cosine - sine)

    top, left, right = float_array(parameter_top), float_array(parameter_left), float_array(parameter_right)
    left = nan_unless(left + right >= 0.0, left)
    # Both sides alike, so that left and right may change places without changing a bit. Products of complex arrays are
    # written out, because numpy rounds them differently for one number and for many.
    (left_real, left_imaginary), (right_real, right_imaginary) = taken(left), taken(right)
    across_real, across_imaginary = left_real + right_real - 1.0, left_imaginary + right_imaginary
    top_real, top_imaginary = taken(top)
    real = 1.0 - (across_real * top_real - across_imaginary * top_imaginary)
    imaginary = across_real * top_imaginary + across_imaginary * top_real
    return np.maximum(-to_db(real * real + imaginary * imaginary), 0.0)


def average_terrain_loss_db(clearance_ratio: ArrayLike) -> FloatArray:
    r"""Loss over ground of an average kind that cuts into the path.

    Parameters
    ----------
    clearance_ratio : array_like of float, shape (...)
        Clearance of the highest obstruction over the radius of the first Fresnel zone, negative when the ray is cut; at
        most -0.25. [1]

    Returns
    -------
    ndarray of float, shape (...)
        Loss, >= 15; NaN where the ratio is NaN or the loss would be less, for which the line was not made. [dB]

    Notes
    -----
    .. math:: A_d = 10 - 20\, c / r_1

    Between the loss of a sharp edge and that of a smooth earth. Source: [P530]_, P.530-17 (2017), section 2.2.1,
    equation (3).

    Examples
    --------
    >>> average_terrain_loss_db([-0.5, 0.0])
    array([20., nan])
    """
    loss_db = 10.0 - 20.0 * finite(clearance_ratio)
    return nan_unless(loss_db >= 15.0, loss_db)
