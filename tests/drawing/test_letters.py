"""Widths read from the font files against those of an independent reader of fonts."""

from __future__ import annotations

import pytest
from PIL import ImageFont

from survey_app.data import resources_folder
from survey_app.drawing.letters import CAPITAL_EM, letters_width_mm, wrapped

WORDS = ("307.6°", "ALL ROUND", "Turn right of the water tower", "−51 dBm ±3", "MWMW iiii", "ąęć", "ÅØß")


@pytest.mark.parametrize("text", WORDS)
def test_width_of_words_matches_an_independent_font_reader(text):
    """Kerning, which the reader applies and we do not, stays under two per cent."""
    face = "DejaVuSans.ttf" if text == "ąęć" else "B612-Regular.otf"
    reader = ImageFont.truetype(str(resources_folder() / "fonts" / face), 1000)
    expected_mm = reader.getlength(text) / 1000.0 * 2.5 / CAPITAL_EM
    assert letters_width_mm(text, 2.5) == pytest.approx(expected_mm, rel=0.02)


def test_width_of_bold_is_that_of_regular():
    fonts = resources_folder() / "fonts"
    regular, bold = (ImageFont.truetype(str(fonts / f"B612-{w}.otf"), 1000) for w in ("Regular", "Bold"))
    assert all(regular.getlength(letter) == bold.getlength(letter) for letter in "0123456789.°ABCXYZabcxyz−±")


def test_capital_is_its_part_of_the_em():
    face = ImageFont.truetype(str(resources_folder() / "fonts" / "B612-Bold.otf"), 1000)
    _, top, _, bottom = face.getbbox("H")
    assert (bottom - top) / 1000.0 == pytest.approx(CAPITAL_EM, abs=0.01)


def test_width_of_letters_that_no_font_has_is_not_zero():
    assert letters_width_mm("\U0001f600", 2.5) > 1.0


@pytest.mark.parametrize("width_mm", [12.0, 30.0, 84.0])
def test_wrapped_lines_fit_and_lose_nothing(width_mm):
    text = "Sheet metal on steel rails; fixings through the rail with backing plates and " + "x" * 90
    lines = wrapped(text, 2.5, width_mm)
    assert all(letters_width_mm(line, 2.5) <= width_mm for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_wrapped_of_nothing_is_one_empty_line():
    assert wrapped("", 2.5, 30.0) == ("",)
