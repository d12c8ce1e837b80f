"""Loss of real walls as a range: thickness, moisture and coating are never known to the millimetre."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.physics.arrays import ComplexArray, FloatArray, float_array, nan_unless
from survey_app.physics.construction import PRACTICE_MHZ, Construction
from survey_app.physics.decibels import to_db
from survey_app.physics.layers import Polarisation, stack
from survey_app.physics.loss_range import LossRange
from survey_app.physics.material import Material, complex_permittivity, material

__all__ = ["WallPart", "WallSum", "construction_loss_db", "rays_loss_db", "walls_loss_db"]

WavePolarisation = Literal["te", "tm", "both"]

# A ray that grazes a wall more than this meets its end before its face: the loss stays as it is here. Common practice.
_STEEPEST_DEG = 85.0
_ANGLES_DEG = np.concatenate([np.arange(0.0, 70.0, 2.5), np.arange(70.0, _STEEPEST_DEG + 0.5, 1.0)])
_WALLS = 128  # so many walls of one make are tried
_TONES = 5  # so many frequencies across a channel
_LEVELS = (0.05, 0.5, 0.95)


class WallPart(NamedTuple):
    """What one wall takes from a ray: its name and its loss. [dB]"""

    name: str
    low_db: float
    likely_db: float
    high_db: float


class WallSum(NamedTuple):
    """What all walls take from a ray, and each of them in the order of the ray. [dB]"""

    low_db: float
    likely_db: float
    high_db: float
    parts: tuple[WallPart, ...]


def construction_loss_db(
    made: Construction,
    frequency_mhz: float,
    width_mhz: float = 20.0,
    incidence_deg: ArrayLike = 0.0,
    polarisation: WavePolarisation = "both",
) -> LossRange:
    """Loss of a ray through a construction, over a channel.

    Parameters
    ----------
    made : Construction
        What stands in the ray.
    frequency_mhz : float
        Centre of the channel. [MHz]
    width_mhz : float, default 20
        Width of the channel, >= 0. [MHz]
    incidence_deg : array_like of float, shape (...), default 0
        Angle between the ray and the square to the wall, 0 to 90. [deg]
    polarisation : {"te", "tm", "both"}, default "both"
        "te": the electric field lies in the wall's plane (an upright antenna before an upright wall), "tm": the
        other, "both": the mean power of both, as of two crossed chains.

    Returns
    -------
    LossRange
        Each of the shape of `incidence_deg`; NaN where an angle is outside 0 to 90 and everywhere where the channel's
        centre or width is outside its range, that of a material, or that of what practice gives. [dB]

    Raises
    ------
    ValueError
        `polarisation` is none of the three.

    Notes
    -----
    A slab's loss ripples with frequency and thickness, so one figure would look exact and be wrong. The stack of
    [P2040]_, P.2040-3 (2023), section 2.2.2.1, is computed for 128 walls of this make: every thickness spread evenly
    from thin to usual to thick, permittivity and conductivity of each material spread evenly in their logarithms.
    The power that passes is averaged over five frequencies across the channel; low, likely and high are the 5th,
    50th and 95th percentile of the walls. What practice adds (steel, coating) is added to each. Angles are tabulated
    and interpolated; beyond 85 degrees, where a plane wave on an endless wall says nothing of a real one, the loss is
    that at 85. How far each of them spreads is common practice.

    Examples
    --------
    >>> from survey_app.physics.construction import construction
    >>> [round(float(value), 1) for value in construction_loss_db(construction("brick-110"), 5500)]
    [2.8, 3.9, 5.2]
    """
    if polarisation not in ("te", "tm", "both"):
        raise ValueError(f"polarisation is {polarisation!r}, 'te', 'tm' or 'both' is needed")
    angle_deg = float_array(incidence_deg)
    angle_deg = nan_unless((angle_deg >= 0.0) & (angle_deg <= 90.0), angle_deg)
    table = _table(made, float(frequency_mhz), float(width_mhz), polarisation)
    low_db, likely_db, high_db = (
        np.asarray(np.interp(angle_deg, _ANGLES_DEG, row) + added_db)
        for row, added_db in zip(table, made.added_db, strict=True)
    )
    return LossRange(low_db, likely_db, high_db)


def walls_loss_db(
    walls: Sequence[tuple[Construction, float]],
    frequency_mhz: float,
    width_mhz: float = 20.0,
    polarisation: WavePolarisation = "both",
) -> WallSum:
    """Loss of one ray through all the walls that it meets, wall by wall.

    Parameters
    ----------
    walls : sequence of (Construction, float)
        What stands in the ray, in its order, and the angle between the ray and the square to it, 0 to 90. [deg]
    frequency_mhz, width_mhz, polarisation
        As of `construction_loss_db`.

    Returns
    -------
    WallSum
        Sums of the lows, the likelies and the highs: walls of one building are made alike, so that their deviations do
        not cancel. 0 without a wall; NaN where one of them is. [dB]

    Notes
    -----
    Waves that run to and fro between two walls are left out, as usual for rooms of many wavelengths.

    Examples
    --------
    >>> from survey_app.physics.construction import construction
    >>> found = walls_loss_db([(construction("brick-110"), 0.0), (construction("stud-plasterboard"), 30.0)], 5500)
    >>> round(found.likely_db, 1), [part.name for part in found.parts]
    (6.4, ['brick, one leaf of 110 mm', 'plasterboard on studs, 12.5 mm each side'])
    """
    parts: list[WallPart] = []
    for made, angle_deg in walls:
        found = construction_loss_db(made, frequency_mhz, width_mhz, angle_deg, polarisation)
        parts.append(WallPart(made.name, float(found.low_db), float(found.likely_db), float(found.high_db)))
    return WallSum(
        sum(part.low_db for part in parts),
        sum(part.likely_db for part in parts),
        sum(part.high_db for part in parts),
        tuple(parts),
    )


def rays_loss_db(
    rays: int,
    ray: ArrayLike,
    made: ArrayLike,
    incidence_deg: ArrayLike,
    constructions: Sequence[Construction],
    frequency_mhz: float,
    width_mhz: float = 20.0,
    polarisation: WavePolarisation = "both",
) -> LossRange:
    """Loss of many rays through all the walls that each meets.

    Parameters
    ----------
    rays : int
        How many rays there are.
    ray : array_like of int, shape (crossings,)
        The ray of each crossing, 0 to below `rays`.
    made : array_like of int, shape (crossings,)
        Which of the constructions is met.
    incidence_deg : array_like of float, shape (crossings,)
        Angle between the ray and the square to the wall, 0 to 90. [deg]
    constructions : sequence of Construction
        Every make that occurs.
    frequency_mhz, width_mhz, polarisation
        As of `construction_loss_db`.

    Returns
    -------
    LossRange
        Each of shape (rays,), sums as of `walls_loss_db`. [dB]

    Raises
    ------
    ValueError
        Arrays of different length, a ray or a construction that does not exist.

    Examples
    --------
    >>> from survey_app.physics.construction import construction
    >>> brick = construction("brick-110")
    >>> found = rays_loss_db(3, [0, 2, 2], [0, 0, 0], [0.0, 0.0, 0.0], [brick], 5500)
    >>> found.likely_db.round(1).tolist()
    [3.9, 0.0, 7.7]
    """
    of_ray: NDArray[np.int64] = np.asarray(ray, np.int64).reshape(-1)
    which: NDArray[np.int64] = np.asarray(made, np.int64).reshape(-1)
    angle_deg = float_array(incidence_deg).reshape(-1)
    if not len(of_ray) == len(which) == len(angle_deg):
        raise ValueError(f"{len(of_ray)} rays, {len(which)} constructions and {len(angle_deg)} angles do not match")
    if len(of_ray) and not (of_ray.min() >= 0 and of_ray.max() < rays):
        raise ValueError(f"a ray is none of the {rays}")
    if len(which) and not (which.min() >= 0 and which.max() < len(constructions)):
        raise ValueError(f"a construction is none of the {len(constructions)}")
    each = np.zeros((3, len(of_ray)))
    for n, one in enumerate(constructions):
        here = which == n
        if here.any():
            each[:, here] = construction_loss_db(one, frequency_mhz, width_mhz, angle_deg[here], polarisation)
    low_db, likely_db, high_db = (float_array(np.bincount(of_ray, weights=row, minlength=rays)) for row in each)
    return LossRange(low_db, likely_db, high_db)


@lru_cache(maxsize=512)
def _table(made: Construction, frequency_mhz: float, width_mhz: float, polarisation: WavePolarisation) -> FloatArray:
    """Return low, likely and high loss of the layers at every tabulated angle, shape (3, angles)."""
    practice = any(made.added_db) and not PRACTICE_MHZ[0] <= frequency_mhz <= PRACTICE_MHZ[1]
    if practice or not 0.0 <= width_mhz < frequency_mhz < np.inf:
        return np.full((3, len(_ANGLES_DEG)), np.nan)
    tones_mhz = np.array([frequency_mhz]) if width_mhz == 0.0 else _across(frequency_mhz, width_mhz)
    if not made.layers:
        return np.zeros((3, len(_ANGLES_DEG)))
    passed = [_passed(made, tones_mhz, one) for one in _waves(polarisation)]
    loss_db = 0.0 - to_db(np.mean(passed, axis=0))
    if np.isnan(loss_db).any():
        return np.full((3, len(_ANGLES_DEG)), np.nan)
    return np.asarray(np.quantile(loss_db, _LEVELS, axis=0))


def _across(frequency_mhz: float, width_mhz: float) -> FloatArray:
    return frequency_mhz + width_mhz * ((np.arange(_TONES) + 0.5) / _TONES - 0.5)


def _waves(polarisation: WavePolarisation) -> tuple[Polarisation, ...]:
    return ("te", "tm") if polarisation == "both" else (polarisation,)


def _walls(made: Construction, frequency_mhz: float) -> tuple[ComplexArray, FloatArray]:
    """Return permittivities and thicknesses of walls of one make, shape (walls, layers). [1, m]"""
    names = tuple(dict.fromkeys(layer.material for layer in made.layers))
    depth = len(made.layers)
    points = _even(_WALLS, depth + 2 * len(names))
    thickness_m = [
        np.interp(points[:, n], (0.0, 0.5, 1.0), (layer.thin_mm, layer.thickness_mm, layer.thick_mm)) / 1000.0
        for n, layer in enumerate(made.layers)
    ]
    # the layers of one material come from one batch
    eta = {
        name: _batch(material(name), frequency_mhz, points[:, depth + 2 * n], points[:, depth + 2 * n + 1])
        for n, name in enumerate(names)
    }
    return np.stack([eta[layer.material] for layer in made.layers], axis=-1), np.column_stack(thickness_m)


def _batch(matter: Material, frequency_mhz: float, denser: FloatArray, wetter: FloatArray) -> ComplexArray:
    """Return permittivities of batches of a material, from 0 the lowest to 1 the highest of both its parts."""
    eta = complex_permittivity(matter, frequency_mhz, np.power(matter.conductivity_spread, 2.0 * wetter - 1.0))
    eta.real *= np.power(matter.permittivity_spread, 2.0 * denser - 1.0)
    return eta


def _even(count: int, dimensions: int) -> FloatArray:
    """Return points that fill the unit cube evenly: steps by powers of the root of x^(d+1) = x + 1."""
    root = 2.0
    for _ in range(64):
        root = (1.0 + root) ** (1.0 / (dimensions + 1.0))
    steps = np.power(1.0 / root, np.arange(1.0, dimensions + 1.0))
    points: FloatArray = (0.5 + np.arange(count)[:, None] * steps) % 1.0
    return points


def _passed(made: Construction, tones_mhz: FloatArray, polarisation: Polarisation) -> FloatArray:
    """Return the part of the power that passes, mean over the channel, shape (walls, angles)."""
    total = np.zeros((_WALLS, len(_ANGLES_DEG)))
    for tone_mhz in tones_mhz.tolist():
        eta, thickness_m = _walls(made, tone_mhz)
        wave = stack(eta[:, None, :], thickness_m[:, None, :], tone_mhz, _ANGLES_DEG, polarisation)
        total = total + np.square(wave.transmission.real) + np.square(wave.transmission.imag)
    mean: FloatArray = total / len(tones_mhz)
    return mean
