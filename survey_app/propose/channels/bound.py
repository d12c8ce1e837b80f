"""What no plan exceeds: mixtures of plans, piece of the spectrum by piece, made of groups that stand each other."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.propose.channels.exact import Cut, Nodes
from survey_app.propose.channels.groups import Share, heaviest, shares_of
from survey_app.propose.channels.problem import Problem
from survey_app.propose.channels.solver import Solver

__all__ = ["Bound", "bound_of"]

_EXACT = 1e-7
_FIRST_LOOK, _LONGEST_LOOK = 2_000, 400_000
_CUTS = 12


@dataclass(frozen=True)
class Bound:
    """What no plan exceeds.

    Attributes
    ----------
    value : float
        Of all that a plan's nodes are worth; minus infinity where there is no plan.
    lost : ndarray of float, shape (nodes,)
        A plan that takes the node is worth at most `value` less this.
    cuts : tuple of Cut
        What follows for programmes: with them the solver knows the bound from the start.
    finished : bool
        Nothing better can be had in this way; otherwise time ran out, or somebody called it off.
    """

    value: float
    lost: FloatArray
    cuts: tuple[Cut, ...]
    finished: bool


class _Mixture:
    """A linear programme of nodes and groups, which gets to know one group after the other."""

    def __init__(self, nodes: Nodes, shares: tuple[Share, ...], cells: int) -> None:
        count = len(nodes)
        self._first = np.concatenate([[0], np.cumsum([len(one.node) for one in shares])])
        self._links = int(self._first[-1])
        unserved = 1.0 + 2.0 * float(np.max(np.abs(nodes.value), initial=0.0))
        self._solver = Solver(np.concatenate([nodes.value, np.full(cells, -unserved)]), whole=False, most=np.inf)
        for share in shares:
            for n in share.node.tolist():
                # a node is taken no more than groups on each of its pieces hold it
                self._solver.add_row(np.array([n]), np.ones(1), -np.inf, 0.0)
        for _ in shares:
            self._solver.add_row(np.zeros(0, dtype=np.intp), np.zeros(0), -np.inf, 1.0)
        for cell in range(cells):
            columns = np.append(np.flatnonzero(nodes.cell == cell), count + cell)
            self._solver.add_row(columns, np.ones(len(columns)), 1.0, 1.0)

    def add(self, share: int, members: BoolArray) -> None:
        rows = np.append(self._first[share] + np.flatnonzero(members), self._links + share)
        self._solver.add_column(0.0, rows, np.append(np.full(len(rows) - 1, -1.0), 1.0))

    def prices(
        self, until: float, asked: Callable[[], bool] | None
    ) -> tuple[float, list[FloatArray], FloatArray] | None:
        """Return the value of the best mixture, what each node costs on each piece, and each piece as a whole."""
        found = self._solver.solve(until, asked)
        if found.x is None:
            return None
        price = np.maximum(found.price, 0.0)
        pieces = [price[a:b] for a, b in zip(self._first[:-1], self._first[1:], strict=True)]
        return found.value, pieces, price[self._links : self._links + len(pieces)]


def bound_of(
    problem: Problem,
    nodes: Nodes,
    plans: tuple[IntArray, ...] = (),
    *,
    until: float = np.inf,
    asked: Callable[[], bool] | None = None,
    enough: float = -np.inf,
) -> Bound:
    """Return what no plan of some nodes exceeds.

    Parameters
    ----------
    problem : Problem
        Cells and choices.
    nodes : Nodes
        What may be chosen.
    plans : tuple of ndarray of int
        Plans that are known, to begin with.
    until : float
        When to stop, as `time.monotonic` counts. [s]
    asked : callable or None
        Asked time and again; True = stop at once.
    enough : float
        A bound below this need not be made sharper: there is no such plan.

    Notes
    -----
    On one piece of the spectrum a plan is a group of nodes of which each direction stands the others. The programme
    mixes groups, so that each cell is served once; it is solved with few groups, and its prices say which group is
    missing most. Whatever the prices, each cell takes the node that is dearest after them, and each piece the heaviest
    group: what that adds up to is exceeded by no plan (Lagrange), and a node that falls short of its cell's best by
    more than the bound lies above a known plan is in no better plan.
    """
    shares = shares_of(problem, nodes)
    best, lost, finished = np.inf, np.zeros(len(nodes)), False
    cuts: list[Cut] = []
    if len(np.unique(nodes.cell)) < problem.cells:
        return Bound(-np.inf, lost, (), finished=True)
    mixture = _Mixture(nodes, shares, problem.cells)
    for number, share in enumerate(shares):
        for members in _known(nodes, share, plans):
            mixture.add(number, members)
    look = _FIRST_LOOK
    while time.monotonic() < until and not (asked is not None and asked()):
        priced = mixture.prices(until, asked)
        if priced is None:
            break
        value, prices, whole = priced
        total, top, new = np.zeros(len(nodes)), 0.0, 0
        round_cuts = []
        for number, share in enumerate(shares):
            if asked is not None and asked():
                break
            found = heaviest(share, prices[number], look)
            top += found.bound
            np.add.at(total, share.node, prices[number])
            round_cuts.append(Cut(share.node, prices[number], found.bound))
            if found.weight > whole[number] + _EXACT * max(1.0, whole[number]):
                mixture.add(number, found.members)
                new += 1
        else:
            left = nodes.value - total
            dearest = np.full(problem.cells, -np.inf)
            np.maximum.at(dearest, nodes.cell, left)
            here = float(dearest.sum()) + top
            if here < best:
                best, lost = here, dearest[nodes.cell] - left
            cuts = [*cuts, *round_cuts][-_CUTS * len(shares) :]
            finished = best < enough - 1e-6 or best - value <= 1e-6 * max(1.0, abs(best)) or value >= enough > -np.inf
            if finished or (not new and look >= _LONGEST_LOOK):
                break
            if not new:
                look = min(10 * look, _LONGEST_LOOK)
    return Bound(best, lost, tuple(cuts), finished)


def _known(nodes: Nodes, share: Share, plans: tuple[IntArray, ...]) -> list[BoolArray]:
    """Return groups to begin with: each node alone, and what known plans have on the piece."""
    groups = list(np.eye(len(share.node), dtype=bool))
    for plan in plans:
        chosen = nodes.choice[share.node] == plan[nodes.cell[share.node]]
        # of the levels of a cell the loosest one alone, which stands the others for sure
        cells = nodes.cell[share.node]
        last = np.zeros(len(chosen), dtype=bool)
        last[[np.flatnonzero(chosen & (cells == cell))[0] for cell in np.unique(cells[chosen])]] = True
        if last.any():
            groups.append(last)
    return groups
