"""The page of what if: which event is supposed, and what is other then."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QComboBox, QHBoxLayout, QSpinBox, QStackedWidget, QWidget

from survey_app.desktop import letters
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.sheet_table import SheetTable
from survey_app.desktop.strips.columns import Columns, group
from survey_app.desktop.strips.if_words import IF_COLUMNS, if_rows, if_sentence
from survey_app.desktop.strips.words import head_label, sentence_label, word_button

if TYPE_CHECKING:
    from survey_app.assess.what_if import Event

__all__ = ["IfPage"]

_FIRST = "Choose an event; the site and its history stay as they are."
_EVENTS = ("one thing fails", "radar on a channel", "a channel is lost", "rain", "trees grow", "one neighbour more")


class IfPage(Columns):
    """Asks for an event, and lists what the desk knows of it: before, after, change.

    Parameters
    ----------
    desk : Desk
        Site, assessment, and what is supposed.
    """

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setAccessibleName("what if")
        self.setProperty("part", "page")
        self.kind = _choice("which event", _EVENTS)
        self.thing = _choice("what fails")
        self.hub = _choice("access point that hears a radar")
        self.channel = _choice("channel that is lost")
        self.rain = _figure("rain", " mm/h", 0, 300, 50)
        self.years = _figure("years of growth", " years", 0, 50, 5)
        self.mount = _choice("mount at which the neighbour is heard")
        self.near_channel = _figure("its channel", "", 1, 233, 36, "channel ")
        self.level = _figure("its level", " dBm", -100, -20, -60)
        self.busy = _figure("part of the time that it sends", " % busy", 0, 100, 30)
        self.suppose_button = word_button("Suppose it", "Show what the event would do; nothing is changed")
        self.leave_button = word_button("Leave", "Show the site as it is again")
        self.words = sentence_label(_FIRST, "soft")
        self.table = SheetTable(desk, "what is other then")
        self._questions = QStackedWidget()
        self._lay_out()
        self.kind.currentIndexChanged.connect(self._questions.setCurrentIndex)
        self.suppose_button.clicked.connect(self.suppose)
        self.leave_button.clicked.connect(desk.leave_event)
        desk.supposed_changed.connect(self._show_answer)
        desk.assessed.connect(self.refresh)
        desk.selection_changed.connect(self._follow)
        self.refresh()
        self._show_answer()

    def _lay_out(self) -> None:
        near = QWidget()
        grid = QHBoxLayout(near)
        first, second = group(self.mount, self.near_channel), group(self.level, self.busy)
        for part in (first, second):
            grid.addWidget(part)
        grid.setContentsMargins(0, 0, 0, 0)
        for part in (self.thing, self.hub, self.channel, self.rain, self.years):
            self._questions.addWidget(group(part))
        self._questions.addWidget(near)
        buttons = QHBoxLayout()
        buttons.addWidget(self.suppose_button)
        buttons.addWidget(self.leave_button)
        buttons.addStretch(1)
        asked = group(head_label("WHAT IF"), self.kind, self._questions, buttons)
        asked.setMinimumWidth(250)
        asked.setMaximumWidth(330)
        self.set_groups(((asked, 2), (group(self.words, self.table, stretch=1), 7)))

    # -- what can be asked

    def refresh(self) -> None:
        """Offer what the present site has."""
        rows = self._desk.rows
        if rows is None:
            return
        found = rows.assessment
        with_channel = [row for row in found.cells if row.channel is not None]
        _offer(self.thing, [(row.subject, f"{row.subject}, {row.kind}") for row in found.failures])
        _offer(self.hub, [(row.access_point, f"{row.access_point}, channel {row.channel}") for row in with_channel])
        channels = sorted({row.channel for row in with_channel if row.channel is not None})
        _offer(self.channel, [(one, f"channel {one}") for one in channels])
        _offer(self.mount, [(row.id, row.id) for row in found.mounts])
        self._follow()
        self._settle()

    def _follow(self) -> None:
        """Offer first what is selected."""
        for one in self._desk.selection[:1]:
            for choice in (self.thing, self.hub, self.mount):
                at = choice.findData(one)
                if at >= 0:
                    choice.setCurrentIndex(at)

    def event_asked(self) -> Event | None:
        """Return the event that the form says; None where there is nothing to choose from."""
        from survey_app.assess.what_if import ChannelLost, Fails, Grown, NeighbourMore, RadarHeard, Rain

        made: dict[int, Callable[[], Event]] = {
            0: lambda: Fails(self.thing.currentData()),
            1: lambda: RadarHeard(self.hub.currentData()),
            2: lambda: ChannelLost(self.channel.currentData()),
            3: lambda: Rain(float(self.rain.value())),
            4: lambda: Grown(float(self.years.value())),
            5: lambda: NeighbourMore(
                self.mount.currentData(), self.near_channel.value(), float(self.level.value()), float(self.busy.value())
            ),
        }
        number = self.kind.currentIndex()
        needed = {0: self.thing, 1: self.hub, 2: self.channel, 5: self.mount}.get(number)
        return None if needed is not None and needed.currentIndex() < 0 else made[number]()

    def suppose(self) -> None:
        """Show what the event would do."""
        event = self.event_asked()
        if event is None:
            self._desk.say("The site has nothing to choose here yet.")
        else:
            self._desk.suppose(event)

    # -- the answer

    def _show_answer(self) -> None:
        supposed = self._desk.supposed
        if supposed is None:
            self.words.setText(_FIRST)
            self.table.put(IF_COLUMNS, ())
        elif supposed.answer is None:
            self.words.setText(supposed.trouble or "Working out what would happen …")
            self.table.put(IF_COLUMNS, ())
        else:
            rows = if_rows(supposed.answer)
            other = "Nothing else is other then." if not rows else ""
            self.words.setText(f"{if_sentence(supposed.answer)} {other}".strip())
            self.table.put(IF_COLUMNS, rows)
            self.table.fit()
        self._settle()

    def _settle(self) -> None:
        self.leave_button.setEnabled(self._desk.supposed is not None)
        self.suppose_button.setEnabled(self._desk.rows is not None)


def _choice(name: str, words: Sequence[str] = ()) -> QComboBox:
    made = QComboBox()
    made.addItems(list(words))
    made.setAccessibleName(name)
    made.setFont(letters.font(letters.DATA_PX))
    made.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    made.setMinimumContentsLength(12)
    return made


def _figure(name: str, unit: str, low: int, high: int, usual: int, prefix: str = "") -> QSpinBox:
    made = QSpinBox()
    made.setRange(low, high)
    made.setValue(usual)
    made.setSuffix(unit)
    made.setPrefix(prefix)
    made.setAccessibleName(name)
    made.setFont(letters.font(letters.DATA_PX))
    return made


def _offer(choice: QComboBox, items: Sequence[tuple[object, str]]) -> None:
    """Offer other items; what was chosen stays where it is still there."""
    chosen = choice.currentData()
    if [(choice.itemData(n), choice.itemText(n)) for n in range(choice.count())] == list(items):
        return
    choice.clear()
    for data, words in items:
        choice.addItem(words, data)
    choice.setCurrentIndex(max(choice.findData(chosen), 0) if items else -1)
