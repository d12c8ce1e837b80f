"""The search for a plan: the best worst margin first, then capacity, then all plans of equal worth."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.propose.channels.exact import Programme, nodes_for
from survey_app.propose.channels.greedy import greedy_plan, improved
from survey_app.propose.channels.problem import Problem, worth_of

__all__ = ["MARGIN_STEP_DB", "MARGIN_TIE_DB", "Found", "Patience", "search"]

MARGIN_STEP_DB = 0.1
"""How exactly the best worst margin is found."""

MARGIN_TIE_DB = 0.5
"""Worst margins that differ by less are worth the same, and capacity decides: no unit shows the difference."""

_SAME_CAPACITY = 1e-6


@dataclass(frozen=True)
class Patience:
    """How long to search, and whom to tell.

    Attributes
    ----------
    seconds : float
        When to stop and state the gap. [s]
    told : callable or None
        Gets a sentence at every step; returns False to stop.
    """

    seconds: float = 60.0
    told: Callable[[str], bool] | None = None


@dataclass(frozen=True)
class Found:
    """What the search found.

    Attributes
    ----------
    plan : ndarray of int, shape (cells,)
        Choice of each cell.
    worst_db, worst_bound_db : float
        Worst margin, and what no plan exceeds. [dB]
    margin_gap_db : float
        How much more another plan might have; 0 where the best was found, to the step asked for. [dB]
    capacity_mbps, capacity_bound_mbps : float
        Guaranteed throughput of all cells, and what no plan with that worst margin exceeds. [Mbit/s]
    equal : tuple of ndarray of int
        Further plans of the same worth.
    stopped : bool
        It ran out of time, or was stopped.
    """

    plan: IntArray
    worst_db: float
    worst_bound_db: float
    margin_gap_db: float
    capacity_mbps: float
    capacity_bound_mbps: float
    equal: tuple[IntArray, ...]
    stopped: bool


class _Search:
    def __init__(
        self, problem: Problem, patience: Patience, most_changes: int | None, step_db: float, until: float
    ) -> None:
        self.problem, self.patience, self.most_changes, self.step_db = problem, patience, most_changes, step_db
        self.until = until
        self.halted = False

    def tell(self, words: str) -> bool:
        if time.monotonic() >= self.until or (self.patience.told is not None and not self.patience.told(words)):
            self.halted = True
        return not self.halted

    def start(self) -> IntArray:
        """Return the better of the greedy plans: all free, or what runs kept."""
        running = self.problem.running
        changes = self.most_changes
        kept = greedy_plan(self.problem, running)
        if changes is not None and changes < int(np.sum(running >= 0)):
            return kept
        free = greedy_plan(self.problem)
        return max((free, kept), key=lambda plan: worth_of(self.problem, plan).worst_db)

    def worst_margin(self, plan: IntArray) -> tuple[IntArray, float]:
        """Return a plan whose worst margin no other exceeds, and the bound that is proven."""
        problem, step = self.problem, self.step_db
        low, high = worth_of(problem, plan).worst_db, self._ceiling_db()
        asked = high - step / 2.0  # often nobody has to give anything up
        while high - low > step and self.tell(f"worst margin {low:.1f} dB, at most {high:.1f} dB"):
            asked = min(max(asked, low + step / 2.0), high - step / 4.0)
            nodes = nodes_for(problem, asked, levels=False)
            answer = Programme(problem, nodes, self.most_changes).solve(self.until)
            if answer.plan is not None:
                plan, low = answer.plan, worth_of(problem, answer.plan).worst_db
            elif answer.proven:
                high = asked
            else:
                self.halted = True
            asked = (low + high) / 2.0
        return plan, max(high, low)

    def _ceiling_db(self) -> float:
        """Return what no plan exceeds: each cell with its best choice, nobody else on the air."""
        problem = self.problem
        best = np.inf
        for cell in range(problem.cells):
            mine = problem.directions(cell)
            if len(mine):
                alone = np.min(problem.margin_db[mine], axis=0)
                best = min(best, float(np.max(alone[problem.allowed[cell]], initial=-np.inf)))
        return best

    def most_capacity(
        self, plan: IntArray, kept_db: float, equals: int
    ) -> tuple[IntArray, float, tuple[IntArray, ...]]:
        """Return the plan that carries most of those that keep a worst margin, the proven bound, and its equals."""
        problem = self.problem
        plan = improved(problem, plan, kept_db, self.most_changes)
        programme = Programme(problem, nodes_for(problem, kept_db, levels=True), self.most_changes)
        bound = float(np.sum(np.max(np.where(problem.allowed, problem.capacity_mbps[0], 0.0), axis=1)))
        if not self.tell(f"capacity {self.carries(plan):.0f} Mbit/s"):
            return plan, max(bound, self.carries(plan)), ()
        answer = programme.solve(self.until)
        if answer.plan is not None and self.carries(answer.plan) >= self.carries(plan) - _SAME_CAPACITY:
            plan = answer.plan
        carried = self.carries(plan)
        if not answer.proven:
            self.halted = True
            return plan, max(carried, min(bound, answer.bound + self._most_burden())), ()
        others: list[IntArray] = []
        last = plan
        while len(others) < equals and self.tell(f"capacity {carried:.0f} Mbit/s; plans of equal worth: {len(others)}"):
            programme.forbid(last)
            answer = programme.solve(self.until)
            if answer.plan is None or self.carries(answer.plan) < carried - _SAME_CAPACITY * max(1.0, carried):
                break
            last = answer.plan
            others.append(last)
        return plan, carried, tuple(others)

    def carries(self, plan: IntArray) -> float:
        return float(np.sum(worth_of(self.problem, plan).capacity_mbps))

    def _most_burden(self) -> float:
        return 0.02 * float(np.sum(np.max(self.problem.burden, axis=1, initial=0.0)))


def search(
    problem: Problem,
    patience: Patience,
    *,
    most_changes: int | None = None,
    equals: int = 3,
    step_db: float = MARGIN_STEP_DB,
    tie_db: float = MARGIN_TIE_DB,
) -> Found:
    """Search the best plan.

    Parameters
    ----------
    problem : Problem
        Cells and choices; every cell has at least one.
    patience : Patience
        How long, and whom to tell.
    most_changes : int or None
        How many running cells may take another choice; None = any.
    equals : int
        How many further plans of equal worth to look for.
    step_db : float
        How exactly the best worst margin is found. [dB]
    tie_db : float
        How much of it may be given up for capacity; never so much that a plan made cell by cell would keep more. [dB]

    Notes
    -----
    Whether a worst margin can be kept is a question of yes or no: each receiver then stands a fixed power of
    interference, the sum over the others is linear in what they choose, and a mixed-integer programme answers it. The
    margin is found by halving. Then the same programme, with that margin kept, maximises what the cells carry.
    """
    one = _Search(problem, patience, most_changes, step_db, time.monotonic() + patience.seconds)
    start = one.start()
    plan, bound = one.worst_margin(start)
    worst = worth_of(problem, plan).worst_db
    # of plans that nobody can tell apart by their worst margin the one that carries most
    kept = max(worst - tie_db, worth_of(problem, start).worst_db - 1e-9)
    plan, most, equal = one.most_capacity(plan, kept, equals)
    finished = bound - worst <= 1.01 * step_db or not np.isfinite(bound)
    worst = worth_of(problem, plan).worst_db
    return Found(
        plan=plan,
        worst_db=worst,
        worst_bound_db=bound,
        margin_gap_db=0.0 if finished else bound - worst,
        capacity_mbps=one.carries(plan),
        capacity_bound_mbps=most,
        equal=equal,
        stopped=one.halted,
    )
