"""The page of coverage: it follows few selected radios, takes a height, can be called off, and outlines a rate."""

from __future__ import annotations

import pytest
import shapely
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication

from survey_app.desktop.strips.coverage import CoveragePanel
from survey_app.site.edits import change
from tests.desktop.desks import demo_desk

pytestmark = pytest.mark.desktop


@pytest.fixture
def desk():
    desk = demo_desk("boatyard")
    yield desk
    desk.document.close()


@pytest.fixture
def panel(qtbot, desk):
    panel = CoveragePanel(desk)
    qtbot.addWidget(panel)
    panel.resize(1000, 220)
    panel.show()
    qtbot.waitExposed(panel)
    yield panel
    panel.stop()


def _wait(qtbot, panel):
    qtbot.waitUntil(lambda: not panel.is_busy, timeout=60000)


def _column(table, head):
    number = [column.head.replace("\n", " ") for column in table.table.columns].index(head)
    return [row.cells[number].text for row in table.table.rows]


def test_selected_radios_are_worked_out_together_and_said(qtbot, panel, desk):
    desk.select(["A-G", "A-U"])
    _wait(qtbot, panel)
    assert panel.found.radios == ("A-G", "A-U")
    assert panel.words.text().startswith("A-G, A-U: far ends 8.0 to 11.5 m over the ground; 13 of 13 mounts served.")
    assert set(_column(panel.mounts, "best from")) == {"A-G", "A-U"}
    assert "Hoist lane" in _column(panel.areas, "area")
    # a mount that is selected in the table leaves what is shown as it is
    panel.show_table(1)
    panel.mounts.selectRow(0)
    assert len(desk.selection) == 1
    _wait(qtbot, panel)
    assert panel.found.radios == ("A-G", "A-U")


def test_the_table_sorts_and_copies_as_text(qtbot, panel, desk):
    desk.select(["A-U"])
    _wait(qtbot, panel)
    panel.show_table(1)
    panel.mounts.sortByColumn(4, Qt.SortOrder.DescendingOrder)
    qtbot.keyClick(panel.mounts, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0].split("\t")[:3] == ["mount", "best from", "Mbit/s"]
    distances = [float(line.split("\t")[4].replace("\u2009", "")) for line in lines[1:]]
    assert distances == sorted(distances, reverse=True)
    assert len(distances) == 12


def test_a_typed_height_is_taken_and_one_that_is_none_is_refused(qtbot, panel, desk):
    desk.select(["A-U"])
    _wait(qtbot, panel)
    before = panel.found.rates[-1].seen_m2
    with qtbot.waitSignal(panel.height_wanted) as told:
        qtbot.keyClicks(panel.far_height, "2")
        qtbot.keyClick(panel.far_height, Qt.Key.Key_Return)
    assert told.args[0] == 2.0
    _wait(qtbot, panel)
    assert panel.found.heights_m == (2.0,)
    assert panel.found.rates[-1].seen_m2 < before
    qtbot.keyClicks(panel.far_height, "x")
    qtbot.keyClick(panel.far_height, Qt.Key.Key_Return)
    assert "'2x' is no height" in panel.reason.text()
    assert panel.found.heights_m == (2.0,)


def test_every_access_point_is_worked_out_when_asked_and_can_be_called_off(qtbot, panel):
    panel.every_button.click()
    assert panel.is_busy
    assert panel.cancel_button.isVisible()
    panel.cancel_button.click()
    assert not panel.is_busy
    assert panel.reason.text() == "Called off."
    assert panel.found is None
    panel.every_button.click()
    _wait(qtbot, panel)
    assert panel.found.radios == ("A-G", "A-S", "A-P", "A-U", "A-F")
    assert not panel.cancel_button.isVisible()


def test_a_marked_rate_is_outlined_until_an_edit(qtbot, panel, desk):
    desk.select(["A-U"])
    _wait(qtbot, panel)
    with qtbot.waitSignal(panel.outlined) as told:
        panel.rates.selectRow(0)
    assert isinstance(told.args[0], shapely.Geometry)
    assert told.args[0].area == pytest.approx(panel.found.rates[0].seen_m2)
    assert desk.selection == ("A-U",)
    with qtbot.waitSignal(panel.outlined) as gone:
        desk.perform(lambda site: change(site, "office", eaves_height_m=7.5))
    assert gone.args[0] is None
    # figures that are not yet true stand in brackets
    index = panel.rates.table.index(0, 1)
    assert str(index.data()).startswith("[")


def test_nothing_selected_says_what_to_do(panel):
    panel.selected_button.click()
    assert "Select radios" in panel.reason.text()
