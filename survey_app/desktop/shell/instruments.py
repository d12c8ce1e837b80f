"""The instruments at the left edge: symbol, word and key of each tool; the one in hand is marked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QEnterEvent, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QButtonGroup, QVBoxLayout, QWidget

from survey_app.desktop.letters import font
from survey_app.desktop.palette import Palette, current, lights

__all__ = ["Draw", "Instrument", "Instruments"]

_PITCH_PX = 52
_WIDTH_PX = 66
_BAR_PX = 1.5


Draw = Callable[[QPainter, QRectF, Palette], None]
"""Draws a symbol into a rectangle."""


class Instrument(NamedTuple):
    """One tool as the column shows it."""

    name: str
    word: str
    key: str
    draw: Draw
    hint: str


class _Button(QAbstractButton):
    def __init__(self, instrument: Instrument, parent: Instruments) -> None:
        super().__init__(parent)
        self.instrument = instrument
        self._column = parent
        self.setCheckable(True)
        self.shown_word, self.shown_key = instrument.word, instrument.key
        self._shown_draw = instrument.draw
        self.setText(instrument.word)
        self.setAccessibleName(instrument.word)
        self.setAccessibleDescription(f"{instrument.hint} Key {instrument.key}.")
        self.setToolTip(f"{instrument.hint} ({instrument.key})")
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setMouseTracking(True)

    def show_words(self, word: str, key: str, draw: Draw | None = None) -> None:
        """Show word, key and symbol of another tool that is in hand, in the place of this one; else its own."""
        self._shown_draw = draw if word and draw is not None else self.instrument.draw
        self.shown_word, self.shown_key = word or self.instrument.word, key if word else self.instrument.key
        self.setAccessibleName(f"{self.instrument.word}, in hand: {word}" if word else self.instrument.word)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(self._column.px(_WIDTH_PX), self._column.px(_PITCH_PX))

    def paintEvent(self, _event: QPaintEvent) -> None:
        column, palette = self._column, current()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        width, height = self.width(), self.height()
        if self.isChecked():
            marker = QRectF(2, 1, width - 4, height - 2)
            colour = palette.colour("selection")
            painter.fillRect(marker, colour)
            painter.fillRect(QRectF(0.0, 1, column.px_f(_BAR_PX) + 0.5, height - 2), palette.colour("ink"))
        # a key of more than one letter takes the width: the symbol stands lower, and smaller
        side, top = (24, 6) if len(self.shown_key) < 2 else (18, 15)
        room = QRectF((width - column.px_f(side)) / 2, column.px_f(top), column.px_f(side), column.px_f(side))
        self._shown_draw(painter, room, palette)
        painter.setPen(QPen(palette.colour("ink")))
        painter.setFont(font(column.px_f(12)))
        words = QRectF(0, height - column.px_f(19), width, column.px_f(16))
        painter.drawText(words, Qt.AlignmentFlag.AlignCenter, self.shown_word)
        painter.setPen(QPen(palette.colour("ink 2")))
        painter.setFont(font(column.px_f(10.5)))
        painter.drawText(
            QRectF(0, column.px_f(2), width - column.px_f(5), column.px_f(13)),
            Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter,
            self.shown_key,
        )
        if self.hasFocus():
            painter.setPen(QPen(palette.colour("ink"), 2.0, Qt.PenStyle.DashLine))
            # the symbol's painter leaves its last brush behind: the ring would be filled over the instrument
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(2, 2, width - 4, height - 4))
        elif self.underMouse() and not self.isChecked():
            painter.setPen(QPen(palette.colour("hover"), 2.0))
            painter.drawLine(8, height - 3, width - 8, height - 3)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
            return
        super().keyPressEvent(event)

    def enterEvent(self, event: QEnterEvent) -> None:
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        super().leaveEvent(event)
        self.update()


class Instruments(QWidget):
    """The column of tools.

    Parameters
    ----------
    instruments : sequence of Instrument
        From top to bottom.
    scale : float
        Interface scale, 1 to 2.
    """

    chosen = Signal(str)
    """Name of the tool that was taken up here."""

    def __init__(self, instruments: Sequence[Instrument], scale: float = 1.0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("instruments")
        self._scale = scale
        lights().changed.connect(self.update)
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        self._buttons: dict[str, _Button] = {}
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 5, 0, 5)
        layout.setSpacing(0)
        for instrument in instruments:
            button = _Button(instrument, self)
            self._buttons[instrument.name] = button
            self._group.addButton(button)
            button.clicked.connect(lambda _on=False, name=instrument.name: self.chosen.emit(name))
            layout.addWidget(button)
        layout.addStretch(1)
        self.setFixedWidth(self.px(_WIDTH_PX))

    def px(self, length: float) -> int:
        """Return a length on the screen at the interface scale, whole."""
        return round(length * self._scale)

    def px_f(self, length: float) -> float:
        """Return a length on the screen at the interface scale."""
        return length * self._scale

    def mark(self, name: str, word: str = "", key: str = "", place: str = "", draw: Draw | None = None) -> None:
        """Mark the tool in hand.

        Parameters
        ----------
        name : str
            The tool.
        word, key : str
            What it is called and its key.
        place : str
            The instrument in whose place it is shown, where it has none of its own.
        draw : callable or None
            Draws its symbol there; None leaves the instrument's.
        """
        own = name in self._buttons
        shown = name if own else place
        for one, button in self._buttons.items():
            button.show_words("" if own or one != shown else word, key, draw)
        self._buttons[shown].setChecked(True)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), current().colour("card"))
        painter.setPen(QPen(current().colour("ink"), 1.0))
        painter.drawLine(self.width() - 1, 0, self.width() - 1, self.height())
        painter.end()
