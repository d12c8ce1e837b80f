"""Every action can be chosen at any time: on an empty site, with everything selected, and where one may only look."""

from __future__ import annotations

import datetime
import itertools
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from survey_app.data import demo_sites_folder
from survey_app.desktop.shell.action_table import ACTIONS
from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.window import Window
from survey_app.desktop.tools.all_tools import TOOLS
from survey_app.session.document import Document
from survey_app.site.new import new_site
from tests.desktop.window_walk import faults_noted, sound, still_chooser

pytestmark = pytest.mark.desktop

LEAVES = frozenset({"site.quit"})
CHOSEN = [entry.id for entry in ACTIONS if entry.id not in LEAVES]
# with nothing selected an action meets no more in a large site than in a small one, and how it is shown is left alone
SITES = {"empty": (False, True), "boatyard": (False, True), "college": (True,), "mill": (True,)}
LARGE = frozenset({"college", "mill"})


def _document(name: str, folder: Path) -> Document:
    if name == "empty":
        return Document.new(new_site("Yard", as_of=datetime.date(2026, 12, 1)))
    if not folder.exists():
        shutil.copytree(demo_sites_folder() / name, folder)
    return Document.open(folder)


def _window(qtbot: Any, document: Document, folder: Path) -> Window:
    window = Window(document, Judge(), Preferences())
    qtbot.addWidget(window)
    still_chooser(window, folder / "chosen")
    window.resize(1280, 720)
    window.show()
    window.opening.ask_what_waits()
    return window


def _leave(window: Window) -> None:
    window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
    window.close()


@pytest.fixture
def window(name: str, qtbot: Any, tmp_path: Path) -> Iterator[Window]:
    """A window on an empty site or on one of the demos."""
    with faults_noted() as faults:
        window = _window(qtbot, _document(name, tmp_path / "site"), tmp_path)
        yield window
        _leave(window)
    assert not faults, faults[0]


@pytest.mark.parametrize("name", SITES)
def test_every_action_can_be_chosen_with_everything_selected_and_with_nothing(
    window: Window, name: str, qtbot: Any
) -> None:
    desk = window.desk
    first = desk.site
    qtbot.waitUntil(lambda: desk.is_fresh, timeout=60_000)
    for everything in SITES[name]:
        for action_id in CHOSEN:
            if window.desk.document.is_saved is False and action_id == "site.save":
                continue
            if name in LARGE and action_id.startswith("view."):
                continue
            window.show_page(window.canvas)
            desk.select(desk.things if everything else ())
            window.menus.action(action_id).trigger()
            QApplication.processEvents()
            assert window.trouble.count == 0, action_id
            assert QApplication.activeModalWidget() is None, action_id
            for _ in range(len(desk.document.history.labels)):
                desk.undo()
            assert desk.site.design is first.design, action_id
    assert sound(desk.site)


@pytest.fixture
def only_looking(qtbot: Any, tmp_path: Path) -> Iterator[Window]:
    """A window on a site that another window has open."""
    holder = _document("boatyard", tmp_path / "site")
    with faults_noted() as faults:
        window = _window(qtbot, _document("boatyard", tmp_path / "site"), tmp_path)
        assert window.desk.document.is_read_only
        yield window
        _leave(window)
    holder.close()
    assert not faults, faults[0]


def test_no_action_changes_what_one_may_only_look_at(only_looking: Window, qtbot: Any) -> None:
    window, site = only_looking, only_looking.desk.site
    qtbot.waitUntil(lambda: window.desk.is_fresh, timeout=60_000)
    before = {path: path.read_bytes() for path in window.desk.document.folder.rglob("*.json")}  # type: ignore[union-attr]
    for action_id in CHOSEN:
        window.show_page(window.canvas)
        window.desk.select(window.desk.things)
        window.menus.action(action_id).trigger()
        QApplication.processEvents()
        assert window.desk.site is site, action_id
        assert window.trouble.count == 0, action_id
    assert {path: path.read_bytes() for path in before} == before


