"""A bar under the command strip: one sentence that waits for an answer, without stopping the work."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from survey_app.desktop.letters import font
from survey_app.desktop.palette import current, lights

__all__ = ["Answer", "Notice"]

Answer = tuple[str, Callable[[], object]]
"""Words of a button, and what it does."""


class Notice(QWidget):
    """One sentence with the answers to it; hidden while there is nothing to ask."""

    answered = Signal()
    """An answer was given and done: its button, and the focus with it, is gone."""

    def __init__(self, scale: float = 1.0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("question")
        self._scale = scale
        self._label = QLabel()
        self._label.setWordWrap(True)
        self._label.setFont(font(13 * scale))
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(round(14 * scale), round(6 * scale), round(14 * scale), round(7 * scale))
        self._row.setSpacing(round(10 * scale))
        self._row.addWidget(self._label, 1)
        self.buttons: list[QPushButton] = []
        lights().changed.connect(self.update)
        self.hide()

    @property
    def sentence(self) -> str:
        """What is asked; empty while nothing is."""
        return self._label.text() if not self.isHidden() else ""

    def ask(self, sentence: str, answers: Sequence[Answer]) -> None:
        """Show a sentence and its answers; any answer closes the bar first."""
        self.clear()
        self._label.setText(sentence)
        self.setAccessibleDescription(sentence)
        for words, act in answers:
            button = QPushButton(words)
            button.setFont(font(13 * self._scale))
            button.setAccessibleName(words)
            button.clicked.connect(lambda _on=False, run=act: self._answer(run))
            self._row.addWidget(button)
            self.buttons.append(button)
        self.show()

    def _answer(self, act: Callable[[], object]) -> None:
        self.clear()
        act()
        self.answered.emit()

    def clear(self) -> None:
        """Ask nothing."""
        for button in self.buttons:
            self._row.removeWidget(button)
            button.hide()
            button.deleteLater()
        self.buttons.clear()
        self._label.clear()
        self.hide()

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), current().colour("selected row"))
        painter.setPen(QPen(current().colour("ink"), 1.0))
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        painter.end()
