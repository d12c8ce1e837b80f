"""What can be done to the selection as a whole."""

from __future__ import annotations

import pytest

from survey_app.desktop.tools import arranging, clipboard
from survey_app.site.references import check_references
from tests.desktop.tool_hand import Hand

pytestmark = pytest.mark.desktop


@pytest.fixture
def hand(qapp) -> Hand:
    """Three poles in a row and a shed with an access point."""
    hand = Hand()
    hand.take("pole")
    for point in ((0, 20), (4, 21), (20, 20)):
        hand.press(*point)
    hand.take("rectangle")
    for point in ((0, 0), (10, 0), (5, 6)):
        hand.press(*point)
    hand.take("access point")
    hand.press(10.2, 3)
    hand.take("select")
    hand.desk.select(())
    return hand


def foot(hand: Hand, pole: str) -> tuple[float, float]:
    at = hand.desk.placed.points[pole]
    return round(at.x_m, 6), round(at.y_m, 6)


def corners(hand: Hand, building: str = "B1") -> list[tuple[float, float]]:
    return [(round(x, 6), round(y, 6)) for x, y in hand.desk.placed.outlines[building].tolist()]


def test_poles_come_in_line_and_at_equal_distances(hand):
    hand.desk.select(("P1", "P2", "P3"))
    assert arranging.align_selection(hand.desk, "bottom")
    assert arranging.distribute_selection(hand.desk)
    assert [foot(hand, one) for one in ("P1", "P2", "P3")] == [(0, 20), (10, 20), (20, 20)]
    hand.desk.undo()
    hand.desk.undo()
    assert foot(hand, "P2") == (4, 21)


def test_one_thing_alone_cannot_be_aligned_and_says_so(hand):
    hand.desk.select(("P1",))
    before = hand.site
    assert not arranging.align_selection(hand.desk, "left")
    assert hand.heard
    assert hand.site is before


def test_a_duplicate_comes_with_what_hangs_on_it_and_is_selected(hand):
    hand.desk.select(("B1",))
    assert arranging.duplicate_selection(hand.desk)
    assert corners(hand, "B2")[0] == (2, -2)
    assert {"B2", "M2", "A2"} == set(hand.desk.selection)
    assert check_references(hand.site) == ()


def test_what_is_locked_stays_until_it_is_unlocked(hand):
    hand.desk.select(("P1",))
    assert arranging.lock_selection(hand.desk)
    assert hand.heard[-1] == "Pole 1 stays where it is until it is unlocked."
    hand.down(0, 20)
    assert "locked" in hand.hover(3, 24)
    assert hand.tool.overlay.refused
    hand.up(3, 24)
    assert foot(hand, "P1") == (0, 20)
    assert not arranging.remove_selection(hand.desk)
    assert arranging.lock_selection(hand.desk)
    hand.drag((0, 20), (3, 24))
    assert foot(hand, "P1") == (3, 24)


def test_all_of_a_kind_are_selected(hand):
    hand.desk.select(("P2",))
    arranging.select_kind(hand.desk)
    assert set(hand.desk.selection) == {"P1", "P2", "P3"}


def test_copies_go_over_the_clipboard_to_another_site(hand):
    hand.desk.select(("B1",))
    assert clipboard.copy(hand.desk)
    assert hand.heard[-1] == "Building 1 copied."
    other = Hand()
    assert clipboard.paste(other.desk, (100.0, 50.0))
    x, y = zip(*other.desk.placed.outlines["B1"].tolist(), strict=True)
    assert (min(x) + max(x)) / 2 == pytest.approx(100, abs=1)
    assert (min(y) + max(y)) / 2 == pytest.approx(50, abs=1)
    assert "A1" in other.desk.selection
    assert other.design.radios[0].gear in {row.id for row in other.design.gear}
    assert check_references(other.site) == ()


@pytest.mark.parametrize("text", ["", "hello", '{"format": "survey-fragment"}', "[" * 5000, "\x00"])
def test_strange_words_on_the_clipboard_get_one_sentence(hand, text):
    clipboard.copy_text(text)
    before = hand.site
    assert not clipboard.paste(hand.desk, (0.0, 0.0))
    assert hand.heard[-1].endswith(".")
    assert hand.site is before


def test_the_selection_is_turned_by_hand_and_by_a_typed_angle(hand):
    hand.desk.select(("B1",))
    hand.take("rotate")
    hand.press(5, 13)
    words = hand.hover(15, 3, shift=True)
    assert words == "90.0° right"
    hand.press(15, 3, shift=True)
    assert corners(hand)[0] == (2, 8)
    assert hand.plan.asked_for == ["select"]
    hand.desk.undo()
    hand.take("rotate")
    hand.type("-90")
    assert corners(hand)[0] == (8, -2)
    assert hand.steps[-1] == "Rotate Building 1 by −90.0°"


def test_a_wrong_angle_is_refused_and_escape_puts_back(hand):
    hand.desk.select(("B1",))
    hand.take("rotate")
    hand.type("1e9")
    assert hand.tool.overlay.refused
    before = hand.site
    hand.tool.key("Enter")
    assert hand.site is before
    hand.tool.cancel()
    assert hand.tool.overlay.lifted == frozenset()
    hand.press(5, 13)
    hand.hover(15, 3)
    hand.tool.cancel()
    assert hand.site is before


def test_rotating_by_a_call_turns_about_the_middle(hand):
    hand.desk.select(("P1", "P3"))
    assert arranging.rotate_selection(hand.desk, 180.0)
    assert foot(hand, "P1") == (20, 20)
    hand.desk.select(())
    assert not arranging.rotate_selection(hand.desk, 180.0)
    assert hand.heard[-1] == "Nothing is selected."


def test_a_row_of_copies_at_equal_distances(hand):
    hand.desk.select(("P1",))
    hand.take("row")
    hand.type("4")
    assert hand.hover(0, 60).startswith("4 copies, 10.0 m apart, 0.0° 40.0 m")
    hand.press(0, 60)
    assert [foot(hand, f"P{n}") for n in (4, 5, 6, 7)] == [(0, 30), (0, 40), (0, 50), (0, 60)]
    assert hand.plan.asked_for == ["select"]
    hand.desk.undo()
    assert len(hand.design.structures) == 4


def test_an_edge_is_moved_by_a_typed_length(hand):
    hand.desk.select(("B1",))
    hand.tool.begin()
    hand.down(8, 6.05)
    hand.hover(8, 6.5)
    hand.type("2.5", enter=False)
    assert hand.words == "2.5 m out"
    hand.tool.key("Enter")
    assert corners(hand)[2:] == [(10, 8.5), (0, 8.5)]
    hand.up(8, 9)
    assert corners(hand)[2:] == [(10, 8.5), (0, 8.5)]
