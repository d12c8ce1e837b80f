"""A plan made cell by cell, the most entangled first: where the exact search begins."""

from __future__ import annotations

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import FloatArray
from survey_app.propose.channels.problem import Problem, worth_of

__all__ = ["greedy_plan", "improved"]

_SWEEPS = 3


def greedy_plan(problem: Problem, allowed_by: IntArray | None = None) -> IntArray:
    """Return a plan that gives one cell after the other the choice that hurts the worst direction least.

    Parameters
    ----------
    problem : Problem
        Cells and choices.
    allowed_by : ndarray of int, shape (cells,), or None
        Choices that cells are held to; -1 = free.

    Notes
    -----
    Cells come in the order of what they bring to others and hear of them on one channel, the loudest first; afterwards
    each is asked again in turn, and takes another choice where that is better.
    """
    count = problem.cells
    plan = np.full(count, -1, dtype=np.intp)
    held = np.full(count, -1) if allowed_by is None else allowed_by
    loud = np.max(problem.strength_mw, axis=2, initial=0.0) / np.median(problem.floor_mw, axis=1, keepdims=True)
    weight = np.zeros(count)
    np.add.at(weight, problem.cell, loud.sum(axis=1))
    weight += loud.sum(axis=0)
    order = np.lexsort((np.arange(count), -weight, held < 0))
    total = np.zeros((len(problem.cell), problem.choices))
    for cell in order.tolist():
        plan[cell] = _best(problem, plan, total, cell, int(held[cell]))
        total += _brought(problem, cell, int(plan[cell]))
    for _ in range(_SWEEPS):
        before = plan.copy()
        for cell in order.tolist():
            total -= _brought(problem, cell, int(plan[cell]))
            plan[cell] = -1
            plan[cell] = _best(problem, plan, total, cell, int(held[cell]))
            total += _brought(problem, cell, int(plan[cell]))
        if np.array_equal(before, plan):
            break
        if worth_of(problem, plan).worst_db < worth_of(problem, before).worst_db:
            return before
    return plan


def _brought(problem: Problem, cell: int, choice: int) -> FloatArray:
    """Return what a cell on a choice brings into every direction on every choice. [mW]"""
    passed = problem.passed[:, :, choice][problem.receiver]
    return problem.strength_mw[:, cell, choice][:, None] * passed


def _best(problem: Problem, plan: IntArray, total_mw: FloatArray, cell: int, held: int) -> int:
    """Return the choice after which the worst direction of all cells so far is best, then the most capacity."""
    mine = problem.directions(cell)
    done = np.flatnonzero(plan[problem.cell] >= 0)
    on = plan[problem.cell[done]]
    base_mw, floor = total_mw[done, on], problem.floor_mw[done, on]
    margin = problem.margin_db[done, on]
    best: tuple[float, float, float, int] | None = None
    for choice in np.flatnonzero(problem.allowed[cell]).tolist() if held < 0 else [held]:
        passed = problem.passed[problem.receiver[done], on, choice]
        others = margin - 10.0 * np.log10(1.0 + (base_mw + problem.strength_mw[done, cell, choice] * passed) / floor)
        lost = 10.0 * np.log10(1.0 + np.maximum(total_mw[mine, choice], 0.0) / problem.floor_mw[mine, choice])
        own = problem.margin_db[mine, choice] - lost
        worst = min(float(np.min(others, initial=np.inf)), float(np.min(own, initial=np.inf)))
        rank = (round(worst, 2), float(problem.capacity_mbps[-1, cell, choice]), -float(problem.burden[cell, choice]))
        if best is None or rank > best[:3]:
            best = (*rank, choice)
    assert best is not None  # every cell has a choice
    return best[3]


def improved(problem: Problem, plan: IntArray, kept_db: float, most_changes: int | None = None) -> IntArray:
    """Return a plan that carries more, changed one cell at a time, with a worst margin kept.

    Parameters
    ----------
    problem : Problem
        Cells and choices.
    plan : ndarray of int, shape (cells,)
        Where to begin; it keeps the margin.
    kept_db : float
        Margin that the worst direction keeps. [dB]
    most_changes : int or None
        How many running cells may take another choice; None = any.
    """
    plan = plan.copy()
    carries = float(np.sum(worth_of(problem, plan).capacity_mbps))
    better = True
    while better:
        better = False
        for cell in range(problem.cells):
            for choice in np.flatnonzero(problem.allowed[cell]).tolist():
                before = int(plan[cell])
                plan[cell] = choice
                found = worth_of(problem, plan)
                total = float(np.sum(found.capacity_mbps))
                changed = int(np.sum((problem.running >= 0) & (problem.running != plan)))
                held = most_changes is None or changed <= most_changes
                if held and found.worst_db >= kept_db and total > carries + 1e-6:
                    carries, better = total, True
                else:
                    plan[cell] = before
    return plan
