"""The table of the design's collections: what each holds and what people call one of them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from survey_app.site.record import Record
from survey_app.site.shape import fields_of
from survey_app.site.site import Design
from survey_app.site.thing import Thing

__all__ = ["COLLECTIONS", "Collection", "collection_of", "every_thing"]


class Collection(NamedTuple):
    """One collection of things of the design."""

    name: str
    """The field of the design: `mounts`."""
    word: str
    """What people call one of them: `mount`."""
    records: tuple[type[Thing], ...]
    """The records it holds."""


_IRREGULAR = {"supplies": "supply"}


def _word(name: str) -> str:
    return _IRREGULAR.get(name, name.removesuffix("s").replace("_", " "))


def _collections() -> Iterator[Collection]:
    for field in fields_of(Design).values():
        records = tuple(record for record in field.records.values() if issubclass(record, Thing))
        if field.lists == 1 and records:
            yield Collection(field.name, _word(field.name), records)


COLLECTIONS: tuple[Collection, ...] = tuple(_collections())
"""Every collection of things, in the order of the file. Their ids share one name space; gear ids have their own."""

_BY_RECORD: dict[type[Record], Collection] = {
    record: collection for collection in COLLECTIONS for record in collection.records
}


def collection_of(record: type[Record]) -> Collection:
    """Return the collection that holds a kind of thing.

    Examples
    --------
    >>> from survey_app.site.structure import Pole
    >>> collection_of(Pole).name
    'structures'
    """
    return _BY_RECORD[record]


def every_thing(design: Design) -> Iterator[tuple[Collection, int, Thing]]:
    """Yield every thing of a design with its collection and its place in it."""
    for collection in COLLECTIONS:
        for number, thing in enumerate(getattr(design, collection.name)):
            yield collection, number, thing
