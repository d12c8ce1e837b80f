"""Says in plain words why a record was refused."""

from __future__ import annotations

import datetime
import difflib
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from pydantic import ValidationError

from survey_app.site.fault import Fault
from survey_app.site.record import Record
from survey_app.site.shape import FieldShape, Stop, fields_of, follow

__all__ = ["faults_of", "nearest", "shown"]

_UNIT_WORDS: Mapping[str, str] = {
    "m": "metres",
    "mm": "millimetres",
    "m²": "square metres",
    "degree": "degrees",
    "Mbit/s": "Mbit/s",
    "s": "seconds",
    "h": "hours",
    "day": "days",
    "year": "years",
    "minute": "minutes",
    "W": "watts",
    "V": "volts",
    "%": "per cent",
    "px": "pixels",
    "1": "parts of one",
}
_MOST_SHOWN = 40


def shown(value: Any) -> str:
    """Return a refused value as people may read it: short, quoted, without control characters.

    Examples
    --------
    >>> shown("twelve"), shown(None), shown([1, 2])
    ("'twelve'", 'null', 'a list')
    """
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        text = "".join(one if one.isprintable() else f"\\u{ord(one):04x}" for one in value[:_MOST_SHOWN])
        return f"'{text}'" if len(value) <= _MOST_SHOWN else f"'{text}…' ({len(value)} characters)"
    if isinstance(value, (list, tuple)):
        return "a list"
    if isinstance(value, (dict, Record)):
        return "an object"
    if isinstance(value, (datetime.date, datetime.datetime)):
        return f"'{value.isoformat()}'"
    text = "a huge number" if isinstance(value, int) and abs(value) >= 10**_MOST_SHOWN else repr(value)
    return text if len(text) <= _MOST_SHOWN else text[:_MOST_SHOWN] + "…"


def nearest(word: str, known: Any) -> str:
    """Return `did you mean 'X'`, or which words are known, or nothing where they are many.

    Examples
    --------
    >>> nearest("hight_m", ["height_m", "note"])
    "did you mean 'height_m'"
    """
    known = [str(one) for one in known]
    close = difflib.get_close_matches(word[:60], known, n=1, cutoff=0.6)
    if close:
        return f"did you mean '{close[0]}'"
    return f"known are {_listed(known)}" if 0 < len(known) <= 20 else ""


def _listed(words: list[str]) -> str:
    quoted = [f"'{word}'" for word in words]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} or {quoted[-1]}"


def _needed_one(field: FieldShape) -> str:
    if field.holds in ("number", "whole number"):
        word = f"a {field.holds}"
        unit = "" if field.unit is None else _UNIT_WORDS.get(field.unit, field.unit)
        return f"{word} in {unit}" if unit else word
    if field.holds == "choice":
        return f"one of {', '.join(str(choice) for choice in field.choices)}"
    if field.holds == "record":
        tags = [tag for tag in field.records if tag]
        if tags == ["plane", "geographic"]:
            return "a position, as x_m and y_m or as lat_deg and lon_deg,"
        if tags:
            return f"an object of the kind {', '.join(tags)}"
        return f"an object with {', '.join(list(fields_of(field.records['']))[:4])}"
    words = {"true or false": "true or false", "text": "text", "date": "a date such as '2026-12-01'"}
    return words.get(field.holds, "a date and time with its offset such as '2026-12-01T14:30:00+01:00'")


def _needed(stop: Stop) -> str:
    if stop.field is None:
        return "an object is needed" if stop.record is not None else "something else is needed"
    if stop.lists > 0:
        return "a list is needed"
    null = " or null" if stop.field.nullable and not stop.lists else ""
    return f"{_needed_one(stop.field)}{null} is needed"


class _Refusal(NamedTuple):
    """One refusal of a value, with what its sentence needs."""

    stop: Stop
    kind: str
    value: Any
    context: Mapping[str, Any]
    name: str
    given: str
    """The value as people may read it, or a stand-in where it is a secret."""

    @property
    def needed(self) -> str:
        return _needed(self.stop)


def _wrong_type(refusal: _Refusal) -> str:
    value = refusal.value
    if isinstance(value, str):
        return f"{refusal.given} is text, {refusal.needed}"
    if value is None or isinstance(value, (bool, list, tuple, dict, Record)):
        return f"{shown(value)} is given, {refusal.needed}"
    return f"{refusal.given} is a number, {refusal.needed}"


def _unknown_key(refusal: _Refusal) -> str:
    record = refusal.stop.record
    offer = nearest(refusal.name, fields_of(record)) if record is not None else ""
    return f"no such field is known{', ' + offer if offer else ''}"


def _bound(words: str, key: str) -> Callable[[_Refusal], str]:
    def sentence(refusal: _Refusal) -> str:
        unit = refusal.stop.field.unit if refusal.stop.field is not None else None
        suffix = "" if unit in (None, "1") else f" {unit}"
        return f"{refusal.given} {words} {refusal.context[key]:g}{suffix}"

    return sentence


