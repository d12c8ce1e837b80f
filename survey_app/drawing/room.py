"""The room that is taken on a view: rectangles by the cells that they reach into.

All lengths are millimetres of paper, x right, y up.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from survey_app.drawing.shapes import Point

__all__ = ["Box", "Ledger", "Room"]

_CELL_MM = 8.0
_ROWS = 1 << 20
_FIRST = 1024
_Row = tuple[float, float, float, float, "Box"]
"""A box with its middle and the half sizes of its bounds."""


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


class Ledger:
    """Numbers for what a cell holds: the same boxes put there in the same order have the same number.

    It outlives a view's `Room`, so that two rooms are compared cell by cell without looking at their boxes.
    """

    def __init__(self) -> None:
        self._numbers: dict[tuple[int, float, float, float, float, float], int] = {}

    def __len__(self) -> int:
        return len(self._numbers)

    def after(self, held: int, box: Box) -> int:
        """Return the number of a cell that held something (0 = nothing) and has now got one more box."""
        key = (held, box.x, box.y, box.half_width, box.half_height, box.turn)
        return self._numbers.setdefault(key, len(self._numbers) + 1)


class Room:
    """Boxes that are taken.

    Parameters
    ----------
    ledger : Ledger
        Numbers what cells hold.
    """

    def __init__(self, ledger: Ledger) -> None:
        self._ledger = ledger
        self._rows: dict[int, list[_Row]] = {}
        self._numbers: dict[int, list[int]] = {}
        self._boxes: list[Box] = []
        self._table = np.empty((_FIRST, 5))
        self._held: dict[int, int] = {}
        self._read: set[int] = set()

    def put(self, box: Box) -> None:
        """Take a box."""
        row = (box.x, box.y, box.reach_x, box.reach_y, box)
        number = len(self._boxes)
        self._boxes.append(box)
        if number == len(self._table):
            self._table = np.concatenate((self._table, np.empty_like(self._table)))
        self._table[number] = (box.x, box.y, box.reach_x, box.reach_y, box.turn)
        for cell in _cells(box):
            self._rows.setdefault(cell, []).append(row)
            self._numbers.setdefault(cell, []).append(number)
            self._held[cell] = self._ledger.after(self._held.get(cell, 0), box)

    # -- what an answer depends on

    def forget_read(self) -> None:
        """Begin anew to note which cells are looked at."""
        self._read = set()

    def read(self) -> tuple[tuple[int, int], ...]:
        """Return the cells that were looked at since `forget_read`, each with the number of what it holds."""
        return tuple((cell, self._held.get(cell, 0)) for cell in self._read)

    def holds(self, read: tuple[tuple[int, int], ...]) -> bool:
        """Whether cells hold now what they held when they were read."""
        held = self._held
        return all(held.get(cell, 0) == number for cell, number in read)

    # -- questions

    def touches(self, box: Box) -> bool:
        """Whether a box touches one that is taken."""
        x, y, reach_x, reach_y = box.x, box.y, box.reach_x, box.reach_y
        for cell in _cells(box):
            self._read.add(cell)
            for other_x, other_y, other_reach_x, other_reach_y, other in self._rows.get(cell, ()):
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

    def touched(self, places: NDArray[np.float64], half_width: float, half_height: float) -> NDArray[np.bool_]:
        """Return for many level boxes of one size whether each touches one that is taken.

        Parameters
        ----------
        places : ndarray of float, shape (n, 2)
            Their middles. [mm]
        half_width, half_height : float
            Half sizes. [mm]

        Returns
        -------
        ndarray of bool, shape (n,)
        """
        found = np.zeros(len(places), dtype=np.bool_)
        (x0, y0), (x1, y1) = places.min(axis=0).tolist(), places.max(axis=0).tolist()
        around = Box((x0 + x1) / 2.0, (y0 + y1) / 2.0, (x1 - x0) / 2.0 + half_width, (y1 - y0) / 2.0 + half_height)
        numbers = list(set(self._near(around)))
        if not numbers:
            return found
        near = np.array(numbers)
        x, y, reach_x, reach_y, turn = self._table[near].T
        meets = abs(x - places[:, :1]) <= half_width + reach_x
        meets &= abs(y - places[:, 1:]) <= half_height + reach_y
        level = turn == 0.0
        found |= (meets & level).any(axis=1)
        meets &= ~level & ~found[:, None]
        for place, k in np.argwhere(meets).tolist():
            if not found[place]:
                x_mm, y_mm = places[place].tolist()
                found[place] = Box(x_mm, y_mm, half_width, half_height).touches(self._boxes[numbers[k]])
        return found

    def count(self, box: Box) -> int:
        """Return how many taken boxes a box touches."""
        return sum(box.touches(self._boxes[number]) for number in set(self._near(box)))

    def _near(self, box: Box) -> list[int]:
        """Return the numbers of the taken boxes in the cells of a box; one may come more than once."""
        cells = _cells(box)
        self._read.update(cells)
        return [number for cell in cells for number in self._numbers.get(cell, ())]


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
