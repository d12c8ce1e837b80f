"""The chances of one hop."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from survey_app.assess.chances.drawn import Course, Screens, Thing, drawn_prisms, drawn_upright, loss_db
from survey_app.assess.chances.lattice import normal_draws
from survey_app.assess.chances.unknowns import Unknowns
from survey_app.assess.obstruction import HopObstruction
from survey_app.ground.clearance import BRACKET_M, Bodies, Pairs
from survey_app.physics.arrays import FloatArray

__all__ = ["Nearest", "OneHop", "Solid", "chance_of"]

_SIGMAS = 4.0  # what lies farther from the limit than this is not drawn
_ROOT_2 = math.sqrt(2.0)
_SLACK = 1e-9
_LEAST_GAIN = 1e-6


@dataclass(frozen=True, slots=True)
class Nearest:
    """Where something comes nearest to the ray as drawn: ratio, radius of the zone, place from either end. [1, m]"""

    ratio: float
    zone_m: float
    from_start_m: float
    from_end_m: float


@dataclass(frozen=True, slots=True)
class Solid:
    """One solid near a hop.

    Attributes
    ----------
    thing : str
        Id of its structure.
    bodies : Bodies
        The solids of its season.
    family, place : int
        Which of them it is.
    crown : bool
        It is of leaves: no screen, but a loss by depth.
    nearest : Nearest
        As drawn.
    screen : tuple of float
        Diffraction parameter over its top, past its left and right, as drawn; NaN where it is out of the zone. [1]
    """

    thing: str
    bodies: Bodies
    family: int
    place: int
    crown: bool
    nearest: Nearest
    screen: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class OneHop:
    """Everything that the chances of one hop follow from.

    Attributes
    ----------
    start_m, end_m : ndarray of float, shape (3,)
        Antenna of the access point and of the station. [m]
    wavelength_m, frequency_mhz : float
        [m, MHz]
    free : float
        Part of the first zone that is to be free. [1]
    tape_m : float
        Standard deviation of what is measured by tape. [m]
    unknowns : Unknowns
        What is not known for certain.
    carriers : (str, str)
        What carries the ends.
    ground : Nearest
        The ground.
    solids : tuple of Solid
        What stands near for good.
    way : HopObstruction
        What stands in its way as drawn.
    margin_db, sigma_db : float
        Margin at the needed rate as drawn, and the standard deviation of the level. [dB]
    """

    start_m: FloatArray
    end_m: FloatArray
    wavelength_m: float
    frequency_mhz: float
    free: float
    tape_m: float
    unknowns: Unknowns
    carriers: tuple[str, str]
    ground: Nearest
    solids: tuple[Solid, ...]
    way: HopObstruction
    margin_db: float
    sigma_db: float


def chance_of(hop: OneHop, draws: FloatArray | None = None) -> tuple[float, float, str]:
    """Return the chances of one hop.

    Parameters
    ----------
    hop : OneHop
        The hop.
    draws : ndarray of float, shape (unknowns, n), optional
        Errors in standard deviations; `normal_draws` where not given.

    Returns
    -------
    clear_percent, level_percent : float
        Probability that the zone is free, and that the level holds. [%]
    best_measurement : str
        What to measure first; empty where nothing could be gained.
    """
    ground_sd = _sd_ratio(hop, hop.ground, _ground_lifts(hop))
    sds = [_sd_ratio(hop, solid.nearest, hop.unknowns.lifts(solid.thing)) for solid in hop.solids]
    known = [(hop.ground, ground_sd), *((solid.nearest, sd) for solid, sd in zip(hop.solids, sds, strict=True))]
    if any(one.ratio + _SIGMAS * sd < hop.free for one, sd in known):
        return 0.0, _level_percent(hop, np.zeros(1)), ""
    drawn = [n for n, solid in enumerate(hop.solids) if solid.nearest.ratio - _SIGMAS * sds[n] < hop.free]
    ground_counts = hop.ground.ratio - _SIGMAS * ground_sd < hop.free
    if not drawn and not ground_counts:
        return 100.0, _level_percent(hop, np.zeros(1)), ""
    return _drawn(hop, drawn, normal_draws(len(hop.unknowns.rows)) if draws is None else draws)


def _sd_ratio(hop: OneHop, nearest: Nearest, lifts: FloatArray) -> float:
    """Return the standard deviation of a ratio, to first order; 0 where there is none."""
    if not math.isfinite(nearest.ratio):
        return 0.0
    part = nearest.from_start_m / (nearest.from_start_m + nearest.from_end_m)
    ends, total = hop.unknowns.at_ends(), 0.0
    for n, row in enumerate(hop.unknowns.rows):
        up = (1.0 - part) * ends[n, 0] + part * ends[n, 2] - lifts[n]
        right = (1.0 - part) * ends[n, 1] + part * ends[n, 3]
        total += float(up * up + right * right) * row.sigma_m * row.sigma_m
    return math.sqrt(total) / nearest.zone_m


def _ground_lifts(hop: OneHop) -> FloatArray:
    """Return what a metre of each error lifts the ground where it is nearest: it goes with the feet of both ends."""
    if not math.isfinite(hop.ground.ratio):
        return np.zeros(len(hop.unknowns.rows))
    part = hop.ground.from_start_m / (hop.ground.from_start_m + hop.ground.from_end_m)
    first, last = (hop.unknowns.foot(key) for key in hop.carriers)
    return (1.0 - part) * first + part * last


def _sum(coefficients: FloatArray, errors_m: FloatArray) -> FloatArray:
    """Return a sum of errors in every draw, added in their order."""
    total = np.zeros(errors_m.shape[1])
    for n in np.flatnonzero(coefficients).tolist():
        total = total + coefficients[n] * errors_m[n]
    return total


def _drawn(hop: OneHop, drawn: Sequence[int], draws: FloatArray) -> tuple[float, float, str]:
    errors_m = draws * hop.unknowns.sigmas_m()[:, None]
    ends = hop.unknowns.at_ends()
    shifts = [_sum(ends[:, column], errors_m) for column in range(4)]
    course = _course(hop, shifts)
    things = _things(hop, drawn, course, errors_m)
    ground = _ground_ratio(hop, shifts, errors_m)
    ratio = ground
    for n in drawn:
        ratio = np.minimum(ratio, things[n].ratio)
    clear = float(np.count_nonzero(ratio >= hop.free - _SLACK)) * 100.0 / draws.shape[1]
    level = _level_percent(hop, _loss_more_db(hop, things, ground))
    best = _best(hop, ratio, errors_m) if 0.0 < clear < 100.0 else ""
    return clear, level, best


def _course(hop: OneHop, shifts: Sequence[FloatArray]) -> Course:
    dx, dy = (hop.end_m[:2] - hop.start_m[:2]).tolist()
    flat = math.hypot(dx, dy)
    right = (dy / flat, -dx / flat) if flat > 0.0 else (1.0, 0.0)
    ends = []
    for at, up, across in ((hop.start_m, shifts[0], shifts[1]), (hop.end_m, shifts[2], shifts[3])):
        ends.append(np.column_stack((at[0] + across * right[0], at[1] + across * right[1], at[2] + up)))
    return Course(ends[0], ends[1], hop.wavelength_m)


def _things(hop: OneHop, drawn: Sequence[int], course: Course, errors_m: FloatArray) -> dict[int, Thing]:
    """Return what each drawn solid does, by its place."""
    lift = {n: _sum(hop.unknowns.lifts(hop.solids[n].thing), errors_m) for n in drawn}
    found: dict[int, Thing] = {}
    for bodies in {id(hop.solids[n].bodies): hop.solids[n].bodies for n in drawn}.values():
        mine = [n for n in drawn if hop.solids[n].bodies is bodies]
        flat = [n for n in mine if hop.solids[n].family == 0]
        places = np.array([hop.solids[n].place for n in flat], np.int64)
        pairs = Pairs(np.zeros(len(flat), np.int64), np.zeros(len(flat), np.int64), places)
        found.update(zip(flat, drawn_prisms(course, [lift[n] for n in flat], bodies, pairs), strict=True))
        for n in mine:
            if hop.solids[n].family == 1:
                found[n] = drawn_upright(course, lift[n], bodies, hop.solids[n].place, BRACKET_M)
    return found


def _ground_ratio(hop: OneHop, shifts: Sequence[FloatArray], errors_m: FloatArray) -> FloatArray:
    """Return the ratio over the ground in every draw, at the place where it is least as drawn."""
    ground = hop.ground
    if not math.isfinite(ground.ratio):
        return np.full(errors_m.shape[1], np.inf)
    part = ground.from_start_m / (ground.from_start_m + ground.from_end_m)
    lift = (1.0 - part) * shifts[0] + part * shifts[2] - _sum(_ground_lifts(hop), errors_m)
    return ground.ratio + lift / ground.zone_m


def _loss_more_db(hop: OneHop, things: dict[int, Thing], ground: FloatArray) -> FloatArray:
    """Return how much more is lost in every draw than as drawn."""
    draws = len(ground)
    screens: dict[str, Screens] = {}
    depth_m = np.zeros(draws)
    spans = {row.thing: (row.leave_m or 0.0) - (row.enter_m or 0.0) for row in hop.way.obstacles}
    for n, solid in enumerate(hop.solids):
        thing = things.get(n)
        if solid.crown:
            if thing is not None:
                depth_m = depth_m + np.where(thing.ratio < 0.0, spans.get(solid.thing, 0.0), 0.0)
            continue
        new = thing.screens if thing is not None else _still(solid, draws)
        screens[solid.thing] = _merged(screens[solid.thing], new) if solid.thing in screens else new
    rows = list(screens.values())
    if np.isfinite(ground[0]):
        length = hop.ground.from_start_m + hop.ground.from_end_m
        at = min(max(hop.ground.from_start_m, 1.0), length - 1.0)
        endless = np.full(draws, np.inf)
        rows.append(Screens(-_ROOT_2 * ground, endless, endless, np.full(draws, at), np.full(draws, length - at)))
    lost = loss_db(rows, depth_m, hop.frequency_mhz)
    as_drawn = hop.way.diffraction_db + (hop.way.foliage_high_db if hop.way.foliage_depth_m else 0.0)
    return lost - as_drawn


def _still(solid: Solid, draws: int) -> Screens:
    """Return a solid that is not drawn as the screen that it is."""
    at = solid.nearest
    values = (*solid.screen, at.from_start_m, at.from_end_m)
    return Screens(*(np.full(draws, value) for value in values))


def _merged(one: Screens, other: Screens) -> Screens:
    """Return two solids of one thing as one screen: the higher top, the outer sides."""
    there = np.isfinite(one.top)
    return Screens(
        np.fmax(one.top, other.top),
        np.fmax(one.left, other.left),
        np.fmax(one.right, other.right),
        np.where(there, one.from_start_m, other.from_start_m),
        np.where(there, one.from_end_m, other.from_end_m),
    )


def _level_percent(hop: OneHop, more_db: FloatArray) -> float:
    """Return the probability that the level holds, over all draws."""
    if math.isnan(hop.margin_db) or math.isnan(hop.sigma_db):
        return math.nan
    left: list[float] = (hop.margin_db - more_db).tolist()
    if hop.sigma_db == 0.0:
        return 100.0 * sum(value >= 0.0 for value in left) / len(left)
    scale = hop.sigma_db * _ROOT_2
    total: float = math.fsum(math.erfc(-value / scale) for value in left)
    return 50.0 * total / len(left)


def _best(hop: OneHop, ratio: FloatArray, errors_m: FloatArray) -> str:
    """Return the measurement that takes most of the variance of the smallest ratio, by its slope on every error."""
    bounded = np.clip(ratio, -10.0, 10.0)
    centred = bounded - float(np.sum(bounded)) / len(bounded)
    most, best = _LEAST_GAIN, ""
    for n, row in enumerate(hop.unknowns.rows):
        if not row.measure or row.sigma_m <= hop.tape_m:
            continue
        error = errors_m[n]
        slope = float(np.sum(centred * error)) / float(np.sum(error * error))
        gain = slope * slope * (row.sigma_m * row.sigma_m - hop.tape_m * hop.tape_m)
        if gain > most:
            most, best = gain, row.measure
    return best
