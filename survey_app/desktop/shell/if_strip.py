"""The bar of a supposed event: what is shown in one sentence, the second way worth most, and how to leave."""

from __future__ import annotations

from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.letters import font, head_font
from survey_app.desktop.palette import current, lights
from survey_app.desktop.strips.if_words import if_sentence
from survey_app.desktop.strips.words import word_button
from survey_app.desktop.supposed import Supposed

__all__ = ["IfStrip"]

_WORKING = "Working out what would happen …"
_SEEKING = "Looking for the second way that is worth most …"
_NO_WAY = "No second way was found that would keep a camera."
_LEFT = "The site is shown as it is again; nothing was changed."


class IfStrip(QWidget):
    """Shown while an event is supposed.

    Parameters
    ----------
    desk : Desk
        What is supposed.
    scale : float
        Interface scale.
    """

    def __init__(self, desk: Desk, scale: float = 1.0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setAccessibleName("what if")
        head = QLabel("WHAT IF")
        head.setFont(head_font())
        self._sentence, self._second = QLabel(), QLabel()
        for label, px in ((self._sentence, 13.0), (self._second, 12.0)):
            label.setWordWrap(True)
            label.setFont(font(px * scale, bold=label is self._sentence))
        self._sentence.setAccessibleName("what the event does")
        self._second.setAccessibleName("second way")
        self.progress = QProgressBar()
        self.progress.setRange(0, 0)
        self.progress.setTextVisible(False)
        self.progress.setFixedSize(round(90 * scale), round(8 * scale))
        self.progress.setAccessibleName("working")
        self.draw_button = word_button("Leave, and draw it", "Leave what if and draw the second way, as one step")
        self.leave_button = word_button("Leave, Esc", "Leave what if: show the site as it is")
        words = QVBoxLayout()
        words.setSpacing(round(2 * scale))
        words.addWidget(self._sentence)
        words.addWidget(self._second)
        row = QHBoxLayout(self)
        row.setContentsMargins(round(14 * scale), round(5 * scale), round(14 * scale), round(6 * scale))
        row.setSpacing(round(12 * scale))
        row.addWidget(head)
        row.addLayout(words, 1)
        for widget in (self.progress, self.draw_button, self.leave_button):
            row.addWidget(widget)
        self.draw_button.clicked.connect(self._draw)
        self.leave_button.clicked.connect(self.leave)
        desk.supposed_changed.connect(self.refresh)
        lights().changed.connect(self.update)
        self.refresh()

    @property
    def sentence(self) -> str:
        """What is said; empty while nothing is supposed."""
        return "" if self.isHidden() else " ".join((self._sentence.text(), self._second.text())).strip()

    def leave(self) -> None:
        """Show the site as it is again."""
        if self._desk.supposed is not None:
            self._desk.leave_event()
            self._desk.say(_LEFT)

    def _draw(self) -> None:
        supposed = self._desk.supposed
        if supposed is not None and supposed.spared is not None:
            edit = supposed.spared.way.edit
            self._desk.leave_event()
            if self._desk.apply(edit):
                self._desk.say(f"{edit.label}.")

    def refresh(self) -> None:
        """Say what is supposed now."""
        supposed = self._desk.supposed
        self.setVisible(supposed is not None)
        if supposed is None:
            return
        self._sentence.setText(_first(supposed))
        self._second.setText(_second(supposed))
        self._second.setVisible(bool(self._second.text()))
        self.progress.setVisible(supposed.is_busy)
        locked = self._desk.document.is_read_only
        self.draw_button.setVisible(supposed.spared is not None and not locked)
        self.setAccessibleDescription(self.sentence)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), current().colour("selected row"))
        painter.setPen(QPen(current().colour("ink"), 2.0))
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        painter.end()


def _first(supposed: Supposed) -> str:
    if supposed.answer is not None:
        return f"{if_sentence(supposed.answer)} Nothing is changed."
    return supposed.trouble or _WORKING


def _second(supposed: Supposed) -> str:
    if supposed.is_seeking:
        return _SEEKING
    if supposed.spared is not None:
        return supposed.spared.sentence
    asked = supposed.answer is not None and supposed.answer.dark and not supposed.trouble
    return _NO_WAY if asked else ""
