"""Where letters find room: greedy placement, the same for the same view, never over a symbol, a hop or another label.

All lengths are millimetres of paper, x right, y up.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.room import Box, Ledger, Room
from survey_app.drawing.shapes import Point

__all__ = ["LINE_PLACES", "Box", "Placed", "Placer", "Places"]

LINE_PLACES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74)
"""Parts of a line's length at which its words are tried, in this order."""

_DIAGONAL = math.sqrt(0.5)
_DIRECTIONS = (
    (_DIAGONAL, _DIAGONAL),
    (1.0, 0.0),
    (_DIAGONAL, -_DIAGONAL),
    (0.0, 1.0),
    (0.0, -1.0),
    (-_DIAGONAL, _DIAGONAL),
    (-1.0, 0.0),
    (-_DIAGONAL, -_DIAGONAL),
)
_BETWEEN = tuple(
    (math.sin(math.radians(bearing)), math.cos(math.radians(bearing)))
    for bearing in (22.5, 67.5, 112.5, 157.5, 337.5, 292.5, 247.5, 202.5)
)
_ALONE_MM = 4.0
"""Words so far from a point are not taken for its own."""
_AIR_MM = 0.4
_EDGE_MM = 0.6
_MOST_NUMBERED = 400_000
"""A ledger that has grown so long gives way to a new one, and nothing is known from before."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A label that found its place: middle and turn as the drawing's words want them (clockwise, degrees)."""

    x: float
    y: float
    turn_deg: float


class Places:
    """Places round a point at which a block is tried, in this order.

    Parameters
    ----------
    offsets : iterable of (x, y)
        From the point to the middle of the block. [mm]
    """

    def __init__(self, offsets: Iterable[Point]) -> None:
        self._offsets = np.array(list(offsets), dtype=np.float64).reshape(-1, 2)

    def round(self, at: Point, width_mm: float, height_mm: float, rim_mm: float) -> NDArray[np.float64]:
        """Return the places round a point that lie farther inside a view than a rim, shape (n, 2). [mm]"""
        places = self._offsets + at
        inside = (places > rim_mm) & (places < (width_mm - rim_mm, height_mm - rim_mm))
        return np.asarray(places[inside.all(axis=1)], dtype=np.float64)


_Read = tuple[tuple[int, int], ...]
_Answer = tuple[Any, tuple[Box, ...], _Read, _Read]
"""What was answered, the boxes that it took, and the cells that it depends on."""


