"""Reads one catalogue file strictly: a wrong entry gets one sentence with file, entry, field and what is allowed."""

from __future__ import annotations

import difflib
import json
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from survey_app.errors import InputError
from survey_app.site import gear_type
from survey_app.site.gear_type import GearType

__all__ = ["FORMAT", "VERSION", "read_catalogue_file"]

FORMAT = "survey-gear"
VERSION = 1
_LARGEST_FILE_BYTES = 4_000_000
_MOST_ITEMS = 5000
_DEEPEST = 12

_ADAPTER: TypeAdapter[GearType] = TypeAdapter(GearType)
_KINDS = tuple(
    sorted(
        kind
        for name in gear_type.__all__
        if name != "GearType"
        for kind in getattr(gear_type, name).model_fields["kind"].annotation.__args__
    )
)


def read_catalogue_file(path: Path) -> tuple[GearType, ...]:
    """Read one catalogue file.

    Parameters
    ----------
    path : Path
        A file of the form `{"format": "survey-gear", "version": 1, "items": [...]}`.

    Returns
    -------
    tuple of GearType
        Its entries in the order of the file.

    Raises
    ------
    InputError
        The file cannot be read as a catalogue; the sentence names file, entry, field and what is allowed.
    """
    document = _strict_json(path)
    if not isinstance(document, dict):
        raise InputError("a catalogue file holds one object", where=path.name, remedy=_shape())
    for key, allowed in (("format", FORMAT), ("version", VERSION)):
        value = document.get(key)
        if value != allowed or isinstance(value, bool):
            said = "is missing" if key not in document else f"is {json.dumps(value)}"
            raise InputError(f"'{key}' {said}", where=path.name, remedy=f"it must be {json.dumps(allowed)}")
    unknown = sorted(set(document) - {"format", "version", "items"})
    if unknown:
        raise InputError(f"unknown field '{unknown[0]}'", where=path.name, remedy=_shape())
    items = document.get("items")
    if not isinstance(items, list):
        raise InputError("'items' must be a list of entries", where=path.name, remedy=_shape())
    if len(items) > _MOST_ITEMS:
        raise InputError(f"{len(items)} entries", where=path.name, remedy=f"at most {_MOST_ITEMS} are read")
    return _no_repeats(path, tuple(_entry(path, number, item) for number, item in enumerate(items, start=1)))


def _shape() -> str:
    return 'write {"format": "survey-gear", "version": 1, "items": [...]}'


def _strict_json(path: Path) -> Any:
    try:
        size = path.stat().st_size
        raw = path.read_bytes() if size <= _LARGEST_FILE_BYTES else b""
    except OSError as fault:
        reason = fault.strerror or "unknown reason"
        raise InputError(f"the file cannot be read ({reason})", where=path.name, remedy="check its rights") from fault
    if size > _LARGEST_FILE_BYTES:
        raise InputError(
            f"the file has {size} bytes", where=path.name, remedy=f"a catalogue file has at most {_LARGEST_FILE_BYTES}"
        )
    try:
        document = json.loads(raw.decode("utf-8"), object_pairs_hook=_no_duplicate_keys, parse_constant=_no_constants)
    except UnicodeDecodeError as fault:
        raise InputError(f"not UTF-8 at byte {fault.start}", where=path.name, remedy="save it as UTF-8") from fault
    except json.JSONDecodeError as fault:
        raise InputError(
            f"not JSON at line {fault.lineno}, column {fault.colno} ({fault.msg.lower()})",
            where=path.name,
            remedy="mend the file there",
        ) from fault
    except _RefusedError as fault:
        raise InputError(str(fault), where=path.name, remedy="mend the file there") from fault
    except RecursionError as fault:
        raise InputError("nested too deeply", where=path.name, remedy=f"at most {_DEEPEST} levels are read") from fault
    if _depth(document) > _DEEPEST:
        raise InputError("nested too deeply", where=path.name, remedy=f"at most {_DEEPEST} levels are read")
    return document


class _RefusedError(ValueError):
    """JSON that Python would read, but that says two things or nothing."""


