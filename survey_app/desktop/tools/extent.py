"""The rectangle round some things of the plan, and its middle."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from survey_app.desktop.tools.where import outline_of, point_of
from survey_app.drawing.shapes import Point

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk

__all__ = ["extent_of", "middle_of"]


def extent_of(desk: Desk, ids: Iterable[str]) -> tuple[float, float, float, float] | None:
    """Return x_min, y_min, x_max, y_max of things; None where none of them has a place. [m]"""
    things = dict(desk.things)
    points: list[Point] = []
    for one in ids:
        corners = outline_of(desk.placed, one)
        at = point_of(desk.placed, things.get(one), things)
        points += corners or (() if at is None else (at,))
    known = [point for point in points if point[0] == point[0]]
    if not known:
        return None
    xs, ys = [x for x, _ in known], [y for _, y in known]
    return min(xs), min(ys), max(xs), max(ys)


def middle_of(desk: Desk, ids: Iterable[str]) -> Point | None:
    """Return the middle of the rectangle round things; None where none of them has a place. [m]"""
    extent = extent_of(desk, ids)
    return None if extent is None else ((extent[0] + extent[2]) / 2.0, (extent[1] + extent[3]) / 2.0)
