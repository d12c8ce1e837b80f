"""Unsaved work that was found when a document was opened, offered with a sentence on what it holds."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import NamedTuple

from survey_app.session.comparison import Changes, changes, evidence_added
from survey_app.session.moment import said_moment
from survey_app.session.recovery import Recovery
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.sharing import with_fields
from survey_app.site.site import Site

__all__ = ["Offer", "made_offer", "recovering_edit"]


class Offer(NamedTuple):
    """Unsaved work that can be taken or set aside."""

    site: Site
    file: Path
    """Where it lies."""
    at: datetime.datetime
    """When it was kept."""
    step: str
    """Name of the last step in it."""
    changes: Changes
    """What it changes in the site as it was saved."""
    sentence: str


def made_offer(file: Path, found: Recovery, saved: Site) -> Offer:
    """Return the offer of unsaved work beside the site as it was saved."""
    header = found.header
    counted = changes(saved, found.site)
    last = f"; the last step was '{header.step}'" if header.step else ""
    sentence = f"Unsaved work of {said_moment(header.at)} was found: {counted.words()}{last}."
    return Offer(found.site, file, header.at, header.step, counted, sentence)


def recovering_edit(current: Site, recovered: Site) -> Edit:
    """Return the edit that puts the recovered design in place; evidence is only ever added to."""
    rows = evidence_added(current.evidence, recovered.evidence)
    evidence = current.evidence
    if rows:
        more = {name: (*getattr(evidence, name), *new) for name, new in rows.items()}
        evidence = with_fields(evidence, **more)
    after = with_fields(current, design=recovered.design, evidence=evidence)
    return Edit("Recover unsaved work", current, after, ())
