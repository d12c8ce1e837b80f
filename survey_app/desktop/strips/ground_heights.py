"""The ground: what its heights come from, and bringing in others from a file."""

from __future__ import annotations

import datetime
import math
from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QComboBox, QFileDialog, QFormLayout, QHBoxLayout, QLineEdit, QWidget

from survey_app.desktop import letters
from survey_app.desktop.desk import Desk
from survey_app.desktop.strips.columns import Columns, group
from survey_app.desktop.strips.words import head_label, sentence_label, word_button
from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.errors import SurveyError, UsageError
from survey_app.exchange.imported import ImportedRelief, ReliefWishes, Voids
from survey_app.exchange.relief_file import GRID_SUFFIXES, TABLE_SUFFIXES, import_relief
from survey_app.ground.relief.known import read_relief
from survey_app.site.edits import set_relief

__all__ = ["GroundHeightsPanel"]

_FLAT = "Assumed flat, at the height of the site datum: nobody has brought in heights."
_VOIDS: tuple[tuple[Voids, str], ...] = (
    ("refuse", "refuse the file"),
    ("fill", "fill from around them"),
    ("unknown", "leave unknown"),
)
_FIELDS = (
    ("datum", "heights count from", "as the file says"),
    ("positions", "positions in", "as the file says, EPSG:n or plan"),
    ("offset", "add to heights, m", "less the site datum's elevation"),
    ("sigma", "sigma, m", "not said"),
    ("source", "come from", "the file's name"),
    ("surveyed", "surveyed on", "YYYY-MM-DD"),
)


def _ask_file(parent: QWidget) -> Path | None:
    kinds = " ".join(f"*{suffix}" for suffix in (*GRID_SUFFIXES, *TABLE_SUFFIXES))
    path, _ = QFileDialog.getOpenFileName(parent, "Heights of the ground", "", f"Heights ({kinds})")
    return Path(path) if path else None


