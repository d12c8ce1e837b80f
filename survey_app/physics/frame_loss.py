"""Frame loss: how many frames must be sent again at a margin, and what that costs."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.domains import at_least_one, positive

__all__ = ["LOSS_AT_SENSITIVITY", "RETRY_LIMIT", "TEST_OCTETS", "attempts_per_frame", "frame_loss_fraction"]

#: Part of the test frames that is lost at the sensitivity, and their length: [IEEE80211]_, 2020, 19.3.19.2 (memory).
LOSS_AT_SENSITIVITY: Final = 0.1
TEST_OCTETS: Final = 4096.0

#: How often a frame is sent at most: common practice ([PRACTICE]_).
RETRY_LIMIT: Final = 7

# Decibels of margin for a tenth of the loss on a path that fades little: common practice.
_DECADE_DB = 2.0


def frame_loss_fraction(margin_db: ArrayLike, octets: ArrayLike = TEST_OCTETS) -> FloatArray:
    r"""Part of the frames that is lost at a margin above the sensitivity.

    Parameters
    ----------
    margin_db : array_like of float, shape (...)
        Level over sensitivity, with noise and neighbours counted. [dB]
    octets : array_like of float, broadcast with it, default 4096
        Length of the frame, > 0. [octet]

    Returns
    -------
    ndarray of float, broadcast shape
        Fraction between 0 and 1; NaN where an input is NaN or the length not positive.

    Notes
    -----
    .. math:: p = 1 - (1 - 0.1)^{(n / 4096) \, 10^{-M / 2}}

    A tenth of the frames of 4096 octets is lost at the sensitivity ([IEEE80211]_, 2020, 19.3.19.2); each part of a
    frame is hit alike; every 2 dB of margin leave a tenth of that, which is common practice ([PRACTICE]_).

    Examples
    --------
    >>> frame_loss_fraction([0, 2, 10]).round(6)
    array([1.0000e-01, 1.0481e-02, 1.0000e-06])
    """
    exposure = positive(octets) / TEST_OCTETS * np.power(10.0, -float_array(margin_db) / _DECADE_DB)
    kept_ratio: FloatArray = np.expm1(exposure * np.log1p(-LOSS_AT_SENSITIVITY))
    return -kept_ratio


def attempts_per_frame(loss_fraction: ArrayLike, limit: int = RETRY_LIMIT) -> FloatArray:
    r"""Mean number of times that a frame is on the air.

    Parameters
    ----------
    loss_fraction : array_like of float, shape (...)
        Part of the frames that is lost, 0 to 1.
    limit : int, default 7
        How often a frame is sent at most.

    Returns
    -------
    ndarray of float, shape (...)
        At least 1; NaN where the fraction is none.

    Notes
    -----
    .. math:: a = \sum_{k=0}^{r-1} p^k

    Examples
    --------
    >>> attempts_per_frame([0, 0.5])
    array([1.      , 1.984375])
    """
    count = int(at_least_one(limit))
    given = float_array(loss_fraction)
    lost = nan_unless((given >= 0.0) & (given <= 1.0), given)
    total: FloatArray = np.ones_like(lost)
    power: FloatArray = np.ones_like(lost)
    for _ in range(count - 1):
        power = power * lost
        total = total + power
    return total
