"""Cells with their air, those of one channel together; and what goes dark when one thing fails."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.sheet_table import Cell, Column, Row, SheetPage, SheetTable
from survey_app.paper.rounding import number

if TYPE_CHECKING:
    from survey_app.assess.record import CellRow, FailureRow, Finding

__all__ = ["CellTable", "FailureTable", "cell_rows", "failure_rows"]

_UNKNOWN = Cell("not known")
_NONE = Cell("none", "none")

_CELL_COLUMNS = (
    Column("cell", strong=True),
    Column("channel", figures=True),
    Column("width\nMHz", figures=True),
    Column("own load\n%", figures=True),
    Column("others here\n%", figures=True),
    Column("neighbours\n%", figures=True),
    Column("all together\n%", figures=True),
    Column("delay, 99 of\n100, ms", figures=True),
    Column("more\ncameras", figures=True),
    Column("shares air with"),
    Column("flags"),
)
_FAILURE_COLUMNS = (
    Column("what fails", strong=True),
    Column("kind"),
    Column("cameras\ndark", figures=True),
    Column("not\nrecorded", figures=True),
    Column("recorded\nat least h", figures=True),
    Column("come home\nelsewhere", figures=True),
    Column("slower", figures=True),
    Column("fullest\nthen"),
    Column("its load\n%", figures=True),
    Column("which go dark"),
)


def cell_rows(cells: Iterable[CellRow], findings: dict[str, tuple[Finding, ...]]) -> tuple[Row, ...]:
    """Return one row a cell: by channel, so that those of one channel stand together, then by cell.

    Parameters
    ----------
    cells : iterable of CellRow
        Cells of the assessment.
    findings : dict of str to tuple of Finding
        Findings by the cell that they are about.
    """
    ordered = sorted(cells, key=lambda row: (row.channel is None, row.channel or 0, row.id))
    return tuple(_cell_row(row, findings.get(row.id, ())) for row in ordered)


def _cell_row(row: CellRow, flags: tuple[Finding, ...]) -> Row:
    cells = (
        Cell(row.id, row.id),
        Cell("none") if row.channel is None else Cell(str(row.channel), float(row.channel)),
        Cell(f"{row.width_mhz:g}", row.width_mhz),
        _percent(row.load_fraction),
        _percent(row.heard_fraction),
        # what was never listened to is not silence
        Cell("no scan") if row.neighbours_fraction is None else _percent(row.neighbours_fraction),
        _percent(row.load_with_others_fraction),
        _whole(row.delay_p99_ms),
        _whole(row.more_cameras),
        _list(row.heard_cells),
        Cell("", float(min((flag.number for flag in flags), default=10**6)), flags),
    )
    return Row(cells, tuple(dict.fromkeys((row.id, row.access_point))))


def failure_rows(failures: Iterable[FailureRow]) -> tuple[Row, ...]:
    """Return one row for each thing whose failure a camera feels, the gravest first; about it and what goes dark."""
    return tuple(_failure_row(row) for row in failures)


def _failure_row(row: FailureRow) -> Row:
    cells = (
        Cell(row.subject, row.subject),
        Cell(row.kind, row.kind),
        _count(row.dark),
        _count(row.unrecorded),
        _NONE if row.recorded_hours is None else Cell(number(row.recorded_hours, 0), row.recorded_hours),
        _count(row.moved),
        _count(row.slower),
        _NONE if row.fullest is None else Cell(row.fullest, row.fullest),
        _full(row),
        _list(row.dark),
    )
    return Row(cells, (row.subject, *row.dark))


def _full(row: FailureRow) -> Cell:
    if row.fullest is None:
        return _NONE
    # the record has no number for what carries something over no rate at all
    return _percent(row.load_fraction) if row.load_fraction is not None else Cell("no rate", math.inf)


def _percent(fraction: float | None) -> Cell:
    return _UNKNOWN if fraction is None else Cell(number(100.0 * fraction, 0), fraction)


def _whole(value: float | None) -> Cell:
    return _UNKNOWN if value is None else Cell(number(value, 0), float(value))


def _count(things: tuple[str, ...]) -> Cell:
    return Cell(str(len(things)), float(len(things)))


def _list(things: tuple[str, ...]) -> Cell:
    return Cell(", ".join(things), ", ".join(things)) if things else _NONE


class CellTable(SheetPage):
    """The cells and the air that each has."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "cells", parent)
        self.foot.say("By channel; percents are of the air that a cell can use.")

    def fill(self) -> None:
        rows = self._desk.rows
        if rows is not None:
            self.table.put(_CELL_COLUMNS, cell_rows(rows.assessment.cells, dict(rows.findings_of)))


class _FailureSheet(SheetTable):
    """A marked row selects what fails together with the cameras that go dark."""

    def chosen(self) -> tuple[str, ...]:
        marked = [self.sorted.mapToSource(index).row() for index in self.selectionModel().selectedRows()]
        return tuple(dict.fromkeys(one for row in marked for one in self.table.rows[row].ids))


class FailureTable(SheetPage):
    """What fails, and what goes dark with it."""

    sheet = _FailureSheet

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "if one thing fails", parent)
        self.foot.say("A row selects what fails and the cameras that go dark with it; nothing is changed.")

    @property
    def subject(self) -> str | None:
        """What fails in the marked row; None unless just one is marked."""
        rows = self.table.selectionModel().selectedRows()
        return self.table.table.rows[self.table.sorted.mapToSource(rows[0]).row()].ids[0] if len(rows) == 1 else None

    def suppose(self) -> None:
        """Show on the plan what happens if what the marked row is about fails."""
        from survey_app.assess.what_if import Fails

        if self.subject is not None:
            self._desk.suppose(Fails(self.subject))

    def fill(self) -> None:
        assessment = self._desk.assessment
        if assessment is not None:
            self.table.put(_FAILURE_COLUMNS, failure_rows(assessment.failures))
