"""Looks a plain tree through row by row, so that a file with millions of faults costs no more than the first few."""

from __future__ import annotations

import functools
import json
from collections.abc import Mapping
from typing import Any, get_args

from pydantic import TypeAdapter, ValidationError

from survey_app.site.evidence import Evidence
from survey_app.site.fault import MOST_FAULTS, Fault
from survey_app.site.record import Record
from survey_app.site.shape import fields_of
from survey_app.site.site import Design, Site
from survey_app.site.validation import faults_of

__all__ = ["faults_by_row"]

_MOST_IN_A_ROW = 100_000


@functools.cache
def _readers(record: type[Record]) -> Mapping[str, TypeAdapter[Any]]:
    return {
        field.name: TypeAdapter(get_args(record.model_fields[field.name].annotation)[0])
        for field in fields_of(record).values()
        if field.lists == 1 and field.records
    }


def faults_by_row(tree: Any) -> list[Fault]:
    """Return the faults of a site's plain tree, at most as many as a report holds.

    First what stands outside the rows, then row by row.
    """
    halves = {"design": Design, "evidence": Evidence}
    if not isinstance(tree, dict):
        return _faults(TypeAdapter(Site), tree, ())
    rest, rows, faults = dict(tree), [], []
    for half, record in halves.items():
        if not isinstance(tree.get(half), dict):
            continue
        readers = _readers(record)
        lists = {key: item for key, item in tree[half].items() if key in readers and isinstance(item, list)}
        rest[half] = {key: item for key, item in tree[half].items() if key not in lists}
        for key, items in lists.items():
            most = fields_of(record)[key].bounds["max_length"]
            if len(items) > most:
                faults.append(Fault(f"{half}.{key}", f"the list of {len(items)} is too long, at most {most} items"))
            rows += [(readers[key], row, (half, key, number)) for number, row in enumerate(items[:most])]
    faults += _faults(TypeAdapter(Site), rest, ())
    for reader, row, path in rows:
        if len(faults) >= MOST_FAULTS:
            break
        faults += _faults(reader, row, path)
    return faults[:MOST_FAULTS]


def _faults(reader: TypeAdapter[Any], value: Any, prefix: tuple[int | str, ...]) -> list[Fault]:
    text = json.dumps(value)
    if prefix and text.count(",") > _MOST_IN_A_ROW:
        place = f"{prefix[0]}.{prefix[1]}[{prefix[2]}]"
        return [Fault(place, f"this one thing holds more than {_MOST_IN_A_ROW:,} values")]
    try:
        reader.validate_json(text)
    except ValidationError as error:
        return faults_of(error, Site, prefix=prefix)
    return []
