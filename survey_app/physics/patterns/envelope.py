"""Dishes as interferers: the envelope over their side lobes."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.decibels import from_db, to_db

__all__ = [
    "dish_beamwidth_deg",
    "dish_beamwidth_from_gain_deg",
    "dish_wavelengths",
    "envelope_gain_dbi",
]

_LARGE_WAVELENGTHS = 100.0  # [F699]_, F.699-8 (2018), boundary between recommends 2.1 and 2.2
# Below this the published first side lobe would reach past 48 deg, where the level behind begins and lies higher.
_SMALLEST_WAVELENGTHS = 100.0 / 48.0


def dish_wavelengths(peak_dbi: ArrayLike) -> FloatArray:
    r"""Diameter of a dish in wavelengths where only its gain is known.

    Parameters
    ----------
    peak_dbi : array_like of float, shape (...)
        Gain in the direction of the beam. [dBi]

    Returns
    -------
    ndarray of float, shape (...)
        Diameter over wavelength; NaN where the gain is NaN. [1]

    Notes
    -----
    .. math:: 20 \log_{10} \frac{D}{\lambda} = G_{max} - 7.7

    Source: [F699]_, F.699-8 (2018), recommends 3.

    Examples
    --------
    >>> round(float(dish_wavelengths(25.01)), 2)
    7.34
    """
    return np.sqrt(from_db(float_array(peak_dbi) - 7.7))


def dish_beamwidth_deg(wavelengths: ArrayLike) -> FloatArray:
    r"""Beamwidth of a dish of known size.

    Parameters
    ----------
    wavelengths : array_like of float, shape (...)
        Diameter over wavelength, > 0. [1]

    Returns
    -------
    ndarray of float, shape (...)
        Full 3 dB beamwidth; NaN where the input is NaN or not positive. [deg]

    Notes
    -----
    .. math:: \theta_3 = 70 \lambda / D

    Source: [F699]_, F.699-8 (2018), recommends 4.

    Examples
    --------
    >>> round(float(dish_beamwidth_deg(7.338)), 2)
    9.54
    """
    wavelengths = float_array(wavelengths)
    return 70.0 / nan_unless(wavelengths > 0.0, wavelengths)


def dish_beamwidth_from_gain_deg(peak_dbi: ArrayLike) -> FloatArray:
    r"""Beamwidth of a dish of which only the gain is known.

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
    .. math:: G_{max} = 44.5 - 20 \log_{10} \theta_3

    Source: [F699]_, F.699-8 (2018), recommends 4.

    Examples
    --------
    >>> round(float(dish_beamwidth_from_gain_deg(25)), 2)
    9.44
    """
    return np.sqrt(from_db(44.5 - float_array(peak_dbi)))


def envelope_gain_dbi(peak_dbi: ArrayLike, off_axis_deg: ArrayLike, wavelengths: ArrayLike | None = None) -> FloatArray:
    r"""Envelope over the side lobes of a dish, for what it sends and hears beside its aim.

    Parameters
    ----------
    peak_dbi : array_like of float, shape (...)
        Gain in the direction of the beam. [dBi]
    off_axis_deg : array_like of float, broadcast with `peak_dbi`
        Angle to the axis in any plane (`survey_app.physics.geometry.off_axis_deg`); the sign does not matter, 180 at
        most. [deg]
    wavelengths : array_like of float, broadcast with the rest, or None
        Diameter over wavelength, >= 2.083 (a gain of 14.1 dBi); None takes it from the gain (`dish_wavelengths`). [1]

    Returns
    -------
    ndarray of float, broadcast shape
        Gain; NaN where an input is NaN or outside its range, or the gain is below that of the first side lobe. [dBi]

    Notes
    -----
    Side-lobe peaks of most dishes lie below it, so that it must not be used for a wanted signal. At 48 deg the
    published pieces meet with a step of 0.03 dB upward. Source: [F699]_, F.699-8 (2018), recommends 2.1 and 2.2 (1 to
    70 GHz).

    Examples
    --------
    >>> round(float(envelope_gain_dbi(25.012, 20)), 2)
    10.82
    """
    peak_dbi = float_array(peak_dbi)
    size = dish_wavelengths(peak_dbi) if wavelengths is None else float_array(wavelengths)
    size = nan_unless((size >= _SMALLEST_WAVELENGTHS) & np.isfinite(size), size)
    off_deg = np.abs(float_array(off_axis_deg))
    off_deg = nan_unless(off_deg <= 180.0, off_deg)
    large = size > _LARGE_WAVELENGTHS
    size_db = to_db(size)
    first_lobe_dbi = 2.0 + 1.5 * size_db
    above_db = peak_dbi - first_lobe_dbi
    above_db = nan_unless(above_db >= 0.0, above_db)
    main_end_deg = 20.0 / size * np.sqrt(above_db)
    plateau_end_deg = np.where(large, 15.85 * np.power(size, -0.6), 100.0 / size)
    # The logarithm is only looked at beyond the plateau, and is kept from the axis where it would run to infinity.
    decay_db = 2.5 * to_db(np.maximum(off_deg, 1e-3))
    side_dbi = np.where(large, 32.0, 52.0 - size_db) - decay_db
    back_dbi = np.where(large, -10.0, 10.0 - size_db)
    main_dbi = peak_dbi - 0.0025 * np.square(size * off_deg)
    beyond_dbi = np.where(off_deg < plateau_end_deg, first_lobe_dbi, side_dbi)
    gain_dbi = np.where(off_deg < main_end_deg, main_dbi, np.where(off_deg < 48.0, beyond_dbi, back_dbi))
    return nan_unless(~np.isnan(main_end_deg + off_deg), gain_dbi)
