"""The document in hand: where it lies, what it is now, what was saved; the one door for edits."""

from __future__ import annotations

from pathlib import Path

from survey_app.session.history import History
from survey_app.site.edits.edit import Edit
from survey_app.site.file import read_site, site_file, site_folder, write_site
from survey_app.site.site import Site

__all__ = ["Document"]


class Document:
    """One open site.

    Parameters
    ----------
    site : Site
        The document.
    path : Path or None
        Its file; None = it was never saved.
    """

    def __init__(self, site: Site, path: Path | None = None) -> None:
        self._history = History(site)
        self.path = path
        self.read_only_reason = ""

    @classmethod
    def open(cls, path: Path | str) -> Document:
        """Open a site's folder, its site.json or one of its alternatives."""
        return cls(read_site(path), site_file(path))

    @property
    def site(self) -> Site:
        """The site as it is now."""
        return self._history.current

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

    def apply(self, edit: Edit) -> Site:
        """Apply an edit: the only door."""
        return self._history.apply(edit)

    def undo(self) -> Site:
        """Take the last step back."""
        return self._history.undo()

    def redo(self) -> Site:
        """Do again what was undone last."""
        return self._history.redo()

    def save(self, path: Path | str | None = None) -> Path:
        """Write the site to its file, or to another."""
        file = site_file(path) if path is not None else self.path
        assert file is not None
        site = self.site
        write_site(site, file)
        self.path = file
        self._history.mark_saved(site)
        return file
