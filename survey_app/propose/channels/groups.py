"""Groups of cells that stand each other on the same piece of the spectrum, and the one that weighs most."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.kernels import STEP_S, kernel
from survey_app.propose.channels.exact import Nodes
from survey_app.propose.channels.problem import Problem

__all__ = ["Group", "Share", "heaviest", "shares_of"]

_OVERLAP = 0.1  # part of a signal that passes where two choices lie on one piece of the spectrum
_TOO_MUCH = 2.0
_PER_GROUP_S = 1e-4  # of the interpreter


@dataclass(frozen=True)
class Share:
    """The nodes that lie on one piece of the spectrum, and what they do to each other there.

    Attributes
    ----------
    node : ndarray of int, shape (members,)
        Rows of the nodes.
    first : ndarray of int, shape (members + 1,)
        Where the directions of each begin in `into`.
    into : ndarray of float, shape (directions, members)
        What each member brings into each direction, over what the direction stands. [1]
    clash : ndarray of bool, shape (members, members)
        Which two exclude each other.
    """

    node: IntArray
    first: IntArray
    into: FloatArray
    clash: BoolArray


@dataclass(frozen=True)
class Group:
    """The heaviest group that was found.

    Attributes
    ----------
    members : ndarray of bool, shape (members,)
        Which members of the share belong to it.
    weight : float
        What they weigh together.
    bound : float
        No group weighs more.
    """

    members: BoolArray
    weight: float
    bound: float


def shares_of(problem: Problem, nodes: Nodes) -> tuple[Share, ...]:
    """Return the pieces of the spectrum: nodes whose choices overlap, every two of them.

    Notes
    -----
    Of whatever plan, the nodes on one piece form a group in which every direction stands what the others of the group
    bring, for all cells together bring no less. So what holds of groups bounds all plans.
    """
    passed = np.min(problem.passed, axis=0)
    used = np.unique(nodes.choice)
    overlap = np.maximum(passed, passed.T) > _OVERLAP
    return tuple(_share(problem, nodes, choices) for choices in _pieces(overlap, used.tolist()))


def _pieces(overlap: BoolArray, choices: list[int]) -> list[IntArray]:
    """Return all maximal sets of choices of which every two overlap."""
    found: list[list[int]] = []
    waiting: list[tuple[list[int], list[int], list[int]]] = [([], choices, [])]
    while waiting:
        held, open_to, done = waiting.pop()
        if not open_to:
            if held and not done:
                found.append(sorted(held))
            continue
        first, rest = open_to[0], open_to[1:]
        near = overlap[first]
        waiting.append((held, rest, [*done, first]))
        waiting.append(([*held, first], [c for c in rest if near[c]], [c for c in done if near[c]]))
    return [np.array(piece, dtype=np.intp) for piece in sorted(found)]


def _share(problem: Problem, nodes: Nodes, choices: IntArray) -> Share:
    node = np.flatnonzero(np.isin(nodes.choice, choices))
    cell, choice = nodes.cell[node], nodes.choice[node]
    rows, first = [], [0]
    for n in node.tolist():
        mine = problem.directions(int(nodes.cell[n]))
        passed = problem.passed[problem.receiver[mine], nodes.choice[n]][:, choice]
        arrives = problem.strength_mw[mine][:, cell, choice] * passed
        with np.errstate(divide="ignore", invalid="ignore"):
            part = arrives / nodes.allowed_mw[n][:, None]
        # what is too much already counts as too much and no more
        rows.append(np.where(arrives > 0.0, np.where(part >= 0.0, np.minimum(part, _TOO_MUCH), _TOO_MUCH), 0.0))
        first.append(first[-1] + len(mine))
    into = np.concatenate(rows)
    bad = np.zeros((len(node), len(node)), dtype=bool)
    owner = np.repeat(np.arange(len(node)), np.diff(first))
    np.logical_or.at(bad, owner, into > 1.0)
    clash = bad | bad.T | (cell[:, None] == cell[None, :])
    np.fill_diagonal(clash, val=False)
    return Share(node, np.array(first, dtype=np.intp), into, clash)


def heaviest(share: Share, weight: FloatArray, limit: int) -> Group:
    """Return the group of a share that weighs most.

    Parameters
    ----------
    share : Share
        The members.
    weight : ndarray of float, shape (members,)
        What each weighs, >= 0.
    limit : int
        How many groups to look at; beyond that only a bound is known.
    """
    order = np.argsort(-weight, kind="stable")
    order = np.ascontiguousarray(order[weight[order] > 0.0])
    taken = np.zeros(len(weight), dtype=np.bool_)
    if not len(order):
        return Group(taken, 0.0, 0.0)
    chosen = np.zeros(len(order), dtype=np.bool_)
    steps = min(float(limit), np.exp2(float(len(order)))) * len(order) * _PER_GROUP_S / STEP_S
    best, bound = _heaviest.sized(steps)(
        np.ascontiguousarray(weight[order]),
        np.ascontiguousarray(share.first[order]),
        np.ascontiguousarray(share.first[order + 1]),
        np.ascontiguousarray(share.into[:, order]),
        np.ascontiguousarray(share.clash[np.ix_(order, order)]),
        limit,
        chosen,
    )
    taken[order[chosen]] = True
    return Group(taken, float(best), float(bound))


@kernel
def _heaviest(
    weight: FloatArray,
    first: IntArray,
    last: IntArray,
    into: FloatArray,
    clash: BoolArray,
    limit: int,
    taken: BoolArray,
) -> tuple[float, float]:
    """Branch and bound over the members, the heaviest first; bounded by cliques of which one counts at most."""
    count, rows = len(weight), into.shape[0]
    total = np.zeros((count + 1, rows))
    open_to = np.zeros((count + 1, count), np.int64)
    most = np.zeros((count + 1, count))
    opened = np.zeros(count + 1, np.int64)
    place = np.zeros(count + 1, np.int64)
    chosen = np.zeros(count + 1, np.int64)
    value = np.zeros(count + 1)
    group = np.zeros(count, np.int64)
    heavy = np.zeros(count)
    best, root, seen = 0.0, 0.0, 0
    for n in range(count):
        open_to[0, n] = n
    opened[0] = count
    depth = 0
    fresh = True
    while depth >= 0:
        if fresh:
            # what may still be added weighs no more than one of every clique
            classes, left = 0, 0.0
            for at in range(opened[depth] - 1, -1, -1):
                n = open_to[depth, at]
                found = -1
                for c in range(classes):
                    fits = True
                    for other in range(at + 1, opened[depth]):
                        if group[other] == c and not clash[n, open_to[depth, other]]:
                            fits = False
                            break
                    if fits:
                        found = c
                        break
                if found < 0:
                    found = classes
                    heavy[found] = 0.0
                    classes += 1
                group[at] = found
                left += weight[n] - heavy[found]
                heavy[found] = weight[n]
                most[depth, at] = left
            if depth == 0:
                root = left
            place[depth] = 0
            fresh = False
        at = place[depth]
        if at >= opened[depth] or value[depth] + most[depth, at] <= best + 1e-12:
            depth -= 1
            continue
        place[depth] = at + 1
        seen += 1
        if seen > limit:
            return best, root
        n = open_to[depth, at]
        chosen[depth] = n
        value[depth + 1] = value[depth] + weight[n]
        for row in range(rows):
            total[depth + 1, row] = total[depth, row] + into[row, n]
        if value[depth + 1] > best:
            best = value[depth + 1]
            for m in range(count):
                taken[m] = False
            for d in range(depth + 1):
                taken[chosen[d]] = True
        many = 0
        for later in range(at + 1, opened[depth]):
            m = open_to[depth, later]
            if clash[n, m]:
                continue
            fits = True
            for row in range(first[m], last[m]):
                if total[depth + 1, row] > 1.0:
                    fits = False
            if not fits:
                continue
            for d in range(depth + 1):
                for row in range(first[chosen[d]], last[chosen[d]]):
                    if total[depth + 1, row] + into[row, m] > 1.0:
                        fits = False
                        break
                if not fits:
                    break
            if fits:
                open_to[depth + 1, many] = m
                many += 1
        if many:
            opened[depth + 1] = many
            depth += 1
            fresh = True
    return best, best
