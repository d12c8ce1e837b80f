"""What differs between two values of a site, counted by ids."""

from __future__ import annotations

from typing import Any, NamedTuple

from survey_app.site.collection import every_thing
from survey_app.site.evidence import Evidence
from survey_app.site.shape import fields_of
from survey_app.site.site import Design, Site

__all__ = ["Changes", "changes", "evidence_added"]


class Changes(NamedTuple):
    """How many rows differ."""

    added: int
    changed: int
    removed: int
    evidence: int
    """Rows of evidence that are new."""
    figures: int
    """Fields of the whole site that have another value."""

    def words(self) -> str:
        """Return them as people read them.

        Examples
        --------
        >>> Changes(3, 1, 0, 2, 1).words()
        '3 things added, 1 changed, 1 figure of the whole site set, 2 rows of evidence noted'
        >>> Changes(0, 0, 0, 0, 0).words()
        'only the order of things differs'
        """
        parts = [
            (self.added, "added"),
            (self.changed, "changed"),
            (self.removed, "removed"),
        ]
        told = [f"{count} {word}" for count, word in parts if count]
        if told:
            count, _, word = told[0].partition(" ")
            told[0] = f"{count} thing{'' if count == '1' else 's'} {word}"
        if self.figures:
            told.append(f"{self.figures} figure{'' if self.figures == 1 else 's'} of the whole site set")
        if self.evidence:
            told.append(f"{self.evidence} row{'' if self.evidence == 1 else 's'} of evidence noted")
        return ", ".join(told) or "only the order of things differs"


def changes(before: Site, after: Site) -> Changes:
    """Count what differs between two values of a site.

    Things and gear types are told apart by their ids, accepted findings by the finding.
    """
    old, new = _rows(before.design), _rows(after.design)
    changed = sum(1 for key in old.keys() & new.keys() if old[key] is not new[key] and old[key] != new[key])
    figures = sum(
        1
        for name, field in fields_of(Design).items()
        if not field.lists and getattr(before.design, name) != getattr(after.design, name)
    )
    noted = sum(len(rows) for rows in evidence_added(before.evidence, after.evidence).values())
    return Changes(len(new.keys() - old.keys()), changed, len(old.keys() - new.keys()), noted, figures)


def _rows(design: Design) -> dict[tuple[str, str], Any]:
    rows: dict[tuple[str, str], Any] = {("", thing.id): thing for _, _, thing in every_thing(design)}
    rows.update({("gear", one.id): one for one in design.gear})
    rows.update({("accepted", one.finding): one for one in design.accepted})
    return rows


def evidence_added(before: Evidence, after: Evidence) -> dict[str, tuple[Any, ...]]:
    """Return the rows of evidence, by collection, that the one has and the other has not."""
    found = {}
    for name in fields_of(Evidence):
        old, new = getattr(before, name), getattr(after, name)
        appended = new[: len(old)] == old
        rows = new[len(old) :] if appended else tuple(row for row in new if row not in old)
        if rows:
            found[name] = rows
    return found
