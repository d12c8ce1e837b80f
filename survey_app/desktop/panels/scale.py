"""The interface scale as a widget has it: what is painted by hand grows with the letters of the style sheet."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from survey_app.desktop.letters import NAME_PX

__all__ = ["px_of", "scale_of"]


def scale_of(widget: QWidget) -> float:
    """Return the interface scale of a widget, 1 to 2, by the size of its letters."""
    # without a style sheet letters have the system's size, in points: that says nothing of the scale
    size = widget.font().pixelSize()
    return max(1.0, size / NAME_PX) if size > 0 else 1.0


def px_of(widget: QWidget, length_px: float) -> int:
    """Return a length of the drawing at scale 1 in whole pixels of a widget."""
    return round(length_px * scale_of(widget))
