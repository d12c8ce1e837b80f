"""A channel plan: searched off the window's thread, shown before anything changes, applied as one step."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QSpinBox, QWidget

from survey_app.desktop import letters
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.sheet_table import Cell, Column, Foot, Row, SheetTable
from survey_app.desktop.panels.values import true_minus
from survey_app.desktop.strips.columns import group
from survey_app.desktop.strips.words import sentence_label, word_button
from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.errors import SurveyError
from survey_app.paper.rounding import number

if TYPE_CHECKING:
    from survey_app.propose.channels import CellPlan, ChannelPlan, Patience, Proposal
    from survey_app.site.site import Site

__all__ = ["ChannelPlanPage", "plan_rows", "plan_words"]

_USUAL_S, _MOST_S = 30, 3600
_FIRST = "Searches channels and widths for all cells; the site stays as it is until the plan is applied."
_OLD = "The site has changed since: search again."
_READ_ONLY = "The site can only be read here."
_COLUMNS = (
    Column("cell", strong=True),
    Column("now"),
    Column("proposed", strong=True),
    Column("worst margin\nnow dB", figures=True),
    Column("then\ndB", figures=True),
    Column("carries\nnow Mbit/s", figures=True),
    Column("then\nMbit/s", figures=True),
    Column("spare after\nradar", figures=True),
    Column("why"),
)


def plan_rows(plan: ChannelPlan) -> tuple[Row, ...]:
    """Return one row a cell, those that change first, then by proposed channel."""
    ordered = sorted(plan.cells, key=lambda row: (not row.changed, row.channel, row.cell))
    return tuple(_row(row) for row in ordered)


def _row(row: CellPlan) -> Row:
    now = "none" if row.channel_before is None else f"{row.channel_before} / {row.width_before_mhz:g}"
    then = f"{row.channel} / {row.width_mhz:g}" if row.changed else "stays"
    cells = (
        Cell(row.cell, row.cell),
        Cell(now, float(row.channel_before or 0)),
        Cell(then, float(row.channel)),
        _figure(row.worst_margin_before_db),
        _figure(row.worst_margin_db),
        _figure(row.capacity_before_mbps),
        _figure(row.capacity_mbps),
        Cell("none") if row.radar_spare is None else Cell(str(row.radar_spare), float(row.radar_spare)),
        Cell(true_minus(row.why), row.why),
    )
    return Row(cells, (row.cell,))


def _figure(value: float | None) -> Cell:
    return Cell("not known") if value is None else Cell(number(value, 1), value)


def plan_words(plan: ChannelPlan) -> str:
    """Return what a plan is worth and how sure that is, in sentences."""
    count = len(plan.cells)
    running = f", {plan.running_changes} of them running" if plan.running_changes else ""
    change = f"{plan.changes} of {count} cells change{running}." if plan.changes else "The plan is the one there is."
    worth = (
        f"Worst margin {_figure(plan.worst_margin_before_db).text} to {_figure(plan.worst_margin_db).text} dB, "
        f"all cells {_figure(plan.capacity_before_mbps).text} to {number(plan.capacity_mbps, 1)} Mbit/s."
    )
    if plan.margin_gap_db == 0.0 and plan.capacity_gap_percent < 0.01:
        sure = "Proven: none has a better worst margin, or carries more with it."
    elif plan.margin_gap_db == 0.0:
        sure = (
            "Proven: none has a better worst margin. Not proven in the time: another might carry "
            f"{number(plan.capacity_gap_percent, 1)} % more."
        )
    else:
        sure = (
            f"Not proven in the time: another might have {number(plan.margin_gap_db, 1)} dB more, "
            f"or carry {number(plan.capacity_gap_percent, 1)} % more."
        )
    return f"{change} {worth} {sure}"


def _propose(site: Site, patience: Patience) -> Proposal:
    from survey_app.propose.channels import propose_channels
    from survey_app.spectrum.regions import load_regions
    from survey_app.spectrum.user_folder import user_regions_folder

    return propose_channels(site, load_regions(user_regions_folder()), patience)


class ChannelPlanPage(QWidget):
    """Searches a channel plan, shows what it would change, and hands it in when it is wanted.

    Parameters
    ----------
    desk : Desk
        The open document.
    propose : callable or None
        Site and patience -> Proposal, called off the window's thread; None = with the program's radio rules.
    """

    _heard = Signal(int, str)

    def __init__(
        self, desk: Desk, propose: Callable[[Site, Patience], Proposal] | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._desk, self._reckon = desk, propose or _propose
        self._proposal: Proposal | None = None
        self._number = 0
        self._is_busy = False
        self._worker = Worker(self)
        self._worker.done.connect(self._take)
        self._worker.failed.connect(self._fail)
        self._heard.connect(self._hear)
        self.setAccessibleName("channel plan")
        self.foot = Foot()
        self.foot.say(_FIRST)
        self.table = SheetTable(desk, "channel plan")
        self.search_button = word_button("Search", "Search a channel plan")
        self.apply_button = word_button("Apply", "Apply the channel plan as one step")
        self.seconds = QSpinBox()
        self.seconds.setRange(1, _MOST_S)
        self.seconds.setValue(_USUAL_S)
        self.seconds.setPrefix("at most ")
        self.seconds.setSuffix(" s")
        self.seconds.setFont(letters.font(letters.DATA_PX))
        self.seconds.setAccessibleName("How long to search, in seconds")
        self.reason = sentence_label(part="reason")
        buttons = QHBoxLayout()
        buttons.addWidget(self.search_button)
        buttons.addWidget(self.apply_button)
        side = group(self.seconds, buttons, self.reason)
        side.setFixedWidth(180)
        box = QHBoxLayout(self)
        box.setContentsMargins(12, 4, 12, 8)
        box.setSpacing(16)
        box.addWidget(self.table, 1)
        box.addWidget(side)
        self.search_button.clicked.connect(self.search)
        self.apply_button.clicked.connect(self.apply)
        desk.site_changed.connect(self._settle)
        self._settle()

    # -- the search

    def search(self) -> None:
        """Begin to search; while it is under way, call it off."""
        if self._is_busy:
            self._worker.call_off()
            self._end("Called off; nothing was changed.")
            return
        from survey_app.propose.channels import Patience

        site, reckon, seconds = self._desk.site, self._reckon, float(self.seconds.value())
        number = self._number = self._number + 1

        def work(progress: Progress) -> object:
            steps = 0

            def told(words: str) -> bool:
                nonlocal steps
                steps += 1
                progress(steps, 0)  # ends the work here once it is called off
                self._heard.emit(number, f"Searching, step {steps}: {words}.")
                return True

            return reckon(site, Patience(seconds, told))

        self._is_busy, self._proposal = True, None
        self.search_button.setText("Cancel")
        self.search_button.setAccessibleName("Call the search off")
        self.foot.say("Searching …")
        self._settle()
        self._worker.start(work)

    def _hear(self, number: int, words: str) -> None:
        if self._is_busy and number == self._number:
            self.foot.say(words)

    def _end(self, words: str) -> None:
        self._is_busy = False
        self.search_button.setText("Search")
        self.search_button.setAccessibleName("Search a channel plan")
        self.foot.say(words)
        self._settle()

    def _take(self, _number: int, proposal: Proposal) -> None:
        self._proposal = proposal
        self.table.put(_COLUMNS, plan_rows(proposal.plan))
        self._end(plan_words(proposal.plan))

    def _fail(self, _number: int, error: Exception) -> None:
        if not isinstance(error, SurveyError):
            self._end("")
            raise error
        self._end(error.sentence())

    # -- what becomes of it

    def apply(self) -> None:
        """Hand the plan in; one step takes all of it back."""
        proposal = self._proposal
        if proposal is not None and proposal.edit.before is self._desk.site and self._desk.apply(proposal.edit):
            self._desk.say(f"{proposal.edit.label}.")
            self._settle()

    def _settle(self) -> None:
        proposal = self._proposal
        found = proposal is not None and proposal.edit.after is not proposal.edit.before
        fits = proposal is not None and proposal.edit.before is self._desk.site
        done = proposal is not None and proposal.edit.after is self._desk.site
        locked = self._desk.document.is_read_only
        self.apply_button.setEnabled(found and fits and not locked)
        self.table.table.say_fresh(proposal is not None and (fits or done))
        why = _READ_ONLY if locked else _OLD if found and not (fits or done) else ""
        self.reason.setText(why)

    def stop(self) -> None:
        """Call the search off and leave no thread behind."""
        self._worker.stop()
