"""The document in hand: opened, held against other windows, kept while unsaved, saved."""

from __future__ import annotations

import threading
from collections.abc import Iterable
from pathlib import Path

from survey_app.errors import OutputError, UsageError
from survey_app.session.edited import EditedSite
from survey_app.session.hold import Occupied
from survey_app.session.keeper import Keeper, fresh_key
from survey_app.session.moment import now
from survey_app.session.offer import Offer, recovering_edit
from survey_app.session.owner import Owner, this_process
from survey_app.session.recovery import Recovery
from survey_app.session.saving import ChangedBehindError, SavedFile, beside, check_free, copied_assets
from survey_app.session.snapshot import Snapshot
from survey_app.session.state_folder import StateFolder
from survey_app.site.file import site_file, site_folder
from survey_app.site.gear_type import GearType
from survey_app.site.site import Site

__all__ = ["Document"]


class Document(EditedSite):
    """One open site.

    `Document.open` and `Document.new` take hold of it and keep unsaved work; the bare constructor does neither.

    Parameters
    ----------
    site : Site
        The document.
    path : Path or None
        Its file; None = it was never saved.
    keeper : Keeper or None
        Keeps unsaved work; None = nothing is kept.

    """

    def __init__(self, site: Site, path: Path | None = None, *, keeper: Keeper | None = None) -> None:
        super().__init__(site, path, keeper=keeper)
        self._types: tuple[GearType, ...] = ()
        self._occupied: Occupied | None = None
        self._offer: Offer | None = None
        # guards the files: unsaved work may be kept by a thread of its own
        self._files = threading.RLock()
        self._kept_serial = 0

    # -- opening and closing

    @classmethod
    def new(cls, site: Site, *, owner: Owner | None = None, state_folder: Path | None = None) -> Document:
        """Begin a document that has no file yet.

        Parameters
        ----------
        site : Site
            What it begins with; not worth saving until something is done to it.
        owner : Owner or None
            Who works on it; None = this process.
        state_folder : Path or None
            Where unsaved work is kept; None = the user's own folder.
        """
        keeper = Keeper(StateFolder(state_folder), owner or this_process(), fresh_key(), None)
        keeper.start()
        return cls(site, keeper=keeper)

    @classmethod
    def open(
        cls,
        path: Path | str,
        *,
        types: Iterable[GearType] = (),
        owner: Owner | None = None,
        state_folder: Path | None = None,
    ) -> Document:
        """Open a site's folder, its site.json or one of its alternatives.

        Where another process has it open, the document is read-only. Where unsaved work was left, there is an offer.

        Parameters
        ----------
        path : Path or str
            The site.
        types : iterable of GearType
            Gear types of which the site is given the copies that it misses.
        owner : Owner or None
            Who opens it; None = this process.
        state_folder : Path or None
            Where unsaved work is kept; None = the user's own folder.

        Raises
        ------
        UsageError
            There is no such site.
        FileFaultsError
            It cannot be read as a site.
        """
        file, types = site_file(path), tuple(types)
        state = StateFolder(state_folder)
        keeper = Keeper(state, owner or this_process(), StateFolder.key(file), file)
        # held before it is read: nobody can save it in between
        occupied = keeper.start()
        try:
            saved = SavedFile.read(path, types)
        except BaseException:
            keeper.stop()
            raise
        document = cls(saved.site, keeper=keeper)
        document._begin(saved.site, saved)
        document._types = types
        if occupied is None:
            document._offer = keeper.find(saved.site, saved.digest, types)
        else:
            document._only_look(occupied)
        return document

    @classmethod
    def recovered(cls, found: Recovery, key: str, *, owner: Owner | None, state_folder: Path | None) -> Document:
        """Begin a document from unsaved work that never had a file; `orphans` finds it."""
        keeper = Keeper(StateFolder(state_folder), owner or this_process(), key, None)
        if keeper.start() is not None:
            raise UsageError("another window has taken this unsaved work already")
        document = cls(found.site, keeper=keeper)
        document._worth_saving = True
        document._label = found.header.step
        document._history.mark_unsaved()
        document._look()
        return document

    def close(self) -> None:
        """Close the document; what is not saved is given up. An offer that nobody answered is made again next time."""
        with self._files:
            if self._is_closed:
                return
            self._is_closed = True
            if self._keeper is not None and not self._occupied:
                self._keeper.drop()
                self._keeper.forget_assets()
                self._keeper.stop()

    def take_over(self) -> None:
        """Make a read-only document one that can be edited, after the other window has gone.

        A document that is open on another computer is taken on the word of whoever asks: nobody here can look.

        Raises
        ------
        UsageError
            The other window is still there.
        """
        if self._occupied is None or self._keeper is None or self._saved is None:
            return
        with self._files:
            occupied = self._keeper.start(over=self._occupied.token if self._occupied.is_elsewhere else "")
            if occupied is not None:
                self._only_look(occupied)
                raise UsageError(occupied.words, remedy="close it there first")
            try:
                saved = SavedFile.read(self._saved.path, self._types)
            except BaseException:
                self._keeper.stop()
                raise
            self._occupied, self.read_only_reason = None, ""
            if saved.digest != self._saved.digest:
                self._begin(saved.site, saved)
            self._offer = self._keeper.find(saved.site, saved.digest, self._types)

    def _only_look(self, occupied: Occupied) -> None:
        self._occupied = occupied
        self.read_only_reason = occupied.words

    # -- unsaved work

    @property
    def offer(self) -> Offer | None:
        """Unsaved work of an earlier run that waits for an answer."""
        return self._offer

    def take_offer(self) -> Site:
        """Make the recovered site the present one, as one step that can be undone.

        Raises
        ------
        UsageError
            There is no offer.
        """
        if self._offer is None:
            raise UsageError("there is no unsaved work to recover")
        self._history.seal()
        site = self.apply(recovering_edit(self.site, self._offer.site))
        self._history.seal()
        self._offer = None
        if self._keeper is not None:
            self._keeper.take()
        self.keep()
        return site

    def set_offer_aside(self) -> None:
        """Answer the offer with no: it is moved aside, not deleted.

        Raises
        ------
        OutputError
            It cannot be moved; the offer stands.
        """
        with self._files:
            if self._keeper is not None:
                self._keeper.set_aside("Set aside by the user")
            self._offer = None

    def snapshot(self) -> Snapshot:
        """Return the present value, to be handed to a thread that keeps it."""
        return self._snapshot

    def keep(self, snapshot: Snapshot | None = None) -> bool:
        """Keep unsaved work in the state folder; called when the input rests, from any thread.

        Parameters
        ----------
        snapshot : Snapshot or None
            What to keep; None = the present value. One that is older than what is kept or saved is left out.

        Returns
        -------
        bool
            Whether the state folder now holds what would be lost. Where it cannot be written, `trouble` says why.
        """
        snapshot = snapshot or self._snapshot
        with self._files:
            if self._keeper is None or self._is_closed or self._occupied or snapshot.serial < self._kept_serial:
                return False
            if snapshot.is_unsaved:
                digest = "" if self._saved is None else self._saved.digest
                kept = self._keeper.write(snapshot.site, digest, snapshot.label)
            else:
                self._keeper.drop()
                kept = True
            if kept:
                self._kept_serial = snapshot.serial
            return kept

    # -- saving

    def lies_at(self, path: Path | str) -> bool:
        """Return whether a path means this document's file, by whatever way it is reached."""
        return self.path is not None and StateFolder.key(site_file(path)) == StateFolder.key(self.path)

    def reload(self) -> Site:
        """Read the file again and go on with what is there now; what was not saved is moved aside, not deleted.

        Raises
        ------
        UsageError
            It was never saved, or the file is gone.
        FileFaultsError
            What is there cannot be read as a site.
        OutputError
            What was not saved cannot be moved aside.
        """
        self._check_not_closed()
        with self._files:
            if self._saved is None:
                raise UsageError("the site has no file yet", remedy="save it first")
            saved = SavedFile.read(self._saved.path, self._types)
            if self._keeper is not None and not self._occupied:
                if self.needs_saving:
                    if not self.keep():
                        raise OutputError(self.trouble.rstrip("."), remedy="save beside instead")
                    self._keeper.give_up("Given up for what the file holds")
                self._offer = self._keeper.find(saved.site, saved.digest, self._types)
            self._begin(saved.site, saved)
            return saved.site

    def behind(self) -> ChangedBehindError | None:
        """Return what is wrong where the file is no longer what was read or written last."""
        return None if self._saved is None else self._saved.behind()

    def save(self, path: Path | str | None = None) -> Path:
        """Write the site to its file, or save it as another site, with its assets.

        Parameters
        ----------
        path : Path or str or None
            Another folder or file; None = the document's own. From then on it is the document's.

        Returns
        -------
        Path
            The file that was written.

        Raises
        ------
        UsageError
            It has no file yet and none is named, or it is read-only and would be written over.
        ChangedBehindError
            The file was changed or removed since it was read.
        OutputError
            It cannot be written, or another site lies there.
        """
        with self._files:
            self._check_not_closed()
            file = self.path if path is None else site_file(path)
            if file is None:
                raise UsageError("the site has no file yet", remedy="name a folder for it")
            if self.path is None or not self.lies_at(file):
                check_free(file, self.folder)
                return self._move_to(file)
            self._check_open()
            if (changed := self.behind()) is not None:
                self._history.mark_unsaved()
                self._worth_saving = True
                self._look()
                raise changed
            self._write(self.path)
            if self._keeper is not None:
                self._keeper.saved()
            return self.path

    def save_beside(self) -> Path:
        """Write the site under a free name beside its file; from then on that is the document's file.

        Raises
        ------
        UsageError
            It was never saved.
        OutputError
            It cannot be written.
        """
        with self._files:
            self._check_not_closed()
            if self.path is None:
                raise UsageError("the site has no file yet", remedy="name a folder for it")
            return self._move_to(beside(self.path, now()))

    def _write(self, file: Path) -> None:
        snapshot = self._snapshot
        self._saved = SavedFile.write(snapshot.site, file)
        self._history.mark_saved(snapshot.site)
        self._look()
        # what another thread still has in hand from before is of no use any more
        self._kept_serial = self._serial

    def _move_to(self, file: Path) -> Path:
        """Save where the document has not been yet, and take hold of it there."""
        old, keeper = self._keeper, None
        home = self.asset_home
        if old is not None:
            keeper = Keeper(old.state, old.owner, StateFolder.key(file), file)
            if (occupied := keeper.start()) is not None:
                raise UsageError(occupied.words, where=str(file), remedy="choose another folder")
        try:
            with copied_assets(home, site_folder(file)):
                self._write(file)
        except BaseException:
            if keeper is not None:
                keeper.stop()
            raise
        if old is not None and not self._occupied:
            old.saved()
            old.forget_assets()
            old.stop()
        self._keeper, self._occupied, self.read_only_reason = keeper, None, ""
        return file
