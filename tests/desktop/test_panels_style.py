"""The style sheet: flat and square, only colours of the palette, and what is painted by hand grows with its letters."""

from __future__ import annotations

import re

import pytest
from PySide6.QtGui import QFontMetrics

from survey_app.desktop.palette import DAY, NIGHT
from survey_app.desktop.panels.notes_column import COLUMN_PX, NotesColumn
from survey_app.desktop.panels.register import Register
from survey_app.desktop.panels.style import style_sheet
from tests.desktop.panel_desks import catalogue, desk_of, open_folds


@pytest.mark.parametrize("palette", [DAY, NIGHT], ids=["day", "night"])
def test_only_colours_of_the_palette_and_no_rounded_corner(palette):
    sheet = style_sheet(palette)
    known = {colour.name() for colour in palette.inks.values()}
    assert set(re.findall(r"#[0-9a-fA-F]{6}\b", sheet)) <= known
    assert set(re.findall(r"border-radius: (\w+)", sheet)) == {"0px"}
    assert "gradient" not in sheet
    assert "shadow" not in sheet
    assert "dashed" in sheet


def test_day_and_night_differ_in_nothing_but_colour():
    plain = [re.sub(r"#[0-9a-f]{6}", "#", style_sheet(palette)) for palette in (DAY, NIGHT)]
    assert plain[0] == plain[1]


@pytest.mark.parametrize("percent", [100, 150, 200])
def test_parts_grow_with_the_interface_scale(qtbot, percent):
    desk = desk_of("mill")
    desk.select(["A-C2"])
    column, register = NotesColumn(desk, catalogue()), Register(desk)
    for widget in (column, register):
        qtbot.addWidget(widget)
        widget.setStyleSheet(style_sheet(DAY, percent / 100))
        widget.show()
    assert column.width() == COLUMN_PX * percent // 100
    assert register.view.verticalHeader().defaultSectionSize() == round(23 * percent / 100)
    row = column.particulars.form.field("channel")
    assert row.editor.width() == 136 * percent // 100
    column.close()
    register.close()


def test_column_takes_every_row_without_cutting_a_value(qtbot):
    for name, ids in (("boatyard", ["G", "A-G", "gate", "cam-a-1"]), ("mill", ["C2", "A-C2", "ST-T", "hall-north"])):
        desk = desk_of(name)
        column = NotesColumn(desk, catalogue())
        qtbot.addWidget(column)
        column.setStyleSheet(style_sheet(DAY))
        column.resize(COLUMN_PX, 700)
        column.show()
        for one in ids:
            desk.select([one])
            open_folds(column.particulars.form)
            qtbot.wait(20)
            for row in column.particulars.form.figures:
                assert row.width() <= column.particulars.view.viewport().width(), (one, row.figure.label)
                words = QFontMetrics(row._value.font()).horizontalAdvance(row.text)
                assert words <= row._value.width(), (one, row.figure.label)
        column.close()


@pytest.mark.parametrize("height", [496, 708, 1200])
def test_words_of_a_cure_stand_whole_on_their_button(qtbot, height):
    desk = desk_of("college")
    column = NotesColumn(desk, catalogue())
    qtbot.addWidget(column)
    column.setStyleSheet(style_sheet(DAY))
    column.resize(COLUMN_PX, height)
    column.show()
    column.flags.list.stand_at("band-not-outdoors:A-R")
    qtbot.wait(50)
    (button,) = column.flags.card.cure_buttons
    assert button.height() >= button.lines_px(button.width()) + 6
    assert button.lines_px(button.width()) > button.fontMetrics().lineSpacing()
    assert column.height() == height
    assert column.flags.card.guide.mapTo(column, column.flags.card.guide.rect().bottomLeft()).y() < height
    column.close()
