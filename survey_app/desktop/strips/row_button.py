"""A row that is pressed: a bold name, a line of soft words under it, underlined while the pointer is on it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QEnterEvent, QFontMetricsF, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from survey_app.desktop import letters, palette
from survey_app.desktop.panels.scale import px_of, scale_of

__all__ = ["RowButton"]

_HEIGHT_PX = 38
_PAD_PX = 6.0


class RowButton(QAbstractButton):
    """One row.

    Parameters
    ----------
    name, words : str
        The bold line and the soft one.
    soft : bool
        Whether the name is soft, too: what it stands for is not there.
    """

    forgotten = Signal()
    """Delete was pressed on it."""

    def __init__(self, name: str, words: str, *, soft: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setText(name)
        self._words, self._soft, self._hovered = words, soft, False
        self.setAccessibleName(name)
        self.setAccessibleDescription(words)
        self.setToolTip(words)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        palette.lights().changed.connect(self.update)

    @property
    def words(self) -> str:
        """The soft line."""
        return self._words

    def sizeHint(self) -> QSize:
        """Two lines."""
        return QSize(px_of(self, 280), px_of(self, _HEIGHT_PX))

    def enterEvent(self, event: QEnterEvent) -> None:
        """Underline the name."""
        self._hovered = True
        self.update()
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        """Take the underline away."""
        self._hovered = False
        self.update()
        super().leaveEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Press with Enter as with Space; Delete takes it off the list."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        elif event.key() == Qt.Key.Key_Delete:
            self.forgotten.emit()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw both lines."""
        inks = palette.current()
        with QPainter(self) as painter:
            scale = scale_of(self)
            name_font = letters.font(letters.DATA_PX * scale, bold=not self._soft)
            name_font.setUnderline(self._hovered)
            pad = _PAD_PX * scale
            room = self.width() - 2.0 * pad
            for font, ink, top, text in (
                (name_font, "ink 2" if self._soft else "ink", 2.0, self.text()),
                (letters.font(letters.NOTE_PX * scale), "ink 2", 19.0, self._words),
            ):
                painter.setFont(font)
                painter.setPen(inks.colour(ink))
                side = Qt.TextElideMode.ElideMiddle if "/" in text or "\\" in text else Qt.TextElideMode.ElideRight
                shown = QFontMetricsF(font).elidedText(text, side, room)
                painter.drawText(
                    QRectF(pad, top * scale, room + 2.0, 17.0 * scale), Qt.AlignmentFlag.AlignVCenter, shown
                )
            if self.hasFocus():
                painter.setPen(QPen(inks.colour("ink"), 2.0, Qt.PenStyle.DashLine))
                painter.drawRect(self.rect().adjusted(1, 1, -1, -1))
