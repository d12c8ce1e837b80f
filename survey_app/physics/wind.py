"""Wind: pressure and force on what hangs on a pole.

Two codes describe wind, with different gusts and different load factors: V of ASCE 7 is an ultimate 3-s gust, vb of
EN 1991-1-4 a 10-min mean. A speed of the one must never enter a formula of the other.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import FloatArray, nan_unless
from survey_app.physics.domains import finite, fraction, not_negative, positive

__all__ = [
    "ASCE7_EXPOSURES",
    "DRAG_COEFFICIENTS",
    "EN1991_TERRAINS",
    "asce7_exposure_factor",
    "asce7_velocity_pressure_pa",
    "effective_area_m2",
    "en1991_mean_speed_m_s",
    "en1991_peak_pressure_pa",
    "en1991_turbulence",
    "slanted_area_m2",
    "wind_force_n",
]

#: Exponent alpha and gradient height in metres of each exposure, editions to 7-16. [ASCE7]_, table 26.11-1.
ASCE7_EXPOSURES: Final = {"B": (7.0, 365.76), "C": (9.5, 274.32), "D": (11.5, 213.36)}

#: Roughness length and least height in metres of each terrain. [EN1991]_, table 4.1.
EN1991_TERRAINS: Final = {
    "0": (0.003, 1.0),
    "I": (0.01, 1.0),
    "II": (0.05, 2.0),
    "III": (0.3, 5.0),
    "IV": (1.0, 10.0),
}

#: Drag over frontal area where the maker gives no effective area. [PRACTICE]_.
DRAG_COEFFICIENTS: Final = {"panel": 1.2, "dish": 1.3, "pole": 1.2, "dome": 0.8}

_ASCE7_PA = 0.613  # half of 1.225 kg/m3, [ASCE7]_ equation 26.10-1
_ASCE7_LEAST_HEIGHT_M = 4.572  # 15 ft
_EN1991_DENSITY_KG_M3 = 1.25
_EN1991_HIGHEST_M = 200.0


def asce7_exposure_factor(height_m: ArrayLike, exposure: str = "C") -> FloatArray:
    r"""Velocity pressure exposure coefficient Kz.

    Parameters
    ----------
    height_m : array_like of float, shape (...)
        Height above ground, >= 0; at least 15 ft is used. [m]
    exposure : {"B", "C", "D"}, default "C"
        Built-up, open country, open water.

    Returns
    -------
    ndarray of float, shape (...)
        Coefficient; NaN where the height is NaN, negative or above the gradient height.

    Raises
    ------
    UnknownNameError
        `exposure` is none of these.

    Notes
    -----
    .. math:: K_z = 2.01 (z / z_g)^{2 / \alpha}

    Source: [ASCE7]_, 7-16, table 26.10-1 note 1, from public pages.

    Examples
    --------
    >>> round(float(asce7_exposure_factor(6)), 2)
    0.9
    """
    if exposure not in ASCE7_EXPOSURES:
        raise UnknownNameError(f"unknown exposure {exposure!r}", remedy="use B, C or D")
    alpha, gradient_m = ASCE7_EXPOSURES[exposure]
    height = np.maximum(not_negative(height_m), _ASCE7_LEAST_HEIGHT_M)
    return 2.01 * np.power(nan_unless(height <= gradient_m, height) / gradient_m, 2.0 / alpha)


def asce7_velocity_pressure_pa(
    gust_m_s: ArrayLike,
    exposure_factor: ArrayLike = 1.0,
    topographic_factor: ArrayLike = 1.0,
    direction_factor: ArrayLike = 1.0,
    elevation_factor: ArrayLike = 1.0,
) -> FloatArray:
    r"""Velocity pressure by ASCE 7.

    Parameters
    ----------
    gust_m_s : array_like of float, shape (...)
        Ultimate 3-s gust V at 10 m in open country, >= 0. [m/s]
    exposure_factor, topographic_factor, direction_factor, elevation_factor : array_like of float, broadcast with it
        Kz, Kzt, Kd and Ke, each > 0, default 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Pressure; NaN where an input is NaN or out of domain. [Pa]

    Notes
    -----
    .. math:: q = 0.613\, K_z K_{zt} K_d K_e V^2

    Source: [ASCE7]_, 7-16, equation 26.10-1. From 7-22 on Kd stands in the equations of force: apply it once.

    Examples
    --------
    >>> round(float(asce7_velocity_pressure_pa(45, 0.85, direction_factor=0.95)), 1)
    1002.4
    """
    factors = positive(exposure_factor) * positive(topographic_factor)
    factors = factors * positive(direction_factor) * positive(elevation_factor)
    return _ASCE7_PA * factors * np.square(not_negative(gust_m_s))


def _en1991_height(height_m: ArrayLike, terrain: str) -> tuple[FloatArray, float]:
    if terrain not in EN1991_TERRAINS:
        raise UnknownNameError(f"unknown terrain {terrain!r}", remedy=f"use one of {', '.join(EN1991_TERRAINS)}")
    roughness_m, least_m = EN1991_TERRAINS[terrain]
    height = np.maximum(not_negative(height_m), least_m)
    return nan_unless(height <= _EN1991_HIGHEST_M, height), roughness_m


def en1991_mean_speed_m_s(
    basic_m_s: ArrayLike, height_m: ArrayLike, terrain: str = "II", orography: ArrayLike = 1.0
) -> FloatArray:
    r"""Mean wind speed at a height, by EN 1991-1-4.

    Parameters
    ----------
    basic_m_s : array_like of float, shape (...)
        Basic wind speed vb, 10-min mean, >= 0. [m/s]
    height_m : array_like of float, broadcast with it
        Height above ground, 0 to 200. [m]
    terrain : {"0", "I", "II", "III", "IV"}, default "II"
        Terrain category.
    orography : array_like of float, broadcast with it, default 1
        Orography factor co, > 0.

    Returns
    -------
    ndarray of float, broadcast shape
        Speed; NaN where an input is NaN or out of domain. [m/s]

    Raises
    ------
    UnknownNameError
        `terrain` is none of these.

    Notes
    -----
    .. math:: v_m = c_r c_o v_b, \quad c_r = k_r \ln(z / z_0), \quad k_r = 0.19 (z_0 / 0.05)^{0.07}

    Source: [EN1991]_, 2005, 4.3, recommended values; a national annex may differ.

    Examples
    --------
    >>> round(float(en1991_mean_speed_m_s(25, 77.36, "0")), 2)
    39.62
    """
    height, roughness_m = _en1991_height(height_m, terrain)
    terrain_factor = 0.19 * float(np.power(roughness_m / 0.05, 0.07))
    roughness_factor = terrain_factor * np.log(height / roughness_m)
    return roughness_factor * positive(orography) * not_negative(basic_m_s)


def en1991_turbulence(height_m: ArrayLike, terrain: str = "II", orography: ArrayLike = 1.0) -> FloatArray:
    r"""Turbulence intensity at a height, by EN 1991-1-4.

    Parameters
    ----------
    height_m, terrain, orography
        As in `en1991_mean_speed_m_s`.

    Returns
    -------
    ndarray of float, broadcast shape
        Standard deviation of the speed over its mean; NaN where an input is NaN or out of domain.

    Raises
    ------
    UnknownNameError
        `terrain` is none of `EN1991_TERRAINS`.

    Notes
    -----
    .. math:: I_v = 1 / (c_o \ln(z / z_0))

    Source: [EN1991]_, 2005, 4.4, with the recommended turbulence factor 1.

    Examples
    --------
    >>> round(float(en1991_turbulence(10)), 4)
    0.1887
    """
    height, roughness_m = _en1991_height(height_m, terrain)
    return 1.0 / (positive(orography) * np.log(height / roughness_m))


def en1991_peak_pressure_pa(
    basic_m_s: ArrayLike, height_m: ArrayLike, terrain: str = "II", orography: ArrayLike = 1.0
) -> FloatArray:
    r"""Peak velocity pressure at a height, by EN 1991-1-4.

    Parameters
    ----------
    basic_m_s, height_m, terrain, orography
        As in `en1991_mean_speed_m_s`.

    Returns
    -------
    ndarray of float, broadcast shape
        Pressure, characteristic: before any load factor; NaN where an input is NaN or out of domain. [Pa]

    Raises
    ------
    UnknownNameError
        `terrain` is none of `EN1991_TERRAINS`.

    Notes
    -----
    .. math:: q_p = (1 + 7 I_v) \tfrac{1}{2} \rho v_m^2, \quad \rho = 1.25

    Source: [EN1991]_, 2005, 4.5, recommended values.

    Examples
    --------
    >>> round(float(en1991_peak_pressure_pa(25, 10)), 1)
    918.9
    """
    mean = en1991_mean_speed_m_s(basic_m_s, height_m, terrain, orography)
    gust = 1.0 + 7.0 * en1991_turbulence(height_m, terrain, orography)
    return gust * 0.5 * _EN1991_DENSITY_KG_M3 * np.square(mean)


def effective_area_m2(frontal_area_m2: ArrayLike, drag: ArrayLike) -> FloatArray:
    """Effective projected area: frontal area times drag.

    Parameters
    ----------
    frontal_area_m2 : array_like of float, shape (...)
        Area seen by the wind, with the bracket, >= 0. [m2]
    drag : array_like of float, broadcast with it
        Drag coefficient, > 0; see `DRAG_COEFFICIENTS`.

    Returns
    -------
    ndarray of float, broadcast shape
        Area; the maker's figure outranks it. NaN where an input is NaN or out of domain. [m2]

    Notes
    -----
    Source: [TIA222]_ (definition of the effective projected area).

    Examples
    --------
    >>> round(float(effective_area_m2(0.09, 1.2)), 3)
    0.108
    """
    return not_negative(frontal_area_m2) * positive(drag)


def slanted_area_m2(
    normal_area_m2: ArrayLike, side_area_m2: ArrayLike, angle_deg: ArrayLike, shielding: ArrayLike = 1.0
) -> FloatArray:
    r"""Effective area for wind from an angle.

    Parameters
    ----------
    normal_area_m2, side_area_m2 : array_like of float, shape (...)
        Effective areas for wind from the front and from the side, >= 0. [m2]
    angle_deg : array_like of float, broadcast with them
        Direction of the wind off the front. [deg]
    shielding : array_like of float, broadcast with them, default 1
        Shielding factor Ka, > 0 and <= 1.

    Returns
    -------
    ndarray of float, broadcast shape
        Area; NaN where an input is NaN or out of domain. [m2]

    Notes
    -----
    .. math:: A = K_a (A_N \cos^2 \theta + A_T \sin^2 \theta)

    Source: [TIA222]_, revision G, 2.6.9.2, as quoted in public.

    Examples
    --------
    >>> round(float(slanted_area_m2(0.108, 0.036, 45)), 3)
    0.072
    """
    angle = np.deg2rad(finite(angle_deg))
    front = not_negative(normal_area_m2) * np.square(np.cos(angle))
    side = not_negative(side_area_m2) * np.square(np.sin(angle))
    return fraction(shielding) * (front + side)


def wind_force_n(pressure_pa: ArrayLike, effective_area_m2: ArrayLike, gust_factor: ArrayLike = 1.0) -> FloatArray:
    """Force of the wind.

    Parameters
    ----------
    pressure_pa : array_like of float, shape (...)
        Velocity pressure, >= 0. [Pa]
    effective_area_m2 : array_like of float, broadcast with it
        Effective area, >= 0. [m2]
    gust_factor : array_like of float, broadcast with it, default 1
        Gust effect factor (Gh, 1.1 for tubular poles by [TIA222]_; 1 with the peak pressure of EN 1991-1-4), > 0.

    Returns
    -------
    ndarray of float, broadcast shape
        Force; NaN where an input is NaN or out of domain. [N]

    Notes
    -----
    Source: [TIA222]_, revision G, 2.6.

    Examples
    --------
    >>> round(float(wind_force_n(1002.4, 0.108)), 1)
    108.3
    """
    return not_negative(pressure_pa) * positive(gust_factor) * not_negative(effective_area_m2)
