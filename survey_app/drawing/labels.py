"""Where letters find room: greedy placement, the same for the same view, never over a symbol, a hop or another label.

All lengths are millimetres of paper, x right, y up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.shapes import Point

__all__ = ["LINE_PLACES", "Box", "Placed", "Placer"]

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
_AIR_MM = 0.4
_EDGE_MM = 0.6
_CELL_MM = 8.0
_ROWS = 1 << 20


class Box:
    """A turned rectangle.

    Parameters
    ----------
    x, y : float
        Its middle. [mm]
    half_width, half_height : float
        Half sizes. [mm]
    turn : float
        Turn of its long side, counter-clockwise. [rad]
    """

    __slots__ = ("cos", "half_height", "half_width", "reach_x", "reach_y", "sin", "turn", "x", "y")

    def __init__(self, x: float, y: float, half_width: float, half_height: float, turn: float = 0.0) -> None:
        self.x, self.y = x, y
        self.half_width, self.half_height, self.turn = half_width, half_height, turn
        self.cos, self.sin = (math.cos(turn), math.sin(turn)) if turn else (1.0, 0.0)
        self.reach_x = half_width * abs(self.cos) + half_height * abs(self.sin)
        self.reach_y = half_width * abs(self.sin) + half_height * abs(self.cos)

    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Return the four corners."""
        u, v, c, s = self.half_width, self.half_height, self.cos, self.sin
        return (
            (self.x - u * c + v * s, self.y - u * s - v * c),
            (self.x + u * c + v * s, self.y + u * s - v * c),
            (self.x + u * c - v * s, self.y + u * s + v * c),
            (self.x - u * c - v * s, self.y - u * s + v * c),
        )

    def touches(self, other: Box) -> bool:
        """Whether the two rectangles overlap (separating axes)."""
        dx, dy = other.x - self.x, other.y - self.y
        if abs(dx) > self.reach_x + other.reach_x or abs(dy) > self.reach_y + other.reach_y:
            return False
        if not self.turn and not other.turn:
            return True
        return not (_apart(self, other, dx, dy) or _apart(other, self, dx, dy))


def _apart(box: Box, other: Box, dx: float, dy: float) -> bool:
    c = abs(other.cos * box.cos + other.sin * box.sin)
    s = abs(other.sin * box.cos - other.cos * box.sin)
    along = abs(dx * box.cos + dy * box.sin)
    across = abs(dy * box.cos - dx * box.sin)
    return (
        along > box.half_width + other.half_width * c + other.half_height * s
        or across > box.half_height + other.half_width * s + other.half_height * c
    )


@dataclass(frozen=True, slots=True)
class Placed:
    """A label that found its place: middle and turn as the drawing's words want them (clockwise, degrees)."""

    x: float
    y: float
    turn_deg: float


class Placer:
    """Remembers what is taken on one view.

    Parameters
    ----------
    width_mm, height_mm : float
        The view; no label leaves it.
    """

    def __init__(self, width_mm: float, height_mm: float) -> None:
        self._width = width_mm
        self._height = height_mm
        self._hard: _Cells = {}
        self._soft: _Cells = {}

    def take(self, box: Box) -> None:
        """Mark a place as taken (a symbol, a flag, a label placed by hand)."""
        _put(box, self._hard)

    def take_line(self, a: Point, b: Point, half_width: float = 0.5) -> None:
        """Mark a line as taken."""
        if a != b:
            self.take(_line_box(a, b, half_width))

    def avoid_line(self, a: Point, b: Point) -> None:
        """Mark a line that letters cover only where they find no other room (an outline)."""
        if a != b:
            _put(_line_box(a, b, 0.2), self._soft)

    def free(self, box: Box, *, outlines: bool = False) -> bool:
        """Whether a box lies in the view and touches nothing taken; with `outlines` nothing to be avoided either."""
        return self._untaken(box) and not (outlines and self._covers_outline(box))

    def _untaken(self, box: Box) -> bool:
        if not (
            box.reach_x + _EDGE_MM <= box.x <= self._width - box.reach_x - _EDGE_MM
            and box.reach_y + _EDGE_MM <= box.y <= self._height - box.reach_y - _EDGE_MM
        ):
            return False
        return not _touches_any(box, self._hard)

    def _covers_outline(self, box: Box) -> bool:
        return _touches_any(box, self._soft)

    def at_point(self, at: Point, text: str, height_mm: float, distance_mm: float = 3.0) -> Placed | None:
        """Place a label beside a point: NE, E, SE, N, S, NW, W, SW; None where there is no room."""
        return self.block_at_point(at, letters_width_mm(text, height_mm) / 2.0, height_mm / 2.0, distance_mm)

    def block_at_point(
        self, at: Point, half_width: float, half_height: float, distance_mm: float = 3.0
    ) -> Placed | None:
        """Place a block of letters beside a point: NE, E, SE, N, S, NW, W, SW; None where there is no room."""
        places = [
            (
                at[0] + ux * distance_mm + math.copysign(half_width, ux) * (ux != 0.0),
                at[1] + uy * (distance_mm + half_height),
                0.0,
            )
            for ux, uy in _DIRECTIONS
        ]
        return self._first(places, half_width, half_height)

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
            if over_outline is not None and (self._covers_outline(one) or self._covers_outline(two)):
                continue
            if not (self._untaken(one) and self._untaken(two)):
                continue
            if over_outline is None and (self._covers_outline(one) or self._covers_outline(two)):
                over_outline = (one, two)
                continue
            over_outline = (one, two)
            break
        if over_outline is None:
            return None
        one, two = over_outline
        self.take(one)
        self.take(two)
        return Placed(one.x, one.y, turn_deg), Placed(two.x, two.y, turn_deg)

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
            if not self._covers_outline(box):
                self.take(box)
                return x, y
            fallback = fallback or box
        if fallback is None or only_clear:
            return None
        self.take(fallback)
        return fallback.x, fallback.y

    def least_taken(self, places: Iterable[Point], half_width: float, half_height: float) -> Point:
        """Take that of several places which touches the fewest things; the first of equals."""
        tried = list(places)
        touched = [self._touching(Box(x, y, half_width, half_height)) for x, y in tried]
        x, y = tried[touched.index(min(touched))]
        self.take(Box(x, y, half_width, half_height))
        return x, y

    def _touching(self, box: Box) -> int:
        """Return how many taken boxes a box touches."""
        near = {id(row[4]): row[4] for cell in _cells(box) for row in self._hard.get(cell, ())}
        return sum(box.touches(other) for other in near.values())

    def _first(self, places: list[tuple[float, float, float]], half_width: float, half_height: float) -> Placed | None:
        """Take the first place that is free: clear of outlines, or else over one."""
        found: Box | None = None
        for x, y, turn in places:
            box = Box(x, y, half_width + _AIR_MM, half_height + _AIR_MM, turn)
            if not self._untaken(box):
                continue
            if not self._covers_outline(box):
                found = box
                break
            found = found or box
        if found is None:
            return None
        self.take(found)
        return Placed(found.x, found.y, -math.degrees(math.remainder(found.turn, math.tau)))


