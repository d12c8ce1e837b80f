"""The legend of line types, drawn with the pens of the plan."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from survey_app.desktop.letters import NOTE_PX, font
from survey_app.desktop.palette import Palette, current
from survey_app.desktop.panels.scale import px_of, scale_of
from survey_app.drawing.roles import PENS, Role

__all__ = ["LINES", "LineTypes"]

LINES: tuple[tuple[Role, str], ...] = (
    (Role.HOP, "hop"),
    (Role.LIMIT, "sector limit, 3 dB"),
    (Role.REACH, "end of reach"),
    (Role.VIEW_LIMIT, "camera view"),
    (Role.WIRE, "wire"),
    (Role.ENVELOPE, "moving envelope"),
    (Role.HOP_UNCHECKED, "not checked"),
    (Role.HOP_BEHIND_CUT, "behind the cut"),
)
"""What the legend shows, two in a row."""

_MM_PX = 4.0
_ROW_PX, _LINE_PX, _GAP_PX = 17, 38, 6
_DOUBLE_PX = 0.9 * _MM_PX
_LEAST_PX = 0.75


class LineTypes(QWidget):
    """Two columns of line types with their names."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("line types: " + ", ".join(words for _, words in LINES))

    def sizeHint(self) -> QSize:
        return QSize(px_of(self, 240), px_of(self, _ROW_PX) * ((len(LINES) + 1) // 2))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.updateGeometry()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        scale, palette = scale_of(self), current()
        painter.scale(scale, scale)
        width = self.width() / scale
        half = width * 0.47
        for number, (role, words) in enumerate(LINES):
            left = 0.0 if number % 2 == 0 else half
            middle = _ROW_PX * (number // 2 + 0.5)
            _line(painter, palette, role, left, round(middle) + 0.5)
            painter.setPen(palette.colour("ink"))
            painter.setFont(font(NOTE_PX))
            at = left + _LINE_PX + _GAP_PX
            box = QRectF(at, middle - _ROW_PX / 2, width - at, _ROW_PX)
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, words)
        painter.end()


def _line(painter: QPainter, palette: Palette, role: Role, left: float, y: float) -> None:
    pen = _pen(palette, role)
    painter.setPen(pen)
    heights = (y - _DOUBLE_PX / 2, y + _DOUBLE_PX / 2) if role is Role.HOP_UNCHECKED else (y,)
    for height in heights:
        painter.drawLine(QPointF(left, height), QPointF(left + _LINE_PX, height))
    if role is Role.REACH:
        for step in range(0, _LINE_PX + 1, 4):
            painter.drawLine(QPointF(left + step, y), QPointF(left + step, y - (6.0 if step % 20 == 0 else 3.5)))


def _pen(palette: Palette, role: Role) -> QPen:
    drawn = PENS[role]
    width = max(drawn.width_mm * _MM_PX, _LEAST_PX)
    pen = QPen(palette.colour(drawn.ink), width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap if drawn.round_ends else Qt.PenCapStyle.FlatCap)
    if drawn.dash_mm:
        pen.setDashPattern([length * _MM_PX / width for length in drawn.dash_mm])
    return pen
