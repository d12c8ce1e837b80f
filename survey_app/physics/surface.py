"""Open surfaces that throw a wave back: water and ground, as a wave sees them."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import ComplexArray, FloatArray, float_array, nan_unless
from survey_app.physics.material import complex_permittivity, material

__all__ = ["GROUNDS", "SURFACES", "surface_permittivity", "water_permittivity"]

#: Ground: relative permittivity a f^b and conductivity c f^d in S/m, f in GHz, from 1 to 10 GHz.
#: [P2040]_, P.2040-3 (2023), section 3, Table 3, last rows.
GROUNDS: Final = {
    "very dry ground": (3.0, 0.0, 0.00015, 2.52),
    "medium dry ground": (15.0, -0.1, 0.035, 1.63),
    "wet ground": (30.0, -0.4, 0.15, 1.30),
}

_WATERS: Final = {"fresh water": 0.0, "sea water": 35.0}
_BUILT: Final = ("concrete", "metal")

#: Names that `surface_permittivity` knows.
SURFACES: Final = (*_WATERS, *GROUNDS, *_BUILT)

# 1 / (2 pi epsilon_0) per 1e9 Hz, [SI]_.
_LOSS_FACTOR = 17.97510


def water_permittivity(
    frequency_mhz: ArrayLike, temperature_c: ArrayLike = 15.0, salinity_g_per_kg: ArrayLike = 0.0
) -> ComplexArray:
    r"""Relative permittivity of fresh or salt water, loss included.

    Parameters
    ----------
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency, > 0 and <= 500,000. [MHz]
    temperature_c : array_like of float, broadcast with it, default 15
        Temperature of the water, -2 to 30. [deg C]
    salinity_g_per_kg : array_like of float, broadcast with it, default 0
        Salt, 0 to 40; the open sea has about 35, a river mouth anything between. [g/kg]

    Returns
    -------
    ndarray of complex, broadcast shape
        Permittivity, imaginary part <= 0 (time goes as exp(+j w t)); NaN where an input is NaN or outside its range.
        [1]

    Notes
    -----
    .. math:: \epsilon = \frac{\epsilon_s - \epsilon_1}{1 + j f / f_1}
        + \frac{\epsilon_1 - \epsilon_\infty}{1 + j f / f_2}
        + \epsilon_\infty - j \frac{\sigma}{2 \pi \epsilon_0 f}

    Two relaxations and the conductivity of the salt. Source: [MEISSNER]_, 2004, equations (5) to (17).

    Examples
    --------
    >>> value = water_permittivity(5500, 20, 35)
    >>> round(float(value.real), 1), round(float(value.imag), 1)
    (66.0, -34.4)
    """
    f_ghz, t, s = np.broadcast_arrays(*map(float_array, (frequency_mhz, temperature_c, salinity_g_per_kg)))
    f_ghz = nan_unless((f_ghz > 0.0) & (f_ghz <= 500_000.0), f_ghz) / 1000.0
    t = nan_unless((t >= -2.0) & (t <= 30.0), t)
    s = nan_unless((s >= 0.0) & (s <= 40.0), s)
    at_rest = (3.70886e4 - 8.2168e1 * t) / (4.21854e2 + t)
    between = 5.7230 + t * (2.2379e-2 - 7.1237e-4 * t)
    fast = 3.6143 + 2.8841e-2 * t
    f1_ghz = (45.0 + t) / (5.0478 + t * (-7.0315e-2 + 6.0059e-4 * t))
    f2_ghz = (45.0 + t) / (1.3652e-1 + t * (1.4825e-3 + 2.4166e-4 * t))
    at_rest = at_rest * np.exp(s * (-3.56417e-3 + 4.74868e-6 * s + 1.15574e-5 * t))
    between = between * np.exp(s * (-6.28908e-3 + 1.76032e-4 * s - 9.22144e-5 * t))
    fast = fast * (1.0 + s * (-2.04265e-3 + 1.57883e-4 * t))
    f1_ghz = f1_ghz * (1.0 + s * (2.39357e-3 + t * (-3.13530e-5 + 2.52477e-7 * t)))
    f2_ghz = f2_ghz * (1.0 + s * (-1.99723e-2 + 1.81176e-4 * t))
    # written out in real numbers, because numpy rounds products of complex ones differently for one and for many
    lag_1, lag_2 = f_ghz / f1_ghz, f_ghz / f2_ghz
    part_1 = (at_rest - between) / (1.0 + lag_1 * lag_1)
    part_2 = (between - fast) / (1.0 + lag_2 * lag_2)
    lost = lag_1 * part_1 + lag_2 * part_2 + _LOSS_FACTOR * _salt_water_s_per_m(t, s) / f_ghz
    return _complex(part_1 + part_2 + fast, lost)


def _complex(real: FloatArray, lost: FloatArray) -> ComplexArray:
    result: ComplexArray = np.empty(real.shape, np.complex128)
    result.real, result.imag = real, -lost
    return result


def _salt_water_s_per_m(t: FloatArray, s: FloatArray) -> FloatArray:
    """Return the conductivity of salt water, [MEISSNER]_, 2004, equations (10) to (12)."""
    standard = 2.903602 + t * (8.607e-2 + t * (4.738817e-4 + t * (-2.991e-6 + 4.3047e-9 * t)))
    share = s * (37.5109 + s * (5.45216 + 1.4409e-2 * s)) / (1004.75 + s * (182.283 + s))
    first = (6.9431 + s * (3.2841 - 9.9486e-2 * s)) / (84.850 + s * (69.024 + s))
    second = 49.843 + s * (-0.2276 + 0.198e-2 * s)
    return standard * share * (1.0 + (t - 15.0) * first / (second + t))


def surface_permittivity(name: str, frequency_mhz: ArrayLike, temperature_c: ArrayLike = 15.0) -> ComplexArray:
    r"""Relative permittivity of a surface that waves are thrown back from, loss included.

    Parameters
    ----------
    name : str
        One of `SURFACES`.
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency. [MHz]
    temperature_c : array_like of float, broadcast with it, default 15
        Temperature, -2 to 30; of water only. [deg C]

    Returns
    -------
    ndarray of complex, broadcast shape
        Permittivity, imaginary part <= 0; NaN where an input is NaN or outside its range: ground 1 to 10 GHz, concrete
        and metal 1 to 100 GHz. [1]

    Raises
    ------
    UnknownNameError
        No surface has this name.

    Notes
    -----
    .. math:: \eta = a f^b - j\, 17.98\, c f^d / f

    with f in GHz. Source: [P2040]_, P.2040-3 (2023), section 3, Table 3; water as in `water_permittivity`, the sea with
    35 g of salt in the kilogram.

    Examples
    --------
    >>> value = surface_permittivity("wet ground", 5500)
    >>> round(float(value.real), 2), round(float(value.imag), 2)
    (15.17, -4.5)
    """
    if name in _WATERS:
        return water_permittivity(frequency_mhz, temperature_c, _WATERS[name])
    if name in _BUILT:
        return complex_permittivity(material(name), frequency_mhz)
    if name not in GROUNDS:
        raise UnknownNameError(f"no surface is called {name!r}", remedy=f"use one of {', '.join(SURFACES)}")
    a, b, c, d = GROUNDS[name]
    f_ghz = float_array(frequency_mhz) / 1000.0
    f_ghz = nan_unless((f_ghz >= 1.0) & (f_ghz <= 10.0), f_ghz)
    return _complex(a * np.power(f_ghz, b), _LOSS_FACTOR * c * np.power(f_ghz, d) / f_ghz)
