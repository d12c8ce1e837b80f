"""Omnidirectional antennas: all round alike, narrow in elevation."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.decibels import from_db, to_db
from survey_app.physics.patterns.side_lobes import SideLobes, takes_peaks
from survey_app.physics.patterns.tilt import beam_elevation_deg

__all__ = ["omni_beamwidth_deg", "omni_gain_dbi"]


def omni_beamwidth_deg(peak_dbi: ArrayLike) -> FloatArray:
    r"""Elevation beamwidth of an omnidirectional antenna of which only the gain is known.

    Parameters
    ----------
    peak_dbi : array_like of float, shape (...)
        Gain in the direction of the beam. [dBi]

    Returns
    -------
    ndarray of float, shape (...)
        Full 3 dB beamwidth; NaN where the gain is NaN. [deg]

    Notes
    -----
    .. math:: \theta_3 = 107.6 \cdot 10^{-0.1 G_0}

    Source: [F1336]_, F.1336-5 (2019), recommends 2 and Annex 3.

    Examples
    --------
    >>> round(float(omni_beamwidth_deg(8)), 2)
    17.05
    """
    return 107.6 * from_db(0.0 - float_array(peak_dbi))


def omni_gain_dbi(
    peak_dbi: ArrayLike,
    elevation_beamwidth_deg: ArrayLike,
    electrical_downtilt_deg: ArrayLike,
    elevation_off_deg: ArrayLike,
    *,
    side_lobes: SideLobes = "peak",
    k: float = 0.0,
) -> FloatArray:
    r"""Gain of an omnidirectional antenna.

    Parameters
    ----------
    peak_dbi : array_like of float, shape (...)
        Gain in the direction of the beam. [dBi]
    elevation_beamwidth_deg : array_like of float, broadcast with the rest
        Full 3 dB beamwidth in elevation, above 0 and at most 180 (`omni_beamwidth_deg` where only the gain is known).
        [deg]
    electrical_downtilt_deg : array_like of float, broadcast with the rest
        Built-in tilt of the beam, down positive. [deg]
    elevation_off_deg : array_like of float, broadcast with the rest
        Angle above the antenna's mechanical plane, -90 to 90. [deg]
    side_lobes : {"peak", "average"}, default "peak"
        Envelope of the side lobes, or their mean.
    k : float, default 0
        Share of power in the side lobes, 0 to 1; 0 for everything from 3 to 70 GHz, 0.7 for plain antennas below.

    Returns
    -------
    ndarray of float, broadcast shape
        Gain; NaN where an input is NaN or outside its range. [dBi]

    Raises
    ------
    UnknownNameError
        `side_lobes` is another word.
    ValueError
        `k` outside 0 to 1.

    Notes
    -----
    Real omnis have deep nulls between their side lobes; a station that sits off the beam may receive far less than
    this. Peak: with t the angle off the beam over the beamwidth, the main lobe falls as 12 t^2, the side lobes as 12 -
    10 log(t^-1.5 + k). Average: the same, 3 dB lower outside the main lobe. Source: [F1336]_, F.1336-5 (2019),
    recommends 2.1, 2.2, 2.4, 2.5 (0.4 to 70 GHz).

    Examples
    --------
    >>> round(float(omni_gain_dbi(12, 6.789, 0, -30)), 2)
    -9.68
    """
    peaks = takes_peaks(side_lobes)
    if not 0.0 <= k <= 1.0:
        raise ValueError(f"k is {k}; it has to lie between 0 and 1.")
    width_deg = float_array(elevation_beamwidth_deg)
    t = np.abs(beam_elevation_deg(elevation_off_deg, electrical_downtilt_deg))
    t = t / nan_unless((width_deg > 0.0) & (width_deg <= 180.0), width_deg)
    # Where the plateau beside the main lobe begins (peak) or ends (average), in beamwidths.
    plateau_db = to_db(k + 1.0)
    main_db = -12.0 * np.square(t)
    side_db = to_db(np.power(np.maximum(t, 0.5), -1.5) + k)
    if peaks:
        start = np.sqrt(1.0 - plateau_db / 12.0)
        relative_db = np.where(t < start, main_db, np.where(t < 1.0, plateau_db - 12.0, side_db - 12.0))
    else:
        end = np.sqrt(1.25 - plateau_db / 12.0)
        relative_db = np.where(t < 1.0, main_db, np.where(t < end, plateau_db - 15.0, side_db - 15.0))
    # np.where sends NaN to the last branch, where it stays NaN.
    return float_array(peak_dbi) + relative_db
