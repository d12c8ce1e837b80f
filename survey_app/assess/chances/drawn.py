"""One hop drawn many times: its ratio and what it loses, each time with other errors."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey_app.ground.clearance import Bodies, Pairs, Rays, clearances
from survey_app.ground.solids import IntArray
from survey_app.physics.arrays import FloatArray
from survey_app.physics.diffraction import CLEAR_PARAMETER
from survey_app.physics.diffraction_method import obstacle_loss_db
from survey_app.physics.foliage_range import foliage_loss_range_db
from survey_app.physics.geometry import EARTH_RADIUS_M, STANDARD_K

__all__ = ["Course", "Screens", "Thing", "drawn_prisms", "drawn_upright", "loss_db"]

_ROOT_2 = math.sqrt(2.0)


@dataclass(frozen=True)
class Course:
    """A ray drawn many times, shape (draws,) each.

    Attributes
    ----------
    start_m, end_m : ndarray of float, shape (draws, 3)
        Both ends. [m]
    wavelength_m : float, or ndarray of float, shape (draws,)
        [m]
    """

    start_m: FloatArray
    end_m: FloatArray
    wavelength_m: float | FloatArray

    def __len__(self) -> int:
        return len(self.start_m)


@dataclass(frozen=True)
class Screens:
    """One obstacle as a screen in every draw, shape (draws,): NaN where it is none.

    Attributes
    ----------
    top, left, right : ndarray of float
        Diffraction parameter over its top and past its sides. [1]
    from_start_m, from_end_m : ndarray of float
        Where it stands. [m]
    """

    top: FloatArray
    left: FloatArray
    right: FloatArray
    from_start_m: FloatArray
    from_end_m: FloatArray


@dataclass(frozen=True)
class Thing:
    """What one solid does in every draw, shape (draws,).

    Attributes
    ----------
    ratio : ndarray of float
        Clearance over the first zone; infinite where it does not count. [1]
    screens : Screens
        The same as a screen.
    """

    ratio: FloatArray
    screens: Screens


def drawn_prisms(course: Course, lifts_m: Sequence[FloatArray], bodies: Bodies, pairs: Pairs) -> list[Thing]:
    """Return what prisms do to a ray in every draw, each prism lifted by its own error.

    Parameters
    ----------
    course : Course
        The ray.
    lifts_m : sequence of ndarray of float, shape (draws,)
        How much higher than drawn each prism stands. [m]
    bodies, pairs : Bodies, Pairs
        The prisms; the rays of the pairs do not matter.

    Notes
    -----
    A prism that stands higher by some metres is to a ray what the prism as drawn is to a ray so much lower: the solids
    stay as they are, and every draw is exact.
    """
    if not lifts_m:
        return []
    draws, count = len(course), len(lifts_m)
    down = np.zeros((count, draws, 3))
    down[:, :, 2] = np.array(lifts_m)
    start, end = (course.start_m[None] - down).reshape(-1, 3), (course.end_m[None] - down).reshape(-1, 3)
    rays = Rays(start, end, np.full(count * draws, float(course.wavelength_m)))
    each = Pairs(np.arange(count * draws), np.repeat(pairs.family, draws), np.repeat(pairs.solid, draws))
    found = clearances(bodies, rays, each, k=STANDARD_K)
    columns = (found.v_top, found.v_left, found.v_right, found.from_start_m, found.from_end_m)
    ratio = np.where(np.isnan(found.ratio), np.inf, found.ratio).reshape(count, draws)
    parts = [column.reshape(count, draws) for column in columns]
    return [Thing(ratio[n], Screens(*(part[n] for part in parts))) for n in range(count)]


def drawn_upright(course: Course, lift_m: FloatArray, bodies: Bodies, solid: int | IntArray, bracket_m: float) -> Thing:
    """Return what a pole or mast does to a ray in every draw, taken where the ray passes its axis.

    Parameters
    ----------
    course : Course
        The ray.
    lift_m : ndarray of float, shape (draws,)
        How much higher than drawn it stands. [m]
    bodies : Bodies
        The solids.
    solid : int, or ndarray of int, shape (draws,)
        Place of the upright; in every draw another one, if need be.
    bracket_m : float
        What lies nearer than this to an antenna, along the ray, is not judged. [m]
    """
    rounds = bodies.rounds
    step = course.end_m - course.start_m
    flat = np.sqrt(step[:, 0] * step[:, 0] + step[:, 1] * step[:, 1])
    length = np.sqrt(flat * flat + step[:, 2] * step[:, 2])
    safe = np.where(flat > 0.0, flat, np.nan)
    hx, hy = step[:, 0] / safe, step[:, 1] / safe
    x, y = rounds.centre[solid, 0] - course.start_m[:, 0], rounds.centre[solid, 1] - course.start_m[:, 1]
    along, across = x * hx + y * hy, x * hy - y * hx
    part = along / safe
    s = part * length
    judged = (s >= bracket_m) & (s <= length - bracket_m)
    part = np.where(judged, part, 0.5)
    lift = lift_m + part * (1.0 - part) * flat * flat / (2.0 * STANDARD_K * EARTH_RADIUS_M)
    foot, top = rounds.foot[solid] + lift, rounds.top[solid] + lift
    height = course.start_m[:, 2] + part * step[:, 2]
    level = np.clip((height - foot) / (top - foot), 0.0, 1.0)
    radius = rounds.radius_foot[solid] + level * (rounds.radius_top[solid] - rounds.radius_foot[solid])
    zone = np.sqrt(course.wavelength_m * length * part * (1.0 - part))
    cosine = flat / length
    over, left, right = (top - height) * cosine, radius - across, radius + across
    aside = np.maximum(np.abs(across) - radius, 0.0)
    beyond = np.maximum(np.maximum(-over, (foot - height) * cosine), 0.0)
    outside = np.sqrt(aside * aside + beyond * beyond)
    inside = np.minimum(np.minimum(over, left), right)
    ratio = np.where(outside > 0.0, outside, -inside) / zone
    near = judged & (ratio < 1.0)
    v_top, v_left, v_right = (np.where(near, _ROOT_2 * reach / zone, np.nan) for reach in (over, left, right))
    return Thing(np.where(judged, ratio, np.inf), Screens(v_top, v_left, v_right, part * length, (1.0 - part) * length))


def loss_db(screens: Sequence[Screens], depth_m: FloatArray, frequency_mhz: float) -> FloatArray:
    """Return what is lost over screens and in crowns in every draw.

    Parameters
    ----------
    screens : sequence of Screens
        Obstacles, one each.
    depth_m : ndarray of float, shape (draws,)
        Length of the ray inside crowns. [m]
    frequency_mhz : float
        [MHz]

    Returns
    -------
    ndarray of float, shape (draws,)
        [dB]
    """
    draws = len(depth_m)
    lost = np.zeros(draws)
    if screens:
        table = np.array([(one.top, one.left, one.right, one.from_start_m, one.from_end_m) for one in screens])
        # what leaves 0.55 of the zone free costs nothing, see `diffraction_method`
        there = np.isfinite(table[:, 0]) & (table[:, :3].min(axis=1) > CLEAR_PARAMETER)
        count = there.sum(axis=0)
        some = np.flatnonzero(count)
        rows = table.transpose(2, 0, 1)[there.T]
        if len(some):
            offsets = np.concatenate(([0], np.cumsum(count[some])))
            lost[some] = obstacle_loss_db(
                rows[:, 0], rows[:, 1], rows[:, 2], 0.0, rows[:, 3], rows[:, 4], offsets, frequency_mhz
            )[0]
    if depth_m.any():
        lost = lost + foliage_loss_range_db(depth_m, np.full(draws, frequency_mhz), in_leaf=True).high_db
    return lost
