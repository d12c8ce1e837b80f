"""A walk from plan to plan, one cell at a time, that goes through worse ones and does not turn back at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.decibels import from_db
from survey_app.physics.kernels import STEP_S, kernel
from survey_app.propose.channels.problem import LEVELS_DB, Problem, allowed_mw

__all__ = ["Walk", "walked"]

_ROUNDING = 1e-9
_PER_STEP_S = 2e-6  # of the interpreter, for one direction
# the draws among equals: a minimal standard generator, which whole numbers of 64 bits hold
_FACTOR, _MODULUS = 48271, 2147483647
_HOLD, _SPREAD = 8, 12  # steps for which a cell does not go back to what it left
_HEAVY = (5.0, 12.0, 30.0)  # times the most that a cell can miss, in turn: how much a walk cuts its corners
_FRESH = 64  # steps after which sums are made anew, so that rounding does not pile up
_HEARD = 0.01  # part of what a direction stands that makes a neighbour worth a move


@dataclass(frozen=True)
class Walk:
    """Where a walk came to.

    Attributes
    ----------
    plan : ndarray of int, shape (cells,)
        The best plan on the way.
    short : float
        How far its directions are from the margin asked for; 0 where all keep it. [1]
    missing_mbps : float
        What it carries less than all cells at their best. [Mbit/s]
    """

    plan: IntArray
    short: float
    missing_mbps: float


def walked(
    problem: Problem,
    plan: IntArray,
    margin_db: float,
    *,
    steps: int,
    seed: int,
    capacity: bool,
    most_changes: int | None = None,
) -> Walk:
    """Walk on from a plan, toward a worst margin, and at the same margin toward capacity.

    Parameters
    ----------
    problem : Problem
        Cells and choices.
    plan : ndarray of int, shape (cells,)
        Where to begin.
    margin_db : float
        Margin that every direction is to keep. [dB]
    steps : int
        How many cells to move, one after the other.
    seed : int
        Where the draws among equals begin, >= 1.
    capacity : bool
        Whether to go on to what carries most; otherwise the first plan that keeps the margin ends the walk.
    most_changes : int or None
        How many running cells may take another choice; None = any.

    Notes
    -----
    Each step takes the move after which least is short, whether better or worse than before; what a cell has just left
    is barred to it for some steps, unless the plan is the best so far.
    """
    directions, choices = problem.margin_db.shape
    most = np.empty((directions, choices))
    every = np.arange(directions, dtype=np.intp)
    for choice in range(choices):
        most[:, choice] = allowed_mw(problem, every, choice, margin_db, np.inf)
    top = np.max(np.where(problem.allowed, problem.capacity_mbps[0], 0.0), axis=1, initial=0.0)
    missing = top[None, :, None] - problem.capacity_mbps
    if not capacity:
        missing = np.zeros_like(missing)
    changes = problem.cells if most_changes is None else most_changes
    best = plan.astype(np.int64)
    size = steps * problem.cells * choices * directions * _PER_STEP_S / STEP_S
    air = _Air(
        most,
        np.array(problem.floor_mw),
        np.ascontiguousarray(problem.strength_mw),
        np.ascontiguousarray(problem.passed),
        problem.receiver.astype(np.int64),
        np.append(np.searchsorted(problem.cell, np.arange(problem.cells)), directions).astype(np.int64),
        (from_db(np.array(LEVELS_DB)) - 1.0) * (1.0 + _ROUNDING),
        np.ascontiguousarray(missing),
        _HEAVY[seed % len(_HEAVY)] * float(np.max(missing, initial=0.0)) + 1.0,
    )
    short, lost = _walk.sized(size)(
        air, np.array(problem.allowed), problem.running.astype(np.int64), changes, steps, seed, capacity, best
    )
    return Walk(best.astype(np.intp), float(short), float(lost))


class _Air(NamedTuple):
    """What a walk knows of a problem and a margin, see `Problem`.

    Attributes
    ----------
    most : ndarray of float, shape (directions, choices)
        What each direction stands. [mW]
    floor, strength, passed, receiver : ndarray
    first : ndarray of int, shape (cells + 1,)
        Where the directions of each cell begin.
    levels : ndarray of float, shape (levels,)
        Steps of capacity, as interference over the floor. [1]
    missing : ndarray of float, shape (levels, cells, choices)
        What a cell carries less than at its best. [Mbit/s]
    heavy : float
        What a direction weighs that is short of its margin. [Mbit/s]
    """

    most: FloatArray
    floor: FloatArray
    strength: FloatArray
    passed: FloatArray
    receiver: IntArray
    first: IntArray
    levels: FloatArray
    missing: FloatArray
    heavy: float


@kernel
def _fill(total: FloatArray, air: _Air, plan: IntArray) -> None:
    """Fill in what arrives at every direction on every choice."""
    directions, cells, choices = air.strength.shape
    for d in range(directions):
        for k in range(choices):
            total[d, k] = 0.0
        for c in range(cells):
            brought = air.strength[d, c, plan[c]]
            if brought > 0.0:
                for k in range(choices):
                    total[d, k] += brought * air.passed[air.receiver[d], k, plan[c]]


@kernel
def _short(air: _Air, total: FloatArray, c: int, k: int, moved: int, old: int, new: int) -> tuple[float, float]:
    """Return what a cell on a choice falls short of its margins, and of its capacity, after another has moved."""
    short, level = 0.0, 0
    for d in range(air.first[c], air.first[c + 1]):
        arrives = total[d, k]
        if moved >= 0:
            arrives -= air.strength[d, moved, old] * air.passed[air.receiver[d], k, old]
            arrives += air.strength[d, moved, new] * air.passed[air.receiver[d], k, new]
            arrives = max(arrives, 0.0)
        if not arrives <= air.most[d, k]:
            short += arrives / (arrives + max(air.most[d, k], 0.0)) - 0.5 + 1e-6
        while level < len(air.levels) - 1 and arrives > air.levels[level] * air.floor[d, k]:
            level += 1
    return short, air.missing[level, c, k]


@kernel
def _disturbs(air: _Air, plan: IntArray, here: FloatArray, c: int) -> bool:
    """Return whether a cell falls short, or is heard by one that does."""
    if here[c] > 0.0:
        return True
    old = plan[c]
    for other in range(len(plan)):
        if here[other] > 0.0:
            k = plan[other]
            for d in range(air.first[other], air.first[other + 1]):
                if air.strength[d, c, old] * air.passed[air.receiver[d], k, old] > _HEARD * air.most[d, k]:
                    return True
    return False


@kernel
def _walk(
    air: _Air,
    allowed: BoolArray,
    running: IntArray,
    changes: int,
    steps: int,
    seed: int,
    capacity: bool,
    best: IntArray,
) -> tuple[float, float]:
    """Walk, leave the best plan in `best`, and return how far it is short of margin and of capacity."""
    cells, choices = allowed.shape
    directions = air.strength.shape[0]
    plan = best.copy()
    total = np.zeros((directions, choices))
    barred = np.zeros((cells, choices), np.int64)
    here = np.zeros(cells)
    lowest = np.inf
    draw = seed
    for step in range(steps):
        if step % _FRESH == 0:
            _fill(total, air, plan)
        now, late, changed = 0.0, 0.0, 0
        for c in range(cells):
            short, lost = _short(air, total, c, plan[c], -1, 0, 0)
            here[c] = air.heavy * short + lost
            now += here[c]
            late += short
            if running[c] >= 0 and running[c] != plan[c]:
                changed += 1
        # on the way to capacity only plans that keep the margin count
        if now < lowest - 1e-9 and (late <= 0.0 or not capacity):
            lowest = now
            for c in range(cells):
                best[c] = plan[c]
            if now <= 0.0:
                break
        found, to, least, equals = -1, -1, np.inf, 0
        for c in range(cells):
            old = plan[c]
            if not capacity and not _disturbs(air, plan, here, c):
                continue
            for new in range(choices):
                if new == old or not allowed[c, new]:
                    continue
                if running[c] >= 0 and new != running[c] and old == running[c] and changed >= changes:
                    continue
                after = 0.0
                for other in range(cells):
                    if other == c:
                        short, lost = _short(air, total, c, new, -1, 0, 0)
                    else:
                        short, lost = _short(air, total, other, plan[other], c, old, new)
                    after += air.heavy * short + lost
                    if after > least + 1e-9:
                        break
                if after > least + 1e-9 or (barred[c, new] > step and after >= lowest - 1e-9):
                    continue
                if after < least - 1e-9:
                    least, found, to, equals = after, c, new, 1
                else:
                    equals += 1
                    draw = draw * _FACTOR % _MODULUS
                    if draw % equals == 0:
                        found, to = c, new
        if found < 0:
            break
        draw = draw * _FACTOR % _MODULUS
        old = plan[found]
        barred[found, old] = step + _HOLD + draw % _SPREAD
        for d in range(directions):
            for k in range(choices):
                gone = air.strength[d, found, old] * air.passed[air.receiver[d], k, old]
                total[d, k] += air.strength[d, found, to] * air.passed[air.receiver[d], k, to] - gone
        plan[found] = to
    _fill(total, air, best)
    late, missed = 0.0, 0.0
    for c in range(cells):
        short, lost = _short(air, total, c, best[c], -1, 0, 0)
        late += short
        missed += lost
    return late, missed
