"""Transmit spectral masks and what leaks from one channel into another on the same mast."""

from __future__ import annotations

from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.decibels import from_db, to_db
from survey_app.spectrum.channels import overlap_loss_db

__all__ = ["ACIR_DEFAULT_DB", "Mode", "acir_db", "leakage_ratio_db", "occupied_width_mhz", "transmit_mask_dbr"]

Mode: TypeAlias = Literal["n", "ac", "ax"]
"""802.11 generation; n and ac share one mask."""

ACIR_DEFAULT_DB = (23.0, 39.0, 55.0)
"""Rejection of the adjacent channel, of the next, and three widths off or more.

The first two are what the receiver tests of [IEEE80211]_ (2020) ask of the least conforming pair, the same for every
rate; the third is common practice, [PRACTICE]_.
"""

_LEVELS_DBR = (0.0, -20.0, -28.0, -40.0)

_EDGES_MHZ: dict[Literal["old", "ax"], dict[float, tuple[float, float, float, float]]] = {
    # Offsets at which the mask stands at 0, -20, -28 and -40 dBr; 5 and 10 MHz are the 20 MHz mask at a slower clock.
    "old": {
        5.0: (2.25, 2.75, 5.0, 7.5),
        10.0: (4.5, 5.5, 10.0, 15.0),
        20.0: (9.0, 11.0, 20.0, 30.0),
        40.0: (19.0, 21.0, 40.0, 60.0),
        80.0: (39.0, 41.0, 80.0, 120.0),
        160.0: (79.0, 81.0, 160.0, 240.0),
    },
    "ax": {
        20.0: (9.75, 10.5, 20.0, 30.0),
        40.0: (19.5, 20.5, 40.0, 60.0),
        80.0: (39.5, 40.5, 80.0, 120.0),
        160.0: (79.5, 80.5, 160.0, 240.0),
    },
}


_OCCUPIED_MHZ: dict[Literal["old", "ax"], dict[float, float]] = {
    # From the outermost to the outermost subcarrier: 57, 117, 245 of 312.5 kHz; 245, 489, 1001 of 78.125 kHz.
    "old": {20.0: 57 * 0.3125, 40.0: 117 * 0.3125, 80.0: 245 * 0.3125},
    "ax": {20.0: 245 * 0.078125, 40.0: 489 * 0.078125, 80.0: 1001 * 0.078125},
}


def occupied_width_mhz(width_mhz: ArrayLike, mode: Mode = "n") -> FloatArray:
    """Width that the subcarriers of a channel fill, the cautious one to sum a density limit over.

    Parameters
    ----------
    width_mhz : array_like of float, shape (...)
        Channel width: 20, 40 or 80. [MHz]
    mode : {"n", "ac", "ax"}
        802.11 generation.

    Returns
    -------
    ndarray of float, shape (...)
        Occupied width; NaN for other widths. [MHz]

    Raises
    ------
    ValueError
        The mode is none of the three.

    Notes
    -----
    Outermost subcarriers times their spacing. Source: [IEEE80211]_, 2020 and its amendment ax of 2021, counts from
    memory.

    Examples
    --------
    >>> occupied_width_mhz([20, 40, 80])
    array([17.8125, 36.5625, 76.5625])
    """
    width = float_array(width_mhz)
    _check_mode(mode)
    found = np.full(width.shape, np.nan)
    for known, occupied in _OCCUPIED_MHZ["ax" if mode == "ax" else "old"].items():
        found[width == known] = occupied
    return found


def transmit_mask_dbr(offset_mhz: ArrayLike, width_mhz: ArrayLike, mode: Mode = "n") -> FloatArray:
    """Highest density that a conforming transmitter may have beside its channel, relative to its own.

    Parameters
    ----------
    offset_mhz : array_like of float
        Distance from the centre of the channel; the sign does not matter. [MHz]
    width_mhz : array_like of float, broadcast with `offset_mhz`
        Channel width: 5, 10, 20, 40, 80 or 160 (ax: from 20). [MHz]
    mode : {"n", "ac", "ax"}
        802.11 generation.

    Returns
    -------
    ndarray of float, broadcast shape
        0 down to -40; NaN where an input is NaN or the width has no mask. [dBr]

    Raises
    ------
    ValueError
        The mode is none of the three.

    Notes
    -----
    Straight in decibels between the breakpoints. Source: [IEEE80211]_, 2020, 19.3.18.1 and 21.3.17.1, and its
    amendment ax of 2021, 27.3.19.1, figures from memory; the pattern 20, 28, 40 dB is printed in [CFR15407]_, text of
    2024-02-06, (b)(7).

    Examples
    --------
    >>> transmit_mask_dbr([0, 10, 20, -30, 100], 20)
    array([  0., -10., -28., -40., -40.])
    """
    offset, width = np.broadcast_arrays(np.abs(float_array(offset_mhz)), float_array(width_mhz))
    edges = _edges(width, mode)
    level = np.zeros(offset.shape)
    for start, end, high, low in zip(edges[:-1], edges[1:], _LEVELS_DBR[:-1], _LEVELS_DBR[1:], strict=True):
        level = level + (low - high) * np.clip((offset - start) / (end - start), 0.0, 1.0)
    return level


