"""The sites that were open last."""

from __future__ import annotations

import contextlib
import datetime
import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

from survey_app.session.moment import now, read_moment
from survey_app.session.state_folder import StateFolder
from survey_app.site.atomic import write_atomically

__all__ = ["MOST_RECENT", "Recent", "forget_missing", "forget_site", "recent_sites", "remember_site"]

MOST_RECENT = 12


class Recent(NamedTuple):
    """A site that was open."""

    path: Path
    """Its file."""
    name: str
    at: datetime.datetime

    @property
    def is_there(self) -> bool:
        """Whether its file is there now; a drive may be unplugged."""
        return os.path.lexists(self.path)


def recent_sites(state_folder: Path | None = None) -> tuple[Recent, ...]:
    """Return the sites that were open last, newest first, at most twelve; none where the list is damaged."""
    return _read(StateFolder(state_folder).recent)


def remember_site(path: Path, name: str, *, state_folder: Path | None = None) -> tuple[Recent, ...]:
    """Put a site at the head of the list and return the list; where it cannot be written nothing is lost but that."""
    state = StateFolder(state_folder)
    key = StateFolder.key(path)
    new = Recent(Path(os.path.abspath(path)), name, now())  # noqa: PTH100 - links stay as the person named them
    return _change(state, lambda rows: [new, *(row for row in rows if StateFolder.key(row.path) != key)])


def forget_site(path: Path, *, state_folder: Path | None = None) -> tuple[Recent, ...]:
    """Take a site off the list and return the list."""
    key = StateFolder.key(path)
    return _change(StateFolder(state_folder), lambda rows: [row for row in rows if StateFolder.key(row.path) != key])


def forget_missing(state_folder: Path | None = None) -> tuple[Recent, ...]:
    """Take those off the list that are not there, and return the list."""
    return _change(StateFolder(state_folder), lambda rows: [row for row in rows if row.is_there])


def _change(state: StateFolder, change: Callable[[tuple[Recent, ...]], list[Recent]]) -> tuple[Recent, ...]:
    with contextlib.suppress(OSError), state.guarded():
        rows = tuple(change(_read(state.recent)))[:MOST_RECENT]
        tree = [{"path": str(row.path), "name": row.name, "at": row.at.isoformat()} for row in rows]
        write_atomically(state.recent, (json.dumps(tree, indent=2) + "\n").encode())
        return rows
    return _read(state.recent)


def _read(file: Path) -> tuple[Recent, ...]:
    try:
        tree = json.loads(file.read_bytes())
    except (OSError, ValueError, RecursionError):
        return ()
    rows = []
    for one in tree if isinstance(tree, list) else ():
        with contextlib.suppress(ValueError, KeyError, TypeError):
            path, name = one["path"], one["name"]
            if isinstance(path, str) and path and "\0" not in path and isinstance(name, str):
                rows.append(Recent(Path(path), name, read_moment(one["at"])))
    return tuple(rows[:MOST_RECENT])
