"""Makes the numbers of a channel plan from a site: the budgets of all hops on every choice, and all interference."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.budget import Aims, best_rate_mbps
from survey_app.assess.gather import IntArray
from survey_app.assess.interference import (
    Coupling,
    cells_of,
    coupled,
    coupling_of,
    neighbours_at,
    neighbours_mw,
    rejection_db,
    rejection_steps_db,
)
from survey_app.assess.interference.coupling import to_frequency_db
from survey_app.assess.interference.outside import RUNNING
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.numbers import Numbers, moved, numbers, steady_of
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.decibels import dbm_to_mw
from survey_app.physics.rates import at_mcs
from survey_app.propose.channels.choices import Choice, choices_of, current_of
from survey_app.propose.channels.problem import LEVELS_DB, Problem
from survey_app.site.edits.radio import set_channels
from survey_app.site.site import Site
from survey_app.spectrum.permission import RuleSet
from survey_app.spectrum.regions import Regions

__all__ = ["Tables", "tables_of"]

_CHANGE, _RADAR, _LICENCE = 4.0, 1.0, 2.0
_UNDER_NOISE_DB = 10.0
_SLACK_DB = 0.05


@dataclass(frozen=True)
class Tables:
    """A channel plan as numbers, with what they stand for.

    Attributes
    ----------
    job : Job
        The indexed site.
    base : Numbers
        As it is now.
    cells : tuple of str
        Access points, by the problem's cells.
    choices : tuple of Choice
        By the problem's choices.
    rules : tuple of dict
        What each cell may take, with the rules that hold there.
    problem : Problem
    now : ndarray of int, shape (cells,)
        What each cell is set to; -1 = nothing that it may keep.
    carries : ndarray of bool, shape (cells, choices)
        Whether all hops of the cell have the rate that it needs on a choice.
    """

    job: Job
    base: Numbers
    cells: tuple[str, ...]
    choices: tuple[Choice, ...]
    rules: tuple[dict[Choice, list[RuleSet]], ...]
    problem: Problem
    now: IntArray
    carries: BoolArray


@dataclass(frozen=True)
class _Budgets:
    """All hops on one choice, shape (directions,) unless said: `margin_db`, `floor_mw`; powers of all radios."""

    margin_db: FloatArray
    floor_mw: FloatArray
    sent_dbm: FloatArray
    capacity_mbps: FloatArray
    carries: BoolArray
    can: BoolArray


def tables_of(site: Site, regions: Regions) -> Tables | None:
    """Return a site's channel plan as numbers; None where no cell has a channel to choose.

    Parameters
    ----------
    site : Site
        The document.
    regions : Regions
        Radio rules.
    """
    job = Job(site)
    base = numbers(job, regions)
    cells = tuple(job.cells)
    members = {key: (key, *(hop.station for hop in job.cells[key])) for key in cells}
    rules = tuple(choices_of(job, base.law, key, members[key]) for key in cells)
    choices = tuple(sorted({choice for one in rules for choice in one}))
    if not choices or not all(rules):
        return None
    aims = base.aims
    budgets: list[_Budgets] = []
    for choice in choices:
        found = _on(site, regions, cells, choice, base, aims)
        aims = _known_aims(aims, found.aims)
        budgets.append(_budgets(found, job, choice))
    cell_of = cells_of(job, base.radios)
    order = np.argsort(np.tile(base.hops.cell, 2), kind="stable")
    hears = np.concatenate([base.hops.access_point, base.hops.station])[order]
    allowed = np.array([[choice in one for choice in choices] for one in rules], dtype=bool)
    carries = np.stack([row.carries for row in budgets], axis=1)
    allowed = _unless_none(_unless_none(allowed, np.stack([row.can for row in budgets], axis=1)), carries)
    margin = np.stack([row.margin_db[order] for row in budgets], axis=1)
    direction_cell = np.tile(base.hops.cell, 2)[order]
    # where nothing is known of a direction on any choice, it does not count; on one of them, that choice is out
    known = np.isfinite(margin)
    counts = np.any(known & allowed[direction_cell], axis=1)
    margin = np.where(counts[:, None], np.where(known, margin, -np.inf), np.inf)
    sent = np.stack([row.sent_dbm for row in budgets], axis=1)
    coupling = _coupling(job, base, aims, sent)
    passed, kind = _passed(job, choices, hears)
    now = np.array([_place(choices, job, key) for key in cells], dtype=np.intp)
    running = np.array([job.radios[key].status in RUNNING for key in cells], dtype=bool)
    problem = Problem(
        allowed=allowed,
        cell=direction_cell,
        margin_db=margin,
        floor_mw=np.stack([row.floor_mw[order] for row in budgets], axis=1),
        strength_mw=_strength(coupling, cell_of, hears, direction_cell, sent, choices, len(cells)),
        passed=passed,
        receiver=kind,
        capacity_mbps=np.stack([row.capacity_mbps for row in budgets], axis=2),
        running=np.where(running & (now >= 0), now, -1),
        burden=_burden(choices, rules, now),
    )
    return Tables(job, base, cells, choices, rules, problem, now, carries)


def _on(site: Site, regions: Regions, cells: tuple[str, ...], choice: Choice, base: Numbers, aims: Aims) -> Numbers:
    """Return the numbers with all cells on one choice; aims stay as they are where they are known."""
    other = set_channels(site, dict.fromkeys(cells, (choice.channel, choice.width_mhz))).after
    job = Job(other)
    assert base.stands is not None
    held = aims if np.isfinite(aims.bracket_deg).all() else None
    return moved(job, steady_of(job, regions, base.demand), base.stands, held)


def _known_aims(first: Aims, second: Aims) -> Aims:
    """Return aims of the first; where it has none, those of the second."""

    def one(a: FloatArray, b: FloatArray) -> FloatArray:
        return np.where(np.isnan(a), b, a)

    return Aims(
        one(first.bearing_deg, second.bearing_deg),
        one(first.tilt_deg, second.tilt_deg),
        one(first.bracket_deg, second.bracket_deg),
    )


def _budgets(found: Numbers, job: Job, choice: Choice) -> _Budgets:
    hops, rates, powers = found.hops, found.rates, found.powers
    a, s = hops.access_point, hops.station
    rise = job.defaults.interference_rise_db
    outside = neighbours_mw(
        job, neighbours_at(job), found.radios.centre_mhz, found.radios.width_mhz, rejection_steps_db(job)
    )
    floors, lost = [], []
    for way, hears in ((found.up, a), (found.down, s)):
        quiet = dbm_to_mw(way.noise_dbm + rise)
        floors.append(quiet + outside[hears])
        lost.append(10.0 * np.log10(floors[-1] / quiet))
    chosen = np.array([np.nan if hop.chosen_mcs is None else hop.chosen_mcs for hop in job.hops.values()], dtype=float)
    weight = _weights(found)
    levels = []
    for level in LEVELS_DB:
        # in the last step nobody knows how much is lost: what is left then is the rate that the cell needs
        if np.isinf(level):
            rate_up = rate_down = at_mcs(rates.rate_mbps, found.needed.astype(float))
        else:
            rate_up = best_rate_mbps(
                found.path.path_gain_db, powers.service_dbm[s], rates.power_s_dbm, rates.sensitivity_a_dbm, rates,
                (rise + level + lost[0])[:, None], hops.wanted_margin_db, chosen,
            )  # fmt: skip
            rate_down = best_rate_mbps(
                found.path.path_gain_db, powers.service_dbm[a], rates.power_a_dbm, rates.sensitivity_s_dbm, rates,
                (rise + level + lost[1])[:, None], hops.wanted_margin_db, chosen,
            )  # fmt: skip
        levels.append(_capacity(found, weight, rate_up, rate_down))
    # a stricter level never carries less
    capacity = np.maximum.accumulate(np.array(levels)[::-1], axis=0)[::-1]
    at_needed = at_mcs(rates.rate_mbps, found.needed.astype(float))
    short = at_needed < found.need.needed_rate_mbps[hops.cell] - 1e-9
    carries = np.ones(len(job.cells), dtype=bool)
    np.logical_and.at(carries, hops.cell, ~short & np.isfinite(at_needed))
    can = np.ones(len(job.cells), dtype=bool)
    # a unit that cannot send as little as the rules allow may not be there at all
    over = found.radios.power_floor_dbm > found.law.conducted_dbm + _SLACK_DB
    np.logical_and.at(can, hops.cell, ~(over[a] | over[s]))
    return _Budgets(
        margin_db=np.concatenate([found.up.margin_needed_db - lost[0], found.down.margin_needed_db - lost[1]]),
        floor_mw=np.concatenate(floors),
        sent_dbm=powers.service_dbm + to_frequency_db(np.array(choice.centre_mhz)),
        capacity_mbps=capacity,
        carries=carries,
        can=can,
    )


def _weights(found: Numbers) -> FloatArray:
    """Return which part of a cell's traffic each direction carries, up and down; evenly upward where none is known."""
    demand = np.array(
        [
            [found.demand[key].peak_to_access_point_mbps for key in found.hops.ids],
            [found.demand[key].peak_to_station_mbps for key in found.hops.ids],
        ],
        dtype=float,
    ).reshape(2, -1)
    total = np.zeros(len(found.need.efficiency))
    np.add.at(total, found.hops.cell, demand.sum(axis=0))
    count = np.bincount(found.hops.cell, minlength=len(total))
    cell = found.hops.cell
    with np.errstate(invalid="ignore", divide="ignore"):
        share = demand / total[cell]
    even = np.stack([1.0 / count[cell], np.zeros(len(cell))])
    return np.where(total[cell] > 0.0, share, even)


