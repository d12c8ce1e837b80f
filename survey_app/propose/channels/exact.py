"""The exact search: mixed-integer programmes whose rows are the interference that each receiver stands."""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.propose.channels.cliques import clique_cover
from survey_app.propose.channels.problem import LEVELS_DB, Problem, allowed_mw, into_mw

__all__ = ["Answer", "Nodes", "Programme", "nodes_for"]

_BURDEN_MBPS = 0.02  # among plans of equal worth the lighter one, no more
_GAP = 1e-6


@dataclass(frozen=True)
class Nodes:
    """One yes or no each: a cell takes a choice at a level, shape (nodes,).

    Attributes
    ----------
    cell, choice, level : ndarray of int
    value : ndarray of float
        What it adds to the objective.
    allowed_mw : tuple of ndarray of float
        What each direction of the cell then stands. [mW]
    """

    cell: IntArray
    choice: IntArray
    level: IntArray
    value: FloatArray
    allowed_mw: tuple[FloatArray, ...]

    def __len__(self) -> int:
        return len(self.cell)


@dataclass(frozen=True)
class Answer:
    """What the solver said.

    Attributes
    ----------
    plan : ndarray of int, shape (cells,), or None
        Choice of each cell; None where none was found.
    proven : bool
        There is nothing better, or nothing at all.
    bound : float
        No plan has a greater value.
    """

    plan: IntArray | None
    proven: bool
    bound: float


def nodes_for(problem: Problem, margin_db: float, *, levels: bool) -> Nodes:
    """Return the choices of all cells that can keep a margin in the worst direction.

    Parameters
    ----------
    problem : Problem
        Cells and choices.
    margin_db : float
        Margin at the needed rate that every direction is to keep. [dB]
    levels : bool
        Also in steps of guaranteed capacity, which is then what they are worth.
    """
    rows: list[tuple[int, int, int, float]] = []
    stands: list[FloatArray] = []
    for cell in range(problem.cells):
        mine = problem.directions(cell)
        for choice in np.flatnonzero(problem.allowed[cell]).tolist():
            if np.min(problem.margin_db[mine, choice], initial=np.inf) < margin_db:
                continue
            known = -1.0
            # from the loosest level on: a stricter one is worth a row only where it carries more
            for level in reversed(range(len(LEVELS_DB))):
                carried = float(problem.capacity_mbps[level, cell, choice])
                if carried <= known or not (levels or level == len(LEVELS_DB) - 1):
                    continue
                known = carried
                value = carried - _BURDEN_MBPS * float(problem.burden[cell, choice]) if levels else 0.0
                rows.append((cell, choice, level, value))
                stands.append(allowed_mw(problem, mine, choice, margin_db, LEVELS_DB[level]))
    table = np.array(rows, dtype=float).reshape(-1, 4)
    whole = table[:, :3].astype(np.intp)
    return Nodes(whole[:, 0], whole[:, 1], whole[:, 2], table[:, 3], tuple(stands))


def _conflicts(problem: Problem, nodes: Nodes) -> BoolArray:
    """Return which nodes exclude each other: one cell, or a single interferer is more than a direction stands."""
    count = len(nodes)
    clash: BoolArray = nodes.cell[:, None] == nodes.cell[None, :]
    for n in range(count):
        mine = problem.directions(int(nodes.cell[n]))
        if len(mine):
            heard = into_mw(problem, mine, int(nodes.choice[n]))
            bad = np.any(heard > nodes.allowed_mw[n][:, None, None], axis=0)
            clash[n] |= bad[nodes.cell, nodes.choice]
    clash |= clash.T
    np.fill_diagonal(clash, val=False)
    return clash


@dataclass
class _Rows:
    """Rows of a programme: columns, coefficients, and the most that each may be."""

    row: list[IntArray] = field(default_factory=list)
    column: list[IntArray] = field(default_factory=list)
    value: list[FloatArray] = field(default_factory=list)
    most: list[float] = field(default_factory=list)

    def add(self, columns: IntArray, values: FloatArray, most: float) -> None:
        self.row.append(np.full(len(columns), len(self.most), dtype=np.intp))
        self.column.append(columns)
        self.value.append(values)
        self.most.append(most)


