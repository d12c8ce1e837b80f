"""Reflection: a second ray by way of a flat surface, and what both give together."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import ComplexArray, FloatArray, float_array, nan_unless
from survey_app.physics.decibels import from_db, to_db
from survey_app.physics.domains import finite, not_negative, positive
from survey_app.physics.free_space import wavelength_m

__all__ = [
    "ReflectedRay",
    "field_ratio",
    "level_change_db",
    "reflected_ray",
    "reflection_coefficient",
    "rough_factor",
    "smooth_roughness_m",
]


class ReflectedRay(NamedTuple):
    """A ray by way of a flat surface, beside the direct one.

    Attributes
    ----------
    direct_m, reflected_m : ndarray of float
        Length of either way. [m]
    difference_m : ndarray of float
        How much longer the reflected way is. [m]
    grazing_deg : ndarray of float
        Angle between ray and surface. [deg]
    point_m : ndarray of float
        Where the surface is met, from the first end. [m]
    """

    direct_m: FloatArray
    reflected_m: FloatArray
    difference_m: FloatArray
    grazing_deg: FloatArray
    point_m: FloatArray


def reflected_ray(h1_m: ArrayLike, h2_m: ArrayLike, distance_m: ArrayLike) -> ReflectedRay:
    r"""Geometry of the ray by way of a flat surface.

    Parameters
    ----------
    h1_m, h2_m : array_like of float, broadcast together
        Heights of the antennas above the surface, >= 0. [m]
    distance_m : array_like of float, broadcast with the heights
        Distance along the surface, > 0. [m]

    Returns
    -------
    ReflectedRay
        Both ways; NaN where an input is NaN or outside its range. The reflected ray leaves an end downward by the
        grazing angle.

    Notes
    -----
    .. math:: \Delta = \frac{4 h_1 h_2}{\sqrt{d^2 + (h_1 - h_2)^2} + \sqrt{d^2 + (h_1 + h_2)^2}}

    Exact image geometry without a difference of large numbers. The curve of the earth is left out: on 3 km it lowers
    the surface by 0.13 m in the middle, which shifts the order of a null and not the size of the ripple.

    Examples
    --------
    >>> round(float(reflected_ray(10, 10, 300).difference_m), 5)
    0.66593
    """
    h1_m, h2_m, d_m = not_negative(h1_m), not_negative(h2_m), positive(distance_m)
    direct_m = np.hypot(d_m, h1_m - h2_m)
    both_m = h1_m + h2_m
    reflected_m = np.hypot(d_m, both_m)
    with np.errstate(invalid="ignore"):
        point_m = d_m * np.where(both_m > 0.0, h1_m / both_m, 0.5)
    grazing_deg = np.rad2deg(np.arctan2(both_m, d_m))
    return ReflectedRay(direct_m, reflected_m, 4.0 * h1_m * h2_m / (direct_m + reflected_m), grazing_deg, point_m)


def reflection_coefficient(permittivity: ArrayLike, grazing_deg: ArrayLike, polarisation: str) -> ComplexArray:
    r"""Field that a smooth flat surface throws back, over the field that meets it.

    Parameters
    ----------
    permittivity : array_like of complex, shape (...)
        Relative permittivity with its loss, imaginary part <= 0. [1]
    grazing_deg : array_like of float, broadcast with it
        Angle between ray and surface, 0 to 90. [deg]
    polarisation : {"horizontal", "vertical"}
        Direction of the electric field.

    Returns
    -------
    ndarray of complex, broadcast shape
        Coefficient, -1 at grazing incidence in both polarisations; NaN where an input is NaN or outside its range. [1]

    Raises
    ------
    UnknownNameError
        `polarisation` is neither.

    Notes
    -----
    .. math:: R_H = \frac{\sin \psi - \sqrt{\eta - \cos^2 \psi}}{\sin \psi + \sqrt{\eta - \cos^2 \psi}}, \quad
        R_V = \frac{\eta \sin \psi - \sqrt{\eta - \cos^2 \psi}}{\eta \sin \psi + \sqrt{\eta - \cos^2 \psi}}

    Source: [P2040]_, P.2040-3 (2023), section 2.2, with the angle taken from the surface.

    Examples
    --------
    >>> abs(complex(reflection_coefficient(80 - 10j, 5, "horizontal"))).__round__(3)
    0.981
    """
    if polarisation not in ("horizontal", "vertical"):
        raise UnknownNameError(f"unknown polarisation {polarisation!r}", remedy="use horizontal or vertical")
    eta = np.asarray(permittivity, dtype=np.complex128)
    grazing_deg = float_array(grazing_deg)
    psi = np.deg2rad(nan_unless((grazing_deg >= 0.0) & (grazing_deg <= 90.0), grazing_deg))
    sine, cosine = np.sin(psi), np.cos(psi)
    with np.errstate(invalid="ignore"):
        root = np.sqrt(eta - cosine * cosine)
        into = sine * (1.0 if polarisation == "horizontal" else eta)
        result: ComplexArray = (into - root) / (into + root)
    return result


def rough_factor(roughness_m: ArrayLike, grazing_deg: ArrayLike, frequency_mhz: ArrayLike) -> FloatArray:
    r"""What a rough surface leaves of the reflected field.

    Parameters
    ----------
    roughness_m : array_like of float, shape (...)
        Standard deviation of the height of the surface, >= 0; for waves on water a quarter of the height of the higher
        ones. [m]
    grazing_deg : array_like of float, broadcast with it
        Angle between ray and surface. [deg]
    frequency_mhz : array_like of float, broadcast with it
        Carrier frequency, > 0. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Factor on the field, 1 for a smooth surface; NaN where an input is NaN or outside its range. [1]

    Notes
    -----
    .. math:: \rho = e^{-g^2 / 2}, \quad g = 4 \pi \sigma \sin \psi / \lambda

    Counts the orderly part only; what is scattered about adds some ripple of its own. Source: [AMENT]_, 1953.

    Examples
    --------
    >>> rough_factor([0, 0.05], 5, 5500).round(3)
    array([1.   , 0.604])
    """
    sine = np.sin(np.deg2rad(float_array(grazing_deg)))
    g = 4.0 * math.pi * not_negative(roughness_m) * sine / wavelength_m(frequency_mhz)
    return np.exp(-0.5 * g * g)


def smooth_roughness_m(grazing_deg: ArrayLike, frequency_mhz: ArrayLike) -> FloatArray:
    r"""Height of unevenness up to which a surface counts as smooth.

    Parameters
    ----------
    grazing_deg : array_like of float, shape (...)
        Angle between ray and surface, > 0 and <= 90. [deg]
    frequency_mhz : array_like of float, broadcast with it
        Carrier frequency, > 0. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Difference in height between the low and the high places; NaN where an input is outside its range. [m]

    Notes
    -----
    .. math:: \Delta h = \frac{\lambda}{8 \sin \psi}

    Rayleigh's criterion: a quarter of a turn of phase between both. Source: [BECKMANN]_, 1963, chapter 2.

    Examples
    --------
    >>> round(float(smooth_roughness_m(5, 5500)), 4)
    0.0782
    """
    grazing_deg = float_array(grazing_deg)
    sine = np.sin(np.deg2rad(nan_unless((grazing_deg > 0.0) & (grazing_deg <= 90.0), grazing_deg)))
    return wavelength_m(frequency_mhz) / (8.0 * sine)


def field_ratio(
    h1_m: ArrayLike,
    h2_m: ArrayLike,
    distance_m: ArrayLike,
    frequency_mhz: ArrayLike,
    permittivity: ArrayLike,
    polarisation: str,
    roughness_m: ArrayLike = 0.0,
    reflected_gain_db: ArrayLike = 0.0,
) -> ComplexArray:
    r"""Field of the reflected ray over the field of the direct one.

    Parameters
    ----------
    h1_m, h2_m, distance_m : array_like of float, broadcast together
        As in `reflected_ray`. [m]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, > 0. [MHz]
    permittivity : array_like of complex, broadcast with the rest
        Of the surface, see `surface.surface_permittivity`. [1]
    polarisation : {"horizontal", "vertical"}
        Direction of the electric field.
    roughness_m : array_like of float, broadcast with the rest, default 0
        See `rough_factor`. [m]
    reflected_gain_db : array_like of float, broadcast with the rest, default 0
        Gain of both antennas together toward the reflected ray less that toward the direct one. [dB]

    Returns
    -------
    ndarray of complex, broadcast shape
        Ratio; NaN where an input is NaN or outside its range. [1]

    Raises
    ------
    UnknownNameError
        `polarisation` is neither.

    Notes
    -----
    .. math:: a = R\, \rho\, \frac{r_d}{r_r}\, 10^{G / 20} e^{-j 2 \pi \Delta / \lambda}

    The two ways' free-space loss, the coefficient of the surface, its roughness and the antennas. Derived from image
    geometry; parts as in `reflected_ray`, `reflection_coefficient` and `rough_factor`.

    Examples
    --------
    >>> round(abs(complex(field_ratio(10, 10, 300, 5500, 70 - 25j, "horizontal"))), 3)
    0.983
    """
    ray = reflected_ray(h1_m, h2_m, distance_m)
    share = rough_factor(roughness_m, ray.grazing_deg, frequency_mhz) * (ray.direct_m / ray.reflected_m)
    share = share * from_db(finite(reflected_gain_db) / 2.0)
    # whole turns go first: of a long way only the last part of a wavelength matters
    turns = np.remainder(ray.difference_m / wavelength_m(frequency_mhz), 1.0)
    real, imaginary = share * np.cos(2.0 * math.pi * turns), -share * np.sin(2.0 * math.pi * turns)
    smooth = reflection_coefficient(permittivity, ray.grazing_deg, polarisation)
    # written out in real numbers, because numpy rounds products of complex ones differently for one and for many
    result: ComplexArray = np.empty(np.broadcast_shapes(smooth.shape, real.shape), np.complex128)
    result.real = smooth.real * real - smooth.imag * imaginary
    result.imag = smooth.real * imaginary + smooth.imag * real
    return result


def level_change_db(ratio: ArrayLike) -> FloatArray:
    r"""Level of direct and reflected ray together, against the direct one alone.

    Parameters
    ----------
    ratio : array_like of complex, shape (...)
        See `field_ratio`. [1]

    Returns
    -------
    ndarray of float, shape (...)
        Change, at most +6 for equal rays; minus infinity where they cancel; NaN where the ratio is NaN. [dB]

    Notes
    -----
    .. math:: L = 20 \log_{10} |1 + a|

    Examples
    --------
    >>> level_change_db([0.5, -0.5]).round(2)
    array([ 3.52, -6.02])
    """
    both = 1.0 + np.asarray(ratio, dtype=np.complex128)
    return to_db(both.real * both.real + both.imag * both.imag)
