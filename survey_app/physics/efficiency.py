"""Efficiency: how long an exchange of frames takes, and what it leaves of the rate on the air."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.domains import at_least_one, positive
from survey_app.physics.frames import (
    ACK_OCTETS,
    BLOCK_ACK_OCTETS,
    COVERAGE_CLASS_US,
    LONG_BLOCK_ACK_OCTETS,
    SIFS_US,
    SLOT_US,
    control_frame_us,
    coverage_class,
    frame_us,
    propagation_us,
)
from survey_app.physics.rates import phy_rate_mbps

__all__ = [
    "exchange_efficiency",
    "exchange_us",
    "goodput_mbps",
    "polling_cycle_us",
    "polling_efficiency",
]

# Arbitration slots and smallest contention window by traffic class, [IEEE80211]_ from memory.
_ACCESS = {"best effort": (3.0, 15.0), "video": (2.0, 7.0)}
_POLL_OCTETS = 24.0
_POLL_GUARD_US = 20.0


def _answer_us(frames: FloatArray) -> FloatArray:
    octets = np.where(frames == 1, ACK_OCTETS, np.where(frames <= 64, BLOCK_ACK_OCTETS, LONG_BLOCK_ACK_OCTETS))
    return control_frame_us(nan_unless(frames >= 1, octets))


def _access_numbers(access: str) -> tuple[float, float]:
    if access not in _ACCESS:
        raise UnknownNameError(f"unknown traffic class {access!r}", remedy=f"use one of {', '.join(_ACCESS)}")
    return _ACCESS[access]


def exchange_us(
    mode: str,
    width_mhz: ArrayLike,
    mcs: ArrayLike,
    streams: ArrayLike,
    guard_interval_us: ArrayLike = 0.8,
    frames: ArrayLike = 1,
    distance_m: ArrayLike = 0.0,
    payload_octets: ArrayLike = 1472.0,
    *,
    access: str = "best effort",
    with_backoff: bool = True,
) -> FloatArray:
    r"""Time of one exchange: wait, back-off, data, answer.

    Parameters
    ----------
    mode, width_mhz, mcs, streams, guard_interval_us, frames, payload_octets
        As in `frame_us`.
    distance_m : array_like of float, broadcast with them, default 0
        Distance to the far end: the way there and back, and the slot that a radio set to it uses. [m]
    access : {"best effort", "video"}, default "best effort"
        Traffic class; it sets the wait and the back-off.
    with_backoff : bool, default True
        Count the mean back-off of a lone sender.

    Returns
    -------
    ndarray of float, broadcast shape
        Time; NaN where the combination does not exist. [us]

    Raises
    ------
    UnknownNameError
        `mode` or `access` is not known.

    Notes
    -----
    .. math:: T = T_{AIFS} + \frac{W_{min}}{2} T_{slot} + T_{data} + T_{SIFS} + T_{ack} + 2 d / c

    with a slot of 9 us and 3 us more for each coverage class. One frame is answered by an acknowledgement, an aggregate
    by a block acknowledgement, both at 24 Mbit/s. Source: [IEEE80211]_, 2020, clause 10 (from memory); nothing is lost
    and nobody else sends.

    Examples
    --------
    >>> round(float(exchange_us("n", 40, 7, 2, 0.4, 32)), 1)
    1530.5
    """
    arbitration, window = _access_numbers(access)
    count = float_array(frames)
    slot_us = SLOT_US + COVERAGE_CLASS_US * coverage_class(distance_m)
    waited_us = SIFS_US + (arbitration + (window / 2.0 if with_backoff else 0.0)) * slot_us
    data_us = frame_us(mode, width_mhz, mcs, streams, guard_interval_us, count, payload_octets)
    return waited_us + data_us + SIFS_US + _answer_us(count) + 2.0 * propagation_us(distance_m)


def goodput_mbps(
    mode: str,
    width_mhz: ArrayLike,
    mcs: ArrayLike,
    streams: ArrayLike,
    guard_interval_us: ArrayLike = 0.8,
    frames: ArrayLike = 1,
    distance_m: ArrayLike = 0.0,
    payload_octets: ArrayLike = 1472.0,
    *,
    access: str = "best effort",
) -> FloatArray:
    """One-way UDP throughput of a lone sender.

    Parameters
    ----------
    mode, width_mhz, mcs, streams, guard_interval_us, frames, distance_m, payload_octets, access
        As in `exchange_us`.

    Returns
    -------
    ndarray of float, broadcast shape
        Payload over the time of its exchange: a ceiling, for loss, beacons and neighbours take more. [Mbit/s]

    Raises
    ------
    UnknownNameError
        `mode` or `access` is not known.

    Notes
    -----
    Source as `exchange_us`.

    Examples
    --------
    >>> round(float(goodput_mbps("n", 40, 7, 2, 0.4, 32)), 1)
    246.2
    """
    time_us = exchange_us(
        mode, width_mhz, mcs, streams, guard_interval_us, frames, distance_m, payload_octets, access=access
    )
    return 8.0 * at_least_one(frames) * positive(payload_octets) / time_us


def exchange_efficiency(
    mode: str,
    width_mhz: ArrayLike,
    mcs: ArrayLike,
    streams: ArrayLike,
    guard_interval_us: ArrayLike = 0.8,
    frames: ArrayLike = 1,
    distance_m: ArrayLike = 0.0,
    payload_octets: ArrayLike = 1472.0,
    *,
    access: str = "best effort",
) -> FloatArray:
    """Throughput of a lone sender over the rate on the air.

    Parameters
    ----------
    mode, width_mhz, mcs, streams, guard_interval_us, frames, distance_m, payload_octets, access
        As in `exchange_us`.

    Returns
    -------
    ndarray of float, broadcast shape
        Fraction between 0 and 1.

    Raises
    ------
    UnknownNameError
        `mode` or `access` is not known.

    Notes
    -----
    Source as `exchange_us`.

    Examples
    --------
    >>> round(float(exchange_efficiency("n", 40, 7, 2, 0.4, 32)), 3)
    0.821
    """
    goodput = goodput_mbps(
        mode, width_mhz, mcs, streams, guard_interval_us, frames, distance_m, payload_octets, access=access
    )
    return goodput / phy_rate_mbps(mode, width_mhz, mcs, streams, guard_interval_us)


def polling_cycle_us(
    mode: str,
    width_mhz: ArrayLike,
    mcs: ArrayLike,
    streams: ArrayLike,
    guard_interval_us: ArrayLike = 0.8,
    frames: ArrayLike = 1,
    distance_m: ArrayLike = 500.0,
    payload_octets: ArrayLike = 1472.0,
) -> FloatArray:
    """Time of one cycle of a generic polled access with one station.

    Parameters
    ----------
    mode, width_mhz, mcs, streams, guard_interval_us, payload_octets
        As in `frame_us`.
    frames : array_like of int, broadcast with them, default 1
        Frames in the station's aggregate.
    distance_m : array_like of float, broadcast with them, default 500
        Distance to the station. [m]

    Returns
    -------
    ndarray of float, broadcast shape
        Poll of 24 octets, the station's aggregate, its answer, one frame back, its answer, 20 us of guard, five SIFS
        and three ways there and back. [us]

    Raises
    ------
    UnknownNameError
        `mode` is not known.

    Notes
    -----
    A generic cycle of our own, not a standard's; timing from [IEEE80211]_.

    Examples
    --------
    >>> round(float(polling_cycle_us("n", 40, 7, 2, 0.4, 16)), 1)
    995.2
    """
    air = (mode, width_mhz, mcs, streams, guard_interval_us)
    upward_us = frame_us(*air, frames, payload_octets, always_aggregate=True)
    downward_us = frame_us(*air, 1, payload_octets, always_aggregate=True)
    answers_us = 2.0 * control_frame_us(BLOCK_ACK_OCTETS) + control_frame_us(_POLL_OCTETS)
    fixed_us = answers_us + _POLL_GUARD_US + 5.0 * SIFS_US
    return upward_us + downward_us + fixed_us + 6.0 * propagation_us(distance_m)


def polling_efficiency(
    mode: str,
    width_mhz: ArrayLike,
    mcs: ArrayLike,
    streams: ArrayLike,
    guard_interval_us: ArrayLike = 0.8,
    frames: ArrayLike = 1,
    distance_m: ArrayLike = 500.0,
    payload_octets: ArrayLike = 1472.0,
) -> FloatArray:
    """Payload of a polled cycle over what the rate on the air would carry in its time.

    Parameters
    ----------
    mode, width_mhz, mcs, streams, guard_interval_us, frames, distance_m, payload_octets
        As in `polling_cycle_us`.

    Returns
    -------
    ndarray of float, broadcast shape
        Fraction between 0 and 1, the frame back counted with the station's frames.

    Raises
    ------
    UnknownNameError
        `mode` is not known.

    Notes
    -----
    Source as `polling_cycle_us`.

    Examples
    --------
    >>> round(float(polling_efficiency("n", 40, 7, 2, 0.4, 16)), 3)
    0.671
    """
    cycle_us = polling_cycle_us(mode, width_mhz, mcs, streams, guard_interval_us, frames, distance_m, payload_octets)
    payload_bits = 8.0 * (at_least_one(frames) + 1.0) * positive(payload_octets)
    return payload_bits / (cycle_us * phy_rate_mbps(mode, width_mhz, mcs, streams, guard_interval_us))
