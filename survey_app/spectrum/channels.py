"""Channel arithmetic: centres, spans, members of a wide channel, overlap.

A channel is named by the number of the **middle** of its block: 102 at 40 MHz is 5490-5530 MHz, made of 100 and 104.
Numbers up to 14 lie in the 2.4 GHz band, all others count 5 MHz steps from 5000 MHz.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.decibels import to_db

__all__ = [
    "STANDARD_CHANNELS",
    "centre_mhz",
    "channel_of",
    "channels_in_words",
    "members",
    "middle_mhz",
    "overlap_fraction",
    "overlap_loss_db",
    "overlap_mhz",
    "span_mhz",
]

STANDARD_CHANNELS: dict[int, tuple[int, ...]] = {
    20: (*range(36, 65, 4), *range(100, 145, 4), *range(149, 178, 4)),
    40: (38, 46, 54, 62, 102, 110, 118, 126, 134, 142, 151, 159, 167, 175),
    80: (42, 58, 106, 122, 138, 155, 171),
    160: (50, 114, 163),
}
"""Channel numbers of the 5 GHz raster by width in MHz. Source: [IEEE80211]_, 2020, Annex E."""

_STEP_MHZ = 5.0
_LAST_LOW_BAND_CHANNEL = 13
_JAPAN_CHANNEL = 14


def centre_mhz(channel: ArrayLike) -> FloatArray:
    r"""Centre frequency of a channel.

    Parameters
    ----------
    channel : array_like of int, shape (...)
        Number of the middle of the block, 1 to 200.

    Returns
    -------
    ndarray of float, shape (...)
        Centre; NaN where the number is NaN, not whole, or outside 1 to 200. [MHz]

    Notes
    -----
    .. math:: f = 2407 + 5 n \quad (n \le 13), \qquad f = 5000 + 5 n \quad (n > 14)

    Channel 14 stands alone at 2484 MHz. Source: [IEEE80211]_, 2020, Annex E.

    Examples
    --------
    >>> centre_mhz([36, 102, 155, 6])
    array([5180., 5510., 5775., 2437.])
    """
    number = float_array(channel)
    usable = (number >= 1) & (number <= 200) & (np.floor(number) == number)
    low_band = np.where(number == _JAPAN_CHANNEL, 2484.0, 2407.0 + _STEP_MHZ * number)
    return nan_unless(usable, np.where(number <= _JAPAN_CHANNEL, low_band, 5000.0 + _STEP_MHZ * number))


@lru_cache(maxsize=512)
def middle_mhz(channel: int) -> float:
    """Return `centre_mhz` of one channel as a plain number; every channel is worked out once. [MHz]

    Parameters
    ----------
    channel : int
        Number of the middle of the block.

    Examples
    --------
    >>> middle_mhz(102)
    5510.0
    """
    return float(centre_mhz(channel))


def channel_of(centre_mhz: float) -> int | None:
    """Return the channel number whose middle lies at a frequency, or None where the raster has none.

    Parameters
    ----------
    centre_mhz : float
        Centre of the block. [MHz]

    Examples
    --------
    >>> channel_of(5510.0), channel_of(2437.0), channel_of(5511.0)
    (102, 6, None)
    """
    if centre_mhz == 2484.0:
        return _JAPAN_CHANNEL
    low_band = centre_mhz < 3000.0
    steps = (centre_mhz - (2407.0 if low_band else 5000.0)) / _STEP_MHZ
    number = round(steps) if np.isfinite(steps) else 0
    lowest, highest = (1, _LAST_LOW_BAND_CHANNEL) if low_band else (_JAPAN_CHANNEL + 1, 200)
    return number if steps == number and lowest <= number <= highest else None


def span_mhz(centre_mhz: ArrayLike, width_mhz: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Lower and upper edge of a channel.

    Parameters
    ----------
    centre_mhz, width_mhz : array_like of float, broadcast together
        Centre and width of the block. [MHz]

    Returns
    -------
    tuple of two ndarrays of float, broadcast shape
        Lower and upper edge; NaN where an input is NaN or the width is not positive. [MHz]

    Examples
    --------
    >>> [float(edge) for edge in span_mhz(5510, 40)]
    [5490.0, 5530.0]
    """
    centre, width = np.broadcast_arrays(float_array(centre_mhz), float_array(width_mhz))
    half = nan_unless(width > 0, width) / 2.0
    return centre - half, centre + half


