"""Bars under the command strip: a question that waits, and the event that is supposed."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.shell.if_strip import IfStrip
from survey_app.desktop.shell.notice import Notice

__all__ = ["Bars"]


class Bars(QWidget):
    """Both bars, one under the other; no room is taken while neither is shown.

    Parameters
    ----------
    desk : Desk
        What is supposed.
    scale : float
        Interface scale.
    """

    def __init__(self, desk: Desk, scale: float = 1.0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.notice: Notice = Notice(scale)
        self.what_if: IfStrip = IfStrip(desk, scale)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.notice)
        box.addWidget(self.what_if)
