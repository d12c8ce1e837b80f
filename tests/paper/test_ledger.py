"""Column widths of tables: they fill the page, keep what was drawn where all fits, and never break a figure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.drawing.letters import letters_width_mm
from survey_app.paper.ledger import (
    BROAD_MM,
    Chain,
    Column,
    Empty,
    Flags,
    Group,
    Pair,
    Table,
    Words,
    fitted_widths,
    held_words,
    table_data,
)


def table(*rows: tuple, columns: tuple[Column, ...] | None = None) -> Table:
    drawn = columns or (
        Column(("HOP",), 12, bold=True),
        Column(("STATION",), 30, rule=True),
        Column(("READING", "dBm"), 17, "right"),
        Column(("LEGS",), 190, wraps=True),
    )
    return Table(drawn, (Group("", rows),), row_mm=7.0, head_mm=7.6)


def test_widths_stay_as_drawn_where_everything_fits():
    row = (Words("H1"), Words("S1"), Words("−51"), Words("hop H1"))
    assert fitted_widths(table(row), BROAD_MM) == (12, 30, 17, 190)


def test_column_of_figures_takes_what_it_needs_from_columns_that_have_more():
    row = (Words("H1"), Words("S1"), Words("not checked by us"), Words("hop H1 · wire W1 · E1"))
    widths = fitted_widths(table(row), BROAD_MM)
    assert widths[2] > letters_width_mm("not checked by us", 2.5)
    assert sum(widths) == pytest.approx(BROAD_MM)
    assert widths[3] < 190


def test_long_names_never_squeeze_a_figure():
    names = "w" * 300
    row = (Words(names), Words(names), Words("−51"), Words(names))
    columns = (Column(("HOP",), 20), Column(("AP",), 20), Column(("dBm",), 9, "right"), Column(("LEGS",), 200))
    widths = fitted_widths(table(row, columns=columns), BROAD_MM)
    assert widths[2] >= letters_width_mm("−51", 2.5) + 2.8
    cells = table_data(table(row, columns=columns), BROAD_MM)["groups"][0]["rows"][0]
    assert cells[2]["most"] == 0
    assert cells[0]["most"] > 0


def test_pairs_leave_room_for_the_longest_word_of_their_column():
    rows = (
        (Words("H1"), Words("S1"), Pair("19.3°", "up"), Words("")),
        (Words("H2"), Words("S2"), Pair("2.0°", "down"), Words("")),
    )
    found = table_data(table(*rows), BROAD_MM)
    room = {row[2]["room"] for row in found["groups"][0]["rows"]}
    assert len(room) == 1
    assert room.pop() > letters_width_mm("down", 2.5)


_cells = st.one_of(
    st.text(max_size=60).map(Words),
    st.builds(Pair, st.just("12.3°"), st.sampled_from(["up", "down"])),
    st.builds(Empty, st.floats(min_value=4.0, max_value=20.0)),
    st.lists(st.tuples(st.sampled_from(["stop", "warn", "note"]), st.integers(1, 999), st.booleans()), max_size=4).map(
        lambda rows: Flags(tuple(rows))
    ),
    st.lists(st.text(max_size=20), max_size=6).map(lambda links: Chain(tuple(links))),
)


@given(st.lists(st.tuples(_cells, _cells, _cells, _cells), max_size=6))
def test_widths_always_fill_the_page_and_none_vanishes(rows):
    widths = fitted_widths(table(*rows), BROAD_MM)
    assert sum(widths) == pytest.approx(BROAD_MM, abs=0.001)
    assert all(width > 5.0 for width in widths)


@given(st.text(max_size=400), st.floats(min_value=8.0, max_value=100.0), st.integers(1, 6))
def test_held_words_are_the_words_or_a_beginning_of_them(text, width_mm, lines):
    held = held_words(text, width_mm, lines)
    assert held == text or (held.endswith("…") and text.startswith(held[:-1]))
    assert letters_width_mm(held, 2.5) <= max(width_mm * lines, letters_width_mm("…", 2.5))
