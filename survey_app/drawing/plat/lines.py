"""Lines of a plan in one piece per role and level, and long lines cut to what a window shows."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from survey_app.drawing.roles import PENS, Role
from survey_app.drawing.shapes import Point, Shape, Strokes

__all__ = ["Level", "Piece", "Stack", "cut_to_window", "dots", "piece", "ring_piece", "segments"]

Floats = NDArray[np.float64]
Piece = tuple[Floats, NDArray[np.bool_]]
"""Points and whether each is joined to the next."""


class Level:
    """Stacking of a plan, low to high."""

    WATER = 0
    TINTS = 1
    WEDGES = 2
    VIEWS = 3
    TREES = 4
    BUILDINGS = 5
    ROOMS = 6
    OBSTACLES = 7
    HOPS = 8
    WIRES = 9
    POLES = 10
    BOXES = 11
    CAMERAS = 12
    RADIOS = 13
    OVERHEAD = 14
    LABELS = 15
    FLAGS = 16


def piece(points: Iterable[Point] | Floats) -> Piece:
    """Return one line."""
    array = np.asarray(points if isinstance(points, np.ndarray) else list(points), dtype=np.float64).reshape(-1, 2)
    joined = np.ones(len(array), dtype=np.bool_)
    joined[-1:] = False
    return array, joined


def ring_piece(ring: Floats) -> Piece:
    """Return one outline whose first point is repeated at its end."""
    return piece(np.concatenate((ring, ring[:1])))


def segments(a: Floats, b: Floats) -> Piece:
    """Return many single lines from the points `a` to the points `b`, both of shape (n, 2)."""
    points = np.empty((2 * len(a), 2))
    points[::2], points[1::2] = a, b
    joined = np.zeros(len(points), dtype=np.bool_)
    joined[::2] = True
    return points, joined


def cut_to_window(points: Piece, window: tuple[float, float, float, float], role: Role, mm_per_m: float) -> Piece:
    """Return what a window shows of dashed lines that reach far beyond it; their dashes stay where they are.

    A painter lays every dash of a line, also the many that nobody sees.
    """
    xy, joined = points
    period_m = sum(PENS[role].dash_mm) / mm_per_m
    starts = np.flatnonzero(joined)
    if len(starts) == 0 or period_m <= 0.0:
        return points
    x0, y0, x1, y1 = window
    reach = max(x1 - x0, y1 - y0)
    a, b = xy[starts], xy[starts + 1]
    length = np.hypot(*(b - a).T)
    if float(length.max()) <= 3.0 * reach:
        return points
    first, last = _inside_part(a, b, (x0 - reach * 0.1, y0 - reach * 0.1, x1 + reach * 0.1, y1 + reach * 0.1))
    kept = (last > first) & (length > 0.0)
    a, b, first, last, length = a[kept], b[kept], first[kept], last[kept], length[kept]
    # whole periods are left out in front, so that panning does not move the dashes
    first = np.floor(first * length / period_m) * period_m / length
    along = b - a
    return segments(a + along * first[:, None], a + along * last[:, None])


def _inside_part(a: Floats, b: Floats, window: tuple[float, float, float, float]) -> tuple[Floats, Floats]:
    """Return the parts of lines at which they enter and leave a window."""
    first, last = np.zeros(len(a)), np.ones(len(a))
    along = b - a
    with np.errstate(divide="ignore", invalid="ignore"):
        for axis, low, high in ((0, window[0], window[2]), (1, window[1], window[3])):
            enter, leave = (low - a[:, axis]) / along[:, axis], (high - a[:, axis]) / along[:, axis]
            level = along[:, axis] == 0.0
            beside = level & ((a[:, axis] < low) | (a[:, axis] > high))
            enter, leave = np.minimum(enter, leave), np.maximum(enter, leave)
            first = np.where(level, first, np.maximum(first, enter))
            last = np.where(beside, -1.0, np.where(level, last, np.minimum(last, leave)))
    return first, last


def dots(points: Iterable[Point], radius_m: float) -> Piece:
    """Return small eight-sided outlines round points, to be filled."""
    centres = np.array(list(points), dtype=np.float64).reshape(-1, 1, 2)
    turn = np.radians(22.5 + 45.0 * np.arange(9))
    ring = np.stack((np.sin(turn), np.cos(turn)), axis=1) * radius_m
    joined = np.ones((len(centres), 9), dtype=np.bool_)
    joined[:, -1] = False
    return (centres + ring[None, :, :]).reshape(-1, 2), joined.reshape(-1)


class Stack:
    """Shapes of a plan in the making, level by level; lines of one role and level become one shape.

    Parameters
    ----------
    window : (x_min, y_min, x_max, y_max)
        What is shown. [m]
    mm_per_m : float
        Scale. [mm/m]
    """

    def __init__(self, window: tuple[float, float, float, float], mm_per_m: float) -> None:
        self.window = window
        self.mm_per_m = mm_per_m
        self._lines: dict[tuple[int, Role, bool], list[Piece]] = {}
        self._shapes: dict[int, list[Shape]] = {}

    def line(self, level: int, role: Role, points: Piece, *, filled: bool = False) -> None:
        """Add lines of a role; those of one level lie in the order in which their role first came."""
        if len(points[0]):
            self._lines.setdefault((level, role, filled), []).append(points)

    def add(self, level: int, *shapes: Shape) -> None:
        """Add shapes that stand over the lines of their level."""
        self._shapes.setdefault(level, []).extend(shapes)

    def done(self) -> tuple[Shape, ...]:
        """Return everything, low to high."""
        by_level: dict[int, list[Shape]] = {}
        for (level, role, filled), pieces in self._lines.items():
            points = np.concatenate([p for p, _ in pieces]) if len(pieces) > 1 else pieces[0][0]
            joined = np.concatenate([j for _, j in pieces]) if len(pieces) > 1 else pieces[0][1]
            if PENS[role].dash_mm and not filled:
                points, joined = cut_to_window((points, joined), self.window, role, self.mm_per_m)
            if len(points):
                by_level.setdefault(level, []).append(Strokes(role, points, joined, filled))
        for level, shapes in self._shapes.items():
            by_level.setdefault(level, []).extend(shapes)
        return tuple(shape for level in sorted(by_level) for shape in by_level[level])


def polar(centre: Point, radius_m: float | Floats, bearing_deg: Floats) -> Floats:
    """Return points at a distance and bearings from a centre, shape (n, 2). [m]"""
    turn = np.radians(bearing_deg)
    return np.stack((centre[0] + radius_m * np.sin(turn), centre[1] + radius_m * np.cos(turn)), axis=-1)


def arc_points(centre: Point, radius_m: float, start_deg: float, sweep_deg: float, mm_per_m: float) -> Floats:
    """Return points along part of a circle, so close that no chord leaves it by more than 0.05 mm. [m]"""
    radius_mm = max(radius_m * mm_per_m, 0.1)
    step_deg = math.degrees(2.0 * math.acos(max(1.0 - 0.05 / radius_mm, 0.5)))
    count = int(min(max(math.ceil(abs(sweep_deg) / step_deg), 6), 1440)) + 1
    return polar(centre, radius_m, start_deg + np.linspace(0.0, sweep_deg, count))
