"""Lets a reference follow what it names."""

from __future__ import annotations

from survey_app.site.edits.sharing import rebuilt
from survey_app.site.record import Record
from survey_app.site.reference_table import Reference, named

__all__ = ["naming_instead"]


def naming_instead(row: Record, reference: Reference, old: frozenset[str], new: str | None, where: str) -> Record:
    """Return a row that names another thing, or none, where it named one of the old ones."""
    if reference.many:
        ids = named(row, reference)
        kept = tuple(new if one in old and new is not None else one for one in ids if one not in old or new is not None)
        return rebuilt(row, where, **{reference.path: kept})
    return rebuilt(row, where, **{reference.path: new})
