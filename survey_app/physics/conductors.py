"""Conductors: what a metre of copper costs in ohms, and what a run of cable adds up to."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import FloatArray, float_array, nan_unless
from survey_app.physics.domains import finite, not_negative

__all__ = [
    "ALUMINIUM_CORE_FACTOR",
    "CABLING_LIMIT_OHM_PER_KM",
    "COPPER_COEFFICIENT_PER_K",
    "DATA_LIMIT_M",
    "IEC_60228_OHM_PER_KM",
    "WIRINGS",
    "conductor_diameter_mm",
    "conductor_ohm_per_km",
    "loop_resistance_ohm",
    "resistance_at_temperature_ohm",
]

#: Change of copper's resistance with temperature, about 1 / 254.5 K. [IACS]_, from memory.
COPPER_COEFFICIENT_PER_K: Final = 0.00393

#: Highest resistance of one conductor of data cable at 20 C: to be used where the cable is unknown. [TIA568]_.
CABLING_LIMIT_OHM_PER_KM: Final = 93.8

#: Longest data channel over copper. [TIA568]_, also ISO/IEC 11801.
DATA_LIMIT_M: Final = 100.0

#: Class 1 copper at 20 C by cross-section in mm2. [IEC60228]_, table A.1.
IEC_60228_OHM_PER_KM: Final = {0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41}

#: Copper-clad aluminium against copper of the same gauge, lowest and highest. Cable makers' pages, [PRACTICE]_.
ALUMINIUM_CORE_FACTOR: Final = (1.55, 1.60)

#: Loop resistance over resistance of one conductor: two pairs in parallel pairwise, four pairs, two single wires.
WIRINGS: Final = {"two-pair": 1.0, "four-pair": 0.5, "two-wire": 2.0}

_RESISTIVITY_OHM_MM2_PER_M = 0.017241  # annealed copper at 20 C, [IACS]_
_COPPER_ZERO_C = 20.0 - 1.0 / COPPER_COEFFICIENT_PER_K


def conductor_diameter_mm(awg: ArrayLike) -> FloatArray:
    r"""Diameter of a solid conductor of a given gauge.

    Parameters
    ----------
    awg : array_like of float, shape (...)
        American wire gauge, 0 to 40.

    Returns
    -------
    ndarray of float, shape (...)
        Diameter; NaN where the gauge is NaN or outside 0 to 40. [mm]

    Notes
    -----
    .. math:: d = 0.127 \cdot 92^{(36 - n) / 39}

    Source: [B258]_.

    Examples
    --------
    >>> round(float(conductor_diameter_mm(24)), 4)
    0.5106
    """
    gauge = float_array(awg)
    return 0.127 * np.power(92.0, (36.0 - nan_unless((gauge >= 0) & (gauge <= 40), gauge)) / 39.0)


def conductor_ohm_per_km(awg: ArrayLike) -> FloatArray:
    r"""Resistance of one solid copper conductor at 20 C.

    Parameters
    ----------
    awg : array_like of float, shape (...)
        American wire gauge, 0 to 40.

    Returns
    -------
    ndarray of float, shape (...)
        Resistance; NaN where the gauge is NaN or outside 0 to 40. [ohm/km]

    Notes
    -----
    .. math:: r = 1000 \rho / (\pi d^2 / 4)

    Real data cable is a few per cent worse (twist, tolerance); its own sheet outranks this. Source: [B258]_, [IACS]_.

    Examples
    --------
    >>> round(float(conductor_ohm_per_km(24)), 2)
    84.21
    """
    diameter_mm = conductor_diameter_mm(awg)
    return 1000.0 * _RESISTIVITY_OHM_MM2_PER_M / (0.25 * np.pi * diameter_mm * diameter_mm)


def resistance_at_temperature_ohm(resistance_20c_ohm: ArrayLike, temperature_c: ArrayLike) -> FloatArray:
    r"""Resistance of copper at another temperature than 20 C.

    Parameters
    ----------
    resistance_20c_ohm : array_like of float, shape (...)
        Resistance (or resistance per length) at 20 C, >= 0. [ohm]
    temperature_c : array_like of float, broadcast with it
        Temperature of the conductor. [degC]

    Returns
    -------
    ndarray of float, broadcast shape
        Resistance in the same unit; NaN where an input is NaN, the resistance negative, or the straight line of the
        formula would reach zero (below about -234 C). [ohm]

    Notes
    -----
    .. math:: R = R_{20} (1 + 0.00393 (T - 20))

    Source: [IACS]_ (coefficient from memory). 60 C stands for a jacket in the sun ([PRACTICE]_).

    Examples
    --------
    >>> round(float(resistance_at_temperature_ohm(84.21, 60)), 2)
    97.45
    """
    temperature = finite(temperature_c)
    temperature = nan_unless(temperature > _COPPER_ZERO_C, temperature)
    return not_negative(resistance_20c_ohm) * (1.0 + COPPER_COEFFICIENT_PER_K * (temperature - 20.0))


def loop_resistance_ohm(
    conductor_ohm_per_km: ArrayLike,
    length_m: ArrayLike,
    wiring: ArrayLike = "two-pair",
    extra_ohm: ArrayLike = 0.0,
) -> FloatArray:
    r"""Resistance there and back of a run of cable.

    Parameters
    ----------
    conductor_ohm_per_km : array_like of float, shape (...)
        Resistance of one conductor at its temperature, >= 0. [ohm/km]
    length_m : array_like of float, broadcast with it
        Length of the run, >= 0. [m]
    wiring : {"two-pair", "four-pair", "two-wire"} or array of these, broadcast with it, default "two-pair"
        How the conductors carry the current: one pair out and one back, all four pairs, or two single wires.
    extra_ohm : array_like of float, broadcast with it, default 0
        Plugs, injector and surge protectors of the run, >= 0; 0.1 to 0.3 is usual ([PRACTICE]_). [ohm]

    Returns
    -------
    ndarray of float, broadcast shape
        Resistance; NaN where an input is NaN or negative. [ohm]

    Raises
    ------
    UnknownNameError
        A wiring that is none of `WIRINGS`.

    Notes
    -----
    .. math:: R = f\, r\, L + R_x

    with f = 1, 1/2 or 2. Derived from the conductors in parallel.

    Examples
    --------
    >>> round(float(loop_resistance_ohm(84.21, 60)), 4)
    5.0526
    """
    factor = _wiring_factor(np.asarray(wiring))
    cable_ohm = factor * not_negative(conductor_ohm_per_km) * not_negative(length_m) / 1000.0
    return cable_ohm + not_negative(extra_ohm)


def _wiring_factor(wiring: NDArray[np.str_]) -> FloatArray:
    factor: FloatArray = np.full(wiring.shape, np.nan)
    for name, value in WIRINGS.items():
        factor = np.where(wiring == name, value, factor)
    if np.isnan(factor).any():
        unknown = str(wiring[np.isnan(factor)].flat[0])
        raise UnknownNameError(f"unknown wiring {unknown!r}", remedy=f"use one of {', '.join(WIRINGS)}")
    return factor
