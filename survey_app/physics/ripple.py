"""Ripple: how the level of a hop over a flat surface rises and falls with a height, or with the level of the water."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import ArrayLike

from survey_app.physics.arrays import ComplexArray, FloatArray, float_array
from survey_app.physics.free_space import wavelength_m
from survey_app.physics.reflection import field_ratio, level_change_db, reflected_ray, reflection_coefficient

__all__ = ["Ripple", "height_ripple", "null_heights_m", "water_level_ripple"]

#: Gain toward the reflected ray less that toward the direct one, at the given heights or water levels in metres.
GainAt: TypeAlias = Callable[[FloatArray], ArrayLike]

# Halvings of a bracket: the last one of a bracket of metres is finer than a thousandth of a nanometre.
_HALVINGS = 42


class Ripple(NamedTuple):
    """How the level moves while a height or a water level runs through a range.

    Attributes
    ----------
    lowest_db, highest_db : float
        Lowest and highest level against the direct ray alone. [dB]
    lowest_at_m : float
        Height or water level of the lowest. [m]
    cycles : float
        How often the level falls and rises again.
    below_fraction : float
        Share of the range where the level lies below the limit.
    """

    lowest_db: float
    highest_db: float
    lowest_at_m: float
    cycles: float
    below_fraction: float


def null_heights_m(
    h1_m: float,
    distance_m: float,
    lowest_m: float,
    highest_m: float,
    frequency_mhz: float,
    permittivity: complex,
    polarisation: str,
    roughness_m: float = 0.0,
    reflected_gain_db: float | GainAt = 0.0,
) -> tuple[FloatArray, FloatArray]:
    r"""Heights of one end at which the reflected ray opposes the direct one.

    Parameters
    ----------
    h1_m : float
        Height of the other end above the surface, > 0. [m]
    distance_m : float
        Distance along the surface, > 0. [m]
    lowest_m, highest_m : float
        Range of heights above the surface, 0 <= lowest < highest. [m]
    frequency_mhz : float
        Carrier frequency, > 0. [MHz]
    permittivity, polarisation, roughness_m
        As in `reflection.field_ratio`.
    reflected_gain_db : float or function of heights, default 0
        Gain of both antennas together toward the reflected ray less that toward the direct one. [dB]

    Returns
    -------
    heights_m : ndarray of float, shape (n,)
        Heights, rising; none where an input is NaN or outside its range. [m]
    levels_db : ndarray of float, shape (n,)
        Level there against the direct ray alone. [dB]

    Raises
    ------
    UnknownNameError
        `polarisation` is neither horizontal nor vertical.

    Notes
    -----
    .. math:: \frac{\Delta}{\lambda} - \frac{\arg(-R)}{2 \pi} = 1, 2, 3 \dots

    solved by halving for each whole number at once, so that no null is missed between steps. Derived from image
    geometry, see `reflection`.

    Examples
    --------
    >>> heights_m, levels_db = null_heights_m(10, 300, 1, 4, 5500, 70 - 25j, "horizontal")
    >>> heights_m.round(2), levels_db.round(1)
    (array([1.64, 2.45, 3.27]), array([-40.7, -40. , -39.3]))
    """
    run = _Run(
        lambda x: (h1_m, x), distance_m, frequency_mhz, permittivity, polarisation, roughness_m, reflected_gain_db
    )
    heights_m = run.turning_points_m(lowest_m, highest_m, 1.0)
    return heights_m, run.level_db(heights_m)


def height_ripple(
    h1_m: float,
    distance_m: float,
    lowest_m: float,
    highest_m: float,
    frequency_mhz: float,
    permittivity: complex,
    polarisation: str,
    limit_db: float,
    roughness_m: float = 0.0,
    reflected_gain_db: float | GainAt = 0.0,
) -> Ripple:
    """How the level moves with the height of one end.

    Parameters
    ----------
    h1_m, distance_m, lowest_m, highest_m, frequency_mhz, permittivity, polarisation, roughness_m, reflected_gain_db
        As in `null_heights_m`.
    limit_db : float
        Level against the direct ray alone, of which it is asked how much of the range lies below, e.g. -3. [dB]

    Returns
    -------
    Ripple
        All NaN where an input is NaN or outside its range.

    Raises
    ------
    UnknownNameError
        `polarisation` is neither horizontal nor vertical.

    Notes
    -----
    Between two turns of the phase the level runs one way, so that lowest, highest and the places where it passes the
    limit are found by halving and not by steps. Derived from image geometry, see `reflection`.

    Examples
    --------
    >>> found = height_ripple(10, 300, 1, 4, 5500, 70 - 25j, "horizontal", -3.0)
    >>> round(found.cycles, 1), round(found.below_fraction, 2)
    (3.7, 0.19)
    """
    run = _Run(
        lambda x: (h1_m, x), distance_m, frequency_mhz, permittivity, polarisation, roughness_m, reflected_gain_db
    )
    return run.ripple(lowest_m, highest_m, limit_db)


def water_level_ripple(
    h1_m: float,
    h2_m: float,
    distance_m: float,
    lowest_level_m: float,
    highest_level_m: float,
    frequency_mhz: float,
    permittivity: complex,
    polarisation: str,
    limit_db: float,
    roughness_m: float = 0.0,
    reflected_gain_db: float | GainAt = 0.0,
) -> Ripple:
    """How the level moves while the water rises and falls.

    Parameters
    ----------
    h1_m, h2_m : float
        Heights of the antennas over the datum of the water levels. [m]
    distance_m : float
        Distance along the surface, > 0. [m]
    lowest_level_m, highest_level_m : float
        Range of the water, below both antennas. [m]
    frequency_mhz, permittivity, polarisation, roughness_m, limit_db
        As in `height_ripple`.
    reflected_gain_db : float or function of water levels, default 0
        As in `height_ripple`. [dB]

    Returns
    -------
    Ripple
        Its share is one of the range of levels, each level counting alike; a tide stays longer near both ends. All NaN
        where an input is NaN or outside its range.

    Raises
    ------
    UnknownNameError
        `polarisation` is neither horizontal nor vertical.

    Notes
    -----
    As `height_ripple`, with both heights above the surface changing together.

    Examples
    --------
    >>> found = water_level_ripple(14, 5, 147, -1.6, 1.6, 5825, 66 - 36j, "horizontal", -3.0)
    >>> round(found.cycles, 1), round(found.lowest_db, 1)
    (15.9, -30.9)
    """

    def heights_m(level_m: FloatArray) -> tuple[FloatArray, FloatArray]:
        return h1_m - level_m, h2_m - level_m

    run = _Run(heights_m, distance_m, frequency_mhz, permittivity, polarisation, roughness_m, reflected_gain_db)
    return run.ripple(lowest_level_m, highest_level_m, limit_db)


class _Run:
    """One hop over a surface, while a height or a water level runs."""

    def __init__(
        self,
        heights_m: Callable[[FloatArray], tuple[ArrayLike, ArrayLike]],
        distance_m: float,
        frequency_mhz: float,
        permittivity: complex,
        polarisation: str,
        roughness_m: float,
        gain: float | GainAt,
    ) -> None:
        self.heights_m = heights_m
        self.distance_m, self.frequency_mhz = float(distance_m), float(frequency_mhz)
        self.permittivity, self.polarisation, self.roughness_m = complex(permittivity), polarisation, roughness_m
        self.gain = gain

    def level_db(self, at_m: FloatArray) -> FloatArray:
        """Return the level against the direct ray alone."""
        h1_m, h2_m = self.heights_m(at_m)
        gain_db = self.gain(at_m) if callable(self.gain) else self.gain
        ratio: ComplexArray = field_ratio(
            h1_m,
            h2_m,
            self.distance_m,
            self.frequency_mhz,
            self.permittivity,
            self.polarisation,
            self.roughness_m,
            gain_db,
        )
        return level_change_db(ratio)

    def turns(self, at_m: FloatArray) -> FloatArray:
        """Return by how many turns the reflected ray lags, without a jump; whole where both rays are opposed."""
        h1_m, h2_m = self.heights_m(at_m)
        ray = reflected_ray(h1_m, h2_m, self.distance_m)
        # Near -1 at grazing incidence and on one side of it from there on: the angle of its negative never jumps.
        turned = -reflection_coefficient(self.permittivity, ray.grazing_deg, self.polarisation)
        return ray.difference_m / wavelength_m(self.frequency_mhz) - np.angle(turned) / (2.0 * math.pi)

    def turning_points_m(self, low_m: float, high_m: float, step: float) -> FloatArray:
        """Return, rising, where the lag is a multiple of the step: 1 for the nulls, 0.5 for the peaks as well."""
        ends = float_array([low_m, high_m])
        if not (ends[0] < ends[1]) or not np.isfinite(self.level_db(ends) + self.turns(ends)).all():
            return float_array([])
        first, last = (float(turn) / step for turn in self.turns(ends))
        bottom, top = min(first, last), max(first, last)
        # the first whole lag is one wavelength: none at all is a height of zero
        targets = np.arange(max(math.ceil(bottom), 1), math.floor(top) + 1) * step
        found = self._halved(low_m, high_m, lambda at_m: self.turns(at_m) >= targets, last >= first, targets.shape)
        return np.sort(found)

    def ripple(self, low_m: float, high_m: float, limit_db: float) -> Ripple:
        """Return how the level moves over the range."""
        ends = float_array([low_m, high_m])
        levels_db = self.level_db(ends)
        if not (low_m < high_m) or np.isnan(levels_db).any() or math.isnan(limit_db):
            return Ripple(math.nan, math.nan, math.nan, math.nan, math.nan)
        places_m = np.concatenate([ends[:1], self.turning_points_m(low_m, high_m, 0.5), ends[1:]])
        levels_db = self.level_db(places_m)
        lowest = int(np.argmin(levels_db))
        cycles = abs(float(np.diff(self.turns(ends))[0]))
        below_m = self._below_m(places_m, levels_db, limit_db)
        return Ripple(
            float(levels_db[lowest]),
            float(levels_db.max()),
            float(places_m[lowest]),
            cycles,
            float(below_m.sum() / (high_m - low_m)),
        )

    def _below_m(self, places_m: FloatArray, levels_db: FloatArray, limit_db: float) -> FloatArray:
        """Return how much of each piece between two turning points lies below the limit."""
        left_m, right_m = places_m[:-1], places_m[1:]
        left, right = levels_db[:-1] < limit_db, levels_db[1:] < limit_db
        crossing_m = self._halved(left_m, right_m, lambda at_m: self.level_db(at_m) >= limit_db, left, left_m.shape)
        part_m = np.where(left, crossing_m - left_m, right_m - crossing_m)
        return np.where(left == right, np.where(left, right_m - left_m, 0.0), part_m)

    @staticmethod
    def _halved(
        low_m: ArrayLike,
        high_m: ArrayLike,
        reached: Callable[[FloatArray], ArrayLike],
        rising: ArrayLike,
        shape: tuple[int, ...],
    ) -> FloatArray:
        """Return where a condition changes: from not reached to reached where rising, the other way else."""
        low: FloatArray = np.array(np.broadcast_to(float_array(low_m), shape))
        high: FloatArray = np.array(np.broadcast_to(float_array(high_m), shape))
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            beyond = np.asarray(reached(middle)) == np.asarray(rising)
            low, high = np.where(beyond, low, middle), np.where(beyond, middle, high)
        return 0.5 * (low + high)
