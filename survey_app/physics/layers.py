"""Walls as layers: what a plane wave loses in a slab and in a stack of slabs, at any angle."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import ComplexArray, FloatArray, float_array, nan_unless
from survey_app.physics.decibels import to_db
from survey_app.physics.free_space import wavelength_m

__all__ = ["Polarisation", "Wave", "slab", "slab_loss_db", "stack", "transmission_loss_db"]

Polarisation = Literal["te", "tm"]
"""TE: the electric field lies in the wall's plane, as of an upright antenna before an upright wall. TM: the other."""


class Wave(NamedTuple):
    """What comes back from a wall and what passes, as complex ratios of the field; both sides are air.

    Attributes
    ----------
    reflection, transmission : ndarray of complex
        Of the electric field for TE, of the magnetic field for TM. [1]
    """

    reflection: ComplexArray
    transmission: ComplexArray

    @property
    def absorbed_fraction(self) -> FloatArray:
        """Part of the power that stays in the wall. [1]"""
        return 1.0 - _power(self.reflection) - _power(self.transmission)


def slab(
    permittivity: ArrayLike,
    thickness_m: ArrayLike,
    frequency_mhz: ArrayLike,
    incidence_deg: ArrayLike = 0.0,
    polarisation: Polarisation = "te",
) -> Wave:
    r"""Reflection and transmission of one slab between air and air.

    Parameters
    ----------
    permittivity : array_like of complex, shape (...)
        Relative permittivity, imaginary part <= 0 (`material.complex_permittivity`). [1]
    thickness_m : array_like of float, broadcast with the rest
        >= 0. [m]
    frequency_mhz : array_like of float, broadcast with the rest
        Carrier frequency, > 0. [MHz]
    incidence_deg : array_like of float, broadcast with the rest, default 0
        Angle between the ray and the square to the wall, 0 to below 90. [deg]
    polarisation : {"te", "tm"}, default "te"
        See `Polarisation`.

    Returns
    -------
    Wave
        NaN where an input is NaN or outside its range.

    Raises
    ------
    ValueError
        `polarisation` is neither.

    Notes
    -----
    .. math::

        T = \frac{(1 - R'^2) e^{-jq}}{1 - R'^2 e^{-2jq}}, \quad R = \frac{R' (1 - e^{-2jq})}{1 - R'^2 e^{-2jq}},
        \quad q = \frac{2 \pi d}{\lambda} \sqrt{\eta - \sin^2 \theta}

    with R' of the bare surface. Plane wave, endless smooth slab: no steel mesh, no coating, no edges.
    Source: [P2040]_, P.2040-3 (2023), section 2.2.2.2, equations 43 and 44.

    Examples
    --------
    >>> from survey_app.physics.material import complex_permittivity, material
    >>> wave = slab(complex_permittivity(material("concrete"), 5500), 0.2, 5500)
    >>> round(float(-20 * np.log10(abs(wave.transmission))), 2)
    26.48
    """
    eta, k0, sin2, cos = _prepared(permittivity, frequency_mhz, incidence_deg)
    with _quiet():
        root: ComplexArray = np.sqrt(eta - sin2)
        surface = _surface(cos, _admittance(eta, root, polarisation))
        once = _phase(k0, root, _thickness(thickness_m))
        square, twice = surface * surface, once * once
        below = 1.0 - square * twice
        wave = Wave(surface * (1.0 - twice) / below, (1.0 - square) * once / below)
    return _shaped(wave, permittivity, thickness_m, frequency_mhz, incidence_deg)


def stack(
    permittivity: ArrayLike,
    thickness_m: ArrayLike,
    frequency_mhz: ArrayLike,
    incidence_deg: ArrayLike = 0.0,
    polarisation: Polarisation = "te",
) -> Wave:
    r"""Reflection and transmission of layers that lie on each other, between air and air.

    Parameters
    ----------
    permittivity : array_like of complex, shape (..., layers)
        Relative permittivity of each layer in the order in which the ray meets them, imaginary part <= 0. [1]
    thickness_m : array_like of float, shape (..., layers), broadcast with `permittivity`
        >= 0. [m]
    frequency_mhz : array_like of float, shape (...), broadcast with the rest without its last axis
        Carrier frequency, > 0. [MHz]
    incidence_deg : array_like of float, shape (...), broadcast likewise, default 0
        Angle between the ray and the square to the wall, 0 to below 90. [deg]
    polarisation : {"te", "tm"}, default "te"
        See `Polarisation`.

    Returns
    -------
    Wave
        NaN where an input is NaN or outside its range.

    Raises
    ------
    ValueError
        `polarisation` is neither, or there is no layer.

    Notes
    -----
    From the far side to the near one, each surface is joined to what lies behind it:

    .. math:: R_i = \frac{r_i + R_{i+1} e^{-2jq_i}}{1 + r_i R_{i+1} e^{-2jq_i}}, \quad
              T_i = \frac{(1 + r_i) T_{i+1} e^{-jq_i}}{1 + r_i R_{i+1} e^{-2jq_i}}

    The same result as the product of matrices of the source, in which only waves that die away occur, so that thick
    and metal layers do not overflow. Source: [P2040]_, P.2040-3 (2023), section 2.2.2.1.

    Examples
    --------
    >>> from survey_app.physics.material import AIR, complex_permittivity, material
    >>> pane = complex_permittivity(material("glass"), 5500)
    >>> wave = stack([pane, complex_permittivity(AIR, 5500), pane], [0.004, 0.012, 0.004], 5500)
    >>> round(float(-20 * np.log10(abs(wave.transmission))), 2)
    8.43
    """
    layers = np.asarray(permittivity, np.complex128)
    thickness = float_array(thickness_m)
    count = np.broadcast_shapes(layers.shape, thickness.shape)[-1:]
    if not count or count[0] == 0:
        raise ValueError("there is no layer, a stack has one at least")
    layers = np.broadcast_to(layers, np.broadcast_shapes(layers.shape, count))
    thickness = np.broadcast_to(thickness, np.broadcast_shapes(thickness.shape, count))
    reflection, transmission = np.zeros(1, np.complex128), np.ones(1, np.complex128)
    behind: ComplexArray | None = None
    with _quiet():
        for n in reversed(range(count[0])):
            eta, k0, sin2, cos = _prepared(layers[..., n], frequency_mhz, incidence_deg)
            root: ComplexArray = np.sqrt(eta - sin2)
            here = _admittance(eta, root, polarisation)
            surface = _surface(here, cos if behind is None else behind)
            reflection, transmission = _join(surface, reflection, transmission)
            once = _phase(k0, root, _thickness(thickness[..., n]))
            reflection, transmission, behind = reflection * once * once, transmission * once, here
        reflection, transmission = _join(_surface(cos, here), reflection, transmission)
    return _shaped(Wave(reflection, transmission), layers[..., 0], thickness[..., 0], frequency_mhz, incidence_deg)


