"""The page of the cells: their air, what happens if one thing fails, who hears whom, and a plan of their channels."""

from __future__ import annotations

from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.cell_table import CellTable, FailureTable
from survey_app.desktop.panels.hearing_table import HearingTable
from survey_app.desktop.strips.channel_plan import ChannelPlanPage
from survey_app.desktop.strips.words import word_button

__all__ = ["CellsPage"]


class CellsPage(QWidget):
    """Four sheets, each called by its word; what a reader must know of one stands beside the words.

    Parameters
    ----------
    desk : Desk
        The open document.
    """

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("cells, failures, who hears whom and channel plan")
        self.setProperty("part", "page")
        self.cells = CellTable(desk)
        self.failures = FailureTable(desk)
        self.hearing = HearingTable(desk)
        self.plan = ChannelPlanPage(desk)
        self._pages = QStackedWidget()
        self._words = QButtonGroup(self)
        self._words.setExclusive(True)
        head = QHBoxLayout()
        head.setContentsMargins(12, 4, 12, 0)
        head.setSpacing(6)
        sheets = (
            ("air", self.cells),
            ("if one thing fails", self.failures),
            ("who hears whom", self.hearing),
            ("channel plan", self.plan),
        )
        for number, (words, sheet) in enumerate(sheets):
            button = word_button(words, f"show {words}", checkable=True)
            self._words.addButton(button, number)
            head.addWidget(button)
            self._pages.addWidget(sheet)
        self.if_button = word_button("What if it fails?", "Show on the plan what happens if this fails")
        head.addSpacing(10)
        self._feet = tuple(sheet.foot for _, sheet in sheets)
        for foot in self._feet:
            head.addWidget(foot, 1)
        head.addWidget(self.if_button)
        # the words stand where the sheets have their heads elsewhere
        self.cells.title.hide()
        self.failures.title.hide()
        self.hearing.title.hide()
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addLayout(head)
        box.addWidget(self._pages, 1)
        self._words.idClicked.connect(self._show)
        self.if_button.clicked.connect(self.failures.suppose)
        self.failures.table.selectionModel().selectionChanged.connect(self._settle)
        self._show(0)

    def _show(self, number: int) -> None:
        self._words.button(number).setChecked(True)
        self._pages.setCurrentIndex(number)
        for place, foot in enumerate(self._feet):
            foot.setVisible(place == number)
        self.if_button.setVisible(number == 1)
        self._settle()

    def _settle(self) -> None:
        self.if_button.setEnabled(self.failures.subject is not None)

    def show_hearing(self) -> None:
        """Show who hears whom."""
        self._show(2)
        self.hearing.table.setFocus()

    def show_plan(self) -> None:
        """Show the plan of the channels, ready to search."""
        self._show(3)
        self.plan.search_button.setFocus()

    def stop(self) -> None:
        """Call off what still runs."""
        self.plan.stop()
