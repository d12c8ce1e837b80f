"""Decibels: the only place where ratios and powers become logarithms and back."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = ["dbm_to_mw", "from_db", "mw_to_dbm", "sum_dbm", "to_db"]


def to_db(ratio: ArrayLike) -> FloatArray:
    r"""Ratio of two powers in decibels.

    Parameters
    ----------
    ratio : array_like of float, shape (...)
        Power ratio, >= 0. [1]

    Returns
    -------
    ndarray of float, shape (...)
        Decibels; minus infinity for a ratio of 0 (nothing arrives), NaN where the ratio is negative or NaN. [dB]

    Notes
    -----
    .. math:: L = 10 \log_{10} x

    Definition of the decibel for power quantities, [V574]_, V.574-5 (2015), Annex 1.

    Examples
    --------
    >>> round(float(to_db(2)), 4)
    3.0103
    """
    ratio = float_array(ratio)
    with np.errstate(divide="ignore"):
        return 10.0 * np.log10(nan_unless(ratio >= 0.0, ratio))


def from_db(level_db: ArrayLike) -> FloatArray:
    r"""Power ratio from decibels.

    Parameters
    ----------
    level_db : array_like of float, shape (...)
        Decibels; minus infinity means nothing. [dB]

    Returns
    -------
    ndarray of float, shape (...)
        Power ratio; NaN where the input is NaN. [1]

    Notes
    -----
    .. math:: x = 10^{L / 10}

    Definition of the decibel for power quantities, [V574]_, V.574-5 (2015), Annex 1.

    Examples
    --------
    >>> round(float(from_db(-3)), 4)
    0.5012
    """
    with np.errstate(over="ignore"):
        return np.power(10.0, float_array(level_db) / 10.0)


def dbm_to_mw(level_dbm: ArrayLike) -> FloatArray:
    """Power in milliwatts from a level in dBm.

    Parameters
    ----------
    level_dbm : array_like of float, shape (...)
        Level relative to one milliwatt. [dBm]

    Returns
    -------
    ndarray of float, shape (...)
        Power; NaN where the input is NaN. [mW]

    Notes
    -----
    Source: [V574]_, V.574-5 (2015), Annex 1.

    Examples
    --------
    >>> float(dbm_to_mw(30))
    1000.0
    """
    return from_db(level_dbm)


def mw_to_dbm(power_mw: ArrayLike) -> FloatArray:
    """Level in dBm from a power in milliwatts.

    Parameters
    ----------
    power_mw : array_like of float, shape (...)
        Power, >= 0. [mW]

    Returns
    -------
    ndarray of float, shape (...)
        Level; minus infinity for no power, NaN where the power is negative or NaN. [dBm]

    Notes
    -----
    Source: [V574]_, V.574-5 (2015), Annex 1.

    Examples
    --------
    >>> float(mw_to_dbm(100))
    20.0
    """
    return to_db(power_mw)


def sum_dbm(first_dbm: ArrayLike, *more_dbm: ArrayLike) -> FloatArray:
    r"""Level of several powers together, element by element.

    Parameters
    ----------
    first_dbm, *more_dbm : array_like of float, broadcast together
        Levels of signals whose powers add (chains of one radio, noise and interference). [dBm]

    Returns
    -------
    ndarray of float, broadcast shape
        Level of the sum of the powers; NaN where any input is NaN. [dBm]

    Notes
    -----
    .. math:: L = L_{max} + 10 \log_{10} \sum_i 10^{(L_i - L_{max}) / 10}

    The strongest level is taken out first, so that levels far below one milliwatt lose no digits.
    Source: [V574]_, V.574-5 (2015), Annex 1.

    Examples
    --------
    >>> round(float(sum_dbm(-60, -60)), 3)
    -56.99
    """
    levels_dbm = [float_array(level_dbm) for level_dbm in (first_dbm, *more_dbm)]
    strongest_dbm = levels_dbm[0]
    for level_dbm in levels_dbm[1:]:
        strongest_dbm = np.maximum(strongest_dbm, level_dbm)
    # Nothing plus nothing has no strongest part to take out, and nor has an infinite power.
    pivot_dbm = np.where(np.isfinite(strongest_dbm), strongest_dbm, 0.0)
    total: FloatArray = from_db(levels_dbm[0] - pivot_dbm)
    for level_dbm in levels_dbm[1:]:
        total = total + from_db(level_dbm - pivot_dbm)
    return pivot_dbm + to_db(total)