def slab_loss_db(
    permittivity: ArrayLike,
    thickness_m: ArrayLike,
    frequency_mhz: ArrayLike,
    incidence_deg: ArrayLike = 0.0,
    polarisation: Polarisation = "te",
) -> FloatArray:
    """Loss of one slab at one frequency; arguments of `slab`.

    Returns
    -------
    ndarray of float, broadcast shape
        Loss, infinite where nothing passes; NaN where an input is NaN or outside its range. [dB]

    Notes
    -----
    Source: [P2040]_, P.2040-3 (2023), section 2.2.2.2.

    Examples
    --------
    >>> from survey_app.physics.material import complex_permittivity, material
    >>> round(float(slab_loss_db(complex_permittivity(material("concrete"), 5500), 0.2, 5500, 45, "tm")), 2)
    26.91
    """
    return transmission_loss_db(slab(permittivity, thickness_m, frequency_mhz, incidence_deg, polarisation))


def transmission_loss_db(wave: Wave) -> FloatArray:
    """Loss of what passes a wall.

    Returns
    -------
    ndarray of float
        Loss, infinite where nothing passes. [dB]

    Examples
    --------
    >>> float(transmission_loss_db(Wave(np.array(0j), np.array(1 + 0j)))) == 0.0
    True
    """
    return 0.0 - to_db(_power(wave.transmission))


def _shaped(wave: Wave, *arguments: ArrayLike) -> Wave:
    """Return the wave in the shape of what was asked for.

    Everything is computed with an axis at least: numpy multiplies lone complex numbers by another route than arrays.
    """
    shape = np.broadcast_shapes(*(np.shape(one) for one in arguments))
    return Wave(*(np.broadcast_to(part, shape or (1,)).reshape(shape) for part in wave))


def _quiet() -> np.errstate:
    """Return what lets NaN pass, and what dies away in metal come out as nothing, without a word."""
    return np.errstate(invalid="ignore", under="ignore")


def _prepared(
    permittivity: ArrayLike, frequency_mhz: ArrayLike, incidence_deg: ArrayLike
) -> tuple[ComplexArray, FloatArray, FloatArray, FloatArray]:
    """Return permittivity, wave number in air, sine squared and cosine of the incidence; NaN outside the domain."""
    eta = np.array(permittivity, dtype=np.complex128, order="C", ndmin=1)
    # minus zero in the imaginary part would choose the growing root
    eta.imag = np.where(eta.imag == 0.0, 0.0, eta.imag)
    eta = np.where((eta.real > 0.0) & (eta.imag <= 0.0), eta, np.complex128(complex(np.nan, np.nan)))
    angle_deg = np.atleast_1d(float_array(incidence_deg))
    angle = np.deg2rad(nan_unless((angle_deg >= 0.0) & (angle_deg < 90.0), angle_deg))
    k0 = 2.0 * np.pi / np.atleast_1d(wavelength_m(frequency_mhz))
    return eta, k0, np.square(np.sin(angle)), np.cos(angle)


def _thickness(thickness_m: ArrayLike) -> FloatArray:
    thickness_m = np.atleast_1d(float_array(thickness_m))
    return nan_unless((thickness_m >= 0.0) & (thickness_m < np.inf), thickness_m)


def _admittance(eta: ComplexArray, root: ComplexArray, polarisation: Polarisation) -> ComplexArray:
    if polarisation == "te":
        return root
    if polarisation == "tm":
        return root / eta
    raise ValueError(f"polarisation is {polarisation!r}, 'te' or 'tm' is needed")


def _surface(before: FloatArray | ComplexArray, behind: FloatArray | ComplexArray) -> ComplexArray:
    return np.asarray((before - behind) / (before + behind), np.complex128)


def _phase(k0: FloatArray, root: ComplexArray, thickness_m: FloatArray) -> ComplexArray:
    return np.exp(-1j * (k0 * thickness_m) * root)


def _join(
    surface: ComplexArray, reflection: ComplexArray, transmission: ComplexArray
) -> tuple[ComplexArray, ComplexArray]:
    below = 1.0 + surface * reflection
    return (surface + reflection) / below, (1.0 + surface) * transmission / below


def _power(field: ComplexArray) -> FloatArray:
    return np.square(field.real) + np.square(field.imag)