class Placer:
    """Remembers what is taken on one view.

    What was asked of an earlier placer of the same view is answered from there, where the same is taken round it: an
    edit makes new only the words near what it changed. The answers are those of a placer that knows nothing.

    Parameters
    ----------
    width_mm, height_mm : float
        The view; no label leaves it.
    before : Placer or None
        The placer that placed the words of this view last.
    """

    def __init__(self, width_mm: float, height_mm: float, before: Placer | None = None) -> None:
        self._width = width_mm
        self._height = height_mm
        same = before is not None and (before._width, before._height) == (width_mm, height_mm)
        known = before if before is not None and same and len(before._ledger) < _MOST_NUMBERED else None
        self._ledger: Ledger = known._ledger if known is not None else Ledger()
        self._before: dict[Hashable, _Answer] = known._answers if known is not None else {}
        self._answers: dict[Hashable, _Answer] = {}
        self._hard, self._soft = Room(self._ledger), Room(self._ledger)
        self.found = 0
        """How many answers had to be found; the others were known."""

    def _answer(self, asked: Hashable, find: Callable[[], tuple[Any, tuple[Box, ...]]]) -> Any:
        """Return what is known or found, and take the boxes that belong to it."""
        answer = self._before.get(asked)
        if answer is None or not (self._hard.holds(answer[2]) and self._soft.holds(answer[3])):
            self._hard.forget_read()
            self._soft.forget_read()
            found, boxes = find()
            answer = (found, boxes, self._hard.read(), self._soft.read())
            self.found += 1
        self._answers[asked] = answer
        for box in answer[1]:
            self._hard.put(box)
        return answer[0]

    def take(self, box: Box) -> None:
        """Mark a place as taken (a symbol, a flag, a label placed by hand)."""
        self._hard.put(box)

    def take_line(self, a: Point, b: Point, half_width: float = 0.5) -> None:
        """Mark a line as taken."""
        if a != b:
            self.take(_line_box(a, b, half_width))

    def avoid_line(self, a: Point, b: Point) -> None:
        """Mark a line that letters cover only where they find no other room (an outline)."""
        if a != b:
            self._soft.put(_line_box(a, b, 0.2))

    def free(self, box: Box, *, outlines: bool = False) -> bool:
        """Whether a box lies in the view and touches nothing taken; with `outlines` nothing to be avoided either."""
        return self._untaken(box) and not (outlines and self._soft.touches(box))

    def _untaken(self, box: Box) -> bool:
        if not (
            box.reach_x + _EDGE_MM <= box.x <= self._width - box.reach_x - _EDGE_MM
            and box.reach_y + _EDGE_MM <= box.y <= self._height - box.reach_y - _EDGE_MM
        ):
            return False
        return not self._hard.touches(box)

    def at_point(self, at: Point, text: str, height_mm: float, distance_mm: float = 3.0) -> Placed | None:
        """Place a label beside a point: NE, E, SE, N, S, NW, W, SW; None where there is no room."""
        return self.block_at_point(at, letters_width_mm(text, height_mm) / 2.0, height_mm / 2.0, distance_mm)

    def block_at_point(
        self, at: Point, half_width: float, half_height: float, distance_mm: float = 3.0
    ) -> Placed | None:
        """Place a block of letters beside a point: NE, E, SE, N, S, NW, W, SW; None where there is no room."""
        return self._first(_round(at, half_width, half_height, distance_mm), half_width, half_height)

    def head_at_point(
        self,
        at: Point,
        half_width: float,
        half_height: float,
        beyond_mm: float,
        distance_mm: float = 3.0,
        others: tuple[Point, ...] = (),
        *,
        between: bool = False,
    ) -> Placed | None:
        """Place the head of a line of words beside a point; the rest of the line is placed later.

        Places are those of a block, and with `between` those between them too, but none that lies at one of the
        `others` and nearer to it. Clear of outlines comes before over one, and then where the next `beyond_mm` of the
        line, away from the point, are free as well; only the head takes its room.
        """
        ways = (*_DIRECTIONS, *_BETWEEN) if between else _DIRECTIONS
        placed: Placed | None = self._answer(
            ("head", at, half_width, half_height, beyond_mm, distance_mm, others, between),
            lambda: self._find_head(at, half_width, half_height, beyond_mm, distance_mm, others, ways),
        )
        return placed

    def _find_head(
        self,
        at: Point,
        half_width: float,
        half_height: float,
        beyond_mm: float,
        distance_mm: float,
        others: tuple[Point, ...],
        ways: tuple[Point, ...],
    ) -> tuple[Placed | None, tuple[Box, ...]]:
        best: tuple[int, Box] | None = None
        places = _round(at, half_width, half_height, distance_mm, ways)
        for (ux, _), (x, y, _) in zip(ways, places, strict=True):
            box = Box(x, y, half_width + _AIR_MM, half_height + _AIR_MM)
            own = min(_away(box, at), _ALONE_MM)
            if not self._untaken(box) or any(_away(box, other) < own for other in others):
                continue
            side = math.copysign(1.0, ux) if ux else 1.0
            rest = Box(x + side * (half_width + beyond_mm / 2.0), y, beyond_mm / 2.0 + _AIR_MM, half_height + _AIR_MM)
            cost = (4 if self._soft.touches(box) else 0) + (self._cost(rest) if beyond_mm > 0.0 else 0)
            if best is None or cost < best[0]:
                best = (cost, box)
            if cost == 0:
                break
        if best is None:
            return None, ()
        return Placed(best[1].x, best[1].y, 0.0), (best[1],)

    def _cost(self, box: Box) -> int:
        """Return 2 for what is taken, 1 for what covers an outline."""
        return 2 if not self._untaken(box) else 1 if self._soft.touches(box) else 0

    def along_line(
        self,
        a: Point,
        b: Point,
        text: str,
        height_mm: float,
        off_mm: float = 1.4,
        places: Iterable[float] = LINE_PLACES,
    ) -> Placed | None:
        """Place words along a line, above it first, then below; read from below or from the right."""
        turn = _reading_turn(a, b)
        half_width, half_height = letters_width_mm(text, height_mm) / 2.0, height_mm / 2.0
        tried = []
        for part in places:
            for side in (1.0, -1.0):
                shift = side * (off_mm + half_height)
                x = a[0] + part * (b[0] - a[0]) - shift * math.sin(turn)
                y = a[1] + part * (b[1] - a[1]) + shift * math.cos(turn)
                tried.append((x, y, turn))
        return self._first(tried, half_width, half_height)

    def pair_along_line(
        self,
        a: Point,
        b: Point,
        upper: tuple[float, float],
        lower: tuple[float, float],
        off_mm: float = 1.2,
        places: Iterable[float] = LINE_PLACES,
    ) -> tuple[Placed, Placed] | None:
        """Place letters above a line and letters below it at the same part of its length.

        `upper` and `lower` are the half widths and half heights of both. [mm]
        """
        places = tuple(places)
        pair: tuple[Placed, Placed] | None = self._answer(
            ("pair", a, b, upper, lower, off_mm, places),
            lambda: self._find_pair(a, b, upper, lower, off_mm, places),
        )
        return pair

    def _find_pair(
        self,
        a: Point,
        b: Point,
        upper: tuple[float, float],
        lower: tuple[float, float],
        off_mm: float,
        places: tuple[float, ...],
    ) -> tuple[tuple[Placed, Placed] | None, tuple[Box, ...]]:
        turn = _reading_turn(a, b)
        sin, cos = math.sin(turn), math.cos(turn)
        tried: list[tuple[Box, Box]] = []
        for part in places:
            x, y = a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])
            up, down = off_mm + upper[1], -off_mm - lower[1]
            tried.append(
                (
                    Box(x - up * sin, y + up * cos, upper[0] + _AIR_MM, upper[1] + _AIR_MM, turn),
                    Box(x - down * sin, y + down * cos, lower[0] + _AIR_MM, lower[1] + _AIR_MM, turn),
                )
            )
        turn_deg = -math.degrees(math.remainder(turn, math.tau))
        over_outline: tuple[Box, Box] | None = None
        for one, two in tried:
            if not (self._untaken(one) and self._untaken(two)):
                continue
            covers = self._soft.touches(one) or self._soft.touches(two)
            if covers and over_outline is not None:
                continue
            over_outline = (one, two)
            if not covers:
                break
        if over_outline is None:
            return None, ()
        one, two = over_outline
        return (Placed(one.x, one.y, turn_deg), Placed(two.x, two.y, turn_deg)), over_outline

    def block_at(
        self, places: Iterable[tuple[float, float, float]], half_width: float, half_height: float
    ) -> Placed | None:
        """Place a block of letters at the first free of several places (x, y, turn in radians)."""
        return self._first(list(places), half_width, half_height)

    def first_free(
        self, places: Iterable[Point], half_width: float, half_height: float, *, only_clear: bool = False
    ) -> Point | None:
        """Take the first of several places for a block (north arrow, scale bar) that is free.

        Places clear of outlines come first; with `only_clear` no other is taken.
        """
        fallback: Box | None = None
        for x, y in places:
            box = Box(x, y, half_width, half_height)
            if not self._untaken(box):
                continue
            if not self._soft.touches(box):
                self.take(box)
                return x, y
            fallback = fallback or box
        if fallback is None or only_clear:
            return None
        self.take(fallback)
        return fallback.x, fallback.y

    def first_free_round(
        self, at: Point, places: Places, half_width: float, half_height: float, rim_mm: float
    ) -> Point | None:
        """Take the first free of many places round a point, those clear of outlines before others."""
        found: Point | None = self._answer(
            ("round", at, places, half_width, half_height, rim_mm),
            lambda: self._find_round(places.round(at, self._width, self._height, rim_mm), half_width, half_height),
        )
        return found

    def _find_round(
        self, tried: NDArray[np.float64], half_width: float, half_height: float
    ) -> tuple[Point | None, tuple[Box, ...]]:
        if len(tried) == 0:
            return None, ()
        free = ~self._hard.touched(tried, half_width, half_height)
        if not free.any():
            return None, ()
        clear = free & ~self._soft.touched(tried, half_width, half_height)
        x, y = tried[int(np.argmax(clear if clear.any() else free))].tolist()
        return (x, y), (Box(x, y, half_width, half_height),)

    def least_taken_round(
        self, at: Point, places: Places, half_width: float, half_height: float, rim_mm: float
    ) -> Point | None:
        """Take that of many places round a point which touches the fewest things, the first of equals."""
        tried = places.round(at, self._width, self._height, rim_mm).tolist()
        return self.least_taken(tried, half_width, half_height) if tried else None

    def least_taken(self, places: Iterable[Point], half_width: float, half_height: float) -> Point:
        """Take that of several places which touches the fewest things; the first of equals."""
        tried = [Box(x, y, half_width, half_height) for x, y in places]
        touched = [self._hard.count(box) for box in tried]
        best = tried[touched.index(min(touched))]
        self.take(best)
        return best.x, best.y

    def _first(self, places: list[tuple[float, float, float]], half_width: float, half_height: float) -> Placed | None:
        """Take the first place that is free: clear of outlines, or else over one."""
        placed: Placed | None = self._answer(
            (tuple(places), half_width, half_height), lambda: self._find_first(places, half_width, half_height)
        )
        return placed

    def _find_first(
        self, places: list[tuple[float, float, float]], half_width: float, half_height: float
    ) -> tuple[Placed | None, tuple[Box, ...]]:
        found: Box | None = None
        for x, y, turn in places:
            box = Box(x, y, half_width + _AIR_MM, half_height + _AIR_MM, turn)
            if not self._untaken(box):
                continue
            if not self._soft.touches(box):
                found = box
                break
            found = found or box
        if found is None:
            return None, ()
        return Placed(found.x, found.y, -math.degrees(math.remainder(found.turn, math.tau))), (found,)


