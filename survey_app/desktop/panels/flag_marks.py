"""Flags of findings painted at any size: octagon, triangle, circle, with their number."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from survey_app.desktop.letters import font
from survey_app.desktop.palette import Palette, current
from survey_app.desktop.panels.scale import px_of, scale_of

if TYPE_CHECKING:
    from survey_app.assess.record import Severity

__all__ = ["FlagCount", "count_words", "paint_flag"]

_NUMBER_OF_RADIUS = 1.2  # em of the number over the radius of its flag
_TWO_IN_TRIANGLE = 1.0
_BAR_PX = 2.5
_COUNT_PX = 46


def paint_flag(
    painter: QPainter, at: QPointF, severity: Severity, number: str, radius_px: float, *, accepted: bool = False
) -> None:
    """Paint one flag in the palette that is shown now.

    Parameters
    ----------
    painter : QPainter
        Where to paint.
    at : QPointF
        Its middle.
    severity : {"stop", "warn", "note"}
        Its shape.
    number : str
        What stands in it.
    radius_px : float
        Half its height, 10.4 in the plan and 9.2 in a table. [px]
    accepted : bool, default False
        Whether a bar stands under it.
    """
    palette = current()
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _shape(painter, palette, at, severity, radius_px)
    if accepted:
        painter.setPen(QPen(palette.colour("ink"), _BAR_PX))
        y = at.y() + radius_px + 4.0
        painter.drawLine(QPointF(at.x() - radius_px, y), QPointF(at.x() + radius_px, y))
    of_radius = (
        0.85 if len(number) > 2 else _TWO_IN_TRIANGLE if severity == "warn" and len(number) == 2 else _NUMBER_OF_RADIUS
    )
    painter.setFont(font(round(max(9.0, radius_px * of_radius)), bold=True))
    painter.setPen(_number_ink(palette, severity))
    # the middle of a triangle lies below the middle of its box
    middle = at.y() + (radius_px * 0.28 if severity == "warn" else 0.0)
    box = QRectF(at.x() - 2 * radius_px, middle - radius_px, 4 * radius_px, 2 * radius_px)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, number)
    painter.restore()


def _number_ink(palette: Palette, severity: Severity) -> QColor:
    if severity == "note":
        return palette.colour("ink")
    dark = severity == "warn" or palette.is_night
    return palette.colour("desk") if palette.is_night else palette.colour("ink" if dark else "card")


def _shape(painter: QPainter, palette: Palette, at: QPointF, severity: Severity, radius: float) -> None:
    if severity == "stop":
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(palette.colour("stop"))
        turns = [math.radians(22.5 + 45.0 * step) for step in range(8)]
        size = radius * 1.06
        painter.drawPolygon(QPolygonF([at + QPointF(size * math.sin(t), size * math.cos(t)) for t in turns]))
    elif severity == "warn":
        painter.setPen(QPen(palette.colour("ink"), 2.0, j=Qt.PenJoinStyle.MiterJoin))
        painter.setBrush(palette.colour("warn"))
        high, low, half = radius * 1.15, radius * 0.9, radius * 1.2
        painter.drawPolygon(QPolygonF([at + QPointF(0, -high), at + QPointF(half, low), at + QPointF(-half, low)]))
    else:
        painter.setPen(QPen(palette.colour("ink"), 1.0))
        painter.setBrush(palette.colour("card"))
        painter.drawEllipse(at, radius, radius)


def count_words(stops: int, warns: int, notes: int) -> str:
    """Return how many findings there are, written out.

    Examples
    --------
    >>> count_words(1, 1, 2), count_words(0, 0, 1)
    ('1 stop, 1 warn, 2 notes', '0 stops, 0 warns, 1 note')
    """
    pairs = ((stops, "stop"), (warns, "warn"), (notes, "note"))
    return ", ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in pairs)


class FlagCount(QWidget):
    """One shape with the number of findings of its severity under it, for the spine of the notes."""

    def __init__(self, severity: Severity, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.severity, self.count = severity, 0
        self.setFixedHeight(_COUNT_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.say(0)

    def say(self, count: int) -> None:
        """Show another count."""
        self.count = count
        self.setAccessibleName(f"{count} {self.severity}{'' if count == 1 else 's'}")
        self.update()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.setFixedHeight(px_of(self, _COUNT_PX))

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        scale = scale_of(self)
        painter.scale(scale, scale)
        width = self.width() / scale
        middle = width / 2.0
        paint_flag(painter, QPointF(middle, 14.0), self.severity, "", 9.2)
        painter.setFont(font(12, bold=True))
        painter.setPen(current().colour("ink"))
        painter.drawText(QRectF(0, 26, width, 16), Qt.AlignmentFlag.AlignCenter, str(self.count))
        painter.end()
