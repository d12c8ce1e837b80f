"""The picture: what a camera must show, how many bits that takes, and how long they last on disk."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.domains import at_least_one, fraction, not_negative, positive

__all__ = [
    "BITS_PER_PIXEL",
    "GB_PER_DAY_PER_MBPS",
    "OVERHEAD_FACTOR",
    "PURPOSES_PX_PER_M",
    "TUNNEL_OVERHEAD_FACTOR",
    "demand_mbps",
    "overhead_factor",
    "purpose_reached",
    "px_per_m",
    "recording_days",
    "required_px_per_m",
    "scene_width_m",
    "storage_gb_per_day",
    "storage_needed_tb",
    "video_rate_mbps",
    "view_angle_deg",
    "widest_scene_m",
]

#: Pixels on a metre of target that each purpose wants, from the least to the most. [EN62676]_, 2014 / 2015.
PURPOSES_PX_PER_M: Final = {
    "monitor": 12.5,
    "detect": 25.0,
    "observe": 62.5,
    "recognise": 125.0,
    "identify": 250.0,
    "inspect": 1000.0,
}

#: Bits for each pixel of each picture: common practice ([PRACTICE]_), the second also in [H264REST]_.
BITS_PER_PIXEL: Final = {"quiet or H.265": 0.05, "moderate": 0.07, "typical H.264": 0.10, "busy": 0.14}

#: Overhead to plan with when the packet size is not known, without and with a tunnel. [PRACTICE]_.
OVERHEAD_FACTOR: Final = 1.06
TUNNEL_OVERHEAD_FACTOR: Final = 1.10

#: One megabit a second for a day, in 10^9 octets.
GB_PER_DAY_PER_MBPS: Final = 10.8

# Octets around the payload of a packet: real-time 12, UDP 8, IPv4 20; Ethernet 18 more; preamble and gap 20 more.
_OVERHEAD_OCTETS = {"ip": 40.0, "ethernet": 58.0, "wire": 78.0}


def video_rate_mbps(
    width_px: ArrayLike, height_px: ArrayLike, frames_per_s: ArrayLike, bits_per_pixel: ArrayLike
) -> FloatArray:
    r"""Bit rate of a video stream.

    Parameters
    ----------
    width_px, height_px : array_like of float, shape (...)
        Size of the picture, > 0. [px]
    frames_per_s : array_like of float, broadcast with them
        Pictures a second, > 0. [1/s]
    bits_per_pixel : array_like of float, broadcast with them
        Bits for each pixel of each picture, > 0; see `BITS_PER_PIXEL`. [bit]

    Returns
    -------
    ndarray of float, broadcast shape
        Rate before overhead; NaN where an input is NaN or not positive. [Mbit/s]

    Notes
    -----
    .. math:: R = w\, h\, f\, b / 10^6

    The cap set in the camera outranks this. Source: [H264REST]_, 2009, with 0.07 bit per pixel and a motion rank.

    Examples
    --------
    >>> round(float(video_rate_mbps(1280, 720, 24, 0.14)), 6)
    3.096576
    """
    pixels = positive(width_px) * positive(height_px)
    return pixels * positive(frames_per_s) * positive(bits_per_pixel) / 1e6


def overhead_factor(payload_octets: ArrayLike, layer: str = "ethernet") -> FloatArray:
    r"""What packet headers add to a video rate.

    Parameters
    ----------
    payload_octets : array_like of float, shape (...)
        Video in each packet, > 0. [octet]
    layer : {"ip", "ethernet", "wire"}, default "ethernet"
        How far down headers are counted.

    Returns
    -------
    ndarray of float, shape (...)
        Factor > 1; NaN where the payload is NaN or not positive.

    Raises
    ------
    UnknownNameError
        `layer` is none of these.

    Notes
    -----
    .. math:: f = (n + h) / n

    with h = 40 (real-time 12, UDP 8, IPv4 20), 58 (Ethernet 18) or 78 octets (preamble and gap 20). Source: [RFC3550]_
    with RFC 768 and 791; [IEEE8023]_ for Ethernet.

    Examples
    --------
    >>> round(float(overhead_factor(1400)), 4)
    1.0414
    """
    if layer not in _OVERHEAD_OCTETS:
        raise UnknownNameError(f"unknown layer {layer!r}", remedy=f"use one of {', '.join(_OVERHEAD_OCTETS)}")
    payload = positive(payload_octets)
    return (payload + _OVERHEAD_OCTETS[layer]) / payload


def demand_mbps(
    video_mbps: ArrayLike,
    factor: ArrayLike = OVERHEAD_FACTOR,
    viewers: ArrayLike = 0,
    night_factor: ArrayLike = 1.0,
) -> FloatArray:
    r"""What a camera asks of every hop on its way.

    Parameters
    ----------
    video_mbps : array_like of float, shape (...)
        Rate of one stream, >= 0. [Mbit/s]
    factor : array_like of float, broadcast with it, default 1.06
        Overhead, >= 1.
    viewers : array_like of float, broadcast with it, default 0
        Further streams of the same rate to viewers that the recorder does not serve, >= 0.
    night_factor : array_like of float, broadcast with it, default 1
        What noise in the dark adds to an uncapped rate, >= 1; 1.3 to 2 is usual ([PRACTICE]_).

    Returns
    -------
    ndarray of float, broadcast shape
        Demand; NaN where an input is NaN or out of domain. [Mbit/s]

    Notes
    -----
    .. math:: D = R f (1 + n) k

    Common practice, [PRACTICE]_.

    Examples
    --------
    >>> round(float(demand_mbps(4)), 2)
    4.24
    """
    stream_mbps = not_negative(video_mbps) * at_least_one(factor)
    return stream_mbps * (1.0 + not_negative(viewers)) * at_least_one(night_factor)


def scene_width_m(view_deg: ArrayLike, distance_m: ArrayLike) -> FloatArray:
    r"""Width of what a camera sees, at right angles to its axis.

    Parameters
    ----------
    view_deg : array_like of float, shape (...)
        Horizontal angle of view, between 0 and 180. [deg]
    distance_m : array_like of float, broadcast with it
        Distance along the axis, > 0. [m]

    Returns
    -------
    ndarray of float, broadcast shape
        Width; NaN where an input is NaN or out of domain. [m]

    Notes
    -----
    .. math:: w = 2 d \tan(\alpha / 2)

    Geometry of a lens without distortion.

    Examples
    --------
    >>> round(float(scene_width_m(96, 60)), 1)
    133.3
    """
    view = float_array(view_deg)
    half = np.deg2rad(nan_unless((view > 0) & (view < 180), view)) / 2.0
    return 2.0 * positive(distance_m) * np.tan(half)


def view_angle_deg(scene_width_m: ArrayLike, distance_m: ArrayLike) -> FloatArray:
    r"""Horizontal angle of view that shows a scene of a width.

    Parameters
    ----------
    scene_width_m : array_like of float, shape (...)
        Width of the scene at right angles to the axis, > 0. [m]
    distance_m : array_like of float, broadcast with it
        Distance along the axis, > 0. [m]

    Returns
    -------
    ndarray of float, broadcast shape
        Angle between 0 and 180; NaN where an input is NaN or not positive. [deg]

    Notes
    -----
    .. math:: \alpha = 2 \arctan(w / 2 d)

    The inverse of `scene_width_m`.

    Examples
    --------
    >>> round(float(view_angle_deg(133.27, 60)), 2)
    96.0
    """
    return np.rad2deg(2.0 * np.arctan2(positive(scene_width_m), 2.0 * positive(distance_m)))


def px_per_m(width_px: ArrayLike, scene_width_m: ArrayLike) -> FloatArray:
    """Pixels on a metre of the target.

    Parameters
    ----------
    width_px : array_like of float, shape (...)
        Width of the picture, > 0. [px]
    scene_width_m : array_like of float, broadcast with it
        Width of the scene at the target, > 0. [m]

    Returns
    -------
    ndarray of float, broadcast shape
        Density; NaN where an input is NaN or not positive. [px/m]

    Notes
    -----
    Definition of [EN62676]_.

    Examples
    --------
    >>> round(float(px_per_m(2688, 133.3)), 1)
    20.2
    """
    return positive(width_px) / positive(scene_width_m)


def required_px_per_m(purpose: str) -> float:
    """Density that a purpose wants.

    Parameters
    ----------
    purpose : {"monitor", "detect", "observe", "recognise", "identify", "inspect"}
        Why the camera is there.

    Returns
    -------
    float
        Density. [px/m]

    Raises
    ------
    UnknownNameError
        `purpose` is none of these.

    Notes
    -----
    Source: [EN62676]_, 2014 / 2015, as summarised in secondary pages. The edition of 2025 revises the classes.

    Examples
    --------
    >>> required_px_per_m("identify")
    250.0
    """
    if purpose not in PURPOSES_PX_PER_M:
        raise UnknownNameError(f"unknown purpose {purpose!r}", remedy=f"use one of {', '.join(PURPOSES_PX_PER_M)}")
    return PURPOSES_PX_PER_M[purpose]


def purpose_reached(density_px_per_m: float) -> str | None:
    """Return the most demanding purpose that a density serves.

    Parameters
    ----------
    density_px_per_m : float
        Pixels on a metre of the target. [px/m]

    Returns
    -------
    str or None
        Purpose; None below the least one, or where the density is NaN.

    Notes
    -----
    Source as `required_px_per_m`.

    Examples
    --------
    >>> purpose_reached(20.2)
    'monitor'
    """
    reached = [purpose for purpose, needed in PURPOSES_PX_PER_M.items() if density_px_per_m >= needed]
    return reached[-1] if reached else None


def widest_scene_m(width_px: ArrayLike, needed_px_per_m: ArrayLike) -> FloatArray:
    """Widest scene that still has a density.

    Parameters
    ----------
    width_px : array_like of float, shape (...)
        Width of the picture, > 0. [px]
    needed_px_per_m : array_like of float, broadcast with it
        Density, > 0. [px/m]

    Returns
    -------
    ndarray of float, broadcast shape
        Width; NaN where an input is NaN or not positive. [m]

    Notes
    -----
    `px_per_m` solved for the width.

    Examples
    --------
    >>> float(widest_scene_m(2688, 250))
    10.752
    """
    return positive(width_px) / positive(needed_px_per_m)


def storage_gb_per_day(rate_mbps: ArrayLike, recording_fraction: ArrayLike = 1.0) -> FloatArray:
    """What a stream fills in a day.

    Parameters
    ----------
    rate_mbps : array_like of float, shape (...)
        Mean rate while recording, >= 0. [Mbit/s]
    recording_fraction : array_like of float, broadcast with it, default 1
        Part of the day that is recorded, 0 to 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Storage in 10^9 octets; NaN where an input is NaN or out of domain. [GB/day]

    Notes
    -----
    86400 s / 8 bit / 1000.

    Examples
    --------
    >>> round(float(storage_gb_per_day(4)), 6)
    43.2
    """
    fraction = float_array(recording_fraction)
    return not_negative(rate_mbps) * GB_PER_DAY_PER_MBPS * nan_unless((fraction >= 0) & (fraction <= 1), fraction)


def recording_days(
    disk_tb: ArrayLike,
    gb_per_day: ArrayLike,
    formatted_fraction: ArrayLike = 0.93,
    fill_fraction: ArrayLike = 0.90,
) -> FloatArray:
    r"""How many days a recorder looks back.

    Parameters
    ----------
    disk_tb : array_like of float, shape (...)
        Capacity of all disks as sold, >= 0. [TB]
    gb_per_day : array_like of float, broadcast with it
        What all streams fill in a day, > 0. [GB/day]
    formatted_fraction : array_like of float, broadcast with it, default 0.93
        What formatting leaves; 1 where the capacity is already the usable one.
    fill_fraction : array_like of float, broadcast with it, default 0.90
        Part that may be filled.

    Returns
    -------
    ndarray of float, broadcast shape
        Days; NaN where an input is NaN or out of domain. [day]

    Notes
    -----
    .. math:: t = 1000\, C f_1 f_2 / Q

    Fractions are common practice, [PRACTICE]_.

    Examples
    --------
    >>> round(float(recording_days(32, 777.6)), 1)
    34.4
    """
    usable_gb = 1000.0 * not_negative(disk_tb) * fraction(formatted_fraction) * fraction(fill_fraction)
    return usable_gb / positive(gb_per_day)


def storage_needed_tb(
    days: ArrayLike,
    gb_per_day: ArrayLike,
    formatted_fraction: ArrayLike = 0.93,
    fill_fraction: ArrayLike = 0.90,
) -> FloatArray:
    """Capacity of disks, as sold, for a number of days.

    Parameters
    ----------
    days : array_like of float, shape (...)
        Days to look back, >= 0. [day]
    gb_per_day, formatted_fraction, fill_fraction : array_like of float, broadcast with it
        As in `recording_days`.

    Returns
    -------
    ndarray of float, broadcast shape
        Capacity; NaN where an input is NaN or out of domain. [TB]

    Notes
    -----
    `recording_days` solved for the capacity.

    Examples
    --------
    >>> round(float(storage_needed_tb(30, 777.6, 1.0, 1.0)), 3)
    23.328
    """
    filled_tb = not_negative(days) * not_negative(gb_per_day) / 1000.0
    return filled_tb / (fraction(formatted_fraction) * fraction(fill_fraction))
