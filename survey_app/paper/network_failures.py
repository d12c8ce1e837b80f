"""Single failures on paper: things whose failure does the same stand in one row."""

from __future__ import annotations

from survey_app.assess.record import FailureRow
from survey_app.paper.ledger import Cell, Chain, Column, Group, Table, Words, over_rows
from survey_app.paper.rounding import number
from survey_app.paper.tally_cells import id_runs

__all__ = ["failure_sentences", "failure_table"]

_NONE = Words("none")


def failure_table(failures: tuple[FailureRow, ...]) -> Table | None:
    """Return the table of single failures, the gravest first; None where no camera feels any."""
    if not failures:
        return None
    alike: dict[tuple[object, ...], list[FailureRow]] = {}
    for row in failures:
        alike.setdefault(_effect(row), []).append(row)
    columns = (
        Column(("WHAT FAILS: ANY ONE OF",), 69, wraps=True),
        Column(("DARK",), 12, "right", bold=True, rule=True),
        Column(("CAMERAS THAT GO DARK",), 48, wraps=True),
        Column(("NOT", "RECORDED"), 17, "right"),
        Column(("RECORD BY", "THEMSELVES h"), 21, "right"),
        Column(("COME HOME", "ANOTHER WAY"), 24, rule=True, wraps=True),
        Column(("SLOWER",), 18, wraps=True),
        Column(("FULLEST THEN", "load %"), 22, wraps=True),
        Column(("SEVERITY",), 18, rule=True),
    )
    rows = [cells for same in alike.values() for cells in over_rows(_row(same), columns)]
    return Table(
        columns=columns,
        groups=(Group("", tuple(rows)),),
        row_mm=6.2,
        head_mm=7.6,
        title="IF ONE THING FAILS",
        note="each thing in turn; those whose failure does the same stand in one row",
    )


def _effect(row: FailureRow) -> tuple[object, ...]:
    return (
        row.dark, row.unrecorded, row.moved, row.slower, row.recorded_hours, row.fullest, row.load_fraction,
        row.severity,
    )  # fmt: skip


def _row(same: list[FailureRow]) -> tuple[Cell, ...]:
    first = same[0]
    return (
        Chain(tuple(f"{row.kind} {row.subject}" for row in same), commas=True),
        Words(str(len(first.dark)) if first.dark else "none"),
        _names(first.dark),
        Words(str(len(first.unrecorded)) if first.dark else "none"),
        _NONE if first.recorded_hours is None else Words(number(first.recorded_hours, 0)),
        _names(first.moved),
        _names(first.slower),
        _fullest(first),
        Words(first.severity or "none", bold=first.severity == "warn"),
    )


def _names(keys: tuple[str, ...]) -> Cell:
    return Chain(id_runs(keys), commas=True) if keys else _NONE


def _fullest(row: FailureRow) -> Cell:
    if row.fullest is None:
        return _NONE
    # the record has no number for what carries something over no rate at all
    load = "no rate" if row.load_fraction is None else number(100.0 * row.load_fraction, 0)
    return Chain((row.fullest, load), commas=True)


def failure_sentences(failures: tuple[FailureRow, ...]) -> list[str]:
    """Return how the rows are read."""
    if not failures:
        return []
    return [
        "Failures: hours are those of the dark camera that records for the shortest time; 0 where one stands still or "
        "has no store.",
        "Failures: what no camera feels has no row; severity none: all that go dark record by themselves.",
    ]
