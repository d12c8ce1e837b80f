"""The exact search: mixed-integer programmes whose rows are the interference that each receiver stands."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.propose.channels.cliques import clique_cover
from survey_app.propose.channels.problem import LEVELS_DB, Problem, allowed_mw, into_mw, stood
from survey_app.propose.channels.solver import Solver

__all__ = ["Answer", "Cut", "Nodes", "Programme", "nodes_for", "nodes_of"]

_BURDEN_MBPS = 0.02  # among plans of equal worth the lighter one, no more


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
class Cut:
    """What holds of every plan: the nodes that are chosen weigh no more together.

    Attributes
    ----------
    node : ndarray of int, shape (members,)
    weight : ndarray of float, shape (members,)
    most : float
    """

    node: IntArray
    weight: FloatArray
    most: float


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
            for level, carried, allowed in _rungs(problem, mine, cell, choice, margin_db, levels=levels):
                value = carried - _BURDEN_MBPS * float(problem.burden[cell, choice]) if levels else 0.0
                rows.append((cell, choice, level, value))
                stands.append(allowed)
    table = np.array(rows, dtype=float).reshape(-1, 4)
    whole = table[:, :3].astype(np.intp)
    return Nodes(whole[:, 0], whole[:, 1], whole[:, 2], table[:, 3], tuple(stands))


def nodes_of(problem: Problem, nodes: Nodes, plan: IntArray) -> IntArray | None:
    """Return the node of each cell that a plan takes, the most worth that it stands; None where a cell stands none."""
    arrives = stood(problem, plan)
    found = np.full(problem.cells, -1, dtype=np.intp)
    for n in np.flatnonzero(nodes.choice == plan[nodes.cell]).tolist():
        cell = nodes.cell[n]
        if np.all(arrives[problem.directions(int(cell))] <= nodes.allowed_mw[n]) and (
            found[cell] < 0 or nodes.value[n] > nodes.value[found[cell]]
        ):
            found[cell] = n
    return None if np.any(found < 0) else found


def _rungs(
    problem: Problem, mine: IntArray, cell: int, choice: int, margin_db: float, *, levels: bool
) -> list[tuple[int, float, FloatArray]]:
    """Return the levels of one choice that are worth a node, the loosest first, with what each carries and stands."""
    wanted = range(len(LEVELS_DB)) if levels else (len(LEVELS_DB) - 1,)
    found: list[tuple[int, float, FloatArray]] = []
    for level in reversed(wanted):
        carried = float(problem.capacity_mbps[level, cell, choice])
        allowed = allowed_mw(problem, mine, choice, margin_db, LEVELS_DB[level])
        if found and carried <= found[-1][1]:
            continue
        # where the margin is the stricter bound of all directions, who carries less stands nothing more
        if found and np.array_equal(allowed, found[-1][2]):
            found.pop()
        found.append((level, carried, allowed))
    return found


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
    cuts : tuple of Cut
        What is known of all plans besides.
    only : ndarray of bool, shape (nodes,), or None
        Nodes that may be chosen; None = all.
    """

    def __init__(
        self,
        problem: Problem,
        nodes: Nodes,
        most_changes: int | None = None,
        *,
        cuts: tuple[Cut, ...] = (),
        only: BoolArray | None = None,
    ) -> None:
        self._problem, self._nodes = problem, nodes
        self._known: set[tuple[int, int]] = set()
        self._free = np.ones(len(nodes), dtype=bool) if only is None else only
        if self.hopeless:
            return
        kept = np.flatnonzero(self._free)
        place = np.full(len(nodes), -1, dtype=np.intp)
        place[kept] = np.arange(len(kept))
        self._kept, self._place = kept, place
        self._solver = Solver(nodes.value[kept], whole=True)
        for cell in range(problem.cells):
            self._add(np.flatnonzero(nodes.cell == cell), None, 1.0, least=1.0)
        for clique in clique_cover(_conflicts(problem, nodes), nodes.cell):
            self._add(clique, None, 1.0)
        for cut in cuts:
            self._add(cut.node, cut.weight, cut.most)
        running = problem.running[nodes.cell]
        changed = np.flatnonzero((running >= 0) & (nodes.choice != running))
        if most_changes is not None and len(changed):
            self._add(changed, None, float(most_changes))

    def _add(self, columns: IntArray, values: FloatArray | None, most: float, least: float = -np.inf) -> None:
        held = self._free[columns]
        found = np.ones(len(columns)) if values is None else values
        if np.any(held) or least > 0.0:
            self._solver.add_row(self._place[columns[held]], found[held], least, most)

    @property
    def hopeless(self) -> bool:
        """Some cell has no choice at all."""
        return len(np.unique(self._nodes.cell[self._free])) < self._problem.cells

    def forbid(self, plan: IntArray) -> None:
        """Leave out one plan."""
        columns = np.flatnonzero(self._nodes.choice == plan[self._nodes.cell])
        self._add(columns, None, float(self._problem.cells - 1))

    def begin_with(self, plan: IntArray) -> None:
        """Say which plan is known, so that the search has something to beat."""
        taken = nodes_of(self._problem, self._nodes, plan)
        if taken is not None and not self.hopeless and np.all(self._free[taken]):
            x = np.zeros(len(self._kept))
            x[self._place[taken]] = 1.0
            self._solver.begin_with(x)

    def solve(self, until: float, asked: Callable[[], bool] | None = None) -> Answer:
        """Return the best plan, or that there is none.

        Parameters
        ----------
        until : float
            When to stop, as `time.monotonic` counts. [s]
        asked : callable or None
            Asked time and again; True = stop at once.
        """
        if self.hopeless:
            return Answer(None, proven=True, bound=-np.inf)
        bound = np.inf
        while True:
            if until <= time.monotonic() or (asked is not None and asked()):
                return Answer(None, proven=False, bound=bound)
            found = self._solver.solve(until, asked)
            if found.done and found.x is None:
                return Answer(None, proven=True, bound=-np.inf)
            # rows are only ever added: what bounded the programme before still does
            bound = min(bound, found.bound)
            if found.x is None:
                return Answer(None, proven=False, bound=bound)
            taken = self._kept[np.flatnonzero(found.x > 0.5)]
            if not self._learn(taken):
                plan = np.full(self._problem.cells, -1, dtype=np.intp)
                plan[self._nodes.cell[taken]] = self._nodes.choice[taken]
                return Answer(plan, proven=found.done, bound=bound)

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
        self._add(every, None, float(len(few)))

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
        self._add(np.append(columns, n).astype(np.intp), np.append(arrives[columns], slack), 1.0 + slack)
