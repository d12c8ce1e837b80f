"""Areas in which a movable camera must be served: drawn inside a building, for the station that moves about there."""

from __future__ import annotations

from typing import Any

import numpy as np

from survey_app.desktop.tools.areas import OutlineTool
from survey_app.desktop.tools.where import outline_of, point_of
from survey_app.drawing.plat.areas import inside, middle_of
from survey_app.drawing.shapes import Point
from survey_app.errors import UsageError
from survey_app.site.structure import Building
from survey_app.site.surroundings import ServedArea

__all__ = ["ServedAreaTool"]


class ServedAreaTool(OutlineTool):
    """Draws areas in which a movable camera must be served, in the building that they lie in."""

    name = "served area"
    hint = "Press round the floor on which the camera moves; Enter closes."
    record = ServedArea
    prefix, word = "SA", "Served area"

    def fields_of(self, corners: tuple[Point, ...]) -> dict[str, Any]:
        """Return the building that it lies in, and the station that is drawn in it where there is just one.

        Raises
        ------
        UsageError
            It lies in no building.
        """
        ring = np.array(corners, dtype=np.float64)
        building = self._building_at(middle_of(ring))
        if building is None:
            raise UsageError("the area lies in no building", remedy="draw it inside one")
        things = dict(self.desk.things)
        here = [
            radio.id
            for radio in self.site.design.radios
            if radio.role == "station"
            and (at := point_of(self.desk.placed, radio, things)) is not None
            and inside(ring, *at)
        ]
        return {"structure": building, "station": here[0] if len(here) == 1 else None}

    def _building_at(self, at: Point) -> str | None:
        """Return the building round a point."""
        for structure in self.site.design.structures:
            if isinstance(structure, Building):
                outline = outline_of(self.desk.placed, structure.id)
                if outline and inside(np.array(outline, dtype=np.float64), *at):
                    return structure.id
        return None
