"""Who hears whom as a matrix: a row for each that hears, a column for each that is heard."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QItemSelection, QItemSelectionModel
from PySide6.QtWidgets import QAbstractItemView, QWidget

from survey_app.desktop.desk import Desk, Rows
from survey_app.desktop.panels.sheet_table import Cell, Column, Row, SheetPage, SheetTable
from survey_app.paper.rounding import number

if TYPE_CHECKING:
    from survey_app.assess.hearing import Hearing
    from survey_app.assess.record import HopRow

__all__ = ["HearingTable", "hearing_columns", "hearing_rows", "senders_of"]

_FIXED = 4
_UNKNOWN = Cell("not known")
_WORDS = (
    "dB over the noise of the radio that hears, in its channel; empty: under the noise. "
    "w: it waits while that one sends; own: of its own cell. A cell of the table selects both."
)


def senders_of(hearing: Hearing) -> tuple[str, ...]:
    """Return the radios that some radio of another cell hears over its noise, in the order of the design."""
    over, count = hearing.over_noise_db, len(hearing.radios)
    return tuple(
        hearing.radios[k]
        for k in range(count)
        if any(hearing.is_other(n, k) and over[n, k] > 0.0 for n in range(count))
    )


def hearing_columns(hearing: Hearing) -> tuple[Column, ...]:
    """Return the heads: who hears, its cell and channel, what is left of its signal, then who is heard."""
    heads = (Column("hears", strong=True), Column("cell"), Column("channel", figures=True))
    left = Column("SINR, worse\nhop, dB", figures=True)
    return (*heads, left, *(Column(f"{one}\ndB", figures=True) for one in senders_of(hearing)))


def hearing_rows(hearing: Hearing, rows: Rows) -> tuple[Row, ...]:
    """Return one row for each radio that is in a cell.

    Parameters
    ----------
    hearing : Hearing
        Who hears whom.
    rows : Rows
        The assessment of the same site.
    """
    hops: dict[str, list[HopRow]] = {}
    for hop in rows.assessment.hops:
        hops.setdefault(hop.access_point, []).append(hop)
        hops.setdefault(hop.station, []).append(hop)
    senders = tuple(hearing.rows[one] for one in senders_of(hearing))
    return tuple(
        _row(hearing, rows, n, senders, hops.get(key, []))
        for n, key in enumerate(hearing.radios)
        if hearing.cells[n] is not None
    )


def _row(hearing: Hearing, rows: Rows, n: int, senders: tuple[int, ...], hops: list[HopRow]) -> Row:
    key, cell = hearing.radios[n], hearing.cells[n] or ""
    radio = rows.radios.get(key)
    channel = radio.channel if radio is not None else None
    cells = (
        Cell(key, key),
        Cell(cell, cell),
        _UNKNOWN if channel is None else Cell(str(channel), float(channel)),
        _sinr(key, hops),
        *(_heard(hearing, n, k) for k in senders),
    )
    return Row(cells, (key,))


def _sinr(key: str, hops: list[HopRow]) -> Cell:
    """What is left where this radio hears: the worst of its hops."""
    told = [
        (hop.directions.to_access_point if hop.access_point == key else hop.directions.to_station).sinr_db
        for hop in hops
    ]
    known = [value for value in told if value is not None]
    return Cell(number(min(known), 1), min(known)) if known else _UNKNOWN


def _heard(hearing: Hearing, n: int, k: int) -> Cell:
    if n == k:
        return Cell("itself")
    if not hearing.is_other(n, k):
        return Cell("own")
    over_db = float(hearing.over_noise_db[n, k])
    if over_db != over_db:
        return _UNKNOWN
    if over_db <= 0.0:
        return Cell("", over_db)
    waits = " w" if hearing.waits[n, k] else ""
    return Cell(f"{number(over_db, 0)}{waits}", over_db)


class _Matrix(SheetTable):
    """Cells are marked, not rows: one selects who hears and who is heard."""

    def __init__(self, desk: Desk, name: str, parent: QWidget | None = None) -> None:
        super().__init__(desk, name, parent)
        self.senders: tuple[str, ...] = ()
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)

    def chosen(self) -> tuple[str, ...]:
        ids: list[str] = []
        for index in self.selectionModel().selectedIndexes():
            ids += self.table.rows[self.sorted.mapToSource(index).row()].ids[:1]
            if index.column() >= _FIXED:
                ids.append(self.senders[index.column() - _FIXED])
        return tuple(dict.fromkeys(ids))

    def follow(self) -> None:
        """Mark the cells between selected radios, or else their names."""
        wanted = set(self._desk.selection)
        if self._is_held or set(self.chosen()) == wanted:
            return
        columns = {one: _FIXED + k for k, one in enumerate(self.senders) if one in wanted}
        rows = {row.ids[0]: n for n, row in enumerate(self.table.rows) if row.ids[0] in wanted}
        pairs = [(n, column) for one, n in rows.items() for other, column in columns.items() if one != other]
        marked = QItemSelection()
        for n, column in pairs or [(n, 0) for n in rows.values()]:
            index = self.sorted.mapFromSource(self.table.index(n, column))
            marked.select(index, index)
        with self.held():
            self.selectionModel().select(marked, QItemSelectionModel.SelectionFlag.ClearAndSelect)
            if marked.indexes():
                self.scrollTo(marked.indexes()[0])


class HearingTable(SheetPage):
    """The matrix; it asks who hears whom while somebody looks at it."""

    sheet = _Matrix

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        self._shown: Hearing | None = None
        super().__init__(desk, "who hears whom", parent)
        self.foot.say(_WORDS)
        desk.hearing_came.connect(self.refresh)

    def refresh(self) -> None:
        """Show what is known, and ask for what is not."""
        self._say_fresh()
        hearing, rows = self._desk.hearing, self._desk.rows
        if not self.isVisible() or not self._desk.is_fresh:
            return
        if hearing is None:
            self._desk.ask_hearing()
        elif rows is not None and hearing is not self._shown:
            self._shown = hearing
            table = self.table
            assert isinstance(table, _Matrix)
            table.senders = senders_of(hearing)
            table.put(hearing_columns(hearing), hearing_rows(hearing, rows))
            self._say_fresh()

    def fill(self) -> None:
        """Rows come with the answer to the question, not with the assessment."""

    def _say_fresh(self) -> None:
        self.table.table.say_fresh(self._shown is None or self._desk.hearing is self._shown)
