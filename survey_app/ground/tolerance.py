"""How good an aim is: one sum of everything that can turn it, and how far a foot may be off its place."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from survey_app.ground._arrays import FloatArray, broadcast

__all__ = ["aim_good_to", "combined_sigma", "position_sigma", "position_tolerance", "step_sigma"]


def position_sigma(distance_m: ArrayLike, sigma_1_m: ArrayLike, sigma_2_m: ArrayLike) -> FloatArray:
    r"""What the positions of its two ends leave open in a bearing.

    Parameters
    ----------
    distance_m : array_like of float, broadcast together
        Ground distance between the ends, >= 0. [m]
    sigma_1_m, sigma_2_m : array_like of float
        Standard deviation of either position across the line, >= 0. [m]

    Returns
    -------
    ndarray of float, shape (...)
        One standard deviation; NaN where an input is NaN or negative, and where the ends are one and exactly known.
        [deg]

    Notes
    -----
    .. math:: \arctan\left(\sqrt{\sigma_1^2 + \sigma_2^2} / d\right)

    It rules short hops: 1 m at 57 m is 1 deg.

    Examples
    --------
    >>> round(float(position_sigma(57.29, 1.0, 0.0)), 3)
    1.0
    """
    distance, one, two = (np.where(value >= 0, value, np.nan) for value in broadcast(distance_m, sigma_1_m, sigma_2_m))
    across = np.hypot(one, two)
    return np.where((distance > 0) | (across > 0), np.degrees(np.arctan2(across, distance)), np.nan)


def step_sigma(step_deg: ArrayLike) -> FloatArray:
    r"""What a rounded or stepped setting leaves open.

    Parameters
    ----------
    step_deg : array_like of float, shape (...)
        Step of a bracket or of a printed figure, >= 0. [deg]

    Returns
    -------
    ndarray of float, shape (...)
        Standard deviation, step over the root of twelve: any value within half a step either way is as likely. NaN
        where the input is NaN or negative. [deg]

    Examples
    --------
    >>> round(float(step_sigma(5.0)), 3)
    1.443
    """
    (step,) = broadcast(step_deg)
    return np.where(step >= 0, step, np.nan) / math.sqrt(12.0)


def combined_sigma(*sigma_deg: ArrayLike) -> FloatArray:
    """Everything that can turn an aim, in one standard deviation.

    Parameters
    ----------
    *sigma_deg : array_like of float, broadcast together
        Standard deviations of independent causes, >= 0: declination and reading of the compass, or the angle to a
        landmark; positions of both ends; steps. [deg]

    Returns
    -------
    ndarray of float, shape (...)
        Root of the sum of squares; NaN where a cause is NaN or negative: a sum that leaves out what is not known would
        promise too much. [deg]

    Raises
    ------
    ValueError
        No cause is given.

    Examples
    --------
    >>> float(combined_sigma(0.3, 0.4))
    0.5
    """
    if not sigma_deg:
        raise ValueError("combined_sigma needs at least one cause")
    total = np.zeros(())
    for sigma in broadcast(*sigma_deg):
        total = np.hypot(total, np.where(sigma >= 0, sigma, np.nan))
    return np.asarray(total, dtype=np.float64)


def aim_good_to(sigma_deg: ArrayLike, coverage: float = 2.0) -> FloatArray:
    """The figure of "this aim is good to plus or minus n degrees".

    Parameters
    ----------
    sigma_deg : array_like of float, shape (...)
        Combined standard deviation. [deg]
    coverage : float, default 2
        How many standard deviations are promised; two hold in 19 of 20 cases. Common practice [PRACTICE]_.

    Returns
    -------
    ndarray of float, shape (...)
        Half width, at most 180, where nothing is promised; NaN where the input is NaN or negative. [deg]

    Examples
    --------
    >>> float(aim_good_to(2.5))
    5.0
    """
    (sigma,) = broadcast(sigma_deg)
    return np.minimum(np.where(sigma >= 0, sigma, np.nan) * coverage, 180.0)


def position_tolerance(distance_m: ArrayLike, beamwidth_deg: ArrayLike, *, part: float = 0.125) -> FloatArray:
    r"""How far a foot may stand off its place and the printed aim still holds.

    Parameters
    ----------
    distance_m : array_like of float, broadcast together
        Ground distance to the far end, > 0. [m]
    beamwidth_deg : array_like of float
        3 dB beamwidth in azimuth, > 0, below 360: an antenna that looks all round has no aim to hold. [deg]
    part : float, default 0.125
        Part of the beamwidth that the position may use up, > 0, at most 0.25. Common practice [PRACTICE]_.

    Returns
    -------
    ndarray of float, shape (...)
        Distance across the line; NaN where an input is NaN or outside its range. [m]

    Raises
    ------
    ValueError
        `part` is outside its range.

    Notes
    -----
    .. math:: d \tan(\theta / 8)

    Examples
    --------
    >>> round(float(position_tolerance(20.0, 9.0)), 2)
    0.39
    """
    if not 0 < part <= 0.25:
        raise ValueError(f"part must be above 0 and at most 0.25, not {part}")
    distance, beamwidth = broadcast(distance_m, beamwidth_deg)
    usable = (distance > 0) & (beamwidth > 0) & (beamwidth < 360)
    angle = np.radians(np.where(usable, beamwidth, np.nan) * part)
    return np.where(usable, distance, np.nan) * np.tan(angle)
