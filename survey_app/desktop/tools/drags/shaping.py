"""Dragging corners and edges of outlines and routes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.drags.drag import Drag
from survey_app.desktop.tools.figures import distance_of, leg, length
from survey_app.desktop.tools.outline import crosses_itself, edge_words, outline_words, squared
from survey_app.desktop.tools.spoken import spoken
from survey_app.desktop.tools.steps import Make, in_one_step, plane_point
from survey_app.desktop.tools.strokes import along, line
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.where import outline_of, shift_by
from survey_app.desktop.tools.writing import Writing
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point, Shape
from survey_app.errors import UsageError
from survey_app.site.edits import Edit, insert_corner, move_corner
from survey_app.site.edits.sharing import find
from survey_app.site.place import Position
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["CornerDrag", "EdgeDrag", "InsertDrag"]


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
        return edit._replace(label=f"Move corner of {name} by {length(site, distance_of(self.origin, self.at))}")


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
    """Moves an edge in parallel."""

    def __init__(self, desk: Desk, plan: Plan, thing_id: str, edge: int, start: Point) -> None:
        super().__init__(desk, plan, (thing_id,), start)
        self.thing_id, self.edge = thing_id, edge
        self.corners = outline_of(desk.placed, thing_id)
        a, b = self.corners[edge], self.corners[(edge + 1) % len(self.corners)]
        edge_m = distance_of(a, b) or 1.0
        self.normal = (b[1] - a[1]) / edge_m, -(b[0] - a[0]) / edge_m
        self.offset_m = 0.0

    def aim(self, pointer: Pointer) -> None:
        """Follow the pointer square to the edge."""
        caught = self.catcher.catch(pointer.at, off=pointer.alt)
        dx, dy = caught.at[0] - self.start[0], caught.at[1] - self.start[1]
        self._go(dx * self.normal[0] + dy * self.normal[1])
        self.marks = (*self.marks, *caught.shapes)

    def _go(self, offset_m: float) -> None:
        self.offset_m = round(offset_m, 6)
        site = self.desk.site
        a, b = self.corners[self.edge], self.corners[(self.edge + 1) % len(self.corners)]
        middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        there = (middle[0] + self.normal[0] * self.offset_m, middle[1] + self.normal[1] * self.offset_m)
        words = leg(site, middle, there)
        self.marks = (*line(middle, there, Role.TRAIL), *along(middle, there, words))
        self.words = ", ".join(part for part in (words, outline_words(site, self._shape())) if part)

    def _shape(self) -> tuple[Point, ...]:
        moved = list(self.corners)
        for number in (self.edge, (self.edge + 1) % len(moved)):
            x, y = moved[number]
            moved[number] = (x + self.normal[0] * self.offset_m, y + self.normal[1] * self.offset_m)
        return tuple(moved)

    def set_typed(self, text: str) -> str:
        """Take a typed offset, or bearing and distance of which the part square to the edge counts."""
        writing = Writing(self.desk)
        writing.text = text
        typed = writing.point(self.start)
        if typed is None or typed.at is None:
            return typed.wrong if typed is not None else ""
        dx, dy = typed.at[0] - self.start[0], typed.at[1] - self.start[1]
        self._go(dx * self.normal[0] + dy * self.normal[1])
        return ""

    def make(self, site: Site) -> Edit:
        """Return the edit as it stands."""
        if crosses_itself(self._shape()):
            raise UsageError("the lines of the outline would cross", remedy="move the edge less far")
        count = len(self.corners)
        shift = shift_by(site, self.normal[0] * self.offset_m, self.normal[1] * self.offset_m)
        name = "outline" if hasattr(find(site, self.thing_id).thing, "outline") else "route"

        def step(corner: int) -> Make:
            def make(now: Site) -> Edit:
                old: Position = getattr(find(now, self.thing_id).thing, name)[corner]
                return move_corner(now, self.thing_id, corner, shift(old))

            return make

        label = f"Move edge of {spoken(site, (self.thing_id,))} by {length(site, abs(self.offset_m))}"
        return in_one_step(label, [step(self.edge), step((self.edge + 1) % count)])(site)
