"""Add evidence. It is append-only: nothing here changes or removes a row, and no undo takes one away."""

from __future__ import annotations

from typing import Any

from survey_app.errors import UnknownNameError, UsageError
from survey_app.site.calling import called
from survey_app.site.collection import every_thing
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.naming import evidence_ids
from survey_app.site.edits.sharing import with_rows
from survey_app.site.evidence import (
    AcceptanceRow,
    AsBuilt,
    BenchProof,
    Reading,
    Scan,
    Sight,
    WalkNote,
)
from survey_app.site.mount import Mount
from survey_app.site.network import Camera
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Site
from survey_app.site.thing import Thing
from survey_app.site.validation import nearest

__all__ = ["EvidenceRow", "add_evidence", "subject_of"]

EvidenceRow = Sight | Reading | AsBuilt | Scan | BenchProof | AcceptanceRow | WalkNote

_COLLECTIONS: dict[type[Any], tuple[str, str]] = {
    Sight: ("sights", "sight"),
    Reading: ("readings", "reading"),
    AsBuilt: ("as_built", "as-built values"),
    Scan: ("scans", "scan"),
    BenchProof: ("bench", "bench proof"),
    AcceptanceRow: ("acceptance", "acceptance"),
    WalkNote: ("walk_notes", "walk note"),
}

_SUBJECTS: dict[type[Any], tuple[type[Thing], ...]] = {
    Sight: (Hop,),
    Reading: (Hop,),
    AsBuilt: (Mount, Radio, Camera),
    Scan: (Mount,),
    BenchProof: (Radio,),
    AcceptanceRow: (Hop, Camera),
}
"""What a row may be about; of a thing that is gone nobody knows any more."""


def subject_of(row: EvidenceRow) -> str | None:
    """Return the id of the thing that a row of evidence is about; None = the whole site."""
    match row:
        case Sight() | Reading():
            return row.hop
        case Scan():
            return row.mount
        case BenchProof():
            return row.radio
        case _:
            return row.subject


def add_evidence(site: Site, *rows: EvidenceRow) -> Edit:
    """Add rows of evidence at the end of their collections.

    Raises
    ------
    UnknownNameError
        A row is about something that the site neither has nor ever had evidence of.
    UsageError
        No row is given, or one is about a thing of which there is no such evidence.
    """
    if not rows:
        raise UsageError("there is no evidence to add")
    things = {thing.id: thing for _, _, thing in every_thing(site.design)}
    known = things.keys() | evidence_ids(site.evidence)
    for row in rows:
        subject = subject_of(row)
        if subject is None:
            continue
        if subject not in known:
            raise UnknownNameError(
                f"the site has nothing with the id '{subject}'",
                remedy=nearest(subject, known) or "name a thing of the site",
            )
        needed = _SUBJECTS.get(type(row))
        if needed is not None and subject in things and not isinstance(things[subject], needed):
            raise UsageError(
                f"{called(things[subject])} has no {_COLLECTIONS[type(row)][1]}",
                remedy=f"name a {' or '.join(kind.__name__.lower() for kind in needed)}",
            )
    after = site
    for row in rows:
        after = with_rows(after, "evidence", _COLLECTIONS[type(row)][0], add=(row,))
    word = _COLLECTIONS[type(rows[0])][1]
    label = (
        f"Note {word} of {subject_of(rows[0]) or 'the site'}"
        if len(rows) == 1
        else f"Note {len(rows)} rows of evidence"
    )
    touched = tuple(dict.fromkeys(one for row in rows if (one := subject_of(row)) is not None))
    return Edit(label, site, after, touched)
