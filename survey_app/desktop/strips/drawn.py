"""A finished drawing on a widget: the plan's own painter, with the sheet's corner at the widget's."""

from __future__ import annotations

from functools import lru_cache

from PySide6.QtGui import QPainter

from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.painter import Brushes, ShapePainter
from survey_app.desktop.palette import Palette
from survey_app.drawing.shapes import Drawing

__all__ = ["paint_drawing"]


@lru_cache(maxsize=2)
def _brushes(inks: Palette) -> Brushes:
    # one for day and one for night: pens and letters outlive a paint event
    return Brushes(inks)


def paint_drawing(painter: QPainter, drawing: Drawing, inks: Palette, px_per_mm: float) -> None:
    """Paint a drawing into the upper left corner of what a painter works on.

    Parameters
    ----------
    painter : QPainter
        Active, without a transform of its own.
    drawing : Drawing
        Its window begins at (0, 0), one millimetre to the "metre".
    inks : Palette
        Day or night.
    px_per_mm : float
        Device-independent pixels for a millimetre. [px/mm]
    """
    width_mm, height_mm = drawing.width_mm, drawing.height_mm
    frame = Frame(
        x_m=width_mm / 2.0,
        y_m=height_mm / 2.0,
        px_per_m=px_per_mm,
        width_px=width_mm * px_per_mm,
        height_px=height_mm * px_per_mm,
        px_per_mm=px_per_mm,
    )
    painter.save()
    ShapePainter(painter, _brushes(inks)).paint(drawing.shapes, frame)
    painter.restore()