def _capacity(found: Numbers, weight: FloatArray, up_mbps: FloatArray, down_mbps: FloatArray) -> FloatArray:
    """Return what each cell carries of its own mix of traffic; 0 where a hop has no rate. [Mbit/s]"""
    cell = found.hops.cell
    with np.errstate(invalid="ignore", divide="ignore"):
        airtime = np.where(weight[0] > 0.0, weight[0] / up_mbps, 0.0) + np.where(
            weight[1] > 0.0, weight[1] / down_mbps, 0.0
        )
    total = np.zeros(len(found.need.efficiency))
    np.add.at(total, cell, np.where(np.isfinite(airtime), airtime, np.inf))
    with np.errstate(divide="ignore"):
        carried = found.need.efficiency / total
    return np.nan_to_num(np.where(total > 0.0, carried, 0.0))


def _unless_none(allowed: BoolArray, wanted: BoolArray) -> BoolArray:
    """Leave out what is not wanted, of a cell that has something wanted."""
    enough: BoolArray = allowed & wanted
    found: BoolArray = np.where(enough.any(axis=1, keepdims=True), enough, allowed)
    return found


def _coupling(job: Job, base: Numbers, aims: Aims, sent_dbm: FloatArray) -> Coupling:
    free = coupling_of(job, base.radios, aims, base.placed.plane)
    cell = cells_of(job, base.radios)
    loudest = np.max(np.where(np.isnan(sent_dbm), -np.inf, sent_dbm), axis=1)
    other = (cell[:, None] != cell[None, :]) & (cell[:, None] >= 0) & (cell[None, :] >= 0)
    floor = np.fmin.reduce([*base.up.noise_dbm, *base.down.noise_dbm])
    matters: BoolArray = other & (loudest[None, :] + free.gain_db > floor - _UNDER_NOISE_DB)
    return coupled(job, base.stands, base.radios, free, matters, Fresh())


