"""Plan, section and pattern as shapes with roles; no painter."""

from survey_app.drawing.plan import plan_clip
from survey_app.drawing.plan_scene import PlanScene
from survey_app.drawing.roles import PENS, Pen, Role
from survey_app.drawing.shapes import Arc, Disc, Drawing, Path, Strokes, Symbol, Words

__all__ = [
    "PENS",
    "Arc",
    "Disc",
    "Drawing",
    "Path",
    "Pen",
    "PlanScene",
    "Role",
    "Strokes",
    "Symbol",
    "Words",
    "plan_clip",
]
