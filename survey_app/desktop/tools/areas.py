"""Everything drawn by its outline: buildings, trees, obstacles, traffic areas, water, zones."""

from __future__ import annotations

from typing import Any, ClassVar

from survey_app.desktop.tools.catching import Caught, round_step_m
from survey_app.desktop.tools.figures import leg, length, reads_feet
from survey_app.desktop.tools.named_things import called
from survey_app.desktop.tools.outline import (
    area_m2,
    crosses_itself,
    in_progress,
    outline_words,
    rectangle,
    squared,
)
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.steps import made, plane_point
from survey_app.desktop.tools.strokes import grip
from survey_app.desktop.tools.tool import Pointer
from survey_app.drawing.shapes import Point, Shape
from survey_app.drawing.snap.rectangle import depth_of
from survey_app.errors import UsageError
from survey_app.ground.straight import distance_of
from survey_app.site.edits import Edit, add
from survey_app.site.site import Site
from survey_app.site.structure import Building, Obstacle, TrafficArea, TreeStand
from survey_app.site.surroundings import Water, Zone
from survey_app.site.thing import Thing

__all__ = [
    "BuildingTool",
    "ObstacleTool",
    "OutlineTool",
    "RectangleTool",
    "TrafficTool",
    "TreesTool",
    "WaterTool",
    "ZoneTool",
]

_CLOSE_PX = 9.0
_LEAST_M2 = 0.05
_ROUND_PX = 4.0


class OutlineTool(Placing):
    """Draws one kind of thing by the corners of its outline."""

    record: type[Thing] = Building
    prefix = "B"
    word = "Building"
    extra: ClassVar[dict[str, Any]] = {}
    """Fields that a new one gets besides its outline."""

    def catch(self, pointer: Pointer) -> Caught:
        """Look for what lies on the right angle while Shift holds it, else round the pointer."""
        if not (pointer.shift and self.points):
            return super().catch(pointer)
        at = self._square(pointer.at)
        return super().catch(pointer._replace(x_m=at[0], y_m=at[1]))

    def _square(self, at: Point) -> Point:
        return squared(self.points[-2] if len(self.points) > 1 else None, self.points[-1], at)

    def hold(self, at: Point, pointer: Pointer) -> Point:
        """Hold right angles while Shift is down; near the first corner the outline closes."""
        if self._closes(pointer):
            return self.points[0]
        return self._square(at) if pointer.shift and self.points else at

    def _closes(self, pointer: Pointer) -> bool:
        near_m = _CLOSE_PX / self.plan.px_per_m
        return len(self.points) > 2 and distance_of(pointer.at, self.points[0]) <= near_m

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the outline so far with the length of each edge, and its corners."""
        corners = self._corners(at)
        return (*in_progress(self.site, corners, self.plan.px_per_m), *(grip(one) for one in self.points))

    def _corners(self, at: Point) -> tuple[Point, ...]:
        return (*self.points, at) if not self.points or at != self.points[-1] else tuple(self.points)

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return the edge in hand and the area."""
        if not self.points:
            return self.hint
        if at == self.points[0] and len(self.points) > 2:
            return f"closes, {outline_words(self.site, tuple(self.points))}"
        parts = [leg(self.site, self.points[-1], at), outline_words(self.site, self._corners(at))]
        return ", ".join(part for part in parts if part)

    def take(self, at: Point, pointer: Pointer) -> None:
        """Add a corner, or close at the first one."""
        if self.points and at == self.points[0] and len(self.points) > 2:
            self.enough()
        elif not self.points or at != self.points[-1]:
            self.points.append(at)

    def enough(self) -> None:
        """Make the thing of the corners that were given."""
        corners = tuple(dict.fromkeys(self.points))
        if len(corners) < 3:
            raise UsageError("an outline needs three corners", remedy="give another one, or leave with Esc")
        self.make_of(corners)

    def fields_of(self, corners: tuple[Point, ...]) -> dict[str, Any]:
        """Return the fields that a new one gets besides its outline."""
        return self.extra

    def make_of(self, corners: tuple[Point, ...]) -> None:
        """Add the thing with these corners.

        Raises
        ------
        UsageError
            Its lines cross, or it encloses nothing.
        """
        if crosses_itself(corners):
            raise UsageError("the lines of the outline cross", remedy="take the last corner back with Backspace")
        if area_m2(corners) < _LEAST_M2:
            raise UsageError("the outline encloses nothing", remedy="give a corner off the line")

        more = self.fields_of(corners)

        def make(site: Site) -> Edit:
            new_id, name = called(site, self.prefix, self.word)
            outline = tuple(plane_point(*corner) for corner in corners)
            thing = made(self.record, id=new_id, name=name, outline=outline, **more)
            return add(site, thing)._replace(label=f"Add {name}")

        self.commit(make)


