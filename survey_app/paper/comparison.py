"""Alternatives on paper: figures side by side, the lines of the tally that differ, and the page for the customer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from survey_app.assess.record import Comparison, FigureRow, Option
from survey_app.paper.customer import customer_closing, customer_tables
from survey_app.paper.ledger import BROAD_MM, Cell, Column, Group, Table, Words, document, table_data
from survey_app.paper.mounting_view import TitleBlock
from survey_app.paper.press import press
from survey_app.paper.rounding import number
from survey_app.site.site import Site

__all__ = ["comparison_pdf", "figure_cell", "in_columns"]

_WORDS_MM, _UNIT_MM = 62.0, 18.0
_MOST = 6
_PARTS_MM, _PART_UNIT_MM = 88.0, 18.0


def comparison_pdf(site: Site, found: Comparison, paper: Literal["a4", "letter"] = "a4") -> bytes:
    """Return the comparison as a PDF: for the designer, then a page for the customer.

    Parameters
    ----------
    site : Site
        The site that the alternatives belong to.
    found : Comparison
        The alternatives side by side.
    paper : {"a4", "letter"}
        Paper size, laid on its side.

    Returns
    -------
    bytes
        The PDF; the same sites give the same bytes on any day.

    Raises
    ------
    InternalError
        The pages could not be set.
    """
    title, customer = (_title(site, found, name) for name in ("Comparison", "What you get"))
    data = {
        "title": f"Comparison, {site.design.name}",
        "doc": document(
            title,
            paper=paper,
            broad=True,
            head="ALTERNATIVES",
            note="bold: none is better; complete designs of one job",
        ),
        "figures": [table_data(table, BROAD_MM) for table in _figure_tables(found)],
        "closing": list(_closing(found)),
        "parts": [table_data(table, BROAD_MM) for table in _part_tables(found)],
        "customer_doc": document(
            customer, paper=paper, broad=True, head="WHAT YOU GET", note="the same alternatives in plain words"
        ),
        "customer": [table_data(table, BROAD_MM) for table in customer_tables(found)],
        "customer_closing": list(customer_closing(site, found)),
    }
    return press("comparison", data)


def _title(site: Site, found: Comparison, name: str) -> TitleBlock:
    import survey_app

    first, design = found.options[0], site.design
    return TitleBlock(
        site=design.name,
        document=name,
        sheet="",
        revision=first.revision,
        checksum=first.checksum,
        drawn_from=f"design for {design.as_of.isoformat()}",
        subject="",
        language="en",
        status="for choice",
        owner=design.legal_owner or "not stated",
        program=f"Program {survey_app.__version__}.",
        footer="The checksum is that of the first alternative.",
    )


def in_columns(count: int) -> Iterator[tuple[int, ...]]:
    """Yield the columns of each table: the first alternative stands in every one, as what the others are held against.

    Examples
    --------
    >>> list(in_columns(3)), [len(one) for one in in_columns(9)]
    ([(0, 1, 2)], [6, 4])
    """
    if count <= _MOST:
        yield tuple(range(count))
        return
    rest = list(range(1, count))
    while rest:
        yield (0, *rest[: _MOST - 1])
        del rest[: _MOST - 1]


def figure_cell(value: float | str | None, *, bold: bool = False) -> Words:
    """Return a figure as people read it: whole where it is whole, else one decimal."""
    if value is None:
        return Words("not known", italic=True)
    if isinstance(value, str):
        return Words(value, bold=bold)
    return Words(number(value, 0 if abs(value - round(value)) < 5e-10 else 1), bold=bold)


def _heads(options: Sequence[Option], columns: Sequence[int], width_mm: float) -> tuple[Column, ...]:
    each = width_mm / len(columns)
    return tuple(Column((options[n].name,), each, "right", rule=True) for n in columns)


def _figure_tables(found: Comparison) -> Iterator[Table]:
    for columns in in_columns(len(found.options)):
        yield Table(
            columns=(
                Column(("FIGURE",), _WORDS_MM, wraps=True),
                Column(("UNIT",), _UNIT_MM),
                *_heads(found.options, columns, BROAD_MM - _WORDS_MM - _UNIT_MM),
            ),
            groups=(Group("", tuple(_figure_row(row, columns) for row in found.figures)),),
            row_mm=5.4,
            head_mm=6.4,
        )


def _figure_row(row: FigureRow, columns: Sequence[int]) -> tuple[Cell, ...]:
    cells = (figure_cell(row.values[n], bold=n in row.best) for n in columns)
    return (Words(row.quantity), Words(row.unit), *cells)


def _part_tables(found: Comparison) -> Iterator[Table]:
    if not found.parts:
        return
    for columns in in_columns(len(found.options)):
        yield Table(
            columns=(
                Column(("WHAT",), _PARTS_MM, wraps=True),
                Column(("UNIT",), _PART_UNIT_MM),
                *_heads(found.options, columns, BROAD_MM - _PARTS_MM - _PART_UNIT_MM),
            ),
            groups=(
                Group(
                    "",
                    tuple(
                        (Words(row.what, lines=4), Words(row.unit), *(figure_cell(row.orders[n]) for n in columns))
                        for row in found.parts
                    ),
                ),
            ),
            row_mm=5.4,
            head_mm=6.4,
            title="WHAT DIFFERS",
            note="orders of the tally, packs and drums rounded up; lines that are alike are left out",
        )


def _closing(found: Comparison) -> Iterator[str]:
    stopped = [option.name for option in found.options if option.stops]
    if stopped:
        yield f"Stopped by its findings, not to be built as drawn: {', '.join(stopped)}."
    for option in found.options:
        if option.money is not None and option.money.unpriced:
            count = len(option.money.unpriced)
            named = "; ".join(option.money.unpriced[:4])
            more = f" and {count - 4} more" if count > 4 else ""
            yield f"{option.name}: without a price, and not in its cost: {named}{more}."
    yield "A figure that is not known is no good figure: a hop or cell of that alternative has findings that say why."
