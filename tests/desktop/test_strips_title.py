"""The title block: live fields, brackets, what stays where it is low, and why a figure is what it is."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from survey_app.desktop import letters
from survey_app.desktop.strips.title_block import TitleBlock, two_lines
from survey_app.desktop.strips.title_words import title_fields
from survey_app.site.edits import change_design, remove, set_revision, set_status
from tests.desktop.desks import demo, demo_desk


@pytest.fixture
def desk():
    desk = demo_desk("boatyard")
    yield desk
    desk.document.close()


@pytest.fixture
def block(qtbot, desk):
    block = TitleBlock(desk)
    qtbot.addWidget(block)
    block.resize(300, 258)
    block.show()
    return block


def _fields(block):
    return {field.head: field.shown for row in block.rows() for field in row}


def test_fields_are_those_of_the_site_and_its_assessment(block, desk):
    assert _fields(block) == {
        "SITE": "Boatyard",
        "DATUM": "mean water",
        "SCALE": "not known",
        "RADIOS": "13",
        "HOPS": "8",
        "CELLS": "5",
        "CAMERAS": "15",
        "AIRTIME, BUSIEST CELL": "A-U 0.27 of 0.55",
        "THINNEST MARGIN": "P-W 19.6 dB",
        "REV.": "A",
        "CHECKSUM": desk.assessment.checksum,
    }
    assert "thinnest margin P-W 19.6 dB" in block.accessibleDescription()


@pytest.mark.parametrize(
    ("scale", "words"), [(98.6, "1 : 99"), (747.2, "1 : 750"), (2480.0, "1 : 2\u2009500"), (None, "not known")]
)
def test_scale_is_said_as_a_round_figure(block, scale, words):
    block.set_scale(scale)
    assert _fields(block)["SCALE"] == words


def test_counts_follow_an_edit_at_once_and_figures_wait_in_brackets(block, desk):
    checksum = desk.assessment.checksum
    desk.perform(lambda site: remove(site, "cam-a-1", cascade=True))
    shown = _fields(block)
    assert shown["CAMERAS"] == "14"
    assert shown["CHECKSUM"] == f"({checksum})"
    assert shown["THINNEST MARGIN"] == "(P-W 19.6 dB)"
    desk.perform(lambda site: set_revision(site, "B"))
    assert _fields(block)["REV."] == "B"
    desk.undo()
    desk.undo()
    assert _fields(block)["CHECKSUM"] == checksum


def test_low_block_keeps_site_revision_and_checksum(block):
    block.resize(300, 190)
    assert list(_fields(block)) == ["SITE", "REV.", "CHECKSUM"]


def test_key_asks_why_the_marked_figure_is_what_it_is(qtbot, block, desk):
    block.setFocus()
    with qtbot.waitSignal(desk.explained) as told:
        qtbot.keyClick(block, Qt.Key.Key_F1)
    assert told.args == ["A-U", "airtime_used_fraction"]
    qtbot.keyClick(block, Qt.Key.Key_Right)
    with qtbot.waitSignal(desk.explained) as told:
        qtbot.keyClick(block, Qt.Key.Key_F1)
    assert told.args == ["P-W", "margin_at_needed_rate_db"]


def test_pointer_marks_the_figure_it_presses(qtbot, block, desk):
    box = next(box for box, field in block.boxes() if field.head == "THINNEST MARGIN")
    qtbot.mouseClick(block, Qt.MouseButton.LeftButton, pos=box.center().toPoint())
    with qtbot.waitSignal(desk.explained) as told:
        qtbot.keyClick(block, Qt.Key.Key_F1)
    assert told.args[0] == "P-W"


def test_site_without_anything_says_so_and_one_without_an_anchor_too():
    site, _ = demo("boatyard")
    empty = change_design(site, name="Plain").after
    rows = title_fields(empty.design, None, None, is_fresh=False)
    shown = {field.head: field.shown for row in rows for field in row}
    assert shown["CHECKSUM"] == "(not yet)"
    plane = site.design.plane.__class__(datum="gate post")
    rows = title_fields(change_design(site, plane=plane).after.design, None, None, is_fresh=True)
    assert {field.head: field.shown for row in rows for field in row}["DATUM"] == "gate post, no anchor"


def test_counts_leave_out_what_is_removed_or_comes_later():
    site, _ = demo("boatyard")
    removed = set_status(site, "cam-a-1", status="removed").after
    fewer = set_status(removed, "cam-a-2", status="later").after
    rows = title_fields(fewer.design, None, None, is_fresh=False)
    assert {field.head: field.shown for row in rows for field in row}["CAMERAS"] == "13"


def test_long_datum_stands_on_two_lines_and_is_not_cut():
    face = letters.font(letters.NOTE_PX)
    words = "level of the second lock sill, 1968 survey"
    lines = two_lines(words, face, 155.0)
    assert len(lines) == 2
    assert " ".join(lines) == words
    assert two_lines("mean water", face, 155.0) == ["mean water"]
    assert two_lines("", face, 155.0) == [""]
    assert two_lines("x" * 200, face, 155.0)[0].endswith("…")
    assert two_lines(f"one {'x' * 200}", face, 155.0)[1].endswith("…")
