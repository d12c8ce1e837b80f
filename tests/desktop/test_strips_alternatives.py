"""Alternatives of a job: listed, opened, duplicated, compared in words."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from survey_app.desktop.strips.alternatives import AlternativesPanel
from survey_app.site.file import read_site
from tests.desktop.desks import demo_desk, saved_desk


@pytest.fixture
def desk(tmp_path):
    desk = saved_desk("mill", tmp_path / "yard")
    yield desk
    desk.document.close()


@pytest.fixture
def panel(qtbot, desk):
    panel = AlternativesPanel(desk)
    qtbot.addWidget(panel)
    panel.resize(300, 700)
    panel.show()
    yield panel
    panel.stop()


def _names(panel):
    return [panel.list.item(n).text() for n in range(panel.list.count())]


def test_designs_of_the_job_are_listed_and_the_open_one_marked(panel):
    assert _names(panel) == ["the chosen design, open now", "cured"]
    assert not panel.open_button.isEnabled()


def test_marked_design_opens(qtbot, panel, tmp_path):
    panel.list.setCurrentRow(1)
    with qtbot.waitSignal(panel.opened) as told:
        qtbot.mouseClick(panel.open_button, Qt.MouseButton.LeftButton)
    assert told.args[0] == tmp_path / "yard" / "alternatives" / "cured.json"


def test_open_design_is_duplicated_under_a_typed_name(qtbot, panel, desk, tmp_path):
    qtbot.keyClicks(panel.name, "Two masts")
    with qtbot.waitSignal(panel.opened) as told:
        qtbot.keyClick(panel.name, Qt.Key.Key_Return)
    assert told.args[0] == tmp_path / "yard" / "alternatives" / "two-masts.json"
    assert read_site(told.args[0]).design == desk.site.design
    assert "two-masts" in _names(panel)


@pytest.mark.parametrize("name", ["", "..", "cured", "con"])
def test_name_that_cannot_be_one_is_refused_at_the_field(qtbot, panel, name):
    opened = []
    panel.opened.connect(opened.append)
    panel.name.setText(name)
    qtbot.mouseClick(panel.duplicate_button, Qt.MouseButton.LeftButton)
    assert not opened
    assert panel.reason.isVisible()
    assert panel.reason.text().endswith(".")
    assert panel.name.text() == name
    assert _names(panel) == ["the chosen design, open now", "cured"]


def test_difference_is_said_in_words(qtbot, panel):
    panel.list.setCurrentRow(1)
    qtbot.mouseClick(panel.compare_button, Qt.MouseButton.LeftButton)
    assert panel.compare_button.text() == "Cancel"
    qtbot.waitUntil(lambda: panel.compare_button.text() == "Compare", timeout=60_000)
    words = panel.words.toPlainText()
    assert words.startswith("From cured to the open design:")
    assert words.count("New stop:") == 5


def test_comparison_that_is_called_off_says_so(qtbot, panel):
    panel.list.setCurrentRow(1)
    panel.compare()
    panel.compare()
    assert panel.words.toPlainText() == "Called off."
    panel.stop()
    qtbot.wait(1)
    assert panel.words.toPlainText() == "Called off."


def test_damaged_alternative_is_said_in_a_sentence(qtbot, panel, tmp_path):
    (tmp_path / "yard" / "alternatives" / "broken.json").write_text("{")
    panel.refresh()
    panel.list.setCurrentRow(1)
    assert panel.list.currentItem().text() == "broken"
    panel.compare()
    qtbot.waitUntil(lambda: panel.compare_button.text() == "Compare", timeout=60_000)
    assert "broken.json" in panel.reason.text()


def test_site_that_was_never_saved_has_none(qtbot):
    desk = demo_desk("mill")
    panel = AlternativesPanel(desk)
    qtbot.addWidget(panel)
    panel.show()
    assert _names(panel) == []
    assert "never saved" in panel.reason.text()
    assert not panel.duplicate_button.isEnabled()
    panel.stop()
    desk.document.close()
