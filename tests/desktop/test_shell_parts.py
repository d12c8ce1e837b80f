"""Parts of the shell by themselves: live assessment, the last door, preferences, the folding sheet."""

from __future__ import annotations

import datetime
import sys
import threading
from typing import Any

import pytest
from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QLabel, QStackedWidget, QWidget

from survey_app.assess.memo import Memo
from survey_app.desktop.desk import Desk
from survey_app.desktop.palette import current
from survey_app.desktop.panels.style import style_sheet
from survey_app.desktop.shell.assessor import Assessor
from survey_app.desktop.shell.command_strip import CommandStrip
from survey_app.desktop.shell.notice import Notice
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.sheet import Sheet
from survey_app.desktop.shell.trouble import Trouble
from survey_app.errors import UsageError
from survey_app.session.document import Document
from survey_app.site.new import new_site
from survey_app.site.site import Site

AS_OF = datetime.date(2026, 12, 1)


def _site(name: str) -> Site:
    return new_site(name, as_of=AS_OF)


def test_assessor_answers_for_the_newest_site_and_forgets_those_that_waited(qtbot: Any) -> None:
    gate = threading.Event()
    asked: list[str] = []

    def judge(site: Site, _memo: Any) -> Any:
        asked.append(site.design.name)
        gate.wait(5)
        return f"answer for {site.design.name}"

    assessor = Assessor(judge)
    answers: list[tuple[str, str]] = []
    assessor.done.connect(lambda site, answer: answers.append((site.design.name, answer)))
    assessor.ask(_site("first"), Memo())
    qtbot.waitUntil(lambda: asked == ["first"])
    for name in ("second", "third", "fourth"):
        assessor.ask(_site(name), Memo())
    assert assessor.is_busy
    gate.set()
    qtbot.waitUntil(lambda: len(answers) == 2)
    assert asked == ["first", "fourth"]
    assert answers[-1] == ("fourth", "answer for fourth")
    qtbot.waitUntil(lambda: not assessor.is_busy)
    assessor.stop()


def test_assessor_lives_on_after_an_error(qtbot: Any) -> None:
    def judge(site: Site, _memo: Any) -> Any:
        if site.design.name == "bad":
            raise RuntimeError("no such luck")
        return "fine"

    assessor = Assessor(judge)
    failures: list[Exception] = []
    answers: list[str] = []
    assessor.failed.connect(failures.append)
    assessor.done.connect(lambda _site, answer: answers.append(answer))
    assessor.ask(_site("bad"), Memo())
    qtbot.waitUntil(lambda: len(failures) == 1)
    assessor.ask(_site("good"), Memo())
    qtbot.waitUntil(lambda: answers == ["fine"])
    assert str(failures[0]) == "no such luck"
    assessor.stop()


def test_assessor_does_a_chore_only_when_no_site_waits_and_is_not_busy_with_it(qtbot: Any) -> None:
    done: list[str] = []
    gate, at_chore = threading.Event(), threading.Event()

    def judge(site: Site, _memo: Any) -> Any:
        gate.wait(5)
        done.append(site.design.name)

    def chore() -> None:
        done.append("chore")
        at_chore.set()
        raise RuntimeError("costs nothing")

    assessor = Assessor(judge)
    assessor.ask(_site("first"), Memo())
    assessor.when_idle(chore)
    gate.set()
    qtbot.waitUntil(at_chore.is_set)
    assert done == ["first", "chore"]
    assert not assessor.is_busy
    assessor.ask(_site("second"), Memo())
    qtbot.waitUntil(lambda: done[-1] == "second")
    assessor.stop()


