"""What radios cover: how much at which rate, which mounts they serve, how much of where something moves."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLineEdit, QProgressBar, QStackedWidget, QWidget

from survey_app.desktop import letters
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.sheet_table import SheetTable
from survey_app.desktop.strips.columns import Columns, group
from survey_app.desktop.strips.coverage_rows import (
    area_columns,
    area_rows,
    mount_columns,
    mount_rows,
    rate_columns,
    rate_rows,
    together_words,
)
from survey_app.desktop.strips.words import head_label, sentence_label, word_button
from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.desktop.tools.preview import radio_rules
from survey_app.errors import SurveyError
from survey_app.site.radio import Radio
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.assess.coverage import Together

__all__ = ["CoveragePanel"]

_REST_MS = 200
_FOOT_M = 0.3048
_HIGHEST_M = 200.0
_MOST_UNASKED = 4
"""More radios than this are only worked out when somebody asks."""
_CHOOSE = "Select radios on the plan or in the register, or ask for every access point."


class RateTable(SheetTable):
    """Areas by rate: rows are of no thing; what is marked is outlined on the plan."""

    marked = Signal(int)
    """Number of the marked row; -1 = none."""

    def follow(self) -> None:
        """Rates are no things: the desk's selection says nothing of them."""

    def _select(self) -> None:
        rows = self.selectionModel().selectedRows()
        self.marked.emit(self.sorted.mapToSource(rows[-1]).row() if rows and not self._is_held else -1)


