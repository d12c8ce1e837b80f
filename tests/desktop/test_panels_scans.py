"""Scans of the air and photographs, entered in the form of what was found on site."""

from __future__ import annotations

import shutil

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtTest import QTest

from survey_app.data import demo_sites_folder
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.photo_field import PhotoField
from survey_app.desktop.panels.scan_rows import ScanRows
from survey_app.session.document import Document
from tests.desktop.panel_desks import choose, desk_of, type_into
from tests.desktop.test_panels_evidence import lines, opened, panel_on, press

pytestmark = pytest.mark.desktop


def scan_form(qtbot):
    desk = desk_of("boatyard")
    mount = desk.site.design.mounts[0].id
    part = opened(panel_on(qtbot, desk, mount), "scan")
    rows = part.fields["rows"].editor
    assert isinstance(rows, ScanRows)
    return desk, mount, part, rows


def cell(rows: ScanRows, row: int, column: int, words: str) -> None:
    rows.table.item(row, column).setText(words)


def test_a_scan_is_typed_row_by_row_and_recorded(qtbot):
    desk, mount, part, rows = scan_form(qtbot)
    cell(rows, 0, 0, "36")
    assert part.fields["rows"].reason == ""
    cell(rows, 0, 2, "−71")
    assert rows.table.rowCount() == 2
    cell(rows, 1, 0, "100")
    cell(rows, 1, 1, "40")
    cell(rows, 1, 2, "-64")
    cell(rows, 1, 3, "18")
    type_into(part.fields["by"], "R. Wren")
    press(part)
    (scan,) = [one for one in desk.site.evidence.scans if one.mount == mount]
    assert [(r.channel, r.width_mhz, r.level_dbm, r.busy_percent) for r in scan.rows] == [
        (36, 20.0, -71.0, None),
        (100, 40.0, -64.0, 18.0),
    ]
    assert "2 channels, strongest 100 at −64 dBm, busiest 100 at 18 %." in lines(part)[1]
    assert rows.table.rowCount() == 1


def test_rows_are_pasted_with_the_keyboard_and_removed(qtbot):
    _, _, part, rows = scan_form(qtbot)
    QGuiApplication.clipboard().setText("channel\tlevel\n36\t-71\n52\t-80")
    rows.table.setFocus()
    QTest.keyClick(rows.table, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert [row.channel for row in part.fields["rows"].entry.value] == [36, 52]
    rows.table.setCurrentCell(0, 0)
    QTest.keyClick(rows.table, Qt.Key.Key_Delete)
    assert [row.channel for row in part.fields["rows"].entry.value] == [52]


def test_a_wrong_cell_is_refused_at_the_field_and_nothing_is_recorded(qtbot):
    desk, mount, part, rows = scan_form(qtbot)
    cell(rows, 0, 0, "36")
    cell(rows, 0, 2, "loud")
    assert "no figure for the level" in part.fields["rows"].reason
    type_into(part.fields["by"], "R. Wren")
    press(part)
    assert not any(one.mount == mount for one in desk.site.evidence.scans)
    cell(rows, 0, 2, "-70")
    assert part.fields["rows"].reason == ""
    press(part)
    assert any(one.mount == mount for one in desk.site.evidence.scans)


def test_a_row_that_was_only_begun_is_not_recorded_without_a_word(qtbot):
    desk, mount, part, rows = scan_form(qtbot)
    cell(rows, 0, 0, "36")
    type_into(part.fields["by"], "R. Wren")
    press(part)
    assert part.fields["rows"].reason
    assert not any(one.mount == mount for one in desk.site.evidence.scans)


@pytest.fixture
def saved(tmp_path) -> Desk:
    shutil.copytree(demo_sites_folder() / "boatyard", tmp_path / "yard")
    desk = Desk(Document.open(tmp_path / "yard"))
    yield desk
    desk.document.close()


def test_a_photograph_of_a_sight_is_copied_into_the_assets_and_shown(qtbot, tmp_path, saved):
    picture = QImage(400, 300, QImage.Format.Format_RGB32)
    picture.fill(Qt.GlobalColor.darkCyan)
    picture.save(str(tmp_path / "view.png"))
    (tmp_path / "words.png").write_text("no picture", encoding="utf-8")
    part = opened(panel_on(qtbot, saved, saved.site.design.hops[0].id), "sight")
    photo = part.fields["photo"].editor
    assert isinstance(photo, PhotoField)
    assert photo.choose.text() == "Choose …"
    photo.ask_file = lambda _parent: tmp_path / "words.png"
    QTest.mouseClick(photo.choose, Qt.MouseButton.LeftButton)
    assert "no photograph" in part.fields["photo"].reason
    photo.ask_file = lambda _parent: tmp_path / "view.png"
    QTest.mouseClick(photo.choose, Qt.MouseButton.LeftButton)
    name = part.fields["photo"].entry.value
    assert saved.document.shelf.path(name).read_bytes() == (tmp_path / "view.png").read_bytes()
    assert not photo.choose.icon().isNull()
    QTest.mouseClick(photo.off, Qt.MouseButton.LeftButton)
    assert part.fields["photo"].entry.value == ""
    QTest.mouseClick(photo.choose, Qt.MouseButton.LeftButton)
    choose(part.fields["result"], 1)
    choose(part.fields["leaf"], 1)
    type_into(part.fields["by"], "R. Wren")
    press(part)
    assert saved.site.evidence.sights[-1].photo == name
    assert any(label.pixmap() and not label.pixmap().isNull() for label in part.lines)
