"""The register: everything on the site by kind, with search, filters, and names that are changed in place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QSortFilterProxyModel,
    Qt,
)
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from survey_app.desktop.desk import Desk
from survey_app.desktop.letters import NAME_PX, font
from survey_app.desktop.panels.field_words import kind_words
from survey_app.desktop.panels.form import heading
from survey_app.desktop.panels.row_table import RowTable
from survey_app.desktop.panels.scale import px_of, scale_of
from survey_app.desktop.panels.sheet_table import FLAGS, FlagDelegate, order_key
from survey_app.site.edits import change, rename
from survey_app.site.structure import Building
from survey_app.site.thing import Thing

if TYPE_CHECKING:
    from survey_app.assess.record import Finding

__all__ = ["COLUMNS", "Register", "RegisterModel"]

COLUMNS = ("flags", "id", "name", "kind", "status", "at")
_FLAGS, _ID, _NAME, _KIND, _STATUS, _AT = range(6)
_SORT = int(Qt.ItemDataRole.UserRole)
_EVERY_KIND, _EVERY_STATUS = "every kind", "every status"
_FLAGGED = "with flags"
Index = QModelIndex | QPersistentModelIndex


class RegisterModel(QAbstractTableModel):
    """One row a thing; ids and names can be edited."""

    def __init__(self, desk: Desk, parent: Any = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.things: tuple[Thing, ...] = ()
        self.letters_px = NAME_PX
        desk.site_changed.connect(self.refresh)
        desk.assessed.connect(self._flags_changed)
        self.refresh()

    def refresh(self) -> None:
        """Show the things of the present site; rows that stay are only painted again."""
        things = tuple(self._desk.things.values())
        if [one.id for one in things] != [one.id for one in self.things]:
            self.beginResetModel()
            self.things = things
            self.endResetModel()
            return
        changed = [number for number, (old, new) in enumerate(zip(self.things, things, strict=True)) if old is not new]
        self.things = things
        if changed:
            self.dataChanged.emit(self.index(changed[0], 0), self.index(changed[-1], len(COLUMNS) - 1))

    def _flags_changed(self) -> None:
        if self.things:
            self.dataChanged.emit(self.index(0, _FLAGS), self.index(len(self.things) - 1, _FLAGS))

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - the signature that Qt asks for
        return 0 if parent.isValid() else len(self.things)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 - the signature that Qt asks for
        return 0 if parent.isValid() else len(COLUMNS)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if orientation == Qt.Orientation.Horizontal and role == Qt.ItemDataRole.DisplayRole:
            return COLUMNS[section]
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        editable = Qt.ItemFlag.ItemIsEditable if index.column() in (_ID, _NAME) else Qt.ItemFlag.NoItemFlags
        return super().flags(index) | editable

    def findings(self, thing: Thing) -> tuple[Finding, ...]:
        """Return the findings about a thing."""
        rows = self._desk.rows
        return rows.findings_of.get(thing.id, ()) if rows is not None else ()

    def words(self, thing: Thing, column: int) -> str:
        """Return what stands in a cell."""
        match column:
            case 1:
                return thing.id
            case 2:
                return thing.name
            case 3:
                return kind_words(thing)
            case 4:
                return thing.status
            case 5:
                return at_words(thing)
            case _:
                return ""

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid():
            return None
        thing, column = self.things[index.row()], index.column()
        match role:
            case Qt.ItemDataRole.DisplayRole | Qt.ItemDataRole.EditRole:
                return self.words(thing, column)
            case Qt.ItemDataRole.FontRole:
                return font(self.letters_px, bold=column == _ID)
            case Qt.ItemDataRole.AccessibleTextRole if column == _FLAGS:
                return ", ".join(f"{one.severity} {one.number}" for one in self.findings(thing)) or "no flags"
            case _ if role == FLAGS and column == _FLAGS:
                return self.findings(thing)
            case _ if role == _SORT:
                if column == _FLAGS:
                    return min((one.number for one in self.findings(thing)), default=None)
                return self.words(thing, column)
            case _:
                return None

    def setData(self, index: Index, value: Any, role: int = Qt.ItemDataRole.EditRole) -> bool:
        if role != Qt.ItemDataRole.EditRole or not index.isValid():
            return False
        thing, text = self.things[index.row()], str(value).strip()
        if text == self.words(thing, index.column()):
            return False
        if index.column() == _NAME:
            return self._desk.perform(lambda site: change(site, thing.id, name=text))
        if not self._desk.perform(lambda site: rename(site, thing.id, text)):
            return False
        self._desk.select([text])
        return True


def at_words(thing: Thing) -> str:
    """Return what a thing hangs on, stands at or joins."""
    for field in ("mount", "structure", "wall", "device"):
        value = getattr(thing, field, None)
        # the wall of a building is what it is made of
        if value and not isinstance(thing, Building):
            return str(value)
    ends = [getattr(thing, field, None) for field in ("access_point", "station")]
    if all(ends):
        return f"{ends[0]} to {ends[1]}"
    a, b = getattr(thing, "a", None), getattr(thing, "b", None)
    return f"{a.thing} to {b.thing}" if a is not None and b is not None else ""


class _Filter(QSortFilterProxyModel):
    """Lets through what was searched for; sorts ids by their numbers."""

    def __init__(self, source: RegisterModel) -> None:
        super().__init__(source)
        self.source = source
        self.words: tuple[str, ...] = ()
        self.kind = self.status = ""
        self.setSourceModel(source)
        self.setDynamicSortFilter(True)

    def filterAcceptsRow(self, row: int, _parent: Index) -> bool:
        thing = self.source.things[row]
        if self.kind and kind_words(thing) != self.kind:
            return False
        if self.status == _FLAGGED and not self.source.findings(thing):
            return False
        if self.status not in ("", _FLAGGED, thing.status):
            return False
        if not self.words:
            return True
        text = f"{thing.id} {thing.name} {kind_words(thing)} {at_words(thing)} {thing.note}".casefold()
        return all(word in text for word in self.words)

    def lessThan(self, left: Index, right: Index) -> bool:
        return order_key(left.data(_SORT)) < order_key(right.data(_SORT))


class _View(RowTable):
    """The rows; F2 changes an id or a name in place."""

    def __init__(self, desk: Desk, rows: _Filter) -> None:
        super().__init__(desk, rows, "register")
        self._rows, self._things = rows, rows.source
        self.setEditTriggers(QAbstractItemView.EditTrigger.EditKeyPressed)
        self.setItemDelegateForColumn(_FLAGS, FlagDelegate(self))
        head = self.horizontalHeader()
        head.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        head.setStretchLastSection(True)
        self.fit()

    def fit(self) -> None:
        super().fit()
        self._things.letters_px = NAME_PX * scale_of(self)
        for column, width in ((_FLAGS, 116), (_ID, 120), (_NAME, 190), (_KIND, 96), (_STATUS, 76)):
            self.setColumnWidth(column, px_of(self, width))

    def chosen(self) -> tuple[str, ...]:
        return tuple(index.siblingAtColumn(_ID).data() for index in self.selectionModel().selectedRows())

    def indexes_of(self, wanted: set[str]) -> Iterator[QModelIndex]:
        for number, thing in enumerate(self._things.things):
            if thing.id in wanted:
                yield self._rows.mapFromSource(self._things.index(number, 0))

    def copied_heads(self) -> Sequence[str]:
        return COLUMNS[_ID:]

    def copied_cells(self, number: int) -> Sequence[str]:
        model = self.model()
        return [str(model.index(number, column).data()) for column in range(_ID, len(COLUMNS))]


class Register(QWidget):
    """The register with its search box and filters.

    Parameters
    ----------
    desk : Desk
        The open document.
    """

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setProperty("part", "page")
        self.things = RegisterModel(desk, self)
        self.rows = _Filter(self.things)
        self.view = _View(desk, self.rows)
        self.search = QLineEdit()
        self.search.setPlaceholderText("search: id, name, kind, what it hangs on")
        self.search.setAccessibleName("search the register")
        self.search.setClearButtonEnabled(False)
        self.kind, self.status = QComboBox(), QComboBox()
        self.kind.setAccessibleName("kind of thing")
        self.status.setAccessibleName("status of thing")
        self.count = QLabel()
        self.count.setProperty("part", "soft")
        self._lay_out()
        self.search.textChanged.connect(self._find)
        self.kind.activated.connect(self._find)
        self.status.activated.connect(self._find)
        self.things.modelReset.connect(self._refresh)
        self.things.dataChanged.connect(self._say_count)
        self._refresh()

    def _lay_out(self) -> None:
        line = QHBoxLayout()
        line.setSpacing(6)
        line.addWidget(self.search, 1)
        for widget in (self.kind, self.status):
            line.addWidget(widget)
        head = QHBoxLayout()
        head.addWidget(heading("register"))
        head.addStretch(1)
        head.addWidget(self.count)
        box = QVBoxLayout(self)
        box.setContentsMargins(12, 8, 12, 8)
        box.setSpacing(5)
        box.addLayout(head)
        box.addLayout(line)
        box.addWidget(self.view, 1)

    def _refresh(self) -> None:
        """Offer the kinds and statuses that occur."""
        kinds = sorted({kind_words(thing) for thing in self.things.things})
        statuses = sorted({thing.status for thing in self.things.things})
        _offer(self.kind, [_EVERY_KIND, *kinds])
        _offer(self.status, [_EVERY_STATUS, _FLAGGED, *statuses])
        self._search()

    def _find(self) -> None:
        """Search for something else: what is found is shown from its first row on."""
        self._search()
        if not self.view.selectionModel().selectedRows():
            self.view.scrollToTop()

    def _search(self) -> None:
        self.rows.beginFilterChange()
        self.rows.words = tuple(self.search.text().casefold().split())
        self.rows.kind = self.kind.currentText() if self.kind.currentIndex() > 0 else ""
        self.rows.status = self.status.currentText() if self.status.currentIndex() > 0 else ""
        with self.view.held():
            self.rows.endFilterChange()
        self._say_count()
        self.view.follow()

    def _say_count(self) -> None:
        shown, every = self.rows.rowCount(), len(self.things.things)
        self.count.setText(f"{every} things" if shown == every else f"{shown} of {every} things")

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        for index in self.view.selectionModel().selectedRows()[:1]:
            self.view.scrollTo(index)


def _offer(combo: QComboBox, words: list[str]) -> None:
    if [combo.itemText(number) for number in range(combo.count())] == words:
        return
    now = combo.currentText()
    combo.clear()
    combo.addItems(words)
    combo.setCurrentIndex(max(0, combo.findText(now)))
