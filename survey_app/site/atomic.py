"""Writes a file whole or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import stat
import time
from pathlib import Path

from survey_app.errors import OutputError

__all__ = ["write_atomically"]

_TRIES = 20
_PAUSE_S = 0.05
_STALE_S = 600.0
_LOCKS_OPEN_FILES = os.name == "nt"


def write_atomically(path: Path, data: bytes, *, mode: int | None = None) -> None:
    """Write a file so that at every moment the old or the new content stands there whole.

    The content goes into a temporary file of the same folder, is forced to the disk and takes the file's place.

    Parameters
    ----------
    path : Path
        The file. Missing folders are made.
    data : bytes
        Its content.
    mode : int or None
        Permission bits; None = those of the file that is replaced, or the usual ones for a new file.

    Raises
    ------
    OutputError
        It cannot be written; what stood there is untouched.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if mode is None and path.exists():
            if not os.access(path, os.W_OK):
                raise PermissionError(errno.EACCES, "the file is read-only")
            mode = stat.S_IMODE(path.stat().st_mode)
        _remove_stale(path)
        aside = path.with_name(f".{path.name}.{secrets.token_hex(6)}.part")
        try:
            _write_through(aside, data, mode)
            _replace(aside, path)
        except BaseException:
            with contextlib.suppress(OSError):
                aside.unlink()
            raise
        _flush_folder(path.parent)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise OutputError(
            f"cannot be written ({reason})", where=str(path), remedy="choose another folder or make room"
        ) from error


def _write_through(path: Path, data: bytes, mode: int | None) -> None:
    # 0o600 from the start: a secret is never readable by others, not even for a moment
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode or 0o666), "wb") as file:
        if mode is not None:
            path.chmod(mode)
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _replace(aside: Path, path: Path) -> None:
    for attempt in range(_TRIES):
        try:
            aside.replace(path)
        except PermissionError:
            # where the system locks open files, a scanner or another reader may hold the old one for a moment
            if attempt == _TRIES - 1 or not _LOCKS_OPEN_FILES:
                raise
            time.sleep(_PAUSE_S)
        else:
            return


def _flush_folder(folder: Path) -> None:
    # not every system can open a folder; there the rename itself is all one can ask for
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _remove_stale(path: Path) -> None:
    """Remove temporary files that a killed process left long ago."""
    for left in path.parent.glob(f".{path.name}.*.part"):
        with contextlib.suppress(OSError):
            if time.time() - left.stat().st_mtime > _STALE_S:
                left.unlink()
