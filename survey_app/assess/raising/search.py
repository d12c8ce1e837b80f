"""The least move that clears a ray: exact roots of the smallest ratio between the break points of the geometry."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from survey_app.assess.raising.breaks import breaks_m
from survey_app.assess.raising.moves import Move
from survey_app.ground.clearance import Bodies, Pairs, Rays, clearances
from survey_app.ground.clearance_given import BoolArray
from survey_app.ground.clearance_ground import ground_clearances
from survey_app.ground.relief.surface import Surface
from survey_app.physics.arrays import FloatArray
from survey_app.physics.geometry import STANDARD_K

__all__ = ["Sight", "clear_stretch_m", "least_move_m"]

_CLOSE_M = 1e-5
_PARTS = 64  # a call costs far more than a ray


@dataclass(frozen=True)
class Sight:
    """One ray and everything that it is held against.

    Attributes
    ----------
    start_m, end_m : ndarray of float, shape (3,)
        Both ends before any move: x, y, height over the site datum. [m]
    wavelength_m : float
        [m]
    sets : tuple of (Bodies, Pairs, ndarray of bool)
        What stands there, by season; which of it stands near, the rays of the pairs do not matter; and what of that is
        a building, out of which nothing looks but through its walls.
    ground_for : callable
        Takes both ends of rays, shape (n, 3) each, and returns the ground under them.
    """

    start_m: FloatArray
    end_m: FloatArray
    wavelength_m: float
    sets: tuple[tuple[Bodies, Pairs, BoolArray], ...]
    ground_for: Callable[[FloatArray, FloatArray], Surface]

    def ratios(self, move: Move, by_m: FloatArray, which: BoolArray | None = None) -> FloatArray:
        """Return the clearance over the first zone of everything near, along a move.

        Parameters
        ----------
        move : Move
            The move.
        by_m : ndarray of float, shape (n,)
            How far. [m]
        which : ndarray of bool, shape (things + 1,), optional
            Things that are asked for, where not all are.

        Returns
        -------
        ndarray of float, shape (n, things + 1)
            Infinite where a thing does not count, minus infinity where an antenna would be put inside it, or where one
            of them alone is inside a building; what else an antenna is inside of before the move, it looks out of. The
            ground is the last column. [1]
        """
        places = np.concatenate(([0.0], by_m))
        start, end = move.at(self.start_m, self.end_m, places)
        rays = Rays(start, end, np.full(len(places), self.wavelength_m))
        columns, first = [], 0
        for bodies, pairs, walled in self.sets:
            chosen = slice(None) if which is None else which[first : first + len(pairs)]
            mine = Pairs(pairs.ray[chosen], pairs.family[chosen], pairs.solid[chosen])
            columns.append(_ratios_of(bodies, mine, walled[chosen], rays))
            first += len(pairs)
        if which is not None and not which[-1]:
            return np.concatenate(columns, axis=1)[1:]
        ground = ground_clearances(self.ground_for(start, end), rays, k=STANDARD_K).ratio
        columns.append(np.where(np.isnan(ground), np.inf, ground)[:, None])
        return np.concatenate(columns, axis=1)[1:]


def _ratios_of(bodies: Bodies, pairs: Pairs, walled: BoolArray, rays: Rays) -> FloatArray:
    count, near = len(rays), len(pairs)
    if not near:
        return np.zeros((count, 0))
    many = Pairs(np.repeat(np.arange(count), near), np.tile(pairs.family, count), np.tile(pairs.solid, count))
    found = clearances(bodies, rays, many, k=STANDARD_K)
    ratio = found.ratio.reshape(count, near)
    held = (found.holds_start | found.holds_end).reshape(count, near)
    values = np.where(np.isnan(ratio), np.inf, ratio)
    through = (found.holds_start != found.holds_end).reshape(count, near) & walled
    # inside of it before: looked through, but for the walls of a building; put inside of it: no way
    return np.where(held, np.where(held[:1] & ~through, np.inf, -np.inf), values)


def least_move_m(sight: Sight, move: Move, free: float) -> float:
    """Return the least move that leaves a part of the first zone free of everything: the start of `clear_stretch_m`."""
    return clear_stretch_m(sight, move, free)[0]


def clear_stretch_m(sight: Sight, move: Move, free: float) -> tuple[float, float]:
    """Return the least move that leaves a part of the first zone free of everything, and how far it stays so.

    Parameters
    ----------
    sight : Sight
        The ray.
    move : Move
        How it is moved, no farther than `most_m`.
    free : float
        Part of the radius of the first zone that is to be free, > 0. [1]

    Returns
    -------
    tuple of float
        From 0 where it is clear already; both NaN where no such move clears it. [m]

    Notes
    -----
    Between two break points each thing either stays clear, stays in the way, comes in or goes out, once. So on every
    such piece the clear part runs from the last root of those that go out to the first root of those that come in; the
    roots of the exact ratio are found to a hundredth of a millimetre.
    """
    places = np.concatenate(
        [
            breaks_m(move, sight.start_m, sight.end_m, sight.wavelength_m, bodies, pairs, free)
            for bodies, pairs, _ in sight.sets
        ]
        or [np.array([0.0, move.most_m])]
    )
    places = np.unique(places)
    clear = sight.ratios(move, places) >= free
    low = 0.0 if clear[0].all() else math.nan
    for n in range(len(places) - 1):
        span = float(places[n]), float(places[n + 1])
        if math.isnan(low):
            if not (clear[n] | clear[n + 1]).all():
                continue
            low = _turn(sight, move, free, ~clear[n], span, rising=True)
            high = _turn(sight, move, free, ~clear[n + 1], span, rising=False)
            if low > high:
                low = math.nan
                continue
        else:
            high = _turn(sight, move, free, ~clear[n + 1], span, rising=False)
        if high < span[1]:
            return low, high
    return (low, move.most_m) if not math.isnan(low) else (math.nan, math.nan)


def _turn(sight: Sight, move: Move, free: float, which: BoolArray, span: tuple[float, float], *, rising: bool) -> float:
    """Return where things become clear, or cease to be: the clear side of the root."""
    if not which.any():
        return span[0] if rising else span[1]
    low, high = span
    while high - low > _CLOSE_M:
        places = np.linspace(low, high, _PARTS + 1)
        good = (sight.ratios(move, places[1:-1], which) >= free).all(axis=1)
        # clear from the first good place on when it rises; up to the last one when it falls
        edge = int(np.argmax(good)) if rising and good.any() else (_PARTS - 1 if rising else 0)
        if not rising and good.any():
            edge = int(np.argmin(good)) if not good.all() else _PARTS - 1
        low, high = float(places[edge]), float(places[edge + 1])
    return high if rising else low
