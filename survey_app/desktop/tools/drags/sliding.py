"""Dragging doors and windows along their walls, or into another wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from survey_app.desktop.tools.drags.drag import Drag
from survey_app.desktop.tools.indoors import WallUnder, wall_at
from survey_app.desktop.tools.openings import REACH_PX, along_words, held_along, opening_marks
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.where import outline_of
from survey_app.desktop.tools.writing import number_of
from survey_app.drawing.shapes import Point
from survey_app.ground.along_run import nearest_along
from survey_app.site.edits import Edit, move_opening
from survey_app.site.site import Site
from survey_app.site.surroundings import Opening

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["OpeningDrag"]


class OpeningDrag(Drag):
    """Slides an opening; over another inner wall it goes into that."""

    def __init__(self, desk: Desk, plan: Plan, opening: Opening, start: Point) -> None:
        super().__init__(desk, plan, (opening.id,), start)
        self.opening = opening
        run = outline_of(desk.placed, opening.wall)
        wall = desk.things[opening.wall]
        self.place = WallUnder(opening.wall, getattr(wall, "structure", ""), 0, run, opening.along_m)
        self.own = self.place
        self.along_m = opening.along_m

    def aim(self, pointer: Pointer) -> None:
        """Follow the pointer along the wall that is under it, else along the own one."""
        found = wall_at(self.desk, pointer.at, REACH_PX / self.plan.px_per_m)
        if found is None or found.wall is None:
            found = self._own_near(pointer.at)
        self._go(found, held_along(self.desk, self.plan, found, self.opening.width_m, free=pointer.alt))

    def _own_near(self, at: Point) -> WallUnder:
        return self.own._replace(along_m=nearest_along(np.array(self.own.run), *at).along_m)

    def _go(self, place: WallUnder, along_m: float) -> None:
        self.place, self.along_m = place, along_m
        width_m = self.opening.width_m
        self.marks = opening_marks(self.desk.site, place, along_m, width_m)
        self.words = f"{self.desk.things[place.wall or ''].title}: " + along_words(
            self.desk.site, place, along_m, width_m
        )

    def set_typed(self, text: str) -> str:
        """Take a typed distance of its middle from the beginning of the wall."""
        value = number_of(text)
        if value is None or value < 0.0:
            return "the distance of its middle from the beginning of the wall is needed, in metres"
        self._go(self.own._replace(along_m=value), value)
        return ""

    def make(self, site: Site) -> Edit:
        """Return the edit as it stands."""
        return move_opening(site, self.opening.id, self.along_m, self.place.wall)
