"""Tables of the window: sortable, copied as text, a row selects what it is about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QSortFilterProxyModel,
    Qt,
)
from PySide6.QtGui import QFontMetrics, QPainter, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from survey_app.desktop.desk import Desk
from survey_app.desktop.letters import HEAD_PX, NAME_PX, font
from survey_app.desktop.palette import colour
from survey_app.desktop.panels.flag_marks import paint_flag
from survey_app.desktop.panels.form import heading
from survey_app.desktop.panels.row_table import ROW_PX, RowTable
from survey_app.desktop.panels.scale import scale_of

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment, Finding

__all__ = [
    "FLAGS",
    "Cell",
    "Column",
    "FlagDelegate",
    "Foot",
    "Row",
    "SheetPage",
    "SheetTable",
    "TableModel",
    "order_key",
]

FLAGS = int(Qt.ItemDataRole.UserRole) + 1
SORT = int(Qt.ItemDataRole.UserRole)
Index = QModelIndex | QPersistentModelIndex
_FLAG_STEP_PX = 23
_MOST_FLAGS = 4
_PAD_PX, _WIDEST_PX = 20, 330


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: what is read, by what it is sorted (None = not known, last), and flags."""

    text: str
    sort: float | str | None = None
    flags: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Column:
    """Head of a column, on one or two lines, with the unit; whether figures stand at the right."""

    head: str
    figures: bool = False
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One row and the things that it is about."""

    cells: tuple[Cell, ...]
    ids: tuple[str, ...]


def order_key(value: float | str | None) -> tuple[int, float, str]:
    """Return by what a cell is sorted: figures, then words, then what is not known.

    Examples
    --------
    >>> sorted([None, "H10", 2.0, "H9"], key=order_key)
    [2.0, 'H9', 'H10', None]
    """
    if value is None:
        return 2, 0.0, ""
    if isinstance(value, str):
        stem = value.rstrip("0123456789")
        number = value[len(stem) :]
        # ids count by their number: H9 before H10
        return 1, 0.0, f"{stem.casefold()}{number:0>9}" if number else stem.casefold()
    return 0, float(value), ""


class TableModel(QAbstractTableModel):
    """Rows of cells under heads; in brackets while they are not yet true."""

    def __init__(self, parent: Any = None) -> None:
        super().__init__(parent)
        self.columns: tuple[Column, ...] = ()
        self.rows: tuple[Row, ...] = ()
        self._fresh = True
        self.letters_px = NAME_PX

    def put(self, columns: Sequence[Column], rows: Sequence[Row]) -> None:
        """Show other rows; nothing happens where they are the same."""
        new = tuple(columns), tuple(rows)
        if new != (self.columns, self.rows):
            self.beginResetModel()
            self.columns, self.rows = new
            self.endResetModel()

    def say_fresh(self, fresh: bool) -> None:
        """Say whether the figures are of the present site."""
        if fresh != self._fresh:
            self._fresh = fresh
            if self.rows:
                last = self.index(len(self.rows) - 1, len(self.columns) - 1)
                self.dataChanged.emit(self.index(0, 0), last)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - the signature that Qt asks for
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - the signature that Qt asks for
        return 0 if parent.isValid() else len(self.columns)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return self.columns[section].head
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.TextAlignmentRole:
            side = Qt.AlignmentFlag.AlignRight if self.columns[section].figures else Qt.AlignmentFlag.AlignLeft
            return int(side | Qt.AlignmentFlag.AlignBottom)
        return None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        cell, column = self.rows[index.row()].cells[index.column()], self.columns[index.column()]
        match role:
            case Qt.ItemDataRole.DisplayRole | Qt.ItemDataRole.AccessibleTextRole:
                return cell.text if self._fresh or not column.figures else f"[{cell.text}]"
            case Qt.ItemDataRole.TextAlignmentRole:
                side = Qt.AlignmentFlag.AlignRight if column.figures else Qt.AlignmentFlag.AlignLeft
                return int(side | Qt.AlignmentFlag.AlignVCenter)
            case Qt.ItemDataRole.FontRole:
                return font(self.letters_px, bold=column.strong, italic=column.figures and not self._fresh)
            case Qt.ItemDataRole.ForegroundRole if column.figures and not self._fresh:
                return colour("ink 2")
            case _:
                return {SORT: cell.sort, FLAGS: cell.flags}.get(role)


class SortModel(QSortFilterProxyModel):
    """Sorts by value; what is not known stands last in either direction."""

    def lessThan(self, left: Index, right: Index) -> bool:
        one, other = left.data(SORT), right.data(SORT)
        if (one is None) != (other is None):
            return (one is not None) == (self.sortOrder() == Qt.SortOrder.AscendingOrder)
        return order_key(one) < order_key(other)


class FlagDelegate(QStyledItemDelegate):
    """Paints the flags of a row in their shapes, with their numbers."""

    def __init__(self, view: QTableView) -> None:
        super().__init__(view)
        self._view = view

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        super().paint(painter, option, index)
        findings: tuple[Finding, ...] = index.data(FLAGS) or ()
        scale = scale_of(self._view)
        middle = option.rect.center().y() + 0.5
        for place, finding in enumerate(findings[:_MOST_FLAGS]):
            at = QPointF(option.rect.left() + (14.0 + _FLAG_STEP_PX * place) * scale, middle)
            paint_flag(
                painter, at, finding.severity, str(finding.number), 8.6 * scale, accepted=finding.accepted is not None
            )
        if len(findings) > _MOST_FLAGS:
            painter.save()
            painter.setPen(colour("ink 2"))
            rest = option.rect.adjusted(round((6 + _FLAG_STEP_PX * _MOST_FLAGS) * scale), 0, 0, 0)
            painter.drawText(rest, int(Qt.AlignmentFlag.AlignVCenter), f"+{len(findings) - _MOST_FLAGS}")
            painter.restore()


def _flags_px(count: int) -> int:
    return _FLAG_STEP_PX * min(count, _MOST_FLAGS) + (22 if count > _MOST_FLAGS else 0)


class SheetTable(RowTable):
    """A table over a model; rows and the desk's selection follow each other.

    Parameters
    ----------
    desk : Desk
        The open document.
    name : str
        What the table is, for those who do not see it.
    """

    def __init__(self, desk: Desk, name: str, parent: QWidget | None = None) -> None:
        table, rows = TableModel(), SortModel()
        rows.setSourceModel(table)
        rows.setSortRole(SORT)
        super().__init__(desk, rows, name, parent)
        self.table, self.sorted = table, rows
        for model in (table, rows):
            model.setParent(self)
        self._sized: tuple[Column, ...] = ()
        self._words_px: dict[int, int] = {}
        """Width that the words of a column need."""
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().setDefaultSectionSize(ROW_PX)
        head = self.horizontalHeader()
        head.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom)
        head.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)

    def put(self, columns: Sequence[Column], rows: Sequence[Row]) -> None:
        """Show other rows; sort and selection stay."""
        with self.held():
            self.table.put(columns, rows)
        for number, column in enumerate(columns):
            if column.head == "flags":
                self.setItemDelegateForColumn(number, FlagDelegate(self))
        if self._sized != tuple(columns) and rows:
            self._sized = tuple(columns)
            self._size_columns()
        self.follow()

    def _size_columns(self) -> None:
        """Make each column as wide as its widest words, within reason."""
        scale = scale_of(self)
        self._words_px = {}
        head_letters = QFontMetrics(font(HEAD_PX * scale))
        for number, column in enumerate(self.table.columns):
            letters = QFontMetrics(font(NAME_PX * scale, bold=column.strong))
            heads = [head_letters.horizontalAdvance(line) for line in column.head.split("\n")]
            cells = [letters.horizontalAdvance(row.cells[number].text) for row in self.table.rows]
            flags = [_flags_px(len(row.cells[number].flags)) for row in self.table.rows]
            width = max(*heads, *cells, *(flag * scale for flag in flags), 0) + _PAD_PX
            self.setColumnWidth(number, round(min(width, _WIDEST_PX * scale)))
            if not column.figures:
                self._words_px[number] = round(width)
        self._spread()

    def _spread(self) -> None:
        """Give what is left of the width to columns of words that are cut."""
        head = self.horizontalHeader()
        for number, wanted in self._words_px.items():
            room = self.viewport().width() - head.length()
            missing = wanted - self.columnWidth(number)
            if room > 0 and missing > 0:
                self.setColumnWidth(number, self.columnWidth(number) + min(room, missing))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._spread()

    def fit(self) -> None:
        super().fit()
        self.table.letters_px = NAME_PX * scale_of(self)
        self._size_columns()

    def chosen(self) -> tuple[str, ...]:
        rows = [self.sorted.mapToSource(index).row() for index in self.selectionModel().selectedRows()]
        return tuple(dict.fromkeys(self.table.rows[row].ids[0] for row in rows if self.table.rows[row].ids))

    def indexes_of(self, wanted: set[str]) -> Iterator[QModelIndex]:
        for number, row in enumerate(self.table.rows):
            if row.ids and row.ids[0] in wanted:
                yield self.sorted.mapFromSource(self.table.index(number, 0))

    def copied_heads(self) -> Sequence[str]:
        return [column.head.replace("\n", " ") for column in self.table.columns]

    def copied_cells(self, number: int) -> Sequence[str]:
        row = self.table.rows[self.sorted.mapToSource(self.sorted.index(number, 0)).row()]
        return [_flat(cell) for cell in row.cells]


def _flat(cell: Cell) -> str:
    words = cell.text or "; ".join(f"{one.number} {one.severity}" for one in cell.flags)
    return " ".join(words.split())


class Foot(QLabel):
    """What a reader must know of a table, on one line; all of it under the pointer."""

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("part", "soft")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.words = ""

    def say(self, words: str) -> None:
        """Show other words."""
        self.words = words
        self.setToolTip(words)
        self.setAccessibleName(words)
        self._cut()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._cut()

    def _cut(self) -> None:
        self.setText(self.fontMetrics().elidedText(self.words, Qt.TextElideMode.ElideRight, self.width()))


class SheetPage(QWidget):
    """A table with its head above it, and what a reader must know beside the head."""

    sheet: type[SheetTable] = SheetTable
    """What the table is made of."""

    def __init__(self, desk: Desk, title: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._filled: Assessment | None = None
        self.setProperty("part", "page")
        self.table = self.sheet(desk, title)
        self.foot = Foot()
        head = QHBoxLayout()
        head.setSpacing(16)
        self.title = heading(title)
        head.addWidget(self.title)
        head.addWidget(self.foot, 1)
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 6, 12, 8)
        box.setSpacing(4)
        box.addLayout(head)
        box.addWidget(self.table, 1)
        desk.assessed.connect(self.refresh)
        desk.went_stale.connect(self._say_fresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the newest assessment; its rows are only made when somebody can see them."""
        self._say_fresh()
        found = self._desk.assessment
        if self.isVisible() and found is not None and found is not self._filled and self._desk.is_fresh:
            self._filled = found
            self.fill()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.refresh()

    def fill(self) -> None:
        """Put the rows into the table."""
        raise NotImplementedError

    def _say_fresh(self) -> None:
        self.table.table.say_fresh(self._desk.is_fresh or self._desk.assessment is None)
