"""Building materials: what they are to a wave, as the published table has them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from survey_app.data import shared_folder
from survey_app.errors import UnknownNameError
from survey_app.physics.arrays import ComplexArray, FloatArray, float_array, nan_unless

__all__ = ["AIR", "Material", "complex_permittivity", "conductivity_s_per_m", "material", "material_names"]

# 1 / (2 pi epsilon_0) per 1e9 Hz, rounded as printed: [P2040]_, P.2040-3 (2023), section 2.1.2.
_LOSS_FACTOR = 17.98


@dataclass(frozen=True)
class Material:
    """A material of the published table.

    Attributes
    ----------
    name : str
    a, b : float
        Relative permittivity is a f^b, f in GHz. [1]
    c, d : float
        Conductivity is c f^d, f in GHz. [S/m]
    lowest_ghz, highest_ghz : float
        Range of the table's row; beyond it nothing is known. [GHz]
    permittivity_spread, conductivity_spread : float
        Factors >= 1 by which permittivity and conductivity of a real wall may be higher or lower (moisture, make):
        common practice, not part of the table. [1]
    usual_mm : tuple of float
        Thin, usual and thick for one layer of it, where nobody measured: common practice. [mm]
    solid_up_to_mm : float
        A wall of it that is thicker is two boards with a gap between; infinite where walls of it are solid: common
        practice. [mm]
    """

    name: str
    a: float
    b: float
    c: float
    d: float
    lowest_ghz: float
    highest_ghz: float
    permittivity_spread: float
    conductivity_spread: float
    usual_mm: tuple[float, float, float]
    solid_up_to_mm: float = float("inf")


AIR = Material("air", 1.0, 0.0, 0.0, 0.0, 0.0, float("inf"), 1.0, 1.0, (10.0, 50.0, 200.0))
"""The gap between two leaves."""


_FIELDS = ("a", "b", "c", "d", "lowest_ghz", "highest_ghz", "permittivity_spread", "conductivity_spread")


@lru_cache(maxsize=1)
def _table() -> dict[str, Material]:
    content = json.loads((shared_folder() / "materials" / "materials.json").read_text(encoding="utf-8"))
    table = {AIR.name: AIR}
    for row in content["items"]:
        fields = {name: row[name] for name in _FIELDS}
        solid_mm = float("inf") if row["solid_up_to_mm"] is None else float(row["solid_up_to_mm"])
        table[row["name"]] = Material(row["name"], **fields, usual_mm=tuple(row["usual_mm"]), solid_up_to_mm=solid_mm)
    return table


def material_names() -> tuple[str, ...]:
    """Return the names that `material` knows, air first.

    Examples
    --------
    >>> material_names()[:3]
    ('air', 'concrete', 'brick')
    """
    return tuple(_table())


def material(name: str) -> Material:
    """Return a material by its name.

    Parameters
    ----------
    name : str
        A name of `material_names`.

    Returns
    -------
    Material

    Raises
    ------
    UnknownNameError
        No material has this name.

    Examples
    --------
    >>> material("glass").a
    6.31
    """
    try:
        return _table()[name]
    except KeyError:
        raise UnknownNameError(
            f"no material is called {name!r}", remedy=f"use one of {', '.join(material_names())}"
        ) from None


def conductivity_s_per_m(matter: Material, frequency_mhz: ArrayLike, factor: ArrayLike = 1.0) -> FloatArray:
    r"""Conductivity of a material.

    Parameters
    ----------
    matter : Material
        From `material`, or `AIR`.
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency. [MHz]
    factor : array_like of float, broadcast with `frequency_mhz`, default 1
        How much better than the table the wall conducts, > 0. [1]

    Returns
    -------
    ndarray of float, broadcast shape
        Conductivity; NaN where the frequency is NaN or outside the material's row. [S/m]

    Notes
    -----
    .. math:: \sigma = c f^d

    with f in GHz. Source: [P2040]_, P.2040-3 (2023), section 3, equation 29 and Table 3.

    Examples
    --------
    >>> round(float(conductivity_s_per_m(material("concrete"), 5500)), 4)
    0.1753
    """
    f_ghz, factor = _in_range(matter, frequency_mhz), float_array(factor)
    return matter.c * np.power(f_ghz, matter.d) * nan_unless((factor > 0.0) & (factor < np.inf), factor)


def complex_permittivity(matter: Material, frequency_mhz: ArrayLike, factor: ArrayLike = 1.0) -> ComplexArray:
    r"""Relative permittivity of a material, loss included.

    Parameters
    ----------
    matter : Material
        From `material`, or `AIR`.
    frequency_mhz : array_like of float, shape (...)
        Carrier frequency. [MHz]
    factor : array_like of float, broadcast with `frequency_mhz`, default 1
        How much better than the table the wall conducts, > 0. [1]

    Returns
    -------
    ndarray of complex, broadcast shape
        Permittivity, imaginary part <= 0 (time goes as exp(+j w t)); NaN where the frequency is NaN or outside the
        material's row. [1]

    Notes
    -----
    .. math:: \eta = a f^b - j \, 17.98 \, \sigma / f

    with f in GHz. Source: [P2040]_, P.2040-3 (2023), section 3, equations 28 and 29, Table 3; section 2.1.2.

    Examples
    --------
    >>> value = complex_permittivity(material("concrete"), 5500)
    >>> round(float(value.real), 2), round(float(value.imag), 3)
    (5.24, -0.573)
    """
    f_ghz = _in_range(matter, frequency_mhz)
    real = matter.a * np.power(f_ghz, matter.b)
    # minus zero would send the root of a lossless material to the growing wave
    lost = _LOSS_FACTOR * conductivity_s_per_m(matter, frequency_mhz, factor) / f_ghz
    real, lost = np.broadcast_arrays(real, lost)
    result = np.empty(real.shape, np.complex128)
    result.real, result.imag = real, 0.0 - lost
    return result


def _in_range(matter: Material, frequency_mhz: ArrayLike) -> FloatArray:
    f_ghz = float_array(frequency_mhz) / 1000.0
    usable = (f_ghz > 0.0) & (f_ghz < np.inf) & (f_ghz >= matter.lowest_ghz) & (f_ghz <= matter.highest_ghz)
    return nan_unless(usable, f_ghz)
