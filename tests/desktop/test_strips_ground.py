"""Heights of the ground in the window: brought in, said, taken away, put down by hand."""

from __future__ import annotations

import threading

import pytest
from PySide6.QtCore import Qt

from survey_app.desktop.strips import ground_heights
from survey_app.desktop.strips.ground_heights import GroundHeightsPanel
from survey_app.site.edits import change_design, set_anchor
from survey_app.site.place import Anchor
from tests.desktop.desks import demo_desk

TABLE = "x,y,h\n-200,-200,1.0\n300,-200,2.0\n300,300,3.5\n-200,300,2.5\n"


@pytest.fixture
def desk():
    desk = demo_desk("boatyard")
    yield desk
    desk.document.close()


@pytest.fixture
def panel(qtbot, desk):
    panel = GroundHeightsPanel(desk)
    qtbot.addWidget(panel)
    panel.resize(1100, 220)
    panel.show()
    yield panel
    panel.stop()


@pytest.fixture
def table(tmp_path):
    file = tmp_path / "levels.csv"
    file.write_text(TABLE)
    return file


def _press(qtbot, button):
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def _bring_in(qtbot, panel):
    _press(qtbot, panel.take_button)
    qtbot.waitUntil(panel.take_button.isVisible, timeout=20_000)


def test_ground_is_said_to_be_assumed_until_heights_are_brought_in(qtbot, panel, desk, table):
    assert panel.now.text().startswith("Assumed flat")
    assert not panel.remove_button.isEnabled()
    panel.ask_file = lambda _parent: table
    _press(qtbot, panel.file_button)
    assert panel.file_name.text() == "levels.csv"
    panel.fields["source"].setText("level of the yard")
    panel.fields["surveyed"].setText("2026-10-01")
    _bring_in(qtbot, panel)
    assert panel.now.text() == (
        "4 spot heights, level of the yard of 2026-10-01, heights over site datum, sigma 0.02 m."
    ), panel.reason.text()
    assert desk.document.history.undo_label == "Set relief"


def test_heights_are_taken_away_and_come_again_with_a_step_back(qtbot, panel, desk, table):
    panel.ask_file = lambda _parent: table
    _press(qtbot, panel.file_button)
    _bring_in(qtbot, panel)
    _press(qtbot, panel.remove_button)
    assert desk.site.design.relief is None
    assert panel.now.text().startswith("Assumed flat")
    desk.undo()
    assert panel.now.text().startswith("4 spot heights")


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [("offset", "two", "no figure"), ("surveyed", "yesterday", "no date"), ("sigma", "nan", "no figure")],
)
def test_what_cannot_be_read_is_said_in_one_sentence_and_changes_nothing(qtbot, panel, desk, table, field, typed, said):
    site = desk.site
    panel.ask_file = lambda _parent: table
    _press(qtbot, panel.file_button)
    panel.fields[field].setText(typed)
    _bring_in(qtbot, panel)
    assert said in panel.reason.text()
    assert desk.site is site


def test_without_a_file_and_with_a_wrong_one_the_reason_is_said(qtbot, panel, desk, tmp_path):
    _bring_in(qtbot, panel)
    assert "no file of heights is chosen" in panel.reason.text()
    wrong = tmp_path / "levels.csv"
    wrong.write_text("nothing here")
    panel.ask_file = lambda _parent: wrong
    _press(qtbot, panel.file_button)
    _bring_in(qtbot, panel)
    assert panel.reason.text()
    assert desk.site.design.relief is None


def test_chooser_that_is_left_changes_nothing(qtbot, panel):
    panel.ask_file = lambda _parent: None
    _press(qtbot, panel.file_button)
    assert panel.file_name.text() == "No file is chosen."


def test_a_file_that_is_being_read_can_be_called_off(qtbot, panel, desk, table, monkeypatch):
    going = threading.Event()
    read = ground_heights.import_relief

    def slow(*arguments):
        going.wait(20)
        return read(*arguments)

    monkeypatch.setattr(ground_heights, "import_relief", slow)
    panel.ask_file = lambda _parent: table
    _press(qtbot, panel.file_button)
    _press(qtbot, panel.take_button)
    assert panel.remarks.text() == "Reading levels.csv …"
    # the window goes on
    assert desk.perform(lambda site: change_design(site, name="Yard"))
    _press(qtbot, panel.stop_button)
    going.set()
    panel.stop()
    qtbot.wait(20)
    assert desk.site.design.relief is None
    assert panel.remarks.text().startswith("Called off")
    assert panel.take_button.isVisible()


def test_heights_for_another_plane_are_not_taken(qtbot, panel, desk, table, monkeypatch):
    going = threading.Event()
    read = ground_heights.import_relief

    def slow(*arguments):
        going.wait(20)
        return read(*arguments)

    monkeypatch.setattr(ground_heights, "import_relief", slow)
    panel.ask_file = lambda _parent: table
    _press(qtbot, panel.file_button)
    _press(qtbot, panel.take_button)
    assert desk.perform(lambda site: set_anchor(site, Anchor(lat_deg=43.0, lon_deg=-69.0)))
    going.set()
    qtbot.waitUntil(panel.take_button.isVisible, timeout=20_000)
    assert desk.site.design.relief is None
    assert "another one now" in panel.reason.text()
