"""Alternatives of a job: listed, opened, duplicated, compared in words."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from survey_app.desktop.strips.alternatives import AlternativesPanel
from survey_app.site.edits import change_design
from survey_app.site.file import read_site
from tests.desktop.desks import demo_desk, saved_desk


@pytest.fixture
def desk(tmp_path):
    desk = saved_desk("mill", tmp_path / "yard")
    for other in ("doubled", "relay"):
        (tmp_path / "yard" / "alternatives" / f"{other}.json").unlink()
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


@pytest.fixture
def laid(qtbot, panel):
    panel.resize(1000, 400)
    qtbot.mouseClick(panel.side_button, Qt.MouseButton.LeftButton)
    assert panel.side.back_button.text() == "Cancel"
    assert not panel.list.isVisible()
    qtbot.waitUntil(lambda: not panel.side.is_busy, timeout=120_000)
    return panel.side


def _line(table, words):
    row = next(n for n in range(table.rowCount()) if table.item(n, 0).text() == words)
    return [table.item(row, column) for column in range(2, table.columnCount())]


def test_designs_stand_side_by_side_with_the_best_in_bold(qtbot, panel, laid, desk):
    heads = [laid.table.horizontalHeaderItem(n).text() for n in range(laid.table.columnCount())]
    assert heads == ["figure", "unit", "the chosen design", "cured"]
    stops = _line(laid.table, "findings that stop")
    assert [item.text() for item in stops] == [str(desk.assessment.count("stop")), "0"] == ["5", "0"]
    assert [item.font().bold() for item in stops] == [False, True]
    assert stops[1].data(Qt.ItemDataRole.AccessibleTextRole) == "0, none is better"
    assert not any(item.font().bold() for item in _line(laid.table, "cameras drawn"))
    qtbot.mouseClick(laid.back_button, Qt.MouseButton.LeftButton)
    assert panel.list.isVisible()
    assert not laid.isVisible()


def test_side_by_side_is_copied_as_text(qtbot, laid):
    qtbot.mouseClick(laid.copy_button, Qt.MouseButton.LeftButton)
    rows = [line.split("\t") for line in QGuiApplication.clipboard().text().splitlines()]
    assert rows[0] == ["figure", "unit", "the chosen design", "cured"]
    assert ["findings that stop", "", "5", "0"] in rows
    laid.table.selectRow(0)
    QTest.keyClick(laid.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert len(QGuiApplication.clipboard().text().splitlines()) == 2


def test_side_by_side_is_saved_as_pdf_where_a_person_says(qtbot, laid, tmp_path):
    asked = []

    def ask(_parent, suggested):
        asked.append(suggested)
        return tmp_path / "out.pdf"

    laid.ask_file = ask
    qtbot.mouseClick(laid.save_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not laid.is_busy, timeout=60_000)
    assert laid.foot.words == f"Saved as {tmp_path / 'out.pdf'}."
    assert (tmp_path / "out.pdf").read_bytes().startswith(b"%PDF")
    assert asked == [str(tmp_path / "yard" / "mill-A-comparison.pdf")]


def test_figures_of_the_open_design_stand_in_brackets_once_it_has_changed(laid, desk):
    desk.apply(change_design(desk.site, revision="B"))
    assert [item.text() for item in _line(laid.table, "findings that stop")] == ["[5]", "0"]
    assert "has changed since" in laid.foot.words
    desk.undo()
    assert _line(laid.table, "findings that stop")[0].text() == "5"
    assert laid.foot.words == "Bold: none is better."


def test_side_by_side_is_called_off(qtbot, panel):
    qtbot.mouseClick(panel.side_button, Qt.MouseButton.LeftButton)
    qtbot.mouseClick(panel.side.back_button, Qt.MouseButton.LeftButton)
    assert panel.side.foot.words == "Called off."
    panel.stop()
    qtbot.wait(1)
    assert panel.side.table.rowCount() == 0
    assert not panel.side.save_button.isEnabled()


def test_one_design_alone_has_nothing_beside_it(qtbot, panel, tmp_path):
    (tmp_path / "yard" / "alternatives" / "cured.json").unlink()
    qtbot.mouseClick(panel.side_button, Qt.MouseButton.LeftButton)
    assert not panel.side.is_busy
    assert "no other design" in panel.side.foot.words


def test_damaged_design_is_said_when_they_are_laid_side_by_side(qtbot, panel, tmp_path):
    (tmp_path / "yard" / "alternatives" / "broken.json").write_text("{")
    qtbot.mouseClick(panel.side_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: not panel.side.is_busy, timeout=60_000)
    assert "broken.json" in panel.side.foot.words
