"""Hop schedule, routes, tally and register: sorted, copied as text, selecting and selected."""

from __future__ import annotations

import csv
import io

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit

from survey_app.desktop.panels.hop_table import HopTable, RouteTable
from survey_app.desktop.panels.register import Register
from survey_app.desktop.panels.sheet_table import SheetTable, order_key
from survey_app.desktop.panels.tally_table import TallyTable
from survey_app.paper.schedule import schedule_csv
from survey_app.paper.tally_cells import tally_csv
from survey_app.session.document import Document
from survey_app.site.edits import change, remove
from tests.desktop.panel_desks import demo, desk_of, reassess


def shown(qtbot, page):
    qtbot.addWidget(page)
    page.resize(1500, 500)
    page.show()
    return page


def column(table: SheetTable, head: str) -> list[str]:
    number = [one.head.replace("\n", " ") for one in table.table.columns].index(head)
    return [table.sorted.index(row, number).data() for row in range(table.sorted.rowCount())]


def sort_by(table: SheetTable, head: str, times: int = 1) -> None:
    number = [one.head.replace("\n", " ") for one in table.table.columns].index(head)
    bar = table.horizontalHeader()
    table.scrollTo(table.sorted.index(0, number))
    for _ in range(times):
        spot = bar.viewport().rect().topLeft()
        spot.setX(bar.sectionViewportPosition(number) + 12)
        spot.setY(6)
        QTest.mouseClick(bar.viewport(), Qt.MouseButton.LeftButton, pos=spot)


@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_schedule_has_the_rows_and_figures_of_the_paper(qtbot, name):
    desk = desk_of(name)
    page = shown(qtbot, HopTable(desk))
    paper = list(csv.DictReader(io.StringIO(schedule_csv(*demo(name)), newline="")))
    assert column(page.table, "hop") == [row["hop"] for row in paper]
    distances = [float(text.split(",")[0].replace("\u2009", "")) for text in column(page.table, page_distance(page))]
    assert distances == [float(row["distance m"]) for row in paper]
    for head, key in (("reading at AP dBm", "reading at access point dBm"), ("margin dB", "margin dB")):
        for text, row in zip(column(page.table, head), paper, strict=True):
            assert text.replace("−", "-") == row[key] or (text in ("none", "not known") and row[key] == "")
    page.close()


def page_distance(page) -> str:
    return next(one.head.replace("\n", " ") for one in page.table.table.columns if one.head.startswith("distance"))


def test_click_on_a_head_sorts_by_value_and_again_the_other_way(qtbot):
    page = shown(qtbot, HopTable(desk_of("mill")))
    sort_by(page.table, page_distance(page))
    rising = [float(text) for text in column(page.table, page_distance(page))]
    assert rising == sorted(rising)
    sort_by(page.table, page_distance(page))
    assert [float(text) for text in column(page.table, page_distance(page))] == rising[::-1]
    page.close()


def test_what_is_not_known_stands_last_in_either_direction(qtbot):
    page = shown(qtbot, HopTable(desk_of("mill")))
    for _ in range(2):
        sort_by(page.table, "margin dB")
        texts = column(page.table, "margin dB")
        unknown = [text in ("none", "not known") for text in texts]
        assert any(unknown)
        assert unknown == sorted(unknown)
    page.close()


