"""The mast: moment at its foot, strength of a tube, and how far its head turns in the wind."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import FloatArray, nan_unless
from survey_app.physics.domains import not_negative, positive

__all__ = [
    "STEEL_MODULUS_PA",
    "STEEL_YIELD_PA",
    "free_mast_moment_nm",
    "head_turn_deg",
    "tube_second_moment_m4",
    "tube_section_modulus_m3",
    "yield_moment_nm",
]

#: Structural steel. [PRACTICE]_.
STEEL_YIELD_PA: Final = 235e6
STEEL_MODULUS_PA: Final = 210e9


def free_mast_moment_nm(head_force_n: ArrayLike, line_load_n_per_m: ArrayLike, length_m: ArrayLike) -> FloatArray:
    r"""Moment at the foot of a free mast.

    Parameters
    ----------
    head_force_n : array_like of float, shape (...)
        Force at the head, >= 0. [N]
    line_load_n_per_m : array_like of float, broadcast with it
        Force on each metre of the mast itself, >= 0. [N/m]
    length_m : array_like of float, broadcast with it
        Length above the fixing, > 0. [m]

    Returns
    -------
    ndarray of float, broadcast shape
        Moment; NaN where an input is NaN or out of domain. [N m]

    Notes
    -----
    .. math:: M = F L + w L^2 / 2

    Statics of a cantilever.

    Examples
    --------
    >>> round(float(free_mast_moment_nm(108.3, 72.53, 6)))
    1955
    """
    length = positive(length_m)
    return not_negative(head_force_n) * length + not_negative(line_load_n_per_m) * np.square(length) / 2.0


def _tube_diameters_m(outside_mm: ArrayLike, wall_mm: ArrayLike) -> tuple[FloatArray, FloatArray]:
    outside, wall = positive(outside_mm) / 1000.0, positive(wall_mm) / 1000.0
    wall = nan_unless(2.0 * wall <= outside, wall)
    return outside, outside - 2.0 * wall


def tube_second_moment_m4(outside_mm: ArrayLike, wall_mm: ArrayLike) -> FloatArray:
    r"""Second moment of area of a round tube.

    Parameters
    ----------
    outside_mm : array_like of float, shape (...)
        Outside diameter, > 0. [mm]
    wall_mm : array_like of float, broadcast with it
        Wall, > 0 and at most half of the diameter. [mm]

    Returns
    -------
    ndarray of float, broadcast shape
        Second moment; NaN where an input is NaN or out of domain. [m4]

    Notes
    -----
    .. math:: I = \pi (D^4 - d^4) / 64

    Examples
    --------
    >>> round(float(tube_second_moment_m4(60.3, 3.6)) * 210e9)
    54335
    """
    outside, inside = _tube_diameters_m(outside_mm, wall_mm)
    return np.pi * (np.square(np.square(outside)) - np.square(np.square(inside))) / 64.0


def tube_section_modulus_m3(outside_mm: ArrayLike, wall_mm: ArrayLike) -> FloatArray:
    r"""Elastic section modulus of a round tube.

    Parameters
    ----------
    outside_mm, wall_mm : array_like of float
        As in `tube_second_moment_m4`.

    Returns
    -------
    ndarray of float, broadcast shape
        Section modulus; NaN where an input is NaN or out of domain. [m3]

    Notes
    -----
    .. math:: W = \pi (D^4 - d^4) / (32 D)

    Examples
    --------
    >>> round(float(tube_section_modulus_m3(60.3, 3.6)) * 1e6, 2)
    8.58
    """
    outside, _ = _tube_diameters_m(outside_mm, wall_mm)
    return 2.0 * tube_second_moment_m4(outside_mm, wall_mm) / outside


def yield_moment_nm(outside_mm: ArrayLike, wall_mm: ArrayLike, yield_pa: ArrayLike = STEEL_YIELD_PA) -> FloatArray:
    """Moment at which a tube first yields.

    Parameters
    ----------
    outside_mm, wall_mm : array_like of float
        As in `tube_second_moment_m4`.
    yield_pa : array_like of float, broadcast with them, default 235e6
        Yield stress, > 0. [Pa]

    Returns
    -------
    ndarray of float, broadcast shape
        Moment, before any load factor; NaN where an input is NaN or out of domain. [N m]

    Notes
    -----
    M = W times yield stress.

    Examples
    --------
    >>> round(float(yield_moment_nm(60.3, 3.6)))
    2017
    """
    return tube_section_modulus_m3(outside_mm, wall_mm) * positive(yield_pa)


def head_turn_deg(
    head_force_n: ArrayLike, line_load_n_per_m: ArrayLike, length_m: ArrayLike, stiffness_n_m2: ArrayLike
) -> FloatArray:
    r"""Angle by which the head of a free mast turns.

    Parameters
    ----------
    head_force_n, line_load_n_per_m, length_m : array_like of float
        As in `free_mast_moment_nm`, at an operating wind and not the design gust.
    stiffness_n_m2 : array_like of float, broadcast with them
        Bending stiffness E I, > 0. [N m2]

    Returns
    -------
    ndarray of float, broadcast shape
        Angle, to be held against the beam; NaN where an input is NaN or out of domain. [deg]

    Notes
    -----
    .. math:: \theta = \frac{F L^2}{2 E I} + \frac{w L^3}{6 E I}

    Statics of a cantilever of constant section, clamped at its foot.

    Examples
    --------
    >>> round(float(head_turn_deg(21.38, 14.33, 6, 54335)), 2)
    0.95
    """
    length, stiffness = positive(length_m), positive(stiffness_n_m2)
    by_head = not_negative(head_force_n) * np.square(length) / (2.0 * stiffness)
    by_mast = not_negative(line_load_n_per_m) * np.square(length) * length / (6.0 * stiffness)
    return np.rad2deg(by_head + by_mast)
