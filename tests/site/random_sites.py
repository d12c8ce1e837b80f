"""Random records and random sound sites, drawn from the shapes of the records themselves."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Callable, Mapping
from typing import Any

from hypothesis import strategies as st

from survey_app.site import Design, Site
from survey_app.site.collection import COLLECTIONS
from survey_app.site.evidence import Evidence
from survey_app.site.place import EdgePlace, PointPlace, PolePlace, RoofPlace
from survey_app.site.record import Record
from survey_app.site.reference_table import KINDS, Reference, references_of
from survey_app.site.shape import FieldShape, fields_of
from survey_app.site.structure import Building, Mast, Pole

Draw = Callable[[st.SearchStrategy[Any]], Any]

_SLUG = st.text("abcdefghijklmnopqrstuvwxyz0123456789", min_size=1, max_size=6)
_WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), max_size=12)
_DAYS = st.dates(datetime.date(1900, 1, 1), datetime.date(2200, 1, 1))
_OFFSETS = st.integers(-14 * 60, 14 * 60).map(lambda m: datetime.timezone(datetime.timedelta(minutes=m)))
_MOMENTS = st.datetimes(datetime.datetime(1990, 1, 1), datetime.datetime(2100, 1, 1), timezones=_OFFSETS)
_FILES = st.sampled_from(["a.jpg", "gate/b.png", "c d.jpg", "großer Mast.jpg"])


def _seen(letter: str) -> bool:
    return letter.isprintable() and not letter.isspace()


def _numbers(field: FieldShape) -> st.SearchStrategy[Any]:
    bounds = field.item_bounds if field.lists else field.bounds
    if field.name == "guard_interval_us":
        return st.sampled_from([0.4, 0.8, 1.6, 3.2])
    low, high = bounds.get("ge", bounds.get("gt", -1e6)), bounds.get("le", bounds.get("lt", 1e6))
    if field.holds == "whole number":
        return st.integers(int(low) + ("gt" in bounds), int(high) - ("lt" in bounds))
    return st.floats(low, high, exclude_min="gt" in bounds, exclude_max="lt" in bounds)


def _texts(field: FieldShape) -> st.SearchStrategy[Any]:
    bounds = field.item_bounds if field.lists else field.bounds
    pattern = bounds.get("pattern", "")
    if "A-Z]{2}" in pattern:
        return st.sampled_from(["US", "DK", "GB"])
    if pattern.startswith("^[A-Z]["):
        return st.sampled_from(["US", "EU", "GB"])
    if "0,39" in pattern:
        return _SLUG
    if field.name in ("management", "video"):
        return st.sampled_from(["", "10.20.0.0/24", "192.168.4.0/28", "172.16.0.0/12"])
    if field.name == "item":
        return st.uuids().map(str)  # one price an item
    low, high = bounds.get("min_length", 0), bounds.get("max_length", 12)
    text = _FILES if field.name in ("file", "photo") else _WORDS
    # what must not be empty must not look empty either
    return text.filter(lambda one: low <= len(one) <= high and (low == 0 or any(map(_seen, one))))


_VALUES: dict[int, tuple[FieldShape, st.SearchStrategy[Any]]] = {}
"""Strategies that were made, by the shape they are for: shapes are made once, and a made strategy knows itself better."""


def values(field: FieldShape) -> st.SearchStrategy[Any]:
    """Return the strategy for the value of a field, references aside."""
    known = _VALUES.get(id(field))
    if known is None:
        known = _VALUES[id(field)] = (field, _values(field))
    return known[1]


def _values(field: FieldShape) -> st.SearchStrategy[Any]:
    one: st.SearchStrategy[Any]
    match field.holds:
        case "number" | "whole number":
            one = _numbers(field)
        case "true or false":
            one = st.booleans()
        case "choice":
            one = st.sampled_from(field.choices)
        case "date":
            one = _DAYS
        case "date and time":
            one = _MOMENTS
        case "record":
            one = st.one_of([records(record) for record in dict.fromkeys(field.records.values())])
        case _:
            one = _texts(field)
    for _ in range(field.lists):
        low = field.bounds.get("min_length", 0) or 0
        high = min(field.bounds.get("max_length") or low + 2, low + 2)
        size = (3, 3) if field.name == "inside_mm" else (low, high)
        one = st.lists(one, min_size=size[0], max_size=size[1]).map(tuple)
    return st.none() | one if field.nullable else one


@functools.cache
def _some_of(names: tuple[str, ...]) -> st.SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(names), unique=True, max_size=3)


@st.composite
def records(draw: Draw, record: type[Record], given: Mapping[str, Any] | None = None) -> Any:
    """Draw a record: what is required, a few of the other fields, and the given ones as they are."""
    given = given or {}
    shapes = fields_of(record)
    free = [name for name, field in shapes.items() if not field.required and name not in given]
    chosen = set(draw(_some_of(tuple(free)))) if free else set()
    fields = dict(given)
    for name, field in shapes.items():
        if name not in given and (field.required or name in chosen):
            fields[name] = draw(values(field))
    return record(**fields)


def _places(draw: Draw, structure: Any) -> Any:
    kinds: list[type[Record]] = [PointPlace]
    if isinstance(structure, Building):
        kinds += [EdgePlace, RoofPlace]
    if isinstance(structure, (Pole, Mast)):
        kinds += [PolePlace]
    kind = draw(st.sampled_from(kinds))
    if kind is EdgePlace:
        edge = draw(st.integers(0, len(structure.outline) - 1))
        return draw(records(EdgePlace, {"kind": "edge", "edge": edge}))
    return draw(records(kind, {"kind": {PointPlace: "point", RoofPlace: "roof", PolePlace: "pole"}[kind]}))


def _candidates(rows: Mapping[str, list[Any]], reference: Reference) -> list[str]:
    return [row.id for kind in reference.kinds for row in rows[KINDS[kind].collection] if KINDS[kind].holds(row)]


def thing(draw: Draw, record: type[Record], thing_id: str, rows: Mapping[str, list[Any]]) -> Any:
    """Draw one thing that names only what is there; None where something that it needs is not there."""
    collection = next(one for one in COLLECTIONS if record in one.records)
    given: dict[str, Any] = {"id": thing_id}
    for reference in references_of(collection.name):
        head, _, rest = reference.path.partition(".")
        shape = fields_of(record)[head]
        ids = _candidates(rows, reference)
        if collection.name == "hops" and head == "station":
            ids = [one for one in ids if one not in {hop.station for hop in rows["hops"]}]
        if reference.many:
            given[head] = tuple(draw(st.lists(st.sampled_from(ids), unique=True, max_size=2))) if ids else ()
        elif ids and (shape.required or draw(st.booleans())):
            name = draw(st.sampled_from(ids))
            given[head] = draw(records(shape.records[""], {rest: name})) if rest else name
        elif shape.required:
            return None
        else:
            given[head] = None
    if "place" in fields_of(record):
        structure = next(row for row in rows["structures"] if row.id == given["structure"])
        given["place"] = _places(draw, structure)
    return draw(records(record, given))


@st.composite
def sites(draw: Draw, *, most: int = 2, with_evidence: bool = True) -> Site:
    """Draw a sound site: every reference finds its thing, ids are unique."""
    rows: dict[str, list[Any]] = {collection.name: [] for collection in COLLECTIONS}
    rows["gear"] = []
    for number, record in enumerate(dict.fromkeys(fields_of(Design)["gear"].records.values())):
        if draw(st.booleans()):
            rows["gear"].append(draw(records(record, {"id": f"g{number}"})))
    for collection in COLLECTIONS:
        for number in range(draw(st.integers(0, most))):
            record = draw(st.sampled_from(collection.records))
            row = thing(draw, record, f"{collection.name[:3]}-{number}", rows)
            if row is not None:
                rows[collection.name].append(row)
    given = {name: tuple(found) for name, found in rows.items()}
    design = draw(records(Design, {**given, "accepted": ()}))
    evidence = draw(records(Evidence)) if with_evidence else Evidence()
    return Site(design=design, evidence=evidence)