def test_an_error_in_a_handler_shows_one_dialog_and_the_window_lives_on(
    qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    kept: list[bool] = []

    def keep() -> str:
        kept.append(True)
        return "Your site is safe."

    trouble = Trouble(keep, window)
    trouble.install()
    try:
        for _ in range(3):
            error = ZeroDivisionError("division by zero")
            sys.excepthook(type(error), error, None)
        qtbot.waitUntil(lambda: trouble.count == 3)
    finally:
        trouble.remove()
    dialog = trouble.dialog
    assert dialog is not None
    assert dialog.isVisible()
    assert kept == [True]
    words = " ".join(label.text() for label in dialog.findChildren(QLabel))
    assert "ZeroDivisionError" in words
    assert "Your site is safe." in words
    assert "Traceback" not in words
    qtbot.mouseClick(dialog.copy, Qt.MouseButton.LeftButton)
    assert "ZeroDivisionError: division by zero" in QGuiApplication.clipboard().text()
    qtbot.mouseClick(dialog.go_on, Qt.MouseButton.LeftButton)
    assert not dialog.isVisible()
    assert sys.excepthook is not trouble._hook


def test_trouble_says_when_the_site_could_not_be_kept(qtbot: Any) -> None:
    window = QWidget()
    qtbot.addWidget(window)

    def keep() -> str:
        raise OSError("disk full")

    trouble = Trouble(keep, window)
    trouble.tell(UsageError("this cannot be", remedy="do something else"))
    assert trouble.dialog is not None
    texts = [label.text() for label in trouble.dialog.findChildren(QWidget) if callable(getattr(label, "text", None))]
    assert "this cannot be; do something else." in texts
    assert any("save it under another name" in text for text in texts)
    trouble.dialog.accept()


def test_preferences_come_back_and_foreign_values_count_as_not_set() -> None:
    first = Preferences()
    assert (first.hue, first.scale_percent, first.hop_words, first.hidden_layers) == (
        "system",
        100,
        "bearing",
        frozenset(),
    )
    first.hue, first.scale_percent, first.hidden_layers = "night", 150, frozenset({"wires", "trees"})
    first.write()
    second = Preferences()
    assert (second.hue, second.scale_percent, second.hidden_layers) == ("night", 150, frozenset({"wires", "trees"}))
    second.hue = "purple"
    second._settings.setValue("view/scale_percent", "nonsense")
    second.write()
    third = Preferences()
    assert (third.hue, third.scale_percent) == ("system", 100)


def test_a_notice_closes_with_any_answer_and_then_acts(qtbot: Any) -> None:
    holder = QWidget()
    qtbot.addWidget(holder)
    notice = Notice(parent=holder)
    done: list[str] = []
    notice.ask(
        "Unsaved work was found.",
        (("Recover it", lambda: done.append("yes")), ("Set it aside", lambda: done.append("no"))),
    )
    assert notice.sentence == "Unsaved work was found."
    qtbot.mouseClick(notice.buttons[0], Qt.MouseButton.LeftButton)
    assert done == ["yes"]
    assert notice.sentence == ""
    notice.ask("Another.", (("Go on", lambda: None),))
    assert [button.text() for button in notice.buttons] == ["Go on"]


class _Notes(QWidget):
    """A column that folds to a spine, as the notes column does."""

    laid_over = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.folded = False
        self.is_open = True
        self.setFixedWidth(300)

    @property
    def covered_px(self) -> int:
        """How much of the plan it covers."""
        return 300 if self.folded and self.is_open else 0

    def fold(self, folded: bool) -> None:
        """Leave a spine."""
        if folded == self.folded:
            return
        self.folded = folded
        self.is_open = not folded
        self.setFixedWidth(36 if folded else 300)

    def turn(self) -> None:
        """Open over the plan, or hide where it is not folded."""
        if self.folded:
            self.is_open = not self.is_open
            self.laid_over.emit(self.covered_px)
        else:
            self.setVisible(self.isHidden())

    def open(self) -> None:
        """Make visible."""
        self.is_open = True


def _sheet(qtbot: Any, width: int, height: int) -> tuple[Sheet, dict[str, QWidget]]:
    pages = QStackedWidget()
    pages.addWidget(QWidget())
    parts = {
        "strip": QWidget(),
        "notice": QWidget(),
        "instruments": QWidget(),
        "pages": pages,
        "notes": _Notes(),
        "band": QWidget(),
        "title": QWidget(),
    }
    parts["strip"].setFixedHeight(34)
    parts["instruments"].setFixedWidth(66)
    parts["notice"].hide()
    sheet = Sheet(*parts.values())  # type: ignore[arg-type]
    qtbot.addWidget(sheet)
    sheet.resize(width, height)
    sheet.show()
    return sheet, parts


def test_sheet_at_1600_by_1000_lies_as_the_plat(qtbot: Any) -> None:
    _, parts = _sheet(qtbot, 1600, 1000)
    assert parts["pages"].size().toTuple() == (1600 - 66 - 300, 1000 - 34 - 258)
    assert parts["title"].geometry().getRect() == (1300, 742, 300, 258)
    assert parts["notes"].geometry().getRect() == (1300, 34, 300, 708)


def test_sheet_at_1280_by_720_leaves_the_plan_1178_by_496(qtbot: Any) -> None:
    sheet, parts = _sheet(qtbot, 1280, 720)
    assert parts["pages"].size().toTuple() == (1178, 496)
    assert parts["notes"].folded  # type: ignore[attr-defined]
    assert parts["notes"].width() == 36
    assert parts["title"].geometry().getRect() == (980, 530, 300, 190)
    sheet.turn_notes()
    # it opens over the plan, which keeps its size
    assert sheet.notes_open
    assert parts["pages"].size().toTuple() == (1178, 496)
    assert parts["notes"].geometry().getRect() == (1244, 34, 36, 496)


def test_without_the_band_the_plan_reaches_down_beside_the_title_block(qtbot: Any) -> None:
    sheet, parts = _sheet(qtbot, 1600, 1000)
    sheet.show_band(False)
    assert parts["pages"].size().toTuple() == (1600 - 66 - 300, 966)
    assert parts["title"].geometry().getRect() == (1300, 742, 300, 258)
    sheet.show_band(True)
    assert parts["pages"].size().toTuple() == (1600 - 66 - 300, 1000 - 34 - 258)


def test_in_a_narrow_window_the_title_block_goes_with_the_band(qtbot: Any) -> None:
    sheet, parts = _sheet(qtbot, 1280, 720)
    sheet.show_band(False)
    assert parts["title"].isHidden()
    assert parts["pages"].size().toTuple() == (1178, 686)
    sheet.show_band(True)
    assert not parts["title"].isHidden()


def test_beside_a_tall_band_the_notes_reach_down_to_the_title_block(qtbot: Any) -> None:
    sheet, parts = _sheet(qtbot, 1600, 1000)
    sheet.show_tall(True)
    assert parts["band"].height() == 600
    assert parts["notes"].geometry().getRect() == (1300, 34, 300, 708)
    assert parts["title"].geometry().getRect() == (1300, 742, 300, 258)


def test_in_a_narrow_window_a_tall_band_leaves_no_hole_and_ends_where_the_notes_begin(qtbot: Any) -> None:
    sheet, parts = _sheet(qtbot, 1280, 720)
    sheet.show_tall(True)
    assert parts["title"].isHidden()
    assert parts["band"].geometry().getRect() == (66, 288, 1178, 432)
    assert parts["notes"].geometry().getRect() == (1244, 34, 36, 686)
    sheet.turn_notes()
    assert parts["band"].geometry().getRect() == (66, 288, 878, 432)
    assert parts["pages"].size().toTuple() == (1178, 254)
    sheet.turn_notes()
    sheet.show_tall(False)
    assert parts["title"].geometry().getRect() == (980, 530, 300, 190)


def test_plan_alone_hides_everything_else_and_brings_it_back(qtbot: Any) -> None:
    sheet, parts = _sheet(qtbot, 1600, 1000)
    sheet.show_alone(True)
    assert parts["pages"].size().toTuple() == (1600, 966)
    assert not any(parts[name].isVisible() for name in ("instruments", "notes", "band", "title"))
    sheet.show_alone(False)
    assert all(parts[name].isVisible() for name in ("instruments", "notes", "band", "title"))


def test_a_long_sentence_takes_two_lines_and_follows_its_room(qtbot: Any) -> None:
    """What the program said was cut in a narrow window, and again where a long name took its room."""
    desk = Desk(Document.new(_site("Yard")))
    strip = CommandStrip(desk)
    qtbot.addWidget(strip)
    strip.setStyleSheet(style_sheet(current()))
    strip.resize(1280, 34)
    strip.show()
    (said,) = [one for one in strip.findChildren(QLabel) if one.accessibleName() == "what the program says"]

    def fits() -> bool:
        return all(said.fontMetrics().horizontalAdvance(line) <= said.width() for line in said.text().split("\n"))

    desk.say("Moved.")
    assert said.text() == "Moved."
    words = "The mount is 900 m high, more than a mount may have; "
    desk.say(words * 3 + "it stays.")
    assert said.text().replace("\n", " ") == words * 3 + "it stays."
    assert said.text().count("\n") == 1
    assert fits()
    strip.resize(700, 34)
    qtbot.waitUntil(lambda: said.text().endswith("…"))
    assert fits()
    assert said.toolTip() == words * 3 + "it stays."


def test_no_timer_of_the_shell_runs_by_itself() -> None:
    assert not [timer for timer in QGuiApplication.instance().findChildren(QTimer) if timer.isActive()]
