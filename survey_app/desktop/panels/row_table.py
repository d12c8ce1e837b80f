"""What every table of the window does: whole rows are marked, copied as text and follow the desk's selection."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from PySide6.QtCore import (
    QAbstractProxyModel,
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    Qt,
)
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemView, QTableView, QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.own_keys import keeps
from survey_app.desktop.panels.scale import px_of

__all__ = ["ROW_PX", "RowTable"]

ROW_PX = 23


class RowTable(QTableView):
    """A sortable table whose rows are about things; Enter shows them on the plan, Copy takes them as text.

    Parameters
    ----------
    desk : Desk
        The open document; its selection and the marked rows follow each other.
    rows : QAbstractProxyModel
        The rows in the order in which they are shown.
    name : str
        What the table is, for those who do not see it.
    """

    def __init__(self, desk: Desk, rows: QAbstractProxyModel, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._is_held = False
        self.setModel(rows)
        self.setAccessibleName(name)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        head = self.horizontalHeader()
        head.setHighlightSections(False)
        head.setSortIndicatorClearable(True)
        self.setSortingEnabled(True)
        self.sortByColumn(-1, Qt.SortOrder.AscendingOrder)
        self.selectionModel().selectionChanged.connect(self._select)
        self.doubleClicked.connect(self.show_chosen)
        desk.selection_changed.connect(self.follow)

    # -- what each table says of its rows

    def chosen(self) -> tuple[str, ...]:
        """Return the ids of what the marked rows are about."""
        raise NotImplementedError

    def copied_heads(self) -> Sequence[str]:
        """Return the heads of the columns that are copied."""
        raise NotImplementedError

    def copied_cells(self, number: int) -> Sequence[str]:
        """Return the cells of a shown row as they are copied."""
        raise NotImplementedError

    def indexes_of(self, wanted: set[str]) -> Iterator[QModelIndex]:
        """Yield the shown rows that are about things."""
        raise NotImplementedError

    def fit(self) -> None:
        """Give rows and columns the size that the letters ask for."""
        self.verticalHeader().setDefaultSectionSize(px_of(self, ROW_PX))

    # -- what is alike

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.fit()

    @contextmanager
    def held(self) -> Iterator[None]:
        """Change the rows without the desk's selection going along."""
        before, self._is_held = self._is_held, True
        try:
            yield
        finally:
            self._is_held = before

    def follow(self) -> None:
        """Mark the rows of what is selected."""
        wanted = set(self._desk.selection)
        if self._is_held or set(self.chosen()) == wanted:
            return
        marked = QItemSelection()
        for index in self.indexes_of(wanted):
            if index.isValid():
                marked.select(index, index)
        flags = QItemSelectionModel.SelectionFlag
        with self.held():
            self.selectionModel().select(marked, flags.ClearAndSelect | flags.Rows)
            if marked.indexes():
                self.scrollTo(marked.indexes()[0])

    def _select(self) -> None:
        if not self._is_held:
            with self.held():
                self._desk.select(self.chosen())

    def show_chosen(self) -> None:
        """Bring what the marked rows are about into view on the plan."""
        self._desk.show(self.chosen())

    def text(self) -> str:
        """Return the marked rows, or all of them, as text: heads first, cells parted by tabs."""
        numbers = [index.row() for index in self.selectionModel().selectedRows()] or range(self.model().rowCount())
        lines = [self.copied_heads(), *(self.copied_cells(number) for number in sorted(numbers))]
        return "".join("\t".join(cells) + "\n" for cells in lines)

    def event(self, event: QEvent) -> bool:
        own = (QKeySequence.StandardKey.Copy, QKeySequence.StandardKey.SelectAll)
        return keeps(event, (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F2), own) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            QGuiApplication.clipboard().setText(self.text())
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.show_chosen()
        else:
            super().keyPressEvent(event)
