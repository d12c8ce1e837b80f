"""Air: how stations and hops share one channel.

One language: *used* is the sum of demand over rate on the air; the *limit* is the efficiency of the channel access; the
*load* is used over limit, and 1 is full.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.domains import fraction

__all__ = [
    "PLANNING_LIMITS",
    "airtime_used_fraction",
    "equal_air_mbps",
    "equal_rate_mbps",
    "load_fraction",
    "one_channel_chain_mbps",
    "planning_limit_fraction",
    "separate_channels_chain_mbps",
]

#: What is left of the rate on the air, by (channel access, more than one station): [PRACTICE]_, good to +-0.1.
PLANNING_LIMITS: Final = {
    ("contention", False): 0.55,
    ("contention", True): 0.45,
    ("polled", False): 0.70,
    ("polled", True): 0.70,
}


def planning_limit_fraction(access: str, stations: ArrayLike) -> FloatArray:
    """Part of the rate on the air that a design may count on.

    Parameters
    ----------
    access : {"contention", "polled"}
        How the access point shares the channel.
    stations : array_like of int, shape (...)
        Stations of the cell, >= 1.

    Returns
    -------
    ndarray of float, shape (...)
        Fraction; NaN where there is no station.

    Raises
    ------
    UnknownNameError
        `access` is neither.

    Notes
    -----
    0.55 for one station and 0.45 for several under contention, 0.70 polled, each good to +-0.1: common practice,
    [PRACTICE]_.

    Examples
    --------
    >>> planning_limit_fraction("contention", [1, 4])
    array([0.55, 0.45])
    """
    if (access, True) not in PLANNING_LIMITS:
        raise UnknownNameError(f"unknown channel access {access!r}", remedy="use contention or polled")
    count = float_array(stations)
    limit = np.where(count > 1, PLANNING_LIMITS[(access, True)], PLANNING_LIMITS[(access, False)])
    return nan_unless(count >= 1, limit)


def _sum_in_order(terms: FloatArray) -> FloatArray:
    """Sum over the last axis one after another, so that padding with zeros changes no bit of a sum."""
    total: FloatArray = np.zeros(terms.shape[:-1])
    for column in range(terms.shape[-1]):
        total = total + terms[..., column]
    return total


def airtime_used_fraction(demand_mbps: ArrayLike, rate_mbps: ArrayLike) -> FloatArray:
    r"""Part of the time that all directions of all stations together need at their rates.

    Parameters
    ----------
    demand_mbps : array_like of float, shape (..., s)
        Demand of each direction of each station, >= 0; pad rows with 0. [Mbit/s]
    rate_mbps : array_like of float, broadcast with it
        Rate on the air of that direction, > 0. [Mbit/s]

    Returns
    -------
    ndarray of float, shape (...)
        Fraction before any overhead. Infinite where something is wanted at a rate of 0; NaN where a demand is NaN or
        negative, or the rate of a demand above 0 is unknown.

    Notes
    -----
    .. math:: u = \sum_i D_i / R_i

    One radio speaks at a time, so both directions add. What counts is the sum over one channel, whoever sends.

    Examples
    --------
    >>> round(float(airtime_used_fraction([8, 8, 8], [130, 65, 13])), 4)
    0.8
    """
    demand, rate = np.broadcast_arrays(float_array(demand_mbps), float_array(rate_mbps))
    with np.errstate(divide="ignore", invalid="ignore"):
        share = nan_unless((demand >= 0) & (rate >= 0), demand / rate)
    return _sum_in_order(np.where(demand == 0, 0.0, share))


def load_fraction(used_fraction: ArrayLike, limit_fraction: ArrayLike) -> FloatArray:
    """Load of a channel: what is used over what the channel access allows.

    Parameters
    ----------
    used_fraction : array_like of float, shape (...)
        See `airtime_used_fraction`.
    limit_fraction : array_like of float, broadcast with it
        Efficiency of the channel access, > 0 and <= 1.

    Returns
    -------
    ndarray of float, broadcast shape
        1 is full; NaN where an input is NaN or the limit out of range.

    Examples
    --------
    >>> round(float(load_fraction(0.8, 0.6)), 3)
    1.333
    """
    return float_array(used_fraction) / fraction(limit_fraction)


def equal_rate_mbps(rate_mbps: ArrayLike, limit_fraction: ArrayLike) -> FloatArray:
    r"""What each station gets when all get the same throughput.

    Parameters
    ----------
    rate_mbps : array_like of float, shape (..., s)
        Rate on the air of each station, > 0; pad rows with infinity. [Mbit/s]
    limit_fraction : array_like of float, shape (...)
        Efficiency of the channel access, > 0 and <= 1.

    Returns
    -------
    ndarray of float, shape (...)
        Throughput of each; NaN where a rate is NaN or negative. [Mbit/s]

    Notes
    -----
    .. math:: X = \eta / \sum_i (1 / R_i)

    This is what contention does by itself: each sends a frame in turn and waits for the slowest ([HEUSSE]_, 2003).

    Examples
    --------
    >>> round(float(equal_rate_mbps([130, 65, 13], 0.6)), 3)
    6.0
    """
    rate = float_array(rate_mbps)
    with np.errstate(divide="ignore"):
        share = nan_unless(rate >= 0, 1.0 / rate)
        return fraction(limit_fraction) / _sum_in_order(share)


def equal_air_mbps(rate_mbps: ArrayLike, limit_fraction: ArrayLike) -> FloatArray:
    r"""What each station gets when all get the same time.

    Parameters
    ----------
    rate_mbps : array_like of float, shape (..., s)
        Rate on the air of each station, >= 0; pad rows with infinity. [Mbit/s]
    limit_fraction : array_like of float, shape (...)
        Efficiency of the channel access, > 0 and <= 1.

    Returns
    -------
    ndarray of float, shape (..., s)
        Throughput of each; NaN where the rate is NaN, negative or infinite. [Mbit/s]

    Notes
    -----
    .. math:: X_i = \eta R_i / N

    Examples
    --------
    >>> equal_air_mbps([130, 65, 13], 0.6)
    array([26. , 13. ,  2.6])
    """
    rate = float_array(rate_mbps)
    count = np.count_nonzero(~np.isposinf(rate), axis=-1)[..., np.newaxis]
    with np.errstate(divide="ignore", invalid="ignore"):
        each = fraction(limit_fraction)[..., np.newaxis] * rate / count
    return nan_unless((rate >= 0) & np.isfinite(rate), each)


def one_channel_chain_mbps(rate_mbps: ArrayLike, limit_fraction: ArrayLike) -> FloatArray:
    r"""What a chain or relay carries when all its hops share one channel.

    Parameters
    ----------
    rate_mbps : array_like of float, shape (..., h)
        Rate on the air of each hop in the direction of the traffic, > 0; pad rows with infinity. [Mbit/s]
    limit_fraction : array_like of float, shape (...)
        Efficiency of the channel access, > 0 and <= 1.

    Returns
    -------
    ndarray of float, shape (...)
        Throughput from end to end: two equal hops carry half of one. [Mbit/s]

    Notes
    -----
    .. math:: C = \eta / \sum_h (1 / R_h)

    Every bit is on the air once a hop.

    Examples
    --------
    >>> round(float(one_channel_chain_mbps([300, 300], 0.6)), 3)
    90.0
    """
    return equal_rate_mbps(rate_mbps, limit_fraction)


def separate_channels_chain_mbps(rate_mbps: ArrayLike, limit_fraction: ArrayLike) -> FloatArray:
    r"""What a chain carries when each hop has its own radios and its own channel.

    Parameters
    ----------
    rate_mbps : array_like of float, shape (..., h)
        Rate on the air of each hop, > 0; pad rows with infinity. [Mbit/s]
    limit_fraction : array_like of float, broadcast with it
        Efficiency of the channel access of each hop.

    Returns
    -------
    ndarray of float, shape (...)
        Throughput from end to end: that of the weakest hop. [Mbit/s]

    Notes
    -----
    .. math:: C = \min_h (\eta_h R_h)

    Examples
    --------
    >>> round(float(separate_channels_chain_mbps([300, 130], 0.6)), 3)
    78.0
    """
    rate = float_array(rate_mbps)
    each_mbps: FloatArray = fraction(limit_fraction)[..., np.newaxis] * nan_unless(rate >= 0, rate)
    return float_array(np.min(each_mbps, axis=-1))
