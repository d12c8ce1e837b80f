"""The start page: begin a site, open one, take unsaved work up again, copy a demonstration out."""

from __future__ import annotations

import datetime
import json
import subprocess
import sys

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent

from survey_app.desktop.strips.start_page import StartPage
from survey_app.session import recent_sites, remember_site
from survey_app.site.file import read_site


@pytest.fixture
def page(qtbot):
    page = StartPage()
    qtbot.addWidget(page)
    page.resize(1280, 686)
    page.show()
    return page


def _row(page, name):
    return next(row for row in page.rows() if row.text() == name)


def test_site_is_begun_with_typed_fields(qtbot, page):
    form = page.form
    qtbot.keyClicks(form.name, "Tide mill")
    qtbot.keyClicks(form.position, "43 33 0 N, 69 36 0 W")
    form.region.setCurrentIndex(form.region.findData("US"))
    form.date.clear()
    qtbot.keyClicks(form.date, "2026-12-01")
    with qtbot.waitSignal(page.begun) as told:
        qtbot.keyClick(form.date, Qt.Key.Key_Return)
    design = told.args[0].design
    assert (design.name, design.region, design.as_of) == ("Tide mill", "US", datetime.date(2026, 12, 1))
    assert (design.plane.anchor.lat_deg, design.plane.anchor.lon_deg) == (43.55, -69.6)


def test_site_without_a_position_has_plan_north_only(qtbot, page):
    qtbot.keyClicks(page.form.name, "Yard")
    with qtbot.waitSignal(page.begun) as told:
        qtbot.mouseClick(page.form.begin, Qt.MouseButton.LeftButton)
    assert told.args[0].design.plane.anchor is None
    assert told.args[0].design.region is None


@pytest.mark.parametrize(
    ("name", "position", "date", "field", "words"),
    [
        ("", "", "2026-12-01", "name", "needs a name"),
        ("\u200b", "", "2026-12-01", "name", "nothing in it can be read"),
        ("Yard", "somewhere", "2026-12-01", "position", "no place in a position"),
        ("Yard", "95, 10", "2026-12-01", "position", "90"),
        ("Yard", "", "next spring", "date", "no date"),
        ("Yard", "", "", "date", "no date"),
        ("Yard", "", "2026-02-30", "date", "no date"),
    ],
)
def test_wrong_value_is_refused_at_its_field_and_nothing_begins(qtbot, page, name, position, date, field, words):
    form = page.form
    form.name.setText(name)
    form.position.setText(position)
    form.date.setText(date)
    begun = []
    page.begun.connect(begun.append)
    qtbot.mouseClick(form.begin, Qt.MouseButton.LeftButton)
    assert not begun
    reason = form.reason[getattr(form, field)]
    assert words in reason.text()
    assert reason.isVisible()
    others = [one for key, one in form.reason.items() if key is not getattr(form, field)]
    assert not any(one.isVisible() for one in others)


def test_site_open_last_opens_again_with_mouse_and_key(qtbot, page, tmp_path):
    file = tmp_path / "yard" / "site.json"
    file.parent.mkdir()
    file.write_text("{}")
    remember_site(file, "Old yard")
    page.refresh()
    for press in (
        lambda row: qtbot.mouseClick(row, Qt.MouseButton.LeftButton),
        lambda row: qtbot.keyClick(row, Qt.Key.Key_Return),
    ):
        with qtbot.waitSignal(page.opened) as told:
            press(_row(page, "Old yard"))
        assert told.args[0] == file


def test_site_that_is_gone_is_said_and_stays_until_it_is_forgotten(qtbot, page, tmp_path):
    remember_site(tmp_path / "stick" / "site.json", "On the stick")
    page.refresh()
    row = _row(page, "On the stick")
    assert row.words.startswith("not there now")
    opened = []
    page.opened.connect(opened.append)
    qtbot.mouseClick(row, Qt.MouseButton.LeftButton)
    assert not opened
    assert "is not there now" in page.trouble.text()
    assert recent_sites()
    qtbot.keyClick(row, Qt.Key.Key_Delete)
    assert not recent_sites()
    assert "On the stick" not in [one.text() for one in page.rows()]


def test_demonstration_is_copied_to_the_folder_that_is_chosen(qtbot, page, tmp_path):
    page.ask_folder = lambda _parent, _title: tmp_path
    with qtbot.waitSignal(page.opened) as told:
        qtbot.mouseClick(_row(page, "Mill"), Qt.MouseButton.LeftButton)
    assert told.args[0] == tmp_path / "mill" / "site.json"
    assert read_site(told.args[0]).design.name == "Mill"


def test_demonstration_that_cannot_be_copied_is_said(qtbot, page, tmp_path):
    (tmp_path / "file").write_text("x")
    page.ask_folder = lambda _parent, _title: tmp_path / "file"
    qtbot.mouseClick(_row(page, "Mill"), Qt.MouseButton.LeftButton)
    assert "cannot be copied" in page.trouble.text()


def test_site_dropped_on_the_sheet_is_opened(qtbot, page, tmp_path):
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(tmp_path))])
    event = QDropEvent(
        QPointF(200, 200), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    )
    with qtbot.waitSignal(page.opened) as told:
        page.dropEvent(event)
    assert told.args[0] == tmp_path


_CRASH = """
import datetime, os
from survey_app.session.document import Document
from survey_app.site.new import new_site
from survey_app.site.edits import set_revision
document = Document.new(new_site("Lost yard", as_of=datetime.date(2026, 12, 1)))
document.apply(set_revision(document.site, "C"))
assert document.keep()
os._exit(9)
"""


def _left_behind():
    subprocess.run([sys.executable, "-c", _CRASH], check=False, timeout=60)


def test_work_that_was_never_saved_is_recovered_from_the_sheet(qtbot, page):
    _left_behind()
    page.refresh()
    with qtbot.waitSignal(page.recovered) as told:
        qtbot.mouseClick(_row(page, "Recover Lost yard"), Qt.MouseButton.LeftButton)
    document = told.args[0]
    assert (document.site.design.name, document.site.design.revision) == ("Lost yard", "C")
    assert not document.is_saved
    document.close()


def test_unsaved_work_set_aside_is_offered_no_more_and_not_lost(qtbot, page, tmp_path):
    _left_behind()
    page.refresh()
    qtbot.keyClick(_row(page, "Recover Lost yard"), Qt.Key.Key_Delete)
    assert "Recover Lost yard" not in [row.text() for row in page.rows()]
    kept = [file for file in (tmp_path / "state").rglob("*") if file.is_file() and "aside" in file.parts]
    assert any("Lost yard" in file.read_text(errors="replace") for file in kept), json.dumps([str(one) for one in kept])


def test_every_control_has_a_name_and_the_keyboard_reaches_it(page):
    from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit

    controls = [*page.findChildren(QAbstractButton), *page.findChildren(QComboBox), *page.findChildren(QLineEdit)]
    assert len(controls) >= 9
    for control in controls:
        if control.isVisible():
            assert control.accessibleName() or control.text(), control
            assert control.focusPolicy() & Qt.FocusPolicy.TabFocus, control


def test_sheet_stays_inside_the_window(page):
    for size in ((1280, 686), (2560, 1400), (900, 500)):
        page.resize(*size)
        page.layout().activate()
        assert page.rect().contains(page._sheet.geometry())
