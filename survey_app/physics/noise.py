"""Noise: what a receiver hears when nothing is sent, and what neighbours add to it."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array
from survey_app.physics.decibels import from_db, mw_to_dbm, sum_dbm, to_db
from survey_app.physics.domains import finite, not_negative, positive

__all__ = [
    "BOLTZMANN_J_PER_K",
    "REFERENCE_TEMPERATURE_K",
    "interference_rise_db",
    "noise_floor_dbm",
    "sinr_db",
    "snr_db",
    "thermal_noise_dbm",
]

BOLTZMANN_J_PER_K: Final = 1.380649e-23  # exact, [SI]_
REFERENCE_TEMPERATURE_K: Final = 290.0


def thermal_noise_dbm(width_mhz: ArrayLike, temperature_k: ArrayLike = REFERENCE_TEMPERATURE_K) -> FloatArray:
    r"""Thermal noise power in a channel.

    Parameters
    ----------
    width_mhz : array_like of float, shape (...)
        Channel width, > 0. [MHz]
    temperature_k : array_like of float, broadcast with `width_mhz`, default 290
        Absolute temperature, > 0. [K]

    Returns
    -------
    ndarray of float, broadcast shape
        Level; NaN where an input is NaN or not positive. [dBm]

    Notes
    -----
    .. math:: N = 10 \log_{10} (1000\, k T B)

    Boltzmann constant from [SI]_, 9th edition (2019), section 2.2.

    Examples
    --------
    >>> round(float(thermal_noise_dbm(20)), 3)
    -100.965
    """
    return mw_to_dbm(BOLTZMANN_J_PER_K * 1e9 * positive(temperature_k) * positive(width_mhz))


def noise_floor_dbm(width_mhz: ArrayLike, noise_figure_db: ArrayLike) -> FloatArray:
    """Noise of a receiver, referred to its antenna connector.

    Parameters
    ----------
    width_mhz : array_like of float, shape (...)
        Channel width, > 0. [MHz]
    noise_figure_db : array_like of float, broadcast with `width_mhz`
        Noise figure of the receiver, >= 0. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Level; NaN where an input is NaN, the width not positive or the noise figure negative. [dBm]

    Notes
    -----
    Thermal noise at 290 K and the noise figure, which is defined at that temperature.

    Examples
    --------
    >>> round(float(noise_floor_dbm(20, 6)), 2)
    -94.96
    """
    return thermal_noise_dbm(width_mhz) + not_negative(noise_figure_db)


def snr_db(level_dbm: ArrayLike, noise_dbm: ArrayLike) -> FloatArray:
    """Signal over noise.

    Parameters
    ----------
    level_dbm : array_like of float, shape (...)
        Received level. [dBm]
    noise_dbm : array_like of float, broadcast with `level_dbm`
        Noise in the same channel, see `noise_floor_dbm`. [dBm]

    Returns
    -------
    ndarray of float, broadcast shape
        Ratio; NaN where an input is NaN. [dB]

    Examples
    --------
    >>> float(snr_db(-60, -95))
    35.0
    """
    return float_array(level_dbm) - finite(noise_dbm)


def interference_rise_db(noise_dbm: ArrayLike, interference_dbm: ArrayLike) -> FloatArray:
    r"""How far a neighbour lifts the noise.

    Parameters
    ----------
    noise_dbm : array_like of float, shape (...)
        Noise of the receiver. [dBm]
    interference_dbm : array_like of float, broadcast with `noise_dbm`
        Power of the neighbour that falls into the channel; minus infinity for none. [dBm]

    Returns
    -------
    ndarray of float, broadcast shape
        Rise, >= 0; NaN where an input is NaN. [dB]

    Notes
    -----
    .. math:: \Delta = 10 \log_{10} (1 + I / N)

    The neighbour is taken as noise-like, which a modulated signal with many carriers is.

    Examples
    --------
    >>> round(float(interference_rise_db(-95, -95)), 2)
    3.01
    """
    return to_db(1.0 + from_db(float_array(interference_dbm) - finite(noise_dbm)))


def sinr_db(level_dbm: ArrayLike, noise_dbm: ArrayLike, interference_dbm: ArrayLike = -np.inf) -> FloatArray:
    """Signal over noise and neighbours together.

    Parameters
    ----------
    level_dbm : array_like of float, shape (...)
        Received level. [dBm]
    noise_dbm, interference_dbm : array_like of float, broadcast with `level_dbm`
        Noise, and power of neighbours in the channel (minus infinity for none, the default). [dBm]

    Returns
    -------
    ndarray of float, broadcast shape
        Ratio; NaN where an input is NaN. [dB]

    Examples
    --------
    >>> round(float(sinr_db(-60, -95, -95)), 2)
    31.99
    """
    return finite(level_dbm) - sum_dbm(finite(noise_dbm), interference_dbm)
