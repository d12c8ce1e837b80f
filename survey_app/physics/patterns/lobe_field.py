"""Gain of very many panels toward very many points: `lobe_gain_dbi` pair by pair, compiled."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from survey_app.physics.arrays import FloatArray, nan_unless
from survey_app.physics.geometry import EARTH_RADIUS_M, STANDARD_K
from survey_app.physics.kernels import kernel

__all__ = ["lobe_field_dbi"]

_TWO_RADII_M = 2.0 * EARTH_RADIUS_M * STANDARD_K
_DEG = 180.0 / math.pi


def lobe_field_dbi(
    spots_m: FloatArray, rows: NDArray[np.intp], aims_deg: FloatArray, figures: FloatArray, shortest_m: float
) -> FloatArray:
    """Return the gain of panels toward every spot.

    Parameters
    ----------
    spots_m : ndarray of float, shape (spots, 3)
        Where antennas hang: east, north, height. [m]
    rows : ndarray of int, shape (panels,)
        Spots of the panels.
    aims_deg : ndarray of float, shape (panels, 2)
        Bearing and tilt of their mechanical axes, from the spots' north, down negative. [deg]
    figures : ndarray of float, shape (panels, 5)
        Peak, full 3 dB beamwidths in azimuth and elevation, front-to-back ratio, electrical downtilt, as
        `lobe_gain_dbi` takes them. [dBi, deg, deg, dB, deg]
    shortest_m : float
        Shortest distance on the plan that counts, > 0; two spots right above one another lie so far to the north. [m]

    Returns
    -------
    ndarray of float, shape (panels, spots)
        Gain; of a panel toward its own spot it says nothing. NaN where a figure is NaN or outside its range. [dBi]

    Notes
    -----
    `geometry.slope_toward`, `geometry.antenna_angles_along_deg` and `lobe_gain_dbi` with the same sources, within
    1e-9 dB of them. Compiled at first use, whatever the size: for few pairs those are the way.
    """
    peak, width_h, width_v, floor, electrical = figures.T
    width_h = nan_unless((width_h > 0.0) & (width_h <= 360.0), width_h)
    width_v = nan_unless((width_v > 0.0) & (width_v <= 180.0), width_v)
    electrical = nan_unless(np.abs(electrical) < 90.0, electrical)
    bearing, tilt = np.deg2rad(aims_deg).T
    tilt = nan_unless(np.abs(tilt) <= np.pi / 2.0, tilt)
    columns = (
        np.cos(bearing), np.sin(bearing), np.cos(-tilt), np.sin(-tilt),
        peak, width_h, width_v, nan_unless(floor >= 0.0, floor), electrical,
    )  # fmt: skip
    found = np.empty((len(rows), len(spots_m)))
    _fill(np.ascontiguousarray(spots_m.T), np.array(rows), np.stack(columns, axis=1), shortest_m, found)
    return found


@kernel
def _fill(spots: FloatArray, rows: NDArray[np.intp], panels: FloatArray, shortest: float, found: FloatArray) -> None:
    """Fill in the gain of each panel toward each spot."""
    for a in range(len(rows)):
        here = rows[a]
        x, y, height = spots[0, here], spots[1, here], spots[2, here]
        cos_aim, sin_aim, cos_down, sin_down = panels[a, 0], panels[a, 1], panels[a, 2], panels[a, 3]
        peak, width_h, width_v, floor, tilt = panels[a, 4], panels[a, 5], panels[a, 6], panels[a, 7], panels[a, 8]
        for there in range(spots.shape[1]):
            east, north = spots[0, there] - x, spots[1, there] - y
            run = math.sqrt(east * east + north * north)
            if not run > 0.0:
                north = shortest
            run = max(run, shortest)
            rise = (spots[2, there] - height) - run * run / _TWO_RADII_M
            ahead = north * cos_aim + east * sin_aim
            right = east * cos_aim - north * sin_aim
            ahead_off = ahead * cos_down - rise * sin_down
            up_off = rise * cos_down + ahead * sin_down
            across = math.sqrt(ahead_off * ahead_off + right * right)
            azimuth = 0.0
            if across > 0.0:
                azimuth = math.atan(right / ahead_off) * _DEG
                if ahead_off < 0.0:
                    azimuth += math.copysign(180.0, right)
            above = math.atan(up_off / across) * _DEG + tilt
            beam = 90.0 * above / (90.0 + tilt if above >= 0.0 else 90.0 - tilt)
            x_h, x_v = azimuth / width_h, beam / width_v
            fall = 12.0 * (x_h * x_h) + 12.0 * (x_v * x_v)
            found[a, there] = peak - (floor if fall > floor or math.isnan(floor) else fall)
