"""The plan clip of a mounting sheet: the radio, its far ends, what stands round them, the aim and the turn to it."""

from __future__ import annotations

from survey_app.drawing.plan_furniture import draw_flags, draw_furniture
from survey_app.drawing.plan_ground import draw_ground, draw_names
from survey_app.drawing.plan_radio import draw_radio
from survey_app.drawing.plan_scene import PlanScene
from survey_app.drawing.plan_view import PlanView
from survey_app.drawing.shapes import Drawing

__all__ = ["plan_clip"]


def plan_clip(scene: PlanScene, width_mm: float, height_mm: float) -> tuple[Drawing, int]:
    """Return the clip and its scale.

    Parameters
    ----------
    scene : PlanScene
        What is shown.
    width_mm, height_mm : float
        Size on paper. [mm]

    Returns
    -------
    Drawing
        Shapes low to high, with every label that found room.
    int
        n of the scale 1 : n.
    """
    view = PlanView(scene, width_mm, height_mm)
    draw_ground(view)
    draw_radio(view)
    draw_furniture(view)
    draw_flags(view)
    draw_names(view)
    return Drawing((*view.low, *view.high), view.window_m, view.scale), view.n
