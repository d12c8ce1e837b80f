"""The tally as a table: the lines of the paper, sortable."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtWidgets import QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.sheet_table import Cell, Column, Row, SheetPage
from survey_app.paper.tally_cells import TallyLine, about_lines, id_list, tally_lines

__all__ = ["TallyTable", "tally_rows"]

_COLUMNS = (
    Column("item", figures=True),
    Column("group"),
    Column("what"),
    Column("for"),
    Column("status"),
    Column("need", figures=True),
    Column("spare", figures=True),
    Column("order", figures=True, strong=True),
    Column("unit"),
    Column("how counted"),
    Column("by whom"),
)


def tally_rows(lines: tuple[TallyLine, ...]) -> tuple[Row, ...]:
    """Return one row a line."""
    return tuple(_row(line) for line in lines)


def _row(line: TallyLine) -> Row:
    words = id_list(line.ids)
    cells = (
        Cell(str(line.item), float(line.item)),
        Cell(line.group, line.group),
        Cell(line.what, line.what),
        Cell(words, words),
        Cell(line.status, line.status),
        _quantity(line.need),
        _quantity(line.spare),
        _quantity(line.order),
        Cell(line.unit, line.unit),
        Cell(line.how, line.how),
        Cell(line.by_whom, line.by_whom),
    )
    return Row(cells, tuple(dict.fromkeys(part.subject for part in line.parts)))


def _quantity(size: Decimal) -> Cell:
    return Cell(f"{size.normalize():f}", float(size))


class TallyTable(SheetPage):
    """The counted equipment."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "tally", parent)

    def fill(self) -> None:
        assessment = self._desk.assessment
        if assessment is None:
            return
        site = self._desk.site
        self.table.put(_COLUMNS, tally_rows(tally_lines(site, assessment)))
        self.foot.say(" ".join(about_lines(site, assessment)[1:]))
