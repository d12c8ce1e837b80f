"""Rooms by their inner outline, and the walls between them by their run."""

from __future__ import annotations

from typing import Any

from survey_app.desktop.tools.areas import OutlineTool, RectangleTool
from survey_app.desktop.tools.figures import length
from survey_app.desktop.tools.indoors import building_of, floor_in_hand, storey_m
from survey_app.desktop.tools.lines import RunTool
from survey_app.desktop.tools.named_things import called
from survey_app.desktop.tools.steps import made, plane_point
from survey_app.desktop.tools.tool import Pointer
from survey_app.drawing.shapes import Point
from survey_app.errors import UsageError
from survey_app.site.edits import Edit, add_wall
from survey_app.site.site import Site
from survey_app.site.structure import Building
from survey_app.site.surroundings import Room, Wall

__all__ = ["InnerWallTool", "RoomRectangleTool", "RoomTool"]

_NO_BUILDING = "nothing to be inside of here: draw it within one building"


class _Indoors(OutlineTool):
    """What rooms by corners and rooms by one wall and their depth share."""

    record = Room
    prefix, word = "RM", "Room"

    def building(self, corners: tuple[Point, ...]) -> Building:
        """Return the building round some corners.

        Raises
        ------
        UsageError
            There is none.
        """
        found = building_of(self.desk, corners)
        if found is None:
            raise UsageError(f"the {self.word.lower()} lies in no building", remedy="draw it within one")
        return found

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why no corner can be here."""
        return "" if building_of(self.desk, (*self.points, at)) is not None else _NO_BUILDING

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return the edge in hand, and the floor where it is not the ground floor."""
        return f"{super().words(at, pointer)}{_floor_words(self, at)}" if self.points else super().words(at, pointer)

    def fields_of(self, corners: tuple[Point, ...]) -> dict[str, Any]:
        """Return the building, the floor that was drawn on last, and the height of a storey."""
        building = self.building(corners)
        floor_m = floor_in_hand(self.site, building.id)
        last = next((room for room in reversed(self.site.design.rooms) if room.structure == building.id), None)
        return {
            "structure": building.id,
            "status": building.status,
            "floor_height_m": floor_m or 0.0,
            "ceiling_height_m": last.ceiling_height_m if last is not None else storey_m(building),
        }


class RoomTool(_Indoors):
    """Draws rooms corner by corner."""

    name = "room"
    hint = "Press each inner corner of the room; Shift holds right angles; Enter on the last one closes."


class RoomRectangleTool(_Indoors, RectangleTool):
    """Draws rooms by one inner side and their depth."""

    name = "room rectangle"
    hint = "Press both ends of one inner side, then how deep the room is."

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why the room cannot be this one."""
        corners = self._corners(at) if len(self.points) == 2 else (*self.points, at)
        return "" if building_of(self.desk, corners) is not None else _NO_BUILDING


class InnerWallTool(RunTool):
    """Draws the walls inside a building; a new one is made like the one before it."""

    name = "inner wall"
    hint = "Press along the middle of the wall; Shift holds its direction; Enter ends it."
    word = "wall"

    def reason(self, at: Point, pointer: Pointer) -> str:
        """Return why no point of a wall can be here."""
        return "" if building_of(self.desk, (*self.points, at)) is not None else _NO_BUILDING

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return the piece in hand, and the floor where it is not the ground floor."""
        return f"{super().words(at, pointer)}{_floor_words(self, at)}" if self.points else super().words(at, pointer)

    def made_of(self, site: Site, points: tuple[Point, ...]) -> Edit:
        """Return the new wall."""
        building = building_of(self.desk, points)
        if building is None:
            raise UsageError("the wall lies in no building", remedy="draw it within one")
        new_id, name = called(site, "IW", "Wall")
        like = site.design.walls[-1] if site.design.walls else None
        rooms = [room for room in site.design.rooms if room.structure == building.id]
        wall = made(
            Wall,
            id=new_id,
            name=name,
            status=building.status,
            structure=building.id,
            route=tuple(plane_point(*point) for point in points),
            material=like.material if like is not None else "unknown",
            thickness_mm=like.thickness_mm if like is not None else None,
            construction=like.construction if like is not None else None,
            # the rooms beside it say its floor; where there are none the storey that was drawn on last does
            floor_height_m=None if rooms else floor_in_hand(site, building.id),
            height_m=rooms[-1].ceiling_height_m if rooms else storey_m(building),
        )
        return add_wall(site, wall)._replace(label=f"Add {name}")


def _floor_words(tool: RunTool | OutlineTool, at: Point) -> str:
    building = building_of(tool.desk, (*tool.points, at))
    floor_m = None if building is None else floor_in_hand(tool.site, building.id)
    return f", floor {length(tool.site, floor_m)} up" if floor_m else ""
