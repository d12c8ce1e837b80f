"""The designer's tour of README.md, step by step: from an empty plane to a printed set."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.window import Window
from survey_app.drawing.shapes import Point
from survey_app.session.document import Document
from survey_app.site.new import new_site
from tests.desktop.hand import LEFT, Hand
from tests.desktop.panel_desks import type_into

pytestmark = [pytest.mark.desktop, pytest.mark.slow]


@pytest.fixture
def hand(qtbot: Any) -> Iterator[Hand]:
    """A hand at a window that has just been started."""
    empty = new_site("New site", as_of=datetime.date(2026, 12, 1))
    window = Window(Document.new(empty), Judge(), Preferences(), start=True)
    window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
    window.resize(1600, 1000)
    window.show()
    qtbot.addWidget(window)
    yield Hand(window, qtbot)
    window.close()


def _symbol(hand: Hand, thing_id: str) -> Point:
    """Return where a thing's symbol is drawn. [m]"""
    seen = [one for one in hand.canvas.recorded().symbols() if one.subject == thing_id]
    return seen[0].points_m[0]


def _wire(hand: Hand, a: str, b: str) -> None:
    hand.click(*_symbol(hand, a))
    hand.click(*_symbol(hand, b))


def _stops(hand: Hand) -> list[tuple[str, str]]:
    hand.settle()
    assert hand.window.desk.assessment is not None
    return [(one.code, one.subject) for one in hand.window.desk.assessment.findings if one.severity == "stop"]


def _cure(hand: Hand, code: str) -> None:
    """Choose the finding of a code in the flag notes and press the button of its cure."""
    flags = hand.window.notes.flags
    numbers = [row for row, one in enumerate(flags.list.flags.shown) if one.code == code]
    flags.list.setCurrentIndex(flags.list.flags.index(numbers[0]))
    QTest.mouseClick(flags.card.cure_buttons[0], LEFT)


def test_the_tour_leads_from_an_empty_plane_to_a_printed_set(hand: Hand, tmp_path: Path) -> None:
    window = hand.window
    # 1 a new site
    form = window.start_page.form
    QTest.keyClicks(form.name, "Quarry yard")
    QTest.keyClicks(form.position, "56.3, 11.8")
    form.region.setCurrentIndex(form.region.findData("EU"))
    QTest.mouseClick(form.begin, LEFT)
    assert window.on_plan
    # 2 a building
    hand.look(60, 30, 8)
    hand.key(Qt.Key.Key_B)
    for corner in ((0, 0), (24, 0), (24, 12), (0, 12)):
        hand.click(*corner, Qt.KeyboardModifier.ShiftModifier)
    hand.key(Qt.Key.Key_Return)
    # 3 two poles, the second by typed figures
    hand.key(Qt.Key.Key_P)
    hand.click(100, 42)
    hand.type("80; 5")
    hand.key(Qt.Key.Key_Return)
    # 4 radios
    hand.key(Qt.Key.Key_A)
    hand.click(24.4, 6)
    hand.key(Qt.Key.Key_N)
    hand.click(100, 42)
    hand.click(80, 5)
    # 5 hops
    hand.key(Qt.Key.Key_H)
    for station in ("S1", "S2"):
        hand.drag(_symbol(hand, station), (60, 15), _symbol(hand, "A1"))
    # 6 cameras, and the recorder
    hand.key(Qt.Key.Key_C)
    hand.drag((100, 42), (95, 50), (85, 60))
    hand.drag((80, 5), (90, 0), (100, -5))
    hand.key(Qt.Key.Key_E)
    hand.click(5, 6)
    # 7 switches and boards
    hand.key(Qt.Key.Key_D)
    for spot in ((12, 6), (104, 38), (84, 1)):
        hand.click(*spot)
    hand.key(Qt.Key.Key_Q)
    for spot in ((12, 2), (105, 43), (85, 6)):
        hand.click(*spot)
    # 8 wires
    hand.key(Qt.Key.Key_W)
    hand.look(12, 6, 20)
    for pair in (("Q1", "D1"), ("E1", "D1"), ("D1", "A1")):
        _wire(hand, *pair)
    for at, pairs in (
        ((100, 42), (("Q2", "D2"), ("D2", "S1"), ("C1", "D2"))),
        ((80, 5), (("Q3", "D3"), ("D3", "S2"), ("C2", "D3"))),
    ):
        hand.look(*at, 20)
        for pair in pairs:
            _wire(hand, *pair)
    hand.key(Qt.Key.Key_S)
    design = window.desk.site.design
    counts = (len(design.structures), len(design.radios), len(design.hops), len(design.cameras), len(design.devices))
    assert counts == (3, 3, 2, 2, 4)
    # 9 the flags: two have a cure that is one press, two switches want a box
    codes = {code for code, _ in _stops(hand)}
    assert codes == {"no-channel", "no-power-there", "wet-injector"}
    _cure(hand, "no-channel")
    hand.settle()
    _cure(hand, "no-power-there")
    window.desk.select(["D2", "D3"])
    type_into(window.notes.particulars.form.field("enclosure"), "Coffer 30")
    assert _stops(hand) == []
    # 10 save, look at the sheets, write the whole set
    window.choosers.folder_to_save = lambda _folder, _name: tmp_path / "quarry"  # type: ignore[method-assign]
    hand.key(Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    assert window.desk.document.is_saved
    hand.key(Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    hand.qtbot.waitUntil(lambda: window.preview.page_count >= 3 and not window.preview.is_busy, timeout=60_000)
    window.menus.action("paper.set").trigger()
    paper = tmp_path / "quarry" / "paper" / "A"
    hand.qtbot.waitUntil(lambda: (paper / "tally.pdf").exists() and not window.preview.is_busy, timeout=60_000)
    assert {file.name for file in paper.iterdir()} >= {
        "mounting-sheets.pdf",
        "hop-schedule.pdf",
        "tally.xlsx",
        "cover.pdf",
    }
