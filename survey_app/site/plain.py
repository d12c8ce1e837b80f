"""Records as plain values, and those as a text that diffs well."""

from __future__ import annotations

import datetime
import functools
import json
from json.encoder import encode_basestring
from typing import Any

from survey_app.site.record import Record
from survey_app.site.shape import fields_of

__all__ = ["layout", "plain"]

_WIDTH = 116
_EXACT_WHOLE = 2.0**53


@functools.cache
def _plan(record: type[Record]) -> tuple[tuple[str, bool, Any], ...]:
    return tuple((field.name, field.required, field.default) for field in fields_of(record).values())


def _value(value: Any) -> Any:
    kind = type(value)
    if kind is float:
        # 6, not 6.0: as a person writes it
        whole = value.is_integer() and abs(value) < _EXACT_WHOLE and (value != 0.0 or str(value)[0] != "-")
        return int(value) if whole else value
    if kind is tuple:
        return [_value(item) for item in value]
    if isinstance(value, Record):
        return plain(value)
    if isinstance(value, datetime.date):
        return value.isoformat()
    return value


def plain(record: Record, *, beside: Record | None = None) -> dict[str, Any]:
    """Return a record as plain values: what is required, and what differs from the default.

    Nothing is lost: reading fills in the same defaults. A changed default is therefore a new version of the file.

    Parameters
    ----------
    record : Record
        The record.
    beside : Record or None
        The default of the field that holds it. A record that differs from it, but in nothing from its own fields'
        defaults, is written with the values in which it differs from `beside`, so that the text says what is meant.

    Examples
    --------
    >>> from survey_app.site.place import EdgePlace
    >>> plain(EdgePlace(kind="edge", edge=2, along_m=4.5))
    {'kind': 'edge', 'edge': 2, 'along_m': 4.5}
    """
    values = record.__dict__
    found: dict[str, Any] = {}
    for name, required, default in _plan(type(record)):
        value = values[name]
        if required:
            found[name] = _value(value)
        elif value is not default and value != default:
            nested = isinstance(value, Record) and isinstance(default, Record)
            found[name] = plain(value, beside=default) if nested else _value(value)
    if not found and beside is not None:
        other = beside.__dict__
        return {name: _value(value) for name, value in values.items() if value != other[name]}
    return found


def _scalar(value: Any) -> str:
    if type(value) is str:
        return encode_basestring(value)
    return json.dumps(value, allow_nan=False)


def _flat(value: Any) -> str | None:
    """Return the value on one line, or None where a list of objects in it asks for lines of its own."""
    if type(value) is dict:
        parts = []
        for name, item in value.items():
            text = _flat(item)
            if text is None:
                return None
            parts.append(f'"{name}": {text}')
        return "{" + ", ".join(parts) + "}"
    if type(value) is list:
        if value and type(value[0]) in (dict, list):
            return None
        return "[" + ", ".join([_scalar(item) for item in value]) + "]"
    return _scalar(value)


def layout(value: Any, indent: int = 0) -> str:
    """Return plain values as JSON text that diffs well.

    Keys keep their order; an object that fits on a line stands on one; every object of a list has lines of its own.

    Examples
    --------
    >>> print(layout({"outline": [{"x_m": 1, "y_m": 2}, {"x_m": 3, "y_m": 2}]}))
    {
      "outline": [
        {"x_m": 1, "y_m": 2},
        {"x_m": 3, "y_m": 2}
      ]
    }
    """
    flat = _flat(value)
    if flat is not None and (len(flat) + indent <= _WIDTH or not isinstance(value, (dict, list))):
        return flat
    inner = " " * (indent + 2)
    if type(value) is dict:
        parts = [f'{inner}"{name}": {layout(item, indent + 2)}' for name, item in value.items()]
        return "{\n" + ",\n".join(parts) + "\n" + " " * indent + "}"
    parts = [inner + layout(item, indent + 2) for item in value]
    return "[\n" + ",\n".join(parts) + "\n" + " " * indent + "]"
