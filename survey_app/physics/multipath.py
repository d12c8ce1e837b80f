"""Multipath in clear air: how often layers of the air make the level of a long hop fade."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.domains import finite, not_negative

__all__ = [
    "HIGHEST_PERCENT",
    "LOWEST_PERCENT",
    "SHORTEST_M",
    "detailed_occurrence_percent",
    "multipath_exceeded_percent",
    "quick_occurrence_percent",
]

#: Shortest hop for which the method says anything; below it the fading may be taken as none. [P530]_ (-18 as quoted).
SHORTEST_M: Final = 5_000.0

#: Least occurrence factor for which the shallow fades are worked out; what is rarer counts as none.
LOWEST_PERCENT: Final = 1e-12

#: Largest occurrence factor for which the shallow fades are worked out; beyond it the curve would rise with the fade.
HIGHEST_PERCENT: Final = 2_000.0

# Highest frequency and, with the length of the hop, lowest frequency of the method. [P530]_, from memory.
_HIGHEST_GHZ = 45.0
_GHZ_KM = 15.0


def _path(
    distance_m: ArrayLike, frequency_mhz: ArrayLike, h1_m: ArrayLike, h2_m: ArrayLike
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Return length in km, frequency in GHz, lower height and inclination in mrad; NaN outside the method's range."""
    d_km, f_ghz = float_array(distance_m) / 1000.0, float_array(frequency_mhz) / 1000.0
    d_km = nan_unless((d_km >= SHORTEST_M / 1000.0) & (d_km < np.inf), d_km)
    f_ghz = nan_unless((f_ghz * d_km >= _GHZ_KM) & (f_ghz <= _HIGHEST_GHZ), f_ghz)
    h1_m, h2_m = finite(h1_m), finite(h2_m)
    return d_km, f_ghz, np.minimum(h1_m, h2_m), np.abs(h1_m - h2_m) / d_km


def detailed_occurrence_percent(
    distance_m: ArrayLike,
    frequency_mhz: ArrayLike,
    h1_m: ArrayLike,
    h2_m: ArrayLike,
    refractivity_gradient_n_per_km: ArrayLike,
    roughness_m: ArrayLike,
) -> FloatArray:
    r"""Occurrence factor of multipath fading: the straight line of deep fades drawn back to no fade.

    Parameters
    ----------
    distance_m : array_like of float, shape (...)
        Length of the hop, >= 5000: the method was made from long hops, and says of shorter ones only that the fading
        may be taken as none. [m]
    frequency_mhz : array_like of float, broadcast with it
        Carrier frequency, 15 GHz over the kilometres of the hop to 45 GHz. [MHz]
    h1_m, h2_m : array_like of float, broadcast with it
        Heights of the antennas above sea level. [m]
    refractivity_gradient_n_per_km : array_like of float, broadcast with it
        Gradient in the lowest 65 m that is not exceeded for 1 % of the average year, negative. [N-units/km]
    roughness_m : array_like of float, broadcast with it
        Standard deviation of the terrain heights over 110 km, >= 0. [m]

    Returns
    -------
    ndarray of float, broadcast shape
        Percentage of the average worst month, which may exceed 100; NaN outside the range. [%]

    Notes
    -----
    .. math:: p_0 = K d^{3.4} (1 + |\epsilon_p|)^{-1.03} f^{0.8} 10^{-0.00076 h_L}

    .. math:: K = 10^{-4.4 - 0.0027 N_1} (10 + s_a)^{-0.46}

    d in km, f in GHz, inclination in mrad. The least length is that of P.530-18 as quoted in public code, the range of
    frequency from memory. Source: [P530]_, P.530-17 (2017), section 2.3.1, equations (4), (5) and (7).

    Examples
    --------
    >>> detailed_occurrence_percent([10_000, 1_000], 5800, 120, 80, -122.0659, 40.16).round(4)
    array([0.0238,    nan])
    """
    d_km, f_ghz, lower_m, inclination = _path(distance_m, frequency_mhz, h1_m, h2_m)
    rough = np.power(10.0 + not_negative(roughness_m), -0.46)
    climate = np.power(10.0, -4.4 - 0.0027 * finite(refractivity_gradient_n_per_km)) * rough
    height = np.power(10.0, -0.00076 * lower_m)
    return climate * np.power(d_km, 3.4) * np.power(1.0 + inclination, -1.03) * np.power(f_ghz, 0.8) * height


