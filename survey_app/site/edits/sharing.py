"""Puts changed rows into a site so that everything else stays the same object.

Only here are top records made without validation: from the old fields and from rows that their own constructors have
checked. The constructor of the whole would make every collection anew.
"""

from __future__ import annotations

import difflib
from collections.abc import Collection as Sized
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple, TypeVar, cast

from pydantic import ValidationError

from survey_app.errors import InternalError, UnknownNameError, UsageError
from survey_app.site.calling import called
from survey_app.site.collection import COLLECTIONS, Collection
from survey_app.site.numbers import numbers, remember
from survey_app.site.record import Record
from survey_app.site.shape import fields_of
from survey_app.site.site import Site
from survey_app.site.thing import Thing
from survey_app.site.validation import faults_of

__all__ = ["Found", "find", "find_all", "rebuilt", "with_fields", "with_rows"]

R = TypeVar("R", bound=Record)


class Found(NamedTuple):
    """A thing with its place in the design."""

    collection: Collection
    number: int
    thing: Thing

    @property
    def title(self) -> str:
        """What people call it, with its kind: `Pole P3`."""
        return called(self.thing)


def find(site: Site, thing_id: str) -> Found:
    """Return a thing of the site by its id.

    Raises
    ------
    UnknownNameError
        There is no such thing; the nearest id is offered.
    """
    for collection in COLLECTIONS:
        rows = getattr(site.design, collection.name)
        number = numbers(rows).get(thing_id)
        if number is not None:
            return Found(collection, number, rows[number])
    known = [row.id for collection in COLLECTIONS for row in getattr(site.design, collection.name)]
    close = difflib.get_close_matches(thing_id, known, n=1)
    remedy = f"did you mean '{close[0]}'" if close else "name a thing of the site by its id"
    raise UnknownNameError(f"the site has nothing with the id '{thing_id}'", remedy=remedy)


def find_all(site: Site, ids: Iterable[str]) -> list[Found]:
    """Return several things, each once, in the given order."""
    return [find(site, one) for one in dict.fromkeys(ids)]


def rebuilt(row: R, where: str, /, **fields: Any) -> R:
    """Return a record with some fields changed, through its constructor; the same object where nothing changes.

    A dotted name reaches into a part of the record: `stream.rate_mbps`.

    Raises
    ------
    UsageError
        A field is not known or a value is refused.
    """
    values = dict(row.__dict__)
    for name, value in fields.items():
        head, _, rest = name.partition(".")
        part = values.get(head)
        if rest and not isinstance(part, Record):
            raise UsageError("there is no such part to change", where=f"{where}, {head}", remedy="set it as a whole")
        values[head] = (
            rebuilt(part, f"{where}, {head}", **{rest: value}) if isinstance(part, Record) and rest else value
        )
    kind: type[R] = type(row)
    try:
        new = kind(**values)
    except ValidationError as error:
        fault = faults_of(error, kind)[0]
        raise UsageError(fault.sentence, where=f"{where}, {fault.place}", remedy="the site is unchanged") from None
    return row if new == row else new


def _ids(row: Any) -> str | None:
    return getattr(row, "id", None)


def with_fields(record: R, /, **fields: Any) -> R:
    """Return a top record (site, design, evidence) with fields replaced by values that are already checked."""
    known = record.__pydantic_fields_set__ | fields.keys()
    return cast("R", type(record).model_construct(known, **{**record.__dict__, **fields}))


def with_rows(
    site: Site,
    half: str,
    name: str,
    *,
    put: Mapping[int, Record] | None = None,
    add: tuple[Record, ...] = (),
    drop: Sized[int] = (),
) -> Site:
    """Return the site with rows of one collection replaced, added or dropped; all else stays the same objects.

    Parameters
    ----------
    site : Site
        The site.
    half, name : str
        `design` or `evidence`, and the collection in it.
    put : mapping of int to Record
        Rows by the number of the row that they replace.
    add : tuple of Record
        Rows that come at the end.
    drop : collection of int
        Numbers of rows that go.
    """
    put = put or {}
    top = getattr(site, half)
    record: type[Record] = type(top)
    shape = fields_of(record)[name]
    allowed = tuple(shape.records.values())
    if not all(isinstance(row, allowed) for row in (*put.values(), *add)):
        raise InternalError(f"a row of the wrong kind was put into '{name}'")
    old: tuple[Record, ...] = getattr(top, name)
    if len(put) == 1 and not drop:
        ((number, row),) = put.items()
        rows = (*old[:number], row, *old[number + 1 :], *add)
        if half == "design" and not add and _ids(row) == _ids(old[number]):
            remember(rows, numbers(old))
    elif put or drop:
        rows = (*(put.get(number, row) for number, row in enumerate(old) if number not in drop), *add)
    else:
        rows = (*old, *add)
    if len(rows) > shape.bounds["max_length"]:
        most = shape.bounds["max_length"]
        raise UsageError(f"a site has at most {most} {name.replace('_', ' ')}", remedy="the site is unchanged")
    return with_fields(site, **{half: with_fields(top, **{name: rows})})
