"""The path of a hop from the side, and the route of a camera, as shapes on paper."""

from survey_app.drawing.section.route import RouteScene, route_drawing, route_scene
from survey_app.drawing.section.scene import SectionScene, section_scene
from survey_app.drawing.section.section import SectionSheet, section_sheet, small_section

__all__ = [
    "RouteScene",
    "SectionScene",
    "SectionSheet",
    "route_drawing",
    "route_scene",
    "section_scene",
    "section_sheet",
    "small_section",
]
