"""The strip at the top: menus in words, what is open, what was last said, unit and north basis."""

from __future__ import annotations

import datetime
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenuBar, QSizePolicy, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.letters import font
from survey_app.desktop.palette import current, lights
from survey_app.desktop.strips.title_block import two_lines

__all__ = ["CommandStrip"]

_HEIGHT_PX = 34
_SAID_PX, _LONG_SAID_PX = 12, 11
_WORDS_PX = 260
"""Name and state are cut off beyond this."""


class CommandStrip(QWidget):
    """Menus and the state of the document in words."""

    def __init__(self, desk: Desk, scale: float = 1.0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._scale = scale
        lights().changed.connect(self.update)
        self._said = ""
        self._hint = ""
        self._shows_document = True
        self.menus = QMenuBar(self)
        self.menus.setAccessibleName("menus")
        self.menus.setFont(font(13 * scale))
        self.menus.setNativeMenuBar(False)
        self.menus.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self._name = self._label("site", 13, bold=True)
        self._state = self._label("state of the document", 12)
        self._sentence = self._label("what the program says", _SAID_PX)
        self._sentence.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self._sentence.installEventFilter(self)
        self._basis = self._label("units and north", 12)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(round(6 * scale), 0, round(14 * scale), 1)
        layout.setSpacing(round(10 * scale))
        # words of the menus stand on one line with what follows them
        layout.addWidget(self.menus, 0, Qt.AlignmentFlag.AlignVCenter)
        layout.addSpacing(round(10 * scale))
        for widget, stretch in (
            (self._name, 0),
            (self._state, 0),
            (self._sentence, 1),
            (self._basis, 0),
        ):
            layout.addWidget(widget, stretch)
        self.setFixedHeight(round(_HEIGHT_PX * scale))
        desk.document_changed.connect(self.refresh)
        desk.site_changed.connect(self._forget)
        desk.said.connect(self.say)
        self.refresh()

    def _label(self, name: str, px: float, *, bold: bool = False) -> QLabel:
        label = QLabel(self)
        label.setFont(font(px * self._scale, bold=bold))
        label.setAccessibleName(name)
        label.setTextFormat(Qt.TextFormat.PlainText)
        return label

    @property
    def sentence(self) -> str:
        """What was said last and still holds."""
        return self._said

    def say(self, sentence: str) -> None:
        """Show one sentence until the next edit; an empty one gives way to the hint of the tool in hand."""
        self._said = sentence or (self._hint if self._shows_document else "")
        sentence = self._said
        self._sentence.setToolTip(sentence)
        self._elide()

    def set_hint(self, sentence: str) -> None:
        """Show what the tool in hand is for, now and again after each edit."""
        self._hint = sentence
        self.say("")

    def show_document(self, shown: bool) -> None:
        """Show what is open and the hint of its tool; the start page has neither."""
        self._shows_document = shown
        for widget in (self._name, self._state, self._basis):
            widget.setVisible(shown)
        self.say("")
        self.update()

    def _forget(self) -> None:
        self.say("")

    def _elide(self) -> None:
        """Write the sentence on one line, on two of smaller letters where it is long, cut only beyond that."""
        room = max(self._sentence.width(), 40)
        face, small = font(_SAID_PX * self._scale), font(_LONG_SAID_PX * self._scale)
        long = len(two_lines(self._said, face, room)) > 1
        part = "long" if long else ""
        if self._sentence.property("part") != part:
            self._sentence.setProperty("part", part)
            self._sentence.setFont(small if long else face)
            self._sentence.style().unpolish(self._sentence)
            self._sentence.style().polish(self._sentence)
        self._sentence.setText("\n".join(two_lines(self._said, small if long else face, room)))
        self._sentence.setAccessibleDescription(self._said)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        # its room also changes with what stands beside it
        if watched is self._sentence and isinstance(event, QResizeEvent):
            if event.size().width() != event.oldSize().width():
                self._elide()
            return False
        return super().eventFilter(watched, event)

    def refresh(self) -> None:
        """Show the open document as it is."""
        document, design = self._desk.document, self._desk.site.design
        self._write(self._name, design.name, design.name)
        state = _state(_saved_at(document.path), document.is_saved, design.revision, document.read_only_reason)
        self._write(self._state, state, document.read_only_reason)
        units = {"metric": "metres", "feet": "feet", "both": "metres and feet"}[design.units]
        anchor = design.plane.anchor
        if anchor is None:
            north = "plan north up"
        elif anchor.rotation_deg % 360.0 == 0.0:
            north = "true north up"
        else:
            north = f"plan north up, {anchor.rotation_deg % 360.0:.1f}° true"
        self._basis.setText(f"{units} \N{MIDDLE DOT} {north}")

    def _write(self, label: QLabel, words: str, tip: str) -> None:
        """Write words that must not push the menus away, however long a name somebody gave."""
        most = round(_WORDS_PX * self._scale)
        label.setText(label.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, most))
        label.setToolTip(tip)
        label.setAccessibleDescription(words)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), current().colour("card"))
        painter.setPen(QPen(current().colour("ink"), 1.0))
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        if self._shows_document:
            x = self._name.x() - round(6 * self._scale)
            painter.drawLine(x, 6, x, self.height() - 8)
        painter.end()


def _saved_at(path: Path | None) -> str:
    """Return when a file was written, as a time of day; empty where there is none."""
    try:
        return "" if path is None else f"{datetime.datetime.fromtimestamp(path.stat().st_mtime):%H:%M}"
    except OSError:
        return ""


def _state(saved_at: str, saved: bool, revision: str, read_only: str) -> str:
    if read_only:
        return f"revision {revision}, read only"
    if not saved_at:
        return f"revision {revision}, never saved"
    if not saved:
        return f"revision {revision}, not saved"
    return f"revision {revision}, saved {saved_at}"