class GroundHeightsPanel(Columns):
    """Say what the ground is, bring in heights, take them away.

    Parameters
    ----------
    desk : Desk
        The open document.

    Attributes
    ----------
    ask_file : callable
        Asks a person for a file of heights: (parent) -> Path or None.
    """

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._file: Path | None = None
        self._shown: object = self
        self._for: tuple[object, object] = (None, None)
        """Document and plane for which a file is being read."""
        self._worker = Worker(self)
        self._worker.done.connect(self._read)
        self._worker.failed.connect(self._failed)
        self.ask_file: Callable[[QWidget], Path | None] = _ask_file
        self.setAccessibleName("Ground heights")
        self.now = sentence_label()
        self.remove_button = word_button("Assume flat", "Take the heights away: the ground is assumed flat")
        self.file_button = word_button("Choose a file …", "Choose a GeoTIFF, an ASCII grid or a table of heights")
        self.file_name = sentence_label("No file is chosen.", "soft")
        self.fields = {key: _line(words, hint) for key, words, hint in _FIELDS}
        self.voids = QComboBox()
        self.voids.setAccessibleName("Points without a height")
        self.voids.setFont(letters.font(letters.DATA_PX))
        for value, words in _VOIDS:
            self.voids.addItem(words, value)
        self.take_button = word_button("Bring in", "Bring in the heights of the file")
        self.stop_button = word_button("Call off", "Stop reading the file; the ground stays as it is")
        self.stop_button.hide()
        self.reason = sentence_label(part="reason")
        self.remarks = sentence_label(part="soft")
        self._lay_out()
        self.file_button.clicked.connect(self.choose)
        self.take_button.clicked.connect(self.bring_in)
        self.stop_button.clicked.connect(self.call_off)
        self.remove_button.clicked.connect(self.assume_flat)
        desk.site_changed.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        halves = []
        rows: list[tuple[str, QWidget]] = [(words, self.fields[key]) for key, words, _ in _FIELDS]
        rows.append(("without a height", self.voids))
        for part in (rows[:4], rows[4:]):
            half = QWidget()
            form = QFormLayout(half)
            form.setContentsMargins(0, 0, 0, 0)
            form.setVerticalSpacing(4)
            for words, field in part:
                form.addRow(sentence_label(words, "name"), field)
            halves.append(half)
        file_row, take_row = QHBoxLayout(), QHBoxLayout()
        file_row.addWidget(self.file_button)
        file_row.addStretch(1)
        take_row.addWidget(self.take_button)
        take_row.addWidget(self.stop_button)
        take_row.addStretch(1)
        remove_row = QHBoxLayout()
        remove_row.addWidget(self.remove_button)
        remove_row.addStretch(1)
        now = group(head_label("THE GROUND NOW"), self.now, remove_row)
        taken = group(head_label("BRING IN HEIGHTS"), file_row, self.file_name, take_row, self.reason, self.remarks)
        said = group(head_label("WHAT THE FILE DOES NOT SAY"), halves[0])
        more = group(head_label(""), halves[1])
        self.set_groups(((now, 3), (taken, 3), (said, 4), (more, 4)))

    def refresh(self) -> None:
        """Say what the ground is now."""
        relief = self._desk.site.design.relief
        if relief is self._shown:
            return
        self._shown = relief
        self.remove_button.setEnabled(relief is not None)
        if relief is None:
            self.now.setText(_FLAT)
            return
        ground = self._desk.placed.ground
        sigma = "" if math.isnan(ground.sigma_m) else f", sigma {ground.sigma_m:g} m"
        self.now.setText(f"{ground.words[:1].upper()}{ground.words[1:]}{sigma}.")

    def choose(self) -> None:
        """Ask for a file; it is brought in when what it does not say has been said."""
        found = self.ask_file(self)
        if found is not None:
            self._file = found
            self.file_name.setText(found.name)
            self.reason.setText("")
            self.take_button.setFocus()

    def bring_in(self) -> None:
        """Read the file on a thread of its own and give the site its heights, or say why not."""
        self.reason.setText("")
        self.remarks.setText("")
        try:
            if self._file is None:
                raise UsageError("no file of heights is chosen", remedy="choose one first")
            work = self._work(self._file, self._wishes())
        except SurveyError as error:
            self.reason.setText(error.sentence())
            return
        self._for = self._desk.document, self._desk.site.design.plane
        self._busy(f"Reading {self._file.name} …")
        self._worker.start(work)

    def _work(self, file: Path, wishes: ReliefWishes) -> Callable[[Progress], ImportedRelief]:
        """Return the reading of a file, with a copy of its grid among the assets and known to the ground."""
        site, document = self._desk.site, self._desk.document
        shelf, home = document.shelf, document.asset_home

        def work(progress: Progress) -> ImportedRelief:
            found = import_relief(file, site, wishes)
            # called off: nothing is left behind
            progress(1, 2)
            if found.data and home is not None:
                shelf.keep(found.data, ".tif")
                read_relief(set_relief(site, found.relief).after.design, home)
            return found

        return work

    def call_off(self) -> None:
        """Let go of a file that is being read; the ground stays as it is."""
        self._worker.call_off()
        self._busy("")
        self.remarks.setText("Called off: the ground is as it was.")

    def stop(self) -> None:
        """Let go of what is under way, and wait until its thread has ended."""
        self._worker.stop()

    def _busy(self, words: str) -> None:
        self.remarks.setText(words)
        self.take_button.setVisible(not words)
        self.stop_button.setVisible(bool(words))
        if words:
            self.stop_button.setFocus()

    def _read(self, _number: int, found: ImportedRelief) -> None:
        self._busy("")
        if self._for != (self._desk.document, self._desk.site.design.plane):
            self.reason.setText("The site's plane is another one now: bring the heights in again.")
            return
        if self._desk.perform(lambda site: set_relief(site, found.relief)):
            self.remarks.setText(" ".join(found.remarks))

    def _failed(self, _number: int, error: Exception) -> None:
        self._busy("")
        if not isinstance(error, SurveyError):
            raise error
        self.reason.setText(error.sentence())

    def assume_flat(self) -> None:
        """Take the heights away; a step back brings them again."""
        self._desk.perform(lambda site: set_relief(site, None))

    def _wishes(self) -> ReliefWishes:
        typed = {key: field.text().strip() for key, field in self.fields.items()}
        return ReliefWishes(
            reference=typed["positions"],
            vertical_datum=typed["datum"],
            offset_m=_figure(typed["offset"], "what is added to heights"),
            voids=self.voids.currentData(),
            sigma_m=_figure(typed["sigma"], "sigma"),
            source=typed["source"],
            dated=_day(typed["surveyed"]),
        )


def _line(words: str, hint: str) -> QLineEdit:
    field = QLineEdit()
    field.setAccessibleName(words)
    field.setPlaceholderText(hint)
    field.setFont(letters.font(letters.DATA_PX))
    return field


def _figure(text: str, what: str) -> float | None:
    if not text:
        return None
    try:
        value = float(text.replace(",", ".").replace("\N{MINUS SIGN}", "-"))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise UsageError(f"'{text}' is no figure for {what}", remedy="type metres")
    return value


def _day(text: str) -> datetime.date | None:
    if not text:
        return None
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise UsageError(f"'{text}' is no date", remedy="type it as 2026-11-30") from None
