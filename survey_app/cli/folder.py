"""A new folder that a command fills: never one in which something stands already."""

from __future__ import annotations

import contextlib
import shutil
from collections.abc import Iterator
from pathlib import Path

from survey_app.errors import OutputError

__all__ = ["fresh_folder"]


@contextlib.contextmanager
def fresh_folder(folder: Path) -> Iterator[Path]:
    """Make a folder to be filled; what was put into it goes away again when the filling fails.

    Parameters
    ----------
    folder : Path
        A folder that does not exist or is empty.

    Raises
    ------
    OutputError
        Something stands there already, or it cannot be made.
    """
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            what = "is not empty" if folder.is_dir() else "is a file"
            raise OutputError(f"the folder {what}", where=str(folder), remedy="name a new or an empty folder with -o")
        was_there = folder.is_dir()
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"the folder cannot be made ({reason})", where=str(folder)) from error
    try:
        yield folder
    except BaseException:
        with contextlib.suppress(OSError):
            _empty(folder)
            if not was_there:
                folder.rmdir()
        raise


def _empty(folder: Path) -> None:
    for entry in folder.iterdir():
        if entry.is_dir() and not entry.is_symlink():
            shutil.rmtree(entry, ignore_errors=True)
        else:
            entry.unlink()
