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
        if drawn.dash_mm:
            pen.setDashPattern([length * self.px_per_mm / width_px for length in drawn.dash_mm])
        return pen

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
