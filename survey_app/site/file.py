"""Reads and writes the site file."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from survey_app.errors import InternalError, OutputError, UsageError
from survey_app.site.asset import check_assets
from survey_app.site.atomic import write_atomically
from survey_app.site.by_row import faults_by_row
from survey_app.site.copies import with_copies
from survey_app.site.fault import MOST_FAULTS, Fault, FileFaultsError
from survey_app.site.gear_type import GearType
from survey_app.site.json_text import MOST_BYTES, read_json_text
from survey_app.site.migration import keep_original, migrate
from survey_app.site.plain import layout, plain
from survey_app.site.references import check_references
from survey_app.site.site import FORMAT, VERSION, Site
from survey_app.site.validation import faults_of

__all__ = [
    "SITE_FILE",
    "read_site",
    "read_site_bytes",
    "site_file",
    "site_folder",
    "site_from_bytes",
    "site_to_bytes",
    "write_site",
    "write_site_bytes",
]

SITE_FILE = "site.json"
_ALTERNATIVES = "alternatives"
# the library keeps about a kilobyte for every refused value: larger files are first looked through row by row
_MANY_VALUES = 200_000


def site_file(path: Path | str) -> Path:
    """Return the site file that a path means: the folder's site.json, or the file itself.

    Examples
    --------
    >>> site_file("yard/alternatives/omni.json").name, site_file("yard").name
    ('omni.json', 'site.json')
    """
    path = Path(path)
    return path if path.suffix == ".json" and not os.path.isdir(path) else path / SITE_FILE  # noqa: PTH112 - never raises


def site_folder(path: Path | str) -> Path:
    """Return the folder that the paths inside a site count from: the one that holds site.json.

    Examples
    --------
    >>> site_folder("yard/alternatives/omni.json").name, site_folder("yard/site.json").name
    ('yard', 'yard')
    """
    folder = site_file(path).parent
    return folder.parent if folder.name == _ALTERNATIVES else folder


def read_site(path: Path | str, *, types: Iterable[GearType] = ()) -> Site:
    """Read a site: its folder, its site.json, or one of its alternatives.

    Parameters
    ----------
    path : Path or str
        The folder, `site.json` in it, or `alternatives/NAME.json`.
    types : iterable of GearType
        Gear types of which the site is given the copies that it misses, as `with_copies` does; none without them.

    Raises
    ------
    UsageError
        There is no such file.
    FileFaultsError
        The file cannot be read as a site; `faults` holds all that is wrong with it.
    """
    return site_from_bytes(read_site_bytes(path), str(site_file(path)), folder=site_folder(path), types=types)


def read_site_bytes(path: Path | str) -> bytes:
    """Return the bytes of a site's file, for `site_from_bytes`.

    Raises
    ------
    UsageError
        There is no such file.
    FileFaultsError
        It cannot be read.
    """
    file = site_file(path)
    # asked in this way a name that no file can have is only one that is not there
    if not os.path.exists(file):  # noqa: PTH110
        raise UsageError("there is no such site", where=str(path), remedy="name a site's folder or its site.json")
    try:
        if not file.is_file():
            raise FileFaultsError(str(file), [Fault("", "is not a file")])
        with file.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise FileFaultsError(str(file), [Fault("", f"cannot be read ({reason})")]) from error


def site_from_bytes(data: bytes, source: str, *, folder: Path | None = None, types: Iterable[GearType] = ()) -> Site:
    """Read a site from the bytes of a file.

    Parameters
    ----------
    data : bytes
        The file's content.
    source : str
        The file, as people name it.
    folder : Path or None
        The site's folder, to see whether a link leads out of it.
    types : iterable of GearType
        Gear types of which the site is given the copies that it misses.

    Raises
    ------
    FileFaultsError
        It cannot be read as a site; `faults` holds all that is wrong with it.
    """
    text = read_json_text(data, source)
    tree = migrate(text.tree, source)
    if tree is not text.tree:
        data = json.dumps(tree).encode()
    if text.values > _MANY_VALUES and (found := faults_by_row(tree)):
        raise FileFaultsError(source, _joined(text.faults, found))
    try:
        site = with_copies(Site.model_validate_json(data), types)
    except ValidationError as error:
        raise FileFaultsError(source, _joined(text.faults, _refused(error, tree))) from None
    faults = list(text.faults)
    faults += check_references(site)
    faults += check_assets(site, folder)
    if faults:
        raise FileFaultsError(source, faults)
    return site


def _refused(error: ValidationError, tree: Any) -> list[Fault]:
    return faults_by_row(tree) if error.error_count() >= MOST_FAULTS else faults_of(error, Site)


def _joined(faults: tuple[Fault, ...], more: list[Fault]) -> list[Fault]:
    told = {fault.place for fault in faults}
    return [*faults, *(fault for fault in more if fault.place not in told)]


def site_to_bytes(site: Site) -> bytes:
    """Return a site as the bytes of its file: stable order, UTF-8, what differs from the defaults.

    Examples
    --------
    >>> import datetime
    >>> from survey_app.site.new import new_site
    >>> print(site_to_bytes(new_site("Yard", as_of=datetime.date(2026, 12, 1))).decode(), end="")
    {
      "format": "survey-site",
      "version": 1,
      "design": {"name": "Yard", "as_of": "2026-12-01"}
    }
    """
    tree = {"format": FORMAT, "version": VERSION, **plain(site)}
    parts = [f'  "{name}": {layout(value, 2)}' for name, value in tree.items()]
    return ("{\n" + ",\n".join(parts) + "\n}\n").encode("utf-8")


def write_site(site: Site, path: Path | str) -> Path:
    """Write a site; at every moment the old or the new file stands there whole.

    A file of an older version that is replaced is kept beside it. What is written is read back before it takes the
    file's place.

    Parameters
    ----------
    site : Site
        The site.
    path : Path or str
        The folder, `site.json` in it, or `alternatives/NAME.json`. Missing folders are made.

    Returns
    -------
    Path
        The file that was written.

    Raises
    ------
    OutputError
        It cannot be written; what stood there is untouched.
    """
    file = site_file(path)
    write_site_bytes(site_to_bytes(site), file)
    return file


def write_site_bytes(data: bytes, file: Path) -> None:
    """Write the bytes that `site_to_bytes` made as `write_site` does, for those who need them besides.

    Raises
    ------
    OutputError
        They cannot be written; what stood there is untouched.
    """
    try:
        Site.model_validate_json(data)
    except ValidationError as error:
        fault = faults_of(error, Site)[0]
        raise InternalError(
            f"the site in memory cannot be written ({fault.place}: {fault.sentence})",
            where=str(file),
            remedy="the file is untouched, undo the last step",
        ) from error
    if len(data) > MOST_BYTES:
        raise OutputError(f"the site is larger than {MOST_BYTES // 2**20} MiB", where=str(file))
    try:
        keep_original(file)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"cannot be written ({reason})", where=str(file)) from error
    write_atomically(file, data)
