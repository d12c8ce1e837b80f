"""The alternatives of a job: which there are, one more of them, and what differs, in words."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QWidget,
)

from survey_app.assess.difference import Difference, difference
from survey_app.assess.pipeline import assess
from survey_app.desktop import letters
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.scale import scale_of
from survey_app.desktop.strips.columns import Columns, group
from survey_app.desktop.strips.side_by_side import SideBySide
from survey_app.desktop.strips.words import head_label, sentence_label, word_button
from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.errors import SurveyError
from survey_app.ground.relief.opening import open_site
from survey_app.session.alternatives import alternatives
from survey_app.site.file import site_file
from survey_app.site.site import Site
from survey_app.spectrum.regions import load_regions
from survey_app.spectrum.user_folder import user_regions_folder

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment

__all__ = ["AlternativesPanel", "difference_words"]

_UNSAVED = "The site was never saved: it has no alternatives yet."
_CHOSEN = "the chosen design"
_PATH = Qt.ItemDataRole.UserRole


def _assess(site: Site) -> Assessment:
    return assess(site, load_regions(user_regions_folder()))


def difference_words(found: Difference) -> tuple[str, ...]:
    """Return a difference in sentences: what came and went first, then what got worse and what was cured."""
    told = []
    if found.added:
        told.append(f"Added: {', '.join(found.added)}.")
    if found.removed:
        told.append(f"Removed: {', '.join(found.removed)}.")
    return (*told, *found.sentences) or ("Nothing differs in what is assessed.",)


class AlternativesPanel(Columns):
    """The job's chosen design and its alternatives.

    Parameters
    ----------
    desk : Desk
        The open document.
    assess : callable or None
        Site -> Assessment, called off the window's thread; None = with the program's and the user's radio rules.
    """

    opened = Signal(object)
    """Path of a site to open."""

    def __init__(
        self, desk: Desk, assess: Callable[[Site], Assessment] | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._desk = desk
        self._assess = assess or _assess
        self._shown: Path | None = None
        self._is_comparing = False
        self._worker = Worker(self)
        self._worker.done.connect(self._compared)
        self._worker.failed.connect(self._failed)
        self.setAccessibleName("Alternatives")
        self.list = QListWidget()
        self.list.setAccessibleName("Designs of this job")
        self.list.setFont(letters.font(letters.DATA_PX))
        self.list.setMinimumHeight(40)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.open_button = word_button("Open", "Open this design")
        self.compare_button = word_button("Compare", "Say what differs from the open design")
        self.name = QLineEdit()
        self.name.setAccessibleName("Name of a new alternative")
        self.name.setPlaceholderText("name of a new alternative")
        self.name.setFont(letters.font(letters.DATA_PX))
        self.duplicate_button = word_button("Duplicate", "Duplicate the open design as an alternative")
        self.reason = sentence_label(part="reason")
        self.words = QPlainTextEdit()
        self.words.setReadOnly(True)
        self.words.setAccessibleName("What differs")
        self.words.setFont(letters.font(letters.NAME_PX))
        self.words.setTabChangesFocus(True)
        self.words.setMinimumHeight(40)
        self.side_button = word_button("Side by side", "Lay all designs of this job side by side")
        self.side = SideBySide(desk, self._assess)
        self._lay_out()
        self.side_button.clicked.connect(self.lay_side_by_side)
        self.side.left.connect(self._show_designs)
        self.side.left.connect(self.side_button.setFocus)
        self.open_button.clicked.connect(self._open)
        self.list.itemActivated.connect(lambda _item: self._open())
        self.list.currentRowChanged.connect(lambda _row: self._settle())
        self.compare_button.clicked.connect(self.compare)
        self.duplicate_button.clicked.connect(self._duplicate)
        self.name.returnPressed.connect(self._duplicate)
        desk.document_changed.connect(self._follow)
        self.refresh()

    def _lay_out(self) -> None:
        self.list.setMinimumWidth(200)
        choice = group(head_label("DESIGNS OF THIS JOB"), self.list, self.side_button, stretch=1)
        buttons = QHBoxLayout()
        buttons.addWidget(self.open_button)
        buttons.addWidget(self.compare_button)
        acts = group(
            head_label("THE MARKED ONE"),
            buttons,
            head_label("THE OPEN ONE ONCE MORE"),
            self.name,
            self.duplicate_button,
            self.reason,
        )
        differs = group(head_label("WHAT DIFFERS"), self.words, stretch=1)
        self._designs = (choice, acts, differs)
        self.side.hide()
        self.set_groups(((choice, 2), (acts, 2), (differs, 5), (self.side, 1)))

    def _show_designs(self) -> None:
        self.side.hide()
        for one in self._designs:
            one.show()

    # -- what there is

    def refresh(self) -> None:
        """Read again which designs lie in the site's folder."""
        document = self._desk.document
        folder, present = document.folder, document.path
        self._shown = present
        kept = self._chosen()
        with QSignalBlocker(self.list):
            self.list.clear()
            if folder is not None:
                self._add(_CHOSEN, site_file(folder), present)
                for one in alternatives(folder):
                    self._add(one.name, one.path, present)
            rows = [self.list.item(n).data(_PATH) for n in range(self.list.count())]
            self.list.setCurrentRow(rows.index(kept) if kept in rows else 0)
        self._say("" if folder is not None else _UNSAVED)
        self._settle()

    def _follow(self) -> None:
        """Read the folder again when another file is open; it is not read at every edit."""
        if self._desk.document.path != self._shown:
            self.side.forget()
            self._show_designs()
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Show what lies in the folder now."""
        super().showEvent(event)
        self.refresh()

    def _add(self, name: str, path: Path, present: Path | None) -> None:
        is_open = present is not None and path.resolve() == present.resolve()
        item = QListWidgetItem(f"{name}, open now" if is_open else name)
        item.setData(_PATH, path)
        item.setFont(letters.font(letters.DATA_PX * scale_of(self.list), bold=is_open))
        self.list.addItem(item)

    def _chosen(self) -> Path | None:
        item = self.list.currentItem()
        return item.data(_PATH) if item is not None else None

    def _is_other(self) -> bool:
        chosen, present = self._chosen(), self._desk.document.path
        return chosen is not None and (present is None or chosen.resolve() != present.resolve())

    def _settle(self) -> None:
        self.open_button.setEnabled(self._is_other())
        self.compare_button.setEnabled(self._is_other())
        self.duplicate_button.setEnabled(self._desk.document.folder is not None)

    def _say(self, sentence: str) -> None:
        self.reason.setText(sentence)

    # -- what is done

    def _open(self) -> None:
        if self._is_other():
            self.opened.emit(self._chosen())

    def _duplicate(self) -> None:
        try:
            path = self._desk.document.duplicate_as_alternative(self.name.text())
        except SurveyError as error:
            self._say(error.sentence())
            self.name.setFocus()
            return
        self.name.clear()
        self.refresh()
        self._desk.say(f"The open design was duplicated as {path.stem}.")
        self.opened.emit(path)

    def compare(self) -> None:
        """Say what differs from the selected design to the open one; while that is worked out, call it off."""
        if self._is_comparing:
            self._worker.call_off()
            self._end("Called off.")
            return
        path = self._chosen()
        if path is None or not self._is_other():
            return
        site, fresh = self._desk.site, self._desk.assessment if self._desk.is_fresh else None
        reckon = self._assess
        title = f"From {self._name_of(path)} to the open design:"

        def work(progress: Progress) -> object:
            before = reckon(open_site(path))
            progress(1, 2)
            return title, difference(before, fresh if fresh is not None else reckon(site))

        self._is_comparing = True
        self.compare_button.setText("Cancel")
        self.words.setPlainText("Comparing …")
        self._worker.start(work)

    def lay_side_by_side(self) -> None:
        """Show the figures of all designs, the open one first, in place of the list."""
        self.refresh()
        present = self._desk.document.path
        designs: dict[str, Path | None] = {"the open design" if present is None else self._name_of(present): None}
        for number in range(self.list.count()):
            path = self.list.item(number).data(_PATH)
            if present is None or path.resolve() != present.resolve():
                designs[self._name_of(path)] = path
        for one in self._designs:
            one.hide()
        self.side.show()
        self.side.back_button.setFocus()
        self.side.lay(designs)

    def _end(self, words: str) -> None:
        self._is_comparing = False
        self.compare_button.setText("Compare")
        self.words.setPlainText(words)

    def _name_of(self, path: Path) -> str:
        folder = self._desk.document.folder
        return _CHOSEN if folder is not None and path == site_file(folder) else path.stem

    def _compared(self, _number: int, made: tuple[str, Difference]) -> None:
        title, found = made
        self._end("\n\n".join((title, *difference_words(found))))

    def _failed(self, _number: int, error: Exception) -> None:
        self._end("")
        if not isinstance(error, SurveyError):
            raise error
        self._say(error.sentence())

    def stop(self) -> None:
        """Call the comparisons off and leave no thread behind."""
        self._worker.stop()
        self.side.stop()
