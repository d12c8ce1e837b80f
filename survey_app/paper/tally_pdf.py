"""The tally on paper: everything to buy, have, reuse, remove or hire, how it was counted, and why so many."""

from __future__ import annotations

from decimal import Decimal
from itertools import groupby
from typing import Literal

from survey_app.assess.record import Assessment, TallyPart
from survey_app.drawing.letters import letters_width_mm, wrapped
from survey_app.paper.ledger import (
    BROAD_MM,
    Cell,
    Chain,
    Column,
    Group,
    Table,
    Tick,
    Words,
    document,
    held_words,
    table_data,
)
from survey_app.paper.press import press
from survey_app.paper.rounding import number
from survey_app.paper.sources import Sources
from survey_app.paper.tally_cells import TallyLine, about_lines, id_runs, quantity_of, tally_changes, tally_lines
from survey_app.paper.title import ledger_title
from survey_app.site.site import Site

__all__ = ["tally_pdf"]

_FOR_MM, _FOR_LINES = 46.0, 2
_FOR_MOST = 200  # ids that two lines can hold, drawn together as runs
_FEW = 4
_ALL = 30  # lines, less than a page: nothing of a count is cut
_IDS_IN_A_ROW = 40


def tally_pdf(
    site: Site, assessment: Assessment, paper: Literal["a4", "letter"] = "a4", before: Assessment | None = None
) -> bytes:
    """Return the tally as a PDF: the count, then the trace.

    Parameters
    ----------
    site : Site
        The document; where it asks for feet, lengths are said in feet too.
    assessment : Assessment
        Its assessment.
    paper : {"a4", "letter"}
        Paper size, laid on its side.
    before : Assessment or None
        The last revision's assessment: what is ordered more or less than then is said under the table.

    Returns
    -------
    bytes
        The PDF; the same site gives the same bytes on any day.

    Raises
    ------
    InternalError
        The tally could not be set.
    """
    sources = Sources(site, assessment)
    lines = tally_lines(site, assessment)
    title = ledger_title(sources, "Tally")
    changes = tally_changes(before, assessment) if before is not None else ""
    data = {
        "title": f"Tally, {assessment.site}",
        "doc": document(
            title,
            paper=paper,
            broad=True,
            head="TALLY",
            note="counted from the design; every line says how it was counted and what needs it",
        ),
        "tally": table_data(_table(lines), BROAD_MM) if lines else None,
        "closing": [*about_lines(site, assessment)[1:], *([changes] if changes else [])],
        "trace": table_data(_trace(lines), BROAD_MM) if lines else None,
    }
    return press("tally", data)


def _table(lines: tuple[TallyLine, ...]) -> Table:
    return Table(
        columns=(
            Column(("ITEM",), 11, "right"),
            Column(("WHAT",), 72, rule=True, wraps=True),
            Column(("FOR",), _FOR_MM, rule=True, wraps=True),
            Column(("STATUS",), 16, rule=True),
            Column(("NEED",), 14, "right", rule=True),
            Column(("SPARE",), 14, "right"),
            Column(("ORDER",), 15, "right", bold=True),
            Column(("UNIT",), 14, rule=True),
            Column(("HOW COUNTED",), 35, rule=True, wraps=True),
            Column(("GOT",), 12, "middle", rule=True),
        ),
        groups=tuple(
            Group(group, tuple(_cells(line) for line in rows))
            for group, rows in groupby(lines, lambda line: line.group)
        ),
        row_mm=5.7,
        head_mm=6.4,
        indent_mm=13.0,
    )


def _cells(line: TallyLine) -> tuple[Cell, ...]:
    return (
        Words(str(line.item)),
        Words(line.what, lines=_ALL),
        _for_ids(line),
        Words(line.status),
        Words(figure(line.need)),
        Words(figure(line.spare)),
        Words(figure(line.order)),
        Words(line.unit),
        Words(line.how, lines=_ALL),
        Tick(),
    )


