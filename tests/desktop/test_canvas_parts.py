"""A plan that takes long is made in parts while the old one is shown, and is then the same as one made at a stretch."""

from __future__ import annotations

from dataclasses import replace

import pytest

from survey_app.desktop.canvas.base import Painting, painted
from survey_app.desktop.canvas.canvas import PlatCanvas
from tests.desktop.desks import demo_desk


@pytest.fixture
def canvas(qtbot):
    made = PlatCanvas(demo_desk("boatyard"))
    qtbot.addWidget(made)
    made.resize(1000, 640)
    made.show()
    qtbot.waitExposed(made)
    made.rested()
    return made


def test_picture_painted_in_parts_is_that_painted_at_once(canvas):
    base, sheet = canvas.sheet.base, canvas.sheet
    painting = Painting(base.frame, base.shapes, sheet.brushes, 1.0, lambda _painter, _frame: None)
    parts = 1
    while not painting.go_on(0.0):
        parts += 1
    whole = painted(base.frame, base.shapes, sheet.brushes, 1.0, lambda _painter, _frame: None)
    assert parts > 10
    assert painting.base().pixmap.toImage() == whole.pixmap.toImage()


def test_old_plan_is_shown_until_all_parts_of_the_new_one_are_made(canvas):
    sheet = canvas.sheet
    canvas._desk.select(("office",))
    old, made = sheet.base, sheet.made
    parts = 1
    while not sheet.settle_part(canvas.frame, 1.0, 0.0):
        assert sheet.base is old
        parts += 1
    assert parts > 10
    assert sheet.made == made + 1
    in_parts = sheet.base
    sheet.look_changed(sheet.brushes)
    assert sheet.settle(canvas.frame, 1.0)
    assert sheet.base.pixmap.toImage() == in_parts.pixmap.toImage()


def test_change_while_parts_are_made_begins_the_plan_anew(canvas):
    sheet = canvas.sheet
    canvas._desk.select(("office",))
    for _ in range(4):
        assert not sheet.settle_part(canvas.frame, 1.0, 0.0)
    canvas._desk.select(())
    while not sheet.settle_part(canvas.frame, 1.0, 0.0):
        pass
    assert sheet.wish.selection == ()
    in_parts = sheet.base
    sheet.look_changed(sheet.brushes)
    sheet.settle(canvas.frame, 1.0)
    assert sheet.base.pixmap.toImage() == in_parts.pixmap.toImage()


def test_plan_that_takes_long_comes_by_itself_when_the_hand_rests(canvas, qtbot):
    sheet = canvas.sheet
    sheet._base = replace(sheet.base, took_s=0.5)
    made = sheet.made
    canvas._desk.select(("office",))
    qtbot.waitUntil(lambda: sheet.made > made, timeout=20_000)
    assert sheet._wish_made.selection == ("office",)
