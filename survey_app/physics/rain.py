"""Rain: what it takes from a path, and for which share of the year a margin is not enough."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless

__all__ = [
    "HORIZONTAL_TILT_DEG",
    "LONGEST_RAIN_PERCENT",
    "SHORTEST_RAIN_PERCENT",
    "VERTICAL_TILT_DEG",
    "rain_attenuation_db",
    "rain_coefficients",
    "rain_exceeded_percent",
    "rain_path_factor",
    "rain_specific_attenuation_db_per_km",
]

HORIZONTAL_TILT_DEG = 0.0
VERTICAL_TILT_DEG = 90.0

# Range of the year percentages for which the scaling holds, [P530]_, P.530-17 (2017), section 2.4.1, step 5.
SHORTEST_RAIN_PERCENT = 0.001
LONGEST_RAIN_PERCENT = 1.0

_LONGEST_PATH_M = 60_000.0  # [P530]_, P.530-17 (2017), section 2.4.1
_HIGHEST_PATH_MHZ = 100_000.0  # [P530]_, P.530-17 (2017), section 2.4.1

# [P838]_, P.838-3 (2005), Tables 1 to 4: (a, b, c) of each term, then slope and offset of the straight line.
_K_H = (((-5.33980, -0.10008, 1.13098), (-0.35351, 1.26970, 0.45400), (-0.23789, 0.86036, 0.15354),
         (-0.94158, 0.64552, 0.16817)), -0.18961, 0.71147)  # fmt: skip
_K_V = (((-3.80595, 0.56934, 0.81061), (-3.44965, -0.22911, 0.51059), (-0.39902, 0.73042, 0.11899),
         (0.50167, 1.07319, 0.27195)), -0.16398, 0.63297)  # fmt: skip
_ALPHA_H = (((-0.14318, 1.82442, -0.55187), (0.29591, 0.77564, 0.19822), (0.32177, 0.63773, 0.13164),
             (-5.37610, -0.96230, 1.47828), (16.1721, -3.29980, 3.43990)), 0.67849, -1.95537)  # fmt: skip
_ALPHA_V = (((-0.07771, 2.33840, -0.76284), (0.56727, 0.95545, 0.54039), (-0.20238, 1.14520, 0.26809),
             (-48.2991, 0.791669, 0.116226), (48.5833, 0.791459, 0.116479)), -0.053739, 0.83433)  # fmt: skip


def rain_coefficients(
    frequency_mhz: ArrayLike, polarisation_tilt_deg: ArrayLike, elevation_deg: ArrayLike = 0.0
) -> tuple[FloatArray, FloatArray]:
    r"""Coefficients k and alpha of the specific attenuation by rain.

    Parameters
    ----------
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency, 1000 to 1,000,000. [MHz]
    polarisation_tilt_deg : array_like of float, broadcast with the rest
        Tilt of the polarisation from the horizontal: 0 horizontal, 90 vertical, 45 slant or circular. [deg]
    elevation_deg : array_like of float, broadcast with the rest, default 0
        Elevation angle of the path, -90 to 90. [deg]

    Returns
    -------
    k : ndarray of float, broadcast shape
        Attenuation at 1 mm/h. [dB/km]
    alpha : ndarray of float, broadcast shape
        Exponent of the rain rate; NaN (both) where an input is NaN or outside its range. [1]

    Notes
    -----
    .. math::

        k = \tfrac{1}{2} [k_H + k_V + (k_H - k_V) \cos^2 \theta \cos 2 \tau]

    and likewise alpha with k alpha in place of k. Source: [P838]_, P.838-3 (2005), equations 2 to 5, Tables 1 to 4.

    Examples
    --------
    >>> k, alpha = rain_coefficients(24000, 0)
    >>> round(float(k), 4), round(float(alpha), 4)
    (0.1425, 1.0101)
    """
    f_mhz, elevation_deg = float_array(frequency_mhz), float_array(elevation_deg)
    log_f = np.log10(nan_unless((f_mhz >= 1_000.0) & (f_mhz <= 1_000_000.0), f_mhz) / 1000.0)
    k_h, k_v = np.power(10.0, _curve(log_f, *_K_H)), np.power(10.0, _curve(log_f, *_K_V))
    alpha_h, alpha_v = _curve(log_f, *_ALPHA_H), _curve(log_f, *_ALPHA_V)
    path = np.square(np.cos(np.deg2rad(nan_unless(np.abs(elevation_deg) <= 90.0, elevation_deg))))
    tilt_deg = float_array(polarisation_tilt_deg)
    turn = path * np.cos(2.0 * np.deg2rad(nan_unless(np.isfinite(tilt_deg), tilt_deg)))
    k = (k_h + k_v + (k_h - k_v) * turn) / 2.0
    alpha = (k_h * alpha_h + k_v * alpha_v + (k_h * alpha_h - k_v * alpha_v) * turn) / (2.0 * k)
    return k, alpha


def rain_specific_attenuation_db_per_km(
    rain_rate_mm_per_h: ArrayLike,
    frequency_mhz: ArrayLike,
    polarisation_tilt_deg: ArrayLike,
    elevation_deg: ArrayLike = 0.0,
) -> FloatArray:
    r"""Specific attenuation by rain.

    Parameters
    ----------
    rain_rate_mm_per_h : array_like of float, shape (...)
        Rain rate, >= 0. [mm/h]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, 1000 to 1,000,000. [MHz]
    polarisation_tilt_deg : array_like of float, broadcast with the rest
        Tilt of the polarisation from the horizontal: 0 horizontal, 90 vertical, 45 slant or circular. [deg]
    elevation_deg : array_like of float, broadcast with the rest, default 0
        Elevation angle of the path, -90 to 90. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Attenuation; NaN where an input is NaN or outside its range. [dB/km]

    Notes
    -----
    .. math:: \gamma_R = k R^\alpha

    Source: [P838]_, P.838-3 (2005), equation 1.

    Examples
    --------
    >>> round(float(rain_specific_attenuation_db_per_km(42, 24000, 0)), 2)
    6.22
    """
    rain_rate = float_array(rain_rate_mm_per_h)
    k, alpha = rain_coefficients(frequency_mhz, polarisation_tilt_deg, elevation_deg)
    return k * np.power(nan_unless((rain_rate >= 0.0) & np.isfinite(rain_rate), rain_rate), alpha)


def rain_path_factor(
    distance_m: ArrayLike, frequency_mhz: ArrayLike, rain_rate_mm_per_h: ArrayLike, alpha: ArrayLike
) -> FloatArray:
    r"""Effective length of a path in rain over its true length.

    Parameters
    ----------
    distance_m : array_like of float, shape (...)
        Length of the path, > 0 and at most 60 km. [m]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, 1000 to 100,000. [MHz]
    rain_rate_mm_per_h : array_like of float, broadcast with the rest
        Rain rate exceeded for 0.01 % of the average year, one-minute integration, >= 0. [mm/h]
    alpha : array_like of float, broadcast with the rest
        Exponent of the specific attenuation (`rain_coefficients`). [1]

    Returns
    -------
    ndarray of float, broadcast shape
        Factor r, at most 2.5 (short paths lie inside one cell, whose core is stronger than the rate at a point); NaN
        where an input is NaN or outside its range. [1]

    Notes
    -----
    .. math:: r = \frac{1}{0.477 d^{0.633} R_{0.01}^{0.073 \alpha} f^{0.123} - 10.579 (1 - e^{-0.024 d})}

    with d in km and f in GHz; 2.5 wherever the denominator is below 0.4. Source: [P530]_, P.530-17 (2017), section
    2.4.1, equation 32.

    Examples
    --------
    >>> round(float(rain_path_factor(3000, 5800, 42, 1.61415)), 3)
    0.902
    """
    distance_m, f_mhz = float_array(distance_m), float_array(frequency_mhz)
    rain_rate, alpha = float_array(rain_rate_mm_per_h), float_array(alpha)
    d = nan_unless((distance_m > 0.0) & (distance_m <= _LONGEST_PATH_M), distance_m) / 1000.0
    f = nan_unless((f_mhz >= 1_000.0) & (f_mhz <= _HIGHEST_PATH_MHZ), f_mhz) / 1000.0
    rain_rate = nan_unless((rain_rate >= 0.0) & np.isfinite(rain_rate), rain_rate)
    spread = 0.477 * np.power(d, 0.633) * np.power(rain_rate, 0.073 * alpha) * np.power(f, 0.123)
    denominator = spread - 10.579 * (1.0 - np.exp(-0.024 * d))
    return 1.0 / np.where(denominator < 0.4, 0.4, denominator)


def rain_attenuation_db(
    distance_m: ArrayLike,
    frequency_mhz: ArrayLike,
    rain_rate_mm_per_h: ArrayLike,
    percent: ArrayLike = 0.01,
    polarisation_tilt_deg: ArrayLike = VERTICAL_TILT_DEG,
    elevation_deg: ArrayLike = 0.0,
) -> FloatArray:
    r"""Rain attenuation exceeded for a share of the average year.

    Parameters
    ----------
    distance_m : array_like of float, shape (...)
        Length of the path, > 0 and at most 60 km. [m]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, 1000 to 100,000. [MHz]
    rain_rate_mm_per_h : array_like of float, broadcast with the rest
        Rain rate exceeded for 0.01 % of the average year, one-minute integration, >= 0. [mm/h]
    percent : array_like of float, broadcast with the rest, default 0.01
        Share of the average year, 0.001 to 1. [%]
    polarisation_tilt_deg : array_like of float, broadcast with the rest, default 90
        Tilt of the polarisation from the horizontal: 0 horizontal, 90 vertical, 45 slant or circular. [deg]
    elevation_deg : array_like of float, broadcast with the rest, default 0
        Elevation angle of the path, -90 to 90. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Attenuation; NaN where an input is NaN or outside its range. [dB]

    Notes
    -----
    .. math:: A_p = \gamma_R d r \, C_1 p^{-(C_2 + C_3 \log_{10} p)}

    At p = 0.01 the published fit gives 99.8 % of the attenuation it starts from. Source: [P530]_, P.530-17 (2017),
    section 2.4.1, equations 32 to 35.

    Examples
    --------
    >>> round(float(rain_attenuation_db(500, 60000, 42, 0.01)), 2)
    14.0
    """
    percent = float_array(percent)
    percent = nan_unless((percent >= SHORTEST_RAIN_PERCENT) & (percent <= LONGEST_RAIN_PERCENT), percent)
    at_001_db = _attenuation_at_001_db(
        distance_m, frequency_mhz, rain_rate_mm_per_h, polarisation_tilt_deg, elevation_deg
    )
    c_1, c_2, c_3 = _year_scaling(frequency_mhz)
    return at_001_db * c_1 * np.power(percent, -(c_2 + c_3 * np.log10(percent)))


def rain_exceeded_percent(
    margin_db: ArrayLike,
    distance_m: ArrayLike,
    frequency_mhz: ArrayLike,
    rain_rate_mm_per_h: ArrayLike,
    polarisation_tilt_deg: ArrayLike = VERTICAL_TILT_DEG,
    elevation_deg: ArrayLike = 0.0,
) -> FloatArray:
    r"""Share of the average year for which rain takes more than a margin.

    Parameters
    ----------
    margin_db : array_like of float, shape (...)
        Attenuation that may be lost before the path fails, > 0. [dB]
    distance_m : array_like of float, broadcast with the rest
        Length of the path, > 0 and at most 60 km. [m]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, 1000 to 100,000. [MHz]
    rain_rate_mm_per_h : array_like of float, broadcast with the rest
        Rain rate exceeded for 0.01 % of the average year, one-minute integration, > 0. [mm/h]
    polarisation_tilt_deg : array_like of float, broadcast with the rest, default 90
        Tilt of the polarisation from the horizontal: 0 horizontal, 90 vertical, 45 slant or circular. [deg]
    elevation_deg : array_like of float, broadcast with the rest, default 0
        Elevation angle of the path, -90 to 90. [deg]

    Returns
    -------
    ndarray of float, broadcast shape
        Share of the year, 0.001 to 1. NaN where an input is NaN or outside its range, and where the answer lies outside
        0.001 to 1 %: a margin above `rain_attenuation_db` at 0.001 % is lost more rarely than the method can tell, one
        below that at 1 % more often. [%]

    Notes
    -----
    The power law of `rain_attenuation_db` is a parabola in log p and is solved in closed form.
    Source: [P530]_, P.530-17 (2017), section 2.4.1, equations 34 and 35, inverted.

    Examples
    --------
    >>> round(float(rain_exceeded_percent(10, 500, 60000, 42)), 4)
    0.0246
    """
    margin_db = float_array(margin_db)
    at_001_db = _attenuation_at_001_db(
        distance_m, frequency_mhz, rain_rate_mm_per_h, polarisation_tilt_deg, elevation_deg
    )
    c_1, c_2, c_3 = _year_scaling(frequency_mhz)
    base_db = at_001_db * c_1
    # Solve c_3 x^2 + c_2 x + log10(margin / base) = 0 for x = log10 p, on the branch where a longer time means less
    # rain.
    offset = np.log10(nan_unless(margin_db > 0.0, margin_db) / nan_unless(base_db > 0.0, base_db))
    root = np.square(c_2) - 4.0 * c_3 * offset
    log_percent = (np.sqrt(nan_unless(root >= 0.0, root)) - c_2) / (2.0 * c_3)
    percent = np.power(10.0, log_percent)
    # A hair of room, so that the ends of the range come back as themselves.
    low, high = SHORTEST_RAIN_PERCENT * (1.0 - 1e-9), LONGEST_RAIN_PERCENT * (1.0 + 1e-9)
    return np.clip(
        nan_unless((percent >= low) & (percent <= high), percent), SHORTEST_RAIN_PERCENT, LONGEST_RAIN_PERCENT
    )


def _curve(log_f: FloatArray, terms: tuple[tuple[float, float, float], ...], slope: float, offset: float) -> FloatArray:
    """Return a sum of bell curves and a straight line over the logarithm of the frequency."""
    total = slope * log_f + offset
    for a, b, c in terms:
        total = total + a * np.exp(-np.square((log_f - b) / c))
    return total


def _attenuation_at_001_db(
    distance_m: ArrayLike,
    frequency_mhz: ArrayLike,
    rain_rate_mm_per_h: ArrayLike,
    polarisation_tilt_deg: ArrayLike,
    elevation_deg: ArrayLike,
) -> FloatArray:
    """Return the attenuation exceeded for 0.01 % of the average year (steps 1 to 4)."""
    rain_rate = float_array(rain_rate_mm_per_h)
    rain_rate = nan_unless((rain_rate >= 0.0) & np.isfinite(rain_rate), rain_rate)
    k, alpha = rain_coefficients(frequency_mhz, polarisation_tilt_deg, elevation_deg)
    factor = rain_path_factor(distance_m, frequency_mhz, rain_rate, alpha)
    effective_km = factor * (float_array(distance_m) / 1000.0)
    return k * np.power(rain_rate, alpha) * effective_km


def _year_scaling(frequency_mhz: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return C1, C2 and C3 of the scaling to other shares of the year (step 5)."""
    f = float_array(frequency_mhz) / 1000.0
    tens = np.log10(np.maximum(nan_unless(np.isfinite(f), f), 10.0) / 10.0)
    c_0 = 0.12 + 0.4 * np.power(tens, 0.8)
    c_1 = np.power(0.07, c_0) * np.power(0.12, 1.0 - c_0)
    return c_1, 0.855 * c_0 + 0.546 * (1.0 - c_0), 0.139 * c_0 + 0.043 * (1.0 - c_0)
