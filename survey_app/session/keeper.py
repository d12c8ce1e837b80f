"""Keeps the unsaved work of one open document, and finds what an earlier process left of it."""

from __future__ import annotations

import contextlib
import secrets
import shutil
from collections.abc import Iterable
from pathlib import Path

import survey_app
from survey_app.errors import OutputError
from survey_app.session.hold import Hold, Occupied, claim
from survey_app.session.moment import now
from survey_app.session.offer import Offer, made_offer
from survey_app.session.owner import Owner, is_running
from survey_app.session.recovery import DoubtfulError, Header, Recovery, read_header, read_recovery, write_recovery
from survey_app.session.state_folder import StateFolder
from survey_app.site.file import site_folder
from survey_app.site.gear_type import GearType
from survey_app.site.site import Site

__all__ = ["Keeper", "fresh_key"]


def fresh_key() -> str:
    """Return a name in the state folder for a document that was never saved."""
    return f"unsaved-{secrets.token_hex(6)}"


class Keeper:
    """The hold on one document and the file of its unsaved work.

    Parameters
    ----------
    state : StateFolder
        Where both lie.
    owner : Owner
        This process.
    key : str
        Name of the document there.
    document : Path or None
        The document's file; None = never saved.

    Attributes
    ----------
    trouble : str
        One sentence on why unsaved work cannot be kept; empty while it can.
    remarks : list of str
        Sentences on what was moved aside.
    """

    def __init__(self, state: StateFolder, owner: Owner, key: str, document: Path | None) -> None:
        self.state = state
        self.owner = owner
        self.key = key
        self.document = document
        self.trouble = ""
        self.remarks: list[str] = []
        self._hold: Hold | None = None
        self._found: Path | None = None
        self._blocked = False

    @property
    def file(self) -> Path:
        """The file of unsaved work."""
        return self.state.recovery(self.key)

    def start(self, *, over: str = "") -> Occupied | None:
        """Take hold of the document; a state folder that cannot be written is noted and stops nobody.

        Returns
        -------
        Occupied or None
            Who else is at work on it.
        """
        try:
            claimed = claim(self.state, self.key, self.owner, document=self.document, over=over)
        except OSError as error:
            self._note_trouble(error)
            return None
        if isinstance(claimed, Occupied):
            return claimed
        self._hold = claimed
        self.trouble = ""
        return None

    def find(self, saved: Site, digest: str, types: Iterable[GearType] = ()) -> Offer | None:
        """Return the offer of what an earlier process left, if it can be trusted.

        Parameters
        ----------
        saved : Site
            The site as its file has it.
        digest : str
            Digest of that file.
        types : iterable of GearType
            Gear types of which the site was given copies.
        """
        file, self._found = self.file, None
        try:
            if not file.exists():
                return None
            folder = None if self.document is None else site_folder(self.document)
            found = read_recovery(file, folder=folder, types=types)
            self._doubt(found, digest)
        except DoubtfulError as error:
            self._move_aside(error.what)
            return None
        except OSError as error:
            self._move_aside(f"it cannot be read ({(error.strerror or str(error)).lower()})")
            return None
        if found.site == saved:
            self.drop()
            return None
        self._found = file
        return made_offer(file, found, saved)

    def _doubt(self, found: Recovery, digest: str) -> None:
        header = found.header
        before = self._hold.replaced if self._hold is not None else None
        if is_running(header.owner) and header.owner != before:
            raise DoubtfulError("the process that keeps it still runs")
        if header.document is None or StateFolder.key(header.document) != self.key:
            raise DoubtfulError("it belongs to another site")
        if header.document_sha256 != digest:
            raise DoubtfulError("the site's file has changed since")

    def write(self, site: Site, digest: str, step: str) -> bool:
        """Keep unsaved work; where that cannot be done, `trouble` says why.

        Returns
        -------
        bool
            Whether it was kept.
        """
        try:
            if not self._holds():
                return False
            self.set_aside("the site was edited on before anybody took it")
            header = Header(survey_app.__version__, self.document, digest, self.owner, now(), step, site.design.name)
            write_recovery(self.file, header, site)
        except OSError as error:
            self._note_trouble(error)
            return False
        self.trouble = ""
        return True

    def _holds(self) -> bool:
        if self._blocked:
            return False
        if self._hold is not None and self._hold.stands():
            return True
        return self._hold_again()

    def _hold_again(self) -> bool:
        self._hold = None
        if self.start() is None:
            self._leave_others_alone()
            return not self._blocked and not self.trouble
        self.trouble = "Another window has taken this site over: unsaved work is no longer kept, save it beside."
        return False

    def _leave_others_alone(self) -> None:
        """After the hold was lost for a while, what somebody else kept meanwhile is moved aside."""
        try:
            others = self._found is None and self.file.exists() and read_header(self.file).owner != self.owner
        except DoubtfulError:
            others = True
        if others:
            self._move_aside("another window has kept it meanwhile")

    def drop(self) -> None:
        """Remove unsaved work that is saved or no longer wanted; an offer that nobody answered stays."""
        if self._found is None and self._hold is not None and self._hold.stands():
            with contextlib.suppress(OSError):
                self.file.unlink(missing_ok=True)

    def saved(self) -> None:
        """The document was saved: what was kept is no longer needed, an offer that it lacks is moved aside."""
        with contextlib.suppress(OutputError):
            self.set_aside("the site was saved without it")
        self.drop()

    def take(self) -> None:
        """The offer was taken: its file is that of the present document."""
        self._found = None

    def set_aside(self, reason: str) -> None:
        """Move an offer aside that nobody has taken.

        Raises
        ------
        OutputError
            It cannot be moved.
        """
        if self._found is not None:
            self.state.move_aside(self._found, reason)
            self._found = None

    def give_up(self, reason: str) -> None:
        """Move what was kept aside: the person wants the file instead.

        Raises
        ------
        OutputError
            It cannot be moved.
        """
        kept = self.state.move_aside(self.file, reason)
        self.remarks.append(f"What was not saved lies in {kept}.")

    def stop(self) -> None:
        """Let go of the document."""
        if self._hold is not None:
            self._hold.release()
            self._hold = None

    def forget_assets(self) -> None:
        """Remove the copies of pictures of a document that was never saved."""
        if self.document is None:
            shutil.rmtree(self.state.unsaved(self.key), ignore_errors=True)

    def _move_aside(self, reason: str) -> None:
        try:
            kept = self.state.move_aside(self.file, f"Not offered because {reason}")
        except OutputError as error:
            self.trouble = f"Unsaved work cannot be kept: {error.sentence()}"
            # what lies there is not ours to write over
            self._blocked = True
            return
        self.remarks.append(f"Unsaved work was found but not offered because {reason}; it lies in {kept}.")

    def _note_trouble(self, error: OSError) -> None:
        reason = (error.strerror or getattr(error, "what", "") or str(error)).lower()
        self.trouble = f"Unsaved work cannot be kept in {self.state.path} ({reason}); save often."
