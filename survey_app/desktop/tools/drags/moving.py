"""Dragging things over the plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from survey_app.desktop.tools.drags.drag import Drag
from survey_app.desktop.tools.figures import leg
from survey_app.desktop.tools.strokes import along, is_long, line
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.where import outline_of, point_of, shift_by
from survey_app.desktop.tools.writing import Writing
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point
from survey_app.ground.straight import distance_of
from survey_app.site.edits import Edit, move
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace, PolePlace
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Site
from survey_app.site.thing import Thing

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["MoveDrag", "movable", "moved"]

_CORNER_PX = 14.0


def movable(things: dict[str, Thing], ids: tuple[str, ...]) -> tuple[str, ...]:
    """Return those of the things that move by metres of the plane; the rest hang on others and follow those."""

    def moves(thing: Thing | None) -> bool:
        if thing is None or isinstance(thing, Radio | Hop):
            return False
        if isinstance(thing, Mount):
            return not isinstance(thing.place, EdgePlace | PolePlace) and thing.structure not in ids
        if getattr(thing, "mount", None) is not None:
            return False
        if getattr(thing, "structure", None) in ids:
            return False
        return any(getattr(thing, name, None) for name in ("position", "outline", "route"))

    return tuple(one for one in ids if moves(things.get(one)))


def moved(site: Site, ids: tuple[str, ...], dx_m: float, dy_m: float) -> Edit:
    """Return the move of things by metres of the plane, also of those whose position is in degrees."""
    return move(site, ids, shift_by(site, dx_m, dy_m))


class MoveDrag(Drag):
    """Moves things, and what stands on them, by the way from press to pointer."""

    def __init__(self, desk: Desk, plan: Plan, ids: tuple[str, ...], start: Point, grabbed: str) -> None:
        super().__init__(desk, plan, ids, start)
        self.ids = movable(dict(desk.things), ids)
        self.origin = self._origin(grabbed)
        self.at = self.origin

    def _origin(self, grabbed: str) -> Point:
        """Return the point of the grabbed thing that catches others: its own point, or its nearest corner."""
        placed, thing = self.desk.placed, self.desk.things.get(grabbed)
        corners = outline_of(placed, grabbed)
        if corners:
            nearest = min(corners, key=lambda corner: distance_of(corner, self.start))
            near = distance_of(nearest, self.start) * self.plan.px_per_m <= _CORNER_PX
            return nearest if near else self.start
        return point_of(placed, thing, dict(self.desk.things)) or self.start

    def aim(self, pointer: Pointer) -> None:
        """Move to the pointer, or to what it catches; Shift keeps to a direction."""
        wanted = (
            self.origin[0] + pointer.x_m - self.start[0],
            self.origin[1] + pointer.y_m - self.start[1],
        )
        caught = self.catcher.catch(wanted, anchor=self.origin, lock=pointer.shift, off=pointer.alt)
        self._go(caught.at, caught.words)
        self.marks = (*self.marks, *caught.shapes)

    def _go(self, at: Point, what: str = "") -> None:
        self.at = at
        site = self.desk.site
        words = leg(site, self.origin, at)
        # a short trail has no room for them, and they stand beside the pointer too
        told = along(self.origin, at, words) if is_long(self.origin, at, self.plan.px_per_m, 120.0) else ()
        self.marks = (*line(self.origin, at, Role.TRAIL), *told)
        self.words = f"{words}, {what}" if what else words

    def set_typed(self, text: str) -> str:
        """Take a typed bearing and distance from the old place, or a position."""
        writing = Writing(self.desk)
        writing.text = text
        typed = writing.point(self.origin)
        if typed is None:
            return ""
        if typed.at is None:
            return typed.wrong
        self._go(typed.at)
        return ""

    @property
    def shift_m(self) -> Point:
        """How far it goes, right and up. [m]"""
        return round(self.at[0] - self.origin[0], 6), round(self.at[1] - self.origin[1], 6)

    def make(self, site: Site) -> Edit:
        """Return the move as it stands."""
        return moved(site, self.ids, *self.shift_m)