def test_every_tool_says_why_it_changes_nothing_where_one_may_only_look(only_looking: Window, qtbot: Any) -> None:
    window = only_looking
    qtbot.waitUntil(lambda: window.desk.is_fresh, timeout=60_000)
    said: list[str] = []
    window.desk.said.connect(said.append)
    spots = _spots(window)
    tools = [tool.name for tool in TOOLS if tool.name not in ("select", "measure")]
    for tool in tools:
        window.desk.select([window.desk.site.design.structures[0].id] if tool in ("rotate", "row") else ())
        said.clear()
        window.take_up(tool)
        assert len(said) == 1, (tool, said)
        assert said[0].startswith("The site is open in another window"), tool
        assert said[0].endswith("here it can only be read."), tool
        _tries(window, tool, spots)
    assert len(tools) > 10


def _spots(window: Window) -> list[QPoint]:
    """Return a few places round the middle of the plan and on things."""
    view, design = window.canvas.viewport(), window.desk.site.design
    middle = QPoint(view.width() // 2, view.height() // 2)
    spots = [middle + QPoint(dx, dy) for dx, dy in ((-60, -40), (60, -40), (60, 40), (-60, 40))]
    for thing in ("radios", "mounts", "structures", "cameras"):
        for row in getattr(design, thing)[:2]:
            spot = window.desk.placed.mounts.get(getattr(row, "mount", row.id))
            if spot is not None:
                x, y = window.canvas.frame.px(spot.x_m, spot.y_m)
                spots.append(QPoint(round(x), round(y)))
    return spots


def _tries(window: Window, tool: str, spots: list[QPoint]) -> None:
    """Click and drag all over the plan with a tool that was taken up."""
    view, site = window.canvas.viewport(), window.desk.site
    for spot in spots:
        QTest.mouseMove(view, spot)
        QTest.mouseClick(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, spot)
    for start, end in itertools.pairwise(spots):
        QTest.mousePress(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, start)
        QTest.mouseMove(view, end)
        QTest.mouseRelease(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, end)
    QTest.keyClick(window.canvas, Qt.Key.Key_Return)
    assert window.desk.site is site, tool
    assert window.trouble.count == 0, tool


def test_notes_over_the_plan_end_it_and_go_with_it(qtbot: Any, tmp_path: Path) -> None:
    """What lay over the plan stayed over the start page and the sheets, and words of the plan were cut at its edge."""
    window = _window(qtbot, _document("boatyard", tmp_path / "site"), tmp_path)
    qtbot.waitUntil(lambda: window.desk.is_fresh, timeout=20000)
    whole = window.canvas.frame
    seen = whole.px(0.0, 0.0)
    window.show_notes()
    body = window.notes.body
    plan = window.canvas.frame
    assert body.isVisible()
    # the plan ends where they begin, and what is seen of it stays
    assert window.canvas.mapTo(window, QPoint(round(plan.left_px + plan.width_px), 0)).x() < body.x()
    assert plan.px(0.0, 0.0) == pytest.approx(seen)
    for page in (window.show_start_page, window.show_keys):
        page()
        assert body.isHidden()
    window.show_page(window.canvas)
    assert body.isVisible()
    window.sheet.show_alone(True)
    assert body.isHidden()
    window.sheet.show_alone(False)
    window.sheet.turn_notes()
    assert body.isHidden()
    assert window.canvas.frame.window_m == pytest.approx(whole.window_m)
    _leave(window)


def test_what_belongs_beside_the_plan_brings_the_plan_back(qtbot: Any, tmp_path: Path) -> None:
    window = _window(qtbot, _document("boatyard", tmp_path / "site"), tmp_path)
    acts = {entry.id: entry for entry in ACTIONS}
    for name in ("check.flags", "check.tally", "site.pictures", "site.particulars"):
        window.show_keys()
        acts[name].run(window)
        assert window.on_plan
    window.show_keys()
    assert not acts["view.notes"].enabled(window)
    _leave(window)