def test_copy_gives_heads_and_rows_parted_by_tabs(qtbot):
    page = shown(qtbot, HopTable(desk_of("mill")))
    QTest.keyClick(page.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert len(lines) == 1 + len(demo("mill")[1].hops)
    assert lines[0].split("\t")[:5] == ["hop", "access point", "station", "distance m", "from AP true °"]
    assert {len(line.split("\t")) for line in lines} == {len(page.table.table.columns)}
    page.table.selectRow(1)
    QTest.keyClick(page.table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    (_, line) = QGuiApplication.clipboard().text().splitlines()
    assert line == lines[2]
    page.close()


def test_rows_and_selection_follow_each_other(qtbot):
    desk = desk_of("mill")
    page = shown(qtbot, HopTable(desk))
    spot = page.table.visualRect(page.table.sorted.index(2, 0)).center()
    QTest.mouseClick(page.table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert desk.selection == (column(page.table, "hop")[2],)
    desk.select(["C1"])
    assert page.table.chosen() == ("C1",)
    desk.select(["hall"])
    assert page.table.chosen() == ()
    wanted: list[object] = []
    desk.wanted.connect(wanted.append)
    desk.select(["T"])
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    assert wanted == [("T",)]
    page.close()


def test_figures_of_an_older_site_stand_in_brackets(qtbot):
    desk = desk_of("mill")
    page = shown(qtbot, HopTable(desk))
    before = column(page.table, "hop"), column(page.table, "margin dB")
    desk.perform(lambda site: change(site, "gatehouse-east", height_m=9.0))
    assert column(page.table, "margin dB") == [f"[{text}]" for text in before[1]]
    assert column(page.table, "hop") == before[0]
    reassess(desk)
    assert not any(text.startswith("[") for text in column(page.table, "margin dB"))
    page.close()


def test_hidden_table_is_filled_when_it_is_shown(qtbot):
    page = HopTable(desk_of("mill"))
    qtbot.addWidget(page)
    assert page.table.table.rows == ()
    page.show()
    assert len(page.table.table.rows) == 5
    page.close()


@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_routes_name_every_camera_and_its_legs(qtbot, name):
    page = shown(qtbot, RouteTable(desk_of(name)))
    routes = {row.camera: row for row in demo(name)[1].routes}
    assert column(page.table, "camera") == sorted(routes)
    for camera, legs in zip(column(page.table, "camera"), column(page.table, "legs, in order"), strict=True):
        assert all(f"{leg.kind} {leg.id}" in legs for leg in routes[camera].legs)
    page.close()


@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_tally_has_the_quantities_of_the_paper(qtbot, name):
    page = shown(qtbot, TallyTable(desk_of(name)))
    paper = list(csv.DictReader(io.StringIO(tally_csv(*demo(name)), newline="")))
    for head in ("item", "need", "spare", "order"):
        assert [float(text) for text in column(page.table, head)] == [float(row[head]) for row in paper]
    assert column(page.table, "unit") == [row["unit"] for row in paper]
    page.close()


def test_ids_sort_by_their_numbers():
    assert sorted(["H10", "H9", "h1", "A2"], key=order_key) == ["A2", "h1", "H9", "H10"]


def register_on(qtbot, desk) -> Register:
    register = Register(desk)
    qtbot.addWidget(register)
    register.resize(700, 500)
    register.show()
    return register


def ids(register: Register) -> list[str]:
    return [register.rows.index(row, 1).data() for row in range(register.rows.rowCount())]


def test_register_lists_everything_and_finds_by_words(qtbot):
    desk = desk_of("boatyard")
    register = register_on(qtbot, desk)
    assert ids(register) == list(desk.things)
    assert register.count.text() == f"{len(desk.things)} things"
    QTest.keyClicks(register.search, "office mount")
    assert set(ids(register)) >= {"office-west", "office-east-u", "office-east-f"}
    assert "office" not in ids(register)
    assert register.count.text() == f"{len(ids(register))} of {len(desk.things)} things"
    register.close()


def test_register_filters_by_kind_status_and_flags(qtbot):
    desk = desk_of("mill")
    register = register_on(qtbot, desk)
    register.kind.setCurrentIndex(register.kind.findText("station"))
    register.kind.activated.emit(register.kind.currentIndex())
    assert ids(register) == [radio.id for radio in desk.site.design.radios if radio.role == "station"]
    QTest.keyClick(register.status, Qt.Key.Key_Down)
    flagged = desk.rows.findings_of
    assert ids(register) == [r.id for r in desk.site.design.radios if r.role == "station" and r.id in flagged]
    register.close()


def test_register_renames_in_place(qtbot):
    desk = desk_of("boatyard")
    register = register_on(qtbot, desk)
    row = ids(register).index("gate")
    index = register.rows.index(row, 2)
    register.view.setCurrentIndex(index)
    QTest.keyClick(register.view, Qt.Key.Key_F2)
    line = register.view.findChild(QLineEdit)
    line.selectAll()
    QTest.keyClicks(line, "Column by the gate")
    QTest.keyClick(line, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: desk.things["gate"].name == "Column by the gate")
    assert register.rows.setData(register.rows.index(row, 1), "gate-column-mount")
    assert "gate-column-mount" in desk.things
    assert desk.selection == ("gate-column-mount",)
    assert desk.things["ST-gate"].mount == "gate-column-mount"
    said: list[str] = []
    desk.said.connect(said.append)
    assert not register.rows.setData(register.rows.index(row, 1), "office")
    assert said
    assert ids(register)[row] == "gate-column-mount"
    register.close()


def test_register_and_selection_follow_each_other_also_several(qtbot):
    desk = desk_of("boatyard")
    register = register_on(qtbot, desk)
    rows = [ids(register).index(one) for one in ("gate", "fuel")]
    for number, row in enumerate(rows):
        spot = register.view.visualRect(register.rows.index(row, 1)).center()
        register.view.scrollTo(register.rows.index(row, 1))
        spot = register.view.visualRect(register.rows.index(row, 1)).center()
        extend = Qt.KeyboardModifier.ControlModifier if number else Qt.KeyboardModifier.NoModifier
        QTest.mouseClick(register.view.viewport(), Qt.MouseButton.LeftButton, extend, spot)
    assert set(desk.selection) == {"gate", "fuel"}
    desk.select(["G"])
    assert register.view.chosen() == ("G",)
    wanted: list[object] = []
    desk.wanted.connect(wanted.append)
    spot = register.view.visualRect(register.rows.index(ids(register).index("G"), 1)).center()
    QTest.mouseClick(register.view.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    QTest.mouseDClick(register.view.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert wanted == [("G",)]
    register.close()


def test_register_follows_edits(qtbot):
    desk = desk_of("boatyard")
    register = register_on(qtbot, desk)
    desk.perform(lambda site: remove(site, "cam-a-1", cascade=True))
    assert "cam-a-1" not in ids(register)
    desk.undo()
    assert ids(register) == list(desk.things)
    register.close()


def test_register_copies_as_text(qtbot):
    register = register_on(qtbot, desk_of("boatyard"))
    QTest.keyClick(register.view, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0] == "id\tname\tkind\tstatus\tat"
    assert lines[1] == "office\tOffice\tbuilding\tplanned\t" or lines[1].startswith("office\tOffice\tbuilding\t")
    assert len(lines) == 1 + len(ids(register))
    register.close()


def test_two_thousand_things_are_listed_and_searched(qtbot):
    from survey_app.desktop.desk import Desk
    from survey_app.site.site import Site

    site, _ = demo("boatyard")
    pole = next(one for one in site.design.structures if one.id == "fuel-pole")
    many = tuple(type(pole)(**{**pole.__dict__, "id": f"P{number}", "name": ""}) for number in range(2200))
    design = site.design.model_copy(update={"structures": (*site.design.structures, *many)})
    desk = Desk(Document(Site(design=design, evidence=site.evidence)))
    register = register_on(qtbot, desk)
    QTest.keyClicks(register.search, "p219")
    assert ids(register) == ["P219", *(f"P219{digit}" for digit in range(10))]
    desk.select(["P2199"])
    assert register.view.chosen() == ("P2199",)
    register.close()
