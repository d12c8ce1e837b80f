"""The band under the plan: the section, or one of the tables, each called by its word."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QHBoxLayout,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from survey_app.desktop.desk import Desk
from survey_app.desktop.letters import font
from survey_app.desktop.palette import current, lights
from survey_app.desktop.strips.alternatives import AlternativesPanel
from survey_app.desktop.strips.plan_picture import PlanPicturesPanel
from survey_app.desktop.strips.section_strip import SectionStrip

__all__ = ["BAND_PAGES", "Band"]

BAND_PAGES = ("section", "plan pictures", "alternatives")
"""What the band can show, in the order of its words."""


class Band(QWidget):
    """The band and the words that change it."""

    spot_m = Signal(object)
    """A point of the plane that the section points at, or None."""
    page_changed = Signal(str)

    def __init__(self, desk: Desk, scale: float = 1.0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("band under the plan")
        self.section = SectionStrip(desk)
        self.section.spot_m.connect(self.spot_m)
        self.pictures = PlanPicturesPanel(desk)
        self.alternatives = AlternativesPanel(desk)
        self._pages = QStackedWidget()
        self._words = QButtonGroup(self)
        self._words.setExclusive(True)
        head = QHBoxLayout()
        head.setContentsMargins(round(10 * scale), round(4 * scale), round(10 * scale), 0)
        head.setSpacing(round(2 * scale))
        for number, (name, page) in enumerate(
            zip(BAND_PAGES, (self.section, self.pictures, self.alternatives), strict=True)
        ):
            self._pages.addWidget(page)
            button = QToolButton()
            button.setText(name)
            button.setFont(font(12 * scale))
            button.setCheckable(True)
            button.setAutoRaise(True)
            button.setAccessibleName(f"show {name}")
            button.setCursor(Qt.CursorShape.PointingHandCursor)
            self._words.addButton(button, number)
            head.addWidget(button)
        head.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 1, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(head)
        layout.addWidget(self._pages, 1)
        self._words.idClicked.connect(self._chosen)
        lights().changed.connect(self.update)
        self.show_page("section")

    def _chosen(self, number: int) -> None:
        self.show_page(BAND_PAGES[number])

    @property
    def page(self) -> str:
        """Name of what is shown."""
        return BAND_PAGES[self._pages.currentIndex()]

    def show_page(self, name: str) -> None:
        """Show the section or a table."""
        number = BAND_PAGES.index(name)
        self._pages.setCurrentIndex(number)
        button: QAbstractButton = self._words.button(number)
        button.setChecked(True)
        self.page_changed.emit(name)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), current().colour("card"))
        painter.setPen(QPen(current().colour("ink"), 1.0))
        painter.drawLine(0, 0, self.width(), 0)
        painter.end()
