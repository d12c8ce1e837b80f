"""Free space: what a clear path costs, and where the far field of an antenna begins."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.decibels import to_db

__all__ = [
    "SPEED_OF_LIGHT_M_PER_S",
    "far_field_distance_m",
    "free_space_loss_db",
    "free_space_range_m",
    "wavelength_m",
]

SPEED_OF_LIGHT_M_PER_S = 299_792_458.0  # exact by definition of the metre, [SI]_


def wavelength_m(frequency_mhz: ArrayLike) -> FloatArray:
    r"""Wavelength in vacuum.

    Parameters
    ----------
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency, > 0. [MHz]

    Returns
    -------
    ndarray of float, shape (...)
        Wavelength; NaN where the frequency is NaN or not positive. [m]

    Notes
    -----
    .. math:: \lambda = c / f

    Speed of light from [SI]_, 9th edition (2019), section 2.2.

    Examples
    --------
    >>> round(float(wavelength_m(5500)), 5)
    0.05451
    """
    frequency_mhz = float_array(frequency_mhz)
    usable = (frequency_mhz > 0.0) & np.isfinite(frequency_mhz)
    return SPEED_OF_LIGHT_M_PER_S / (nan_unless(usable, frequency_mhz) * 1e6)


def free_space_loss_db(distance_m: ArrayLike, frequency_mhz: ArrayLike) -> FloatArray:
    r"""Free-space basic transmission loss between two isotropic antennas.

    Parameters
    ----------
    distance_m : array_like of float, shape (...)
        Straight distance from antenna to antenna, > 0. [m]
    frequency_mhz : array_like of float, broadcast with `distance_m`
        Carrier frequency, > 0. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss, >= 0; NaN where an input is NaN or not positive, or the distance is so short that the formula would give a
        gain. [dB]

    Notes
    -----
    .. math:: L_{bf} = 20 \log_{10} \frac{4 \pi d}{\lambda}

    Holds in the far field of both antennas (`far_field_distance_m`). Source: [P525]_, P.525-4 (2019), section 2.2, in
    its exact form; the rounded form 32.4 + 20 log f + 20 log d printed beside it lies 0.048 dB lower.

    Examples
    --------
    >>> round(float(free_space_loss_db(300, 5500)), 2)
    96.8
    """
    ratio = 4.0 * math.pi * float_array(distance_m) / wavelength_m(frequency_mhz)
    return 2.0 * to_db(nan_unless(ratio >= 1.0, ratio))


def free_space_range_m(loss_db: ArrayLike, frequency_mhz: ArrayLike) -> FloatArray:
    r"""Distance at which free space costs a given loss: the inverse of `free_space_loss_db`.

    Parameters
    ----------
    loss_db : array_like of float, shape (...)
        Loss, >= 0. [dB]
    frequency_mhz : array_like of float, broadcast with `loss_db`
        Carrier frequency, > 0. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Distance; NaN where the loss is negative, the frequency not positive, or either NaN. [m]

    Notes
    -----
    .. math:: d = \frac{\lambda}{4 \pi} 10^{L / 20}

    Source: [P525]_, P.525-4 (2019), section 2.2, solved for the distance.

    Examples
    --------
    >>> round(float(free_space_range_m(free_space_loss_db(300, 5500), 5500)), 6)
    300.0
    """
    loss_db = float_array(loss_db)
    with np.errstate(over="ignore"):
        ratio = np.power(10.0, nan_unless(loss_db >= 0.0, loss_db) / 20.0)
    return wavelength_m(frequency_mhz) / (4.0 * math.pi) * ratio


def far_field_distance_m(aperture_m: ArrayLike, frequency_mhz: ArrayLike) -> FloatArray:
    r"""Distance from which an antenna's gain and pattern hold.

    Parameters
    ----------
    aperture_m : array_like of float, shape (...)
        Largest dimension of the radiating face, >= 0. [m]
    frequency_mhz : array_like of float, broadcast with `aperture_m`
        Carrier frequency, > 0. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Distance; NaN where an input is NaN, the aperture negative or the frequency not positive. [m]

    Notes
    -----
    .. math:: d = 2 D^2 / \lambda

    The customary limit, where the path to the rim of the face is a sixteenth of a wavelength longer than to its middle.
    Source: [IEEE145]_, IEEE Std 145-2013, "far-field region".

    Examples
    --------
    >>> round(float(far_field_distance_m(0.4, 5500)), 2)
    5.87
    """
    aperture_m = float_array(aperture_m)
    return 2.0 * np.square(nan_unless(aperture_m >= 0.0, aperture_m)) / wavelength_m(frequency_mhz)
