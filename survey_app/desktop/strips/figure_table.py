"""Figures of several designs in columns: the best of each row bold, copied as text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFontMetrics, QGuiApplication, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem, QWidget

from survey_app.assess.record import Comparison
from survey_app.desktop.letters import HEAD_PX, NAME_PX, font
from survey_app.desktop.palette import colour
from survey_app.desktop.panels.own_keys import keeps
from survey_app.desktop.panels.row_table import ROW_PX
from survey_app.desktop.panels.scale import px_of, scale_of
from survey_app.paper.comparison import figure_cell

__all__ = ["FigureTable"]

_PAD_PX = 22
_WIDEST_PX = 300
_HEADS = ("figure", "unit")
_DIFFER = "lines of the tally that differ"


class _Figure(NamedTuple):
    text: str
    best: bool = False


class _Line(NamedTuple):
    words: str
    unit: str
    figures: tuple[_Figure, ...]
    is_figure: bool = False


class FigureTable(QTableWidget):
    """A comparison as a table; Copy takes the marked rows, or all of them, as text."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setTabKeyNavigation(False)
        self.setMinimumHeight(40)
        self.verticalHeader().hide()
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        self._lines: tuple[_Line, ...] = ()
        self._names: tuple[str, ...] = ()
        self._stale = False

    def put(self, found: Comparison) -> None:
        """Show a comparison."""
        self._names = tuple(option.name for option in found.options)
        self._lines = tuple(_lines(found))
        self._stale = False
        self._write()

    def say_fresh(self, fresh: bool) -> None:
        """Say whether the first design is still as it was compared."""
        if self._stale == fresh:
            self._stale = not fresh
            self._write()

    def _write(self) -> None:
        self.setColumnCount(len(_HEADS) + len(self._names))
        self.setRowCount(len(self._lines))
        self.setHorizontalHeaderLabels([*_HEADS, *self._names])
        for column in range(self.columnCount()):
            side = Qt.AlignmentFlag.AlignLeft if column < len(_HEADS) else Qt.AlignmentFlag.AlignRight
            head = self.horizontalHeaderItem(column)
            if head is not None:
                head.setTextAlignment(side | Qt.AlignmentFlag.AlignBottom)
        for number, line in enumerate(self._lines):
            self._put(number, 0, line.words, strong=not line.figures)
            self._put(number, 1, line.unit)
            for place, figure in enumerate(line.figures):
                self._put_figure(number, len(_HEADS) + place, figure, stale=self._stale and place == 0)
        self._fit()

    def _put(self, row: int, column: int, words: str, *, strong: bool = False) -> QTableWidgetItem:
        item = QTableWidgetItem(words)
        item.setFont(font(NAME_PX * scale_of(self), bold=strong))
        item.setToolTip(words if column == 0 else "")
        self.setItem(row, column, item)
        return item

    def _put_figure(self, row: int, column: int, figure: _Figure, *, stale: bool) -> None:
        item = self._put(row, column, f"[{figure.text}]" if stale else figure.text, strong=figure.best and not stale)
        item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        if stale:
            item.setFont(font(NAME_PX * scale_of(self), italic=True))
            item.setForeground(colour("ink 2"))
        elif figure.best:
            # bold is not heard
            item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{figure.text}, none is better")

    def _fit(self) -> None:
        scale = scale_of(self)
        self.verticalHeader().setDefaultSectionSize(px_of(self, ROW_PX))
        heads = QFontMetrics(font(HEAD_PX * scale))
        letters = QFontMetrics(font(NAME_PX * scale, bold=True))
        # the long words of the tally's lines are cut rather than push the figures away
        whole = [number for number, line in enumerate(self._lines) if line.is_figure]
        for column, head in enumerate((*_HEADS, *self._names)):
            rows = whole if column == 0 else range(self.rowCount())
            items = [self.item(row, column) for row in rows]
            cells = [letters.horizontalAdvance(item.text()) for item in items if item is not None]
            widest = max(heads.horizontalAdvance(head), *cells, 0)
            self.setColumnWidth(column, round(min(widest, _WIDEST_PX * scale)) + _PAD_PX)

    def text(self) -> str:
        """Return the marked rows, or all of them, as text: heads first, cells parted by tabs."""
        marked = sorted({index.row() for index in self.selectionModel().selectedRows()})
        lines = [self._lines[number] for number in marked] or list(self._lines)
        rows = [[*_HEADS, *self._names], *([line.words, line.unit, *(f.text for f in line.figures)] for line in lines)]
        return "".join("\t".join(row) + "\n" for row in rows)

    def copy(self) -> None:
        """Put the text on the clipboard."""
        QGuiApplication.clipboard().setText(self.text())

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.PaletteChange) and self._lines:
            self._write()

    def event(self, event: QEvent) -> bool:
        own = (QKeySequence.StandardKey.Copy, QKeySequence.StandardKey.SelectAll)
        return keeps(event, (), own) or super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        else:
            super().keyPressEvent(event)


def _lines(found: Comparison) -> Iterator[_Line]:
    for row in found.figures:
        yield _Line(row.quantity, row.unit, tuple(_figures(row.values, row.best)), is_figure=True)
    if found.parts:
        yield _Line(_DIFFER, "", ())
    for part in found.parts:
        yield _Line(part.what, part.unit, tuple(_figures(part.orders, ())))


def _figures(values: Sequence[float | str | None], best: Sequence[int]) -> Iterator[_Figure]:
    for place, value in enumerate(values):
        yield _Figure(figure_cell(value).text, place in best)
