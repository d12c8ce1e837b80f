"""The cover of a paper set: how the design stands, climbs in their order, every finding in full, what is assumed."""

from __future__ import annotations

from survey_app.assess.record import Assessment, ClimbRow, Finding, Severity
from survey_app.paper.mounting_build import flag_of
from survey_app.paper.rounding import metres
from survey_app.paper.schedule import north_sentence
from survey_app.paper.sources import Sources
from survey_app.paper.table_view import Box, Cell, Column, Marks, Row, Section, TableDocument
from survey_app.paper.title import title_of
from survey_app.site.site import Site

__all__ = ["counts_in_words", "cover_document"]


def cover_document(site: Site, assessment: Assessment) -> TableDocument:
    """Return the cover of a site's paper set.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.
    """
    sources = Sources(site, assessment)
    stops = any(f.severity == "stop" and f.accepted is None for f in assessment.findings)
    return TableDocument(
        sections=(_summary(sources), _climbs(sources), _findings(sources)),
        title=title_of(sources, "Cover", "", "", "held" if stops else "for work"),
        landscape=False,
    )


def counts_in_words(assessment: Assessment) -> str:
    """Return the counts of findings, always written out.

    Parameters
    ----------
    assessment : Assessment
        Whose findings.
    """
    severities: tuple[Severity, ...] = ("stop", "warn", "note")
    return ", ".join(_many(assessment.count(severity), severity) for severity in severities)


def _many(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _summary(sources: Sources) -> Section:
    assessment, design = sources.assessment, sources.design
    lines = [
        f"Revision {assessment.revision}, planned for {assessment.as_of.isoformat()}. "
        f"{_many(len(assessment.radios), 'radio')}, {_many(len(assessment.hops), 'hop')}, "
        f"{_many(len(assessment.cells), 'cell')}, {_many(len(assessment.cameras), 'camera')}."
    ]
    if design.invented:
        lines.append("This site is an invention, to learn from.")
    place = f"region {design.region or 'not chosen'}, country {design.country or 'not chosen'}"
    lines.append(f"Radio rules: {place}; {assessment.rules_edition}.")
    lines.append(north_sentence(sources))
    lines.append(f"Call when in doubt: {design.call_number or 'nobody named'}.")
    lines += [f"Assumed: {sentence}" for sentence in assessment.assumptions]
    lines += [f"Acceptance that no longer holds: {sentence}." for sentence in assessment.stale_acceptances]
    return Section(title=assessment.site, note=counts_in_words(assessment), lines=tuple(lines))


def _climbs(sources: Sources) -> Section:
    columns = (
        Column(("CLIMB",), 14, "end", bold=True),
        Column(("WHERE",), 50, ruled=True, lines=3),
        Column(("BY",), 33, ruled=True, lines=2),
        Column(("KEY",), 28, ruled=True, lines=4),
        Column(("HANG THERE",), 43, ruled=True, lines=4),
        Column(("DONE",), 12, "middle", ruled=True),
    )
    ordered = sorted(sources.assessment.climbs, key=lambda climb: (climb.order, climb.id))
    return Section(
        title="CLIMBS",
        note="in this order; each hop is accepted before the next lift is moved",
        columns=columns,
        rows=tuple(Row(_climb(sources, climb)) for climb in ordered),
        row_mm=6.2,
        empty="No mount carries a radio or a camera.",
    )


def _climb(sources: Sources, climb: ClimbRow) -> tuple[Cell, ...]:
    by: Cell = Box("write") if climb.way == "unknown" else f"{climb.way} to {metres(climb.reach_m)}"
    structure = sources.name(climb.structure)
    where = climb.name if structure.lower() in climb.name.lower() else f"{climb.name}, {structure}"
    names = [sources.name(thing) for thing in (*climb.radios, *climb.cameras)]
    return (str(climb.order), where, by, climb.key or Box("write"), ", ".join(names), Box("tick"))


def _findings(sources: Sources) -> Section:
    columns = (
        Column(("NO.",), 12),
        Column(("ABOUT",), 26, bold=True, ruled=True, lines=3),
        Column(("WHAT",), 78, ruled=True, lines=8),
        Column(("CURE",), 64, ruled=True, lines=8),
    )
    rows = tuple(Row(_finding(sources, finding)) for finding in sources.assessment.findings)
    return Section(
        title="FINDINGS",
        note="stops first; the same numbers stand on every sheet",
        columns=columns,
        rows=rows,
        row_mm=6.6,
        empty="No finding.",
    )


def _finding(sources: Sources, finding: Finding) -> tuple[Cell, ...]:
    about = sources.name(finding.subject)
    if finding.second_subject is not None:
        about = f"{about}, {sources.name(finding.second_subject)}"
    accepted = finding.accepted
    what = finding.message
    if accepted is not None:
        what = f"{what} Accepted by {accepted.by}, {accepted.on.isoformat()}: {accepted.reason}"
    cures = " Or: ".join(cure.text for cure in finding.cures)
    return (Marks((flag_of(finding),)), about, what, cures or "none noted")
