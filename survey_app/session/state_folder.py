"""The folder of the user's own in which a session keeps what is no part of any site: recovery, locks, recent sites."""

from __future__ import annotations

import contextlib
import datetime
import errno
import hashlib
import os
import re
import sys
import time
import unicodedata
from collections.abc import Iterator
from pathlib import Path

from survey_app.errors import OutputError
from survey_app.session.moment import stamp
from survey_app.site.atomic import write_atomically

__all__ = ["StateFolder"]

_TRIES = 1000
_GUARD_TRIES = 300
_PAUSE_S = 0.01


class StateFolder:
    """Where everything lies in the state folder.

    Parameters
    ----------
    path : Path or None
        The folder; None = that of this program in the user's home. It need not exist.
    """

    def __init__(self, path: Path | None = None) -> None:
        if path is None:
            import platformdirs

            path = Path(platformdirs.user_state_path("survey-app", appauthor=False))
        self.path = path

    def recovery(self, key: str) -> Path:
        """Return the file that holds the unsaved work of one document."""
        return self.path / "recovery" / f"{key}.recovery"

    def recoveries(self) -> tuple[Path, ...]:
        """Return all files of unsaved work."""
        with contextlib.suppress(OSError):
            return tuple(sorted((self.path / "recovery").glob("*.recovery")))
        return ()

    def lock(self, key: str) -> Path:
        """Return the file that says who has a document open."""
        return self.path / "open" / f"{key}.json"

    def unsaved(self, key: str) -> Path:
        """Return the folder with the assets of a document that was never saved."""
        return self.path / "unsaved" / key

    @property
    def recent(self) -> Path:
        """The list of recent sites."""
        return self.path / "recent.json"

    @property
    def aside(self) -> Path:
        """Where doubtful data goes."""
        return self.path / "aside"

    @property
    def trash(self) -> Path:
        """Where assets go that nothing uses."""
        return self.path / "trash"

    def move_aside(self, file: Path, reason: str) -> Path:
        """Move doubtful data aside, with the reason beside it; nothing is applied, nothing deleted.

        Parameters
        ----------
        file : Path
            What is doubtful.
        reason : str
            Why, as one clause.

        Returns
        -------
        Path
            Where it now lies.

        Raises
        ------
        OutputError
            It cannot be moved; it stays where it was.
        """
        now = datetime.datetime.now(datetime.UTC)
        try:
            self.aside.mkdir(parents=True, exist_ok=True)
            kept = _free(self.aside, f"{stamp(now)}-{file.stem}", file.suffix)
            file.replace(kept)
        except OSError as error:
            raise OutputError(f"cannot be moved aside ({_why(error)})", where=str(file)) from error
        with contextlib.suppress(OutputError):
            write_atomically(kept.with_suffix(".reason.txt"), f"{reason}.\n".encode())
        return kept

    @contextlib.contextmanager
    def guarded(self) -> Iterator[None]:
        """Keep every other process out for a moment: between looking at a file here and writing it.

        Raises
        ------
        OSError
            The folder cannot be written.
        """
        self.path.mkdir(parents=True, exist_ok=True)
        with (self.path / "guard").open("a+b") as file, _locked(file.fileno()):
            yield

    @staticmethod
    def key(file: Path) -> str:
        """Return the name under which a document's data lies here; the same by whatever way the file is reached.

        Examples
        --------
        >>> StateFolder.key(Path("yard/site.json")) == StateFolder.key(Path("yard/../yard/site.json"))
        True
        """
        real = os.path.normcase(os.path.realpath(file))
        if sys.platform == "darwin":
            real = unicodedata.normalize("NFC", real).casefold()
        digits = hashlib.sha256(real.encode("utf-8", "surrogateescape")).hexdigest()[:16]
        word = re.sub(r"[^a-z0-9]+", "-", Path(real).parent.name.lower()).strip("-")[:24]
        return f"{word}-{digits}" if word else digits


def _free(folder: Path, stem: str, suffix: str) -> Path:
    for number in range(1, _TRIES):
        path = folder / (f"{stem}{suffix}" if number == 1 else f"{stem}-{number}{suffix}")
        if not path.exists() and not path.is_symlink():
            return path
    raise FileExistsError("too many names are taken")


def _why(error: OSError) -> str:
    return (error.strerror or str(error)).lower()


@contextlib.contextmanager
def _locked(handle: int) -> Iterator[None]:
    if sys.platform == "win32":
        import msvcrt

        os.lseek(handle, 0, os.SEEK_SET)
        msvcrt.locking(handle, msvcrt.LK_LOCK, 1)
        try:
            yield
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)
    else:
        import fcntl

        for attempt in range(_GUARD_TRIES):
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                if attempt == _GUARD_TRIES - 1:
                    raise TimeoutError(errno.ETIMEDOUT, "another window does not let go of it") from None
                time.sleep(_PAUSE_S)
            except OSError:
                # some network folders know no locks; there two windows within the same instant are the lesser evil
                break
            else:
                break
        yield