def leakage_ratio_db(
    offset_mhz: ArrayLike, from_width_mhz: ArrayLike, into_width_mhz: ArrayLike, mode: Mode = "n"
) -> FloatArray:
    r"""Power of a transmitter over what its mask lets into another channel.

    Parameters
    ----------
    offset_mhz : array_like of float
        Distance between the two centres; the sign does not matter. [MHz]
    from_width_mhz : array_like of float
        Width of the channel that sends: 5, 10, 20, 40, 80 or 160. [MHz]
    into_width_mhz : array_like of float, broadcast with the others
        Width of the channel that hears, > 0. [MHz]
    mode : {"n", "ac", "ax"}
        802.11 generation of the transmitter.

    Returns
    -------
    ndarray of float, broadcast shape
        Leakage ratio, >= 0; NaN where an input is NaN or a width has no mask. [dB]

    Raises
    ------
    ValueError
        The mode is none of the three.

    Notes
    -----
    .. math:: -10 \log_{10} \frac{\int_{victim} M(f)\,df}{\int_{|f| \le f_{-40}} M(f)\,df}

    Integrated in closed form, segment by segment. It says what a transmitter at its mask would leak; a receiver's own
    filter adds to it, see `acir_db`. Source of the mask: [IEEE80211]_, 2020.

    Examples
    --------
    >>> [round(float(x), 1) for x in leakage_ratio_db([20, 40], 20, 20)]
    [23.5, 39.8]
    """
    offset, tx, rx = np.broadcast_arrays(*map(float_array, (offset_mhz, from_width_mhz, into_width_mhz)))
    offset = np.abs(offset)
    half = nan_unless(rx > 0, rx) / 2.0
    edges = _edges(tx, mode)
    into = _integral(offset + half, edges) - _integral(offset - half, edges)
    whole = 2.0 * _integral(edges[-1], edges)
    return np.maximum(0.0, to_db(whole / into))


def acir_db(
    offset_mhz: ArrayLike,
    from_width_mhz: ArrayLike,
    into_width_mhz: ArrayLike,
    steps_db: ArrayLike = ACIR_DEFAULT_DB,
) -> FloatArray:
    """How much weaker a neighbour on the same mast is inside a channel than it arrives.

    Parameters
    ----------
    offset_mhz : array_like of float, shape (...)
        Distance between the two centres; the sign does not matter. [MHz]
    from_width_mhz, into_width_mhz : array_like of float, broadcast with `offset_mhz`
        Width of the channel that sends and of the one that hears, > 0. [MHz]
    steps_db : array_like of float, shape (..., 3)
        Rejection of the adjacent channel, of the next, and three widths off or more. [dB]

    Returns
    -------
    ndarray of float, broadcast shape
        Rejection, >= 0: to be taken from the level that arrives. Where the channels overlap, what is lost because
        only part of the power falls inside, but never more than the first step; NaN where an input is NaN. [dB]

    Raises
    ------
    ValueError
        `steps_db` does not end in three figures.

    Notes
    -----
    The distance is counted in mean widths of the two channels: adjacent from 1, the next from 2, the third step from
    3. For the default steps see `ACIR_DEFAULT_DB`. Common practice, [PRACTICE]_.

    Examples
    --------
    >>> acir_db([0, 20, 40, 60], 20, 20)
    array([ 0., 23., 39., 55.])
    """
    steps = float_array(steps_db)
    if steps.ndim == 0 or steps.shape[-1] != 3:
        raise ValueError("steps_db needs three figures: adjacent, next, three widths off")
    offset, tx, rx, first, second, third = np.broadcast_arrays(
        np.abs(float_array(offset_mhz)),
        float_array(from_width_mhz),
        float_array(into_width_mhz),
        *(steps[..., k] for k in range(3)),
    )
    distance = offset / nan_unless((tx > 0) & (rx > 0), (tx + rx) / 2.0)
    overlapping = np.minimum(overlap_loss_db(0.0, tx, offset, rx), first)
    apart = np.select([distance >= 3.0, distance >= 2.0], [third, second], first)
    return nan_unless(~np.isnan(distance), np.where(distance < 1.0, overlapping, apart))


def _check_mode(mode: str) -> None:
    if mode not in ("n", "ac", "ax"):
        raise ValueError(f"the mode is n, ac or ax, not {mode!r}")


def _edges(width: FloatArray, mode: Mode) -> tuple[FloatArray, ...]:
    """Offsets of the breakpoints for each element, NaN where a width has no mask."""
    _check_mode(mode)
    found = [np.full(width.shape, np.nan) for _ in _LEVELS_DBR]
    for known, edges in _EDGES_MHZ["ax" if mode == "ax" else "old"].items():
        for row, edge in zip(found, edges, strict=True):
            row[width == known] = edge
    return tuple(found)


def _integral(offset: FloatArray, edges: tuple[FloatArray, ...]) -> FloatArray:
    """Power of the mask between the centre and an offset, negative on the other side; density 1 in the middle."""
    x = np.abs(offset)
    total = np.minimum(x, edges[0])
    for start, end, high, low in zip(edges[:-1], edges[1:], _LEVELS_DBR[:-1], _LEVELS_DBR[1:], strict=True):
        slope = (low - high) / (end - start) * (np.log(10.0) / 10.0)
        reached = np.clip(x, start, end) - start
        total = total + from_db(high) * np.expm1(slope * reached) / slope
    total = total + from_db(_LEVELS_DBR[-1]) * np.maximum(0.0, x - edges[-1])
    return np.copysign(total, offset)
