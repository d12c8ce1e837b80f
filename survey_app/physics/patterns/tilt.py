"""Electrical tilt: the beam bends inside the antenna while the horizon stays where it is."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = ["beam_elevation_deg", "frame_elevation_deg"]


def beam_elevation_deg(elevation_off_deg: ArrayLike, electrical_downtilt_deg: ArrayLike) -> FloatArray:
    r"""Elevation in the untilted pattern that answers to an elevation in the antenna's frame.

    Parameters
    ----------
    elevation_off_deg : array_like of float, shape (...)
        Angle above the antenna's mechanical plane, -90 to 90. [deg]
    electrical_downtilt_deg : array_like of float, broadcast with `elevation_off_deg`
        Built-in tilt of the beam, down positive, above -90 and below 90. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Angle off the beam, -90 to 90, 0 at -`electrical_downtilt_deg`; NaN where an input is NaN or outside its
        range. [deg]

    Notes
    -----
    .. math:: \theta_e = 90 \frac{\theta + \beta}{90 \pm \beta}

    with the plus above the beam and the minus below it, so that zenith and nadir stay where they are.
    Source: [F1336]_, F.1336-5 (2019), recommends 2.5 and 3.5.

    Examples
    --------
    >>> beam_elevation_deg([-90, -5, 90], 5)
    array([-90.,   0.,  90.])
    """
    elevation_off_deg, tilt_deg = float_array(elevation_off_deg), float_array(electrical_downtilt_deg)
    elevation_off_deg = nan_unless(np.abs(elevation_off_deg) <= 90.0, elevation_off_deg)
    tilt_deg = nan_unless(np.abs(tilt_deg) < 90.0, tilt_deg)
    above_deg = elevation_off_deg + tilt_deg
    return 90.0 * above_deg / np.where(above_deg >= 0.0, 90.0 + tilt_deg, 90.0 - tilt_deg)


def frame_elevation_deg(beam_off_deg: ArrayLike, electrical_downtilt_deg: ArrayLike) -> FloatArray:
    """Elevation in the antenna's frame that answers to an angle off the beam: the inverse of `beam_elevation_deg`.

    Parameters
    ----------
    beam_off_deg : array_like of float, shape (...)
        Angle off the beam in the untilted pattern, -90 to 90. [deg]
    electrical_downtilt_deg : array_like of float, broadcast with `beam_off_deg`
        Built-in tilt of the beam, down positive, above -90 and below 90. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Angle above the antenna's mechanical plane, -90 to 90; NaN where an input is NaN or outside its range. [deg]

    Notes
    -----
    Source: [F1336]_, F.1336-5 (2019), recommends 2.5 and 3.5, inverted.

    Examples
    --------
    >>> round(float(frame_elevation_deg(4.737, 5)), 2)
    0.0
    """
    beam_off_deg, tilt_deg = float_array(beam_off_deg), float_array(electrical_downtilt_deg)
    beam_off_deg = nan_unless(np.abs(beam_off_deg) <= 90.0, beam_off_deg)
    tilt_deg = nan_unless(np.abs(tilt_deg) < 90.0, tilt_deg)
    return beam_off_deg * np.where(beam_off_deg >= 0.0, 90.0 + tilt_deg, 90.0 - tilt_deg) / 90.0 - tilt_deg
