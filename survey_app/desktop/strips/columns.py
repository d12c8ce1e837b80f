"""Groups beside each other where there is width, below each other where there is none."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QLayout, QVBoxLayout, QWidget

__all__ = ["Columns", "group"]

_BESIDE_FROM_PX = 640


class Columns(QWidget):
    """A panel of groups."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._flow = QBoxLayout(QBoxLayout.Direction.TopToBottom, self)
        self._flow.setContentsMargins(12, 2, 12, 4)
        self._flow.setSpacing(16)

    def set_groups(self, columns: Sequence[tuple[QWidget, int]]) -> None:
        """Lay groups out, each with its part of what is left over."""
        for widget, stretch in columns:
            self._flow.addWidget(widget, stretch)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Turn the groups to where there is room."""
        super().resizeEvent(event)
        beside = self.width() >= _BESIDE_FROM_PX
        way = QBoxLayout.Direction.LeftToRight if beside else QBoxLayout.Direction.TopToBottom
        if self._flow.direction() != way:
            self._flow.setDirection(way)


def group(*rows: QWidget | QLayout, stretch: int | None = None) -> QWidget:
    """Return rows as one group.

    Parameters
    ----------
    *rows : QWidget or QLayout
        From top to bottom.
    stretch : int or None
        Which row takes what is left over; None = none, the rows stay at the top.
    """
    made = QWidget()
    layout = QVBoxLayout(made)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(4)
    for n, row in enumerate(rows):
        if isinstance(row, QLayout):
            layout.addLayout(row)
        else:
            layout.addWidget(row, int(n == stretch))
    if stretch is None:
        layout.addStretch(1)
    return made
