"""What a document is and holds: its value with the history, the one door for edits, its place and its pictures."""

from __future__ import annotations

from pathlib import Path

from survey_app.assess.memo import Memo
from survey_app.errors import UsageError
from survey_app.ground.relief.known import read_relief
from survey_app.session.alternatives import alternative_file
from survey_app.session.assets import Shelf
from survey_app.session.history import History
from survey_app.session.keeper import Keeper
from survey_app.session.saving import SavedFile, digest_of
from survey_app.session.snapshot import Snapshot
from survey_app.session.state_folder import StateFolder
from survey_app.site.edits.edit import Edit
from survey_app.site.file import site_folder, write_site
from survey_app.site.site import Site

__all__ = ["EditedSite"]


class EditedSite:
    """A site in hand with its history, its file and its pictures; `Document` adds opening, keeping and saving.

    Parameters
    ----------
    site : Site
        The site.
    path : Path or None
        Its file; None = it was never saved.
    keeper : Keeper or None
        Keeps unsaved work; None = nothing is kept.

    Attributes
    ----------
    read_only_reason : str
        Why edits are refused, as one clause; empty where they are not.
    memo : Memo
        What assessments of this document know already; one assessment at a time may use it.
    """

    def __init__(self, site: Site, path: Path | None = None, *, keeper: Keeper | None = None) -> None:
        self.read_only_reason = ""
        self.memo = Memo()
        self._keeper = keeper
        self._state = StateFolder() if keeper is None else keeper.state
        self._is_closed = False
        self._serial = 0
        self._step = 0
        self._begin(site, None if path is None else SavedFile(path, digest_of(path), site))

    def _begin(self, site: Site, saved: SavedFile | None) -> None:
        self._history = History(site)
        self._saved = saved
        self._worth_saving = False
        self._step += 1
        self._label = ""
        self._look()

    # -- what it is

    @property
    def site(self) -> Site:
        """The site as it is now."""
        return self._history.current

    @property
    def step(self) -> int:
        """A number that changes with every new value of the site."""
        return self._step

    @property
    def path(self) -> Path | None:
        """Its file; None = never saved."""
        return None if self._saved is None else self._saved.path

    @property
    def folder(self) -> Path | None:
        """The site's folder, from which the paths inside count; None = never saved."""
        return None if self.path is None else site_folder(self.path)

    @property
    def history(self) -> History:
        """The one history."""
        return self._history

    @property
    def is_saved(self) -> bool:
        """Whether the file holds the site as it is now."""
        return self.path is not None and self._history.is_saved

    @property
    def needs_saving(self) -> bool:
        """Whether closing would lose work: unlike an empty document, to which nothing was done yet."""
        return self._snapshot.is_unsaved

    @property
    def is_read_only(self) -> bool:
        """Whether edits are refused."""
        return bool(self.read_only_reason)

    @property
    def trouble(self) -> str:
        """One sentence on why unsaved work cannot be kept; empty while it can."""
        return "" if self._keeper is None else self._keeper.trouble

    @property
    def remarks(self) -> tuple[str, ...]:
        """Sentences on what was found at opening and moved aside."""
        return () if self._keeper is None else tuple(self._keeper.remarks)

    # -- edits

    def apply(self, edit: Edit) -> Site:
        """Apply an edit: the only door.

        Raises
        ------
        UsageError
            The document is read-only, or the edit was made from an older design.
        """
        self._check_open()
        before = self.site
        site = self._history.apply(edit)
        return self._stepped(before, site, edit.label)

    def undo(self) -> Site:
        """Take the last step back."""
        self._check_open()
        before, label = self.site, self._history.undo_label
        return self._stepped(before, self._history.undo(), f"Undo: {label}")

    def redo(self) -> Site:
        """Do again what was undone last."""
        self._check_open()
        before, label = self.site, self._history.redo_label
        return self._stepped(before, self._history.redo(), label or "")

    def _check_not_closed(self) -> None:
        if self._is_closed:
            raise UsageError("the document is closed")

    def _check_open(self) -> None:
        self._check_not_closed()
        if self.read_only_reason:
            raise UsageError(self.read_only_reason, remedy="close it there, or save this one as another site")

    def _stepped(self, before: Site, site: Site, label: str) -> Site:
        if site is not before:
            self._step += 1
            self._label = label
            self._worth_saving = True
            self._look()
        return site

    def _look(self) -> None:
        """Note the present value; in one assignment, so that another thread sees all of it or none."""
        self._serial += 1
        if self.site.design.relief is not None and self.asset_home is not None:
            # also an undo can bring a relief back; one that is known costs nothing
            read_relief(self.site.design, self.asset_home)
        unsaved = self._worth_saving and not self.is_saved
        self._snapshot = Snapshot(self._serial, self.site, self._label, unsaved)

    # -- what belongs to it

    @property
    def asset_home(self) -> Path | None:
        """The folder whose `assets/` holds its pictures: the site's own; in the state folder until it is saved."""
        if self.path is not None:
            return self.folder
        return None if self._keeper is None else self._state.unsaved(self._keeper.key)

    @property
    def shelf(self) -> Shelf:
        """Its pictures.

        Raises
        ------
        UsageError
            It has no place for any.
        """
        home = self.asset_home
        if home is None:
            raise UsageError("the site has no folder for pictures yet", remedy="save it first")
        return Shelf(home, self._state.trash)

    def copy_asset(self, path: Path | str) -> str:
        """Copy a picture into the site's assets under a name made from its content.

        Returns
        -------
        str
            The name as the site has it.
        """
        self._check_open()
        return self.shelf.copy(Path(path))

    def unused_assets(self) -> tuple[str, ...]:
        """Return the assets that nothing uses: no site of the folder and no step of the history."""
        return self.shelf.unused(self.site, self._history, self.path)

    def tidy(self) -> tuple[str, ...]:
        """Move the assets that nothing uses to the trash in the state folder.

        Returns
        -------
        tuple of str
            What was moved.
        """
        self._check_open()
        if not self.is_saved:
            raise UsageError("the site has changes that are not saved", remedy="save it, then tidy")
        return self.shelf.tidy(self.site, self._history, self.path)

    def duplicate_as_alternative(self, name: str) -> Path:
        """Write the present site as an alternative of the same job.

        Parameters
        ----------
        name : str
            What people call it; its file gets a name made from that.

        Returns
        -------
        Path
            The file, which `Document.open` opens.

        Raises
        ------
        UsageError
            The site was never saved, or the name is none that a file can have or is taken.
        OutputError
            It cannot be written.
        """
        if self.folder is None:
            raise UsageError("the site has no folder yet", remedy="save it first")
        file = alternative_file(self.folder, name)
        write_site(self.site, file)
        return file
