"""A loss that nobody knows exactly: low, likely, high."""

from __future__ import annotations

from typing import NamedTuple

from survey_app.physics.arrays import FloatArray

__all__ = ["ONE_IN_TWENTY", "LossRange"]

ONE_IN_TWENTY = 1.6448536269514722
"""How many standard deviations the 5th and the 95th percentile of a normal distribution lie from its middle. [1]"""


class LossRange(NamedTuple):
    """Loss of something that is not known exactly.

    Attributes
    ----------
    low_db, likely_db, high_db : ndarray of float
        One of twenty has less than low, one of twenty more than high; half have more than likely. [dB]
    """

    low_db: FloatArray
    likely_db: FloatArray
    high_db: FloatArray