class CoveragePanel(Columns):
    """Coverage of the selected radios or of every access point, for far ends at a height.

    Up to four selected radios are worked out by themselves, more when asked; Esc calls the work off.

    Parameters
    ----------
    desk : Desk
        Site, assessment, selection.
    """

    outlined = Signal(object)
    """Where the marked rate is to be had (shapely geometry), or None."""
    height_wanted = Signal(object)
    """Height of far ends over the ground that was typed, or None: each radio's own. [m]"""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._known: tuple[Site, Together] | None = None
        self._asked: tuple[Site, tuple[str, ...], float | None] | None = None
        self._worker = Worker(self)
        self._worker.done.connect(self._take)
        self._worker.failed.connect(self._fail)
        self._worker.advanced.connect(self._advance)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_REST_MS)
        self._rest.timeout.connect(self._unasked)
        self.setAccessibleName("Coverage")
        self.far_height = QLineEdit()
        self.far_height.setAccessibleName("Height of the far ends over the ground")
        self.far_height.setFont(letters.font(letters.DATA_PX))
        self.selected_button = word_button("Selected", "Work out what the selected radios cover")
        self.every_button = word_button("Every access point", "Work out what all access points cover together")
        self.cancel_button = word_button("Cancel", "Call the work off")
        self.progress = QProgressBar()
        self.progress.setAccessibleName("How much is worked out")
        self.progress.setTextVisible(False)
        self.progress.setFixedHeight(8)
        self.reason = sentence_label(part="reason")
        self.words = sentence_label(_CHOOSE, "soft")
        self.rates = RateTable(desk, "areas by rate")
        self.mounts = SheetTable(desk, "mounts served")
        self.areas = SheetTable(desk, "areas in which something moves")
        self._chooser = QButtonGroup(self)
        self._chooser.setExclusive(True)
        self._tables = QStackedWidget()
        self._lay_out()
        self.selected_button.clicked.connect(self.work_out_selected)
        self.every_button.clicked.connect(self.work_out_every)
        self.cancel_button.clicked.connect(self.cancel)
        self.far_height.editingFinished.connect(self._height_typed)
        self.rates.marked.connect(self._outline)
        desk.selection_changed.connect(self._rest.start)
        desk.assessed.connect(self._rest.start)
        desk.site_changed.connect(self._settle)
        self._settle()

    def _lay_out(self) -> None:
        ask = QHBoxLayout()
        ask.setSpacing(4)
        for button in (self.selected_button, self.every_button):
            ask.addWidget(button)
        waiting = QHBoxLayout()
        waiting.addWidget(self.progress, 1)
        waiting.addWidget(self.cancel_button)
        high = QHBoxLayout()
        high.addWidget(sentence_label("far ends at", "name"))
        high.addWidget(self.far_height, 1)
        asked = group(head_label("COVERAGE OF"), ask, high, waiting, self.reason, self.words)
        asked.setMinimumWidth(230)
        words = QHBoxLayout()
        words.setSpacing(2)
        for number, (name, table) in enumerate(
            (("area by rate", self.rates), ("mounts", self.mounts), ("where something moves", self.areas))
        ):
            button = word_button(name, f"show {name}", checkable=True)
            button.setChecked(number == 0)
            self._chooser.addButton(button, number)
            words.addWidget(button)
            self._tables.addWidget(table)
        words.addStretch(1)
        self._chooser.idClicked.connect(self._tables.setCurrentIndex)
        self.set_groups(((asked, 2), (group(words, self._tables, stretch=1), 7)))

    # -- what is asked

    @property
    def is_busy(self) -> bool:
        """Whether coverage is being worked out, or will be."""
        return self._asked is not None or (self.isVisible() and self._rest.isActive())

    @property
    def found(self) -> Together | None:
        """What is shown; None = nothing yet."""
        return self._known[1] if self._known is not None else None

    def _selected(self) -> tuple[str, ...]:
        things = self._desk.things
        return tuple(one for one in self._desk.selection if isinstance(things.get(one), Radio))

    def _hubs(self) -> tuple[str, ...]:
        return tuple(
            one.id
            for one in self._desk.site.design.radios
            if one.role == "access_point" and one.status not in ("removed", "later")
        )

    def work_out_selected(self) -> None:
        """Work out what the selected radios cover together."""
        self._ask(self._selected())

    def work_out_every(self) -> None:
        """Work out what all access points cover together."""
        self._ask(self._hubs())

    def cancel(self) -> None:
        """Call off what is being worked out."""
        self._worker.call_off()
        self._asked = None
        self._rest.stop()
        self._settle()
        self._say("Called off.")

    def show_table(self, number: int) -> None:
        """Show areas by rate (0), mounts (1) or areas in which something moves (2)."""
        self._chooser.button(number).setChecked(True)
        self._tables.setCurrentIndex(number)

    def stop(self) -> None:
        """End the work and wait for it: the window closes."""
        self._rest.stop()
        self._asked = None
        self._worker.stop()

    def _unasked(self) -> None:
        """Follow the selection, and an edit, while few radios are meant and somebody looks."""
        if not self.isVisible() or not self._desk.is_fresh:
            return
        chosen = self._selected()
        known = self._known
        if not chosen and known is not None and known[0] is not self._desk.site:
            chosen = tuple(one for one in known[1].radios if one in self._desk.things)
        if not 0 < len(chosen) <= _MOST_UNASKED:
            return
        present = (self._desk.site, chosen, self._over_ground_m())
        if self._asked != present and not self._is_known(chosen):
            self._ask(chosen)

    def _is_known(self, radios: tuple[str, ...]) -> bool:
        return self._known is not None and self._known[0] is self._desk.site and self._known[1].radios == radios

    def _ask(self, radios: tuple[str, ...]) -> None:
        self._say("")
        if not radios:
            self._say(_CHOOSE)
            return
        try:
            over_ground_m = self._height_m()
        except ValueError as error:
            self._say(str(error))
            return
        site = self._desk.site
        self._asked = (site, radios, over_ground_m)

        def work(progress: Progress) -> object:
            from survey_app.assess.coverage import covered_together

            return site, covered_together(
                site, radios, over_ground_m=over_ground_m, regions=radio_rules(), progress=progress
            )

        self.progress.setRange(0, len(radios))
        self.progress.setValue(0)
        self._worker.start(work)
        self._settle()

    def _height_m(self) -> float | None:
        """Return the height that was typed. [m]

        Raises
        ------
        ValueError
            It is no height, in a sentence.
        """
        text = self.far_height.text().strip().replace(",", ".")
        if not text:
            return None
        unit, unit_m = self._unit()
        try:
            value_m = float(text) * unit_m
        except ValueError:
            value_m = math.nan
        if not 0.0 <= value_m <= _HIGHEST_M:
            raise ValueError(f"'{text}' is no height over the ground: type {unit}, 0 to {_HIGHEST_M / unit_m:.0f}.")
        return value_m

    def _over_ground_m(self) -> float | None:
        try:
            return self._height_m()
        except ValueError:
            return None

    def _unit(self) -> tuple[str, float]:
        return ("ft", _FOOT_M) if self._feet() else ("m", 1.0)

    def _feet(self) -> bool:
        return self._desk.site.design.units == "feet"

    def _height_typed(self) -> None:
        """Work out again what is shown, for the height that was typed."""
        if not self.far_height.isModified():
            return
        self.far_height.setModified(False)
        self._say("")
        try:
            self.height_wanted.emit(self._height_m())
        except ValueError as error:
            self._say(str(error))
            return
        radios = self._asked[1] if self._asked is not None else self.found.radios if self.found else self._selected()
        if radios:
            self._ask(tuple(radios))

    # -- what came

    def _advance(self, _number: int, so_far: int, _whole: int) -> None:
        self.progress.setValue(so_far)

    def _take(self, _number: int, made: object) -> None:
        self._asked = None
        assert isinstance(made, tuple)
        site, found = made
        if site is self._desk.site:
            self._known = (site, found)
            self._fill()
        self._settle()
        if site is not self._desk.site:
            self._rest.start()

    def _fail(self, _number: int, error: Exception) -> None:
        self._asked = None
        self._settle()
        if not isinstance(error, SurveyError):
            raise error
        self._say(error.sentence())

    def _fill(self) -> None:
        assert self._known is not None
        found, feet = self._known[1], self._feet()
        assessment = self._desk.assessment
        areas = assessment.areas if assessment is not None else ()
        self.rates.put(rate_columns(feet=feet), rate_rows(found, feet=feet))
        self.mounts.put(mount_columns(feet=feet), mount_rows(found, feet=feet))
        self.areas.put(area_columns(feet=feet), area_rows(found, areas, self._desk.things, feet=feet))
        self.words.setText(together_words(found, feet=feet))
        self.words.setToolTip(self.words.text())
        self._outline(-1)

    def _settle(self) -> None:
        """Show what can be asked now, and whether what is shown is still true."""
        busy = self._asked is not None
        unit, _ = self._unit()
        self.far_height.setPlaceholderText(f"their own height, {unit}")
        for part in (self.progress, self.cancel_button):
            part.setVisible(busy)
        true = self._known is None or self._known[0] is self._desk.site
        for table in (self.rates, self.mounts, self.areas):
            table.table.say_fresh(true)
        if not true:
            self.outlined.emit(None)

    def _say(self, sentence: str) -> None:
        self.reason.setText(sentence)

    def _outline(self, number: int) -> None:
        found, site = self.found, self._known[0] if self._known is not None else None
        if found is None or not 0 <= number < len(found.rates) or site is not self._desk.site:
            self.outlined.emit(None)
        else:
            self.outlined.emit(found.rates[number].seen)

    # -- events

    def showEvent(self, event: QShowEvent) -> None:
        """Work out what few selected radios cover."""
        super().showEvent(event)
        self._rest.start()

    def hideEvent(self, event: QHideEvent) -> None:
        """Take the outline off the plan."""
        super().hideEvent(event)
        self.outlined.emit(None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc calls the work off."""
        if event.key() == Qt.Key.Key_Escape and self._asked is not None:
            self.cancel()
        else:
            super().keyPressEvent(event)
