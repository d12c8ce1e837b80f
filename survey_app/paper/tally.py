"""The tally: everything to buy, have, hire or remove, with what needs it and how it was counted."""

from __future__ import annotations

from collections.abc import Sequence

from survey_app.assess.record import Assessment, TallyRow
from survey_app.drawing.letters import wrapped
from survey_app.paper.rounding import number
from survey_app.paper.sources import Sources
from survey_app.paper.table_view import Box, Column, Row, Section, TableDocument
from survey_app.paper.title import title_of
from survey_app.site.site import Site

__all__ = ["tally_document"]

_FOR_MM = 46.0
_FOR_LINES = 3
_NOT_COUNTED = "Not counted: mains work beyond the lines above, permissions, tree work, repairs to roofs and walls."


def tally_document(site: Site, assessment: Assessment, changes: Sequence[str] = ()) -> TableDocument:
    """Return the tally of a site.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.
    changes : sequence of str
        What differs from the last revision, a sentence each.
    """
    sources = Sources(site, assessment)
    columns = (
        Column(("ITEM",), 11, "end"),
        Column(("WHAT",), 72, ruled=True, lines=4),
        Column(("FOR",), _FOR_MM, ruled=True, lines=_FOR_LINES),
        Column(("STATUS",), 16, ruled=True),
        Column(("NEED",), 14, "end", ruled=True),
        Column(("SPARE",), 14, "end"),
        Column(("ORDER",), 15, "end", bold=True),
        Column(("UNIT",), 14, ruled=True),
        Column(("HOW COUNTED",), 35, ruled=True, lines=5),
        Column(("GOT",), 12, "middle", ruled=True),
    )
    rows: list[Row] = []
    group = None
    for line in assessment.tally:
        if line.group != group:
            group = line.group
            rows.append(Row(group=group))
        rows.append(_line(line))
    lines = []
    if assessment.assumptions:
        lines.append(f"Assumed: {' '.join(assessment.assumptions)}")
    lines.append(_NOT_COUNTED)
    lines += changes
    section = Section(
        title="TALLY",
        note="counted from the design; every line says how it was counted and what needs it",
        columns=columns,
        rows=tuple(rows),
        row_mm=5.7,
        group_style="bold",
        lines=tuple(lines),
        empty="Nothing is counted: no radio is drawn.",
    )
    return TableDocument(sections=(section,), title=title_of(sources, "Tally", "", "", "for work"))


def _line(line: TallyRow) -> Row:
    return Row(
        (
            str(line.item),
            line.what,
            _for(line.for_ids),
            line.status,
            _count(line.need),
            _count(line.spare),
            _count(line.order),
            line.unit,
            line.how_counted,
            Box("tick"),
        )
    )


def _for(ids: Sequence[str]) -> str:
    """Ids of what needs a part; a list longer than its cell ends with how many there are in all."""
    shown = len(ids)
    while shown > 1:
        words = (
            " ".join(ids)
            if shown == len(ids)
            else f"{' '.join(ids[:shown])} … {len(ids)}\N{NO-BREAK SPACE}in\N{NO-BREAK SPACE}all"
        )
        if len(wrapped(words, 2.5, _FOR_MM - 3.6)) <= _FOR_LINES:
            return words
        shown -= 1
    return " ".join(ids)


def _count(value: float) -> str:
    return number(value, 0) if value == round(value) else number(value, 1)
