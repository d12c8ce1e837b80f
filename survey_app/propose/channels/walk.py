"""A walk from plan to plan, one cell at a time, that goes through worse ones and does not turn back at once."""

from __future__ import annotations

from dataclasses import dataclass

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
    short, lost = _walk.sized(size)(
        np.ascontiguousarray(most),
        np.array(problem.floor_mw),
        np.ascontiguousarray(problem.strength_mw),
        np.ascontiguousarray(problem.passed),
        problem.receiver.astype(np.int64),
        np.append(np.searchsorted(problem.cell, np.arange(problem.cells)), directions).astype(np.int64),
        np.array(problem.allowed),
        problem.running.astype(np.int64),
        changes,
        (from_db(np.array(LEVELS_DB)) - 1.0) * (1.0 + _ROUNDING),
        np.ascontiguousarray(missing),
        10.0 * float(np.max(missing, initial=0.0)) + 1.0,
        steps,
        seed,
        capacity,
        best,
    )
    return Walk(best.astype(np.intp), float(short), float(lost))


@kernel
def _state(total: FloatArray, strength: FloatArray, passed: FloatArray, receiver: IntArray, plan: IntArray) -> None:
    """Fill in what arrives at every direction on every choice."""
    directions, cells, choices = strength.shape
    for d in range(directions):
        for k in range(choices):
            total[d, k] = 0.0
        for c in range(cells):
            brought = strength[d, c, plan[c]]
            if brought > 0.0:
                for k in range(choices):
                    total[d, k] += brought * passed[receiver[d], k, plan[c]]


@kernel
def _cell_short(
    first: int, last: int, k: int, c: int, moved: int, old: int, new: int, total: FloatArray, most: FloatArray,
    floor: FloatArray, strength: FloatArray, passed: FloatArray, receiver: IntArray, levels: FloatArray,
    missing: FloatArray, heavy: float,
) -> float:  # fmt: skip
    """Return what a cell on a choice falls short, after another has moved: margin, weighed heavily, and capacity."""
    short, level = 0.0, 0
    for d in range(first, last):
        arrives = total[d, k]
        if moved >= 0:
            arrives -= strength[d, moved, old] * passed[receiver[d], k, old]
            arrives += strength[d, moved, new] * passed[receiver[d], k, new]
            arrives = max(arrives, 0.0)
        if not arrives <= most[d, k]:
            short += arrives / (arrives + max(most[d, k], 0.0)) - 0.5 + 1e-6
        while level < len(levels) - 1 and arrives > levels[level] * floor[d, k]:
            level += 1
    fallen: float = heavy * short + missing[level, c, k]
    return fallen


@kernel
def _walk(
    most: FloatArray, floor: FloatArray, strength: FloatArray, passed: FloatArray, receiver: IntArray, first: IntArray,
    allowed: BoolArray, running: IntArray, changes: int, levels: FloatArray, missing: FloatArray, heavy: float,
    steps: int, seed: int, capacity: bool, best: IntArray,
) -> tuple[float, float]:  # fmt: skip
    """Walk, leave the best plan in `best`, and return how far it is short of margin and of capacity."""
    cells, choices = allowed.shape
    directions = strength.shape[0]
    plan = best.copy()
    total = np.zeros((directions, choices))
    barred = np.zeros((cells, choices), np.int64)
    here = np.zeros(cells)
    lowest = np.inf
    draw = seed
    for step in range(steps):
        if step % _FRESH == 0:
            _state(total, strength, passed, receiver, plan)
        now, changed = 0.0, 0
        for c in range(cells):
            here[c] = _cell_short(
                first[c],
                first[c + 1],
                plan[c],
                c,
                -1,
                0,
                0,
                total,
                most,
                floor,
                strength,
                passed,
                receiver,
                levels,
                missing,
                heavy,
            )
            now += here[c]
            if running[c] >= 0 and running[c] != plan[c]:
                changed += 1
        if now < lowest - 1e-9:
            lowest = now
            for c in range(cells):
                best[c] = plan[c]
            if now <= 0.0:
                break
        found, to, least, equals = -1, -1, np.inf, 0
        for c in range(cells):
            old = plan[c]
            if not capacity and here[c] <= 0.0:
                # who falls short of nothing and disturbs nobody who does may stay
                disturbs = False
                for other in range(cells):
                    if here[other] > 0.0:
                        for d in range(first[other], first[other + 1]):
                            k = plan[other]
                            if strength[d, c, old] * passed[receiver[d], k, old] > _HEARD * most[d, k]:
                                disturbs = True
                if not disturbs:
                    continue
            for new in range(choices):
                if new == old or not allowed[c, new]:
                    continue
                if running[c] >= 0 and new != running[c] and old == running[c] and changed >= changes:
                    continue
                after = 0.0
                for other in range(cells):
                    if other == c:
                        after += _cell_short(
                            first[c],
                            first[c + 1],
                            new,
                            c,
                            -1,
                            0,
                            0,
                            total,
                            most,
                            floor,
                            strength,
                            passed,
                            receiver,
                            levels,
                            missing,
                            heavy,
                        )
                    else:
                        after += _cell_short(
                            first[other],
                            first[other + 1],
                            plan[other],
                            other,
                            c,
                            old,
                            new,
                            total,
                            most,
                            floor,
                            strength,
                            passed,
                            receiver,
                            levels,
                            missing,
                            heavy,
                        )
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
                total[d, k] += (
                    strength[d, found, to] * passed[receiver[d], k, to]
                    - strength[d, found, old] * passed[receiver[d], k, old]
                )
        plan[found] = to
    _state(total, strength, passed, receiver, best)
    short, lost = 0.0, 0.0
    for c in range(cells):
        whole = _cell_short(
            first[c],
            first[c + 1],
            best[c],
            c,
            -1,
            0,
            0,
            total,
            most,
            floor,
            strength,
            passed,
            receiver,
            levels,
            missing,
            heavy,
        )
        margin = _cell_short(
            first[c],
            first[c + 1],
            best[c],
            c,
            -1,
            0,
            0,
            total,
            most,
            floor,
            strength,
            passed,
            receiver,
            levels,
            missing,
            0.0,
        )
        lost += margin
        short += (whole - margin) / heavy
    return short, lost