def members(channel: int, width_mhz: int) -> tuple[int, ...]:
    """Return the 20 MHz channels inside a wide channel, from the lowest.

    Parameters
    ----------
    channel : int
        Number of the middle of the block.
    width_mhz : int
        20, 40, 80 or 160; a narrower channel is its own only member.

    Raises
    ------
    ValueError
        The width is not one of those.

    Examples
    --------
    >>> members(102, 40), members(155, 80), members(36, 20)
    ((100, 104), (149, 153, 157, 161), (36,))
    """
    if width_mhz in (5, 10, 20):
        return (channel,)
    if width_mhz not in (40, 80, 160):
        raise ValueError(f"a channel is 5, 10, 20, 40, 80 or 160 MHz wide, not {width_mhz}")
    reach = width_mhz // 10 - 2
    return tuple(range(channel - reach, channel + reach + 1, 4))


def overlap_mhz(first: tuple[float, float], second: tuple[float, float]) -> float:
    """Width that two spans share, 0 where they only touch.

    Parameters
    ----------
    first, second : tuple of two floats
        Lower and upper edge of each span. [MHz]

    Examples
    --------
    >>> overlap_mhz((5230, 5250), (5250, 5350)), overlap_mhz((5710, 5730), (5725, 5850))
    (0.0, 5.0)
    """
    return float(max(0.0, min(first[1], second[1]) - max(first[0], second[0])))


def overlap_fraction(
    from_mhz: ArrayLike, from_width_mhz: ArrayLike, into_mhz: ArrayLike, into_width_mhz: ArrayLike
) -> FloatArray:
    r"""Part of one channel's power that falls into another channel, for a flat spectrum without skirts.

    Parameters
    ----------
    from_mhz, from_width_mhz : array_like of float
        Centre and width of the channel that sends. [MHz]
    into_mhz, into_width_mhz : array_like of float, broadcast with the others
        Centre and width of the channel that hears. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        0 (apart, or only touching) to 1 (wholly inside); NaN where an input is NaN or a width is not positive. [1]

    Notes
    -----
    .. math:: \frac{1}{B_1} \max\left(0, \min\left(\frac{B_1 + B_2}{2} - |f_1 - f_2|, B_1, B_2\right)\right)

    Common practice, no source. Two channels overlap where the result is above 0; the fraction is not symmetric.

    Examples
    --------
    >>> overlap_fraction(5510, 40, 5500, 20), overlap_fraction(5500, 20, 5510, 40), overlap_fraction(5500, 20, 5520, 20)
    (array(0.5), array(1.), array(0.))
    """
    f1, b1, f2, b2 = np.broadcast_arrays(*map(float_array, (from_mhz, from_width_mhz, into_mhz, into_width_mhz)))
    b1, b2 = nan_unless(b1 > 0, b1), nan_unless(b2 > 0, b2)
    shared = np.minimum(np.minimum((b1 + b2) / 2.0 - np.abs(f1 - f2), b1), b2)
    return np.asarray(np.maximum(0.0, shared) / b1)


def overlap_loss_db(
    from_mhz: ArrayLike, from_width_mhz: ArrayLike, into_mhz: ArrayLike, into_width_mhz: ArrayLike
) -> FloatArray:
    """What an overlapping channel loses because only part of its power falls into the other.

    Parameters
    ----------
    from_mhz, from_width_mhz, into_mhz, into_width_mhz : array_like of float, broadcast together
        As for `overlap_fraction`. [MHz]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss, >= 0; infinite where the channels do not overlap. [dB]

    Examples
    --------
    >>> round(float(overlap_loss_db(5510, 40, 5500, 20)), 2)
    3.01
    """
    # 0 - x instead of -x: no minus zero where the channels are the same
    return np.asarray(0.0 - to_db(overlap_fraction(from_mhz, from_width_mhz, into_mhz, into_width_mhz)))


def channels_in_words(channels: Iterable[int], width_mhz: int = 20) -> str:
    """Write channels as people do: neighbours joined to a stretch.

    Parameters
    ----------
    channels : iterable of int
        Channel numbers of one width.
    width_mhz : int, default 20
        Their width, which says what a neighbour is.

    Examples
    --------
    >>> channels_in_words([100, 104, 108, 112, 116, 132, 136, 140, 153])
    '100-116, 132-140, 153'
    """
    step = max(1, width_mhz // 5)
    stretches: list[list[int]] = []
    for number in sorted(set(channels)):
        if stretches and number - stretches[-1][1] == step:
            stretches[-1][1] = number
        else:
            stretches.append([number, number])
    return ", ".join(_stretch(stretch) for stretch in stretches)


def _stretch(ends: Sequence[int]) -> str:
    return str(ends[0]) if ends[0] == ends[1] else f"{ends[0]}-{ends[1]}"
