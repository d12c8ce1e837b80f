"""The page of keys: every action with its keys, made from the table of actions."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QTextBrowser, QWidget

from survey_app.desktop.panels.scale import px_of
from survey_app.desktop.shell.action_table import ACTIONS
from survey_app.desktop.shell.actions import MENUS

__all__ = ["KeysPage"]

_MARGIN_PX, _WIDEST_PX = 32, 900

_ON_THE_PLAN = (
    ("wheel, + and -", "nearer and farther at the pointer"),
    ("middle button, or Space and drag", "pan"),
    ("arrow keys", "move the cursor while placing, else nudge what is selected: 1 m, Shift 10 m, Alt 0.1 m"),
    ("Enter", "press at the cursor; end an outline"),
    ("Backspace", "take the last corner or figure back"),
    ("Esc", "put back what was begun; then the selecting tool"),
    ("figures", "bearing and distance from the last point, such as 127.6 295; Enter takes them"),
    ("Shift", "hold right angles, or the direction of a move"),
)


class KeysPage(QTextBrowser):
    """Every key of the window; Esc goes back to the plan."""

    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("keys")
        self.setHtml(_page())
        self._fit()

    def _fit(self) -> None:
        """Leave a margin, and no line longer than one reads."""
        side = max(px_of(self, _MARGIN_PX), (self.width() - px_of(self, _WIDEST_PX)) // 2)
        self.setViewportMargins(side, px_of(self, 12), px_of(self, _MARGIN_PX), 0)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
            return
        super().keyPressEvent(event)


def _rows(rows: list[tuple[str, str]]) -> str:
    return "".join(f"<tr><td width='300'>{escape(keys)}</td><td>{escape(words)}</td></tr>" for keys, words in rows)


def _page() -> str:
    parts = [
        "<h2>Keys</h2><p>Esc goes back to the plan.</p><h3>ON THE PLAN</h3><table cellspacing='6'>",
        _rows(list(_ON_THE_PLAN)),
        "</table>",
    ]
    for menu in MENUS:
        rows = [
            (
                ", ".join(QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText) for keys in entry.keys),
                entry.title,
            )
            for entry in ACTIONS
            if entry.keys and entry.menu.split("/")[0] == menu
        ]
        if rows:
            parts += [f"<h3>{menu.upper()}</h3><table cellspacing='6'>", _rows(rows), "</table>"]
    return "".join(parts)