_Cells = dict[int, list[tuple[float, float, float, float, Box]]]
"""Boxes by the cells that they reach into, each with its middle and the half sizes of its bounds."""


def _put(box: Box, cells: _Cells) -> None:
    row = (box.x, box.y, box.reach_x, box.reach_y, box)
    for cell in _cells(box):
        cells.setdefault(cell, []).append(row)


def _touches_any(box: Box, cells: _Cells) -> bool:
    x, y, reach_x, reach_y = box.x, box.y, box.reach_x, box.reach_y
    for cell in _cells(box):
        rows = cells.get(cell)
        if rows is None:
            continue
        for other_x, other_y, other_reach_x, other_reach_y, other in rows:
            # most are told apart by their bounds alone
            away = other_x - x
            if away > reach_x + other_reach_x or -away > reach_x + other_reach_x:
                continue
            away = other_y - y
            if away > reach_y + other_reach_y or -away > reach_y + other_reach_y:
                continue
            if box.touches(other):
                return True
    return False


def _cells(box: Box) -> list[int]:
    """Return the cells of 8 mm that a box reaches into; of a long turned one only those along it."""
    left, right = int((box.x - box.reach_x) // _CELL_MM), int((box.x + box.reach_x) // _CELL_MM)
    low, high = int((box.y - box.reach_y) // _CELL_MM), int((box.y + box.reach_y) // _CELL_MM)
    if low == high:
        return list(range(left * _ROWS + low, right * _ROWS + low + 1, _ROWS))
    if not box.turn or (right - left) * (high - low) <= 2 or abs(box.cos) < 1e-6:
        return [column * _ROWS + row for column in range(left, right + 1) for row in range(low, high + 1)]
    slope = box.sin / box.cos
    half = box.half_height / abs(box.cos)
    found = []
    for column in range(left, right + 1):
        # the long sides over this column; the short ones cut no more than that away
        one, two = (column * _CELL_MM - box.x) * slope, ((column + 1) * _CELL_MM - box.x) * slope
        under, over = (one, two) if one <= two else (two, one)
        first = max(int((box.y + under - half) // _CELL_MM), low)
        last = min(int((box.y + over + half) // _CELL_MM), high)
        found += [column * _ROWS + row for row in range(first, last + 1)]
    return found


def _reading_turn(a: Point, b: Point) -> float:
    """Return the turn of letters along a line, read from below or from the right. [rad]"""
    turn = math.atan2(b[1] - a[1], b[0] - a[0])
    if math.cos(turn) < -1e-9 or (abs(math.cos(turn)) <= 1e-9 and turn < 0.0):
        turn += math.pi
    return turn


def _line_box(a: Point, b: Point, half_width: float) -> Box:
    turn = math.atan2(b[1] - a[1], b[0] - a[0])
    return Box((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, math.hypot(b[0] - a[0], b[1] - a[1]) / 2, half_width, turn)
