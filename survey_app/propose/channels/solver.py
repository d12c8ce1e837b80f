"""Linear and mixed-integer programmes that grow, go on from where they were, and stop when asked to."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import FloatArray

__all__ = ["Solution", "Solver"]

_GAP = 1e-6
_SEED = 1
_MOST_NODES = 20_000
"""Where a search ends that finds no end: so that it ends at the same place on every machine that has the time."""


@dataclass(frozen=True)
class Solution:
    """What the solver found of a programme that is to be as great as possible.

    Attributes
    ----------
    x : ndarray of float, shape (columns,), or None
        The best that was found; None = none was.
    value, bound : float
        What it is worth, and what nothing exceeds; minus infinity where nothing satisfies the rows.
    done : bool
        It is the best, or there is none; otherwise time ran out or somebody called it off.
    price : ndarray of float, shape (rows,)
        Of a linear programme: what one more in each row is worth.
    """

    x: FloatArray | None
    value: float
    bound: float
    done: bool
    price: FloatArray


class Solver:
    """A programme that maximises; columns lie between 0 and 1 unless said.

    Parameters
    ----------
    value : ndarray of float, shape (columns,)
        What each column is worth.
    whole : bool
        All of them are 0 or 1.
    most : float
        The most that a column may be.
    """

    def __init__(self, value: FloatArray, *, whole: bool, most: float = 1.0) -> None:
        import highspy

        self._made = highspy
        self._highs = _quiet(highspy)
        self._whole = whole
        for name, option in (
            ("threads", 1),
            ("random_seed", _SEED),
            ("mip_rel_gap", _GAP),
            ("mip_abs_gap", _GAP),
            ("mip_max_nodes", _MOST_NODES),
        ):
            self._highs.setOptionValue(name, option)
        self._highs.changeObjectiveSense(highspy.ObjSense.kMaximize)
        count = len(value)
        empty = np.zeros(0)
        none = np.zeros(0, dtype=np.int32)
        self._highs.addCols(
            count, np.array(value, dtype=float), np.zeros(count), np.full(count, most), 0, none, none, empty
        )
        if whole:
            kind = np.full(count, int(highspy.HighsVarType.kInteger), dtype=np.uint8)
            self._highs.changeColsIntegrality(count, np.arange(count, dtype=np.int32), kind)

    def add_row(self, columns: IntArray, values: FloatArray, least: float, most: float) -> None:
        """Add a row: columns, coefficients, and what their sum lies between."""
        self._highs.addRow(
            least, most, len(columns), np.asarray(columns, dtype=np.int32), np.asarray(values, dtype=float)
        )

    def add_column(self, value: float, rows: IntArray, values: FloatArray) -> None:
        """Add a column of 0 or more to rows that are there."""
        self._highs.addCol(
            value, 0.0, np.inf, len(rows), np.asarray(rows, dtype=np.int32), np.asarray(values, dtype=float)
        )

    def begin_with(self, x: FloatArray) -> None:
        """Say what is known to satisfy the rows, so that the search has something to beat."""
        known = self._made.HighsSolution()
        known.col_value = [float(one) for one in x]
        self._highs.setSolution(known)

    def solve(self, until: float, asked: Callable[[], bool] | None = None) -> Solution:
        """Return the best.

        Parameters
        ----------
        until : float
            When to stop, as `time.monotonic` counts. [s]
        asked : callable or None
            Asked time and again from within; True = stop at once.
        """
        highs, made = self._highs, self._made
        left = max(until - time.monotonic(), 0.01)
        highs.setOptionValue("time_limit", highs.getRunTime() + left if np.isfinite(left) else np.inf)

        raised: list[BaseException] = []

        def look(event: Any) -> None:
            # nothing may be raised through the solver: it is stopped, and the error goes on from here
            try:
                stop = asked is not None and asked()
            except BaseException as error:
                raised.append(error)
                stop = True
            if stop:
                event.interrupt()

        places = (highs.cbMipInterrupt,) if self._whole else (highs.cbSimplexInterrupt,)
        for place in places:
            place.subscribe(look)
        try:
            highs.run()
        finally:
            for place in places:
                place.unsubscribe(look)
        if raised:
            raise raised[0]
        status, info = highs.getModelStatus(), highs.getInfo()
        none = np.zeros(0)
        if status == made.HighsModelStatus.kInfeasible:
            return Solution(None, -np.inf, -np.inf, done=True, price=none)
        done = status == made.HighsModelStatus.kOptimal
        found = highs.getSolution()
        if not self._whole:
            if not done:
                return Solution(None, -np.inf, np.inf, done=False, price=none)
            value = float(info.objective_function_value)
            return Solution(np.array(found.col_value), value, value, done=True, price=np.array(found.row_dual))
        bound = float(info.mip_dual_bound)
        bound = bound if np.isfinite(bound) else np.inf
        feasible = info.primal_solution_status == made.SolutionStatus.kSolutionStatusFeasible
        if not feasible:
            return Solution(None, -np.inf, bound, done=False, price=none)
        return Solution(np.array(found.col_value), float(info.objective_function_value), bound, done, none)


def _quiet(made: Any) -> Any:
    """Return an empty programme that writes nothing, not even its name, to where results go."""

    class Quiet(made.Highs):  # type: ignore[misc]
        def enableCallbacks(self) -> None:
            self.silent()
            super().enableCallbacks()

    return Quiet()
