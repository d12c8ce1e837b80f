"""Other complete sites of the same job, in the folder's `alternatives/`."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path
from typing import NamedTuple

from survey_app.errors import UsageError
from survey_app.site.asset import name_fault

__all__ = ["Alternative", "alternative_file", "alternatives"]

_FOLDER = "alternatives"
_MOST_LETTERS = 60


class Alternative(NamedTuple):
    """One alternative."""

    name: str
    """Name of its file without the ending, which `compare` takes too."""
    path: Path


def alternatives(folder: Path) -> tuple[Alternative, ...]:
    """Return the alternatives of a site, by name; none where there is no such folder.

    Parameters
    ----------
    folder : Path
        The folder that holds site.json.
    """
    try:
        files = sorted((folder / _FOLDER).glob("*.json"))
    except OSError:
        return ()
    return tuple(Alternative(file.stem, file) for file in files if file.is_file() and not file.name.startswith("."))


def alternative_file(folder: Path, name: str) -> Path:
    """Return the file of a new alternative: a name made from what people call it, small letters and hyphens.

    Raises
    ------
    UsageError
        Nothing of the name can stand in a file's name, it is reserved on some system, or it is taken.
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii").lower()
    slug = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_MOST_LETTERS].strip("-")
    if not slug:
        raise UsageError(
            f"'{name[:40]}' makes no name of a file", remedy="use at least one letter from a to z or a figure"
        )
    fault = name_fault(f"{slug}.json")
    if fault is not None:
        raise UsageError(fault)
    # upper and lower case are one name on some systems
    if slug in {one.name.casefold() for one in alternatives(folder)}:
        raise UsageError(f"there is an alternative '{slug}' already", remedy="choose another name")
    return folder / _FOLDER / f"{slug}.json"
