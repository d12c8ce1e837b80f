"""Carrier sense: from which level on a radio waits for another."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = ["ENERGY_ABOVE_DB", "PREAMBLE_20_MHZ_DBM", "energy_threshold_dbm", "preamble_threshold_dbm"]

#: Level in 20 MHz at which a preamble must be noticed, and how much more it takes when nothing can be read:
#: [IEEE80211]_, 2020, 17.3.10.6 (from memory).
PREAMBLE_20_MHZ_DBM: Final = -82.0
ENERGY_ABOVE_DB: Final = 20.0

_WIDTHS_MHZ = (5.0, 10.0, 20.0, 40.0, 80.0, 160.0)


def preamble_threshold_dbm(width_mhz: ArrayLike) -> FloatArray:
    """Level from which on a radio waits for a signal that it can read.

    Parameters
    ----------
    width_mhz : array_like of float, shape (...)
        5, 10, 20, 40, 80 or 160. [MHz]

    Returns
    -------
    ndarray of float, shape (...)
        Level, 3 dB more for each doubling; NaN where the width is none of these. [dBm]

    Notes
    -----
    Source: [IEEE80211]_, 2020, 17.3.10.6 (5, 10, 20 MHz), 19.3.19.5 (40 MHz) and 21.3.18.5 (80 and 160 MHz), from
    memory.

    Examples
    --------
    >>> preamble_threshold_dbm([10, 20, 80])
    array([-85., -82., -76.])
    """
    width = float_array(width_mhz)
    known = np.isin(width, _WIDTHS_MHZ)
    doublings = float_array(np.round(np.log2(np.where(known, width, 20.0) / 20.0)))
    return nan_unless(known, PREAMBLE_20_MHZ_DBM + 3.0 * doublings)


def energy_threshold_dbm(width_mhz: ArrayLike) -> FloatArray:
    """Level from which on a radio waits for any signal whatever.

    Parameters
    ----------
    width_mhz : array_like of float, shape (...)
        As in `preamble_threshold_dbm`. [MHz]

    Returns
    -------
    ndarray of float, shape (...)
        Level, 20 dB above that of a preamble. [dBm]

    Notes
    -----
    Source: [IEEE80211]_, 2020, 17.3.10.6, from memory.

    Examples
    --------
    >>> energy_threshold_dbm([20, 40])
    array([-62., -59.])
    """
    return preamble_threshold_dbm(width_mhz) + ENERGY_ABOVE_DB
