"""Doors, gates and windows on the plan: jambs, and a leaf that says how it usually stands."""

from __future__ import annotations

import numpy as np

from survey_app.drawing.plat.areas import Area
from survey_app.drawing.plat.lines import Level, Stack, piece
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import PlatView
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc
from survey_app.ground.straight import bearing_of
from survey_app.site.surroundings import Opening

__all__ = ["draw_opening"]

_JAMB_MM = 0.8
"""Half the length of a jamb."""
_PANE_MM = 0.35
"""Half the distance of the two lines of a window."""
_RAIL_MM = 0.7
"""How far off its wall a leaf that slides is drawn."""
_SWINGS_M = 1.3
"""A leaf that is wider slides or rolls."""


def draw_opening(stack: Stack, _scene: PlatScene, view: PlatView, area: Area) -> None:
    """Draw an opening in the gap of its wall.

    A window has two lines. A door is a line across where it stands closed, a leaf at a right angle where it stands
    open, and a leaf with the bow of its swing where it is now open and now closed; a wide one slides beside its wall.
    """
    opening = area.record
    if view.tier >= 3 or not isinstance(opening, Opening):
        return
    a, b = area.ring[0], area.ring[-1]
    width_m = float(np.hypot(*(b - a)))
    if width_m <= 0.0:
        return
    along = (b - a) / width_m
    square = np.array((-along[1], along[0]))
    jamb, rail, pane = (mm / view.mm_per_m * square for mm in (_JAMB_MM, _RAIL_MM, _PANE_MM))
    for end in (a, b):
        stack.line(Level.ROOMS, Role.FINE, piece(np.array((end - jamb, end + jamb))))
    if opening.sill_height_m > 0.0:
        for side in (pane, -pane):
            stack.line(Level.ROOMS, Role.THIN, piece(area.ring + side))
    elif opening.state == "closed":
        stack.line(Level.ROOMS, Role.THIN, piece(area.ring))
    elif width_m > _SWINGS_M:
        shift = width_m * (0.5 if opening.state == "changes" else 1.0)
        stack.line(Level.ROOMS, Role.FINE, piece(np.array((a, b)) + rail - along * shift))
    else:
        stack.line(Level.ROOMS, Role.FINE, piece(np.array((a, a + square * width_m))))
        if opening.state == "changes":
            start_deg = bearing_of((0.0, 0.0), (float(square[0]), float(square[1])))
            centre = float(a[0]), float(a[1])
            stack.add(Level.ROOMS, Arc(Role.THIN, centre, width_m, start_deg, 90.0))
