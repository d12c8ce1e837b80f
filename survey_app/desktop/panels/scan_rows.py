"""The rows of a scan as a table that is typed into, or pasted into from the clipboard."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QSignalBlocker, Qt
from PySide6.QtGui import QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from survey_app.desktop import letters
from survey_app.desktop.panels.editors import Editor, plain_reason
from survey_app.desktop.panels.own_keys import keeps
from survey_app.desktop.panels.scale import px_of
from survey_app.errors import InputError
from survey_app.site.evidence import ScanRow
from survey_app.site.scan_text import SCAN_FIELDS, scan_row, scan_rows_from_text

__all__ = ["ScanRows"]

_HEADS = ("channel", "MHz", "dBm", "busy %")
_ROW_PX = 24
_LINES = 5
_EDITING = (QKeySequence.StandardKey.Paste, QKeySequence.StandardKey.Delete)


class _Table(QTableWidget):
    """The table; it keeps the keys of paste and delete for itself."""

    def __init__(self, owner: ScanRows) -> None:
        super().__init__(1, len(_HEADS))
        self._owner = owner

    def event(self, event: QEvent) -> bool:
        return keeps(event, (), _EDITING) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Paste):
            self._owner.paste(QGuiApplication.clipboard().text())
        elif event.matches(QKeySequence.StandardKey.Delete):
            self._owner.remove_rows(sorted({index.row() for index in self.selectedIndexes()}))
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.fit()

    def fit(self) -> None:
        """Make room for some rows in the letters of now."""
        row_px = px_of(self, _ROW_PX)
        self.verticalHeader().setDefaultSectionSize(row_px)
        self.setFixedHeight(row_px * (_LINES + 1) + 4)


class ScanRows(Editor):
    """Channel, width, strongest level and how busy: an empty row waits under those that are there.

    `given` comes with all rows whenever every row that was begun is whole.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        self.table = _Table(self)
        super().__init__(self.table, parent)
        self._rows: tuple[ScanRow, ...] = ()
        self._wrong = False
        table = self.table
        table.setHorizontalHeaderLabels(_HEADS)
        table.setFont(letters.font(letters.NOTE_PX))
        table.horizontalHeader().setFont(letters.font(letters.COORDINATE_PX))
        table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        table.verticalHeader().setVisible(False)
        table.setTabKeyNavigation(False)
        table.fit()
        table.cellChanged.connect(self._changed)

    @property
    def is_dirty(self) -> bool:
        return self._wrong

    def show_value(self, value: Any, *, several: bool) -> None:
        self._rows = () if several else tuple(value or ())
        self._wrong = False
        with QSignalBlocker(self.table):
            self.table.clearContents()
            self.table.setRowCount(len(self._rows) + 1)
            for number, row in enumerate(self._rows):
                for column, name in enumerate(SCAN_FIELDS):
                    self._put(number, column, _written(getattr(row, name)))
            for column in range(len(_HEADS)):
                self._put(len(self._rows), column, "")

    def paste(self, text: str) -> None:
        """Add rows that were copied elsewhere; what cannot be read is refused whole."""
        try:
            rows = scan_rows_from_text(text)
        except InputError as error:
            self.refused.emit(plain_reason(error))
            return
        self.given.emit((*self._rows, *rows))

    def remove_rows(self, numbers: list[int]) -> None:
        """Take rows out."""
        kept = tuple(row for number, row in enumerate(self._rows) if number not in numbers)
        self.given.emit(kept)

    def _put(self, row: int, column: int, words: str) -> None:
        item = QTableWidgetItem(words)
        item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.table.setItem(row, column, item)

    def _cells(self, row: int) -> dict[str, str]:
        items = [self.table.item(row, column) for column in range(len(_HEADS))]
        return {name: item.text().strip() if item else "" for name, item in zip(SCAN_FIELDS, items, strict=True)}

    def _changed(self, _row: int, _column: int) -> None:
        """Give the rows when each that was begun has channel and level; until then wait."""
        cells = [self._cells(row) for row in range(self.table.rowCount())]
        begun = [row for row in cells if any(row.values())]
        try:
            # a row is typed from left to right: what is not there yet is no fault
            whole = all(row["channel"] and row["level_dbm"] for row in begun)
            rows = tuple(scan_row(row) for row in begun) if whole else None
        except InputError as error:
            self._wrong = True
            self.refused.emit(plain_reason(error))
            return
        self._wrong = rows is None
        if rows is not None and rows != self._rows:
            self.given.emit(rows)


def _written(value: float | None) -> str:
    return "" if value is None else f"{value:g}".replace("-", "\N{MINUS SIGN}")
