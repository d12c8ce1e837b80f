"""What stands between a document and its file: changes behind our back, free names, pictures that go along."""

from __future__ import annotations

import contextlib
import datetime
import os
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from survey_app.errors import OutputError, SurveyError
from survey_app.session.comparison import changes
from survey_app.session.moment import said_moment
from survey_app.session.recovery import sha256
from survey_app.site.asset import ASSETS
from survey_app.site.atomic import write_atomically
from survey_app.site.file import (
    SITE_FILE,
    read_site_bytes,
    site_file,
    site_folder,
    site_from_bytes,
    site_to_bytes,
    write_site_bytes,
)
from survey_app.site.gear_type import GearType
from survey_app.site.site import Site

__all__ = ["ChangedBehindError", "SavedFile", "beside", "check_free", "copied_assets", "digest_of"]

_REMEDY = "save beside it and compare the two"

_LONGEST_STEM = 80


class ChangedBehindError(OutputError):
    """The file is no longer what was read or written last: it is not written over (exit status 73)."""


class SavedFile(NamedTuple):
    """A document's file as it was read or written last."""

    path: Path
    digest: str
    """Digest of its bytes; empty where there was none."""
    site: Site
    """What it held."""

    @classmethod
    def read(cls, path: Path | str, types: Iterable[GearType] = ()) -> SavedFile:
        """Read a site's file.

        Raises
        ------
        UsageError
            There is no such site.
        FileFaultsError
            It cannot be read as a site.
        """
        file, data = site_file(path), read_site_bytes(path)
        return cls(file, sha256(data), site_from_bytes(data, str(file), folder=site_folder(path), types=types))

    @classmethod
    def write(cls, site: Site, file: Path) -> SavedFile:
        """Write a site to its file.

        Raises
        ------
        OutputError
            It cannot be written; what stood there is untouched.
        """
        data = site_to_bytes(site)
        write_site_bytes(data, file)
        return cls(file, sha256(data), site)

    def behind(self) -> ChangedBehindError | None:
        """Return what is wrong where the file is no longer what was read or written last."""
        found = digest_of(self.path)
        if found == self.digest:
            return None
        if not found:
            return ChangedBehindError(
                "the file is no longer there",
                where=str(self.path),
                remedy="save beside where it was, or as another site",
            )
        return ChangedBehindError(_what(self.path, self.site), where=str(self.path), remedy=_REMEDY)


def digest_of(file: Path) -> str:
    """Return the digest of a file; empty where there is none.

    Raises
    ------
    OutputError
        It is there but cannot be read.
    """
    try:
        return sha256(file.read_bytes())
    except FileNotFoundError:
        return ""
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"cannot be read again before it is written ({reason})", where=str(file)) from error


def _what(file: Path, known: Site) -> str:
    when = ""
    with contextlib.suppress(OSError):
        written = datetime.datetime.fromtimestamp(file.stat().st_mtime, datetime.UTC)
        when = f" (written {said_moment(written)})"
    try:
        other = site_from_bytes(file.read_bytes(), str(file))
    except (OSError, SurveyError):
        return f"the file was changed by another program{when} and can no longer be read as a site"
    if other == known:
        return f"the file was written anew by another program{when}, the site in it is the same"
    found = changes(known, other)
    if found.evidence and not (found.added or found.changed or found.removed or found.figures):
        rows = "a row" if found.evidence == 1 else f"{found.evidence} rows"
        return f"somebody else has noted {rows} of evidence in the file{when}, the design in it is the same"
    return f"the file was changed by somebody else{when}: {found.words()}"


def beside(file: Path, when: datetime.datetime) -> Path:
    """Return a free name beside a file for the site as we have it.

    Examples
    --------
    >>> beside(Path("yard/site.json"), datetime.datetime(2026, 11, 27, 7, 12)).name
    'site-mine-2026-11-27-0712.json'
    >>> beside(Path("yard/site-mine-2026-11-27-0712.json"), datetime.datetime(2026, 11, 27, 8, 30)).name
    'site-mine-2026-11-27-0830.json'
    """
    # a copy beside a copy stands beside the first: names must not grow until no system takes them
    plain = re.sub(r"(-mine-\d{4}-\d{2}-\d{2}-\d{4}(-\d+)?)+$", "", file.stem)[:_LONGEST_STEM]
    stem = f"{plain}-mine-{when:%Y-%m-%d-%H%M}"
    number, path = 1, file.with_name(f"{stem}.json")
    while os.path.lexists(path):
        number += 1
        path = file.with_name(f"{stem}-{number}.json")
    return path


def check_free(file: Path, own: Path | None) -> None:
    """Refuse to save where another site lies.

    Parameters
    ----------
    file : Path
        Where the document is to be saved.
    own : Path or None
        The folder in which it lies now.

    Raises
    ------
    OutputError
        Something stands there, or the folder is that of another site.
    """
    remedy = "choose a new or an empty folder"
    if os.path.lexists(file):
        raise OutputError("another site stands there already", where=str(file), remedy=remedy)
    folder = site_folder(file)
    if os.path.lexists(folder / SITE_FILE) and (own is None or not _same(folder, own)):
        raise OutputError("the folder already holds another site", where=str(folder), remedy=remedy)


def _same(one: Path, other: Path) -> bool:
    return os.path.normcase(os.path.realpath(one)) == os.path.normcase(os.path.realpath(other))


@contextlib.contextmanager
def copied_assets(old: Path | None, new: Path) -> Iterator[None]:
    """Copy a site's assets into another folder; what was copied goes away again when the saving fails.

    Raises
    ------
    OutputError
        A file cannot be copied, or another one of its name stands there.
    """
    made: list[Path] = []
    try:
        if old is not None and not _same(old, new):
            for file in _files(old / ASSETS):
                _copy(file, new / file.relative_to(old), made)
        yield
    except BaseException:
        for file in made:
            with contextlib.suppress(OSError):
                file.unlink()
        raise


def _files(folder: Path) -> Iterator[Path]:
    for here, _, names in os.walk(folder):
        yield from (Path(here) / name for name in sorted(names) if not name.endswith(".part"))


def _copy(file: Path, target: Path, made: list[Path]) -> None:
    try:
        data = file.read_bytes()
        if target.exists():
            if target.read_bytes() != data:
                raise OutputError("another file of this name stands there already", where=str(target))
            return
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"cannot be copied along ({reason})", where=str(file)) from error
    write_atomically(target, data)
    made.append(target)
