"""The title block of every sheet, and which sheet must not be used."""

from __future__ import annotations

from survey_app.assess.record import Assessment, Finding
from survey_app.paper.mounting_view import TitleBlock
from survey_app.paper.sources import Sources

__all__ = ["ledger_title", "open_stops", "title_of"]

_FOOTER = "Checksum here and in the design must match. If not, ask for the new sheet."


def open_stops(assessment: Assessment) -> tuple[Finding, ...]:
    """Return the stops that nobody accepted: while there is one, the design is held."""
    return tuple(f for f in assessment.findings if f.severity == "stop" and f.accepted is None)


def title_of(sources: Sources, document: str, sheet: str, subject: str, status: str) -> TitleBlock:
    """Return the title block of one sheet.

    Parameters
    ----------
    sources : Sources
        Site and assessment.
    document : str
        "Mounting sheet", "Hop schedule", "Tally" …
    sheet : str
        "3 / 7".
    subject : str
        Label of the radio, or empty.
    status : str
        "for work" or "held".
    """
    assessment, design = sources.assessment, sources.design
    return TitleBlock(
        site=assessment.site,
        document=document,
        sheet=sheet,
        revision=assessment.revision,
        checksum=assessment.checksum,
        drawn_from=f"design for {assessment.as_of.isoformat()}",
        subject=subject,
        language="en",
        status=status,
        owner=design.legal_owner or "not stated",
        program=f"{assessment.rules_edition}. Program {assessment.program_version}.",
        footer=_FOOTER,
    )


def ledger_title(sources: Sources, document: str) -> TitleBlock:
    """Return the title block of a document about the whole site; it says so where a stop holds the site.

    Parameters
    ----------
    sources : Sources
        Site and assessment.
    document : str
        "Hop schedule", "Network", "Tally".
    """
    held = bool(open_stops(sources.assessment))
    return title_of(sources, f"{document}, held" if held else document, "", "", "held" if held else "for work")
