"""The shape of a record's fields, read once from the records: what a field holds, in which unit, within which range.

File messages, writing, schema, guide pages and references all ask here, so that a field is described in one place.
"""

from __future__ import annotations

import datetime
import functools
import json
import types
from collections.abc import Mapping
from typing import Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin

from pydantic import AwareDatetime, Tag
from pydantic_core import PydanticUndefined

from survey_app.site.record import Record, unit_of

__all__ = ["FieldShape", "Stop", "fields_of", "follow", "key_text", "tag_of"]

_WORDS: Mapping[Any, str] = {
    float: "number",
    int: "whole number",
    bool: "true or false",
    str: "text",
    datetime.date: "date",
    datetime.datetime: "date and time",
    AwareDatetime: "date and time",
}


class FieldShape(NamedTuple):
    """What one field of a record holds."""

    name: str
    holds: str
    """`number`, `whole number`, `true or false`, `text`, `date`, `date and time`, `choice` or `record`."""
    meaning: str
    unit: str | None
    nullable: bool
    lists: int
    """How many lists stand one in another round the value: 0 for a plain value."""
    choices: tuple[Any, ...]
    records: Mapping[str, type[Record]]
    """Records it may hold, by tag; the tag is empty where there is only one."""
    bounds: Mapping[str, Any]
    """`ge`, `gt`, `le`, `lt`, `min_length`, `max_length`, `pattern`, where given; of the list where it is one."""
    item_bounds: Mapping[str, Any]
    """The same of one item of a list."""
    required: bool
    default: Any


class _Kind(NamedTuple):
    holds: str
    lists: int
    nullable: bool
    choices: tuple[Any, ...]
    records: dict[str, type[Record]]
    metadata: list[Any]
    """What is said about the innermost value where it stands, such as the pattern of an id."""


def tag_of(record: type[Record]) -> str:
    """Return the word that tells a record from its siblings: its `kind`, or nothing."""
    field = record.model_fields.get("kind")
    values = get_args(field.annotation) if field is not None else ()
    return values[0] if len(values) == 1 else ""


def _members(annotation: Any) -> dict[str, type[Record]]:
    found: dict[str, type[Record]] = {}
    for member in get_args(annotation):
        tags = [word.tag for word in get_args(member)[1:] if isinstance(word, Tag)]
        bare = get_args(member)[0] if get_origin(member) is Annotated else member
        kind = bare.model_fields.get("kind")
        for tag in tags or (get_args(kind.annotation) if kind is not None else ()):
            found[tag] = bare
    return found


def _kind(annotation: Any) -> _Kind:
    lists, nullable = 0, False
    metadata: list[Any] = []
    while True:
        origin = get_origin(annotation)
        if origin is Annotated:
            metadata += annotation.__metadata__
            annotation = get_args(annotation)[0]
        elif origin is tuple:
            lists += 1
            annotation = get_args(annotation)[0]
        elif origin in (Union, types.UnionType):
            members = [one for one in get_args(annotation) if one is not types.NoneType]
            nullable = nullable or len(members) < len(get_args(annotation))
            if len(members) > 1:
                return _Kind("record", lists, nullable, (), _members(annotation), metadata)
            annotation = members[0]
        elif origin is Literal:
            return _Kind("choice", lists, nullable, get_args(annotation), {}, metadata)
        elif isinstance(annotation, type) and issubclass(annotation, Record):
            return _Kind("record", lists, nullable, (), {"": annotation}, metadata)
        else:
            return _Kind(_WORDS[annotation], lists, nullable, (), {}, metadata)


def _bounds(metadata: list[Any]) -> dict[str, Any]:
    names = ("ge", "gt", "le", "lt", "min_length", "max_length", "pattern")
    found: dict[str, Any] = {}
    for word in metadata:
        for name in names:
            value = getattr(word, name, None)
            if value is not None:
                found[name] = value
    return found


@functools.cache
def fields_of(record: type[Record]) -> Mapping[str, FieldShape]:
    """Return the shape of every field of a record, in the order of the file (`id`, `kind`, then as declared).

    Examples
    --------
    >>> from survey_app.site.mount import Mount
    >>> shape = fields_of(Mount)["height_m"]
    >>> shape.holds, shape.unit, shape.bounds["le"], shape.required
    ('number', 'm', 1000, True)
    """
    found: dict[str, FieldShape] = {}
    fields = record.model_fields
    order = [name for name in ("id", "kind") if name in fields]
    for name in order + [name for name in fields if name not in order]:
        field = fields[name]
        kind = _kind(field.annotation)
        found[name] = FieldShape(
            name=name,
            holds=kind.holds,
            meaning=field.description or "",
            unit=unit_of(name) if kind.holds in ("number", "whole number", "choice") else None,
            nullable=kind.nullable,
            lists=kind.lists,
            choices=kind.choices,
            records=kind.records,
            bounds=_bounds(field.metadata if kind.lists else [*kind.metadata, *field.metadata]),
            item_bounds=_bounds(kind.metadata) if kind.lists else {},
            required=field.is_required(),
            default=None if field.default is PydanticUndefined else field.default,
        )
    return found


class Stop(NamedTuple):
    """Where a path into a record ends."""

    place: str
    """The path as people read it: `design.mounts[3].height_m`."""
    field: FieldShape | None
    """The field it ends in; None for a name that the record does not know, and for the record at the start."""
    lists: int
    """How many lists are still round the value at this place."""
    record: type[Record] | None
    """The record it ends in, or the one whose field it ends in."""


def key_text(name: str) -> str:
    """Return a key of a file as people may read it: a strange one escaped and shortened.

    Examples
    --------
    >>> key_text("height_m"), key_text("a\\nb")
    ('height_m', '"a\\\\nb"')
    """
    short = name if len(name) <= 40 else f"{name[:40]}…"
    return short if short.isprintable() and " " not in short else json.dumps(short)


def follow(path: tuple[int | str, ...], start: type[Record]) -> Stop:
    """Follow a path of field names, list positions and tags from a record, and say where it ends.

    Examples
    --------
    >>> from survey_app.site.site import Site
    >>> follow(("design", "structures", 3, "building", "eaves_height_m"), Site).place
    'design.structures[3].eaves_height_m'
    """
    place = ""
    records: Mapping[str, type[Record]] = {"": start}
    record: type[Record] | None = start
    field: FieldShape | None = None
    lists = 0
    for part in path:
        if isinstance(part, int):
            place, lists = f"{place}[{part}]", lists - 1
        elif "" not in records and part in records:
            records = {"": records[part]}
        else:
            place = f"{place}.{key_text(part)}" if place else key_text(part)
            record = records.get("")
            field = fields_of(record).get(part) if record is not None else None
            records, lists = (field.records, field.lists) if field is not None else ({}, 0)
    return Stop(place, field, lists, records.get("", record))