def _for_ids(line: TallyLine) -> Chain:
    """What needs it; a long list ends with how many there are, and the trace has them all."""
    ids = [held_words(key, _FOR_MM) for key in line.ids[:_FOR_MOST]]
    whole = id_runs(ids)
    if len(ids) == len(line.ids) and _fits(whole):
        return Chain(whole, commas=True)
    for count in range(len(ids) - 1, 0, -1):
        links = (*id_runs(ids[:count]), f"… {len(line.ids)} in all")
        if _fits(links):
            return Chain(links, commas=True)
    return Chain((f"{len(line.ids)}, see the trace",))


def _fits(links: tuple[str, ...]) -> bool:
    if letters_width_mm(", ".join(links), 2.5) > _FOR_LINES * _FOR_MM:
        return False
    # ids are not split: what `wrapped` puts on one line stays whole when its spaces are tied
    tied = [link.replace(" ", "\N{NO-BREAK SPACE}") for link in links]
    return len(wrapped(", ".join(tied), 2.5, _FOR_MM - 4.0)) <= _FOR_LINES


def figure(value: Decimal) -> str:
    """Return a quantity as people read it: all its places, a thin space for thousands.

    Examples
    --------
    >>> figure(Decimal("1610")), figure(Decimal("10.5"))
    ('1\\u2009610', '10.5')
    """
    exponent = value.normalize().as_tuple().exponent
    places = max(0, -exponent) if isinstance(exponent, int) else 0
    return number(float(value), places)


def _trace(lines: tuple[TallyLine, ...]) -> Table:
    return Table(
        columns=(
            Column(("ITEM",), 11, "right"),
            Column(("WHAT",), 60, rule=True, wraps=True),
            Column(("NEED",), 14, "right", bold=True, rule=True),
            Column(("UNIT",), 14),
            Column(("TIMES",), 14, "right", rule=True),
            Column(("EACH",), 14, "right"),
            Column(("RULE",), 50, rule=True, wraps=True),
            Column(("FOR",), 72, rule=True, wraps=True),
        ),
        groups=(Group("", tuple(cells for line in lines for cells in _trace_rows(line))),),
        row_mm=5.7,
        head_mm=6.4,
        title="TRACE",
        note="why so many: times and each give the need",
    )


def _trace_rows(line: TallyLine) -> list[tuple[Cell, ...]]:
    """One row for each quantity that recurs; many different ones stand in one row, each behind its id."""
    sizes: dict[Decimal, list[TallyPart]] = {}
    for part in line.parts:
        sizes.setdefault(quantity_of(part.quantity), []).append(part)
    blocks: list[tuple[str, str, str, tuple[str, ...]]] = []
    if len(sizes) > _FEW:
        links = tuple(f"{part.subject} {figure(quantity_of(part.quantity))}" for part in line.parts)
        blocks.append((str(len(line.parts)), "various", line.how, links))
    else:
        for size, parts in sizes.items():
            links = id_runs([part.subject for part in parts])
            blocks.append((str(len(parts)), figure(size), _common_rule(line, parts), links))
    rows: list[tuple[Cell, ...]] = []
    for times, each, rule, links in blocks:
        for start in range(0, len(links), _IDS_IN_A_ROW):
            words = (times, each, rule) if start == 0 else ("", "", "")
            rows.append(_trace_cells(line, words, links[start : start + _IDS_IN_A_ROW], first=not rows))
    return rows


def _common_rule(line: TallyLine, parts: list[TallyPart]) -> str:
    rules = {part.rule for part in parts}
    return rules.pop() if len(rules) == 1 else line.how


def _trace_cells(
    line: TallyLine, words: tuple[str, str, str], links: tuple[str, ...], *, first: bool
) -> tuple[Cell, ...]:
    times, each, rule = words
    return (
        Words(str(line.item) if first else ""),
        Words(line.what if first else "", lines=_ALL),
        Words(figure(line.need) if first else ""),
        Words(line.unit if first else ""),
        Words(times),
        Words(each),
        Words(rule, lines=_ALL),
        Chain(links, commas=True),
    )
