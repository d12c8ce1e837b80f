"""Add several things in one step: a pole with its mount and radio, a radio with the mount it hangs on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Literal

from survey_app.errors import UsageError
from survey_app.site.calling import called
from survey_app.site.collection import collection_of
from survey_app.site.copies import missing_copies
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.moving import put_back, titled
from survey_app.site.edits.naming import evidence_ids, field_words, fresh_id
from survey_app.site.edits.sharing import find, find_all, rebuilt, with_rows
from survey_app.site.edits.state import rows_of
from survey_app.site.gear_type import GearType, RadioType
from survey_app.site.mount import Mount
from survey_app.site.place import HeightReference, Place
from survey_app.site.radio import Radio
from survey_app.site.site import Site
from survey_app.site.thing import Thing

__all__ = ["add_with", "change_all", "hang_radio", "with_things"]


def with_things(site: Site, things: Sequence[Thing]) -> Site:
    """Return the site with things at the end of their collections, not yet checked."""
    rows: dict[str, list[Thing]] = {}
    for thing in things:
        rows.setdefault(collection_of(type(thing)).name, []).append(thing)
    for name, new in rows.items():
        site = with_rows(site, "design", name, add=tuple(new))
    return site


def add_with(site: Site, things: Sequence[Thing], *, types: Iterable[GearType] = (), label: str = "") -> Edit:
    """Add several things in one step; they may name each other.

    Parameters
    ----------
    site : Site
        The site.
    things : sequence of Thing
        What is added; the first one gives the step its name.
    types : iterable of GearType
        Gear types, such as a catalogue: copies of those that the things need come along.
    label : str
        Name of the step; empty = "Add Pole P4 and 2 more".

    Raises
    ------
    UsageError
        An id is taken, or something that is named is not there.
    """
    if not things:
        return Edit(label or "Add nothing", site, site, ())
    known = evidence_ids(site.evidence)
    for thing in things:
        if thing.id in known:
            raise UsageError(
                f"the id '{thing.id}' is that of a removed thing with evidence, it would get that evidence",
                remedy="take another id",
            )
    after = with_things(site, things)
    copies = missing_copies(after.design, types)
    if copies:
        after = with_rows(after, "design", "gear", add=copies)
    rest = len(things) - 1
    name = label or f"Add {called(things[0])}{f' and {rest} more' if rest else ''}"
    return finished(name, site, after, (*(thing.id for thing in things), *(row.id for row in copies)))


def hang_radio(
    site: Site,
    gear: RadioType,
    structure: str,
    place: Place,
    height_m: float,
    role: Literal["access_point", "station"],
    *,
    height_reference: HeightReference = "ground",
    mount: str | None = None,
    types: Iterable[GearType] = (),
    radio: dict[str, Any] | None = None,
) -> Edit:
    """Hang a radio: its mount, the radio and the copy of its gear type in one step.

    Parameters
    ----------
    site : Site
        The site.
    gear : RadioType
        The radio's type.
    structure : str
        Id of the structure.
    place : Place
        Where on the structure.
    height_m : float
        Height of the antenna's middle over `height_reference`. [m]
    role : {"access_point", "station"}
        Its role.
    height_reference : {"ground", "eaves", "roof", "datum"}
        What the height is measured from.
    mount : str or None
        Id of a mount that is there already; the radio hangs on it and place and height are not used.
    types : iterable of GearType
        A catalogue, for copies of what else the site then needs.
    radio : dict or None
        Further fields of the radio, such as `antenna`.

    Raises
    ------
    UsageError
        The place is not on that structure, a value is refused, or a type named is not there.
    """
    things: list[Thing] = []
    if mount is None:
        row = Mount(
            id=fresh_id(site, "M"),
            structure=structure,
            place=place,
            height_m=height_m,
            height_reference=height_reference,
        )
        things.append(row)
        mount, on = row.id, find(site, structure).title
    else:
        on = find(site, mount).title
    unit = Radio(id=fresh_id(site, "A" if role == "access_point" else "S"), role=role, gear=gear.id, mount=mount)
    things.append(rebuilt(unit, called(unit), **(radio or {})))
    return add_with(site, things, types=(gear, *types), label=f"Hang {called(things[-1])} on {on}")


def change_all(site: Site, ids: Iterable[str], **fields: Any) -> Edit:
    """Set the same fields of several things in one step.

    Raises
    ------
    UnknownNameError, UsageError
        One of them has no such field, refuses the value, or is locked and would move.
    """
    asked = find_all(site, ids)
    if "id" in fields:
        raise UsageError("an id is of one thing alone", remedy="use rename")
    titles = {found.thing.id: found.title for found in asked}
    after, touched = put_back(site, rows_of(asked), lambda row: rebuilt(row, titles[getattr(row, "id")], **fields))  # noqa: B009
    key = f"{' '.join(titles)} {' '.join(sorted(fields))}"
    label = f"Set {field_words(fields)} of {titled(asked) if asked else 'nothing'}"
    return finished(label, site, after, touched, merge_key=key)
