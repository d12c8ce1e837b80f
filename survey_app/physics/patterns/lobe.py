"""Panels and dishes as a wanted link sees them: one main lobe over a level behind."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.patterns.tilt import beam_elevation_deg

__all__ = ["lobe_gain_dbi"]


def lobe_gain_dbi(
    peak_dbi: ArrayLike,
    azimuth_beamwidth_deg: ArrayLike,
    elevation_beamwidth_deg: ArrayLike,
    front_to_back_db: ArrayLike,
    electrical_downtilt_deg: ArrayLike,
    azimuth_off_deg: ArrayLike,
    elevation_off_deg: ArrayLike,
) -> FloatArray:
    r"""Gain of a panel or dish of which only gain, beamwidths and front-to-back ratio are known.

    Parameters
    ----------
    peak_dbi : array_like of float, shape (...)
        Gain in the direction of the beam. [dBi]
    azimuth_beamwidth_deg : array_like of float, broadcast with the rest
        Full 3 dB beamwidth in azimuth, above 0 and at most 360. [deg]
    elevation_beamwidth_deg : array_like of float, broadcast with the rest
        Full 3 dB beamwidth in elevation, above 0 and at most 180. [deg]
    front_to_back_db : array_like of float, broadcast with the rest
        How far the level behind lies below the peak, >= 0. [dB]
    electrical_downtilt_deg : array_like of float, broadcast with the rest
        Built-in tilt of the beam, down positive. [deg]
    azimuth_off_deg : array_like of float, broadcast with the rest
        Angle off the mechanical axis in azimuth; any turn is fine. [deg]
    elevation_off_deg : array_like of float, broadcast with the rest
        Angle above the antenna's mechanical plane, -90 to 90. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Gain, between `peak_dbi` and `peak_dbi` - `front_to_back_db`; NaN where an input is NaN or outside its
        range. [dBi]

    Notes
    -----
    .. math:: G = G_0 - \min \left( 12 \frac{\varphi^2}{\varphi_3^2} + 12 \frac{\theta^2}{\theta_3^2}, F \right)

    Continuous, falling on all sides, alike left and right. Within about 1.2 beamwidths the shape of any antenna;
    further out the side lobes of a real one lie above and below it, and for its interference `envelope_gain_dbi` or a
    table is the better choice. Source: [TR38901]_, version 16.1, section 7.3, Table 7.3-1, with the antenna's own
    figures in place of the 65 deg and 30 dB there; electrical tilt by [F1336]_, F.1336-5 (2019), recommends 3.5.

    Examples
    --------
    >>> round(float(lobe_gain_dbi(16, 27, 27, 25, 0, 13.5, 0)), 2)
    13.0
    """
    width_h_deg, width_v_deg = float_array(azimuth_beamwidth_deg), float_array(elevation_beamwidth_deg)
    floor_db, azimuth_off_deg = float_array(front_to_back_db), float_array(azimuth_off_deg)
    width_h_deg = nan_unless((width_h_deg > 0.0) & (width_h_deg <= 360.0), width_h_deg)
    width_v_deg = nan_unless((width_v_deg > 0.0) & (width_v_deg <= 180.0), width_v_deg)
    azimuth_off_deg = nan_unless(np.isfinite(azimuth_off_deg), azimuth_off_deg)
    x_h = np.abs(azimuth_off_deg - 360.0 * np.rint(azimuth_off_deg / 360.0)) / width_h_deg
    x_v = beam_elevation_deg(elevation_off_deg, electrical_downtilt_deg) / width_v_deg
    fall_db = 12.0 * np.square(x_h) + 12.0 * np.square(x_v)
    return float_array(peak_dbi) - np.minimum(fall_db, nan_unless(floor_db >= 0.0, floor_db))
