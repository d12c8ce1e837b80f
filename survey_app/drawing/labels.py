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


@dataclass(frozen=True, slots=True)
class Box:
    """A turned rectangle: middle, half sizes, and the turn of its long side, counter-clockwise. [mm, rad]"""

    x: float
    y: float
    half_width: float
    half_height: float
    turn: float = 0.0

    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Return the four corners."""
        c, s = math.cos(self.turn), math.sin(self.turn)
        u, v = self.half_width, self.half_height
        return (
            (self.x - u * c + v * s, self.y - u * s - v * c),
            (self.x + u * c + v * s, self.y + u * s - v * c),
            (self.x + u * c - v * s, self.y + u * s + v * c),
            (self.x - u * c - v * s, self.y - u * s + v * c),
        )

    def touches(self, other: Box) -> bool:
        """Whether the two rectangles overlap (separating axes)."""
        dx, dy = other.x - self.x, other.y - self.y
        reach = math.hypot(self.half_width, self.half_height) + math.hypot(other.half_width, other.half_height)
        if dx * dx + dy * dy > reach * reach:
            return False
        return not (_apart(self, other, dx, dy) or _apart(other, self, dx, dy))


def _apart(box: Box, other: Box, dx: float, dy: float) -> bool:
    turn = other.turn - box.turn
    c, s = abs(math.cos(turn)), abs(math.sin(turn))
    along = abs(dx * math.cos(box.turn) + dy * math.sin(box.turn))
    across = abs(dy * math.cos(box.turn) - dx * math.sin(box.turn))
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
        self._taken: list[Box] = []
        self._soft: list[Box] = []

    def take(self, box: Box) -> None:
        """Mark a place as taken (a symbol, a flag, a label placed by hand)."""
        self._taken.append(box)

    def take_line(self, a: Point, b: Point, half_width: float = 0.5) -> None:
        """Mark a line as taken."""
        if a != b:
            self._taken.append(_line_box(a, b, half_width))

    def avoid_line(self, a: Point, b: Point) -> None:
        """Mark a line that letters cover only where they find no other room (an outline)."""
        if a != b:
            self._soft.append(_line_box(a, b, 0.2))

    def free(self, box: Box, *, outlines: bool = False) -> bool:
        """Whether a box lies in the view and touches nothing taken; with `outlines` nothing to be avoided either."""
        inside = all(0.6 <= x <= self._width - 0.6 and 0.6 <= y <= self._height - 0.6 for x, y in box.corners())
        if not inside or any(box.touches(other) for other in self._taken):
            return False
        return not (outlines and any(box.touches(other) for other in self._soft))

    def at_point(self, at: Point, text: str, height_mm: float, distance_mm: float = 3.0) -> Placed | None:
        """Place a label beside a point: NE, E, SE, N, S, NW, W, SW; None where there is no room."""
        half_width, half_height = letters_width_mm(text, height_mm) / 2.0, height_mm / 2.0
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
        turn = math.atan2(b[1] - a[1], b[0] - a[0])
        if math.cos(turn) < -1e-9 or (abs(math.cos(turn)) <= 1e-9 and turn < 0.0):
            turn += math.pi
        half_width, half_height = letters_width_mm(text, height_mm) / 2.0, height_mm / 2.0
        tried = []
        for part in places:
            for side in (1.0, -1.0):
                shift = side * (off_mm + half_height)
                x = a[0] + part * (b[0] - a[0]) - shift * math.sin(turn)
                y = a[1] + part * (b[1] - a[1]) + shift * math.cos(turn)
                tried.append((x, y, turn))
        return self._first(tried, half_width, half_height)

    def first_free(
        self, places: Iterable[Point], half_width: float, half_height: float, *, only_clear: bool = False
    ) -> Point | None:
        """Take the first of several places for a block (north arrow, scale bar) that is free.

        Places clear of outlines come first; with `only_clear` no other is taken.
        """
        tried = list(places)
        for outlines in (True,) if only_clear else (True, False):
            for x, y in tried:
                box = Box(x, y, half_width, half_height)
                if self.free(box, outlines=outlines):
                    self.take(box)
                    return x, y
        return None

    def _first(self, places: list[tuple[float, float, float]], half_width: float, half_height: float) -> Placed | None:
        """Take the first place that is free: clear of outlines, or else over one."""
        for outlines in (True, False):
            for x, y, turn in places:
                box = Box(x, y, half_width + _AIR_MM, half_height + _AIR_MM, turn)
                if self.free(box, outlines=outlines):
                    self.take(box)
                    return Placed(x, y, -math.degrees(math.remainder(turn, math.tau)))
        return None


def _line_box(a: Point, b: Point, half_width: float) -> Box:
    turn = math.atan2(b[1] - a[1], b[0] - a[0])
    return Box((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, math.hypot(b[0] - a[0], b[1] - a[1]) / 2, half_width, turn)
