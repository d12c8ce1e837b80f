"""The band under the plan: the section, or one of the tables, each called by its word."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QStackedWidget, QToolButton, QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.letters import font
from survey_app.desktop.palette import current, lights
from survey_app.desktop.strips.section_strip import SectionStrip

__all__ = ["BAND_PAGES", "Band"]

BAND_PAGES = (
    "section",
    "register",
    "hops",
    "routes",
    "tally",
    "coverage",
    "plan pictures",
    "alternatives",
    "ground heights",
    "cells",
    "what if",
)
"""What the band can show, in the order of its words."""


def _register(desk: Desk) -> QWidget:
    from survey_app.desktop.panels.register import Register

    return Register(desk)


def _hops(desk: Desk) -> QWidget:
    from survey_app.desktop.panels.hop_table import HopTable

    return HopTable(desk)


def _routes(desk: Desk) -> QWidget:
    from survey_app.desktop.panels.hop_table import RouteTable

    return RouteTable(desk)


def _tally(desk: Desk) -> QWidget:
    from survey_app.desktop.panels.tally_table import TallyTable

    return TallyTable(desk)


def _cells(desk: Desk) -> QWidget:
    from survey_app.desktop.strips.cells_page import CellsPage

    return CellsPage(desk)


def _what_if(desk: Desk) -> QWidget:
    from survey_app.desktop.strips.if_page import IfPage

    return IfPage(desk)


def _heights(desk: Desk) -> QWidget:
    from survey_app.desktop.strips.ground_heights import GroundHeightsPanel

    return GroundHeightsPanel(desk)


def _pictures(desk: Desk) -> QWidget:
    from survey_app.desktop.strips.plan_picture import PlanPicturesPanel

    return PlanPicturesPanel(desk)


class Band(QWidget):
    """The band and the words that change it; a table is made when it is first asked for."""

    spot_m = Signal(object)
    """A point of the plane that the section points at, or None."""
    page_changed = Signal(str)
    opened = Signal(object)
    """Path of an alternative that a person wants to open."""
    outlined = Signal(object)
    """An area of the plane that a page points at (shapely geometry), or None."""
    height_wanted = Signal(object)
    """How high over the ground far ends are looked for, or None: as they hang. [m]"""

    def __init__(self, desk: Desk, scale: float = 1.0, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("band under the plan")
        self._desk = desk
        self._scale = scale
        self._make: Mapping[str, Callable[[Desk], QWidget]] = {
            "section": self._section,
            "register": _register,
            "hops": _hops,
            "routes": _routes,
            "tally": _tally,
            "coverage": self._coverage,
            "plan pictures": _pictures,
            "ground heights": _heights,
            "alternatives": self._alternatives,
            "cells": _cells,
            "what if": _what_if,
        }
        self._made: dict[str, QWidget] = {}
        self._page = ""
        self._pages = QStackedWidget()
        self._words = QButtonGroup(self)
        self._words.setExclusive(True)
        head = QHBoxLayout()
        head.setContentsMargins(round(10 * scale), round(4 * scale), round(10 * scale), 0)
        head.setSpacing(round(2 * scale))
        for number, name in enumerate(BAND_PAGES):
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

    def _section(self, desk: Desk) -> QWidget:
        section = SectionStrip(desk, self._scale)
        section.spot_m.connect(self.spot_m)
        return section

    def show_point(self, point: object) -> None:
        """Show in the section what the pointer is over on the plan; None = nothing."""
        section = self._made.get("section")
        if isinstance(section, SectionStrip) and section.isVisible():
            section.show_point(point)  # type: ignore[arg-type]  # a signal carries an object

    def _alternatives(self, desk: Desk) -> QWidget:
        from survey_app.desktop.strips.alternatives import AlternativesPanel

        panel = AlternativesPanel(desk)
        panel.opened.connect(self.opened)
        return panel

    def _coverage(self, desk: Desk) -> QWidget:
        from survey_app.desktop.strips.coverage import CoveragePanel

        panel = CoveragePanel(desk)
        panel.outlined.connect(self.outlined)
        panel.height_wanted.connect(self.height_wanted)
        return panel

    def stop(self) -> None:
        """End what still runs for a page: the window closes."""
        for page in self._made.values():
            stop = getattr(page, "stop", None)
            if stop is not None:
                stop()

    def _chosen(self, number: int) -> None:
        self.show_page(BAND_PAGES[number])

    @property
    def page(self) -> str:
        """Name of what is shown."""
        return self._page

    def widget(self, name: str) -> QWidget:
        """Return a page, made if it was never shown."""
        if name not in self._made:
            self._made[name] = self._make[name](self._desk)
            self._pages.addWidget(self._made[name])
        return self._made[name]

    def show_page(self, name: str) -> None:
        """Show the section or a table."""
        self._pages.setCurrentWidget(self.widget(name))
        self._page = name
        self._words.button(BAND_PAGES.index(name)).setChecked(True)
        self.page_changed.emit(name)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), current().colour("card"))
        painter.setPen(QPen(current().colour("ink"), 1.0))
        painter.drawLine(0, 0, self.width(), 0)
        painter.end()
