"""Pens and brushes of the screen for the roles of a drawing."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QPen

from survey_app.desktop.palette import Palette
from survey_app.drawing.roles import PENS, Role

__all__ = ["Pens"]

_THINNEST_PX = 0.75


class Pens:
    """What each role is drawn with, at one size of the millimetre and in one palette; each pen is made once."""

    def __init__(self, palette: Palette, px_per_mm: float) -> None:
        self.palette = palette
        self.px_per_mm = px_per_mm
        self._lines: dict[Role, QPen | None] = {}
        self._segments: dict[Role, QPen] = {}
        self._dashes: dict[Role, tuple[float, ...]] = {}
        self._fills: dict[Role, QBrush | None] = {}

    def line(self, role: Role) -> QPen | None:
        """Return the pen of a role; None draws no line."""
        if role not in self._lines:
            self._lines[role] = self._line(role)
        return self._lines[role]

    def _line(self, role: Role) -> QPen | None:
        drawn = PENS[role]
        if drawn.width_mm <= 0.0:
            return None
        width_px = max(drawn.width_mm * self.px_per_mm, _THINNEST_PX)
        pen = QPen(self.palette.colour(drawn.ink), width_px)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap if drawn.round_ends else Qt.PenCapStyle.FlatCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin if drawn.round_ends else Qt.PenJoinStyle.MiterJoin)
        return pen

    def dash_px(self, role: Role) -> tuple[float, ...]:
        """Return lengths of line and gap in turn, empty for a continuous line. [px]"""
        if role not in self._dashes:
            self._dashes[role] = tuple(length * self.px_per_mm for length in PENS[role].dash_mm)
        return self._dashes[role]

    def segment(self, role: Role) -> QPen:
        """Return the pen that draws a line segment by segment: ends of continuous ones fill their corners."""
        pen = self.line(role)
        if pen is None:
            return QPen(Qt.PenStyle.NoPen)
        if role not in self._segments:
            made = QPen(pen)
            fills = not self.dash_px(role) and pen.widthF() > 1.0
            square = fills or PENS[role].round_ends
            made.setCapStyle(Qt.PenCapStyle.SquareCap if square else Qt.PenCapStyle.FlatCap)
            self._segments[role] = made
        return self._segments[role]

    def fill(self, role: Role) -> QBrush | None:
        """Return what fills an outline of a role; None fills nothing."""
        if role not in self._fills:
            name = PENS[role].fill
            self._fills[role] = QBrush(self.palette.colour(name)) if name else None
        return self._fills[role]

    def ink(self, role: Role) -> QColor:
        """Return the colour of a role's letters and discs."""
        return self.palette.colour(PENS[role].ink)

    def width_px(self, role: Role) -> float:
        """Return the width of a role's line, 0 for none. [px]"""
        pen = self.line(role)
        return pen.widthF() if pen is not None else 0.0
