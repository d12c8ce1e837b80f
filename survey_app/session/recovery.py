"""The file of unsaved work: a line that holds it together, a header that says whose it is, and the site itself.

Nothing of it is believed that does not fit: a file that was cut short, changed, made by a newer program or for another
state of the document is doubtful, and is said to be so with a reason.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any, NamedTuple

import survey_app
from survey_app.errors import InputError
from survey_app.session.moment import read_moment
from survey_app.session.owner import Owner
from survey_app.site.atomic import write_atomically
from survey_app.site.fault import FileFaultsError
from survey_app.site.file import site_from_bytes, site_to_bytes
from survey_app.site.gear_type import GearType
from survey_app.site.json_text import MOST_BYTES
from survey_app.site.site import Site

__all__ = ["DoubtfulError", "Header", "Recovery", "read_header", "read_recovery", "sha256", "write_recovery"]

_VERSION = 1
_FIRST = re.compile(rb"survey-recovery (\d{1,6}) ([0-9a-f]{64})\n")
_MOST_HEADER_BYTES = 100_000
_PROGRAM = re.compile(r"(\d{1,6})\.(\d{1,6})\.(\d{1,6})")


class DoubtfulError(InputError):
    """Unsaved work that cannot be trusted: it is moved aside, never applied and never deleted."""


class Header(NamedTuple):
    """Whose unsaved work it is."""

    program: str
    """Version of the program that kept it."""
    document: Path | None
    """The file it belongs to; None = the document was never saved."""
    document_sha256: str
    """Digest of that file's bytes when it was last read or written; empty without a file."""
    owner: Owner
    at: datetime.datetime
    step: str
    """Name of the last step."""
    name: str
    """Name of the site."""


class Recovery(NamedTuple):
    """Unsaved work as it lay in its file."""

    header: Header
    site: Site


def sha256(data: bytes) -> str:
    """Return the digest of some bytes."""
    return hashlib.sha256(data).hexdigest()


def write_recovery(file: Path, header: Header, site: Site) -> None:
    """Write unsaved work; at every moment the old or the new one lies there whole.

    Raises
    ------
    OutputError
        It cannot be written; what lay there is untouched.
    """
    tree: dict[str, Any] = {
        **header._asdict(),
        "document": None if header.document is None else str(header.document),
        "owner": header.owner.plain(),
        "at": header.at.isoformat(),
    }
    rest = json.dumps(tree).encode() + b"\n" + site_to_bytes(site)
    # readable for its user only: it lies outside the site's folder, whose rights its owner has chosen
    write_atomically(file, f"survey-recovery {_VERSION} {sha256(rest)}\n".encode() + rest, mode=0o600)


def read_header(file: Path) -> Header:
    """Read whose unsaved work it is, after checking that the file is whole.

    Raises
    ------
    DoubtfulError
        The file cannot be trusted.
    OSError
        It cannot be read at present.
    """
    return _parts(file)[0]


def read_recovery(file: Path, *, folder: Path | None = None, types: Iterable[GearType] = ()) -> Recovery:
    """Read unsaved work.

    Parameters
    ----------
    file : Path
        The file of unsaved work.
    folder : Path or None
        Folder of the site it belongs to.
    types : iterable of GearType
        Gear types of which the site is given the copies that it misses.

    Raises
    ------
    DoubtfulError
        The file cannot be trusted.
    OSError
        It cannot be read at present.
    """
    header, body = _parts(file)
    try:
        return Recovery(header, site_from_bytes(body, str(file), folder=folder, types=types))
    except FileFaultsError as error:
        raise DoubtfulError(f"it holds no sound site ({error.sentence().rstrip('.')})") from error


def _parts(file: Path) -> tuple[Header, bytes]:
    with file.open("rb") as stream:
        data = stream.read(MOST_BYTES + _MOST_HEADER_BYTES)
    first = _FIRST.match(data)
    if first is None:
        raise DoubtfulError("its first line is damaged")
    if int(first.group(1)) != _VERSION:
        raise DoubtfulError(f"it has version {int(first.group(1))}, this program reads version {_VERSION}")
    rest = data[first.end() :]
    if sha256(rest) != first.group(2).decode():
        raise DoubtfulError("it was cut short or changed")
    line, _, body = rest.partition(b"\n")
    return _header(line), body


def _header(line: bytes) -> Header:
    try:
        tree = json.loads(line)
        document = None if tree["document"] is None else Path(tree["document"])
        words = [tree[name] for name in ("program", "document_sha256", "step", "name")]
        if not all(isinstance(word, str) for word in words):
            raise ValueError("is no text")  # noqa: TRY301 - caught with all else that may be wrong
        program, digest, step, name = words
        header = Header(program, document, digest, Owner.of(tree["owner"]), read_moment(tree["at"]), step, name)
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise DoubtfulError("its header is damaged") from error
    if _newer(header.program):
        raise DoubtfulError(f"it was kept by the newer version {header.program} of the program")
    return header


def _newer(program: str) -> bool:
    theirs, ours = _PROGRAM.match(program), _PROGRAM.match(survey_app.__version__)
    if theirs is None or ours is None:
        return program != survey_app.__version__
    return tuple(map(int, theirs.groups())) > tuple(map(int, ours.groups()))
