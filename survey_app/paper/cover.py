"""The cover of a paper set: how the design stands, every finding in full, what is assumed, who gets which document."""

from __future__ import annotations

from typing import Literal

from survey_app.assess.record import Assessment, ClimbRow
from survey_app.paper.cover_rows import (
    CAUTIONS,
    DOCUMENTS,
    counts_in_words,
    finding_parts,
    north_words,
    size_words,
    way_words,
)
from survey_app.paper.ledger import (
    UPRIGHT_MM,
    Cell,
    Chain,
    Column,
    Empty,
    Group,
    Table,
    Tick,
    Words,
    document,
    table_data,
)
from survey_app.paper.press import press
from survey_app.paper.sources import Sources
from survey_app.paper.title import open_stops, title_of
from survey_app.site.site import Site

__all__ = ["cover_pdf"]

_ALL = 20
_NAMED = 12


def cover_pdf(site: Site, assessment: Assessment, paper: Literal["a4", "letter"] = "a4") -> bytes:
    """Return the cover as a PDF.

    Parameters
    ----------
    site : Site
        The document; its `units` say whether feet are printed.
    assessment : Assessment
        Its assessment.
    paper : {"a4", "letter"}
        Paper size; the live width of 180 mm is the same on both.

    Returns
    -------
    bytes
        The PDF; the same site gives the same bytes on any day.

    Raises
    ------
    InternalError
        The cover could not be set.
    """
    sources = Sources(site, assessment)
    stops = open_stops(assessment)
    title = title_of(sources, "Cover", "", "set of papers", "held" if stops else "for work")
    data = {
        "title": f"Cover, {assessment.site}",
        "doc": document(title, paper=paper, broad=False, subject_head="COVERS"),
        "site": assessment.site,
        "lines": _head_lines(sources),
        "status": "HELD" if stops else "FOR WORK",
        "why": _held_words(len(stops)) if stops else "",
        "counts": counts_in_words(assessment),
        "sizes": size_words(assessment),
        "facts": _facts(sources),
        "findings": [
            [f.severity, f.number, f.accepted is not None, [list(part) for part in finding_parts(f)]]
            for f in assessment.findings
        ],
        "stale": [f"{words}." for words in assessment.stale_acceptances],
        "assumed": list(assessment.assumptions),
        "climbs": table_data(_climb_table(sources), UPRIGHT_MM) if assessment.climbs else None,
        "documents": table_data(_document_table(), UPRIGHT_MM),
        "cautions": CAUTIONS,
    }
    return press("cover", data)


def _head_lines(sources: Sources) -> list[str]:
    found, design = sources.assessment, sources.design
    drawn = f", drawn by {design.drawn_by}" if design.drawn_by else ""
    lines = [f"Revision {found.revision}, for installation on {found.as_of.isoformat()}{drawn}"]
    if design.invented:
        lines.append("An invented site, to learn from: build nothing from it.")
    return lines


def _held_words(count: int) -> str:
    return (
        f"{count} finding{'s stop' if count != 1 else ' stops'} this design. Sheets so marked must not be mounted: ask "
        "for a new revision."
    )


def _facts(sources: Sources) -> list[list[str]]:
    found, design = sources.assessment, sources.design
    place = f"region {design.region or 'not chosen'}, country {design.country or 'not chosen'}"
    units = {"metric": "metres", "feet": "metres and feet", "both": "metres and feet"}[design.units]
    return [
        ["Design checksum", found.checksum],
        ["Radio rules", f"{found.rules_edition}; {place}"],
        ["Program", found.program_version],
        ["North", north_words(sources)],
        ["Heights", f"over {design.plane.datum}, in {units}"],
        ["Call when in doubt", design.call_number or "nobody is named"],
    ]


def _climb_table(sources: Sources) -> Table:
    ordered = sorted(sources.assessment.climbs, key=lambda climb: (climb.order, climb.id))
    return Table(
        columns=(
            Column(("CLIMB",), 13, "right", bold=True),
            Column(("WHERE",), 48, rule=True, wraps=True),
            Column(("HANGS THERE",), 47, rule=True, wraps=True),
            Column(("WAY UP, REACH",), 32, rule=True, wraps=True),
            Column(("KEY",), 30, rule=True, wraps=True),
            Column(("DONE",), 10, "middle", rule=True),
        ),
        groups=(Group("", tuple(_climb_cells(sources, climb) for climb in ordered)),),
        row_mm=6.2,
        head_mm=6.4,
        title="ORDER OF CLIMBS",
        note="each hop is accepted before the next lift is moved",
    )


def _climb_cells(sources: Sources, climb: ClimbRow) -> tuple[Cell, ...]:
    where = climb.name
    if climb.structure and climb.structure.lower() not in climb.name.lower():
        where = f"{climb.name}, {climb.structure}"
    names = [sources.name(key) for key in climb.radios] + list(climb.cameras)
    shown = tuple(names[:_NAMED]) + ((f"and {len(names) - _NAMED} more",) if len(names) > _NAMED else ())
    way = way_words(climb, feet=sources.feet)
    return (
        Words(str(climb.order)),
        Words(where, lines=_ALL),
        Chain(shown, commas=True),
        Empty(26) if way is None else Words(way, lines=_ALL),
        Words(climb.key, lines=_ALL) if climb.key else Empty(24),
        Tick(),
    )


def _document_table() -> Table:
    return Table(
        columns=(
            Column(("DOCUMENT",), 34, bold=True),
            Column(("GOES TO",), 44, rule=True),
            Column(("FOR",), 92, rule=True, wraps=True),
            Column(("SENT",), 10, "middle", rule=True),
        ),
        groups=(Group("", tuple(_document_cells(*row) for row in DOCUMENTS)),),
        row_mm=6.2,
        head_mm=6.4,
        title="WHO GETS WHAT",
        note="an older revision is destroyed when this one arrives",
    )


def _document_cells(name: str, whom: str, what: str) -> tuple[Cell, ...]:
    return Words(name), Words(whom), Words(what, lines=_ALL), Tick()
