"""Names of files inside a site's folder: relative, the same on every system, never outside."""

from __future__ import annotations

import hashlib
import os
import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path

from survey_app.errors import InputError
from survey_app.site.fault import Fault
from survey_app.site.relief import GridRelief
from survey_app.site.site import Site

__all__ = ["ASSETS", "asset_path", "check_assets", "content_name", "name_fault"]

ASSETS = "assets"
_RESERVED = frozenset(
    ["con", "prn", "aux", "nul", "conin$", "conout$"]
    + [f"{port}{digit}" for port in ("com", "lpt") for digit in "0123456789¹²³"]
)
_MOST_BYTES = 200
_DIGITS = 16
_SUFFIX = re.compile(r"\.[a-z0-9]{1,5}")


def content_name(data: bytes, suffix: str = "") -> str:
    """Return the name of a file made from its content: the same for the same bytes, another for any others.

    Examples
    --------
    >>> content_name(b"", ".TIF")
    'e3b0c44298fc1c14.tif'
    """
    suffix = suffix.lower()
    return f"{hashlib.sha256(data).hexdigest()[:_DIGITS]}{suffix if _SUFFIX.fullmatch(suffix) else ''}"


def name_fault(name: str) -> str | None:
    """Return why a name cannot be that of a file inside the site's folder, or None where it can.

    Examples
    --------
    >>> name_fault("gate/west.jpg") is None
    True
    >>> name_fault("../west.jpg")
    "'../west.jpg' leaves the folder, a name inside it is needed"
    """
    if not name:
        return "the name is empty, a file name is needed"
    if "\\" in name:
        return f"'{name}' has a backslash in it, folders are parted by '/'"
    if ":" in name:
        return f"'{name}' has a colon in it, a drive or stream is not allowed"
    if name.startswith("/"):
        return f"'{name}' is an absolute path, a name inside the folder is needed"
    if len(name.encode("utf-8", "replace")) > _MOST_BYTES:
        return f"'{name[:40]}…' is longer than {_MOST_BYTES} bytes"
    for part in name.split("/"):
        if part == "..":
            return f"'{name}' leaves the folder, a name inside it is needed"
        if part in ("", ".") or part != part.strip(" ") or part.endswith("."):
            return f"'{name}' has a part that is empty, '.', or begins or ends with a blank or dot"
        if part.split(".")[0].rstrip(" ").casefold() in _RESERVED:
            return f"'{part}' is a reserved name on some systems, another name is needed"
        if any(one in '<>"|?*' or not one.isprintable() for one in part):
            return f"'{part!a}' has a character that some systems do not allow in a name"
    return None


def _same(name: str) -> str:
    # upper and lower case, and a letter with its accent in one piece or two, are one name on some systems
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())


def _outside(folder: Path, name: str) -> bool:
    root = os.path.realpath(folder)
    real = os.path.realpath(folder / ASSETS / name)
    return os.path.commonpath([root, real]) != root


def _clash(folder: Path, name: str) -> str | None:
    """Return the entry on disk that would be the same file on some systems, but is written differently."""
    current = folder / ASSETS
    for part in name.split("/"):
        try:
            entries = os.listdir(current)  # noqa: PTH208 - names only, no objects
        except OSError:
            return None
        if part not in entries:
            return next((entry for entry in entries if _same(entry) == _same(part)), None)
        current = current / part
    return None


def asset_path(folder: Path, name: str) -> Path:
    """Return the path of a file under the site's `assets/`.

    Parameters
    ----------
    folder : Path
        The folder that holds site.json.
    name : str
        The name as the site has it, relative to `assets/`, parted by `/`. The file need not exist.

    Raises
    ------
    InputError
        The name is absolute, leaves the folder (also by a link), is reserved or not allowed on some system, or differs
        only in upper and lower case from a file that is there.

    Examples
    --------
    >>> asset_path(Path("yard"), "west.jpg").as_posix()
    'yard/assets/west.jpg'
    """
    fault = name_fault(name)
    if fault is None and _outside(folder, name):
        fault = f"'{name}' is reached through a link that leaves the folder"
    if fault is None and (entry := _clash(folder, name)) is not None:
        fault = f"'{name}' differs from the file '{entry}' only in upper and lower case"
    if fault is not None:
        raise InputError(fault, where=str(folder / ASSETS))
    return folder / ASSETS / name


def _names(site: Site) -> Iterator[tuple[str, str]]:
    design, evidence = site.design, site.evidence
    for number, photograph in enumerate(design.photographs):
        yield f"design.photographs[{number}].file", photograph.file
    for number, picture in enumerate(design.plan_pictures):
        yield f"design.plan_pictures[{number}].file", picture.file
    if isinstance(design.relief, GridRelief):
        yield "design.relief.file", design.relief.file
    for number, mount in enumerate(design.mounts):
        if mount.photo:
            yield f"design.mounts[{number}].photo", mount.photo
    for number, sight in enumerate(evidence.sights):
        if sight.photo:
            yield f"evidence.sights[{number}].photo", sight.photo
    for number, note in enumerate(evidence.walk_notes):
        if note.photo:
            yield f"evidence.walk_notes[{number}].photo", note.photo


def check_assets(site: Site, folder: Path | None = None) -> tuple[Fault, ...]:
    """Check every file name that a site holds; with its folder, also that no link leads outside.

    Returns
    -------
    tuple of Fault
        All faults with their places; empty where there are none. A file that is missing is no fault.
    """
    faults = []
    first: dict[str, str] = {}
    for place, name in _names(site):
        sentence = name_fault(name)
        if sentence is None and first.setdefault(_same(name), name) != name:
            sentence = f"'{name}' differs from '{first[_same(name)]}' only in upper and lower case"
        if sentence is None and folder is not None and _outside(folder, name):
            sentence = f"'{name}' is reached through a link that leaves the folder"
        if sentence is not None:
            faults.append(Fault(place, sentence))
    return tuple(faults)
