"""Copy things as text and paste them, into the same site or another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from survey_app.errors import UsageError
from survey_app.site.collection import COLLECTIONS
from survey_app.site.edits.copying import Naming, Part, copies_of, whole_of
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.moving import by_metres, titled
from survey_app.site.edits.positions import Shift, own_positions, with_positions
from survey_app.site.edits.sharing import find_all, rebuilt, with_rows
from survey_app.site.edits.together import with_things
from survey_app.site.fragment import Fragment, fragment_from_text, fragment_to_text
from survey_app.site.gear_type import GearType
from survey_app.site.place import PlanePoint
from survey_app.site.plan_picture import PlanPicture
from survey_app.site.reference_table import KINDS, named, references_of
from survey_app.site.site import Design, Photograph, Site
from survey_app.site.thing import Thing

__all__ = ["copy_things", "paste"]


def copy_things(site: Site, ids: Iterable[str], *, convert: Shift | None = None) -> str:
    """Return things with all that hangs on them as text for a clipboard.

    What they name outside (a way up, a source of power) is left out; gear types that they use come along.

    Parameters
    ----------
    site : Site
        The site.
    ids : iterable of str
        The things.
    convert : callable or None
        Turns positions in degrees into metres of the plane, so that they can be pasted anywhere; None = they stay in
        degrees and can be pasted only where nothing is shifted.

    Raises
    ------
    UsageError
        A thing hangs on something that is not copied with it.
    """
    asked = find_all(site, ids)
    label = f"Copy {titled(asked) if asked else 'nothing'}"
    if not asked:
        raise UsageError("nothing is selected", where="Copy", remedy="select things of the plan first")
    parts = whole_of(site.design, [found.thing.id for found in asked])
    inside = {part.thing.id for part in parts}
    for found in asked:
        if found.thing.id not in inside:
            raise UsageError(
                f"{found.title} cannot be copied without what it joins", where=label, remedy="select both ends too"
            )
    rows: dict[str, list[Thing]] = {}
    for part in parts:
        thing = _loosened(part, inside, label)
        rows.setdefault(part.collection, []).append(thing if convert is None else with_positions(thing, convert, label))
    things = {name: tuple(found) for name, found in rows.items()}
    design = Design(name="Part of a site", as_of=site.design.as_of, gear=_gear_of(site, rows), **things)  # type: ignore[arg-type]
    return fragment_to_text(Fragment(reference=_reference(things), design=design))


def _loosened(part: Part, inside: set[str], label: str) -> Thing:
    """Return a thing without what it names outside, or refuse where it cannot do without."""
    fields: dict[str, Any] = {}
    for reference in references_of(part.collection):
        if KINDS[reference.kinds[0]].collection == "gear":
            continue
        ids = named(part.thing, reference)
        outside = [one for one in ids if one not in inside]
        if not outside:
            continue
        if reference.on_removal == "goes":
            raise UsageError(
                f"'{part.thing.id}' belongs to '{outside[0]}', which is not copied",
                where=label,
                remedy=f"select '{outside[0]}' too",
            )
        fields[reference.path] = tuple(one for one in ids if one in inside) if reference.many else None
    return rebuilt(part.thing, label, **fields)


def _gear_of(site: Site, rows: dict[str, list[Thing]]) -> tuple[GearType, ...]:
    used = {
        one
        for name, things in rows.items()
        for reference in references_of(name)
        if KINDS[reference.kinds[0]].collection == "gear"
        for thing in things
        for one in named(thing, reference)
    }
    return tuple(row for row in site.design.gear if row.id in used)


def _reference(things: dict[str, tuple[Thing, ...]]) -> PlanePoint:
    """Return the middle of all positions in metres, on whole metres."""
    points = [
        point
        for rows in things.values()
        for thing in rows
        for point in own_positions(thing)
        if isinstance(point, PlanePoint)
    ]
    if not points:
        return PlanePoint(x_m=0.0, y_m=0.0)
    xs, ys = [point.x_m for point in points], [point.y_m for point in points]
    return PlanePoint(x_m=float(round((min(xs) + max(xs)) / 2.0)), y_m=float(round((min(ys) + max(ys)) / 2.0)))


def paste(
    site: Site,
    text: str,
    *,
    at: PlanePoint | None = None,
    dx_m: float = 0.0,
    dy_m: float = 0.0,
    shift: Shift | None = None,
) -> Edit:
    """Paste things that were copied as text.

    Ids and names that are free in the site are kept, others go on from the old ones. Where the site has another version
    of a gear type, its own is used and a remark says so.

    Parameters
    ----------
    site : Site
        The site.
    text : str
        What `copy_things` returned, or anything else that lies on a clipboard.
    at : PlanePoint or None
        Where the middle of what was copied comes to; None = it stands off by `dx_m` and `dy_m`.
    dx_m, dy_m : float
        How far it stands off from where it was copied. [m]
    shift : callable or None
        Used instead of all three, for positions in degrees.

    Returns
    -------
    Edit
        `touched` are the ids of the things pasted, then of the gear types that came along.

    Raises
    ------
    FileFaultsError
        The text is no part of a site, or not sound.
    UsageError
        A position in degrees cannot be moved by metres; gear of one id is of another kind here.
    """
    fragment = fragment_from_text(text)
    if at is not None:
        dx_m, dy_m = at.x_m - fragment.reference.x_m, at.y_m - fragment.reference.y_m
    if shift is None and (dx_m or dy_m):
        shift = by_metres(dx_m, dy_m)
    parts = list(_parts(fragment.design))
    label = f"Paste {len(parts)} things" if len(parts) != 1 else "Paste one thing"
    gear, remarks = _gear_for(site, fragment.design, label)
    remarks += _files(site, parts)
    copies = copies_of(parts, Naming(site, keep=True), shift, label)
    if not copies:
        return Edit(label, site, site, ())
    after = with_rows(site, "design", "gear", add=gear) if gear else site
    touched = (*(copy.id for copy in copies), *(row.id for row in gear))
    return finished(label, site, with_things(after, copies), touched, remarks=tuple(remarks))


def _parts(design: Design) -> Iterator[Part]:
    for collection in COLLECTIONS:
        for thing in getattr(design, collection.name):
            yield Part(collection.name, thing)


def _files(site: Site, parts: list[Part]) -> Iterator[str]:
    """Yield a remark on every file that a pasted thing shows and nothing here does."""
    known = {row.file for row in site.design.photographs} | {row.file for row in site.design.plan_pictures}
    for part in parts:
        thing = part.thing
        if isinstance(thing, Photograph | PlanPicture) and thing.file not in known:
            yield f"the file '{thing.file}' of '{thing.id}' does not come along, put it into the site's assets"


def _gear_for(site: Site, design: Design, label: str) -> tuple[tuple[GearType, ...], list[str]]:
    own = {row.id: row for row in site.design.gear}
    new, remarks = [], []
    for row in design.gear:
        mine = own.get(row.id)
        if mine is None:
            new.append(row)
        elif mine.kind != row.kind:
            raise UsageError(f"'{row.id}' is of the kind {row.kind} there and {mine.kind} here", where=label)
        elif mine != row:
            remarks.append(f"the site's own version of the gear type '{row.id}' is used")
    return tuple(new), remarks
