"""Checks that ids are unique and that every reference of a design finds a thing of the right kind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from survey_app.site.collection import COLLECTIONS, every_thing
from survey_app.site.fault import MOST_FAULTS, Fault
from survey_app.site.mount import Mount
from survey_app.site.numbers import numbers
from survey_app.site.place import EdgePlace, PolePlace, RoofPlace
from survey_app.site.reference_table import KINDS, REFERENCES, Reference, named, references_of, uses_of
from survey_app.site.site import Design, Site
from survey_app.site.structure import Building, Mast, Pole
from survey_app.site.validation import nearest

__all__ = ["check_references", "check_touched"]

_THINGS = tuple(collection.name for collection in COLLECTIONS)
_COLLECTIONS = (*_THINGS, "gear")


def check_references(site: Site) -> tuple[Fault, ...]:
    """Check ids and references of a whole site.

    Ids are unique over all things, gear ids over the gear types. Every reference names a thing of the right kind. A
    mount on an edge or roof is on a building and the edge exists; one on a pole is on a pole or mast. A station is in
    at most one hop. Evidence may name things that are gone and is not checked.

    Returns
    -------
    tuple of Fault
        All faults with their places, in the order of the file; empty where there are none.
    """
    design = site.design
    faults = [*_twice(design), *_gear_twice(design)]
    for reference in REFERENCES:
        for number, row in enumerate(getattr(design, reference.holder)):
            faults.extend(_unresolved(design, reference, number, row, offer=len(faults) < 20))
            if len(faults) >= MOST_FAULTS:
                return tuple(faults)
    for number, mount in enumerate(design.mounts):
        faults.extend(_misplaced(design, number, mount))
    faults.extend(_crowded(design))
    return tuple(faults)


def _twice(design: Design) -> Iterator[Fault]:
    first: dict[str, str] = {}
    for collection, number, thing in every_thing(design):
        place = f"design.{collection.name}[{number}]"
        if thing.id in first:
            yield Fault(f"{place}.id", f"the id '{thing.id}' is already that of {first[thing.id]}, ids are unique")
        else:
            first[thing.id] = place


def _gear_twice(design: Design) -> Iterator[Fault]:
    first: dict[str, int] = {}
    for number, row in enumerate(design.gear):
        if row.id in first:
            sentence = f"the gear id '{row.id}' is already that of design.gear[{first[row.id]}], gear ids are unique"
            yield Fault(f"design.gear[{number}].id", sentence)
        first.setdefault(row.id, number)


def _unresolved(design: Design, reference: Reference, number: int, row: Any, *, offer: bool) -> Iterator[Fault]:
    for position, name in enumerate(named(row, reference)):
        if any(_is(design, kind, name) for kind in reference.kinds):
            continue
        place = f"design.{reference.holder}[{number}].{reference.path}{f'[{position}]' if reference.many else ''}"
        found = _anything(design, name, gear=KINDS[reference.kinds[0]].collection == "gear")
        if found is not None:
            yield Fault(place, f"'{name}' is {_word(*found)}, {reference.words} is needed")
            continue
        close = nearest(name, _candidates(design, reference)) if offer else ""
        sentence = (
            f"the site carries no copy of '{name}', {reference.words} is needed in design.gear"
            if KINDS[reference.kinds[0]].collection == "gear"
            else f"nothing here has the id '{name}', {reference.words} is needed"
        )
        yield Fault(place, f"{sentence}{f', {close}' if close.startswith('did') else ''}")


def _is(design: Design, kind: str, name: str) -> bool:
    number = _number(design, KINDS[kind].collection, name)
    return number is not None and KINDS[kind].holds(getattr(design, KINDS[kind].collection)[number])


def _anything(design: Design, name: str, *, gear: bool) -> tuple[str, Any] | None:
    for collection in ("gear",) if gear else _THINGS:
        number = _number(design, collection, name)
        if number is not None:
            return collection, getattr(design, collection)[number]
    return None


def _candidates(design: Design, reference: Reference) -> list[str]:
    kinds = [KINDS[kind] for kind in reference.kinds]
    return [row.id for kind in kinds for row in getattr(design, kind.collection) if kind.holds(row)]


def _word(collection: str, row: Any) -> str:
    words = [kind.word for kind in KINDS.values() if kind.collection == collection and kind.field and kind.holds(row)]
    if words:
        return words[0]
    word = getattr(row, "kind", collection.removesuffix("s")).replace("_", " ")
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


def _misplaced(design: Design, number: int, mount: Mount) -> Iterator[Fault]:
    place = f"design.mounts[{number}].place"
    found = _number(design, "structures", mount.structure)
    if found is None:
        return
    structure = design.structures[found]
    where = f"'{structure.id}' is {_word('structures', structure)}"
    match mount.place:
        case EdgePlace(edge=edge):
            if not isinstance(structure, Building):
                yield Fault(place, f"{where}, a place on an edge needs a building")
            elif edge >= len(structure.outline):
                last = len(structure.outline) - 1
                yield Fault(f"{place}.edge", f"the building '{structure.id}' has edges 0 to {last}, not {edge}")
        case RoofPlace() if not isinstance(structure, Building):
            yield Fault(place, f"{where}, a place on a roof needs a building")
        case PolePlace() if not isinstance(structure, (Pole, Mast)):
            yield Fault(place, f"{where}, a place on a pole needs a pole or mast")


def _crowded(design: Design) -> Iterator[Fault]:
    first: dict[str, str] = {}
    for number, hop in enumerate(design.hops):
        if hop.station in first:
            sentence = f"the station '{hop.station}' is already in hop '{first[hop.station]}', it has one hop only"
            yield Fault(f"design.hops[{number}].station", sentence)
        first.setdefault(hop.station, hop.id)


def check_touched(site: Site, touched: Iterable[str], *, before: Site | None = None) -> tuple[Fault, ...]:
    """Check only what an edit of some things or gear types can have broken.

    Finds a fault whenever `check_references` does, for a site that was sound before the edit, and is much quicker.

    Parameters
    ----------
    site : Site
        The site after the edit.
    touched : iterable of str
        Ids of the things and gear types that were added, changed or removed.
    before : Site or None
        The site before the edit, if at hand: what names a row that is still of the same kind is then not looked at.
    """
    design = site.design
    holders: set[tuple[str, int]] = set()
    scan: dict[str, set[str]] = {}
    doubled = False
    for one in touched:
        places = [(name, number) for name in _COLLECTIONS if (number := _number(design, name, one)) is not None]
        holders.update(places)
        doubled |= len([name for name, _ in places if name != "gear"]) > 1
        doubled |= any(len(numbers(getattr(design, name))) < len(getattr(design, name)) for name, _ in places)
        for name in [name for name, _ in places] or _COLLECTIONS:
            if before is None or not _as_good_a_target(before.design, design, name, one):
                scan.setdefault(name, set()).add(one)
    faults = [*_twice(design), *_gear_twice(design)] if doubled else []
    for name, ids in scan.items():
        holders |= {(use.reference.holder, use.number) for use in uses_of(design, name, frozenset(ids))}
    for name, number in sorted(holders):
        faults += _check_row(design, name, number)
    if any(name == "hops" for name, _ in holders):
        faults += _crowded(design)
    return tuple(faults)


def _number(design: Design, name: str, one: str) -> int | None:
    return numbers(getattr(design, name)).get(one)


def _as_good_a_target(before: Design, after: Design, name: str, one: str) -> bool:
    """Return whether every reference to a row that held before holds still."""
    old_number, new_number = _number(before, name, one), _number(after, name, one)
    if old_number is None or new_number is None:
        return old_number is None and new_number is None
    old, new = getattr(before, name)[old_number], getattr(after, name)[new_number]
    same = [getattr(old, field, None) == getattr(new, field, None) for field in ("kind", "role")]
    corners = len(getattr(old, "outline", ())) <= len(getattr(new, "outline", ()))
    return type(old) is type(new) and all(same) and corners


def _check_row(design: Design, name: str, number: int) -> Iterator[Fault]:
    row = getattr(design, name)[number]
    for reference in references_of(name):
        yield from _unresolved(design, reference, number, row, offer=False)
    if name == "mounts":
        yield from _misplaced(design, number, row)
