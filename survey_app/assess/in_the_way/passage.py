"""What rays run through, from where to where."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from survey_app.assess.in_the_way.asked import Asked
from survey_app.assess.in_the_way.stand import Stand
from survey_app.ground.clearance import BRACKET_M, Rays
from survey_app.ground.ray.crossings import crossings
from survey_app.ground.solids import SolidKind

__all__ = ["Passage"]


class Passage:
    """What some hops run through; hops count as they were given."""

    def __init__(self, stand: Stand, hops: Sequence[Asked], rays: Rays) -> None:
        self.found = crossings(stand.index, rays.start_m, rays.end_m)
        self._hops, self._kind, self._ids = hops, stand.kind, stand.standing.solids.ids

    def thing(self, row: int) -> str:
        """Return what is run through in a row."""
        name: str = self._ids[self.found.thing[row]]
        return name

    def rows(self, m: int, wanted: Callable[[int], bool]) -> list[int]:
        """Return the rows of what the ray runs through beyond its own brackets, of some kinds."""
        found, kind, one = self.found, self._kind, self._hops[m]
        bracket = BRACKET_M / math.dist(one.start_m, one.end_m)
        return [
            row
            for row in range(int(found.start[m]), int(found.start[m + 1]))
            if found.inside_to[row] > bracket
            and found.inside_from[row] < 1.0 - bracket
            and wanted(int(kind[found.family[row]][found.body[row]]))
        ]

    def in_crowns_m(self, m: int) -> float:
        """Return the length of the ray inside crowns."""
        spans = sorted(
            (float(self.found.inside_from[row]), float(self.found.inside_to[row]))
            for row in self.rows(m, lambda kind: kind == SolidKind.TREES)
        )
        total, reached = 0.0, 0.0
        for begin, end in spans:
            total += max(0.0, end - max(begin, reached))
            reached = max(reached, end)
        one = self._hops[m]
        return total * math.dist(one.start_m, one.end_m)

    def spans_m(self, m: int) -> dict[str, tuple[float, float]]:
        """Return from where to where on the plan the ray lies over or in each thing."""
        one = self._hops[m]
        length_m = math.dist(one.start_m[:2], one.end_m[:2])
        spans: dict[str, tuple[float, float]] = {}
        for row in range(int(self.found.start[m]), int(self.found.start[m + 1])):
            key = self.thing(row)
            enter, leave = float(self.found.enter[row]) * length_m, float(self.found.leave[row]) * length_m
            held = spans.get(key, (enter, leave))
            spans[key] = min(held[0], enter), max(held[1], leave)
        return spans
