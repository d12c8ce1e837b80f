"""Rates on the air: what a modulation, a width, a number of streams and a guard interval carry.

The index of a modulation counts per stream (0 to 11) and the number of streams stands beside it, in all three modes:
what an 802.11n radio calls MCS 15 is here index 7 with two streams.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import BoolArray, FloatArray, float_array, nan_unless

__all__ = [
    "CODING_RATES",
    "LEGACY_BITS_PER_SYMBOL",
    "LEGACY_CAP_MBPS",
    "LEGACY_RATES_MBPS",
    "MODES",
    "MODULATIONS",
    "at_mcs",
    "capped_rate_mbps",
    "data_bits_per_symbol",
    "lowest_mcs_for",
    "mcs_count",
    "phy_rate_mbps",
    "rate_name",
    "rate_table_mbps",
    "symbol_us",
]

#: Radio generations: 802.11n (high throughput), 802.11ac (very high throughput), 802.11ax (high efficiency).
MODES: Final = ("n", "ac", "ax")

#: Modulation of each index, [IEEE80211]_.
MODULATIONS: Final = (
    "BPSK",
    "QPSK",
    "QPSK",
    "16-QAM",
    "16-QAM",
    "64-QAM",
    "64-QAM",
    "64-QAM",
    "256-QAM",
    "256-QAM",
    "1024-QAM",
    "1024-QAM",
)

#: Coding rate of each index.
CODING_RATES: Final = ("1/2", "1/2", "3/4", "1/2", "3/4", "2/3", "3/4", "5/6", "3/4", "5/6", "3/4", "5/6")

#: The eight rates of 802.11a, which are all that is left when the encryption bars the faster modes.
LEGACY_RATES_MBPS: Final = (6.0, 9.0, 12.0, 18.0, 24.0, 36.0, 48.0, 54.0)

#: Data bits in one 4 us symbol of each of `LEGACY_RATES_MBPS`.
LEGACY_BITS_PER_SYMBOL: Final = (24, 36, 48, 72, 96, 144, 192, 216)

#: Highest rate with WEP or TKIP, [IEEE80211N]_ 8.1.5.
LEGACY_CAP_MBPS: Final = 54.0

_CODED_BITS = float_array((1, 2, 2, 4, 4, 6, 6, 6, 8, 8, 10, 10))  # per subcarrier and stream
_CODING_NUMERATOR = float_array([int(rate[0]) for rate in CODING_RATES])
_CODING_DENOMINATOR = float_array([int(rate[2]) for rate in CODING_RATES])
_MCS_COUNT = {"n": 8, "ac": 10, "ax": 12}
_DATA_SUBCARRIERS = {
    "n": {20: 52, 40: 108},
    "ac": {20: 52, 40: 108, 80: 234},
    "ax": {20: 234, 40: 468, 80: 980},
}
_GUARD_INTERVALS_US = {"n": (0.4, 0.8), "ac": (0.4, 0.8), "ax": (0.8, 1.6, 3.2)}
_TRANSFORM_US = {"n": 3.2, "ac": 3.2, "ax": 12.8}
_MAX_STREAMS = 4
# 802.11ac takes one more encoder for every further 600 Mbit/s at the short guard interval: 2160 bits in 3.6 us.
_ENCODER_BITS = 2160.0


def mcs_count(mode: str) -> int:
    """Return how many modulation indices a mode has.

    Parameters
    ----------
    mode : {"n", "ac", "ax"}
        Radio generation.

    Returns
    -------
    int
        8, 10 or 12; the indices run from 0 to one less.

    Raises
    ------
    UnknownNameError
        `mode` is none of `MODES`.

    Examples
    --------
    >>> mcs_count("ac")
    10
    """
    if mode not in _MCS_COUNT:
        raise UnknownNameError(f"unknown radio mode {mode!r}", remedy=f"use one of {', '.join(MODES)}")
    return _MCS_COUNT[mode]


def symbol_us(mode: str, guard_interval_us: ArrayLike) -> FloatArray:
    """Duration of one data symbol with its guard interval.

    Parameters
    ----------
    mode : {"n", "ac", "ax"}
        Radio generation.
    guard_interval_us : array_like of float, shape (...)
        0.4 or 0.8 in modes n and ac; 0.8, 1.6 or 3.2 in mode ax. [us]

    Returns
    -------
    ndarray of float, shape (...)
        Duration; NaN where the mode has no such guard interval. [us]

    Raises
    ------
    UnknownNameError
        `mode` is none of `MODES`.

    Notes
    -----
    3.2 us (n, ac) or 12.8 us (ax) of transform and the guard interval. Source: [IEEE80211]_, 2020, clauses 19 and 21;
    [IEEE80211]_, 802.11ax-2021, clause 27.

    Examples
    --------
    >>> float(symbol_us("n", 0.8))
    4.0
    """
    mcs_count(mode)
    guard_us = float_array(guard_interval_us)
    total_us = np.full(guard_us.shape, np.nan)
    for exact_us in _GUARD_INTERVALS_US[mode]:
        total_us = np.where(np.abs(guard_us - exact_us) < 1e-6, _TRANSFORM_US[mode] + exact_us, total_us)
    return total_us


def _exact_bits_per_symbol(mode: str, width_mhz: ArrayLike, mcs: ArrayLike, streams: ArrayLike) -> FloatArray:
    """Data bits in one symbol before any rounding; NaN where the combination does not exist."""
    width, index, spatial = np.broadcast_arrays(float_array(width_mhz), float_array(mcs), float_array(streams))
    subcarriers = np.full(width.shape, np.nan)
    for known_mhz, count in _DATA_SUBCARRIERS[mode].items():
        subcarriers = np.where(width == known_mhz, float(count), subcarriers)
    usable = (index >= 0) & (index < mcs_count(mode)) & (index == np.floor(index))
    usable &= (spatial >= 1) & (spatial <= _MAX_STREAMS) & (spatial == np.floor(spatial))
    row = np.where(usable, index, 0).astype(np.intp)
    coded = subcarriers * _CODED_BITS[row] * spatial
    data = coded * _CODING_NUMERATOR[row] / _CODING_DENOMINATOR[row]
    if mode == "ac":
        usable &= _fills_encoders(coded, data, _CODING_DENOMINATOR[row])
    return nan_unless(usable, data)


def _fills_encoders(coded: FloatArray, data: FloatArray, denominator: FloatArray) -> BoolArray:
    """Tell where the coded bits of a symbol share out evenly over the encoders and their puncturing pattern."""
    with np.errstate(invalid="ignore"):
        block = denominator * np.ceil(data / _ENCODER_BITS)
        result: BoolArray = np.isfinite(coded) & (np.fmod(coded, block) == 0.0)
    return result


def data_bits_per_symbol(mode: str, width_mhz: ArrayLike, mcs: ArrayLike, streams: ArrayLike) -> FloatArray:
    r"""Whole data bits in one symbol.

    Parameters
    ----------
    mode : {"n", "ac", "ax"}
        Radio generation.
    width_mhz : array_like of float, shape (...)
        Channel width: 20 or 40 (n), 20, 40 or 80 (ac, ax). [MHz]
    mcs : array_like of int, broadcast with `width_mhz`
        Modulation index per stream: 0 to 7 (n), 9 (ac) or 11 (ax).
    streams : array_like of int, broadcast with `width_mhz`
        Spatial streams, 1 to 4.

    Returns
    -------
    ndarray of float, broadcast shape
        Bits; NaN where the combination does not exist (see `phy_rate_mbps`). [1]

    Raises
    ------
    UnknownNameError
        `mode` is none of `MODES`.

    Notes
    -----
    .. math:: N_{DBPS} = \lfloor N_{SD} N_{BPSCS} r N_{SS} \rfloor

    The rounding down matters in mode ax alone. Source: [IEEE80211]_, 2020, clauses 19.5 and 21.5, and 802.11ax-2021,
    clause 27.5 (clause numbers from memory); the numbers for n and ac agree with the table printed in [MAC80211]_.

    Examples
    --------
    >>> float(data_bits_per_symbol("n", 40, 7, 2))
    1080.0
    """
    return np.floor(_exact_bits_per_symbol(mode, width_mhz, mcs, streams))


def phy_rate_mbps(
    mode: str, width_mhz: ArrayLike, mcs: ArrayLike, streams: ArrayLike, guard_interval_us: ArrayLike = 0.8
) -> FloatArray:
    r"""Rate on the air while data is being sent.

    Parameters
    ----------
    mode : {"n", "ac", "ax"}
        Radio generation.
    width_mhz : array_like of float, shape (...)
        Channel width: 20 or 40 (n), 20, 40 or 80 (ac, ax). [MHz]
    mcs : array_like of int, broadcast with `width_mhz`
        Modulation index per stream: 0 to 7 (n), 9 (ac) or 11 (ax).
    streams : array_like of int, broadcast with `width_mhz`
        Spatial streams, 1 to 4.
    guard_interval_us : array_like of float, broadcast with `width_mhz`, default 0.8
        0.4 or 0.8 (n, ac); 0.8, 1.6 or 3.2 (ax). [us]

    Returns
    -------
    ndarray of float, broadcast shape
        Rate; NaN where the combination does not exist: an index or width that the mode has not, and in mode ac those
        whose coded bits do not share out evenly (index 9 in 20 MHz with one, two or four streams; index 6 in 80 MHz
        with three). [Mbit/s]

    Raises
    ------
    UnknownNameError
        `mode` is none of `MODES`.

    Notes
    -----
    .. math:: R = \frac{N_{SD} N_{BPSCS} r N_{SS}}{T_{DFT} + T_{GI}}

    Source: [IEEE80211]_, 2020, clauses 19 and 21, and 802.11ax-2021, clause 27. In mode ax the printed tables round the
    bits of a symbol down first and differ by at most 0.1 Mbit/s.

    Examples
    --------
    >>> round(float(phy_rate_mbps("n", 40, 7, 2, 0.4)), 1)
    300.0
    >>> float(phy_rate_mbps("ac", 20, 9, 2))
    nan
    """
    return _exact_bits_per_symbol(mode, width_mhz, mcs, streams) / symbol_us(mode, guard_interval_us)


def rate_table_mbps(
    mode: str, width_mhz: ArrayLike, streams: ArrayLike, guard_interval_us: ArrayLike = 0.8
) -> FloatArray:
    """Rates of all modulation indices of a mode.

    Parameters
    ----------
    mode : {"n", "ac", "ax"}
        Radio generation.
    width_mhz, streams, guard_interval_us : array_like, broadcast together to shape (...)
        As in `phy_rate_mbps`.

    Returns
    -------
    ndarray of float, shape (..., m)
        Rate by index 0 to m - 1, m = 8, 10 or 12; NaN where the combination does not exist. [Mbit/s]

    Raises
    ------
    UnknownNameError
        `mode` is none of `MODES`.

    Notes
    -----
    Source as `phy_rate_mbps`.

    Examples
    --------
    >>> rate_table_mbps("n", 20, 1)
    array([ 6.5, 13. , 19.5, 26. , 39. , 52. , 58.5, 65. ])
    """
    width, spatial, guard_us = (float_array(a)[..., np.newaxis] for a in (width_mhz, streams, guard_interval_us))
    return phy_rate_mbps(mode, width, np.arange(mcs_count(mode)), spatial, guard_us)


def lowest_mcs_for(rate_mbps: ArrayLike, needed_mbps: ArrayLike) -> FloatArray:
    """Lowest modulation index that carries what is needed.

    Parameters
    ----------
    rate_mbps : array_like of float, shape (..., m)
        Rate by index, as `rate_table_mbps` gives it; NaN = that index is not to be had. [Mbit/s]
    needed_mbps : array_like of float, shape (...)
        Rate on the air that is needed. [Mbit/s]

    Returns
    -------
    ndarray of float, shape (...)
        Index as a whole number; m where no index reaches the need, NaN where the need is NaN.

    Examples
    --------
    >>> float(lowest_mcs_for(rate_table_mbps("n", 20, 2), 40))
    3.0
    """
    rate = float_array(rate_mbps)
    needed = float_array(needed_mbps)[..., np.newaxis]
    enough = rate >= needed
    found = np.where(enough.any(axis=-1), np.argmax(enough, axis=-1), rate.shape[-1]).astype(np.float64)
    return nan_unless(~np.isnan(needed[..., 0]), found)


def at_mcs(table: ArrayLike, mcs: ArrayLike) -> FloatArray:
    """Pick the entry of a table by modulation index.

    Parameters
    ----------
    table : array_like of float, shape (m,) or (..., m)
        Any quantity by index (rate, power, sensitivity, margin).
    mcs : array_like of float, shape (...)
        Whole-numbered index, as `lowest_mcs_for` and `receiver.highest_mcs` give it.

    Returns
    -------
    ndarray of float, shape (...)
        The entry, in the table's unit; NaN where the index is NaN or lies outside the table (-1 = none, m = too much).

    Examples
    --------
    >>> at_mcs([-92.0, -89.0], [0, 1, -1])
    array([-92., -89.,  nan])
    """
    values = float_array(table)
    index = float_array(mcs)
    usable = (index >= 0) & (index < values.shape[-1])
    row = np.where(usable, index, 0).astype(np.intp)[..., np.newaxis]
    shape = np.broadcast_shapes(values.shape[:-1], index.shape)
    spread = np.broadcast_to(values, (*shape, values.shape[-1]))
    picked = np.take_along_axis(spread, np.broadcast_to(row, (*shape, 1)), axis=-1)[..., 0]
    return nan_unless(usable, picked)


def capped_rate_mbps(rate_mbps: ArrayLike, legacy_encryption: ArrayLike) -> FloatArray:
    """Rate that is left when old encryption bars the faster modes.

    Parameters
    ----------
    rate_mbps : array_like of float, shape (...)
        Rate of the mode. [Mbit/s]
    legacy_encryption : array_like of bool, broadcast with `rate_mbps`
        True for WEP or TKIP; False for AES (CCMP, GCMP) or none.

    Returns
    -------
    ndarray of float, broadcast shape
        At most 54 where the encryption is old. [Mbit/s]

    Notes
    -----
    [IEEE80211N]_, 2009, 8.1.5 bars TKIP between high-throughput stations, and access-point software does the same for
    WEP ([HOSTAPD]_, 2.10), so that the rates of 802.11a remain.

    Examples
    --------
    >>> capped_rate_mbps([300, 26], True)
    array([54., 26.])
    """
    rate = float_array(rate_mbps)
    return np.where(np.asarray(legacy_encryption, dtype=bool) & (rate > LEGACY_CAP_MBPS), LEGACY_CAP_MBPS, rate)


def rate_name(mode: str, width_mhz: int, mcs: int, streams: int, guard_interval_us: float = 0.8) -> str:
    """Name of one rate, as a radio's own page words it.

    Parameters
    ----------
    mode : {"n", "ac", "ax"}
        Radio generation.
    width_mhz : int
        Channel width. [MHz]
    mcs : int
        Modulation index per stream.
    streams : int
        Spatial streams.
    guard_interval_us : float, default 0.8
        Guard interval. [us]

    Returns
    -------
    str
        Index as the mode counts it (through the streams in mode n), modulation, streams, width, guard interval, rate.

    Raises
    ------
    ValueError
        The combination does not exist.
    UnknownNameError
        `mode` is none of `MODES`.

    Examples
    --------
    >>> rate_name("n", 40, 7, 2, 0.4)
    'MCS 15 (64-QAM 5/6, 2 streams, 40 MHz, guard 0.4 µs): 300.0 Mbit/s'
    >>> rate_name("ac", 20, 8, 1)
    'MCS 8 (256-QAM 3/4, 1 stream, 20 MHz, guard 0.8 µs): 78.0 Mbit/s'
    """
    rate_mbps = float(phy_rate_mbps(mode, width_mhz, mcs, streams, guard_interval_us))
    if np.isnan(rate_mbps):
        raise ValueError(f"802.11{mode} has no index {mcs} with {streams} streams in {width_mhz} MHz")
    index = mcs + 8 * (streams - 1) if mode == "n" else mcs
    plural = "stream" if streams == 1 else "streams"
    return (
        f"MCS {index} ({MODULATIONS[mcs]} {CODING_RATES[mcs]}, {streams} {plural}, {width_mhz:g} MHz, "
        f"guard {guard_interval_us:g} µs): {rate_mbps:.1f} Mbit/s"
    )
