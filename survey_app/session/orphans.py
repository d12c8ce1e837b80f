"""Unsaved work of documents that never had a file, left by a process that is gone."""

from __future__ import annotations

import contextlib
import datetime
import os
from pathlib import Path
from typing import NamedTuple

from survey_app.errors import OutputError, UsageError
from survey_app.session.document import Document
from survey_app.session.hold import holder
from survey_app.session.moment import said_moment
from survey_app.session.owner import Owner, is_running
from survey_app.session.recovery import DoubtfulError, read_header, read_recovery
from survey_app.session.state_folder import StateFolder
from survey_app.site.file import site_folder

__all__ = ["Orphan", "orphans", "recover", "set_orphan_aside"]


class Orphan(NamedTuple):
    """Unsaved work without a file, to be offered on the start page."""

    file: Path
    """Where it lies."""
    name: str
    """Name of the site."""
    at: datetime.datetime
    """When it was kept."""
    step: str
    """Name of the last step."""

    @property
    def key(self) -> str:
        """Its name in the state folder."""
        return self.file.stem

    @property
    def sentence(self) -> str:
        """What it is, for people."""
        last = f", the last step was '{self.step}'" if self.step else ""
        return f"'{self.name}' was never saved; unsaved work of {said_moment(self.at)} was found{last}."


def orphans(state_folder: Path | None = None) -> tuple[Orphan, ...]:
    """Return what can be recovered of documents that were never saved, newest first.

    Whatever is damaged, or belongs to a site that is no longer where it was, is moved aside with the reason.

    Parameters
    ----------
    state_folder : Path or None
        Where unsaved work is kept; None = the user's own folder.
    """
    state = StateFolder(state_folder)
    _sweep(state)
    found = []
    for file in state.recoveries():
        if holder(state, file.stem) is not None:
            continue
        try:
            header = read_header(file)
        except DoubtfulError as error:
            _aside(state, file, error.what)
            continue
        except OSError:
            continue
        if header.document is not None:
            if _is_gone(header.document):
                _aside(state, file, f"the site {header.document} is no longer there")
        elif not is_running(header.owner):
            found.append(Orphan(file, header.name, header.at, header.step))
    return tuple(sorted(found, key=lambda one: one.at, reverse=True))


def _sweep(state: StateFolder) -> None:
    """Clear what a crash leaves of documents that had nothing to keep; their pictures go to the trash."""
    with contextlib.suppress(OSError), state.guarded():
        for lock in (state.path / "open").glob("*.json"):
            if holder(state, lock.stem) is None and not state.recovery(lock.stem).exists():
                lock.unlink()
        for folder in state.unsaved("").glob("unsaved-*"):
            if not state.lock(folder.name).exists() and not state.recovery(folder.name).exists():
                state.trash.mkdir(exist_ok=True)
                folder.replace(state.trash / folder.name)


def _is_gone(document: Path) -> bool:
    """Return whether a site was removed; where not even what held its folder is there, a drive may be unplugged."""
    return not os.path.lexists(document) and os.path.lexists(site_folder(document).parent)


def _aside(state: StateFolder, file: Path, reason: str) -> None:
    # what cannot be moved stays, and is tried again next time
    with contextlib.suppress(OutputError):
        state.move_aside(file, f"Not offered because {reason}")


def recover(orphan: Orphan, *, owner: Owner | None = None, state_folder: Path | None = None) -> Document:
    """Open unsaved work without a file as a document that was never saved.

    Raises
    ------
    UsageError
        Another window has taken it.
    DoubtfulError
        It cannot be read as a site; it was moved aside.
    """
    state = StateFolder(state_folder)
    try:
        found = read_recovery(orphan.file)
    except DoubtfulError as error:
        _aside(state, orphan.file, error.what)
        raise
    except OSError as error:
        raise UsageError("this unsaved work is no longer there", where=str(orphan.file)) from error
    return Document.recovered(found, orphan.key, owner=owner, state_folder=state_folder)


def set_orphan_aside(orphan: Orphan, *, state_folder: Path | None = None) -> Path:
    """Answer the offer with no: it is moved aside, not deleted.

    Returns
    -------
    Path
        Where it now lies.

    Raises
    ------
    OutputError
        It cannot be moved.
    """
    return StateFolder(state_folder).move_aside(orphan.file, "Set aside by the user")
