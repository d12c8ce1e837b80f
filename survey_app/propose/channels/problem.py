"""A channel plan as numbers alone: what each choice gives a cell, and what it does to the others."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.decibels import from_db

__all__ = ["LEVELS_DB", "Problem", "Worth", "allowed_mw", "into_mw", "part_of", "stood", "worth_of"]

LEVELS_DB = (1.0, 3.0, 6.0, 10.0, 15.0, np.inf)
"""Steps in which a cell's capacity is guaranteed: its directions lose no more than that by interference."""

_ROUNDING = 1e-9


@dataclass(frozen=True)
class Problem:
    """Cells, their directions and the choices of channel and width.

    Attributes
    ----------
    allowed : ndarray of bool, shape (cells, choices)
        Which choices each cell may take.
    cell : ndarray of int, shape (directions,)
        Cell of each direction (a hop has two), rising.
    margin_db : ndarray of float, shape (directions, choices)
        Margin at the needed rate without interference by other cells of the site; infinite where nothing is known of
        the hop, which then does not count. [dB]
    floor_mw : ndarray of float, shape (directions, choices)
        Noise with the planned rise and scanned neighbours. [mW]
    strength_mw : ndarray of float, shape (directions, cells, choices)
        What arrives at the receiver from a cell on a choice, from the radio of it that is heard best, before
        rejection; 0 from its own. [mW]
    passed : ndarray of float, shape (kinds, choices, choices)
        Part of a signal on the last choice that passes into a receiver on the one before, by kind of receiver. [1]
    receiver : ndarray of int, shape (directions,)
        Kind of receiver of each direction.
    capacity_mbps : ndarray of float, shape (levels, cells, choices)
        Throughput of each cell where its directions lose no more than `LEVELS_DB`. [Mbit/s]
    running : ndarray of int, shape (cells,)
        Choice that is on the air now, which a plan should keep; -1 = none.
    burden : ndarray of float, shape (cells, choices)
        What speaks against a choice among equals: a change, radar duty, a registration. [1]
    """

    allowed: BoolArray
    cell: IntArray
    margin_db: FloatArray
    floor_mw: FloatArray
    strength_mw: FloatArray
    passed: FloatArray
    receiver: IntArray
    capacity_mbps: FloatArray
    running: IntArray
    burden: FloatArray

    @property
    def cells(self) -> int:
        """How many cells."""
        return int(self.allowed.shape[0])

    @property
    def choices(self) -> int:
        """How many choices of channel and width."""
        return int(self.allowed.shape[1])

    def directions(self, cell: int) -> IntArray:
        """Return the rows of the directions of a cell."""
        first, last = np.searchsorted(self.cell, [cell, cell + 1])
        return np.arange(first, last, dtype=np.intp)


@dataclass(frozen=True)
class Worth:
    """What a plan is worth.

    Attributes
    ----------
    margin_db : ndarray of float, shape (directions,)
        Margin at the needed rate that interference leaves. [dB]
    worst_db : float
        The least of them; infinite where none is known. [dB]
    capacity_mbps : ndarray of float, shape (cells,)
        Guaranteed throughput of each cell. [Mbit/s]
    """

    margin_db: FloatArray
    worst_db: float
    capacity_mbps: FloatArray


def part_of(problem: Problem, cells: IntArray) -> Problem:
    """Return the plan of some cells alone, rising; no plan of all gives them more, for it only adds interference."""
    place = np.full(problem.cells, -1, dtype=np.intp)
    place[cells] = np.arange(len(cells))
    rows = place[problem.cell] >= 0
    return Problem(
        allowed=problem.allowed[cells],
        cell=place[problem.cell[rows]],
        margin_db=problem.margin_db[rows],
        floor_mw=problem.floor_mw[rows],
        strength_mw=problem.strength_mw[rows][:, cells],
        passed=problem.passed,
        receiver=problem.receiver[rows],
        capacity_mbps=problem.capacity_mbps[:, cells],
        running=problem.running[cells],
        burden=problem.burden[cells],
    )


def into_mw(problem: Problem, directions: IntArray, choice: int) -> FloatArray:
    """Return what each cell on each choice brings into directions that are on one choice.

    Returns
    -------
    ndarray of float, shape (directions, cells, choices)
        Interference. [mW]
    """
    passed = problem.passed[problem.receiver[directions], choice]
    heard: FloatArray = problem.strength_mw[directions] * passed[:, None, :]
    return heard


def allowed_mw(problem: Problem, directions: IntArray, choice: int, margin_db: float, lost_db: float) -> FloatArray:
    """Return the interference that directions stand with a margin left and no more than a loss. [mW]"""
    spare = np.minimum(problem.margin_db[directions, choice] - margin_db, lost_db)
    with np.errstate(over="ignore"):
        most: FloatArray = problem.floor_mw[directions, choice] * (from_db(spare) - 1.0) * (1.0 + _ROUNDING)
    return most


def stood(problem: Problem, plan: IntArray) -> FloatArray:
    """Return what arrives in the channel of each direction from all other cells, shape (directions,). [mW]"""
    own = plan[problem.cell]
    cells = np.arange(problem.cells)
    rows = np.arange(len(problem.cell))
    arrives = problem.strength_mw[rows[:, None], cells[None, :], plan[None, :]]
    passed = problem.passed[problem.receiver[:, None], own[:, None], plan[None, :]]
    total: FloatArray = np.sum(arrives * passed, axis=1)
    return total


def worth_of(problem: Problem, plan: IntArray) -> Worth:
    """Return what a plan is worth, every interferer counted.

    Parameters
    ----------
    problem : Problem
        Cells and choices.
    plan : ndarray of int, shape (cells,)
        Choice of each cell.
    """
    own = plan[problem.cell]
    cells = np.arange(problem.cells)
    rows = np.arange(len(problem.cell))
    lost = 10.0 * np.log10(1.0 + stood(problem, plan) / problem.floor_mw[rows, own])
    left = problem.margin_db[rows, own] - lost
    most = np.zeros(problem.cells)
    np.maximum.at(most, problem.cell, lost)
    level = np.searchsorted(np.array(LEVELS_DB), most - _ROUNDING)
    return Worth(
        margin_db=left,
        worst_db=float(np.min(left, initial=np.inf)),
        capacity_mbps=problem.capacity_mbps[level, cells, plan],
    )
