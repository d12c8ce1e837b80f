"""Inks, contrasts, fonts, letters that are drawn once."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QFontInfo

from survey_app.desktop import letters
from survey_app.desktop.canvas.sprites import Sprites
from survey_app.desktop.palette import DAY, NIGHT, Lights, contrast
from survey_app.drawing.roles import PENS
from survey_app.errors import InternalError

_TABLE = {
    "ink": (16.6, 13.9), "ink 2": (6.6, 7.5), "ink 3": (2.7, 3.7), "water": (4.2, 5.4), "radio": (5.0, 7.8),
    "camera": (5.2, 8.3), "wire": (5.0, 7.6), "trees": (5.9, 6.7), "stop": (3.7, 7.7), "warn": (2.2, 8.0),
}  # fmt: skip


@pytest.mark.parametrize("palette", [DAY, NIGHT], ids=["day", "night"])
def test_contrast_on_paper_is_what_the_table_says(palette):
    for ink, (day, night) in _TABLE.items():
        found = contrast(palette.colour(ink), palette.colour("paper"))
        assert found == pytest.approx(night if palette.is_night else day, abs=0.06), ink


@pytest.mark.parametrize("palette", [DAY, NIGHT], ids=["day", "night"])
def test_whatever_is_lettered_is_readable(palette):
    for pen in PENS.values():
        if pen.width_mm == 0.0 and not pen.fill and pen.ink not in ("paper", "water"):
            ground = "warn" if pen.ink == "on warn" else "paper"
            assert contrast(palette.colour(pen.ink), palette.colour(ground)) >= 4.5, pen


@pytest.mark.parametrize("palette", [DAY, NIGHT], ids=["day", "night"])
def test_every_pen_finds_its_inks(palette):
    for pen in PENS.values():
        assert palette.colour(pen.ink).isValid()
        assert not pen.fill or palette.colour(pen.fill).isValid()


def test_unknown_ink_is_said():
    with pytest.raises(InternalError, match="mauve"):
        DAY.colour("mauve")


def test_tints_let_through_what_the_look_says():
    assert DAY.colour("radio tint").alphaF() == pytest.approx(0.045, abs=0.002)
    assert DAY.colour("camera tint").alphaF() == pytest.approx(0.06, abs=0.003)
    assert DAY.colour("selection").alphaF() == pytest.approx(0.85, abs=0.003)
    assert NIGHT.colour("selection").alphaF() == pytest.approx(0.34, abs=0.003)


def test_lights_tell_when_they_change_and_only_then(qtbot):
    lights = Lights()
    heard = []
    lights.changed.connect(lambda: heard.append(lights.palette.name))
    lights.choose("night")
    lights.choose("night")
    lights.choose("day")
    assert heard == ["night", "day"]
    with pytest.raises(InternalError, match="noon"):
        lights.choose("noon")


def test_fonts_are_the_drafting_face_and_not_the_one_of_one_width(qtbot):
    assert letters.load_fonts() == ("B612", "DejaVu Sans")
    info = QFontInfo(letters.font(13.0))
    assert info.family() == "B612"
    assert not info.fixedPitch()
    assert info.pixelSize() == 13


def test_letters_are_drawn_once_and_the_oldest_make_room(qtbot):
    sprites = Sprites(most_bytes=60_000)
    ink = QColor("#000000")
    first = sprites.sprite("127.6° 295.4 m", 24.0, 30.0, ink, None)
    assert sprites.sprite("127.6° 295.4 m", 24.0, 30.0, ink, None) is first
    assert sprites.made == 1
    for n in range(40):
        sprites.sprite(f"H{n} 2.0° down", 24.0, 0.0, ink, None)
    assert sprites.bytes <= 60_000
    sprites.sprite("127.6° 295.4 m", 24.0, 30.0, ink, None)
    assert sprites.made == 42


def test_letters_with_a_halo_are_wider_by_the_halo(qtbot):
    sprites = Sprites()
    ink, paper = QColor("#000000"), QColor("#ffffff")
    plain, haloed = (sprites.sprite("A1", 100.0, 0.0, ink, halo) for halo in (None, paper))
    assert haloed.pixmap.width() - plain.pixmap.width() == pytest.approx(42, abs=2)
