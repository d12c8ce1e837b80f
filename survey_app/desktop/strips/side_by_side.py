"""All designs of a job side by side: assessed off the window's thread, copied as text, saved as PDF."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from survey_app.assess.comparison import compare
from survey_app.assess.record import Comparison
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.sheet_table import Foot
from survey_app.desktop.strips.figure_table import FigureTable
from survey_app.desktop.strips.pdf_file import ask_pdf_file, pdf_name
from survey_app.desktop.strips.words import head_label, word_button
from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.errors import SurveyError
from survey_app.ground.relief.opening import open_site
from survey_app.paper.comparison import comparison_pdf
from survey_app.site.atomic import write_atomically

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment
    from survey_app.site.site import Site

__all__ = ["SideBySide"]

_ALONE = "There is no other design to lay beside this one: duplicate it first."
_OLD = "The open design has changed since: lay them side by side once more."
_BACK = "Back to the designs of this job"
_BOLD = "Bold: none is better."


class SideBySide(QWidget):
    """The figures of all designs of a job.

    Parameters
    ----------
    desk : Desk
        The open document; its design stands first, as it is now.
    assess : callable
        Site -> Assessment, called off the window's thread.

    Attributes
    ----------
    ask_file : callable
        Asks a person where to save: (parent, suggested) -> Path or None.
    """

    left = Signal()
    """A person wants the designs of the job back."""

    def __init__(self, desk: Desk, assess: Callable[[Site], Assessment], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._assess = desk, assess
        self._found: tuple[Site, Comparison] | None = None
        self._names: tuple[str, ...] = ()
        self._is_busy = False
        self._worker = Worker(self)
        self._worker.advanced.connect(self._advance)
        self._worker.done.connect(self._take)
        self._worker.failed.connect(self._fail)
        self.ask_file: Callable[[QWidget, str], Path | None] = ask_pdf_file
        self.table = FigureTable("Designs side by side")
        self.foot = Foot()
        self.back_button = word_button("Back", _BACK)
        self.copy_button = word_button("Copy", "Copy the figures as text")
        self.save_button = word_button("Save as PDF…", "Save the comparison as PDF")
        head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(head_label("SIDE BY SIDE"))
        head.addWidget(self.foot, 1)
        head.addWidget(self.copy_button)
        head.addWidget(self.save_button)
        head.addWidget(self.back_button)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(4)
        box.addLayout(head)
        box.addWidget(self.table, 1)
        self.copy_button.clicked.connect(self._copy)
        self.save_button.clicked.connect(self.save)
        self.back_button.clicked.connect(self._back)
        desk.site_changed.connect(self._settle)
        self._settle()

    @property
    def is_busy(self) -> bool:
        """Whether designs are being assessed, or pages set."""
        return self._is_busy

    def lay(self, designs: Mapping[str, Path | None]) -> None:
        """Assess designs and show their figures.

        Parameters
        ----------
        designs : mapping of str to Path or None
            Files by the name of their column; None = the design that is open, as it is now.
        """
        if len(designs) < 2:
            self._end(_ALONE)
            return
        site, fresh, reckon = self._desk.site, self._desk.assessment if self._desk.is_fresh else None, self._assess

        def work(progress: Progress) -> object:
            opened: dict[str, tuple[Site, Assessment]] = {}
            for number, (name, path) in enumerate(designs.items()):
                progress(number, len(designs))
                one = site if path is None else open_site(path)
                opened[name] = (one, fresh if path is None and fresh is not None else reckon(one))
            progress(len(designs), len(designs))
            return site, compare(opened)

        self._names = tuple(designs)
        self._begin("Assessing …")
        self._worker.start(work)

    def call_off(self) -> None:
        """Call off what is under way."""
        self._worker.call_off()
        self._end("Called off.")

    def stop(self) -> None:
        """Call everything off and leave no thread behind."""
        self._worker.stop()

    def forget(self) -> None:
        """Show nothing: another document is open."""
        self._worker.call_off()
        self._found = None
        self.table.setRowCount(0)
        self.table.setColumnCount(0)
        self._end("")

    # -- how it goes

    def _begin(self, words: str) -> None:
        self._is_busy = True
        self.foot.say(words)
        self._settle()

    def _advance(self, _number: int, so_far: int, whole: int) -> None:
        if self._is_busy and so_far < whole == len(self._names):
            self.foot.say(f"Assessing {self._names[so_far]}, {so_far + 1} of {whole} …")

    def _take(self, _number: int, made: object) -> None:
        if isinstance(made, Path):
            self._end(f"Saved as {made}.")
            return
        assert isinstance(made, tuple)
        self._found = made
        self.table.put(made[1])
        self._end(_BOLD)

    def _fail(self, _number: int, error: Exception) -> None:
        if not isinstance(error, SurveyError):
            self._end("")
            raise error
        self._end(error.sentence())

    def _end(self, words: str) -> None:
        self._is_busy = False
        self.foot.say(words)
        self._settle()

    def _back(self) -> None:
        if self._is_busy:
            self.call_off()
        else:
            self.left.emit()

    def _settle(self) -> None:
        has = self._found is not None
        self.back_button.setText("Cancel" if self._is_busy else "Back")
        self.back_button.setAccessibleName("Call it off" if self._is_busy else _BACK)
        self.copy_button.setEnabled(has)
        self.save_button.setEnabled(has and not self._is_busy)
        fresh = self._found is None or self._found[0] is self._desk.site
        self.table.say_fresh(fresh)
        if not self._is_busy and has and (not fresh or self.foot.words == _OLD):
            self.foot.say(_BOLD if fresh else _OLD)

    # -- what goes out

    def _copy(self) -> None:
        self.table.copy()
        self._desk.say("The figures are on the clipboard as text.")

    def save(self) -> None:
        """Save the comparison as a PDF where a person says."""
        if self._found is None or self._is_busy:
            return
        site, found = self._found
        path = self.ask_file(self, pdf_name(site.design, "comparison", self._desk.document.folder))
        if path is None:
            return

        def work(progress: Progress) -> object:
            data = comparison_pdf(site, found, site.design.paper)
            progress(1, 1)  # nothing is written once it is called off
            write_atomically(path, data)
            return path

        self._names = ()
        self._begin("Setting the pages …")
        self._worker.start(work)
