"""Reads one catalogue file strictly: a wrong entry gets one sentence with file, entry, field and what is allowed."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import ValidationError

from survey_app.site.fault import Fault, FileFaultsError
from survey_app.site.gear_type import GearType
from survey_app.site.json_text import read_json_text
from survey_app.site.record import Record, said
from survey_app.site.validation import faults_of, shown

__all__ = ["CatalogueFile", "read_catalogue_file"]

_MOST_BYTES = 4 * 2**20
_ITEM = re.compile(r"items\[(\d+)\]\.?")


class CatalogueFile(Record):
    """A file of gear types."""

    format: Annotated[Literal["survey-gear"], said("What the file is")]
    version: Annotated[Literal[1], said("Version of the file's layout")]
    items: Annotated[tuple[GearType, ...], said("The gear types", max_length=5000)]


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
    FileFaultsError
        The file cannot be read as a catalogue; the sentence names file, entry, field and what is allowed.
    """
    text = read_json_text(_bytes(path), path.name)
    faults = list(text.faults)
    items: tuple[GearType, ...] = ()
    try:
        items = CatalogueFile.model_validate_json(text.data).items
        if type(text.tree["version"]) is not int:  # true counts as 1 in a choice
            faults.append(Fault("version", f"{shown(text.tree['version'])} is given, the whole number 1 is needed"))
    except ValidationError as error:
        known = {fault.place for fault in faults}
        faults += [fault for fault in faults_of(error, CatalogueFile) if fault.place not in known]
    faults += _repeats(items)
    if faults:
        raise FileFaultsError(path.name, [_named(fault, text.tree) for fault in faults])
    return items


def _bytes(path: Path) -> bytes:
    try:
        if path.exists() and not (path.is_file() or path.is_dir()):  # a pipe never ends, a device gives what it likes
            raise FileFaultsError(path.name, [Fault("", "is not a file")])
        with path.open("rb") as stream:
            data = stream.read(_MOST_BYTES + 1)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise FileFaultsError(path.name, [Fault("", f"cannot be read ({reason})")]) from error
    if len(data) > _MOST_BYTES:
        raise FileFaultsError(path.name, [Fault("", f"is larger than {_MOST_BYTES // 2**20} MiB, no catalogue is")])
    if not data.strip():
        raise FileFaultsError(path.name, [Fault("", "is empty, a catalogue file is needed")])
    return data


def _repeats(items: tuple[GearType, ...]) -> list[Fault]:
    first: dict[str, int] = {}
    faults = []
    for number, item in enumerate(items):
        if first.setdefault(item.id, number) != number:
            sentence = f"the id '{item.id}' is already that of entry {first[item.id] + 1}, ids are unique"
            faults.append(Fault(f"items[{number}].id", sentence))
    return faults


def _named(fault: Fault, tree: Any) -> Fault:
    """Say `entry 3 ('coffer-30'), glands` for `items[2].glands`: people count from one and look for the id."""
    found = _ITEM.match(fault.place)
    if found is None:
        return fault
    number = int(found.group(1))
    item = tree["items"][number]
    label = item.get("id") if isinstance(item, dict) else None
    entry = f"entry {number + 1}" + (f" ('{label[:40]}')" if isinstance(label, str) and label.isprintable() else "")
    field = fault.place[found.end() :]
    return Fault(f"{entry}, {field}" if field else entry, fault.sentence)
