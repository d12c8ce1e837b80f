"""What the pointer catches while something is drawn: one engine ranks all that could be meant."""

from survey_app.drawing.snap.engine import snap
from survey_app.drawing.snap.field import SnapField, field_of
from survey_app.drawing.snap.rectangle import rectangle, turned_rectangle
from survey_app.drawing.snap.result import Kind, Snap

__all__ = ["Kind", "Snap", "SnapField", "field_of", "rectangle", "snap", "turned_rectangle"]
