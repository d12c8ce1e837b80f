"""Add, change and rename anything that has an id."""

from __future__ import annotations

from typing import Any

from survey_app.errors import UsageError
from survey_app.site.calling import called, kind_word
from survey_app.site.collection import collection_of
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.following import naming_instead
from survey_app.site.edits.naming import evidence_ids, field_words
from survey_app.site.edits.sharing import find, rebuilt, with_rows
from survey_app.site.record import Record
from survey_app.site.reference_table import uses_of
from survey_app.site.site import Site
from survey_app.site.thing import Thing

__all__ = ["add", "change", "rename", "replace"]


def add(site: Site, thing: Thing) -> Edit:
    """Add a thing to its collection.

    Raises
    ------
    UsageError
        Its id is taken, also by evidence of a thing that is gone; or what it names is not there.
    """
    if thing.id in evidence_ids(site.evidence):
        _refuse_old_id(thing.id)
    collection = collection_of(type(thing))
    after = with_rows(site, "design", collection.name, add=(thing,))
    return finished(f"Add {called(thing)}", site, after, (thing.id,))


def _refuse_old_id(thing_id: str) -> None:
    # what was measured there would count for another thing
    raise UsageError(
        f"the id '{thing_id}' is that of a removed thing with evidence, it would get that evidence",
        remedy="take another id",
    )


def change(site: Site, thing_id: str, **fields: Any) -> Edit:
    """Set some fields of a thing.

    Parameters
    ----------
    site : Site
        The site.
    thing_id : str
        The thing.
    **fields
        New values by field name; a dotted name (`stream.rate_mbps`) reaches into a part. `rename` changes the id.

    Raises
    ------
    UnknownNameError, UsageError
        There is no such thing or field, or a value is refused.
    """
    found = find(site, thing_id)
    if "id" in fields:
        raise UsageError("an id is changed together with all that names it", where=found.title, remedy="use rename")
    thing = rebuilt(found.thing, found.title, **fields)
    label = f"Set {field_words(fields)} of {found.title}"
    key = f"{thing_id} {' '.join(sorted(fields))}"
    if thing is found.thing:
        return Edit(label, site, site, (), merge_key=key)
    after = with_rows(site, "design", found.collection.name, put={found.number: thing})
    return finished(label, site, after, (thing_id,), merge_key=key)


def replace(site: Site, thing: Thing) -> Edit:
    """Put a thing in the place of the one with the same id, which may be of another kind of the same collection."""
    found = find(site, thing.id)
    label = f"Change {found.title}"
    if collection_of(type(thing)) is not found.collection:
        raise UsageError(
            f"a {found.collection.word} cannot become a {collection_of(type(thing)).word}", where=found.title
        )
    if thing == found.thing:
        return Edit(label, site, site, ())
    after = with_rows(site, "design", found.collection.name, put={found.number: thing})
    return finished(label, site, after, (thing.id,))


def rename(site: Site, old_id: str, new_id: str) -> Edit:
    """Give a thing another id; everything that names it follows.

    Raises
    ------
    UsageError
        The new id is taken, or evidence speaks of the old one: evidence is never rewritten.
    """
    found = find(site, old_id)
    label = f"Rename {kind_word(found.thing).capitalize()} {old_id} to {new_id}"
    if old_id == new_id:
        return Edit(label, site, site, ())
    known = evidence_ids(site.evidence)
    if old_id in known:
        raise UsageError(
            f"readings or other evidence speak of '{old_id}', and evidence is never rewritten",
            where=found.title,
            remedy="leave the id and change its name",
        )
    if new_id in known:
        _refuse_old_id(new_id)
    thing = rebuilt(found.thing, found.title, id=new_id)
    puts: dict[str, dict[int, Record]] = {found.collection.name: {found.number: thing}}
    touched = [old_id, new_id]
    for use in uses_of(site.design, found.collection.name, frozenset([old_id])):
        rows = puts.setdefault(use.reference.holder, {})
        row = rows.get(use.number, use.row)
        rows[use.number] = naming_instead(row, use.reference, frozenset([old_id]), new_id, found.title)
        touched.append(use.row.id)
    after = site
    for name, put in puts.items():
        after = with_rows(after, "design", name, put=put)
    return finished(label, site, after, tuple(dict.fromkeys(touched)), following=touched)
