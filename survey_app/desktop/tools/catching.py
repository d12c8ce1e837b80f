"""What the pointer catches while something is placed or dragged."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, NamedTuple

from survey_app.drawing.shapes import Point, Shape

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["Catcher", "Caught"]

REACH_PX = 10.0
"""How near the pointer must be to catch something. [px]"""


class Caught(NamedTuple):
    """Where a point really goes."""

    at: Point
    words: str = ""
    shapes: tuple[Shape, ...] = ()


class Catcher:
    """Catches corners, edges, poles, directions and whole metres of the present site."""

    def __init__(self, desk: Desk, plan: Plan) -> None:
        self.desk, self.plan = desk, plan

    def catch(
        self,
        at: Point,
        *,
        anchor: Point | None = None,
        previous: Point | None = None,
        lock: bool = False,
        without: Collection[str] = (),
    ) -> Caught:
        """Return what is caught at a point; the point itself where that is nothing."""
        return Caught(at)
