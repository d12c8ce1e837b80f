"""Plan, section and pattern as shapes with roles; no painter."""

from survey_app.drawing.roles import PENS, Pen, Role
from survey_app.drawing.shapes import Arc, Disc, Drawing, Path, Strokes, Symbol, Words

__all__ = [
    "PENS",
    "Arc",
    "Disc",
    "Drawing",
    "Path",
    "Pen",
    "Role",
    "Strokes",
    "Symbol",
    "Words",
]