def _no_duplicate_keys(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise _RefusedError(f"the field '{key}' stands twice in one object")
        found[key] = value
    return found


def _no_constants(word: str) -> Any:
    raise _RefusedError(f"'{word}' is not a number")


def _depth(value: Any) -> int:
    deepest, waiting = 0, [(value, 1)]
    while waiting:
        item, level = waiting.pop()
        deepest = max(deepest, level)
        if level > _DEEPEST:
            return level
        if isinstance(item, dict):
            waiting.extend((inner, level + 1) for inner in item.values())
        elif isinstance(item, list):
            waiting.extend((inner, level + 1) for inner in item)
    return deepest


def _entry(path: Path, number: int, item: Any) -> GearType:
    label = item.get("id") if isinstance(item, dict) else None
    entry = f"{path.name}, entry {number}" + (f" ('{label}')" if isinstance(label, str) else "")
    if not isinstance(item, dict):
        raise InputError("an entry must be an object", where=entry, remedy="write { ... } with its fields")
    if item.get("kind") not in _KINDS:
        kind = json.dumps(item["kind"]) if "kind" in item else "missing"
        raise InputError(f"'kind' is {kind}", where=entry, remedy="allowed are " + ", ".join(_KINDS))
    try:
        return _ADAPTER.validate_json(json.dumps(item))
    except ValidationError as fault:
        details = fault.errors(include_url=False)
        place, what, remedy = _in_words(details[0], item)
        more = f" ({len(details) - 1} more fault{'s' if len(details) > 2 else ''} in this entry)" if details[1:] else ""
        raise InputError(what + more, where=f"{entry}, {place}", remedy=remedy) from fault


def _in_words(error: ErrorDetails, item: dict[str, Any]) -> tuple[str, str, str]:
    location = error["loc"][1:]  # the first part is the kind
    place = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in location).lstrip(".")
    kind, value, context = error["type"], error.get("input"), error.get("ctx", {})
    given = json.dumps(value, ensure_ascii=False)
    given = given if len(given) <= 40 else given[:37] + "..."
    if kind == "missing":
        return place, "the field is missing", "every entry of this kind needs it"
    if kind == "extra_forbidden":
        return place, "unknown field", _nearest_field(str(item["kind"]), str(location[-1]))
    if kind == "literal_error":
        return place, f"{given} is not allowed", f"allowed are {str(context.get('expected', '')).replace(' or ', ', ')}"
    bounds = {
        "greater_than_equal": ("ge", "at least"),
        "greater_than": ("gt", "more than"),
        "less_than_equal": ("le", "at most"),
        "less_than": ("lt", "less than"),
    }
    if kind in bounds:
        key, words = bounds[kind]
        return place, f"{given} is out of range", f"it must be {words} {context[key]:g}"
    if kind in ("too_short", "too_long"):
        words = f"at least {context['min_length']}" if kind == "too_short" else f"at most {context['max_length']}"
        return place, "the list has the wrong length", f"it takes {words} values"
    if kind == "string_pattern_mismatch":
        return place, f"{given} has letters that are not allowed", f"the pattern is {context['pattern']}"
    message = error["msg"].replace("Input should be ", "it must be ")
    return place, f"{given} is of the wrong type", message


def _nearest_field(kind: str, wrong: str) -> str:
    record = next(
        getattr(gear_type, name)
        for name in gear_type.__all__
        if name != "GearType" and kind in getattr(gear_type, name).model_fields["kind"].annotation.__args__
    )
    close = difflib.get_close_matches(wrong, record.model_fields, n=3)
    return f"did you mean {' or '.join(close)}?" if close else "the fields are " + ", ".join(record.model_fields)


def _no_repeats(path: Path, items: tuple[GearType, ...]) -> tuple[GearType, ...]:
    first: dict[str, int] = {}
    for number, item in enumerate(items, start=1):
        if item.id in first:
            raise InputError(
                f"'{item.id}' is already entry {first[item.id]}",
                where=f"{path.name}, entry {number}, id",
                remedy="every type needs an id of its own",
            )
        first[item.id] = number
    return items
