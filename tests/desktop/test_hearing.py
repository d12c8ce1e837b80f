"""Who hears whom in the window: a matrix that selects both, and lines on the plan for the selected radio."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from survey_app.assess.hearing import Hearing, who_hears
from survey_app.desktop.canvas.canvas import PlatCanvas
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.hearing_table import senders_of
from survey_app.desktop.shell.listener import Listener
from survey_app.desktop.strips.cells_page import CellsPage
from survey_app.drawing.roles import Role
from survey_app.site.edits import set_channel
from tests.desktop.desks import demo, demo_desk

pytestmark = pytest.mark.desktop

PATIENCE_MS = 60_000


@pytest.fixture
def desk() -> Iterator[Desk]:
    desk = demo_desk("mill")
    yield desk
    desk.document.close()


@pytest.fixture
def listener(desk: Desk) -> Iterator[Listener]:
    listener = Listener(desk)
    yield listener
    listener.stop()


@pytest.fixture
def page(qtbot: Any, desk: Desk, listener: Listener) -> Iterator[CellsPage]:
    page = CellsPage(desk)
    qtbot.addWidget(page)
    page.resize(1400, 420)
    page.show()
    button = next(one for one in page._words.buttons() if one.text() == "who hears whom")
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(page.hearing.table.table.rows), timeout=PATIENCE_MS)
    yield page
    page.stop()


def known() -> Hearing:
    return who_hears(demo("mill")[0])


def cell_at(page: CellsPage, hearer: str, sender: str) -> QPoint:
    table = page.hearing.table
    row = next(n for n, one in enumerate(table.table.rows) if one.ids == (hearer,))
    column = 4 + senders_of(known()).index(sender)
    return table.visualRect(table.sorted.mapFromSource(table.table.index(row, column))).center()


def test_nobody_works_it_out_before_somebody_looks(qtbot: Any, desk: Desk, listener: Listener) -> None:
    asked: list[bool] = []
    desk.hearing_asked.connect(lambda: asked.append(True))
    page = CellsPage(desk)
    qtbot.addWidget(page)
    page.show()
    assert asked == []
    page.show_hearing()
    assert asked
    qtbot.waitUntil(lambda: desk.hearing is not None, timeout=PATIENCE_MS)
    page.stop()


def test_each_cell_says_how_far_over_the_noise_and_whether_it_waits(page: CellsPage) -> None:
    hearing = known()
    table = page.hearing.table.table
    heads = [column.head.split("\n")[0] for column in table.columns[4:]]
    assert heads == list(senders_of(hearing))
    rows = {row.ids[0]: [cell.text for cell in row.cells] for row in table.rows}
    n, k = hearing.rows["A-T"], hearing.rows["A-I"]
    assert rows["A-T"][4 + heads.index("A-I")] == f"{hearing.over_noise_db[n, k]:.0f} w"
    assert rows["A-C1"][4 + heads.index("ST-C1")] == "own"
    assert rows["A-I"][4 + heads.index("A-I")] == "itself"
    assert rows["A-E"][4:] == [""] * len(heads)
    hop = next(row for row in demo("mill")[1].hops if row.station == "ST-C1")
    assert rows["ST-C1"][3] == f"{hop.directions.to_station.sinr_db:.1f}"


def test_a_click_on_a_cell_selects_who_hears_and_who_is_heard(page: CellsPage, desk: Desk) -> None:
    viewport = page.hearing.table.viewport()
    QTest.mouseClick(viewport, Qt.MouseButton.LeftButton, pos=cell_at(page, "ST-T", "A-I"))
    assert desk.selection == ("ST-T", "A-I")
    desk.select(["A-T", "ST-cart"])
    marked = page.hearing.table.selectionModel().selectedIndexes()
    (index,) = marked
    assert page.hearing.table.visualRect(index).center() == cell_at(page, "A-T", "ST-cart")
    desk.select(["A-E"])
    (index,) = page.hearing.table.selectionModel().selectedIndexes()
    assert (index.data(), index.column()) == ("A-E", 0)


def test_it_is_sorted_by_level_and_copied_as_text(page: CellsPage) -> None:
    table = page.hearing.table
    column = 4 + senders_of(known()).index("A-I")
    table.sortByColumn(column, Qt.SortOrder.DescendingOrder)
    assert table.sorted.index(0, 0).data() == "ST-T"
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0].split("\t")[:4] == ["hears", "cell", "channel", "SINR, worse hop, dB"]
    assert lines[1].startswith("ST-T\t")


def test_figures_stand_in_brackets_until_an_edit_is_worked_out(page: CellsPage, desk: Desk, qtbot: Any) -> None:
    from survey_app.assess.pipeline import assess

    desk.perform(lambda site: set_channel(site, "A-T", 52))
    table = page.hearing.table
    shown = table.sorted.index(0, 3).data()
    assert shown.startswith("[")
    desk.put_assessment(desk.site, assess(desk.site))
    qtbot.waitUntil(lambda: not table.sorted.index(0, 3).data().startswith("["), timeout=PATIENCE_MS)
    assert "21 w" not in table.text()


def test_the_plan_leads_lines_from_the_selected_radio_to_those_for_which_it_waits(
    qtbot: Any, desk: Desk, listener: Listener
) -> None:
    canvas = PlatCanvas(desk)
    qtbot.addWidget(canvas)
    canvas.resize(1000, 700)
    canvas.show()
    desk.select(["ST-T"])
    assert not canvas.recorded().of_role(Role.HEARD)
    canvas.show_heard(True)
    qtbot.waitUntil(lambda: desk.hearing is not None, timeout=PATIENCE_MS)
    (lines,) = canvas.recorded().of_role(Role.HEARD)
    assert len(lines.points_m) == 2 * len(known().waited_for("ST-T"))
    desk.select(["A-E"])
    assert not canvas.recorded().of_role(Role.HEARD)
    desk.select(["ST-T"])
    canvas.show_heard(False)
    assert not canvas.recorded().of_role(Role.HEARD)
