"""Parts of a plan: cells that disturb each other most, few enough to say exactly what they can have at best."""

from __future__ import annotations

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import FloatArray
from survey_app.propose.channels.problem import Problem

__all__ = ["densest", "parted"]

_ENOUGH = 8.0  # a signal that many times over the noise counts no more than that


def _disturbs(problem: Problem) -> FloatArray:
    """Return how much each two cells disturb each other on one channel, over the noise, shape (cells, cells)."""
    quiet = np.min(problem.floor_mw, axis=1, keepdims=True)
    loud = np.minimum(np.max(problem.strength_mw, axis=2, initial=0.0) / quiet, _ENOUGH)
    found = np.zeros((problem.cells, problem.cells))
    np.maximum.at(found, problem.cell, loud)
    return np.maximum(found, found.T)


def densest(problem: Problem, count: int) -> IntArray:
    """Return cells that disturb each other most: the least disturbed is left out, one after the other."""
    between = _disturbs(problem)
    left = np.arange(problem.cells)
    while len(left) > count:
        left = np.delete(left, int(np.argmin(between[np.ix_(left, left)].sum(axis=1))))
    return left


def parted(problem: Problem, count: int) -> tuple[IntArray, ...]:
    """Return all cells in parts of at most so many, grown from the most disturbed cell that is left."""
    between = _disturbs(problem)
    left = list(range(problem.cells))
    parts: list[IntArray] = []
    many = -(-problem.cells // count)
    size = -(-problem.cells // many)
    while left:
        part = [left.pop(int(np.argmax(between[np.ix_(left, left)].sum(axis=1))))]
        while left and len(part) < size:
            part.append(left.pop(int(np.argmax(between[np.ix_(left, part)].sum(axis=1)))))
        parts.append(np.array(sorted(part), dtype=np.intp))
    return tuple(parts)
