"""The title block at the lower right of the window: what sheet this is, and how the design stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFocusEvent, QFont, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from survey_app.desktop import letters, palette
from survey_app.desktop.desk import Desk
from survey_app.desktop.strips.title_words import TitleField, title_fields

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment
    from survey_app.site.site import Design

__all__ = ["TitleBlock", "two_lines"]

_WIDTH_PX, _HEIGHT_PX = 300, 258
_SHORT_PX = 230
_PAD_PX = 12.0
_PARTS = {1: (1.0,), 2: (0.57, 0.43), 4: (0.25, 0.25, 0.25, 0.25)}
_LAST_PARTS = (0.25, 0.75)


class TitleBlock(QWidget):
    """Site, datum, scale, counts, busiest cell, thinnest margin, revision, checksum; live.

    Where it is low, site, revision and checksum stay. The arrow keys go from figure to figure, F1 asks why.

    Parameters
    ----------
    desk : Desk
        Document and assessment.
    scale : float
        Interface scale.
    """

    def __init__(self, desk: Desk, scale: float = 1.0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._scale: float | None = None
        self._zoom = scale
        self._rows: tuple[tuple[TitleField, ...], ...] = ()
        self._shown: tuple[Design, Assessment | None, float | None, bool] | None = None
        self._at = 0
        self.setObjectName("title block")
        self.setAccessibleName("Title block")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Preferred)
        for signal in (desk.site_changed, desk.assessed, desk.went_stale, desk.document_changed):
            signal.connect(self._refresh)
        palette.lights().changed.connect(self.update)
        self._refresh()

    def sizeHint(self) -> QSize:
        """As high as a section beside it."""
        return QSize(round(_WIDTH_PX * self._zoom), round(_HEIGHT_PX * self._zoom))

    def minimumSizeHint(self) -> QSize:
        """Room for site, revision and checksum."""
        return QSize(round(_WIDTH_PX * self._zoom), round(104 * self._zoom))

    def set_scale(self, scale: float | None) -> None:
        """Say at which scale the plan is drawn, as 1 : scale; None = not known."""
        if scale != self._scale:
            self._scale = scale
            self._refresh()

    def rows(self) -> tuple[tuple[TitleField, ...], ...]:
        """Return the rows that are shown at the present height."""
        return self._rows if self.height() >= _SHORT_PX * self._zoom else (self._rows[0], self._rows[-1])

    def words(self) -> str:
        """Return everything that is shown as one line of words."""
        return "; ".join(f"{field.head.lower()} {field.shown}" for row in self.rows() for field in row)

    def _refresh(self) -> None:
        desk = self._desk
        known, shown = self._shown, (desk.site.design, desk.assessment, self._scale, desk.is_fresh)
        if known is not None and known[0] is shown[0] and known[1] is shown[1] and known[2:] == shown[2:]:
            return
        self._shown = shown
        rows = title_fields(desk.site.design, desk.assessment, self._scale, is_fresh=desk.is_fresh)
        if rows != self._rows:
            self._rows = rows
            self.setAccessibleDescription(self.words())
            # where a value is cut, resting on it shows it whole
            self.setToolTip(self.words())
            self.update()

    # -- what is asked

    def _numbers(self) -> list[TitleField]:
        return [field for row in self.rows() for field in row if field.quantity]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go from figure to figure; F1 asks why the figure is what it is."""
        numbers = self._numbers()
        step = {Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1, Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1}.get(
            Qt.Key(event.key())
        )
        if numbers and step is not None:
            self._at = (self._at + step) % len(numbers)
            self.update()
        elif numbers and event.key() == Qt.Key.Key_F1:
            field = numbers[self._at % len(numbers)]
            self._desk.explained.emit(field.subject, field.quantity)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the figure under the pointer as the one that F1 asks about."""
        for n, field in enumerate(self._numbers()):
            if self._box_of(field).contains(event.position()):
                self._at = n
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        self.update()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show which figure is taken."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide which figure is taken."""
        super().focusOutEvent(event)
        self.update()

    # -- how it is drawn

    def boxes(self) -> list[tuple[QRectF, TitleField]]:
        """Return every field with its box. [px]"""
        rows = self.rows()
        high = self.height() / len(rows)
        found = []
        for n, row in enumerate(rows):
            parts = _LAST_PARTS if n == len(rows) - 1 else _PARTS[len(row)]
            x = 0.0
            for part, field in zip(parts, row, strict=True):
                found.append((QRectF(x, n * high, part * self.width(), high), field))
                x += part * self.width()
        return found

    def _box_of(self, field: TitleField) -> QRectF:
        return next(box for box, one in self.boxes() if one is field)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the fields between thin rules, as a sheet has them."""
        inks = palette.current()
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), inks.colour("card"))
            painter.setPen(QPen(inks.colour("ink"), 1.0))
            painter.drawLine(0, 0, self.width(), 0)
            painter.drawLine(0, 0, 0, self.height())
            numbers = self._numbers()
            taken = numbers[self._at % len(numbers)] if numbers and self.hasFocus() else None
            for box, field in self.boxes():
                painter.setPen(QPen(inks.colour("ink 3"), 1.0))
                if box.top() > 0.0:
                    painter.drawLine(box.topLeft(), box.topRight())
                if box.left() > 0.0:
                    painter.drawLine(box.topLeft(), box.bottomLeft())
                self._field(painter, inks, box, field)
                if field is taken:
                    painter.setPen(QPen(inks.colour("ink"), 2.0, Qt.PenStyle.DashLine))
                    painter.drawRect(box.adjusted(3.0, 3.0, -3.0, -3.0))

    def _field(self, painter: QPainter, inks: palette.Palette, box: QRectF, field: TitleField) -> None:
        zoom = self._zoom
        pad = _PAD_PX * zoom
        room = box.width() - 1.6 * pad
        head_font = letters.font(letters.HEAD_PX * zoom, tracking_percent=110.0)
        value_font = self._value_font(field)
        painter.setFont(head_font)
        painter.setPen(inks.colour("ink 2"))
        head = QFontMetricsF(head_font).elidedText(field.head, Qt.TextElideMode.ElideRight, room + 0.6 * pad)
        left, middle = box.left() + pad, box.center().y()
        line = QRectF(left, middle - 20.0 * zoom, box.width(), 16.0 * zoom)
        painter.drawText(line, Qt.AlignmentFlag.AlignVCenter, head)
        painter.setPen(inks.colour("ink 2" if field.is_stale else "ink"))
        lines = two_lines(field.shown, value_font, room)
        if len(lines) > 1:
            # what is too long for a line takes two of smaller letters
            value_font = letters.font(letters.NOTE_PX * zoom, bold=value_font.bold(), italic=value_font.italic())
            lines = two_lines(field.shown, value_font, room + 0.6 * pad)
        painter.setFont(value_font)
        step = 20.0 * zoom if len(lines) == 1 else 12.5 * zoom
        top = middle - (1.0 if len(lines) == 1 else 4.5) * zoom
        for number, words in enumerate(lines):
            line = QRectF(left, top + number * step, box.width(), step)
            painter.drawText(line, Qt.AlignmentFlag.AlignVCenter, words)

    def _value_font(self, field: TitleField) -> QFont:
        size = letters.SELECTED_PX if field.head in ("SITE", "REV.", "CHECKSUM") else letters.DATA_PX
        plain = field.head in ("DATUM", "SCALE") or bool(field.quantity)
        return letters.font(size * self._zoom, bold=not plain and not field.is_stale, italic=field.is_stale)


def two_lines(words: str, face: QFont, room_px: float) -> list[str]:
    """Return words on one line or on two; what two lines do not hold is cut."""
    metrics = QFontMetricsF(face)
    if metrics.horizontalAdvance(words) <= room_px:
        return [words]
    parts = words.split(" ")
    count = next((n for n in range(len(parts), 0, -1) if metrics.horizontalAdvance(" ".join(parts[:n])) <= room_px), 0)
    if count == 0:
        return [metrics.elidedText(words, Qt.TextElideMode.ElideRight, room_px)]
    rest = metrics.elidedText(" ".join(parts[count:]), Qt.TextElideMode.ElideRight, room_px)
    return [" ".join(parts[:count]), rest] if rest else [" ".join(parts[:count])]
