"""Cells with their air, what goes dark when one thing fails, and a channel plan that is shown before it is applied."""

from __future__ import annotations

import threading

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from survey_app.desktop.panels.cell_table import failure_rows
from survey_app.desktop.strips.cells_page import CellsPage
from survey_app.desktop.strips.channel_plan import ChannelPlanPage
from survey_app.errors import UsageError
from survey_app.site.edits import change
from tests.desktop.desks import demo, demo_desk


@pytest.fixture
def desk():
    desk = demo_desk("mill")
    yield desk
    desk.document.close()


@pytest.fixture
def page(qtbot, desk):
    page = CellsPage(desk)
    qtbot.addWidget(page)
    page.resize(1400, 400)
    page.show()
    yield page
    page.stop()


def column(table, head):
    number = [one.head.replace("\n", " ") for one in table.table.columns].index(head)
    return [table.sorted.index(row, number).data() for row in range(table.sorted.rowCount())]


def press(page, words):
    button = next(one for one in page._words.buttons() if one.text() == words)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def mark(table, row):
    spot = table.visualRect(table.sorted.index(row, 0)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)


def test_cells_of_one_channel_are_listed_together(page):
    channels = column(page.cells.table, "channel")
    assert channels == ["36", "36", "100", "104", "108"]
    assert column(page.cells.table, "cell")[:2] == ["A-I", "A-T"]
    assert column(page.cells.table, "shares air with")[:3] == ["A-T", "A-I", "none"]


def test_cells_say_what_the_record_says(page):
    rows = {row.id: row for row in demo("mill")[1].cells}
    table = page.cells.table
    for cell, load, delay, more in zip(
        column(table, "cell"),
        column(table, "own load %"),
        column(table, "delay, 99 of 100, ms"),
        column(table, "more cameras"),
        strict=True,
    ):
        row = rows[cell]
        if row.load_fraction is None:
            assert (load, delay, more) == ("not known",) * 3
        else:
            assert abs(float(load) - 100.0 * row.load_fraction) <= 0.5
            assert abs(float(delay) - row.delay_p99_ms) <= 0.5
            assert more == str(row.more_cameras)
    assert set(column(table, "neighbours %")) == {"no scan"}


def test_marked_cell_is_its_access_point_on_the_plan(page, desk):
    mark(page.cells.table, 2)
    assert desk.selection == ("A-C1",)


def test_failure_selects_what_goes_dark_and_changes_nothing(page, desk):
    press(page, "if one thing fails")
    assert page.failures.isVisible()
    assert not page.cells.isVisible()
    row = demo("mill")[1].failures[1]
    before = desk.site
    mark(page.failures.table, 1)
    assert desk.selection == (row.subject, *row.dark)
    assert column(page.failures.table, "cameras dark")[1] == str(len(row.dark)) == "13"
    assert desk.site is before
    assert desk.document.history.undo_label is None


def test_failures_are_copied_as_text(page):
    press(page, "if one thing fails")
    mark(page.failures.table, 0)
    QTest.keyClick(page.failures.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    head, row = QGuiApplication.clipboard().text().splitlines()
    assert head.split("\t")[:3] == ["what fails", "kind", "cameras dark"]
    assert row.split("\t")[:3] == ["board-hall", "supply", "13"]


def test_load_over_no_rate_is_said_in_words():
    row = demo("mill")[1].failures[0]
    (made,) = failure_rows([row.model_copy(update={"fullest": "A-E", "load_fraction": None})])
    assert [cell.text for cell in made.cells[7:9]] == ["A-E", "no rate"]


def test_stale_figures_stand_in_brackets(page, desk):
    desk.apply(change(desk.site, "A-I", channel=40))
    assert column(page.cells.table, "own load %")[0] == "[6]"


def test_plan_is_shown_first_and_applied_as_one_step(qtbot, page, desk):
    plan = page.plan
    page.show_plan()
    before = desk.site
    assert not plan.apply_button.isEnabled()
    QTest.keyClick(plan.search_button, Qt.Key.Key_Space)
    assert plan.search_button.text() == "Cancel"
    qtbot.waitUntil(lambda: plan.search_button.text() == "Search", timeout=120_000)
    assert desk.site is before
    assert plan.foot.words.startswith("3 of 5 cells change. Worst margin −1.7 to 2")
    proposed = dict(zip(column(plan.table, "cell"), column(plan.table, "proposed"), strict=True))
    QTest.mouseClick(plan.apply_button, Qt.MouseButton.LeftButton)
    radios = {radio.id: radio for radio in desk.site.design.radios}
    for cell, words in proposed.items():
        if words != "stays":
            assert words == f"{radios[cell].channel} / {radios[cell].width_mhz}"
    assert not plan.apply_button.isEnabled()
    assert not plan.reason.isVisible()
    desk.undo()
    assert desk.site is before
    assert desk.document.history.undo_label is None


class Slow:
    """A search that tells a step and then waits until it is let go."""

    def __init__(self):
        self.began, self.go, self.ended = threading.Event(), threading.Event(), threading.Event()

    def __call__(self, site, patience):
        try:
            patience.told("worst margin 1.0 dB")
            self.began.set()
            self.go.wait(30.0)
            patience.told("one more")
            raise UsageError("no cell of the site has a channel to choose", remedy="draw one")
        finally:
            self.ended.set()


@pytest.fixture
def slow(qtbot, desk):
    search = Slow()
    plan = ChannelPlanPage(desk, search)
    plan.foot.setParent(plan)
    qtbot.addWidget(plan)
    plan.resize(900, 300)
    plan.show()
    yield plan, search
    search.go.set()
    plan.stop()


def test_search_tells_its_steps_and_is_called_off(qtbot, slow):
    plan, search = slow
    QTest.mouseClick(plan.search_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: plan.foot.words == "Searching, step 1: worst margin 1.0 dB.")
    QTest.mouseClick(plan.search_button, Qt.MouseButton.LeftButton)
    search.go.set()
    qtbot.waitUntil(search.ended.is_set)
    qtbot.wait(1)
    assert plan.foot.words == "Called off; nothing was changed."
    assert plan.search_button.text() == "Search"
    assert plan.table.sorted.rowCount() == 0


def test_search_that_cannot_be_made_is_said_in_a_sentence(qtbot, slow):
    plan, search = slow
    search.go.set()
    QTest.mouseClick(plan.search_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: plan.search_button.text() == "Search")
    refused = UsageError("no cell of the site has a channel to choose", remedy="draw one")
    assert plan.foot.words == refused.sentence()
    assert not plan.apply_button.isEnabled()


def test_plan_of_an_older_site_is_not_applied(qtbot, page, desk):
    plan = page.plan
    page.show_plan()
    QTest.mouseClick(plan.search_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: plan.search_button.text() == "Search", timeout=120_000)
    desk.apply(change(desk.site, "A-I", name="Hall"))
    assert not plan.apply_button.isEnabled()
    assert plan.reason.text() == "The site has changed since: search again."
    desk.undo()
    assert plan.apply_button.isEnabled()
    assert not plan.reason.isVisible()
