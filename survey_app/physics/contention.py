"""Contention: what is left when several stations all want to send and listen before they speak."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.domains import at_least_one, not_negative, positive
from survey_app.physics.efficiency import exchange_us
from survey_app.physics.frames import COVERAGE_CLASS_US, SLOT_US, coverage_class
from survey_app.physics.rates import phy_rate_mbps

__all__ = [
    "BACKOFF_STAGES",
    "SMALLEST_WINDOW",
    "anomaly_mbps",
    "answer_to_collisions",
    "collision_probability",
    "saturated_efficiency",
    "transmit_probability",
]

#: Smallest contention window and how often it doubles (15 to 1023), best effort. [IEEE80211]_ from memory.
SMALLEST_WINDOW: Final = 15
BACKOFF_STAGES: Final = 6

# Halvings of the bracket around the fixed point: the last one is finer than float64 resolves.
_HALVINGS = 60


def answer_to_collisions(collision: FloatArray, window: int, stages: int) -> FloatArray:
    """Chance to send in a slot when each attempt fails with the given chance, [BIANCHI]_ (7) freed of 0 / 0.

    Parameters
    ----------
    collision : ndarray of float, shape (...)
        Chance that an attempt fails, 0 to 1.
    window, stages : int
        As in `transmit_probability`.

    Returns
    -------
    ndarray of float, shape (...)
        Probability.

    Examples
    --------
    >>> round(float(answer_to_collisions(float_array(0.0), 15, 6)), 4)
    0.1176
    """
    doubled = 2.0 * collision
    power: FloatArray = np.ones_like(collision)
    total: FloatArray = np.zeros_like(collision)
    for _ in range(stages):
        total = total + power
        power = power * doubled
    size = window + 1.0
    return 2.0 / (1.0 + size + collision * size * total)


def _others_send(transmit: FloatArray, stations: FloatArray) -> FloatArray:
    return 1.0 - np.power(1.0 - transmit, stations - 1.0)


def transmit_probability(
    stations: ArrayLike, window: int = SMALLEST_WINDOW, stages: int = BACKOFF_STAGES
) -> FloatArray:
    r"""Chance that a station which always has something to send begins in a given slot.

    Parameters
    ----------
    stations : array_like of int, shape (...)
        Stations that contend, >= 1 (the access point counts when it sends).
    window : int, default 15
        Smallest contention window, >= 1.
    stages : int, default 6
        How often the window doubles, >= 0.

    Returns
    -------
    ndarray of float, shape (...)
        Probability; NaN where there is no station.

    Raises
    ------
    ValueError
        `window` or `stages` is out of range.

    Notes
    -----
    .. math:: \tau = \frac{2 (1 - 2p)}{(1 - 2p)(W + 1) + p W (1 - (2p)^m)}, \quad p = 1 - (1 - \tau)^{n - 1}

    with W = window + 1. The difference of both sides grows steadily with the probability, so that halving always finds
    the one solution. Source: [BIANCHI]_, 2000, equations (7) and (9).

    Examples
    --------
    >>> round(float(transmit_probability(5)), 4)
    0.0761
    """
    if window < 1 or stages < 0:
        raise ValueError("the contention window must be at least 1 and the number of stages at least 0")
    count = at_least_one(stations)
    low: FloatArray = np.zeros_like(count)
    high: FloatArray = np.ones_like(count)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        below = middle < answer_to_collisions(_others_send(middle, count), window, stages)
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return nan_unless(~np.isnan(count), 0.5 * (low + high))


def collision_probability(
    stations: ArrayLike, window: int = SMALLEST_WINDOW, stages: int = BACKOFF_STAGES
) -> FloatArray:
    r"""Chance that an attempt collides with another one.

    Parameters
    ----------
    stations, window, stages
        As in `transmit_probability`.

    Returns
    -------
    ndarray of float, shape (...)
        Probability, 0 for a lone station; NaN where there is none.

    Raises
    ------
    ValueError
        `window` or `stages` is out of range.

    Notes
    -----
    .. math:: p = 1 - (1 - \tau)^{n - 1}

    Source: [BIANCHI]_, 2000, equation (9).

    Examples
    --------
    >>> round(float(collision_probability(5)), 3)
    0.272
    """
    return _others_send(transmit_probability(stations, window, stages), float_array(stations))


def saturated_efficiency(
    stations: ArrayLike,
    mode: str,
    width_mhz: ArrayLike,
    mcs: ArrayLike,
    streams: ArrayLike,
    guard_interval_us: ArrayLike = 0.8,
    frames: ArrayLike = 1,
    distance_m: ArrayLike = 0.0,
    payload_octets: ArrayLike = 1472.0,
) -> FloatArray:
    r"""Throughput of all stations together over the rate on the air, when all always have something to send.

    Parameters
    ----------
    stations : array_like of int, shape (...)
        Stations that contend, >= 1.
    mode, width_mhz, mcs, streams, guard_interval_us, frames, distance_m, payload_octets
        As in `efficiency.exchange_us`, the same for all stations, broadcast with `stations`.

    Returns
    -------
    ndarray of float, broadcast shape
        Fraction between 0 and 1; for one station the same as `efficiency.exchange_efficiency`.

    Raises
    ------
    UnknownNameError
        `mode` is not known.

    Notes
    -----
    .. math:: S = \frac{P_s K L}{(1 - P_{tr}) \sigma + P_s T_s + (P_{tr} - P_s) T_c}

    A collision is taken to last as long as a success, for its senders wait for the answer that does not come. Nothing
    is lost otherwise. Source: [BIANCHI]_, 2000, equation (13).

    Examples
    --------
    >>> round(float(saturated_efficiency(5, "n", 40, 7, 2, 0.4, 32)), 3)
    0.719
    """
    count = at_least_one(stations)
    transmit = transmit_probability(count)
    idle = np.power(1.0 - transmit, count)
    success = count * transmit * np.power(1.0 - transmit, count - 1.0)
    slot_us = SLOT_US + COVERAGE_CLASS_US * coverage_class(distance_m)
    busy_us = exchange_us(
        mode, width_mhz, mcs, streams, guard_interval_us, frames, distance_m, payload_octets, with_backoff=False
    )
    mean_us = idle * slot_us + (1.0 - idle) * busy_us
    bits = 8.0 * at_least_one(frames) * positive(payload_octets)
    return success * bits / (mean_us * phy_rate_mbps(mode, width_mhz, mcs, streams, guard_interval_us))


def anomaly_mbps(
    rate_mbps: ArrayLike,
    overhead_us: ArrayLike,
    payload_octets: ArrayLike = 1472.0,
    window: int = SMALLEST_WINDOW,
    slot_us: ArrayLike = SLOT_US,
) -> FloatArray:
    r"""What each of several busy stations gets when each sends one frame in turn: the slow one sets the pace.

    Parameters
    ----------
    rate_mbps : array_like of float, shape (..., s)
        Rate on the air of each station, > 0; pad rows with infinity. [Mbit/s]
    overhead_us : array_like of float, shape (...)
        Everything of an exchange but the payload and the back-off. [us]
    payload_octets : array_like of float, shape (...), default 1472
        Payload of each exchange. [octet]
    window : int, default 15
        Smallest contention window.
    slot_us : array_like of float, shape (...), default 9
        One slot of back-off. [us]

    Returns
    -------
    ndarray of float, shape (...)
        Throughput of each station; NaN where a rate is NaN or not positive, or there is no station. [Mbit/s]

    Raises
    ------
    ValueError
        `window` is less than 1.

    Notes
    -----
    .. math:: X = \frac{s}{\sum_i T_i + N P_c t_{jam}}, \quad T_i = t_{ov} + s / R_i + t_{cont}

    .. math:: P_c = 1 - (1 - 1 / W)^{N - 1}, \quad t_{cont} = \sigma \frac{1 + P_c}{2 N} \frac{W}{2}

    and t_jam the mean over all pairs of the longer exchange of the pair, which for one slow station among fast ones is
    the source's (2/N) T_s + (1 - 2/N) T_f. Source: [HEUSSE]_, 2003, sections II and III. Its count of collisions is an
    approximation: against a simulation of every slot it lies within 5 % up to four stations, and 12 % low with nine.

    Examples
    --------
    >>> anomaly_mbps([[130, 130], [130, 13]], 130).round(1)
    array([23.1,  8.2])
    """
    if window < 1:
        raise ValueError("the contention window must be at least 1")
    rate = float_array(rate_mbps)
    present = ~np.isposinf(rate)
    count = np.count_nonzero(present, axis=-1).astype(np.float64)
    count = nan_unless(count > 0, count)
    collide = 1.0 - np.power(1.0 - 1.0 / window, count - 1.0)
    payload_bits = 8.0 * positive(payload_octets)
    waited_us = not_negative(slot_us) * (1.0 + collide) / (2.0 * count) * (window / 2.0)
    with np.errstate(divide="ignore"):
        sending_us = nan_unless(rate > 0, payload_bits[..., np.newaxis] / rate)
    turns_us = np.where(present, sending_us + (not_negative(overhead_us) + waited_us)[..., np.newaxis], 0.0)
    ordered_us = np.sort(turns_us, axis=-1)
    absent = rate.shape[-1] - count
    round_us: FloatArray = np.zeros_like(count)
    longer_us: FloatArray = np.zeros_like(count)
    for column in range(rate.shape[-1]):
        round_us = round_us + ordered_us[..., column]
        longer_us = longer_us + ordered_us[..., column] * np.maximum(column - absent, 0.0)
    pairs = np.maximum(count * (count - 1.0) / 2.0, 1.0)
    return payload_bits / (round_us + count * collide * longer_us / pairs)
