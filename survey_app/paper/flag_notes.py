"""Findings in tables: flags in rows, and the notes in full under them."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from survey_app.assess.record import Finding
from survey_app.paper.ledger import Flags
from survey_app.paper.sources import Sources

__all__ = ["findings_of", "flags_of", "note_of"]


def findings_of(sources: Sources, codes: Collection[str]) -> tuple[Finding, ...]:
    """Return the findings of some codes, by number."""
    return tuple(finding for finding in sources.assessment.findings if finding.code in codes)


def flags_of(sources: Sources, codes: Collection[str], about: Collection[str]) -> Flags:
    """Return the flags of some codes that are about some things."""
    return Flags(
        tuple(
            (finding.severity, finding.number, finding.accepted is not None)
            for finding in findings_of(sources, codes)
            if finding.subject in about or finding.second_subject in about
        )
    )


def note_of(finding: Finding) -> list[Any]:
    """Return a flag note as a template reads it: shape, number, whether accepted, words."""
    cure = f" {finding.cures[0].text}" if finding.cures else ""
    accepted = finding.accepted
    words = f" Accepted: {accepted.by}, {accepted.on.isoformat()}." if accepted is not None else ""
    parts = [(finding.subject, True, False), (f"{finding.message}{cure}{words}", False, False)]
    return [finding.severity, finding.number, accepted is not None, [list(part) for part in parts]]
