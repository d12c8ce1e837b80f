"""Placing and moving by typed figures alone."""

from __future__ import annotations

import datetime

import pytest

from survey_app.site.edits import set_anchor
from survey_app.site.new import new_site
from survey_app.site.place import Anchor, GeoPoint
from tests.desktop.tool_hand import Hand

pytestmark = pytest.mark.desktop


@pytest.fixture
def hand(qapp) -> Hand:
    return Hand()


@pytest.fixture
def tied(qapp) -> Hand:
    """A plane tied to the earth, turned by 30 degrees."""
    site = new_site("Yard", as_of=datetime.date(2026, 12, 1))
    return Hand(set_anchor(site, Anchor(lat_deg=43.55, lon_deg=-69.6, rotation_deg=30.0)).after)


def foot(hand: Hand, number: int = 0) -> tuple[float, float]:
    position = hand.design.structures[number].position
    return position.x_m, position.y_m


def test_a_pole_by_its_coordinates_says_back_what_was_understood(hand):
    hand.take("pole")
    hand.type("12.5; -40", enter=False)
    assert hand.words == "x 12.50 m, y −40.00 m"
    assert hand.tool.overlay.typed == "12.5; -40"
    hand.tool.key("Enter")
    assert foot(hand) == (12.5, -40.0)
    assert hand.tool.overlay.typed == ""


def test_a_pole_from_a_thing_by_bearing_and_distance(hand):
    hand.take("pole")
    hand.type("10; 10")
    hand.type("@P1 90 5")
    assert foot(hand, 1) == (15.0, 10.0)


def test_a_building_by_bearings_and_distances_alone(hand):
    hand.take("building")
    for text in ("0; 0", "90 10", "0 6", "270 10"):
        hand.type(text)
    hand.tool.key("Enter")
    assert [(p.x_m, p.y_m) for p in hand.design.structures[0].outline] == [(0, 0), (10, 0), (10, 6), (0, 6)]


def test_a_bare_length_goes_towards_the_pointer_and_is_the_depth_of_a_rectangle(hand):
    hand.take("rectangle")
    hand.press(0, 0)
    hand.hover(30, 0)
    hand.type("12")
    hand.hover(3, -2)
    hand.type("7.5", enter=False)
    assert hand.words == "7.5 m towards the pointer"
    hand.tool.key("Enter")
    assert [(p.x_m, p.y_m) for p in hand.design.structures[0].outline] == [(0, 0), (12, 0), (12, -7.5), (0, -7.5)]


def test_degrees_stay_as_they_were_written(tied):
    tied.take("pole")
    tied.type("43.551 N, 69.6 W")
    position = tied.design.structures[0].position
    assert position == GeoPoint(lat_deg=43.551, lon_deg=-69.6)
    at = tied.desk.placed.points["P1"]
    # the plane is turned by 30 degrees: true north lies to the left of plan north
    assert at.x_m == pytest.approx(-111.1 * 0.5, abs=0.1)


def test_degrees_without_an_anchor_are_refused_in_one_sentence(hand):
    hand.take("landmark")
    hand.type("43.551 N, 69.6 W", enter=False)
    assert hand.tool.overlay.refused
    assert "not tied to the earth" in hand.words
    hand.tool.key("Enter")
    assert hand.design.landmarks == ()
    assert hand.tool.cancel()
    assert hand.tool.overlay.typed == ""


def test_bearings_count_from_true_north_on_a_plane_that_is_tied(tied):
    tied.take("building")
    tied.type("0; 0")
    tied.type("30 10", enter=False)
    tied.tool.key("Enter")
    assert tied.tool.points[-1] == pytest.approx((0.0, 10.0), abs=1e-9)
    tied.hover(5.0, 15.0, alt=True)
    assert tied.words.startswith("75.0° 7.1 m")


def test_a_thing_in_degrees_is_moved_and_stays_in_degrees(tied):
    tied.take("pole")
    tied.type("43.551 N, 69.6 W")
    before = tied.desk.placed.points["P1"]
    tied.take("select")
    tied.desk.select(("P1",))
    tied.type("0 111.1")
    after = tied.desk.placed.points["P1"]
    assert isinstance(tied.design.structures[0].position, GeoPoint)
    assert after.lat_deg == pytest.approx(before.lat_deg + 0.001, abs=1e-6)
    assert tied.steps[-1].startswith("Move Pole 1")


@pytest.mark.parametrize("text", ["12,5 40", "400 3", "P9 12 3", "1e5", "--", "1;2;3", "90 -5", "@"])
def test_what_means_nothing_is_refused_and_places_nothing(hand, text):
    hand.take("building")
    hand.press(0, 0)
    before = list(hand.tool.points)
    hand.type("@" + text)
    assert hand.tool.points == before
    assert hand.tool.overlay.refused
    assert hand.heard[-1].endswith((".", "?"))
    assert hand.tool.cancel()


def test_backspace_takes_characters_then_points_back(hand):
    hand.take("building")
    hand.press(0, 0)
    hand.press(5, 0)
    hand.type("12", enter=False)
    hand.tool.key("Backspace")
    assert hand.tool.overlay.typed == "1"
    hand.tool.key("Backspace")
    hand.tool.key("Backspace")
    assert hand.tool.points == [(0, 0)]


def test_feet_are_read_and_written_where_the_site_has_feet(hand):
    from survey_app.site.edits import change_design

    hand.desk.perform(lambda site: change_design(site, units="feet"))
    hand.take("rectangle")
    hand.press(0, 0)
    hand.type("90 40'")
    assert hand.tool.points[-1] == pytest.approx((12.192, 0.0), abs=1e-9)
    hand.hover(3, 3)
    assert "deep" in hand.words
    assert "ft" in hand.words
    assert "sq ft" in hand.words
