"""The ruler of levels on a mounting sheet: which readings are good, low, not accepted."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Drawing, Path, Shape, Words

__all__ = ["LevelWindow", "level_scale"]

_LETTERS_MM = 2.5
_BAR_MM = 3.6


@dataclass(frozen=True, slots=True)
class LevelWindow:
    """Limits of a reading, rounded as printed.

    Attributes
    ----------
    low, good_low, good_high : int
        Below `low` not accepted; from `low` to `good_low` low; to `good_high` good; above it the power is wrong. [dBm]
    """

    low: int
    good_low: int
    good_high: int


def level_scale(window: LevelWindow, width_mm: float = 86.0) -> Drawing:
    """Return the ruler: solid where the reading is good, hatched where it is low, words on the rest.

    Parameters
    ----------
    window : LevelWindow
        What is good.
    width_mm : float
        Length of the ruler. [mm]

    Returns
    -------
    Drawing
        `width_mm` by 10 mm, one millimetre for a metre.
    """
    first, last = _range(window, width_mm)
    step = width_mm / (last - first)

    def x(level: float) -> float:
        return (level - first) * step

    axis, top = 5.6, 6.2
    shapes: list[Shape] = [Path(Role.DIMENSION, ((0.0, axis), (width_mm, axis)))]
    for level in range(first, last + 1):
        long = level % 5 == 0
        shapes.append(
            Path(Role.FINE if long else Role.THIN, ((x(level), axis), (x(level), axis - (1.6 if long else 0.9))))
        )
    shapes += _low_box(x(window.low), x(window.good_low), top)
    good = (
        (x(window.good_low), top),
        (x(window.good_high), top),
        (x(window.good_high), top + _BAR_MM),
        (x(window.good_low), top + _BAR_MM),
    )
    shapes.append(Path(Role.SOLID, good, closed=True))
    middle = top + _BAR_MM / 2.0
    if letters_width_mm("good", _LETTERS_MM) < x(window.good_high) - x(window.good_low) - 1.0:
        shapes.append(
            _words(
                "good", (x(window.good_low) + x(window.good_high)) / 2.0, middle, "middle", Role.WORDS_LIGHT, bold=True
            )
        )
    shapes.append(_words("not accepted", x(window.low) - 1.2, middle, "end"))
    shapes.append(_words("power wrong", x(window.good_high) + 1.2, middle, "start"))
    shapes += _labels(window, first, last, x)
    return Drawing(tuple(shapes), (0.0, 0.0, width_mm, 10.0), 1.0)


def _range(window: LevelWindow, width_mm: float) -> tuple[int, int]:
    """Return the shortest ruler, in whole fives, that leaves room for the words on both sides of the window. [dBm]"""
    needed = letters_width_mm("not accepted", _LETTERS_MM) + 2.4
    room = 9
    while True:
        first = 5 * math.floor((window.low - room) / 5)
        last = 5 * math.ceil((window.good_high + room) / 5)
        step = width_mm / (last - first)
        if min(window.low - first, last - window.good_high) * step >= needed:
            return first, last
        room += 1


def _low_box(x0: float, x1: float, y: float) -> list[Shape]:
    box: list[Shape] = [Path(Role.OBSTACLE, ((x0, y), (x1, y), (x1, y + _BAR_MM), (x0, y + _BAR_MM)), closed=True)]
    start = x0 - _BAR_MM + 1.1
    while start < x1:
        low = max(start, x0)
        high = min(start + _BAR_MM, x1)
        if high > low:
            box.append(Path(Role.FINE, ((low, y + low - start), (high, y + high - start))))
        start += 1.1
    return box


def _labels(window: LevelWindow, first: int, last: int, x: Callable[[float], float]) -> list[Shape]:
    """Figures under the axis, those of the window first; one that would touch another is left out."""
    placed: list[tuple[float, float]] = []
    shapes: list[Shape] = []
    for level in (window.good_low, window.low, window.good_high, first, last):
        text = f"−{-level}" if level < 0 else str(level)
        half = letters_width_mm(text, _LETTERS_MM) / 2.0
        middle = x(level)
        middle = min(max(middle, half), x(last) - half)
        if all(middle + half + 0.8 < left or middle - half - 0.8 > right for left, right in placed):
            placed.append((middle - half, middle + half))
            shapes.append(_words(text, middle, 2.0, "middle", bold=True))
    return shapes


def _words(text: str, x: float, y: float, align: str, role: Role = Role.WORDS, *, bold: bool = False) -> Words:
    return Words(role, (x, y), text, _LETTERS_MM, bold=bold, align=align)
