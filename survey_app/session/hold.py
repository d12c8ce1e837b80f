"""The hold of one process on one document: a small file in the state folder that says who has it open since when."""

from __future__ import annotations

import contextlib
import datetime
import json
import platform
import secrets
from pathlib import Path
from typing import NamedTuple

from survey_app.session.moment import now, read_moment, said_moment
from survey_app.session.owner import Owner, is_running
from survey_app.session.state_folder import StateFolder
from survey_app.site.atomic import write_atomically

__all__ = ["Hold", "Occupied", "claim", "holder"]


class Occupied(NamedTuple):
    """Somebody else has the document open."""

    owner: Owner
    token: str
    since: datetime.datetime

    @property
    def is_elsewhere(self) -> bool:
        """Whether it is open on another computer, where nobody here can look."""
        return self.owner.host != platform.node()

    @property
    def words(self) -> str:
        """Who has it open since when, as one clause."""
        where = f"on the computer '{self.owner.host}'" if self.is_elsewhere else "in another window"
        return f"the site is open {where} since {said_moment(self.since)}"


class Hold:
    """A document that this process has for itself, until it lets go of it or ends.

    Parameters
    ----------
    state : StateFolder
        Where the file lies.
    key : str
        Name of the document there.
    token : str
        What tells this hold from every other.
    replaced : Owner or None
        Who had it before and is gone.
    """

    def __init__(self, state: StateFolder, key: str, token: str, replaced: Owner | None) -> None:
        self.key = key
        self.token = token
        self.replaced = replaced
        self._state = state

    def stands(self) -> bool:
        """Return whether the document is still held by this hold."""
        found = _read(self._state.lock(self.key))
        return found is not None and found.token == self.token

    def release(self) -> None:
        """Let go of the document; what somebody else holds by now is left alone."""
        with contextlib.suppress(OSError), self._state.guarded():
            if self.stands():
                self._state.lock(self.key).unlink()


def claim(state: StateFolder, key: str, owner: Owner, *, document: Path | None, over: str = "") -> Hold | Occupied:
    """Take hold of a document, unless somebody is at work on it.

    Parameters
    ----------
    state : StateFolder
        Where holds are written.
    key : str
        Name of the document there.
    owner : Owner
        Who wants it.
    document : Path or None
        Its file, for people who look into the folder.
    over : str
        Token of a hold that is taken over although nobody can tell whether its owner is still there.

    Raises
    ------
    OSError
        The folder cannot be written.
    """
    file = state.lock(key)
    with state.guarded():
        found = _read(file)
        if found is not None and found.token != over and is_running(found.owner):
            return found
        token = secrets.token_hex(8)
        tree = {
            "owner": owner.plain(),
            "token": token,
            "since": now().isoformat(),
            "document": None if document is None else str(document),
        }
        write_atomically(file, (json.dumps(tree, indent=2) + "\n").encode())
        return Hold(state, key, token, None if found is None else found.owner)


def holder(state: StateFolder, key: str) -> Occupied | None:
    """Return who is at work on a document; None = nobody that is still there."""
    found = _read(state.lock(key))
    return found if found is not None and is_running(found.owner) else None


def _read(file: Path) -> Occupied | None:
    """Read a hold; one that is damaged says nothing, as if it were not there."""
    try:
        tree = json.loads(file.read_bytes())
        token = tree["token"]
        if not isinstance(token, str) or not token:
            return None
        return Occupied(Owner.of(tree["owner"]), token, read_moment(tree["since"]))
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
