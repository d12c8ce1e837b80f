"""Turns: what each gets when stations with unlike frames and rates contend, and when they are given equal time."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.contention import BACKOFF_STAGES, SMALLEST_WINDOW, answer_to_collisions
from survey_app.physics.frames import SLOT_US

__all__ = ["equal_time_mbps", "turn_probability", "turns_mbps"]

_ROUNDS = 200


def _product_in_order(factors: FloatArray) -> FloatArray:
    total: FloatArray = np.ones(factors.shape[:-1])
    for column in range(factors.shape[-1]):
        total = total * factors[..., column]
    return total


def turn_probability(
    lost_fraction: ArrayLike, window: int = SMALLEST_WINDOW, stages: int = BACKOFF_STAGES
) -> FloatArray:
    r"""Chance that each of several senders that always have something to send begins in a given slot.

    Parameters
    ----------
    lost_fraction : array_like of float, shape (..., s)
        Chance that a turn of each is lost without any collision, 0 to less than 1; pad rows with NaN.
    window, stages : int
        As in `contention.transmit_probability`.

    Returns
    -------
    ndarray of float, shape (..., s)
        Probability; 0 in padding.

    Notes
    -----
    .. math:: p_i = 1 - (1 - e_i) \prod_{j \ne i} (1 - \tau_j)

    with each :math:`\tau_i` the answer to its own :math:`p_i`: a sender cannot tell a lost turn from a collision.
    Source: [BIANCHI]_, 2000, equations (7) and (9), with unlike senders.

    Examples
    --------
    >>> turn_probability([0, 0, 0, 0, 0]).round(4)
    array([0.0761, 0.0761, 0.0761, 0.0761, 0.0761])
    """
    lost = float_array(lost_fraction)
    here = ~np.isnan(lost)
    heard = np.where(here, 1.0 - lost, 1.0)
    transmit = np.where(here, 2.0 / (window + 2.0), 0.0)
    for _ in range(_ROUNDS):
        quiet = _product_in_order(1.0 - transmit)[..., np.newaxis] / (1.0 - transmit)
        answer = answer_to_collisions(1.0 - heard * quiet, window, stages)
        transmit = np.where(here, 0.5 * (transmit + answer), 0.0)
    return transmit


def turns_mbps(
    bits: ArrayLike, turn_us: ArrayLike, loss_fraction: ArrayLike, frames: ArrayLike, slot_us: ArrayLike = SLOT_US
) -> FloatArray:
    r"""What each of several senders gets that contend turn by turn: the rate anomaly, with unlike frames and losses.

    Parameters
    ----------
    bits : array_like of float, shape (..., s)
        Payload of one turn of each, > 0. [bit]
    turn_us : array_like of float, shape (..., s)
        Time of one turn without back-off; pad rows with NaN. [us]
    loss_fraction : array_like of float, shape (..., s)
        Part of its frames that is lost.
    frames : array_like of float, shape (..., s)
        Frames in one turn; a turn goes unanswered when all are lost.
    slot_us : array_like of float, shape (...), default 9
        One slot of back-off. [us]

    Returns
    -------
    ndarray of float, shape (..., s)
        Payload that arrives; 0 in padding. [Mbit/s]

    Notes
    -----
    .. math:: X_i = \frac{\tau_i \prod_{j \ne i} (1 - \tau_j) \, b_i (1 - p_i)}
        {\sigma \prod_j (1 - \tau_j) + \sum_k T_k \tau_k \prod_{l: T_l > T_k} (1 - \tau_l)}

    A busy slot lasts as long as the longest turn that began in it. All get turns alike, so that with equal frames all
    get the rate that the slowest allows. Source: [BIANCHI]_, 2000, (13), with unlike turns; [HEUSSE]_, 2003, II.

    Examples
    --------
    >>> turns_mbps([12e3, 12e3], [200, 1000], [0, 0], [1, 1]).round(2)
    array([8.61, 8.61])
    """
    duration = float_array(turn_us)
    here = ~np.isnan(duration)
    loss, count = float_array(loss_fraction), float_array(frames)
    transmit = turn_probability(np.where(here, np.power(loss, count), np.nan))
    order = np.argsort(-np.where(here, duration, 0.0), axis=-1, kind="stable")
    by_length = np.take_along_axis(np.where(here, duration, 0.0), order, axis=-1)
    chance = np.take_along_axis(transmit, order, axis=-1)
    none_longer: FloatArray = np.ones(duration.shape[:-1])
    busy_us: FloatArray = np.zeros(duration.shape[:-1])
    for column in range(duration.shape[-1]):
        busy_us = busy_us + by_length[..., column] * chance[..., column] * none_longer
        none_longer = none_longer * (1.0 - chance[..., column])
    mean_us = none_longer * float_array(slot_us) + busy_us
    alone = transmit * none_longer[..., np.newaxis] / (1.0 - transmit)
    return np.where(here, alone * float_array(bits) * (1.0 - loss) / mean_us[..., np.newaxis], 0.0)


def equal_time_mbps(bits: ArrayLike, turn_us: ArrayLike, loss_fraction: ArrayLike) -> FloatArray:
    r"""What each of several senders gets when all have the same time on the air.

    Parameters
    ----------
    bits, turn_us, loss_fraction : array_like of float, shape (..., s)
        As in `turns_mbps`, the turn with its wait; pad rows with NaN.

    Returns
    -------
    ndarray of float, shape (..., s)
        Payload that arrives; 0 in padding. [Mbit/s]

    Notes
    -----
    .. math:: X_i = b_i (1 - p_i) / (N T_i)

    Examples
    --------
    >>> equal_time_mbps([12e3, 12e3], [200, 1000], [0, 0])
    array([30.,  6.])
    """
    duration = float_array(turn_us)
    here = ~np.isnan(duration)
    count = np.maximum(np.count_nonzero(here, axis=-1), 1)[..., np.newaxis]
    each = float_array(bits) * (1.0 - float_array(loss_fraction)) / (count * nan_unless(duration > 0, duration))
    return np.where(here, each, 0.0)
