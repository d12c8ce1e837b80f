"""Copies of things with all that hangs on them, under fresh ids and names."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from survey_app.errors import UsageError
from survey_app.site.collection import every_thing
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.moving import by_metres, titled
from survey_app.site.edits.naming import evidence_ids
from survey_app.site.edits.positions import Shift, with_positions
from survey_app.site.edits.sharing import find_all, rebuilt
from survey_app.site.edits.together import with_things
from survey_app.site.mount import Mount
from survey_app.site.network import Camera, Device
from survey_app.site.place import PlanePoint
from survey_app.site.radio import Radio
from survey_app.site.reference_table import Reference, named, references_of, uses_of
from survey_app.site.site import Design, Site
from survey_app.site.thing import Permission, Thing

__all__ = ["Naming", "Part", "copies_of", "duplicate", "duplicate_along", "whole_of"]

_RIDE = frozenset(["rooms", "walls", "openings", "served_areas", "mounts", "cameras", "radios", "devices", "supplies"])
"""What is copied with the thing it is on or in. Head ends are not: a copied recorder is not yet where video arrives."""

_BETWEEN = frozenset(["hops", "wires"])
"""What is copied where both of its ends are."""

_OF_THE_ONE: Mapping[type[Thing], Mapping[str, Any]] = {
    Radio: {"serial": "", "hardware_address": "", "address": "", "label": "", "network_name": ""},
    Mount: {
        "permission": Permission(),
        "photo": "",
        "overhead_line_m": None,
        "no_overhead_line": False,
        "earth_point": "",
    },
}
"""What was noted of the one unit or place and says nothing of its copy."""

_HAND_SET = (Mount, Radio, Camera, Device)
"""What is bought and hung: a copy of it is planned, whatever the state of the first."""


class Part(NamedTuple):
    """A thing that is copied, with its collection."""

    collection: str
    thing: Thing


def whole_of(design: Design, ids: Iterable[str]) -> tuple[Part, ...]:
    """Return things with all that hangs on them, in the order of the file; hops and wires where both ends are among them."""
    inside = set(ids)
    frontier = frozenset(inside)
    while frontier:
        further: set[str] = set()
        for collection in ("structures", "walls", "mounts"):
            for use in uses_of(design, collection, frontier):
                if use.reference.holder in _RIDE and use.reference.on_removal == "goes":
                    further.add(use.row.id)
        frontier = frozenset(further - inside)
        inside |= frontier
    parts = []
    for holder, _, thing in every_thing(design):
        name = holder.name
        if name in _BETWEEN:
            if all(one in inside for reference in references_of(name) for one in _ends(thing, reference)):
                parts.append(Part(name, thing))
        elif thing.id in inside:
            parts.append(Part(name, thing))
    return tuple(parts)


def _ends(thing: Thing, reference: Reference) -> tuple[str, ...]:
    return named(thing, reference) if reference.on_removal == "goes" else ()


class Naming:
    """Hands out ids and names that are free in a site, each once.

    Parameters
    ----------
    site : Site
        Where the copies come to.
    keep : bool
        Whether an id or name that is free there is kept.
    """

    def __init__(self, site: Site, *, keep: bool = False) -> None:
        things = [thing for _, _, thing in every_thing(site.design)]
        self._ids = {thing.id for thing in things} | evidence_ids(site.evidence)
        self._names = {thing.name for thing in things if thing.name}
        self._keep = keep

    def fresh_id(self, old: str) -> str:
        """Return a free id that goes on from an old one: P4 after P3, gate-2 after gate."""
        return self._free(old, self._ids, "-", 40)

    def fresh_name(self, old: str) -> str:
        """Return a free name that goes on from an old one: Pole 4 after Pole 3; no name stays none."""
        return self._free(old, self._names, " ", 300) if old else ""

    def _free(self, old: str, taken: set[str], gap: str, longest: int) -> str:
        found = old
        if old in taken or not self._keep:
            match = re.fullmatch(r"(.*?)(\d{1,9})", old, re.ASCII | re.DOTALL)
            head, number = (match[1], int(match[2])) if match else (old + gap, 1)
            while True:
                number += 1
                tail = str(number)
                found = head[: longest - len(tail)] + tail
                if found not in taken:
                    break
        taken.add(found)
        return found


def copies_of(parts: Iterable[Part], naming: Naming, shift: Shift | None, where: str) -> tuple[Thing, ...]:
    """Return copies of things under fresh ids and names, which name each other as the things do.

    Parameters
    ----------
    parts : iterable of Part
        The things.
    naming : Naming
        Hands out ids and names.
    shift : callable or None
        Turns their positions into those of the copies; None = they stay.
    where : str
        What is being done, for a sentence.
    """
    rows = list(parts)
    new_ids = {part.thing.id: naming.fresh_id(part.thing.id) for part in rows}
    copies = []
    for part in rows:
        old = part.thing
        fields: dict[str, Any] = {"id": new_ids[old.id], "name": naming.fresh_name(old.name), "locked": False}
        fields.update(_OF_THE_ONE.get(type(old), {}))
        if isinstance(old, _HAND_SET) and old.status != "later":
            fields["status"] = "planned"
        for reference in references_of(part.collection):
            ids = named(old, reference)
            if any(one in new_ids for one in ids) and not _names_gear(reference):
                value = tuple(new_ids.get(one, one) for one in ids)
                fields[reference.path] = value if reference.many else value[0]
        copy: Thing = rebuilt(old, where, **fields)
        copies.append(copy if shift is None else _put(copy, shift, where))
    return tuple(copies)


def _put(copy: Thing, shift: Shift, where: str) -> Thing:
    moved = with_positions(copy, shift, where)
    if isinstance(moved, Camera) and moved.target is not None:
        # the copy of a group keeps its shape: what a camera looks at comes along, as it does not when one is moved
        moved = rebuilt(moved, where, **{"target.position": shift(moved.target.position)})
    return moved


def _names_gear(reference: Reference) -> bool:
    # gear ids have a name space of their own
    return all(kind.endswith("_type") for kind in reference.kinds)


def _copied(site: Site, ids: Iterable[str], shifts: list[Shift], verb: str) -> Edit:
    asked = find_all(site, ids)
    label = f"{verb} {titled(asked) if asked else 'nothing'}"
    parts = whole_of(site.design, [found.thing.id for found in asked])
    missing = [found for found in asked if found.thing.id not in {part.thing.id for part in parts}]
    if missing and not parts:
        raise UsageError(
            f"{missing[0].title} cannot be copied without what it joins", where=label, remedy="select both ends too"
        )
    naming = Naming(site)
    copies: list[Thing] = []
    for shift in shifts:
        copies += copies_of(parts, naming, shift, label)
    if not copies:
        return Edit(label, site, site, ())
    return finished(label, site, with_things(site, copies), tuple(copy.id for copy in copies))


def duplicate(site: Site, ids: Iterable[str], dx_m: float, dy_m: float, *, shift: Shift | None = None) -> Edit:
    """Copy things, with all that hangs on them, beside themselves.

    Mounts, cameras, radios, boxes, rooms and walls come along; hops and wires where both of their ends are copied.
    Copies have fresh ids and names, are planned and unlocked, and carry nothing that was noted of the one unit
    (serial number, address, permission, photograph).

    Parameters
    ----------
    site : Site
        The site.
    ids : iterable of str
        The things.
    dx_m, dy_m : float
        How far the copies stand off, right and up. [m]
    shift : callable or None
        Used instead of the metres, for positions that are in degrees.

    Returns
    -------
    Edit
        `touched` are the ids of the copies, in the order of the file.

    Raises
    ------
    UsageError
        Only a hop or wire is given without its ends, or a position cannot be moved by metres.
    """
    return _copied(site, ids, [shift or by_metres(dx_m, dy_m)], "Duplicate")


def duplicate_along(site: Site, ids: Iterable[str], start: PlanePoint, end: PlanePoint, count: int) -> Edit:
    """Copy things several times along a line, at equal distances.

    Parameters
    ----------
    site : Site
        The site.
    ids : iterable of str
        The things, which stand at the start.
    start, end : PlanePoint
        Where they stand, and where the last copy shall.
    count : int
        Number of copies, 1 to 1000.

    Raises
    ------
    UsageError
        The count is out of range, or as `duplicate`.
    """
    if not 1 <= count <= 1000:
        raise UsageError(f"{count} copies are asked for, 1 to 1000 can be made", where="Duplicate along a line")
    dx, dy = end.x_m - start.x_m, end.y_m - start.y_m
    shifts = [by_metres(dx * number / count, dy * number / count) for number in range(1, count + 1)]
    edit = _copied(site, ids, shifts, "Duplicate")
    times = "once" if count == 1 else f"{count} times"
    return edit._replace(label=f"{edit.label} {times} along a line")
