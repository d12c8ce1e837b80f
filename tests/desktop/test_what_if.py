"""What if as a mode of the window: it shows what an event does, changes nothing, and is left by Esc."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from survey_app.assess.what_if import Fails, Rain, what_if
from survey_app.desktop.desk import Desk
from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.if_strip import IfStrip
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.supposer import Supposer
from survey_app.desktop.shell.window import Window
from survey_app.desktop.strips.if_page import IfPage
from survey_app.desktop.strips.if_words import if_rows
from survey_app.desktop.supposed import REFUSAL, Supposed
from survey_app.drawing.roles import Role
from survey_app.errors import UsageError
from survey_app.session.document import Document
from survey_app.site.edits import change
from tests.assess.test_second_ways import fan
from tests.assess.test_second_ways import found as second_way
from tests.desktop.desks import demo_desk

pytestmark = pytest.mark.desktop

PATIENCE_MS = 120_000
Key = Qt.Key
CONTROL_SHIFT = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def window(qtbot: Any) -> Iterator[Window]:
    """A window on two hops from the office, whose two poles see each other."""
    window = Window(Document.new(second_way()[0]), Judge(), Preferences())
    window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
    qtbot.addWidget(window)
    window.resize(1280, 720)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(lambda: window.desk.is_fresh, timeout=PATIENCE_MS)
    # the way itself is tested where it is found
    window.supposer._seek = lambda _site, _before, _progress: second_way()[1]
    yield window
    window.close()


def supposing(window: Window, qtbot: Any, subject: str) -> None:
    window.desk.select([subject])
    window.canvas.setFocus()
    QTest.keyClick(window.canvas, Key.Key_F, CONTROL_SHIFT)
    assert window.desk.supposed is not None
    qtbot.waitUntil(lambda: not window.desk.supposed.is_busy, timeout=PATIENCE_MS)


def words(window: Window) -> tuple[str, ...]:
    return window.canvas.recorded().words()


def test_a_key_shows_what_happens_if_the_selected_hop_fails_and_esc_shows_the_site_again(
    window: Window, qtbot: Any
) -> None:
    window.desk.select(["H-S1"])
    before, seen = window.desk.site, words(window)
    assert not window.bars.what_if.isVisible()
    supposing(window, qtbot, "H-S1")
    assert window.band.page == "what if"
    strip = window.bars.what_if
    assert strip.isVisible()
    assert strip.sentence.startswith(
        "H-S1 fails. 1 camera dark until somebody acts, recorded at the camera. Nothing is changed. Worth most: a hop from "
    )
    shown = words(window)
    assert "dark" in shown
    assert "H-S1 fails" in shown
    assert window.canvas.recorded().of_role(Role.STRUCK)
    assert "1 dark" in window.canvas.accessibleDescription()
    QTest.keyClick(window.canvas, Key.Key_Escape)
    assert window.desk.supposed is None
    assert not strip.isVisible()
    assert "dark" not in words(window)
    assert set(words(window)) == set(seen)
    assert window.desk.site is before
    assert window.desk.document.history.undo_label is None
    assert window.strip.sentence == "The site is shown as it is again; nothing was changed."


def test_every_way_to_change_something_is_refused_in_a_sentence(window: Window, qtbot: Any) -> None:
    supposing(window, qtbot, "H-S1")
    desk, before = window.desk, window.desk.site
    told: list[str] = []
    desk.said.connect(told.append)
    for key in (Key.Key_Delete, Key.Key_B, Key.Key_Left):
        told.clear()
        desk.select(["column1"])
        QTest.keyClick(window.canvas, key)
        assert REFUSAL in told, key
    assert window.tool_name == "select"
    assert desk.site is before
    for action in ("edit.undo", "edit.duplicate"):
        told.clear()
        window.menus.action(action).setEnabled(True)
        window.menus.action(action).trigger()
        assert desk.site is before
    told.clear()
    window.instruments._buttons["hop"].click()
    assert told[-1] == REFUSAL
    assert window.instruments._buttons["select"].isChecked()
    assert desk.supposed is not None


def test_what_is_dragged_stays_where_it_is(window: Window, qtbot: Any) -> None:
    window.canvas.show_whole_site()
    desk, canvas = window.desk, window.canvas
    mast = desk.placed.points["column1"]
    at = QPoint(*(round(v) for v in canvas.frame.px(mast.x_m, mast.y_m)))
    supposing(window, qtbot, "H-S1")
    told: list[str] = []
    desk.said.connect(told.append)
    before = desk.site
    QTest.mouseClick(canvas.viewport(), Qt.MouseButton.LeftButton, pos=at)
    QTest.mousePress(canvas.viewport(), Qt.MouseButton.LeftButton, pos=at)
    for step in (6, 20, 40):
        QTest.mouseMove(canvas.viewport(), at + QPoint(step, step))
        qtbot.wait(1)
    QTest.mouseRelease(canvas.viewport(), Qt.MouseButton.LeftButton, pos=at + QPoint(40, 40))
    assert REFUSAL in told
    assert desk.site is before


def test_the_second_way_is_drawn_as_one_step_once_the_mode_is_left(window: Window, qtbot: Any) -> None:
    supposing(window, qtbot, "H-S1")
    before = window.desk.site
    assert "keeps C1-1" in window.bars.what_if.sentence
    QTest.mouseClick(window.bars.what_if.draw_button, Qt.MouseButton.LeftButton)
    assert window.desk.supposed is None
    assert window.desk.site is second_way()[1][0].edit.after
    window.desk.undo()
    assert window.desk.site is before


def test_a_row_of_the_failures_can_be_supposed(window: Window, qtbot: Any) -> None:
    window.band.show_page("cells")
    page = window.band.widget("cells")
    QTest.mouseClick(page._words.button(1), Qt.MouseButton.LeftButton)
    assert not page.if_button.isEnabled()
    table = page.failures.table
    spot = table.visualRect(table.sorted.index(0, 0)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert page.if_button.isEnabled()
    QTest.mouseClick(page.if_button, Qt.MouseButton.LeftButton)
    assert window.desk.supposed.event == Fails(table.table.rows[0].ids[0])
    QTest.keyClick(table, Key.Key_Escape)
    assert window.desk.supposed is None


def test_a_camera_that_comes_home_otherwise_tells_the_legs_that_differ() -> None:
    site = second_way()[1][0].edit.after
    rows = if_rows(what_if(site, Fails("H-S1")))
    (way,) = [row for row in rows if row.cells[1].text == "way home over"]
    before, after = way.cells[2].text.split(" › "), way.cells[3].text.split(" › ")
    assert way.ids == ("C1-1",)
    assert "H-S1" in before
    assert "H-S2" in after
    assert before[0] != after[0]
    assert before[-1] != after[-1]


class Slow:
    """An answer that waits until it is let go."""

    def __init__(self) -> None:
        self.began, self.go = threading.Event(), threading.Event()

    def __call__(self, site: Any, event: Any, before: Any) -> Any:
        self.began.set()
        self.go.wait(30.0)
        return what_if(site, event, None, before)


@pytest.fixture
def desk() -> Iterator[Desk]:
    desk = demo_desk("boatyard")
    yield desk
    desk.document.close()


def test_an_answer_that_is_left_before_it_came_is_dropped(qtbot: Any, desk: Desk) -> None:
    slow = Slow()
    supposer, strip = Supposer(desk, slow), IfStrip(desk)
    qtbot.addWidget(strip)
    desk.suppose(Fails("gate"))
    assert slow.began.wait(10.0)
    assert strip.sentence == "Working out what would happen …"
    assert not strip.progress.isHidden()
    strip.leave()
    slow.go.set()
    supposer.stop()
    qtbot.wait(20)
    assert desk.supposed is None
    assert strip.isHidden()


def test_an_edit_cannot_come_and_another_site_ends_the_mode(qtbot: Any, desk: Desk) -> None:
    desk.put_supposed(Supposed(Fails("gate")))
    assert not desk.perform(lambda site: change(site, "design", name="Other"))
    desk.undo()
    assert desk.supposed is not None
    desk.replace_document(Document.new(fan().site()))
    assert desk.supposed is None
    desk.document.close()


def test_a_refused_event_is_said_in_one_sentence(qtbot: Any, desk: Desk) -> None:
    def refuse(*_: Any) -> Any:
        raise UsageError("a rain rate lies between 0 and 300 mm/h")

    supposer, strip = Supposer(desk, refuse), IfStrip(desk)
    qtbot.addWidget(strip)
    desk.suppose(Rain(1000.0))
    qtbot.waitUntil(lambda: bool(desk.supposed.trouble), timeout=10_000)
    assert "rain rate lies between 0 and 300" in strip.sentence
    assert strip.progress.isHidden()
    supposer.stop()


def test_the_page_asks_for_rain_and_lists_margins_before_and_after(qtbot: Any, desk: Desk) -> None:
    supposer, page = Supposer(desk), IfPage(desk)
    qtbot.addWidget(page)
    page.resize(1100, 300)
    page.show()
    QTest.keyClick(page.kind, Key.Key_R)
    page.kind.setCurrentText("rain")
    page.rain.setFocus()
    page.rain.selectAll()
    QTest.keyClicks(page.rain, "150")
    QTest.mouseClick(page.suppose_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: desk.supposed.answer is not None, timeout=PATIENCE_MS)
    assert page.words.text().startswith("It rains 150 mm/h on all hops.")
    table = page.table.table
    rows = {(row.cells[0].text, row.cells[1].text): [cell.text for cell in row.cells[2:]] for row in table.rows}
    told = {(one.id, one.quantity): one for one in desk.supposed.answer.figures}
    assert set(told) <= set(rows)
    key = next(key for key in told if key[1].startswith("margin"))
    assert rows[key][0].endswith(" dB")
    assert rows[key][2].startswith("−" if told[key].after < told[key].before else "+")
    QTest.mouseClick(page.leave_button, Qt.MouseButton.LeftButton)
    assert desk.supposed is None
    assert not table.rows
    supposer.stop()


def test_the_page_offers_first_what_is_selected(qtbot: Any, desk: Desk) -> None:
    page = IfPage(desk)
    qtbot.addWidget(page)
    desk.select(["A-P"])
    assert page.thing.currentData() == "A-P"
    assert page.hub.currentData() == "A-P"
    assert page.event_asked() == Fails("A-P")
