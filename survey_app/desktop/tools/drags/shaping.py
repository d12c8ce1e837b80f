"""Dragging corners and edges of outlines and routes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.catching import round_step_m
from survey_app.desktop.tools.drags.drag import Drag
from survey_app.desktop.tools.figures import leg, length, reads_feet
from survey_app.desktop.tools.outline import counter_clockwise, crosses_itself, edge_words, outline_words, squared
from survey_app.desktop.tools.spoken import spoken
from survey_app.desktop.tools.steps import plane_point
from survey_app.desktop.tools.strokes import along, line
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.where import outline_of
from survey_app.desktop.tools.writing import Writing, number_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point, Shape
from survey_app.errors import UsageError
from survey_app.ground.straight import distance_of
from survey_app.site.edits import Edit, insert_corner, move_corner, move_edge
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["CornerDrag", "EdgeDrag", "InsertDrag"]

_ROUND_PX = 4.0


class CornerDrag(Drag):
    """Moves one corner."""

    def __init__(self, desk: Desk, plan: Plan, thing_id: str, corner: int, start: Point) -> None:
        super().__init__(desk, plan, (thing_id,), start)
        self.thing_id, self.corner = thing_id, corner
        self.corners = outline_of(desk.placed, thing_id)
        self.closed = hasattr(desk.things[thing_id], "outline")
        self.origin = self.corners[corner]
        self.at = self.origin

    @property
    def before(self) -> Point | None:
        """The corner before the one in hand."""
        return self.corners[self.corner - 1] if self.closed or self.corner > 0 else None

    def aim(self, pointer: Pointer) -> None:
        """Move to the pointer or what it catches; Shift holds it square to the edge before."""
        caught = self.catcher.catch(pointer.at, anchor=self.before, own=self._others(), off=pointer.alt)
        at = caught.at
        if pointer.shift and self.before is not None:
            at = squared(self._before_that(), self.before, at)
        self._go(at, caught.words)
        self.marks = (*self.marks, *caught.shapes)

    def _others(self) -> tuple[Point, ...]:
        return (*self.corners[: self.corner], *self.corners[self.corner + 1 :])

    def _before_that(self) -> Point | None:
        if self.closed or self.corner > 1:
            return self.corners[self.corner - 2]
        return None

    def _go(self, at: Point, what: str = "") -> None:
        self.at = at
        site, new = self.desk.site, self._shape()
        marks: list[Shape] = list(line(self.origin, at, Role.TRAIL))
        for a, b in self._edges(new):
            marks.extend(edge_words(site, a, b, self.plan.px_per_m))
        self.marks = tuple(marks)
        parts = [leg(site, self.origin, at), outline_words(site, new) if self.closed else "", what]
        self.words = ", ".join(part for part in parts if part)

    def _shape(self) -> tuple[Point, ...]:
        return (*self.corners[: self.corner], self.at, *self.corners[self.corner + 1 :])

    def _edges(self, corners: tuple[Point, ...]) -> list[tuple[Point, Point]]:
        count, here = len(corners), self.corner
        found = []
        if self.closed or here > 0:
            found.append((corners[here - 1], corners[here]))
        if self.closed or here < count - 1:
            found.append((corners[here], corners[(here + 1) % count]))
        return found

    def set_typed(self, text: str) -> str:
        """Take a typed position, or bearing and distance from the corner's old place."""
        writing = Writing(self.desk)
        writing.text = text
        typed = writing.point(self.origin)
        if typed is None or typed.at is None:
            return typed.wrong if typed is not None else ""
        self._go(typed.at)
        return ""

    def make(self, site: Site) -> Edit:
        """Return the edit as it stands."""
        if self.closed and crosses_itself(self._shape()):
            raise UsageError("the lines of the outline would cross", remedy="move the corner elsewhere")
        edit = move_corner(site, self.thing_id, self.corner, plane_point(*self.at))
        name = spoken(site, (self.thing_id,))
        label = f"Move corner of {name} by {length(site, distance_of(self.origin, self.at))}"
        return edit._replace(label=label, relabel=None)


class InsertDrag(CornerDrag):
    """Puts a new corner into an edge and moves it."""

    def __init__(self, desk: Desk, plan: Plan, thing_id: str, before: int, start: Point) -> None:
        super().__init__(desk, plan, thing_id, before - 1, start)
        old = self.corners
        a, b = old[before - 1], old[before % len(old)]
        self.origin = self.at = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        self.corners = (*old[:before], self.origin, *old[before:])
        self.corner = before

    def make(self, site: Site) -> Edit:
        """Return the edit as it stands."""
        if self.closed and crosses_itself(self._shape()):
            raise UsageError("the lines of the outline would cross", remedy="put the corner elsewhere")
        edit = insert_corner(site, self.thing_id, self.corner, plane_point(*self.at))
        return edit._replace(label=f"Add corner to {spoken(site, (self.thing_id,))}")


class EdgeDrag(Drag):
    """Moves an edge in parallel; its neighbours keep their directions."""

    def __init__(self, desk: Desk, plan: Plan, thing_id: str, edge: int, start: Point) -> None:
        super().__init__(desk, plan, (thing_id,), start)
        self.thing_id, self.edge = thing_id, edge
        self.corners = outline_of(desk.placed, thing_id)
        a, b = self.ends
        edge_m = distance_of(a, b) or 1.0
        side = 1.0 if counter_clockwise(self.corners) else -1.0
        self.outward = side * (b[1] - a[1]) / edge_m, side * (a[0] - b[0]) / edge_m
        self.offset_m = 0.0

    @property
    def ends(self) -> tuple[Point, Point]:
        """Both ends of the edge before it is moved."""
        return self.corners[self.edge], self.corners[(self.edge + 1) % len(self.corners)]

    def aim(self, pointer: Pointer) -> None:
        """Follow the pointer square to the edge; whole steps are liked, and what it catches."""
        caught = self.catcher.catch(pointer.at, grid=False, off=pointer.alt)
        at = caught.at if caught.id else pointer.at
        offset_m = self._out(at)
        if not caught.id and not pointer.alt:
            step_m = round_step_m(self.plan.px_per_m, feet=reads_feet(self.desk.site))
            whole_m = round(offset_m / step_m) * step_m
            offset_m = whole_m if abs(whole_m - offset_m) * self.plan.px_per_m <= _ROUND_PX else offset_m
        self._go(offset_m)
        if caught.id:
            self.marks = (*self.marks, *caught.shapes)

    def _out(self, at: Point) -> float:
        return (at[0] - self.start[0]) * self.outward[0] + (at[1] - self.start[1]) * self.outward[1]

    def _go(self, offset_m: float) -> None:
        self.offset_m = round(offset_m, 6)
        site = self.desk.site
        (ax, ay), (bx, by) = self.ends
        middle = ((ax + bx) / 2.0, (ay + by) / 2.0)
        there = (middle[0] + self.outward[0] * self.offset_m, middle[1] + self.outward[1] * self.offset_m)
        words = f"{length(site, abs(self.offset_m))} {'out' if self.offset_m >= 0.0 else 'in'}"
        self.marks = (*line(middle, there, Role.TRAIL), *along(middle, there, length(site, abs(self.offset_m))))
        self.words = words

    def set_typed(self, text: str) -> str:
        """Take a typed offset, outwards positive."""
        value = number_of(text)
        if value is None:
            return "a length is needed, outwards positive"
        self._go(value)
        return ""

    def make(self, site: Site) -> Edit:
        """Return the edit as it stands."""
        return move_edge(site, self.thing_id, self.edge, self.offset_m)
