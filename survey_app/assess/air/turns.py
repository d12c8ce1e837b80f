"""One direction of every hop on the air: its frames, how long a turn lasts, what is lost and sent again."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import HopArrays, IntArray, RadioArrays
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.efficiency import exchange_us
from survey_app.physics.frame_loss import attempts_per_frame, frame_loss_fraction
from survey_app.physics.frames import (
    BLOCK_ACK_OCTETS,
    COVERAGE_CLASS_US,
    SIFS_US,
    SLOT_US,
    control_frame_us,
    coverage_class,
    frame_octets,
    frame_us,
    longest_aggregate,
    propagation_us,
)

__all__ = ["MOST_TOGETHER", "RETURN_OCTETS", "VIDEO_OCTETS", "Turns", "is_video", "slots_us", "turns_of"]

VIDEO_OCTETS = 1472.0
RETURN_OCTETS = 100.0
"""Payload of a packet of video, and of a receipt or an order to the camera; common practice."""
MOST_TOGETHER = 16
"""Packets of video that wait together and so go out in one turn; cameras rarely fill more, common practice."""
_MODES = ("n", "ac", "ax")
_MEAN_BACKOFF_SLOTS = 7.5
_POLL_OCTETS, _POLL_GUARD_US = 24.0, 20.0


@dataclass(frozen=True)
class Turns:
    """One direction of all hops, shape (hops,) each; NaN where it carries no rate.

    Attributes
    ----------
    frames, bits : ndarray of float
        Frames of a turn, and their payload. [bit]
    busy_us, turn_us : ndarray of float
        A turn without and with its mean wait for the air. [us]
    lost_fraction : ndarray of float
        Part of its frames that is sent again.
    air_fraction : ndarray of float
        Time on the air that its demand takes, waits and repeats counted.
    """

    frames: FloatArray
    bits: FloatArray
    busy_us: FloatArray
    turn_us: FloatArray
    lost_fraction: FloatArray
    air_fraction: FloatArray


def is_video(demand_mbps: FloatArray, other_way_mbps: FloatArray) -> BoolArray:
    """Return which directions carry video: return traffic is a small part of what comes the other way."""
    carried: BoolArray = (demand_mbps > 0.0) & (demand_mbps >= 0.5 * other_way_mbps)
    return carried


def slots_us(distance_m: FloatArray) -> FloatArray:
    """Return the slot of hops whose radios are set to their distance. [us]"""
    return SLOT_US + COVERAGE_CLASS_US * coverage_class(distance_m)


def turns_of(
    radios: RadioArrays,
    hops: HopArrays,
    distance_m: FloatArray,
    scheduled: BoolArray,
    mcs: FloatArray,
    margin_db: FloatArray,
    demand_mbps: FloatArray,
    large: BoolArray,
) -> Turns:
    """Return the turns of one direction of all hops.

    Parameters
    ----------
    radios, hops : RadioArrays, HopArrays
        The site as arrays.
    distance_m, mcs, margin_db, demand_mbps : ndarray of float, shape (hops,)
        Length; rate index and margin over the sensitivity at it, with interference counted; traffic. [m, dB, Mbit/s]
    scheduled, large : ndarray of bool, shape (hops,)
        Whether the access point gives turns; whether full packets go this way.
    """
    a, s = hops.access_point, hops.station
    mode, streams = np.minimum(radios.mode[a], radios.mode[s]), np.minimum(radios.streams[a], radios.streams[s])
    octets = np.where(large, VIDEO_OCTETS, RETURN_OCTETS)
    index = np.where(mcs >= 0, mcs, np.nan)
    columns = np.full((4, len(mcs)), np.nan)
    for code, name in enumerate(_MODES):
        rows = np.flatnonzero((mode == code) & np.isfinite(index) & np.isfinite(distance_m))
        if len(rows):
            columns[:, rows] = _of_mode(name, hops, rows, index[rows], streams[rows], octets[rows], distance_m[rows])
    frames, contended, waited, polled = columns
    lost = frame_loss_fraction(margin_db, frame_octets(octets))
    bits = 8.0 * frames * octets
    turn = np.where(scheduled, polled, waited)
    with np.errstate(invalid="ignore"):
        air = demand_mbps * turn / bits * attempts_per_frame(lost)
    return Turns(
        frames=frames,
        bits=bits,
        busy_us=np.where(scheduled, polled, contended),
        turn_us=turn,
        lost_fraction=lost,
        air_fraction=np.where(demand_mbps > 0.0, air, 0.0),
    )


def _of_mode(
    name: str,
    hops: HopArrays,
    rows: IntArray,
    mcs: FloatArray,
    streams: IntArray,
    octets: FloatArray,
    distance_m: FloatArray,
) -> FloatArray:
    """Return frames, turn without and with back-off, and turn by schedule of hops of one mode, shape (4, rows)."""
    # narrow channels are the 20 MHz channel slowed down: frames and their pauses last as many times as long
    width = hops.width_mhz[rows]
    slowed = np.where(width < 20.0, 20.0 / width, 1.0)
    air = (name, np.maximum(width, 20.0), mcs, streams, hops.guard_interval_us[rows])
    frames = np.where(octets == VIDEO_OCTETS, np.minimum(longest_aggregate(*air, octets), MOST_TOGETHER), 1.0)
    contended = exchange_us(*air, frames, distance_m, octets, with_backoff=False)
    polled = (
        frame_us(*air, frames, octets, always_aggregate=True)
        + control_frame_us(BLOCK_ACK_OCTETS)
        + control_frame_us(_POLL_OCTETS)
        + _POLL_GUARD_US
        + 3.0 * SIFS_US
        + 4.0 * propagation_us(distance_m)
    )
    backoff = _MEAN_BACKOFF_SLOTS * slots_us(distance_m)
    return np.stack([frames, contended * slowed, (contended + backoff) * slowed, polled * slowed])
