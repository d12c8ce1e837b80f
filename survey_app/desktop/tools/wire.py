"""Wires: from thing to thing, with corners between that make their route; a board feeds a box directly."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal

from survey_app.desktop.tools.catching import Caught
from survey_app.desktop.tools.choice import choice_of
from survey_app.desktop.tools.figures import leg, length
from survey_app.desktop.tools.lines import run_m
from survey_app.desktop.tools.named_things import called
from survey_app.desktop.tools.outline import in_progress
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.steps import Make, copies, in_one_step, made, plane_point
from survey_app.desktop.tools.strokes import grip, ring
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.where import point_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Point, Shape
from survey_app.site.edits import Edit, add, change
from survey_app.site.gear_type import DeviceType
from survey_app.site.network import Camera, Device, HeadEnd, Supply, Wire, WireEnd
from survey_app.site.radio import Radio
from survey_app.site.site import Site
from survey_app.site.structure import Building
from survey_app.site.thing import Thing

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["WireTool", "why_not_wired"]

_ENDS = ("radios", "cameras", "devices", "supplies")


def why_not_wired(site: Site, one: Thing, other: Thing) -> str:
    """Return why there can be no wire between two things; empty where there can."""
    if one.id == other.id:
        return "a wire needs two things"
    for wire in site.design.wires:
        if {wire.a.thing, wire.b.thing} == {one.id, other.id}:
            return f"{wire.id} joins them already"
    mains = next((end for end in (one, other) if _is_mains(end)), None)
    if mains is None:
        return ""
    fed = other if mains is one else one
    if not isinstance(fed, Device):
        return f"{mains.title} feeds boxes: press on a switch, an injector or a supply unit"
    return f"{mains.title} feeds {fed.title} already" if fed.fed_from == mains.id else ""


def _is_mains(thing: Thing) -> bool:
    return isinstance(thing, Supply) and thing.kind == "mains"


class WireTool(Placing):
    """Draws wires; each press between the ends is a corner of the route."""

    name = "wire"
    hint = "Press on one thing, along the route, and on the other thing."
    locks_angles = True

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self.choice = choice_of(desk)
        self._from: str | None = None

    def _under(self, at: Point) -> Thing | None:
        for hit in self.hits(at):
            if hit.kind in _ENDS:
                return self.desk.things.get(hit.id)
            if hit.kind == "head_ends":
                # the head end is drawn where its recorder stands, and it is the recorder that has the plug
                head_end = self.desk.things.get(hit.id)
                return self.desk.things.get(head_end.device) if isinstance(head_end, HeadEnd) else None
        return None

    def _point(self, thing: Thing | None) -> Point | None:
        return point_of(self.desk.placed, thing, dict(self.desk.things))

    def catch(self, pointer: Pointer) -> Caught:
        """Take a thing under the pointer as it is."""
        return Caught(pointer.at) if self._under(pointer.at) is not None else super().catch(pointer)

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why the wire cannot begin or end here."""
        start, under = self.desk.things.get(self._from or ""), self._under(at)
        if start is None:
            return "" if under is not None else "a wire begins on a radio, a camera, a box or a board"
        return why_not_wired(self.site, start, under) if under is not None and under.id != start.id else ""

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return the leg in hand, the whole route and what it ends on."""
        under = self._under(at)
        if not self.points:
            return f"from {under.title}" if under is not None else self.hint
        end = self._point(under) or at
        words = f"{leg(self.site, self.points[-1], end)}, {length(self.site, run_m((*self.points, end)))} in all"
        return f"{words}, to {under.title}" if under is not None else words

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the route so far."""
        under = self._under(at)
        end = self._point(under) or at
        marks = (ring(end),) if under is not None else ()
        if not self.points:
            return marks
        corners = (*self.points, end)
        shapes = in_progress(self.site, corners, self.plan.px_per_m, closed=False, role=Role.WIRE)
        return (*shapes, *(grip(one) for one in self.points[1:]), *marks)

    def take(self, at: Point, pointer: Pointer) -> None:
        """Take the first thing, a corner, or the last thing."""
        under = self._under(at)
        if self._from is None and under is not None:
            self._from, self.points = under.id, [self._point(under) or at]
        elif under is not None and under.id != self._from:
            self._wire(under)
        elif under is None and at != self.points[-1]:
            self.points.append(at)

    def release(self, pointer: Pointer) -> None:
        """A drag straight to another thing ends there."""
        under = self._under(pointer.at)
        if self._from is not None and len(self.points) == 1 and under is not None and under.id != self._from:
            self.give(pointer.at, pointer)

    def enough(self) -> None:
        """A wire ends on a thing; Enter alone ends nothing."""
        self.desk.say("The wire ends on a thing: press on one, or leave with Esc.")

    def _wire(self, other: Thing) -> None:
        one = self.desk.things[self._from or ""]
        corners = tuple(self.points[1:])
        self._from = None
        fed = other if _is_mains(one) else one
        if self.commit(self._make(one, other, corners)) and (_is_mains(one) or _is_mains(other)):
            # nothing is drawn between a board and its box: the box shows what feeds it, and it is said
            self.desk.select([fed.id])
            board = one if fed is other else other
            self.desk.say(f"{board.title} feeds {fed.title}.")

    def _make(self, one: Thing, other: Thing, corners: tuple[Point, ...]) -> Make:
        if _is_mains(one) or _is_mains(other):
            board, fed = (one, other) if _is_mains(one) else (other, one)
            return lambda site: change(site, fed.id, fed_from=board.id)._replace(
                label=f"Feed {fed.title} from {board.title}"
            )

        def make(site: Site) -> Edit:
            new_id, _ = called(site, "W")
            medium: Literal["dc", "copper"] = "dc" if isinstance(one, Supply) or isinstance(other, Supply) else "copper"
            gear = self.choice.gear(site, "cable") if medium == "copper" else None
            fields: dict[str, Any] = {"medium": medium, "gear": gear, "power": _power(site, one, other)}
            fields["route"] = tuple(plane_point(*corner) for corner in corners)
            fields["outdoors"] = not _same_building(self.desk, one, other)
            row = made(Wire, id=new_id, a=WireEnd(thing=one.id), b=WireEnd(thing=other.id), **fields)
            steps: list[Make] = [copies(self.choice.catalogue, [gear] if gear else []), lambda now: add(now, row)]
            return in_one_step(f"Wire {one.title} to {other.title}", steps)(site)

        return make

    def cancel(self) -> bool:
        """Forget the wire in hand."""
        self._from = None
        return super().cancel()

    def end(self) -> None:
        """Another tool is taken up."""
        self._from = None
        super().end()


def _power(site: Site, one: Thing, other: Thing) -> Literal["none", "a_to_b", "b_to_a"]:
    """Return which way a wire carries the supply: from a box that gives some to a radio or camera."""
    if isinstance(one, Supply) != isinstance(other, Supply):
        return "a_to_b" if isinstance(one, Supply) else "b_to_a"
    giving = {row.id for row in site.design.gear if isinstance(row, DeviceType) and row.power_outputs}
    if isinstance(one, Device) and one.gear in giving and isinstance(other, Radio | Camera):
        return "a_to_b"
    if isinstance(other, Device) and other.gear in giving and isinstance(one, Radio | Camera):
        return "b_to_a"
    return "none"


def _same_building(desk: Desk, one: Thing, other: Thing) -> bool:
    a, b = getattr(one, "structure", None), getattr(other, "structure", None)
    return a is not None and a == b and isinstance(desk.things.get(a), Building)