class BuildingTool(OutlineTool):
    """Draws buildings corner by corner."""

    name = "building"
    hint = "Press each corner; Shift holds right angles; Enter on the last one closes."
    extra: ClassVar[dict[str, Any]] = {"kind": "building", "status": "existing"}


class RectangleTool(OutlineTool):
    """Draws a building by one edge and its depth."""

    name = "rectangle"
    hint = "Press both ends of one wall, then how deep the building is."
    extra: ClassVar[dict[str, Any]] = {"kind": "building", "status": "existing"}

    def hold(self, at: Point, pointer: Pointer) -> Point:
        """Hold the first wall to the plan's axes while Shift is down; the depth likes whole metres."""
        if len(self.points) == 2:
            return self._round_depth(at, pointer)
        return squared(None, self.points[0], at) if pointer.shift and self.points else at

    def catch(self, pointer: Pointer) -> Caught:
        """Catch directions along the first wall only: the depth is square to it whatever the way."""
        if len(self.points) < 2:
            return super().catch(pointer)
        caught = self.catcher.catch(pointer.at, own=self.points, grid=False, off=pointer.alt)
        return caught if caught.id else caught._replace(at=self.hold(pointer.at, pointer), words="", shapes=())

    def _round_depth(self, at: Point, pointer: Pointer) -> Point:
        a, b = self.points
        step_m = round_step_m(self.plan.px_per_m, feet=reads_feet(self.site))
        deep_m = depth_of(a, b, at)
        change_m = round(deep_m / step_m) * step_m - deep_m
        if pointer.alt or abs(change_m) * self.plan.px_per_m > _ROUND_PX:
            return at
        edge_m = distance_of(a, b)
        return at[0] - (b[1] - a[1]) / edge_m * change_m, at[1] + (b[0] - a[0]) / edge_m * change_m

    def _corners(self, at: Point) -> tuple[Point, ...]:
        if len(self.points) < 2:
            return (*self.points, at)
        return rectangle(self.points[0], self.points[1], at)

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return the wall in hand, then depth and area."""
        if len(self.points) < 2:
            return super().words(at, pointer)
        corners = self._corners(at)
        depth = length(self.site, distance_of(corners[1], corners[2]))
        return f"{depth} deep, {outline_words(self.site, corners)}"

    def take(self, at: Point, pointer: Pointer) -> None:
        """Take the ends of the wall, then the depth."""
        if len(self.points) < 2:
            super().take(at, pointer)
        else:
            self.make_of(self._corners(at))

    def enough(self) -> None:
        """A rectangle is whole with its depth."""
        raise UsageError("its depth is not known yet", remedy="press on its far side, or type the depth")

    def towards(self, at: Point) -> Point:
        """A bare length is the depth: square to the wall, on the pointer's side."""
        return at if len(self.points) < 2 else self._corners(at)[2]


class TreesTool(OutlineTool):
    """Draws tree stands by the edge of their crowns."""

    name = "trees"
    hint = "Press round the crowns; Enter closes."
    record = TreeStand
    prefix, word = "T", "Trees"
    extra: ClassVar[dict[str, Any]] = {"kind": "tree_stand", "status": "existing"}


class ObstacleTool(OutlineTool):
    """Draws obstacles on the ground."""

    name = "obstacle"
    hint = "Press round the obstacle; Enter closes."
    record = Obstacle
    prefix, word = "O", "Obstacle"
    extra: ClassVar[dict[str, Any]] = {"kind": "obstacle", "status": "existing", "height_m": 4.0}


class TrafficTool(OutlineTool):
    """Draws lanes and yards where something tall passes."""

    name = "traffic area"
    hint = "Press round the lane or yard; Enter closes."
    record = TrafficArea
    prefix, word = "V", "Traffic area"
    extra: ClassVar[dict[str, Any]] = {"kind": "traffic_area", "status": "existing"}


class WaterTool(OutlineTool):
    """Draws water by its bank."""

    name = "water"
    hint = "Press along the bank; Enter closes."
    record = Water
    prefix, word = "WA", "Water"
    extra: ClassVar[dict[str, Any]] = {"status": "existing"}


class ZoneTool(OutlineTool):
    """Draws zones: first a boundary, what it means stands in its particulars."""

    name = "zone"
    hint = "Press round the zone; Enter closes."
    record = Zone
    prefix, word = "Z", "Zone"
    extra: ClassVar[dict[str, Any]] = {"purpose": "boundary"}
