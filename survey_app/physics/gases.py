"""Gases: what oxygen and water vapour take from a path, line by line."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = [
    "STANDARD_DRY_PRESSURE_HPA",
    "STANDARD_TEMPERATURE_C",
    "STANDARD_VAPOUR_G_PER_M3",
    "gas_attenuation_db_per_km",
    "gas_loss_db",
    "oxygen_attenuation_db_per_km",
    "water_vapour_attenuation_db_per_km",
]

# The air of the Recommendation's own figures, [P676]_, P.676-12 (2019), Annex 1; the pressure is that of dry air.
STANDARD_DRY_PRESSURE_HPA = 1013.25
STANDARD_TEMPERATURE_C = 15.0
STANDARD_VAPOUR_G_PER_M3 = 7.5

_LOWEST_MHZ, _HIGHEST_MHZ = 1_000.0, 1_000_000.0
_ZERO_CELSIUS_K = 273.15

# [P676]_, P.676-12 (2019), Annex 1, Table 1: line in GHz, a1, a2, a3, a5, a6.
# Column a4 is zero for every oxygen line of this edition and is left out.
_OXYGEN_LINES = (
    (50.474214, 0.975, 9.651, 6.69, 2.566, 6.85),
    (50.987745, 2.529, 8.653, 7.17, 2.246, 6.8),
    (51.50336, 6.193, 7.709, 7.64, 1.947, 6.729),
    (52.021429, 14.32, 6.819, 8.11, 1.667, 6.64),
    (52.542418, 31.24, 5.983, 8.58, 1.388, 6.526),
    (53.066934, 64.29, 5.201, 9.06, 1.349, 6.206),
    (53.595775, 124.6, 4.474, 9.55, 2.227, 5.085),
    (54.130025, 227.3, 3.8, 9.96, 3.17, 3.75),
    (54.67118, 389.7, 3.182, 10.37, 3.558, 2.654),
    (55.221384, 627.1, 2.618, 10.89, 2.56, 2.952),
    (55.783815, 945.3, 2.109, 11.34, -1.172, 6.135),
    (56.264774, 543.4, 0.014, 17.03, 3.525, -0.978),
    (56.363399, 1331.8, 1.654, 11.89, -2.378, 6.547),
    (56.968211, 1746.6, 1.255, 12.23, -3.545, 6.451),
    (57.612486, 2120.1, 0.91, 12.62, -5.416, 6.056),
    (58.323877, 2363.7, 0.621, 12.95, -1.932, 0.436),
    (58.446588, 1442.1, 0.083, 14.91, 6.768, -1.273),
    (59.164204, 2379.9, 0.387, 13.53, -6.561, 2.309),
    (59.590983, 2090.7, 0.207, 14.08, 6.957, -0.776),
    (60.306056, 2103.4, 0.207, 14.15, -6.395, 0.699),
    (60.434778, 2438.0, 0.386, 13.39, 6.342, -2.825),
    (61.150562, 2479.5, 0.621, 12.92, 1.014, -0.584),
    (61.800158, 2275.9, 0.91, 12.63, 5.014, -6.619),
    (62.41122, 1915.4, 1.255, 12.17, 3.029, -6.759),
    (62.486253, 1503.0, 0.083, 15.13, -4.499, 0.844),
    (62.997984, 1490.2, 1.654, 11.74, 1.856, -6.675),
    (63.568526, 1078.0, 2.108, 11.34, 0.658, -6.139),
    (64.127775, 728.7, 2.617, 10.88, -3.036, -2.895),
    (64.67891, 461.3, 3.181, 10.38, -3.968, -2.59),
    (65.224078, 274.0, 3.8, 9.96, -3.528, -3.68),
    (65.764779, 153.0, 4.473, 9.55, -2.548, -5.002),
    (66.302096, 80.4, 5.2, 9.06, -1.66, -6.091),
    (66.836834, 39.8, 5.982, 8.58, -1.68, -6.393),
    (67.369601, 18.56, 6.818, 8.11, -1.956, -6.475),
    (67.900868, 8.172, 7.708, 7.64, -2.216, -6.545),
    (68.431006, 3.397, 8.652, 7.17, -2.492, -6.6),
    (68.960312, 1.334, 9.65, 6.69, -2.773, -6.65),
    (118.750334, 940.3, 0.01, 16.64, -0.439, 0.079),
    (368.498246, 67.4, 0.048, 16.4, 0.0, 0.0),
    (424.76302, 637.7, 0.044, 16.4, 0.0, 0.0),
    (487.249273, 237.4, 0.049, 16.0, 0.0, 0.0),
    (715.392902, 98.1, 0.145, 16.0, 0.0, 0.0),
    (773.83949, 572.3, 0.141, 16.2, 0.0, 0.0),
    (834.145546, 183.1, 0.145, 14.7, 0.0, 0.0),
)

# [P676]_, P.676-12 (2019), Annex 1, Table 2: line in GHz, b1 ... b6. The last line stands for the continuum.
_WATER_LINES = (
    (22.23508, 0.1079, 2.144, 26.38, 0.76, 5.087, 1.0),
    (67.80396, 0.0011, 8.732, 28.58, 0.69, 4.93, 0.82),
    (119.99594, 0.0007, 8.353, 29.48, 0.7, 4.78, 0.79),
    (183.310087, 2.273, 0.668, 29.06, 0.77, 5.022, 0.85),
    (321.22563, 0.047, 6.179, 24.04, 0.67, 4.398, 0.54),
    (325.152888, 1.514, 1.541, 28.23, 0.64, 4.893, 0.74),
    (336.227764, 0.001, 9.825, 26.93, 0.69, 4.74, 0.61),
    (380.197353, 11.67, 1.048, 28.11, 0.54, 5.063, 0.89),
    (390.134508, 0.0045, 7.347, 21.52, 0.63, 4.81, 0.55),
    (437.346667, 0.0632, 5.048, 18.45, 0.6, 4.23, 0.48),
    (439.150807, 0.9098, 3.595, 20.07, 0.63, 4.483, 0.52),
    (443.018343, 0.192, 5.048, 15.55, 0.6, 5.083, 0.5),
    (448.001085, 10.41, 1.405, 25.64, 0.66, 5.028, 0.67),
    (470.888999, 0.3254, 3.597, 21.34, 0.66, 4.506, 0.65),
    (474.689092, 1.26, 2.379, 23.2, 0.65, 4.804, 0.64),
    (488.490108, 0.2529, 2.852, 25.86, 0.69, 5.201, 0.72),
    (503.568532, 0.0372, 6.731, 16.12, 0.61, 3.98, 0.43),
    (504.482692, 0.0124, 6.731, 16.12, 0.61, 4.01, 0.45),
    (547.67644, 0.9785, 0.158, 26.0, 0.7, 4.5, 1.0),
    (552.02096, 0.184, 0.158, 26.0, 0.7, 4.5, 1.0),
    (556.935985, 497.0, 0.159, 30.86, 0.69, 4.552, 1.0),
    (620.700807, 5.015, 2.391, 24.38, 0.71, 4.856, 0.68),
    (645.766085, 0.0067, 8.633, 18.0, 0.6, 4.0, 0.5),
    (658.00528, 0.2732, 7.816, 32.1, 0.69, 4.14, 1.0),
    (752.033113, 243.4, 0.396, 30.86, 0.68, 4.352, 0.84),
    (841.051732, 0.0134, 8.177, 15.9, 0.33, 5.76, 0.45),
    (859.965698, 0.1325, 8.055, 30.6, 0.68, 4.09, 0.84),
    (899.303175, 0.0547, 7.914, 29.85, 0.68, 4.53, 0.9),
    (902.611085, 0.0386, 8.429, 28.65, 0.7, 5.1, 0.95),
    (906.205957, 0.1836, 5.11, 24.08, 0.7, 4.7, 0.53),
    (916.171582, 8.4, 1.441, 26.73, 0.7, 5.15, 0.78),
    (923.112692, 0.0079, 10.293, 29.0, 0.7, 5.0, 0.8),
    (970.315022, 9.009, 1.919, 25.5, 0.64, 4.94, 0.67),
    (987.926764, 134.6, 0.257, 29.85, 0.68, 4.55, 0.9),
    (1780.0, 17506.0, 0.952, 196.3, 2.0, 24.15, 5.0),
)


def oxygen_attenuation_db_per_km(
    frequency_mhz: ArrayLike,
    dry_pressure_hpa: ArrayLike = STANDARD_DRY_PRESSURE_HPA,
    temperature_c: ArrayLike = STANDARD_TEMPERATURE_C,
    vapour_g_per_m3: ArrayLike = STANDARD_VAPOUR_G_PER_M3,
) -> FloatArray:
    r"""Specific attenuation of dry air: oxygen lines, Debye spectrum and nitrogen.

    Parameters
    ----------
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency, 1000 to 1,000,000. [MHz]
    dry_pressure_hpa : array_like of float, broadcast with the rest, default 1013.25
        Pressure of the dry air, > 0: barometer less vapour pressure. [hPa]
    temperature_c : array_like of float, broadcast with the rest, default 15
        Temperature, above absolute zero. [deg C]
    vapour_g_per_m3 : array_like of float, broadcast with the rest, default 7.5
        Water vapour density, >= 0; it widens the oxygen lines. [g/m3]

    Returns
    -------
    ndarray of float, broadcast shape
        Attenuation; NaN where an input is NaN or outside its range. [dB/km]

    Notes
    -----
    .. math:: \gamma_o = 0.1820 f \left( \sum_i S_i F_i + N''_D \right)

    The lines are added one after the other, so that a hop gets the same bits alone and in a batch.
    Source: [P676]_, P.676-12 (2019), Annex 1, equations 1 to 9.

    Examples
    --------
    >>> round(float(oxygen_attenuation_db_per_km(60000)), 3)
    14.623
    """
    f, p, t, vapour = _usable(frequency_mhz, dry_pressure_hpa, temperature_c, vapour_g_per_m3)
    theta = 300.0 / t
    e = vapour * t / 216.7
    theta_08 = np.power(theta, 0.8)
    cooling = 1.0 - theta
    strength = 1e-7 * p * theta * theta * theta
    total = np.zeros_like(f)
    for f0, a1, a2, a3, a5, a6 in _OXYGEN_LINES:
        width = a3 * 1e-4 * (p * theta_08 + 1.1 * e * theta)
        width = np.sqrt(np.square(width) + 2.25e-6)
        overlap = (a5 + a6 * theta) * 1e-4 * (p + e) * theta_08
        total = total + a1 * strength * np.exp(a2 * cooling) * _line_shape(f, f0, width, overlap)
    d = 5.6e-4 * (p + e) * theta_08
    debye = 6.14e-5 / (d * (1.0 + np.square(f / d)))
    nitrogen = 1.4e-12 * p * np.power(theta, 1.5) / (1.0 + 1.9e-5 * np.power(f, 1.5))
    return 0.1820 * f * (total + f * p * theta * theta * (debye + nitrogen))


def water_vapour_attenuation_db_per_km(
    frequency_mhz: ArrayLike,
    dry_pressure_hpa: ArrayLike = STANDARD_DRY_PRESSURE_HPA,
    temperature_c: ArrayLike = STANDARD_TEMPERATURE_C,
    vapour_g_per_m3: ArrayLike = STANDARD_VAPOUR_G_PER_M3,
) -> FloatArray:
    r"""Specific attenuation of water vapour.

    Parameters
    ----------
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency, 1000 to 1,000,000. [MHz]
    dry_pressure_hpa : array_like of float, broadcast with the rest, default 1013.25
        Pressure of the dry air, > 0: barometer less vapour pressure. [hPa]
    temperature_c : array_like of float, broadcast with the rest, default 15
        Temperature, above absolute zero. [deg C]
    vapour_g_per_m3 : array_like of float, broadcast with the rest, default 7.5
        Water vapour density, >= 0. [g/m3]

    Returns
    -------
    ndarray of float, broadcast shape
        Attenuation; NaN where an input is NaN or outside its range. [dB/km]

    Notes
    -----
    .. math:: \gamma_w = 0.1820 f \sum_i S_i F_i

    Older editions had other line widths and give 4 to 14 % more below 70 GHz.
    Source: [P676]_, P.676-12 (2019), Annex 1, equations 1 to 7.

    Examples
    --------
    >>> round(float(water_vapour_attenuation_db_per_km(24000)), 4)
    0.1585
    """
    f, p, t, vapour = _usable(frequency_mhz, dry_pressure_hpa, temperature_c, vapour_g_per_m3)
    theta = 300.0 / t
    e = vapour * t / 216.7
    cooling = 1.0 - theta
    strength = 1e-1 * e * np.power(theta, 3.5)
    total = np.zeros_like(f)
    for f0, b1, b2, b3, b4, b5, b6 in _WATER_LINES:
        width = b3 * 1e-4 * (p * np.power(theta, b4) + b5 * e * np.power(theta, b6))
        width = 0.535 * width + np.sqrt(0.217 * np.square(width) + 2.1316e-12 * f0 * f0 / theta)
        total = total + b1 * strength * np.exp(b2 * cooling) * _line_shape(f, f0, width, 0.0)
    return 0.1820 * f * total


def gas_attenuation_db_per_km(
    frequency_mhz: ArrayLike,
    dry_pressure_hpa: ArrayLike = STANDARD_DRY_PRESSURE_HPA,
    temperature_c: ArrayLike = STANDARD_TEMPERATURE_C,
    vapour_g_per_m3: ArrayLike = STANDARD_VAPOUR_G_PER_M3,
) -> FloatArray:
    """Specific attenuation of the air: oxygen and water vapour together.

    Parameters
    ----------
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency, 1000 to 1,000,000. [MHz]
    dry_pressure_hpa : array_like of float, broadcast with the rest, default 1013.25
        Pressure of the dry air, > 0: barometer less vapour pressure. [hPa]
    temperature_c : array_like of float, broadcast with the rest, default 15
        Temperature, above absolute zero. [deg C]
    vapour_g_per_m3 : array_like of float, broadcast with the rest, default 7.5
        Water vapour density, >= 0. [g/m3]

    Returns
    -------
    ndarray of float, broadcast shape
        Attenuation; NaN where an input is NaN or outside its range. [dB/km]

    Notes
    -----
    Source: [P676]_, P.676-12 (2019), Annex 1, equation 1.

    Examples
    --------
    >>> round(float(gas_attenuation_db_per_km(5800)), 4)
    0.0093
    """
    air = (frequency_mhz, dry_pressure_hpa, temperature_c, vapour_g_per_m3)
    return oxygen_attenuation_db_per_km(*air) + water_vapour_attenuation_db_per_km(*air)


def gas_loss_db(
    distance_m: ArrayLike,
    frequency_mhz: ArrayLike,
    dry_pressure_hpa: ArrayLike = STANDARD_DRY_PRESSURE_HPA,
    temperature_c: ArrayLike = STANDARD_TEMPERATURE_C,
    vapour_g_per_m3: ArrayLike = STANDARD_VAPOUR_G_PER_M3,
) -> FloatArray:
    r"""Loss that the air causes over a path near the ground.

    Parameters
    ----------
    distance_m : array_like of float, broadcast with the rest
        Length of the path, >= 0. [m]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, 1000 to 1,000,000. [MHz]
    dry_pressure_hpa : array_like of float, broadcast with the rest, default 1013.25
        Pressure of the dry air, > 0: barometer less vapour pressure. [hPa]
    temperature_c : array_like of float, broadcast with the rest, default 15
        Temperature, above absolute zero. [deg C]
    vapour_g_per_m3 : array_like of float, broadcast with the rest, default 7.5
        Water vapour density, >= 0. [g/m3]

    Returns
    -------
    ndarray of float, broadcast shape
        Loss; NaN where an input is NaN or outside its range. [dB]

    Notes
    -----
    .. math:: A_a = \gamma_a d

    One air along the whole path. Source: [P530]_, P.530-17 (2017), section 2.1.

    Examples
    --------
    >>> round(float(gas_loss_db(500, 60000)), 2)
    7.39
    """
    distance_m = float_array(distance_m)
    attenuation_db_per_km = gas_attenuation_db_per_km(frequency_mhz, dry_pressure_hpa, temperature_c, vapour_g_per_m3)
    return attenuation_db_per_km * nan_unless(distance_m >= 0.0, distance_m) / 1000.0


def _usable(
    frequency_mhz: ArrayLike, dry_pressure_hpa: ArrayLike, temperature_c: ArrayLike, vapour_g_per_m3: ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return frequency in GHz, pressure in hPa, temperature in K and vapour in g/m3, one shape, NaN out of range."""
    f_mhz, p, t_c, vapour = np.broadcast_arrays(
        float_array(frequency_mhz),
        float_array(dry_pressure_hpa),
        float_array(temperature_c),
        float_array(vapour_g_per_m3),
    )
    t = t_c + _ZERO_CELSIUS_K
    usable = (f_mhz >= _LOWEST_MHZ) & (f_mhz <= _HIGHEST_MHZ) & (p > 0.0) & (t > 0.0) & (vapour >= 0.0)
    usable &= np.isfinite(p) & np.isfinite(t) & np.isfinite(vapour)
    return (
        nan_unless(usable, f_mhz / 1000.0),
        nan_unless(usable, p),
        nan_unless(usable, t),
        nan_unless(usable, vapour),
    )


def _line_shape(f: FloatArray, f0: float, width: FloatArray, overlap: FloatArray | float) -> FloatArray:
    """Return the shape factor of one line (equation 5)."""
    below, above = f0 - f, f0 + f
    width_2 = np.square(width)
    near = (width - overlap * below) / (np.square(below) + width_2)
    mirror = (width - overlap * above) / (np.square(above) + width_2)
    shape: FloatArray = f / f0 * (near + mirror)
    return shape