def _strength(
    coupling: Coupling,
    cell_of: IntArray,
    hears: IntArray,
    direction_cell: IntArray,
    sent_dbm: FloatArray,
    choices: tuple[Choice, ...],
    cells: int,
) -> FloatArray:
    found = np.zeros((len(hears), cells, len(choices)))
    for cell in range(cells):
        members = np.flatnonzero(cell_of == cell)
        level = coupling.gain_db[hears[:, None], members[None, :]][:, :, None] + sent_dbm[members][None, :, :]
        found[:, cell] = np.max(np.nan_to_num(dbm_to_mw(level)), axis=1, initial=0.0)
    found[np.arange(len(hears)), direction_cell] = 0.0
    return found


def _passed(job: Job, choices: tuple[Choice, ...], hears: IntArray) -> tuple[FloatArray, IntArray]:
    """Return what part of a choice's signal passes into another, by kind of receiver, and each direction's kind."""
    steps = np.nan_to_num(rejection_steps_db(job)[hears], nan=0.0)
    kinds, kind = np.unique(steps, axis=0, return_inverse=True)
    centre = np.array([choice.centre_mhz for choice in choices])
    width = np.array([float(choice.width_mhz) for choice in choices])
    held = [rejection_db(centre[None, :], width[None, :], centre[:, None], width[:, None], row) for row in kinds]
    passed = np.array([dbm_to_mw(-row) for row in held]).reshape(len(kinds), len(choices), len(choices))
    return passed, kind.reshape(-1).astype(np.intp)


def _place(choices: tuple[Choice, ...], job: Job, access_point: str) -> int:
    now = current_of(job, job.radios[access_point])
    return choices.index(now) if now in choices else -1


def _burden(choices: tuple[Choice, ...], rules: tuple[dict[Choice, list[RuleSet]], ...], now: IntArray) -> FloatArray:
    found = np.zeros((len(rules), len(choices)))
    for cell, known in enumerate(rules):
        for place, choice in enumerate(choices):
            held = known.get(choice, [])
            found[cell, place] = (
                _CHANGE * (place != now[cell])
                + _RADAR * any(one.radar_duty for one in held)
                + _LICENCE * any(one.needs_licence for one in held)
            )
    return found
