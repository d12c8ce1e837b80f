"""The press: words are data, nothing of them can break a page, and the file carries no day of its own."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.paper.press import clean
from tests.paper.page_text import page_count, words_of
from tests.paper.sample_views import STATION


def test_clean_replaces_marks_that_turn_the_reading_direction():
    assert clean("pole \u202e3P") == "pole \ufffd3P"


@pytest.mark.parametrize("text", ["a\nb", "a\tb", "a\x00b", "a\u2028b", "a \x1b b"])
def test_clean_makes_one_line_of_anything(text):
    assert clean(text) == "a b"


def test_clean_gives_long_words_places_to_break():
    assert clean("x" * 40).replace("\u200b", "") == "x" * 40
    assert max(len(part) for part in clean("x" * 40).split("\u200b")) <= 16


def test_clean_leaves_long_words_to_break_after_their_own_hyphens():
    name = "parlour-pole-switch-hitch-parlour-1"
    assert clean(name) == name
    for hostile in ("-" * 90, "ab-" * 40, "a" + "-" * 90, "1-" * 60, "w" * 20 + "-" + "w" * 20):
        assert clean(hostile).replace("\u200b", "") == hostile
        parts = [part for piece in clean(hostile).split("\u200b") for part in re.split(r"(?<=-)(?=[a-z])", piece)]
        assert max(map(len, parts)) <= 17


def test_clean_ends_no_line_inside_a_figure():
    assert clean("ground 1\u2009342 m") == "ground 1\u202f342 m"


@pytest.mark.parametrize(
    ("text", "expected"), [("at -44 dBm", "at −44 dBm"), ("2026-11-02", "2026-11-02"), ("A-1", "A-1")]
)
def test_clean_sets_a_true_minus_sign_before_a_figure_only(text, expected):
    assert clean(text) == expected


@given(st.text(max_size=300))
@settings(max_examples=300)
def test_clean_of_anything_has_no_controls_and_is_clean_already(text):
    once = clean(text)
    assert all(
        letter.isprintable() or letter in "\u200b\u200c\u200d\xa0\ufffd\u3000" or letter.isspace() for letter in once
    )
    assert "\n" not in once


@given(name=st.text(min_size=1, max_size=300))
@settings(max_examples=15, deadline=None)
def test_sheet_with_any_name_prints_one_page(name):
    from dataclasses import replace

    from survey_app.paper.mounting import mounting_pdf

    view = replace(STATION, structure=f"on {name}", climb=name, foot=(name,), title=replace(STATION.title, site=name))
    pdf = mounting_pdf([view], "a4")
    assert page_count(pdf) == 1
    assert "23.4°" in words_of(pdf)