def quick_occurrence_percent(
    distance_m: ArrayLike,
    frequency_mhz: ArrayLike,
    h1_m: ArrayLike,
    h2_m: ArrayLike,
    refractivity_gradient_n_per_km: ArrayLike,
) -> FloatArray:
    r"""Occurrence factor of multipath fading without knowing the terrain.

    Parameters
    ----------
    distance_m, frequency_mhz, h1_m, h2_m, refractivity_gradient_n_per_km
        As in `detailed_occurrence_percent`.

    Returns
    -------
    ndarray of float, broadcast shape
        Percentage of the average worst month, which may exceed 100; NaN outside the range. [%]

    Notes
    -----
    .. math:: p_0 = K d^{3.1} (1 + |\epsilon_p|)^{-1.29} f^{0.8} 10^{-0.00089 h_L}, \quad K = 10^{-4.6 - 0.0027 N_1}

    Source: [P530]_, P.530-17 (2017), section 2.3.1, quick planning; coefficients from memory.

    Examples
    --------
    >>> round(float(quick_occurrence_percent(10_000, 5800, 120, 80, -200)), 4)
    0.0476
    """
    d_km, f_ghz, lower_m, inclination = _path(distance_m, frequency_mhz, h1_m, h2_m)
    climate = np.power(10.0, -4.6 - 0.0027 * finite(refractivity_gradient_n_per_km))
    height = np.power(10.0, -0.00089 * lower_m)
    return climate * np.power(d_km, 3.1) * np.power(1.0 + inclination, -1.29) * np.power(f_ghz, 0.8) * height


def multipath_exceeded_percent(fade_db: ArrayLike, occurrence_percent: ArrayLike) -> FloatArray:
    r"""Share of the average worst month in which multipath takes more than a given fade, deep or shallow.

    Parameters
    ----------
    fade_db : array_like of float, shape (...)
        Depth of the fade, >= 0. [dB]
    occurrence_percent : array_like of float, broadcast with it
        See `detailed_occurrence_percent`, 0 to 2000. [%]

    Returns
    -------
    ndarray of float, broadcast shape
        Percentage, never rising with the fade; 0 where the occurrence is below 1e-12 %; NaN where an input is NaN or
        outside its range. [%]

    Notes
    -----
    Deep fades, beyond :math:`A_t = 25 + 1.2 \log_{10} p_0`, follow :math:`p = p_0 10^{-A / 10}`. Shallower ones:

    .. math:: p = 100 \left[ 1 - \exp \left( -10^{-q_a A / 20} \right) \right]

    .. math:: q_a = 2 + (1 + 0.3 \cdot 10^{-A/20})\, 10^{-0.016 A}
        \left[ q_t + 4.3 \left( 10^{-A/20} + \frac{A}{800} \right) \right]

    .. math:: q_t = \frac{q_a' - 2}{(1 + 0.3 \cdot 10^{-A_t/20})\, 10^{-0.016 A_t}}
        - 4.3 \left( 10^{-A_t/20} + \frac{A_t}{800} \right)

    .. math:: q_a' = -20 \log_{10} \left[ -\ln (1 - p_t / 100) \right] / A_t, \quad p_t = p_0 10^{-A_t/10}

    Both lines meet at the transition. Where no fade is asked of it, the form gives 63.2 %. Source: [P530]_, P.530-17
    (2017), section 2.3.2; one bracket as in public code that follows -18, and as the meeting of the lines demands.

    Examples
    --------
    >>> multipath_exceeded_percent([5, 10, 30], 0.05).round(5)
    array([2.6002e-01, 1.3870e-02, 5.0000e-05])
    """
    fade_db, occurrence = not_negative(fade_db), not_negative(occurrence_percent)
    occurrence = nan_unless(occurrence <= HIGHEST_PERCENT, occurrence)
    rare = occurrence < LOWEST_PERCENT
    usable = np.where(rare, LOWEST_PERCENT, occurrence)
    meet_db = 25.0 + 1.2 * np.log10(usable)
    deep = usable * np.power(10.0, -fade_db / 10.0)
    meet = usable * np.power(10.0, -meet_db / 10.0)
    slope_meet = -20.0 * np.log10(-np.log1p(-meet / 100.0)) / meet_db
    constant = (slope_meet - 2.0) / _bend(meet_db) - _lift(meet_db)
    slope = 2.0 + _bend(fade_db) * (constant + _lift(fade_db))
    shallow = -100.0 * np.expm1(-np.power(10.0, -slope * fade_db / 20.0))
    # Both as numbers first, so that NaN stays NaN.
    result = np.where(fade_db >= meet_db, deep, shallow)
    return np.where(rare & ~np.isnan(fade_db), 0.0, result)


def _bend(fade_db: FloatArray) -> FloatArray:
    return (1.0 + 0.3 * np.power(10.0, -fade_db / 20.0)) * np.power(10.0, -0.016 * fade_db)


def _lift(fade_db: FloatArray) -> FloatArray:
    return 4.3 * (np.power(10.0, -fade_db / 20.0) + fade_db / 800.0)