class Programme:
    """A mixed-integer programme that learns rows where powers of several interferers add up to too much.

    Parameters
    ----------
    problem : Problem
        Cells and choices.
    nodes : Nodes
        What may be chosen.
    most_changes : int or None
        How many running cells may take another choice; None = any.
    """

    def __init__(self, problem: Problem, nodes: Nodes, most_changes: int | None = None) -> None:
        self._problem, self._nodes = problem, nodes
        self._rows = _Rows()
        self._known: set[tuple[int, int]] = set()
        if self.hopeless:
            return
        for clique in clique_cover(_conflicts(problem, nodes), nodes.cell):
            self._rows.add(clique, np.ones(len(clique)), 1.0)
        running = problem.running[nodes.cell]
        changed = np.flatnonzero((running >= 0) & (nodes.choice != running))
        if most_changes is not None and len(changed):
            self._rows.add(changed, np.ones(len(changed)), float(most_changes))

    @property
    def hopeless(self) -> bool:
        """Some cell has no choice at all."""
        return len(np.unique(self._nodes.cell)) < self._problem.cells

    def forbid(self, plan: IntArray) -> None:
        """Leave out one plan."""
        columns = np.flatnonzero(self._nodes.choice == plan[self._nodes.cell])
        self._rows.add(columns, np.ones(len(columns)), float(self._problem.cells - 1))

    def solve(self, until: float) -> Answer:
        """Return the best plan, or that there is none.

        Parameters
        ----------
        until : float
            When to stop, as `time.monotonic` counts. [s]
        """
        if self.hopeless:
            return Answer(None, proven=True, bound=-np.inf)
        bound = np.inf
        while True:
            left = until - time.monotonic()
            if left <= 0.0:
                return Answer(None, proven=False, bound=bound)
            found = self._once(left)
            if found.status == 2:
                return Answer(None, proven=True, bound=-np.inf)
            # rows are only ever added: what bounded the programme before still does
            bound = min(bound, _bound(found))
            if found.x is None:
                return Answer(None, proven=False, bound=bound)
            taken = np.flatnonzero(found.x > 0.5)
            if not self._learn(taken):
                plan = np.full(self._problem.cells, -1, dtype=np.intp)
                plan[self._nodes.cell[taken]] = self._nodes.choice[taken]
                return Answer(plan, proven=found.status == 0, bound=bound)

    def _once(self, seconds: float) -> Any:
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        nodes, rows, count = self._nodes, self._rows, len(self._nodes)
        one_each = csr_array(
            (np.ones(count), (nodes.cell, np.arange(count))), shape=(self._problem.cells, count), dtype=float
        )
        constraints = [LinearConstraint(one_each, 1.0, 1.0)]
        if rows.most:
            shape = (len(rows.most), count)
            places = (np.concatenate(rows.row), np.concatenate(rows.column))
            table = csr_array((np.concatenate(rows.value), places), shape=shape)
            constraints.append(LinearConstraint(table, -np.inf, np.array(rows.most)))
        return milp(
            -nodes.value,
            integrality=np.ones(count),
            bounds=Bounds(0.0, 1.0),
            constraints=constraints,
            options={"time_limit": seconds, "mip_rel_gap": _GAP},
        )

    def _learn(self, taken: IntArray) -> bool:
        """Add rows for every direction in which the chosen interferers together are too much; say whether any was."""
        nodes, problem, learned = self._nodes, self._problem, False
        others = dict(zip(nodes.cell[taken].tolist(), nodes.choice[taken].tolist(), strict=True))
        for n in taken.tolist():
            cell, choice = int(nodes.cell[n]), int(nodes.choice[n])
            mine = problem.directions(cell)
            if not len(mine):
                continue
            heard = into_mw(problem, mine, choice)
            chosen = np.array([heard[:, c, k] for c, k in others.items()])
            for d in np.flatnonzero(chosen.sum(axis=0) > nodes.allowed_mw[n]).tolist():
                learned = True
                self._cover(n, heard[d], others, float(nodes.allowed_mw[n][d]))
                self._whole(n, d, heard[d], float(nodes.allowed_mw[n][d]))
        return learned

    def _cover(self, n: int, heard_mw: FloatArray, others: dict[int, int], most_mw: float) -> None:
        """Not all of the fewest interferers that are too much, nor any that is heard as loud in the place of one."""
        nodes = self._nodes
        loud = sorted(others.items(), key=lambda item: -heard_mw[item])
        total, few = 0.0, []
        for item in loud:
            total += float(heard_mw[item])
            few.append(item)
            if total > most_mw:
                break
        columns = [np.array([n])]
        for c, k in few:
            columns.append(np.flatnonzero((nodes.cell == c) & (heard_mw[c, nodes.choice] >= heard_mw[c, k])))
        every = np.concatenate(columns)
        self._rows.add(every, np.ones(len(every)), float(len(few)))

    def _whole(self, n: int, d: int, heard_mw: FloatArray, most_mw: float) -> None:
        """If the cell takes this choice, what arrives from all others is no more than the direction stands."""
        if (n, d) in self._known or not most_mw > 0.0:
            return
        self._known.add((n, d))
        nodes = self._nodes
        arrives = heard_mw[nodes.cell, nodes.choice] / most_mw
        # what alone is too much excludes the node already, so that it need not count for more than that
        arrives = np.minimum(arrives, 1.0 + 1e-6)
        worst = np.zeros(self._problem.cells)
        np.maximum.at(worst, nodes.cell, arrives)
        slack = float(worst.sum()) - 1.0
        columns = np.flatnonzero(arrives > 0.0)
        self._rows.add(np.append(columns, n).astype(np.intp), np.append(arrives[columns], slack), 1.0 + slack)


def _bound(found: Any) -> float:
    """Return what no plan exceeds, as the solver knows it."""
    bound = found.get("mip_dual_bound")
    return np.inf if bound is None or not np.isfinite(bound) else -float(bound)
