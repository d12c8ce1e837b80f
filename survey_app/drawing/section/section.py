"""A section on a sheet of any size."""

from __future__ import annotations

from dataclasses import dataclass

from survey_app.drawing.section.axes import draw_axes, draw_head, draw_small_head
from survey_app.drawing.section.band import draw_band
from survey_app.drawing.section.callout import draw_beside, draw_callout, draw_dimension
from survey_app.drawing.section.frame import SectionFrame
from survey_app.drawing.section.obstacles import draw_obstacle_words, draw_obstacles
from survey_app.drawing.section.path import draw_ends, draw_ground, draw_path, draw_path_words
from survey_app.drawing.section.scene import SectionScene
from survey_app.drawing.shapes import Drawing

__all__ = ["SectionSheet", "section_sheet", "small_section"]


@dataclass(frozen=True)
class SectionSheet:
    """A drawn section, and the frame that says where its spots lie.

    Attributes
    ----------
    drawing : Drawing
        In millimetres of paper, one millimetre to the "metre".
    frame : SectionFrame
        Turns distances and heights into places on the sheet and back.
    """

    drawing: Drawing
    frame: SectionFrame


def section_sheet(scene: SectionScene, width_mm: float, height_mm: float) -> SectionSheet:
    """Draw a section.

    Parameters
    ----------
    scene : SectionScene
        What is shown.
    width_mm, height_mm : float
        Size of the sheet; from a height of 88 mm the band of figures stands under the plot. [mm]
    """
    frame = SectionFrame(scene, width_mm, height_mm)
    draw_axes(frame)
    draw_ground(frame)
    draw_obstacles(frame)
    draw_path(frame)
    draw_ends(frame)
    draw_callout(frame)
    draw_obstacle_words(frame)
    draw_beside(frame)
    draw_path_words(frame)
    draw_band(frame)
    draw_head(frame)
    return SectionSheet(Drawing((*frame.low, *frame.high), (0.0, 0.0, width_mm, height_mm), 1.0), frame)


def small_section(scene: SectionScene, width_mm: float, height_mm: float) -> Drawing:
    """Draw a section as a picture on another sheet: no box of words stands in it.

    Parameters
    ----------
    scene : SectionScene
        What is shown.
    width_mm, height_mm : float
        Size of the picture; its head and its distances take 10 mm of the height. [mm]
    """
    frame = SectionFrame(scene, width_mm, height_mm, small=True)
    draw_small_head(frame)
    draw_axes(frame)
    draw_ground(frame)
    draw_obstacles(frame)
    draw_path(frame)
    draw_ends(frame)
    if scene.clearance is not None:
        draw_dimension(frame, scene.clearance)
    draw_obstacle_words(frame)
    draw_beside(frame)
    return Drawing((*frame.low, *frame.high), (0.0, 0.0, width_mm, height_mm), 1.0)
