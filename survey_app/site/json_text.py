"""A pass of our own over a JSON file from anybody: size, encoding, depth, doubled keys, numbers that are none.

The records check what the values mean; this module checks what a JSON reader would swallow without a word.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from survey_app.site.fault import MOST_FAULTS, Fault, FileFaultsError
from survey_app.site.shape import key_text

__all__ = ["MOST_BYTES", "JsonText", "read_json_text"]

MOST_BYTES = 64 * 2**20
MOST_VALUES = 4_000_000
MOST_LEVELS = 24
MOST_KEYS = 500
MOST_DIGITS = 60

# possessive, and an unterminated text matches up to the end: one pass whatever the file holds
_TEXT = re.compile(rb'"(?:[^"\\]++|\\.)*+(?:"|\\?\Z)', re.DOTALL)
_TEXT_OR_BRACKET = re.compile(_TEXT.pattern + rb"|[\[\]{}]", re.DOTALL)
_LONG_NUMBER = re.compile(rb"[0-9.eE+-]{%d}" % (MOST_DIGITS + 1))
_NO_BRACKET = bytes(set(range(256)) - set(b"[]{}"))
_HALF_CHARACTER = re.compile("[\ud800-\udfff]")

_SYNTAX: Mapping[str, str] = {
    "Expecting value": "a value is missing or is not written as JSON has it",
    "Expecting property name enclosed in double quotes": "a key in double quotes is missing, or the comma before is one too many",
    "Illegal trailing comma before end of object": "a comma stands before the closing brace",
    "Illegal trailing comma before end of array": "a comma stands before the closing bracket",
    "Expecting ':' delimiter": "a colon is missing after the key",
    "Expecting ',' delimiter": "a comma or a closing bracket is missing",
    "Extra data": "something stands after the end of the document",
    "Unterminated string starting at": "a text that begins here has no closing quote",
    "Invalid control character at": "a line break or control character stands inside a text",
    "Invalid \\escape": "a backslash is followed by a letter that means nothing",
    "Invalid \\uXXXX escape": "a \\u is not followed by four hexadecimal digits",
}


class JsonText(NamedTuple):
    """A JSON text that could be read."""

    data: bytes
    tree: Any
    """The text as plain objects and lists."""
    faults: tuple[Fault, ...]
    """What a JSON reader would have swallowed."""
    values: int
    """About how many values it holds."""


class _Doubled(dict[str, Any]):
    """An object in which a key stands twice."""

    names: tuple[str, ...] = ()


class _TooManyKeysError(Exception):
    """An object has more keys than any record."""


class _NoNumber(str):
    """A literal that is no number."""


class _LongNumber(str):
    """A number with more digits than any quantity has."""


def _line(data: bytes, offset: int) -> str:
    line = data.count(b"\n", 0, offset) + 1
    start = data.rfind(b"\n", 0, offset) + 1
    return f"line {line}, column {len(data[start:offset].decode('utf-8', 'replace')) + 1}"


def _check_encoding(data: bytes, source: str) -> str:
    save = "save it as UTF-8 without a byte order mark"
    if not data.strip():
        raise FileFaultsError(source, [Fault("", "is empty, a site file is needed")])
    if data.startswith(b"\xef\xbb\xbf"):
        raise FileFaultsError(source, [Fault("line 1, column 1", "begins with a byte order mark")], remedy=save)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or data[:2].count(0) == 1:
        raise FileFaultsError(source, [Fault("line 1, column 1", "is written in UTF-16 or UTF-32")], remedy=save)
    if data.startswith(b"\x00"):
        raise FileFaultsError(source, [Fault("line 1, column 1", "begins with zero bytes, it is no text")])
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        place = _line(data, error.start)
        sentence = f"the byte 0x{data[error.start]:02X} is not UTF-8"
        raise FileFaultsError(source, [Fault(place, sentence)], remedy="save it as UTF-8") from None


def _check_depth(data: bytes, brackets: bytes, source: str) -> None:
    for _ in range(MOST_LEVELS):
        brackets = brackets.replace(b"[]", b"").replace(b"{}", b"")
        if not brackets:
            return
    depth = 0
    for found in _TEXT_OR_BRACKET.finditer(data):
        depth += {b"[": 1, b"{": 1, b"]": -1, b"}": -1}.get(found.group(), 0)
        if depth > MOST_LEVELS:
            sentence = f"objects and lists stand more than {MOST_LEVELS} deep one in another"
            raise FileFaultsError(source, [Fault(_line(data, found.start()), sentence)])


def _hook(found: list[bool]) -> Callable[[list[tuple[str, Any]]], Any]:
    def keep(pairs: list[tuple[str, Any]]) -> Any:
        whole = dict(pairs)
        if len(pairs) > MOST_KEYS:
            raise _TooManyKeysError(pairs[0][0], len(pairs))
        if len(whole) == len(pairs):
            return whole
        found.append(True)
        doubled = _Doubled(whole)
        names = [name for name, _ in pairs]
        seen: set[str] = set()
        doubled.names = tuple(name for name in names if name in seen or seen.add(name))  # type: ignore[func-returns-value]
        return doubled

    return keep


def _walk(value: Any, place: str) -> Iterator[Fault]:
    if isinstance(value, _Doubled):
        for name in dict.fromkeys(value.names):
            yield Fault(f"{place}.{key_text(name)}" if place else key_text(name), "this key stands twice in one object")
    if isinstance(value, _NoNumber):
        yield Fault(place, f"{value} is not a number that can be written here")
    elif isinstance(value, _LongNumber):
        yield Fault(place, f"a number of {len(value)} digits is given, at most {MOST_DIGITS} are read")
    elif isinstance(value, str):
        if _HALF_CHARACTER.search(value):
            yield Fault(place, "this text holds half a character, a \\u code from D800 to DFFF without its partner")
    elif isinstance(value, dict):
        for name, item in value.items():
            yield from _walk(item, f"{place}.{key_text(name)}" if place else key_text(name))
    elif isinstance(value, list):
        for number, item in enumerate(value):
            yield from _walk(item, f"{place}[{number}]")


def _parse(text: str, source: str, long_numbers: bool) -> tuple[Any, list[bool]]:
    found: list[bool] = []

    def constant(literal: str) -> _NoNumber:
        found.append(True)
        return _NoNumber(literal)

    def number(kind: type) -> Callable[[str], Any]:
        return lambda literal: kind(literal) if len(literal) <= MOST_DIGITS else _LongNumber(literal)

    hooks: dict[str, Any] = {"parse_int": number(int), "parse_float": number(float)} if long_numbers else {}
    try:
        return json.loads(text, object_pairs_hook=_hook(found), parse_constant=constant, **hooks), found
    except _TooManyKeysError as error:
        name, count = error.args
        sentence = f"the object that begins with the key {key_text(name)} has {count} keys, no record has so many"
        raise FileFaultsError(source, [Fault("", sentence)]) from None
    except json.JSONDecodeError as error:
        sentence = _SYNTAX.get(error.msg.removesuffix(" at"), _SYNTAX.get(error.msg, "this is not JSON"))
        if error.pos >= len(text.rstrip()):
            sentence = "the file ends in the middle"
        raise FileFaultsError(source, [Fault(f"line {error.lineno}, column {error.colno}", sentence)]) from None


def read_json_text(data: bytes, source: str) -> JsonText:
    """Read a JSON text and say what in it a JSON reader would swallow.

    Parameters
    ----------
    data : bytes
        The file's bytes.
    source : str
        The file, as people name it.

    Returns
    -------
    JsonText
        The plain tree, and faults such as doubled keys, which do not keep the rest from being read.

    Raises
    ------
    FileFaultsError
        The text is too large, not UTF-8, not JSON, or nested too deep.

    Examples
    --------
    >>> read_json_text(b'{"a": 1, "a": NaN}', "x.json").faults[0].sentence
    'this key stands twice in one object'
    """
    if len(data) > MOST_BYTES:
        raise FileFaultsError(source, [Fault("", f"is larger than {MOST_BYTES // 2**20} MiB, no site is so large")])
    text = _check_encoding(data, source)
    bare = _TEXT.sub(b"", data)
    values = bare.count(b",") + 1
    if values > MOST_VALUES:
        raise FileFaultsError(source, [Fault("", f"holds more than {MOST_VALUES:,} values, no site has so many")])
    _check_depth(data, bare.translate(None, _NO_BRACKET), source)
    long_numbers = _LONG_NUMBER.search(bare) is not None
    tree, found = _parse(text, source, long_numbers)
    halves = b"\\ud" in data or b"\\uD" in data
    faults: list[Fault] = []
    if found or long_numbers or halves:
        for fault in _walk(tree, ""):
            faults.append(fault)
            if len(faults) >= MOST_FAULTS:
                break
    return JsonText(data, tree, tuple(faults), values)
