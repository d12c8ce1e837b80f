"""Bursts: how late pictures come when the key pictures of several cameras meet on one air."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.domains import positive

__all__ = ["KEY_EVERY_S", "KEY_TIMES", "mean_wait_ms", "picture_bits", "picture_delay_ms"]

#: A key picture comes every two seconds and is six times as large as another: common practice ([PRACTICE]_).
KEY_EVERY_S: Final = 2.0
KEY_TIMES: Final = 6.0

_STEPS = 1024
_REACH = 9.2  # e to the minus this is 1e-4 of all pictures


def picture_bits(rate_mbps: ArrayLike, frames_fps: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Sizes of a camera's key picture and of its other pictures.

    Parameters
    ----------
    rate_mbps, frames_fps : array_like of float, broadcast together
        Rate of the stream [Mbit/s] and pictures a second, > 0.

    Returns
    -------
    tuple of two ndarrays of float, broadcast shape
        Key picture, other picture; NaN where an input is not positive. [bit]

    Notes
    -----
    Of all pictures between two key pictures one is six times as large, and together they keep the rate; slower than one
    picture in two seconds all are key pictures. Common practice, [PRACTICE]_.

    Examples
    --------
    >>> [float(size.round()) for size in picture_bits(8, 25)]
    [1745455.0, 290909.0]
    """
    rate, speed = positive(rate_mbps) * 1e6, positive(frames_fps)
    together = np.maximum(speed * KEY_EVERY_S, 1.0)
    other = rate / speed * together / (together - 1.0 + KEY_TIMES)
    lone = together == 1.0
    return np.where(lone, rate / speed, KEY_TIMES * other), np.where(lone, rate / speed, other)


def _load(service_ms: FloatArray, per_ms: FloatArray) -> FloatArray:
    return float_array(np.sum(service_ms * per_ms, axis=-1))


def mean_wait_ms(service_ms: ArrayLike, per_ms: ArrayLike) -> FloatArray:
    r"""Mean wait of pictures that come at random and are sent one after another.

    Parameters
    ----------
    service_ms, per_ms : array_like of float, shape (..., k)
        Time on the air of each kind of picture [ms], and how many of it come in a millisecond; pad rows with 0.

    Returns
    -------
    ndarray of float, shape (...)
        Wait before the first frame is sent; infinite where more comes than can be sent. [ms]

    Notes
    -----
    .. math:: W = \frac{\sum_i \lambda_i S_i^2}{2 (1 - \rho)}

    Source: [KLEINROCK]_, 1975, section 5.6 (Pollaczek and Khinchine).

    Examples
    --------
    >>> float(mean_wait_ms([10.0], [0.05]))
    5.0
    """
    service, arrivals = float_array(service_ms), float_array(per_ms)
    load = _load(service, arrivals)
    with np.errstate(divide="ignore", invalid="ignore"):
        wait = np.sum(arrivals * np.square(service), axis=-1) / (2.0 * (1.0 - load))
    return np.where(load < 1.0, wait, np.where(np.isnan(load), np.nan, np.inf))


def _waits(lengths: FloatArray, load: FloatArray) -> FloatArray:
    """Return the chance to wait at most n steps, shape (..., steps); `load` is that of each kind.

    The wait is a sum of a geometric number of residues ([KLEINROCK]_, 1975, (5.111)), the residue of a fixed length
    being even over that length: so each chance is a weighted sum of those before it.
    """
    shape = lengths.shape[:-1]
    density = np.where(load > 0.0, load / lengths, 0.0)
    scale = 1.0 / (1.0 - np.sum(0.5 * density, axis=-1))
    first = (1.0 - np.sum(load, axis=-1)) * scale
    chance = np.zeros((*shape, _STEPS))
    for row in np.ndindex(shape):
        # row by row: what stands beside a queue must not change its bits
        weight = np.zeros(_STEPS + 1)
        for length, each in zip(
            lengths[row].astype(np.intp).tolist(), (scale[row] * density[row]).tolist(), strict=True
        ):
            weight[:length] += each
            weight[min(length, _STEPS)] += 0.5 * each
        chance[row] = _renewed(float(first[row]), weight)
    return np.asarray(np.cumsum(chance, axis=-1))


def _renewed(first: float, weight: FloatArray) -> FloatArray:
    """Return the row that begins with a value and in which each is the sum of those before, weighted by distance."""
    row, backward = np.zeros(_STEPS), weight[1:_STEPS][::-1].copy()
    row[0] = first
    for step in range(1, _STEPS):
        row[step] = np.dot(backward[_STEPS - 1 - step :], row[:step])
    return row


def picture_delay_ms(service_ms: ArrayLike, per_ms: ArrayLike, part: float = 0.99) -> FloatArray:
    r"""How late a picture has wholly arrived that all but a small part come in before.

    Parameters
    ----------
    service_ms, per_ms : array_like of float, shape (..., k)
        As in `mean_wait_ms`.
    part : float, default 0.99
        Part of the pictures that come in before, 0 to less than 1.

    Returns
    -------
    ndarray of float, shape (...)
        Wait and time on the air; infinite where more comes than can be sent, 0 where nothing comes. [ms]

    Raises
    ------
    ValueError
        `part` is no such part.

    Notes
    -----
    Pictures of all cameras come at random moments and are sent in the order in which they come: the queue M/G/1
    ([KLEINROCK]_, 1975, chapter 5), worked out in 1024 steps. Cameras beat regularly, which crowds less than chance
    does, so this lies on the careful side; but cameras that were switched on together may all send their key pictures
    at one moment, for as long as they run: their sum is the worst.

    Examples
    --------
    >>> round(float(picture_delay_ms([10.0], [0.05])), 1)
    43.4
    """
    if not 0.0 <= part < 1.0:
        raise ValueError("the part must be at least 0 and less than 1")
    service, arrivals = np.broadcast_arrays(float_array(service_ms), float_array(per_ms))
    load = service * arrivals
    wanted = total = np.sum(load, axis=-1)
    usable = (total > 0.0) & (total < 1.0)
    service = np.where(usable[..., np.newaxis], service, 1.0)
    load = np.where(usable[..., np.newaxis], load, 0.5 / load.shape[-1])
    arrivals = np.where(usable[..., np.newaxis], arrivals, 0.5 / load.shape[-1])
    total = np.where(usable, total, 0.5)
    longest = np.max(np.where(arrivals > 0.0, service, 0.0), axis=-1)
    residue = np.sum(load * service, axis=-1) / (2.0 * total)
    # the longest takes a whole number of steps, and the last step lies beyond all but 1e-4 of the pictures
    steps = np.maximum(np.floor(_STEPS * longest / (3.0 * longest + _REACH * residue / (1.0 - total))), 1.0)
    step_ms = longest / steps
    lengths = np.maximum(np.round(service / step_ms[..., np.newaxis]), 1.0)
    below = _waits(lengths, load)
    kinds = arrivals / np.sum(arrivals, axis=-1)[..., np.newaxis]
    arrived = np.zeros_like(below)
    every = np.arange(_STEPS)
    for kind in range(service.shape[-1]):
        place = every - lengths[..., kind, np.newaxis].astype(np.intp)
        there = np.take_along_axis(below, np.maximum(place, 0), axis=-1)
        arrived = arrived + kinds[..., kind, np.newaxis] * np.where(place >= 0, there, 0.0)
    found = np.argmax(arrived >= part, axis=-1)
    delay = np.where(np.any(arrived >= part, axis=-1), found * step_ms, np.inf)
    return nan_unless(~np.isnan(wanted), np.where(usable, delay, np.where(wanted == 0.0, 0.0, np.inf)))
