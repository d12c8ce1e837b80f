"""Reads a region file strictly: a fault is one sentence with the file, the row, the field and what is allowed."""

from __future__ import annotations

import inspect
import json
import typing
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from survey_app.errors import InputError
from survey_app.site.fault import FileFaultsError
from survey_app.site.json_text import read_json_text
from survey_app.site.record import unit_of
from survey_app.spectrum.rules import BandRow, Region

__all__ = ["read_region"]

AnyRecord = TypeVar("AnyRecord", bound=BaseModel)

_MOST_BYTES = 2_000_000


def read_region(path: Path) -> Region:
    """Read one region file.

    Parameters
    ----------
    path : Path
        A JSON file with `"format": "spectrum-region"`.

    Returns
    -------
    Region
        The region with all its rows, usable or not.

    Raises
    ------
    InputError
        The file cannot be read, is not JSON, has an unknown, missing or wrong field; one sentence with file, row and
        field.

    Examples
    --------
    >>> from survey_app.data import shared_folder
    >>> read_region(shared_folder() / "spectrum" / "eu.json").region
    'EU'
    """
    content = _parsed(path)
    if not isinstance(content, dict):
        raise InputError(
            "the file does not hold an object", where=path.name, remedy="begin it with { and end it with }"
        )
    rows = content.get("rows")
    if isinstance(rows, list):
        for index, row in enumerate(rows):
            _validate(BandRow, row, where=f"{path.name}, row {_row_name(row, index)}")
    return _validate(Region, content, where=path.name)


def _parsed(path: Path) -> Any:
    try:
        if path.exists() and not (path.is_file() or path.is_dir()):  # a pipe never ends, a device gives what it likes
            raise InputError("is not a file", where=path.name, remedy="a region is a JSON file")
        with path.open("rb") as stream:
            data = stream.read(_MOST_BYTES + 1)
    except OSError as error:
        raise InputError(f"the file cannot be opened ({error.strerror})", where=str(path)) from error
    if len(data) > _MOST_BYTES:
        limit = f"is larger than {_MOST_BYTES // 1_000_000} MB"
        raise InputError(limit, where=path.name, remedy="a region file is small")
    text = read_json_text(data, path.name)
    if text.faults:
        raise FileFaultsError(path.name, text.faults)
    return text.tree


def _row_name(row: Any, index: int) -> str:
    name = row.get("id") if isinstance(row, dict) else None
    return name if isinstance(name, str) and name else str(index + 1)


def _validate(model: type[AnyRecord], content: Any, *, where: str) -> AnyRecord:
    try:
        return model.model_validate_json(json.dumps(content))
    except ValidationError as error:
        faults = error.errors(include_url=False, include_input=False)
        raise _sentence(model, dict(faults[0]), where=where, more=len(faults) - 1) from error


def _sentence(model: type[BaseModel], fault: dict[str, Any], *, where: str, more: int) -> InputError:
    """Turn the first fault of a record into our sentence."""
    location: tuple[str | int, ...] = fault["loc"]
    field = _written(location)
    place = f"{where}, field {field}" if field else where
    others = f" (and {more} more fault{'s' if more > 1 else ''} there)" if more > 0 else ""
    kind = fault["type"]
    owner, meaning = _described(model, location)
    allowed = f"allowed: {meaning}" if meaning else None
    if kind == "extra_forbidden":
        return InputError(
            f"unknown field{others}", where=place, remedy=f"allowed here: {', '.join(owner.model_fields)}"
        )
    if kind == "missing":
        return InputError(f"the field is missing{others}", where=place, remedy=allowed)
    if kind == "value_error":
        return InputError(f"{fault['ctx']['error']}{others}", where=place)
    told = "does not fit" if kind.startswith("string_") else fault["msg"].removeprefix("Input ").rstrip(".")
    return InputError(f"the value {told}{others}", where=place, remedy=allowed)


def _written(location: tuple[str | int, ...]) -> str:
    text = ""
    for part in location:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text


def _described(model: type[BaseModel], location: tuple[str | int, ...]) -> tuple[type[BaseModel], str]:
    """Return the record that owns the field at a location, and what the field means."""
    owner, meaning = model, ""
    for part in location:
        field = owner.model_fields.get(part) if isinstance(part, str) else None
        if field is None:
            continue
        meaning = f"{field.description or ''}{_bounds(str(part), field)}"
        inner = _record_in(field.annotation)
        if inner is None:
            break
        if part != location[-1]:
            owner = inner
    return owner, meaning


def _bounds(name: str, field: FieldInfo) -> str:
    """Return the range and the unit of a number, in brackets."""
    words = []
    for sign, word in (("ge", "from"), ("gt", "above"), ("le", "to"), ("lt", "below")):
        words += [f"{word} {getattr(rule, sign):g}" for rule in field.metadata if hasattr(rule, sign)]
    return f" ({' '.join([*words, unit_of(name) or '']).strip()})" if words else ""


def _record_in(annotation: Any) -> type[BaseModel] | None:
    """Find the record inside `Record`, `Record | None`, `tuple[Record, ...]`."""
    if inspect.isclass(annotation) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for part in typing.get_args(annotation) if (found := _record_in(part)) is not None), None)
