"""One thing that the pointer may have meant, before it is decided."""

from __future__ import annotations

import math
from typing import NamedTuple

from survey_app.drawing.shapes import Point
from survey_app.drawing.snap.lines import Line
from survey_app.drawing.snap.result import WEIGHTS, Kind

__all__ = ["Candidate"]

_ORDER = {kind: number for number, kind in enumerate(Kind)}
_DIGITS = 9


class Candidate(NamedTuple):
    """A point with what it is and what it costs.

    `lines` are those that lead to it, `length_m` the whole length along the first one where that was rounded.
    """

    kind: Kind
    at: Point
    cost: float
    owner: int = -1
    number: int = -1
    lines: tuple[Line, ...] = ()
    length_m: float | None = None

    @property
    def sort_key(self) -> tuple[float, int, int, int, Point]:
        """Cheapest first; of equals the kind higher in the table, the thing that comes first, its lower number."""
        return round(self.cost, _DIGITS), _ORDER[self.kind], self.owner, self.number, self.at


def cost(kind: Kind, at: Point, pointer: Point, reach_m: float, less: float = 0.0) -> float:
    """Return distance over reach plus the weight of the kind, less a bonus."""
    return math.hypot(at[0] - pointer[0], at[1] - pointer[1]) / reach_m + WEIGHTS[kind] - less
