"""Frames: how many octets a camera's packet becomes on the air, and how long it takes."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.free_space import SPEED_OF_LIGHT_M_PER_S
from survey_app.physics.rates import data_bits_per_symbol, mcs_count, symbol_us

__all__ = [
    "ACK_OCTETS",
    "BLOCK_ACK_OCTETS",
    "BLOCK_ACK_WINDOW",
    "COVERAGE_CLASS_M",
    "COVERAGE_CLASS_US",
    "LONGEST_FRAME_US",
    "LONG_BLOCK_ACK_OCTETS",
    "MAX_AGGREGATE_OCTETS",
    "SIFS_US",
    "SLOT_US",
    "control_frame_us",
    "coverage_class",
    "frame_octets",
    "frame_us",
    "longest_aggregate",
    "preamble_us",
    "propagation_us",
    "subframe_octets",
]

#: Pause before every answer, and one slot of back-off, at 5 GHz. [IEEE80211]_ from memory, the pause also [MAC80211]_.
SIFS_US: Final = 16.0
SLOT_US: Final = 9.0

#: Longest frame on the air; longest aggregate; frames that one block acknowledgement covers. [IEEE80211]_ from memory.
LONGEST_FRAME_US: Final = 5484.0
MAX_AGGREGATE_OCTETS: Final = {"n": 65_535, "ac": 1_048_575, "ax": 1_048_575}
BLOCK_ACK_WINDOW: Final = {"n": 64, "ac": 64, "ax": 256}

#: Each coverage class allows 3 us more air time, one way over 450 m and back again, [IW]_.
COVERAGE_CLASS_US: Final = 3.0
COVERAGE_CLASS_M: Final = 450.0

#: Lengths of control frames: acknowledgement, block acknowledgement of 64 and of 256 frames. [IEEE80211]_ from memory.
ACK_OCTETS: Final = 14.0
BLOCK_ACK_OCTETS: Final = 32.0
LONG_BLOCK_ACK_OCTETS: Final = 56.0

# 8 UDP + 20 IPv4 + 8 link control + 26 MAC with quality of service + 4 check sum
_HEADER_OCTETS = 66.0
_CIPHER_OCTETS = 16.0
# Service and tail bits around the data of every frame.
_SERVICE_AND_TAIL_BITS = 22.0
# Training fields by number of streams.
_TRAINING_FIELDS = float_array((np.nan, 1, 2, 4, 4))
# In mode ax a training field takes twice 3.2 us, with the longest guard interval four times, and its guard interval.
_TRAINING_US = {0.8: 6.4, 1.6: 6.4, 3.2: 12.8}


def propagation_us(distance_m: ArrayLike) -> FloatArray:
    """Time that a signal takes one way.

    Parameters
    ----------
    distance_m : array_like of float, shape (...)
        Distance, >= 0. [m]

    Returns
    -------
    ndarray of float, shape (...)
        Time; NaN where the distance is NaN or negative. [us]

    Notes
    -----
    Speed of light in vacuum, [SI]_; air slows it by 0.03 %.

    Examples
    --------
    >>> round(float(propagation_us(1000)), 4)
    3.3356
    """
    distance = float_array(distance_m)
    return nan_unless(distance >= 0, distance) / (SPEED_OF_LIGHT_M_PER_S * 1e-6)


def coverage_class(distance_m: ArrayLike) -> FloatArray:
    r"""Distance setting of a radio.

    Parameters
    ----------
    distance_m : array_like of float, shape (...)
        Distance of the farthest station, >= 0. [m]

    Returns
    -------
    ndarray of float, shape (...)
        Whole number, 0 at no distance; each class lengthens the slot and the wait for an answer by 3 us. NaN where the
        distance is NaN or negative.

    Notes
    -----
    .. math:: c = \lfloor (d + 449) / 450 \rfloor

    Source: [IW]_, 5.19, which cites IEEE Std 802.11-2007, Table 7-27; d is taken in whole metres, rounded up.

    Examples
    --------
    >>> coverage_class([0, 450, 451])
    array([0., 1., 2.])
    """
    distance = float_array(distance_m)
    return np.ceil(nan_unless(distance >= 0, distance) / COVERAGE_CLASS_M)


def frame_octets(payload_octets: ArrayLike = 1472.0, cipher_octets: ArrayLike = _CIPHER_OCTETS) -> FloatArray:
    """Length of one data frame on the air.

    Parameters
    ----------
    payload_octets : array_like of float, shape (...), default 1472
        What the UDP packet carries, > 0. [octet]
    cipher_octets : array_like of float, broadcast with it, default 16
        Header and check of AES; 0 without encryption. [octet]

    Returns
    -------
    ndarray of float, broadcast shape
        UDP 8, IPv4 20, link control 8, MAC 26 and check sum 4 added; NaN where the payload is NaN or not positive.

    Notes
    -----
    Source: RFC 768 and 791 as in [RFC3550]_; MAC header with quality of service, [IEEE80211]_, 2020, 9.2.4.

    Examples
    --------
    >>> float(frame_octets())
    1554.0
    """
    payload = float_array(payload_octets)
    return nan_unless(payload > 0, payload) + _HEADER_OCTETS + float_array(cipher_octets)


def subframe_octets(frame_octets: ArrayLike) -> FloatArray:
    """Length that a frame takes inside an aggregate: delimiter of 4 octets, padded to a multiple of 4.

    Parameters
    ----------
    frame_octets : array_like of float, shape (...)
        Length of the frame. [octet]

    Returns
    -------
    ndarray of float, shape (...)
        Length; NaN where the input is NaN. [octet]

    Notes
    -----
    Source: [IEEE80211]_, 2020, 9.7 (from memory).

    Examples
    --------
    >>> float(subframe_octets(1554))
    1560.0
    """
    return 4.0 * np.ceil((float_array(frame_octets) + 4.0) / 4.0)


def control_frame_us(octets: ArrayLike) -> FloatArray:
    r"""Time of a control frame (acknowledgement, poll) at 24 Mbit/s.

    Parameters
    ----------
    octets : array_like of float, shape (...)
        Length of the frame. [octet]

    Returns
    -------
    ndarray of float, shape (...)
        Time with its preamble; NaN where the input is NaN. [us]

    Notes
    -----
    .. math:: T = 20 + 4 \lceil (16 + 8 n + 6) / 96 \rceil

    Source: [IEEE80211]_, 2020, 17.4.3.

    Examples
    --------
    >>> control_frame_us([14, 32])
    array([28., 32.])
    """
    return 20.0 + 4.0 * np.ceil((_SERVICE_AND_TAIL_BITS + 8.0 * float_array(octets)) / 96.0)


def preamble_us(mode: str, streams: ArrayLike, guard_interval_us: ArrayLike = 0.8) -> FloatArray:
    r"""Time before the data of a frame begins.

    Parameters
    ----------
    mode : {"n", "ac", "ax"}
        Radio generation.
    streams : array_like of int, shape (...)
        Spatial streams, 1 to 4.
    guard_interval_us : array_like of float, broadcast with it, default 0.8
        Guard interval; it lengthens the preamble in mode ax alone. [us]

    Returns
    -------
    ndarray of float, broadcast shape
        Time; NaN where the combination does not exist. [us]

    Raises
    ------
    UnknownNameError
        `mode` is not known.

    Notes
    -----
    n: 32 + 4 L; ac: 36 + 4 L; ax: 36 + (T + GI) L, with L = 1, 2, 4, 4 training fields for 1 to 4 streams and T = 6.4
    us (12.8 us at GI 3.2 us). Source: [IEEE80211]_, 2020, 19.3 and 21.3, and 802.11ax-2021, 27.3 (from memory).

    Examples
    --------
    >>> preamble_us("ax", [1, 2])
    array([43.2, 50.4])
    """
    mcs_count(mode)
    spatial = float_array(streams)
    guard = float_array(guard_interval_us)
    usable = (spatial >= 1) & (spatial <= 4) & (spatial == np.floor(spatial))
    fields = nan_unless(usable, _TRAINING_FIELDS[np.where(usable, spatial, 0).astype(np.intp)])
    if mode != "ax":
        return np.where(np.isnan(symbol_us(mode, guard)), np.nan, (32.0 if mode == "n" else 36.0) + 4.0 * fields)
    each = np.full(guard.shape, np.nan)
    for exact_us, training_us in _TRAINING_US.items():
        each = np.where(np.abs(guard - exact_us) < 1e-6, training_us + exact_us, each)
    return 36.0 + each * fields


def _octets_together(frames: FloatArray, payload_octets: ArrayLike, *, bare: bool) -> FloatArray:
    """Octets of all frames together; a lone frame may go without a delimiter."""
    single = frame_octets(payload_octets)
    packed = frames * subframe_octets(single)
    return np.where(frames == 1, single, packed) if bare else packed


def frame_us(
    mode: str,
    width_mhz: ArrayLike,
    mcs: ArrayLike,
    streams: ArrayLike,
    guard_interval_us: ArrayLike = 0.8,
    frames: ArrayLike = 1,
    payload_octets: ArrayLike = 1472.0,
    *,
    always_aggregate: bool = False,
) -> FloatArray:
    r"""Time on the air of one data frame or one aggregate of frames.

    Parameters
    ----------
    mode : {"n", "ac", "ax"}
        Radio generation.
    width_mhz, mcs, streams, guard_interval_us : array_like, broadcast together
        As in `rates.phy_rate_mbps`.
    frames : array_like of int, broadcast with them, default 1
        Frames in the aggregate, >= 1.
    payload_octets : array_like of float, broadcast with them, default 1472
        What each UDP packet carries. [octet]
    always_aggregate : bool, default False
        Send even a lone frame as an aggregate of one. In modes ac and ax it always is one.

    Returns
    -------
    ndarray of float, broadcast shape
        Preamble and whole symbols; NaN where the combination does not exist. [us]

    Raises
    ------
    UnknownNameError
        `mode` is not known.

    Notes
    -----
    .. math:: T = T_{pre} + T_{sym} \lceil (16 + 8 n + 6) / N_{DBPS} \rceil

    Source: [IEEE80211]_, 2020, 19.4.3 and 21.4.3. The rounding of short-guard frames up to whole 4 us is left out.

    Examples
    --------
    >>> round(float(frame_us("n", 40, 7, 2, 0.4, 32)), 1)
    1372.0
    """
    count = float_array(frames)
    count = nan_unless((count >= 1) & (count == np.floor(count)), count)
    bare = mode == "n" and not always_aggregate
    bits = _SERVICE_AND_TAIL_BITS + 8.0 * _octets_together(count, payload_octets, bare=bare)
    symbols = np.ceil(bits / data_bits_per_symbol(mode, width_mhz, mcs, streams))
    return preamble_us(mode, streams, guard_interval_us) + symbols * symbol_us(mode, guard_interval_us)


def longest_aggregate(
    mode: str,
    width_mhz: ArrayLike,
    mcs: ArrayLike,
    streams: ArrayLike,
    guard_interval_us: ArrayLike = 0.8,
    payload_octets: ArrayLike = 1472.0,
) -> FloatArray:
    """Most frames that one aggregate may hold.

    Parameters
    ----------
    mode, width_mhz, mcs, streams, guard_interval_us, payload_octets
        As in `frame_us`.

    Returns
    -------
    ndarray of float, broadcast shape
        Whole number >= 1, bounded by 5.484 ms on the air, by the aggregate's octets and by the block acknowledgement;
        NaN where the combination does not exist.

    Raises
    ------
    UnknownNameError
        `mode` is not known.

    Notes
    -----
    Source: [IEEE80211]_, 2020 and 802.11ax-2021 (from memory).

    Examples
    --------
    >>> float(longest_aggregate("n", 20, 3, 2))
    22.0
    """
    subframe = subframe_octets(frame_octets(payload_octets))
    room_us = LONGEST_FRAME_US - preamble_us(mode, streams, guard_interval_us)
    symbols = np.floor(room_us / symbol_us(mode, guard_interval_us))
    bits = symbols * data_bits_per_symbol(mode, width_mhz, mcs, streams) - _SERVICE_AND_TAIL_BITS
    by_time = np.floor(bits / (8.0 * subframe))
    by_length = np.minimum(np.floor(MAX_AGGREGATE_OCTETS[mode] / subframe), BLOCK_ACK_WINDOW[mode])
    return np.maximum(np.minimum(by_time, by_length), 1.0)
