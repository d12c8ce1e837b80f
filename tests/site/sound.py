"""What must hold of a site after any edit."""

from __future__ import annotations

from survey_app.site import Site, check_references
from survey_app.site.collection import COLLECTIONS
from survey_app.site.edits import Edit
from survey_app.site.file import site_from_bytes, site_to_bytes
from survey_app.site.shape import fields_of
from survey_app.site.site import Design

__all__ = ["sound", "unshared"]


def unshared(before: Site, after: Site) -> set[str]:
    """Return the design's fields that are not the same object any more."""
    return {name for name in fields_of(Design) if getattr(before.design, name) is not getattr(after.design, name)}


def sound(edit: Edit) -> Site:
    """Check the site after an edit as a whole, and that it shares what the edit did not touch; return it."""
    assert check_references(edit.after) == ()
    assert site_from_bytes(site_to_bytes(edit.after), "after") == edit.after
    assert Site(**edit.after.__dict__) == edit.after
    assert edit.after.evidence is edit.before.evidence or edit.after.design is edit.before.design
    changed = unshared(edit.before, edit.after)
    for collection in COLLECTIONS:
        if collection.name not in changed:
            continue
        old = {row.id: row for row in getattr(edit.before.design, collection.name)}
        rows = getattr(edit.after.design, collection.name)
        assert any(one in edit.touched for one in (*old, *(row.id for row in rows))), collection.name
        for row in rows:
            assert row.id in edit.touched or row is old[row.id], row.id
    return edit.after
