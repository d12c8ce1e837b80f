"""The search for a plan: the best worst margin first, then capacity, then all plans of equal worth."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.propose.channels.bound import Bound, bound_of
from survey_app.propose.channels.exact import Cut, Nodes, Programme, nodes_for, nodes_of
from survey_app.propose.channels.greedy import greedy_plan, improved
from survey_app.propose.channels.parts import densest, parted
from survey_app.propose.channels.problem import Problem, part_of, worth_of
from survey_app.propose.channels.walk import walked

__all__ = ["MARGIN_STEP_DB", "MARGIN_TIE_DB", "Found", "Patience", "search"]

MARGIN_STEP_DB = 0.2
"""How exactly the best worst margin is found; no unit shows so little."""

MARGIN_TIE_DB = 0.5
"""Worst margins that differ by less are worth the same, and capacity decides: no unit shows the difference."""

_SAME_CAPACITY = 1e-6
_INFEASIBLE = 1e-6
_ASK_S = 0.5  # how often long work asks whether to go on

_FEW = 8
"""Up to so many cells the programmes alone are quick: more are walked and bounded first."""
_WHOLE = 32
"""So many cells are bounded as a whole, more in parts of `_PART`."""
_PART = 16
_PARTS = (24, 36, 48)

_FIRST_STEP_DB = 0.2
_STEPS, _FRUITLESS = 1000, 24

_WALK_UNTIL, _LOWER_UNTIL, _HALVE_UNTIL, _WALK_ON_UNTIL, _MIXED_UNTIL = 0.2, 0.45, 0.5, 0.6, 0.85
"""Which part of the time is over at the latest when each stage ends."""


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
    best_db : float
        The best worst margin of any plan that was found; the plan gives up a little of it for capacity. [dB]
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
    best_db: float
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
        self.begun, self.until = time.monotonic(), until
        self.halted = False
        self.words, self.next = "", 0.0

    def tell(self, words: str) -> bool:
        self.words, self.next = words, time.monotonic() + _ASK_S
        if time.monotonic() >= self.until or (self.patience.told is not None and not self.patience.told(words)):
            self.halted = True
        return not self.halted

    def called_off(self) -> bool:
        """Ask from within long work, now and then, whether to go on."""
        if not self.halted and time.monotonic() >= self.next:
            self.tell(self.words)
        return self.halted

    def by(self, part: float) -> float:
        """Return when a part of the time is over."""
        return self.begun + part * (self.until - self.begun)

    def start(self) -> IntArray:
        """Return the better of the greedy plans: all free, or what runs kept."""
        running = self.problem.running
        changes = self.most_changes
        kept = greedy_plan(self.problem, running)
        if changes is not None and changes < int(np.sum(running >= 0)):
            return kept
        free = greedy_plan(self.problem)
        return max((free, kept), key=lambda plan: worth_of(self.problem, plan).worst_db)

    # -- the worst margin

    def worst_margin(self, plan: IntArray) -> tuple[IntArray, float]:
        """Return a plan whose worst margin no other exceeds by more than a step, and the bound that is proven."""
        low, high = worth_of(self.problem, plan).worst_db, self._ceiling_db()
        if self.problem.cells > _FEW:
            plan, low = self._walk_up(plan, low, high)
            high = self._lower(low, high)
        return self._halve(plan, low, high)

    def _walk_up(self, plan: IntArray, low: float, high: float) -> tuple[IntArray, float]:
        ahead, fruitless, seed, until = _FIRST_STEP_DB, 0, 0, self.by(_WALK_UNTIL)
        while fruitless < _FRUITLESS and high - low > self.step_db and time.monotonic() < until:
            if not self.tell(f"worst margin {low:.1f} dB, at most {high:.1f} dB"):
                break
            seed += 1
            walk = walked(
                self.problem, plan, low + ahead, steps=_STEPS, seed=seed, capacity=False, most_changes=self.most_changes
            )
            reached = worth_of(self.problem, walk.plan).worst_db
            if reached > low:
                # a little more is not worth to begin to count again
                fruitless = 0 if reached > low + self.step_db / 4.0 else fruitless + 1
                plan, low, ahead = walk.plan, reached, _FIRST_STEP_DB
            else:
                fruitless += 1
                ahead = max(ahead / 2.0, _FIRST_STEP_DB / 8.0) if fruitless % 4 == 0 else ahead
        return plan, low

    def _lower(self, low: float, high: float) -> float:
        """Return what no plan exceeds, from mixtures of plans of the cells that disturb each other most."""
        most = self.problem.cells
        sizes = sorted({min(size, most) for size in _PARTS})
        for number, size in enumerate(sizes):
            cells = densest(self.problem, size)
            part = self.problem if size == most else part_of(self.problem, cells)
            until = self.by(_WALK_UNTIL + (_LOWER_UNTIL - _WALK_UNTIL) * (number + 1) / len(sizes))
            high = self._lower_by(part, low, high, until)
            if high - low <= self.step_db or self.halted:
                break
        return high

    def _lower_by(self, part: Problem, low: float, high: float, until: float) -> float:
        """Lower the bound by what one part can have: what it cannot keep, nobody can."""
        asked, can = low + self.step_db, low
        if high < np.inf and part.cells < self.problem.cells:
            asked = (low + high) / 2.0
        while high - can > self.step_db / 4.0 and high - low > self.step_db and time.monotonic() < until:
            if not self.tell(f"worst margin {low:.1f} dB, at most {high:.1f} dB"):
                break
            nodes = nodes_for(part, asked, levels=False)
            bound = bound_of(part, nodes, until=until, asked=self.called_off, enough=0.0)
            if bound.value < -_INFEASIBLE:
                high = asked
            elif bound.finished:
                can = asked
            else:
                break
            asked = max((can + high) / 2.0, low + self.step_db)
        return high

    def _halve(self, plan: IntArray, low: float, high: float) -> tuple[IntArray, float]:
        """Halve what lies between by programmes of yes or no."""
        problem, step = self.problem, self.step_db
        asked = high - step / 2.0  # often nobody has to give anything up
        until = self.until if problem.cells <= _FEW else self.by(_HALVE_UNTIL)
        while high - low > step and time.monotonic() < until:
            if not self.tell(f"worst margin {low:.1f} dB, at most {high:.1f} dB"):
                break
            asked = min(max(asked, low + step / 2.0), high - step / 4.0)
            nodes = nodes_for(problem, asked, levels=False)
            answer = Programme(problem, nodes, self.most_changes).solve(until, self.called_off)
            if answer.plan is not None:
                plan, low = answer.plan, worth_of(problem, answer.plan).worst_db
            elif answer.proven:
                high = asked
            else:
                break
            asked = (low + high) / 2.0
        self.halted = self.halted or time.monotonic() >= self.until
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

    # -- capacity

    def most_capacity(
        self, plan: IntArray, kept_db: float, equals: int
    ) -> tuple[IntArray, float, tuple[IntArray, ...]]:
        """Return the plan that carries most of those that keep a worst margin, the proven bound, and its equals."""
        problem = self.problem
        plan = improved(problem, plan, kept_db, self.most_changes)
        nodes = nodes_for(problem, kept_db, levels=True)
        most = float(np.sum(np.max(np.where(problem.allowed, problem.capacity_mbps[0], 0.0), axis=1)))
        if not self.tell(f"capacity {self.carries(plan):.0f} Mbit/s"):
            return plan, max(most, self.carries(plan)), ()
        cuts: tuple[Cut, ...] = ()
        only = np.ones(len(nodes), dtype=bool)
        if problem.cells > _FEW:
            plan = self._walk_on(plan, kept_db)
            bound = self._mixed(nodes, plan, kept_db)
            most = min(most, bound.value + self._most_burden())
            cuts, taken = bound.cuts, nodes_of(problem, nodes, plan)
            if taken is not None:
                only = bound.lost <= bound.value - float(nodes.value[taken].sum()) + _SAME_CAPACITY
        programme = Programme(problem, nodes, self.most_changes, cuts=cuts, only=only)
        programme.begin_with(plan)
        answer = programme.solve(self.until, self.called_off)
        if answer.plan is not None and self.carries(answer.plan) >= self.carries(plan) - _SAME_CAPACITY:
            plan = answer.plan
        carried = self.carries(plan)
        if not answer.proven:
            self.halted = True
            return plan, max(carried, min(most, answer.bound + self._most_burden())), ()
        others: list[IntArray] = []
        last = plan
        while len(others) < equals and self.tell(f"capacity {carried:.0f} Mbit/s; plans of equal worth: {len(others)}"):
            programme.forbid(last)
            answer = programme.solve(self.until, self.called_off)
            if answer.plan is None or self.carries(answer.plan) < carried - _SAME_CAPACITY * max(1.0, carried):
                break
            last = answer.plan
            others.append(last)
        return plan, carried, tuple(others)

    def _walk_on(self, plan: IntArray, kept_db: float) -> IntArray:
        fruitless, seed, until = 0, 0, self.by(_WALK_ON_UNTIL)
        while fruitless < _FRUITLESS and time.monotonic() < until:
            if not self.tell(f"capacity {self.carries(plan):.0f} Mbit/s"):
                break
            seed += 1
            walk = walked(
                self.problem, plan, kept_db, steps=_STEPS, seed=seed, capacity=True, most_changes=self.most_changes
            )
            fruitless += 1
            if walk.short <= 0.0 and self.carries(walk.plan) > self.carries(plan) + _SAME_CAPACITY:
                plan, fruitless = walk.plan, 0
        return plan

    def _mixed(self, nodes: Nodes, plan: IntArray, kept_db: float) -> Bound:
        """Return what no plan carries more than; of many cells, what their parts carry alone."""
        problem = self.problem
        if problem.cells <= _WHOLE:
            until = self.by(_MIXED_UNTIL)
            return bound_of(problem, nodes, (plan,), until=until, asked=self.called_off)
        total, begun = 0.0, time.monotonic()
        parts = parted(problem, _PART)
        for number, cells in enumerate(parts):
            self.tell(f"capacity {self.carries(plan):.0f} Mbit/s")
            part = part_of(problem, cells)
            until = begun + (self.until - begun) * (number + 1) / (len(parts) + 1)
            bound = bound_of(
                part, nodes_for(part, kept_db, levels=True), (plan[cells],), until=until, asked=self.called_off
            )
            alone = float(np.sum(np.max(np.where(part.allowed, part.capacity_mbps[0], 0.0), axis=1)))
            total += min(bound.value, alone)
        return Bound(total, np.zeros(len(nodes)), (), finished=False)

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
    margin is found by halving; of more than a few cells, what a walk from plan to plan reaches and what mixtures of
    plans cannot exceed leave little to halve. Then the same programme, with that margin kept, maximises what the cells
    carry. With time enough the answer is the same, to the last bit, on every run.
    """
    one = _Search(problem, patience, most_changes, step_db, time.monotonic() + patience.seconds)
    start = one.start()
    plan, bound = one.worst_margin(start)
    best = worth_of(problem, plan).worst_db
    # of plans that nobody can tell apart by their worst margin the one that carries most
    kept = max(best - tie_db, worth_of(problem, start).worst_db - 1e-9)
    plan, most, equal = one.most_capacity(plan, kept, equals)
    finished = bound - best <= 1.01 * step_db or not np.isfinite(bound)
    worst = worth_of(problem, plan).worst_db
    return Found(
        plan=plan,
        worst_db=worst,
        worst_bound_db=bound,
        best_db=best,
        margin_gap_db=0.0 if finished else bound - best,
        capacity_mbps=one.carries(plan),
        capacity_bound_mbps=most,
        equal=equal,
        stopped=one.halted,
    )
