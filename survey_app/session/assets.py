"""The pictures of a site: copied in under a name made from their content, tidied away when nothing uses them."""

from __future__ import annotations

import datetime
import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from survey_app.errors import InputError, OutputError, SurveyError
from survey_app.session.history import History
from survey_app.session.moment import stamp
from survey_app.site.asset import ASSETS, asset_path, content_name
from survey_app.site.atomic import write_atomically
from survey_app.site.file import read_site
from survey_app.site.record import Record
from survey_app.site.shape import fields_of
from survey_app.site.site import Site

__all__ = ["MOST_ASSET_BYTES", "Shelf"]

MOST_ASSET_BYTES = 200 * 2**20
"""A larger file is no photograph and no plan picture."""


class Shelf:
    """The `assets/` of one site.

    Parameters
    ----------
    home : Path
        The folder that holds `assets/`.
    trash : Path
        Where tidied files go.
    """

    def __init__(self, home: Path, trash: Path) -> None:
        self.home = home
        self._trash = trash

    def path(self, name: str) -> Path:
        """Return the file that a name in the site means; it need not exist.

        Raises
        ------
        InputError
            The name leaves the folder or is none that every system allows.
        """
        return asset_path(self.home, name)

    def copy(self, source: Path) -> str:
        """Copy a file in and return its name, which is the same for the same content.

        Raises
        ------
        InputError
            It cannot be read, or is too large.
        OutputError
            It cannot be written.
        """
        return self.keep(_bytes(source), source.suffix)

    def keep(self, data: bytes, suffix: str) -> str:
        """Put bytes in as a file and return its name, which is the same for the same content.

        Raises
        ------
        OutputError
            It cannot be written.
        """
        name = content_name(data, suffix)
        target = self.path(name)
        if not (target.is_file() and target.stat().st_size == len(data) and target.read_bytes() == data):
            write_atomically(target, data)
        return name

    def unused(self, site: Site, history: History, own_file: Path | None) -> tuple[str, ...]:
        """Return the names of files that no site of the folder and no step of the history uses.

        Raises
        ------
        InputError
            A site file in the folder cannot be read, so that nobody can tell what it uses.
        """
        there = tuple(self._names())
        if not there:
            return ()
        used = set(_texts(site))
        used.update(_texts_of_steps(history))
        for file in self._other_sites(own_file):
            used.update(_texts(_other(file)))
        return tuple(name for name in there if name not in used)

    def tidy(self, site: Site, history: History, own_file: Path | None) -> tuple[str, ...]:
        """Move what `unused` returns to the trash and return its names.

        Raises
        ------
        OutputError
            A file cannot be moved; it and those after it stay.
        """
        names = self.unused(site, history, own_file)
        bin_ = self._trash / f"{stamp(datetime.datetime.now(datetime.UTC))}-{self.home.name}"
        for name in names:
            file = self.home / ASSETS / name
            try:
                data = file.read_bytes()
                write_atomically(bin_ / name, data)
                file.unlink()
            except OSError as error:
                if isinstance(error, OutputError):
                    raise
                reason = (error.strerror or str(error)).lower()
                raise OutputError(f"cannot be moved to the trash ({reason})", where=str(file)) from error
        return names

    def _names(self) -> Iterator[str]:
        root = self.home / ASSETS
        for here, folders, names in os.walk(root):
            folders.sort()
            for name in sorted(names):
                path = Path(here) / name
                # a temporary file is somebody's copy that is just being written
                if not name.endswith(".part") and not path.is_symlink():
                    yield path.relative_to(root).as_posix()

    def _other_sites(self, own_file: Path | None) -> Iterator[Path]:
        for folder in (self.home, self.home / "alternatives"):
            for file in sorted(folder.glob("*.json")):
                # what merely lies there, such as pass phrases or an original of an older version, is read as a site
                # where it is one
                if file != own_file and file.name != "secrets.json":
                    yield file


def _bytes(source: Path) -> bytes:
    try:
        if not source.is_file():
            raise InputError("is not a file", where=str(source))
        with source.open("rb") as stream:
            data = stream.read(MOST_ASSET_BYTES + 1)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise InputError(f"cannot be read ({reason})", where=str(source)) from error
    if len(data) > MOST_ASSET_BYTES:
        raise InputError(
            f"is larger than {MOST_ASSET_BYTES // 2**20} MiB", where=str(source), remedy="make the picture smaller"
        )
    return data


def _other(file: Path) -> Site:
    try:
        return read_site(file)
    except SurveyError as error:
        raise InputError(
            f"cannot be read, so nobody can tell which pictures it uses ({error.sentence().rstrip('.')})",
            where=str(file),
            remedy="mend or move it, then tidy",
        ) from error


def _texts(value: Any) -> Iterator[str]:
    """Yield every text in a record: whatever field names a file, it is among them."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from _texts(item)
    elif isinstance(value, Record):
        yield from _texts(tuple(value.__dict__.values()))


def _texts_of_steps(history: History) -> Iterator[str]:
    """Yield the texts of every value that undo and redo can bring back, each row once."""
    seen: set[int] = set()
    for site in history.values():
        for name in fields_of(type(site.design)):
            value = getattr(site.design, name)
            if id(value) in seen:
                continue
            seen.add(id(value))
            yield from _texts_of_rows(value if isinstance(value, tuple) else (value,), seen)


def _texts_of_rows(rows: Iterable[Any], seen: set[int]) -> Iterator[str]:
    for row in rows:
        if id(row) not in seen:
            seen.add(id(row))
            yield from _texts(row)
