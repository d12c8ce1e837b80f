"""Latency: how late a picture is."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.domains import not_negative

__all__ = [
    "TYPICAL_LATENCY_MS",
    "polling_bound_ms",
    "polling_latency_ms",
    "typical_latency_ms",
]

#: One-way delay of one hop, lowest and highest usual: common practice, no source ([PRACTICE]_).
TYPICAL_LATENCY_MS: Final = {
    "contention, light": (0.5, 2.0),
    "contention, loaded": (5.0, 30.0),
    "polled": (2.0, 6.0),
    "polled, bound": (5.0, 20.0),
}

# Above this part of the limit a contended hop counts as loaded.
_LOADED_FRACTION = 0.70


def typical_latency_ms(access: str, load_fraction: ArrayLike) -> FloatArray:
    """Usual one-way delay of one hop.

    Parameters
    ----------
    access : {"contention", "polled"}
        How the access point shares the channel.
    load_fraction : array_like of float, shape (...)
        Load of the channel, 1 = full.

    Returns
    -------
    ndarray of float, shape (..., 2)
        Lowest and highest usual delay (under contention above 70 % load: of the slowest 5 % of packets); infinite
        above a load of 1; NaN where the load is NaN or negative. [ms]

    Raises
    ------
    UnknownNameError
        `access` is neither.

    Notes
    -----
    Common practice without a source, [PRACTICE]_. Delays of the hops of a route add.

    Examples
    --------
    >>> typical_latency_ms("contention", 0.3)
    array([0.5, 2. ])
    """
    if access not in {"contention", "polled"}:
        raise UnknownNameError(f"unknown channel access {access!r}", remedy="use contention or polled")
    load = float_array(load_fraction)[..., np.newaxis]
    light = float_array(TYPICAL_LATENCY_MS["polled" if access == "polled" else "contention, light"])
    loaded = float_array(TYPICAL_LATENCY_MS["polled" if access == "polled" else "contention, loaded"])
    usual = np.where(load > _LOADED_FRACTION, loaded, light)
    return nan_unless(load >= 0, np.where(load > 1.0, np.inf, usual))


def polling_latency_ms(cycle_ms: ArrayLike, transmit_ms: ArrayLike) -> FloatArray:
    """Mean one-way delay of a polled hop.

    Parameters
    ----------
    cycle_ms : array_like of float, shape (...)
        Time from one poll of a station to the next, >= 0. [ms]
    transmit_ms : array_like of float, broadcast with it
        Time on the air of what waits, >= 0. [ms]

    Returns
    -------
    ndarray of float, broadcast shape
        Half a cycle and the transmission; NaN where an input is NaN or negative. [ms]

    Notes
    -----
    A packet arrives at any moment of the cycle alike; derived, no source.

    Examples
    --------
    >>> float(polling_latency_ms(5, 1))
    3.5
    """
    return 0.5 * not_negative(cycle_ms) + not_negative(transmit_ms)


def polling_bound_ms(cycle_ms: ArrayLike, transmit_ms: ArrayLike, repeats: ArrayLike = 0) -> FloatArray:
    """Longest one-way delay of a polled hop.

    Parameters
    ----------
    cycle_ms, transmit_ms : array_like of float, broadcast together
        As in `polling_latency_ms`. [ms]
    repeats : array_like of int, broadcast with them, default 0
        Transmissions that are lost and repeated, each a cycle later.

    Returns
    -------
    ndarray of float, broadcast shape
        Delay; NaN where an input is NaN or negative. [ms]

    Notes
    -----
    Derived, no source.

    Examples
    --------
    >>> float(polling_bound_ms(5, 1, 1))
    11.0
    """
    return (1.0 + not_negative(repeats)) * not_negative(cycle_ms) + not_negative(transmit_ms)
