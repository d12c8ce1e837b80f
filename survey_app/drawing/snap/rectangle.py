"""Rectangles from the points that a hand gives."""

from __future__ import annotations

import math

from survey_app.drawing.shapes import Point
from survey_app.errors import UsageError

__all__ = ["depth_of", "rectangle", "turned_rectangle"]


def rectangle(a: Point, b: Point) -> tuple[Point, Point, Point, Point]:
    """Return the upright rectangle between two opposite corners, from the lower left one counter-clockwise.

    Parameters
    ----------
    a, b : (x, y)
        Opposite corners. [m]

    Raises
    ------
    UsageError
        The corners stand over or beside each other: there is no area between them.

    Examples
    --------
    >>> rectangle((4.0, 1.0), (0.0, 3.0))
    ((0.0, 1.0), (4.0, 1.0), (4.0, 3.0), (0.0, 3.0))
    """
    (x0, x1), (y0, y1) = sorted((a[0], b[0])), sorted((a[1], b[1]))
    if x0 == x1 or y0 == y1:
        raise UsageError("the two corners span no area", where="rectangle", remedy="move the second one off both ways")
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def turned_rectangle(a: Point, b: Point, depth_m: float) -> tuple[Point, Point, Point, Point]:
    """Return the rectangle on a front edge: its two ends, then the corners behind them.

    Parameters
    ----------
    a, b : (x, y)
        Ends of the front edge. [m]
    depth_m : float
        Depth; positive to the left of the way from `a` to `b`, negative to the right. [m]

    Raises
    ------
    UsageError
        The edge has no length or the rectangle no depth.

    Examples
    --------
    >>> turned_rectangle((0.0, 0.0), (4.0, 0.0), 3.0)
    ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))
    """
    length_m = math.hypot(b[0] - a[0], b[1] - a[1])
    if length_m == 0 or depth_m == 0:
        what = "its front edge has no length" if length_m == 0 else "its depth is zero"
        raise UsageError(what, where="rectangle", remedy="give two points that differ and a depth")
    dx, dy = -(b[1] - a[1]) / length_m * depth_m, (b[0] - a[0]) / length_m * depth_m
    return a, b, (b[0] + dx, b[1] + dy), (a[0] + dx, a[1] + dy)


def depth_of(a: Point, b: Point, at: Point) -> float:
    """Return how far a point lies to the left of the way from `a` to `b`; negative to the right. [m]

    Examples
    --------
    >>> depth_of((0.0, 0.0), (4.0, 0.0), (9.0, 3.0))
    3.0
    """
    length_m = math.hypot(b[0] - a[0], b[1] - a[1])
    if length_m == 0:
        return 0.0
    return ((b[0] - a[0]) * (at[1] - a[1]) - (b[1] - a[1]) * (at[0] - a[0])) / length_m
