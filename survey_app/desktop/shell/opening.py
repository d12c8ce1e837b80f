"""Opening, saving and leaving a document: every way in and out, and nothing lost on any of them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from survey_app.errors import SurveyError
from survey_app.session.document import Document
from survey_app.session.recent import remember_site
from survey_app.session.saving import ChangedBehindError
from survey_app.session.slug import slug
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.desktop.shell.window import Window

__all__ = ["Opening"]


class Opening:
    """The ways in and out of the window's document.

    Parameters
    ----------
    window : Window
        The window.
    """

    def __init__(self, window: Window) -> None:
        self._window = window

    @property
    def _document(self) -> Document:
        return self._window.desk.document

    def _told(self, act: Callable[[], object]) -> bool:
        """Do something; a refusal is said."""
        try:
            act()
        except SurveyError as error:
            self._window.desk.say(error.sentence())
            return False
        return True

    # -- in

    def open(self, path: Path) -> bool:
        """Open a site in place of the present one; the present one stays where that cannot be done."""
        if self._document.lies_at(path):
            self._window.show_page(self._window.canvas)
            self._window.desk.say("That site is open here already.")
            return True
        if not self.may_leave():
            return False
        return self._told(lambda: self._put(opened(path)))

    def ask_and_open(self) -> None:
        """Ask for a site and open it."""
        path = self._window.choosers.site_to_open(self._window.preferences.last_folder)
        if path is not None:
            self.open(path)

    def begin(self, site: Site) -> bool:
        """Begin a new site in place of the present one."""
        if not self.may_leave():
            return False
        return self._told(lambda: self._put(Document.new(site)))

    def put(self, document: Document) -> None:
        """Lay an opened document on the desk in place of the present one."""
        if self.may_leave():
            self._put(document)
        else:
            document.close()

    def _put(self, document: Document) -> None:
        self._document.close()
        self._window.put_document(document)
        self._remember()
        self.ask_what_waits()

    def _remember(self) -> None:
        document = self._document
        if document.path is not None:
            self._window.preferences.last_folder = str(document.folder)
            remember_site(document.path, document.site.design.name)

    def ask_what_waits(self) -> None:
        """Ask about unsaved work that was found, or say who has the site open."""
        document, notice = self._document, self._window.notice
        notice.clear()
        if document.offer is not None:
            notice.ask(
                document.offer.sentence,
                (("Recover it", self._recover), ("Set it aside", lambda: self._told(document.set_offer_aside))),
            )
        elif document.is_read_only:
            sentence = document.read_only_reason
            notice.ask(
                f"{sentence[:1].upper()}{sentence[1:]}; here it can only be read.",
                (("Take it over", self._take_over), ("Read it", lambda: None)),
            )
        elif document.remarks:
            self._window.desk.say(document.remarks[0])

    def _recover(self) -> None:
        if self._told(self._document.take_offer):
            self._window.desk.refresh()

    def _take_over(self) -> None:
        if self._told(self._document.take_over):
            self._window.desk.refresh()
        self.ask_what_waits()

    # -- out

    def save(self) -> bool:
        """Save the document; ask for a folder where it has none."""
        if self._document.path is None:
            return self.save_as()
        try:
            self._document.save()
        except ChangedBehindError as error:
            self._window.notice.ask(
                error.sentence(), (("Save beside it", self._save_beside), ("Open what is there", self._reload))
            )
            return False
        except SurveyError as error:
            self._window.desk.say(error.sentence())
            return False
        self._saved()
        return True

    def save_as(self) -> bool:
        """Ask for a folder and save there."""
        last = self._window.preferences.last_folder
        # beside the site that was open last, not inside it
        beside = str(Path(last).parent) if last else ""
        folder = self._window.choosers.folder_to_save(beside, slug(self._document.site.design.name))
        if folder is None or not self._told(lambda: self._document.save(folder)):
            return False
        self._saved()
        return True

    def _save_beside(self) -> None:
        if self._told(self._document.save_beside):
            self._saved()

    def _reload(self) -> None:
        if self._told(self._document.reload):
            self._window.desk.refresh()
            for remark in self._document.remarks[-1:]:
                self._window.desk.say(remark)

    def _saved(self) -> None:
        self._remember()
        self._window.desk.document_changed.emit()
        self._window.desk.say(f"Saved in {self._document.path}.")

    def duplicate_as_alternative(self, name: str) -> bool:
        """Write the site as an alternative of the job and open that."""
        made: list[Path] = []
        if not self._told(lambda: made.append(self._document.duplicate_as_alternative(name))):
            return False
        return self.open(made[0])

    def may_leave(self) -> bool:
        """Whether the present document may be left: it is saved, or the person says so."""
        document = self._document
        if not document.needs_saving or document.is_read_only:
            return True
        answer = self._window.choosers.unsaved(document.site.design.name)
        if answer == "save":
            return self.save()
        return answer == "discard"


def opened(path: Path) -> Document:
    """Open a site."""
    return Document.open(path)