def _away(box: Box, at: Point) -> float:
    """Return how far a point lies from a level box. [mm]"""
    return math.hypot(max(abs(at[0] - box.x) - box.half_width, 0.0), max(abs(at[1] - box.y) - box.half_height, 0.0))


def _round(
    at: Point, half_width: float, half_height: float, distance_mm: float, ways: tuple[Point, ...] = _DIRECTIONS
) -> list[tuple[float, float, float]]:
    """Return the places of a block beside a point: NE, E, SE, N, S, NW, W, SW, or in other ways."""
    return [
        (
            at[0] + ux * distance_mm + math.copysign(half_width, ux) * (ux != 0.0),
            at[1] + uy * (distance_mm + half_height),
            0.0,
        )
        for ux, uy in ways
    ]


def _reading_turn(a: Point, b: Point) -> float:
    """Return the turn of letters along a line, read from below or from the right. [rad]"""
    turn = math.atan2(b[1] - a[1], b[0] - a[0])
    if math.cos(turn) < -1e-9 or (abs(math.cos(turn)) <= 1e-9 and turn < 0.0):
        turn += math.pi
    return turn


def _line_box(a: Point, b: Point, half_width: float) -> Box:
    turn = math.atan2(b[1] - a[1], b[0] - a[0])
    return Box((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, math.hypot(b[0] - a[0], b[1] - a[1]) / 2, half_width, turn)
