"""Sector antennas: wide in azimuth, narrow in elevation."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.decibels import from_db, to_db
from survey_app.physics.patterns.side_lobes import SideLobes, takes_peaks
from survey_app.physics.patterns.tilt import beam_elevation_deg

__all__ = ["beamwidths_gain_dbi", "sector_elevation_beamwidth_deg", "sector_gain_dbi"]

_BEAM_SOLID_ANGLE = 31_000.0  # square degrees times gain, [F1336]_, F.1336-5 (2019), recommends 3.3
_FAR_BEAMWIDTHS = 4.0  # where the near side lobes end, [F1336]_, F.1336-5 (2019), recommends 3.1


def beamwidths_gain_dbi(azimuth_beamwidth_deg: ArrayLike, elevation_beamwidth_deg: ArrayLike) -> FloatArray:
    r"""Gain that an antenna of given beamwidths can have.

    Parameters
    ----------
    azimuth_beamwidth_deg, elevation_beamwidth_deg : array_like of float, broadcast together
        Full 3 dB beamwidths, > 0. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Gain; NaN where a beamwidth is NaN or not positive. [dBi]

    Notes
    -----
    .. math:: G_0 = 10 \log_{10} \frac{31000}{\varphi_3 \theta_3}

    For azimuth beamwidths up to about 120 deg. Source: [F1336]_, F.1336-5 (2019), recommends 3.3.

    Examples
    --------
    >>> round(float(beamwidths_gain_dbi(90, 6.87)), 2)
    17.0
    """
    azimuth_deg, elevation_deg = float_array(azimuth_beamwidth_deg), float_array(elevation_beamwidth_deg)
    product = nan_unless(azimuth_deg > 0.0, azimuth_deg) * nan_unless(elevation_deg > 0.0, elevation_deg)
    return to_db(_BEAM_SOLID_ANGLE / product)


def sector_elevation_beamwidth_deg(peak_dbi: ArrayLike, azimuth_beamwidth_deg: ArrayLike) -> FloatArray:
    r"""Elevation beamwidth of a sector antenna of which only gain and azimuth beamwidth are known.

    Parameters
    ----------
    peak_dbi : array_like of float, shape (...)
        Gain in the direction of the beam. [dBi]
    azimuth_beamwidth_deg : array_like of float, broadcast with `peak_dbi`
        Full 3 dB beamwidth in azimuth, > 0. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Full 3 dB beamwidth in elevation; NaN where an input is NaN or the beamwidth not positive. [deg]

    Notes
    -----
    .. math:: \theta_3 = \frac{31000 \cdot 10^{-0.1 G_0}}{\varphi_3}

    Source: [F1336]_, F.1336-5 (2019), recommends 3.3.

    Examples
    --------
    >>> round(float(sector_elevation_beamwidth_deg(17, 90)), 2)
    6.87
    """
    azimuth_deg = float_array(azimuth_beamwidth_deg)
    return _BEAM_SOLID_ANGLE * from_db(0.0 - float_array(peak_dbi)) / nan_unless(azimuth_deg > 0.0, azimuth_deg)


def sector_gain_dbi(
    peak_dbi: ArrayLike,
    azimuth_beamwidth_deg: ArrayLike,
    elevation_beamwidth_deg: ArrayLike,
    electrical_downtilt_deg: ArrayLike,
    azimuth_off_deg: ArrayLike,
    elevation_off_deg: ArrayLike,
    *,
    side_lobes: SideLobes = "peak",
    k_back: float = 0.7,
    k_azimuth: float = 0.8,
    k_elevation: float = 0.7,
) -> FloatArray:
    r"""Gain of a sector antenna.

    Parameters
    ----------
    peak_dbi : array_like of float, shape (...)
        Gain in the direction of the beam. [dBi]
    azimuth_beamwidth_deg : array_like of float, broadcast with the rest
        Full 3 dB beamwidth in azimuth, above 0 and at most 360. [deg]
    elevation_beamwidth_deg : array_like of float, broadcast with the rest
        Full 3 dB beamwidth in elevation, above 0 and at most 180. [deg]
    electrical_downtilt_deg : array_like of float, broadcast with the rest
        Built-in tilt of the beam, down positive. [deg]
    azimuth_off_deg : array_like of float, broadcast with the rest
        Angle off the mechanical axis in azimuth; any turn is fine. [deg]
    elevation_off_deg : array_like of float, broadcast with the rest
        Angle above the antenna's mechanical plane, -90 to 90. [deg]
    side_lobes : {"peak", "average"}, default "peak"
        Envelope of the side lobes, or their mean.
    k_back, k_azimuth, k_elevation : float, default 0.7, 0.8, 0.7
        Leaked power behind, in azimuth and in elevation, 0 to 1 (k_p or k_a, k_h, k_v of the source). The defaults
        stand for typical antennas; 0.7, 0.7, 0.3 for improved side lobes.

    Returns
    -------
    ndarray of float, broadcast shape
        Gain, `peak_dbi` at azimuth 0 and elevation -`electrical_downtilt_deg`; NaN where an input is NaN or outside its
        range. [dBi]

    Raises
    ------
    UnknownNameError
        `side_lobes` is another word.
    ValueError
        A leakage outside 0 to 1.

    Notes
    -----
    .. math:: G = G_0 + G_{hr}(x_h) + R \, G_{vr}(x_v)

    The level behind follows from the elevation beamwidth, not from the data sheet's front-to-back ratio. The slope of
    the far side lobes contains k_v, the only form in which the elevation pattern meets the level behind at 90 deg.
    Source: [F1336]_, F.1336-5 (2019), recommends 3.1.1, 3.1.2, 3.5 (400 MHz to 6 GHz).

    Examples
    --------
    >>> round(float(sector_gain_dbi(17, 90, 6.8726, 0, 45, 0)), 2)
    14.0
    """
    peaks = takes_peaks(side_lobes)
    for name, k in (("k_back", k_back), ("k_azimuth", k_azimuth), ("k_elevation", k_elevation)):
        if not 0.0 <= k <= 1.0:
            raise ValueError(f"{name} is {k}; it has to lie between 0 and 1.")
    width_h_deg, width_v_deg = float_array(azimuth_beamwidth_deg), float_array(elevation_beamwidth_deg)
    width_h_deg = nan_unless((width_h_deg > 0.0) & (width_h_deg <= 360.0), width_h_deg)
    width_v_deg = nan_unless((width_v_deg > 0.0) & (width_v_deg <= 180.0), width_v_deg)
    azimuth_off_deg = float_array(azimuth_off_deg)
    turned_deg = np.remainder(nan_unless(np.isfinite(azimuth_off_deg), azimuth_off_deg), 360.0)
    off_h_deg = np.minimum(turned_deg, 360.0 - turned_deg)
    off_v_deg = np.abs(beam_elevation_deg(elevation_off_deg, electrical_downtilt_deg))
    behind_db = to_db(1.0 + 8.0 * k_back) - (12.0 if peaks else 15.0) - 1.5 * to_db(180.0 / width_v_deg)
    azimuth_db = _azimuth_db(off_h_deg / width_h_deg, behind_db, k_azimuth)
    opposite_db = _azimuth_db(180.0 / width_h_deg, behind_db, k_azimuth)
    elevation_db = _elevation_db(off_v_deg, width_v_deg, behind_db, k_back, k_elevation, peaks=peaks)
    compression = (azimuth_db - opposite_db) / (0.0 - opposite_db)
    return float_array(peak_dbi) + azimuth_db + compression * elevation_db


def _azimuth_db(x: FloatArray, behind_db: FloatArray, k: float) -> FloatArray:
    """Return the azimuth pattern G_hr over the angle in beamwidths."""
    join_db = 3.0 * (1.0 - np.power(0.5, -k))
    wide_db = -12.0 * np.power(np.maximum(x, 0.5), 2.0 - k) - join_db
    return np.maximum(np.where(x <= 0.5, -12.0 * np.square(x), wide_db), behind_db)


def _elevation_db(
    off_deg: FloatArray, width_deg: FloatArray, behind_db: FloatArray, k_back: float, k: float, *, peaks: bool
) -> FloatArray:
    """Return the elevation pattern G_vr over the angle off the beam."""
    x = off_deg / width_deg
    shift_db = 0.0 if peaks else -3.0
    main_end = np.sqrt(1.0 - 0.36 * k) if peaks else np.sqrt(1.33 - 0.33 * k)
    main_db = -12.0 * np.square(x)
    near_db = shift_db - 12.0 + to_db(np.power(np.maximum(x, 0.5), -1.5) + k)
    # From 4 beamwidths the pattern runs straight down to the level behind at 90 deg; an antenna so wide that 90 deg
    # comes first has no such part, and its slope is put aside lest a division by zero speak for it.
    edge = float(np.power(_FAR_BEAMWIDTHS, -1.5)) + k
    has_far = width_deg < 90.0 / _FAR_BEAMWIDTHS
    span = np.log10(90.0 / _FAR_BEAMWIDTHS / np.where(has_far, width_deg, 1.0))
    slope = (1.5 * to_db(180.0 / width_deg) + to_db(edge / (1.0 + 8.0 * k_back))) / span
    far_db = shift_db - 12.0 + to_db(edge) - slope * (np.log10(np.maximum(x, 0.5)) - np.log10(_FAR_BEAMWIDTHS))
    side_db = np.where(x < _FAR_BEAMWIDTHS, near_db, np.where(off_deg < 90.0, far_db, behind_db))
    return nan_unless(~np.isnan(x), np.where(x < main_end, main_db, side_db))