def _choice(refusal: _Refusal) -> str:
    choices = refusal.stop.field.choices if refusal.stop.field is not None else ()
    if not isinstance(refusal.value, str) and all(isinstance(choice, str) for choice in choices):
        return _wrong_type(refusal)
    return f"{refusal.given} is not one of {', '.join(str(choice) for choice in choices)}"


def _tag(refusal: _Refusal) -> str:
    field = refusal.stop.field
    kinds = ", ".join(kind for kind in (field.records if field is not None else {}) if kind)
    if refusal.kind == "union_tag_not_found":
        return f"its 'kind' is missing, one of {kinds} is needed"
    return f"the kind {shown(refusal.context['tag'])} is not known, one of {kinds} is needed"


def _pattern(refusal: _Refusal) -> str:
    pattern = refusal.context["pattern"]
    if pattern.startswith("^[^"):
        return f"{refusal.given} has a line break or control character in it, plain text is needed"
    if "A-Z]{2}" in pattern:
        return f"{refusal.given} is not a country, two capital letters are needed"
    if pattern.startswith("^[A-Z]["):
        return f"{refusal.given} is not a region, two to eight capital letters or digits are needed"
    letters = "letters" if "A-Z" in pattern else "small letters"
    return f"{refusal.given} is not an id, 1 to 40 {letters}, digits, '-', '_' or '.' are needed"


def _length(words: str, key: str) -> Callable[[_Refusal], str]:
    def sentence(refusal: _Refusal) -> str:
        limit = refusal.context[key]
        if refusal.kind.startswith("string"):
            return f"{refusal.given} is {words} {limit} character{'' if limit == 1 else 's'}"
        count = f"the list of {len(refusal.value)}" if isinstance(refusal.value, (list, tuple)) else "the list"
        return f"{count} is {words} {limit} item{'' if limit == 1 else 's'}"

    return sentence


def _date(refusal: _Refusal) -> str:
    word = refusal.stop.field.holds if refusal.stop.field is not None else "date"
    return f"{refusal.given} is not a {word}, {refusal.needed}"


def _value(refusal: _Refusal) -> str:
    field = refusal.stop.field
    if field is not None and field.holds.startswith("date"):
        return _date(refusal)
    return f"{refusal.given} is given, {refusal.context['error']}"


_SENTENCES: Mapping[str, Callable[[_Refusal], str]] = {
    "missing": lambda refusal: f"is missing, {refusal.needed}",
    "extra_forbidden": _unknown_key,
    "unexpected_keyword_argument": _unknown_key,
    "finite_number": lambda refusal: f"{refusal.given} is not a finite number, {refusal.needed}",
    "greater_than_equal": _bound("is too small, at least", "ge"),
    "greater_than": _bound("is too small, it must be more than", "gt"),
    "less_than_equal": _bound("is too large, at most", "le"),
    "less_than": _bound("is too large, it must be less than", "lt"),
    "literal_error": _choice,
    "union_tag_invalid": _tag,
    "union_tag_not_found": _tag,
    "string_pattern_mismatch": _pattern,
    "string_too_long": _length("too long, at most", "max_length"),
    "string_too_short": _length("too short, at least", "min_length"),
    "too_long": _length("too long, at most", "max_length"),
    "too_short": _length("too short, at least", "min_length"),
    "int_from_float": lambda refusal: f"{refusal.given} is not whole, {refusal.needed}",
    "timezone_aware": lambda refusal: f"{refusal.given} lacks its offset from UTC, {refusal.needed}",
    "value_error": _value,
}


def faults_of(
    error: ValidationError, start: type[Record], *, prefix: tuple[int | str, ...] = (), quote: bool = True
) -> list[Fault]:
    """Return what was refused, place by place, in plain words.

    Parameters
    ----------
    error : ValidationError
        The refusal.
    start : type of Record
        The record that the places are told from.
    prefix : tuple of int or str
        The way from there to the record that was being read.
    quote : bool, default True
        Whether refused values may be shown; False for secrets.
    """
    rows = error.errors(include_url=False)
    # a list that lost its bad items also counts as too short: that is a consequence, not a fault
    parents = {row["loc"][:length] for row in rows for length in range(len(row["loc"]))}
    faults = []
    for row in rows:
        if row["type"] == "too_short" and row["loc"] in parents:
            continue
        # half characters: the first pass over the text tells them with their places
        if row["type"] == "json_invalid":
            continue
        refusal = _Refusal(
            stop=follow((*prefix, *row["loc"]), start),
            kind=row["type"],
            value=row["input"],
            context=row.get("ctx", {}),
            name=str(row["loc"][-1]) if row["loc"] else "",
            given=shown(row["input"]) if quote else "what stands there",
        )
        # a key that is not known may itself be what must not be told
        hidden = not quote and refusal.stop.field is None and refusal.name
        place = follow((*prefix, *row["loc"][:-1]), start).place if hidden else refusal.stop.place
        faults.append(Fault(place, _SENTENCES.get(refusal.kind, _wrong_type)(refusal)))
    return faults
