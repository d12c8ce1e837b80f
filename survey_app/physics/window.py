"""The acceptance window: which readings on site agree with a prediction, and which do not."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.decibels import to_db
from survey_app.physics.domains import at_least_one, finite, not_negative

__all__ = [
    "CHAIN_DIFFERENCE_DB",
    "CHAIN_DIFFERENCE_OVER_WATER_DB",
    "DIRECTION_DIFFERENCE_DB",
    "VERDICTS",
    "AcceptanceWindow",
    "acceptance_window",
    "chain_level_dbm",
    "combined_sigma_db",
    "expected_reading_dbm",
    "lights_expected",
    "reading_verdict",
    "step_sigma_db",
    "uniform_sigma_db",
]

#: Good within +-3 dB; low to 6 dB; not accepted to 10 dB; beyond, something else is received. [PRACTICE]_.
_GOOD_DB = 3.0
_LOW_DB = 6.0
_WRONG_DB = 10.0
# Readings of a good hop lie within twice the standard deviation in 19 of 20 cases.
_COVERAGE = 2.0

#: Chains of one radio and the two directions of a hop agree within this. [PRACTICE]_.
CHAIN_DIFFERENCE_DB: Final = 3.0
CHAIN_DIFFERENCE_OVER_WATER_DB: Final = 6.0
DIRECTION_DIFFERENCE_DB: Final = 3.0

#: What a reading can be, from the weakest up; empty where reading or window is unknown.
VERDICTS: Final = ("wrong path", "not accepted", "low", "good", "too strong")


class AcceptanceWindow(NamedTuple):
    """Limits for a reading; each in the convention of the expected reading.

    Attributes
    ----------
    expected_dbm : ndarray of float, shape (...)
        What the unit should show. [dBm]
    sigma_db : ndarray of float, shape (...)
        Standard deviation of the difference between reading and expectation. [dB]
    good_low_dbm, good_high_dbm : ndarray of float, shape (...)
        The reading is good from the one to the other; above, power or antenna are not what the design says. [dBm]
    low_dbm : ndarray of float, shape (...)
        From here up to `good_low_dbm` the reading is low: look at clearance, cable and tilt. Below it is not accepted.
        [dBm]
    wrong_dbm : ndarray of float, shape (...)
        Below, something else is received: a side lobe, the wrong polarisation, a blocked path, another far end. [dBm]
    """

    expected_dbm: FloatArray
    sigma_db: FloatArray
    good_low_dbm: FloatArray
    good_high_dbm: FloatArray
    low_dbm: FloatArray
    wrong_dbm: FloatArray


def uniform_sigma_db(half_width_db: ArrayLike) -> FloatArray:
    r"""Standard deviation of something that lies anywhere within a tolerance.

    Parameters
    ----------
    half_width_db : array_like of float, shape (...)
        Tolerance to either side, >= 0. [dB]

    Returns
    -------
    ndarray of float, shape (...)
        Standard deviation; NaN where the input is NaN or negative. [dB]

    Notes
    -----
    .. math:: \sigma = a / \sqrt{3}

    Source: [GUM]_, 2008, 4.3.7.

    Examples
    --------
    >>> round(float(uniform_sigma_db(1.5)), 3)
    0.866
    """
    return not_negative(half_width_db) / math.sqrt(3.0)


def step_sigma_db(step_db: ArrayLike) -> FloatArray:
    r"""Standard deviation that a display adds by showing whole steps.

    Parameters
    ----------
    step_db : array_like of float, shape (...)
        Step of the display, >= 0. [dB]

    Returns
    -------
    ndarray of float, shape (...)
        Standard deviation; NaN where the input is NaN or negative. [dB]

    Notes
    -----
    .. math:: \sigma = s / \sqrt{12}

    Source: [GUM]_, 2008, F.2.2.1.

    Examples
    --------
    >>> round(float(step_sigma_db(1.0)), 3)
    0.289
    """
    return uniform_sigma_db(float_array(step_db) / 2.0)


def combined_sigma_db(sigmas_db: Mapping[str, ArrayLike]) -> FloatArray:
    r"""Standard deviation of a sum of independent parts.

    Parameters
    ----------
    sigmas_db : mapping from name to array_like of float, broadcast together
        Standard deviation of each named part (power, gain at either end, reading, step, aim), >= 0. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Standard deviation; NaN where a part is NaN or negative. [dB]

    Raises
    ------
    ValueError
        There is no part.

    Notes
    -----
    .. math:: \sigma = \sqrt{\sum_i \sigma_i^2}

    added in the order in which they are given. Source: [GUM]_, 2008, 5.1.2.

    Examples
    --------
    >>> round(float(combined_sigma_db({"power": 0.87, "gain": 0.58, "reading": 1.15})), 2)
    1.55
    """
    if not sigmas_db:
        raise ValueError("at least one standard deviation is needed")
    parts = np.broadcast_arrays(*(not_negative(sigma) for sigma in sigmas_db.values()))
    variance: FloatArray = np.zeros(parts[0].shape)
    for part in parts:
        variance = variance + np.square(part)
    return np.sqrt(variance)


def chain_level_dbm(level_dbm: ArrayLike, chains: ArrayLike) -> FloatArray:
    r"""Level of one chain of a radio whose chains receive alike.

    Parameters
    ----------
    level_dbm : array_like of float, shape (...)
        Level combined over the chains. [dBm]
    chains : array_like of int, broadcast with it
        Number of chains, >= 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Level; NaN where an input is NaN or there is no chain. [dBm]

    Notes
    -----
    .. math:: L_c = L - 10 \log_{10} n

    Examples
    --------
    >>> round(float(chain_level_dbm(-57, 2)), 2)
    -60.01
    """
    return finite(level_dbm) - to_db(at_least_one(chains))


def expected_reading_dbm(
    level_dbm: ArrayLike, stated_as: str = "combined", chains: ArrayLike = 1, step_db: ArrayLike = 0.0
) -> FloatArray:
    """What the display of a unit should show.

    Parameters
    ----------
    level_dbm : array_like of float, shape (...)
        Predicted level, combined over the chains. [dBm]
    stated_as : {"combined", "per_chain"}, default "combined"
        Which level the unit shows.
    chains : array_like of int, broadcast with it, default 1
        Chains of the unit, >= 1.
    step_db : array_like of float, broadcast with it, default 0
        Step of the display; 0 leaves the number as it is. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Reading, to the nearest step; NaN where an input is NaN or out of domain. [dBm]

    Raises
    ------
    UnknownNameError
        `stated_as` is neither.

    Examples
    --------
    >>> float(expected_reading_dbm(-57.3, "per_chain", 2, 1))
    -60.0
    """
    if stated_as not in {"combined", "per_chain"}:
        raise UnknownNameError(f"unknown reading convention {stated_as!r}", remedy="use combined or per_chain")
    shown = chain_level_dbm(level_dbm, chains if stated_as == "per_chain" else 1)
    step = not_negative(step_db)
    safe = np.where(step > 0, step, 1.0)
    return nan_unless(step >= 0, np.where(step > 0, np.round(shown / safe) * safe, shown))


def acceptance_window(expected_dbm: ArrayLike, sigma_db: ArrayLike = 0.0) -> AcceptanceWindow:
    r"""Limits of good, low and not accepted for a reading.

    Parameters
    ----------
    expected_dbm : array_like of float, shape (...)
        What the unit should show, see `expected_reading_dbm`. [dBm]
    sigma_db : array_like of float, broadcast with it, default 0
        Standard deviation of the difference, see `combined_sigma_db`. [dB]

    Returns
    -------
    AcceptanceWindow
        The limits; NaN where an input is NaN or the deviation negative.

    Notes
    -----
    Good within 3 dB, low to 6 dB below, not accepted to 10 dB below, another path beyond: common practice,
    [PRACTICE]_. Where twice the standard deviation exceeds 3 dB, all four limits move outward by the excess, so that a
    sound hop of uncertain gear is not refused.

    .. math:: e = \max(0, 2 \sigma - 3)

    Examples
    --------
    >>> window = acceptance_window(-57)
    >>> float(window.good_low_dbm), float(window.good_high_dbm), float(window.low_dbm), float(window.wrong_dbm)
    (-60.0, -54.0, -63.0, -67.0)
    """
    expected, sigma = np.broadcast_arrays(finite(expected_dbm), not_negative(sigma_db))
    expected = nan_unless(~np.isnan(sigma), expected)
    excess = np.maximum(_COVERAGE * sigma - _GOOD_DB, 0.0)
    return AcceptanceWindow(
        expected_dbm=expected,
        sigma_db=sigma,
        good_low_dbm=expected - _GOOD_DB - excess,
        good_high_dbm=expected + _GOOD_DB + excess,
        low_dbm=expected - _LOW_DB - excess,
        wrong_dbm=expected - _WRONG_DB - excess,
    )


def reading_verdict(reading_dbm: ArrayLike, window: AcceptanceWindow) -> NDArray[np.str_]:
    """Judge readings by their windows.

    Parameters
    ----------
    reading_dbm : array_like of float, shape (...)
        What the unit shows, in the convention of the window. [dBm]
    window : AcceptanceWindow
        Limits, broadcast with the readings.

    Returns
    -------
    ndarray of str, broadcast shape
        One of `VERDICTS`; a reading on a limit gets the better word; "" where reading or window is NaN.

    Notes
    -----
    Common practice, [PRACTICE]_.

    Examples
    --------
    >>> reading_verdict([-56, -62, -64, -70, -50], acceptance_window(-57)).tolist()
    ['good', 'low', 'not accepted', 'wrong path', 'too strong']
    """
    reading = float_array(reading_dbm)
    wrong, refused, low, good, strong = VERDICTS
    words = np.where(reading >= window.wrong_dbm, refused, wrong)
    words = np.where(reading >= window.low_dbm, low, words)
    words = np.where(reading >= window.good_low_dbm, good, words)
    words = np.where(reading > window.good_high_dbm, strong, words)
    return np.where(np.isnan(reading - window.expected_dbm), "", words)


def lights_expected(level_dbm: ArrayLike, thresholds_dbm: ArrayLike) -> FloatArray:
    """How many lights of a unit should be on.

    Parameters
    ----------
    level_dbm : array_like of float, shape (...)
        Level in the convention of the thresholds. [dBm]
    thresholds_dbm : array_like of float, shape (k,) or (..., k)
        Level at which each light comes on; NaN where a unit has fewer lights. [dBm]

    Returns
    -------
    ndarray of float, shape (...)
        Whole number; NaN where the level is NaN.

    Examples
    --------
    >>> lights_expected([-57, -70, -90], [-80, -72, -65, -58])
    array([4., 2., 0.])
    """
    level = float_array(level_dbm)
    lit = level[..., np.newaxis] >= float_array(thresholds_dbm)
    return nan_unless(~np.isnan(level), np.count_nonzero(lit, axis=-1).astype(np.float64))
