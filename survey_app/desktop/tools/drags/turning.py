"""Turning things about a point."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.drags.drag import Drag
from survey_app.desktop.tools.steps import plane_point
from survey_app.desktop.tools.strokes import line, polar
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.writing import number_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Path, Point, Shape, Symbol
from survey_app.ground.straight import bearing_of, distance_of
from survey_app.paper import rounding
from survey_app.site.edits import Edit, rotate
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["TurnDrag", "turn_words", "turned"]

_STEP_DEG = 0.1
_SHIFT_STEP_DEG = 15.0


def turn_words(angle_deg: float) -> str:
    """Return an angle with its direction: `12.5° right`, `not turned`."""
    size = rounding.tenths(abs(angle_deg))
    if size == 0:
        return "not turned"
    return f"{rounding.signed_tenths(size)}° {'right' if angle_deg > 0 else 'left'}"


def turned(site: Site, ids: tuple[str, ...], angle_deg: float, about: Point) -> Edit:
    """Return the turn of things clockwise about a point of the plane."""
    return rotate(site, ids, angle_deg, plane_point(*about))._replace(merge_key="")


class TurnDrag(Drag):
    """Turns things by the angle between where it began and the pointer, as seen from the pivot."""

    def __init__(self, desk: Desk, plan: Plan, ids: tuple[str, ...], start: Point, pivot: Point) -> None:
        super().__init__(desk, plan, ids, start)
        self.ids = ids
        self.pivot = pivot
        self.angle_deg = 0.0

    def aim(self, pointer: Pointer) -> None:
        """Turn to the pointer by tenths of a degree; Shift by fifteen degrees at a time."""
        if distance_of(self.pivot, pointer.at) == 0.0 or distance_of(self.pivot, self.start) == 0.0:
            return
        wanted_deg = bearing_of(self.pivot, pointer.at) - bearing_of(self.pivot, self.start)
        step_deg = _SHIFT_STEP_DEG if pointer.shift else _STEP_DEG
        self._go(round(((wanted_deg + 180.0) % 360.0 - 180.0) / step_deg) * step_deg)

    def _go(self, angle_deg: float) -> None:
        self.angle_deg = round(angle_deg, 6)
        self.words = turn_words(self.angle_deg)
        reach_m = max(distance_of(self.pivot, self.start), 40.0 / self.plan.px_per_m)
        start_deg = bearing_of(self.pivot, self.start)
        first, last = polar(self.pivot, start_deg, reach_m), polar(self.pivot, start_deg + self.angle_deg, reach_m)
        sweep_deg = abs(self.angle_deg)
        from_deg = start_deg if self.angle_deg >= 0.0 else start_deg + self.angle_deg
        marks: list[Shape] = [pivot_mark(self.pivot), *line(self.pivot, first, Role.GHOST)]
        marks += line(self.pivot, last, Role.RUBBER)
        if sweep_deg > 0.05:
            marks.append(Arc(Role.TRAIL, self.pivot, reach_m, from_deg % 360.0, sweep_deg))
        self.marks = tuple(marks)

    def set_typed(self, text: str) -> str:
        """Take a typed angle, clockwise positive."""
        value = number_of(text)
        if value is None or abs(value) > 360.0:
            return "an angle from −360 to 360 is needed, clockwise positive"
        self._go(value)
        return ""

    def make(self, site: Site) -> Edit:
        """Return the edit as it stands."""
        return turned(site, self.ids, self.angle_deg, self.pivot)


def pivot_mark(at: Point) -> Symbol:
    """Return the mark of the point about which things turn: a ring with a cross."""
    arms = (Path(Role.RUBBER, ((-1.6, 0.0), (1.6, 0.0))), Path(Role.RUBBER, ((0.0, -1.6), (0.0, 1.6))))
    return Symbol("pivot", at, (Arc(Role.RUBBER, (0.0, 0.0), 1.0), *arms))
