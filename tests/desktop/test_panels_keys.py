"""Keys that menus have too reach the field or table that has the focus."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QGuiApplication, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QHBoxLayout, QMainWindow, QWidget

from survey_app.desktop.panels.hop_table import HopTable
from survey_app.desktop.panels.notes_column import NotesColumn
from survey_app.desktop.panels.register import Register
from tests.desktop.panel_desks import catalogue, desk_of


@pytest.fixture
def window(qtbot):
    """A window whose menu has F1, Ctrl+C, Esc and letters, with all panels; `taken` says what the menu got."""
    desk = desk_of("mill")
    desk.select(["C2"])
    window = QMainWindow()
    qtbot.addWidget(window)
    inside = QWidget()
    box = QHBoxLayout(inside)
    window.column, window.table, window.register = NotesColumn(desk, catalogue()), HopTable(desk), Register(desk)
    for part in (window.table, window.register, window.column):
        box.addWidget(part)
    window.setCentralWidget(inside)
    window.desk, window.taken = desk, []
    for keys in ("F1", "Ctrl+C", "Ctrl+A", "Esc", "B", "F2", "Return", "Del"):
        action = QAction(keys, window)
        action.setShortcut(QKeySequence(keys))
        action.triggered.connect(lambda _checked=False, keys=keys: window.taken.append(keys))
        window.addAction(action)
    window.resize(1500, 700)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    yield window
    window.close()


def press(widget, key, modifier=Qt.KeyboardModifier.NoModifier) -> None:
    widget.setFocus()
    QTest.keyClick(widget.window().windowHandle(), key, modifier)


def test_f1_explains_the_figure_and_the_field_that_have_the_focus(window):
    asked: list[tuple[str, str]] = []
    window.desk.explained.connect(lambda *question: asked.append(question))
    form = window.column.particulars.form
    press(form.figures[0]._value, Qt.Key.Key_F1)
    window.column.show_notes()
    press(form.field("height_m", "yard").editor.inner, Qt.Key.Key_F1)
    window.column.show_notes()
    press(form.field("station").editor.inner.lineEdit(), Qt.Key.Key_F1)
    assert [quantity for _, quantity in asked] == [form.figures[0].figure.quantity, "height_m", "station"]
    assert window.taken == []


def test_menu_can_ask_about_what_has_the_focus(window):
    assert not window.column.ask_about_focus()
    window.column.particulars.form.figures[0]._value.setFocus()
    assert window.column.ask_about_focus()
    assert window.column.pages.currentWidget() is window.column.why


def test_typing_escape_and_enter_stay_in_the_field(window):
    line = window.column.particulars.form.field("height_m", "yard").editor.inner
    press(line, Qt.Key.Key_B)
    press(line, Qt.Key.Key_Return)
    assert window.column.particulars.form.field("height_m", "yard").reason
    press(line, Qt.Key.Key_Escape)
    assert line.text() == "7.0 m"
    assert window.taken == []
    # with nothing to take back, Esc is the plan's
    press(line, Qt.Key.Key_Escape)
    assert window.taken == ["Esc"]


@pytest.mark.parametrize("part", ["table", "register"])
def test_copy_in_a_table_copies_its_rows(window, part):
    widget = window.table.table if part == "table" else window.register.view
    QGuiApplication.clipboard().setText("before")
    press(widget, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert "\t" in QGuiApplication.clipboard().text()
    assert window.taken == []


def test_enter_on_a_note_goes_there_although_the_menu_has_enter(window):
    flags = window.column.flags.list
    flags.setCurrentIndex(flags.flags.index(0))
    press(flags, Qt.Key.Key_Return)
    assert window.desk.selection[0] == flags.flags.shown[0].subject
    assert window.taken == []
