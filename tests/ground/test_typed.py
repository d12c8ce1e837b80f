"""What is typed for a place or a length."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.errors import SurveyError, UnknownNameError, UsageError
from survey_app.ground.length import FOOT_M, length_text, parse_length
from survey_app.ground.plane import Plane, to_geographic
from survey_app.ground.typed import Typed, parse_typed, point_of

THINGS = ("P3", "west-pole", "12", "N1")
POINTS = {"P3": (100.0, 50.0), "west-pole": (-20.0, 0.0), "N1": (math.nan, 0.0)}


@pytest.mark.parametrize(
    ("text", "units", "length_m"),
    [
        ("12.5", "metric", 12.5),
        ("12.5", "both", 12.5),
        ("12.5", "feet", 12.5 * FOOT_M),
        (" 12.5 m ", "feet", 12.5),
        ("12'", "metric", 12 * FOOT_M),
        ("12′ 6″", "metric", 12.5 * FOOT_M),
        ("12' 6''", "metric", 12.5 * FOOT_M),
        ("12ft", "metric", 12 * FOOT_M),
        ("12 ft 6 in", "metric", 12.5 * FOOT_M),
        ('6"', "metric", 0.5 * FOOT_M),
        ("80 cm", "feet", 0.8),
        ("-3", "metric", -3.0),
        ("−3", "metric", -3.0),
        ("-0", "metric", 0.0),
        (".5", "metric", 0.5),
    ],
)
def test_length_is_read_in_its_unit(text: str, units: str, length_m: float) -> None:
    assert parse_length(text, units) == pytest.approx(length_m)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("12,5", "after a comma"),
        ("", "not a length"),
        ("twelve", "not a length"),
        ("12 5", "not a length"),
        ("12' 13\"", "not a length"),
        ("1e5", "not a length"),
        ("nan", "not a length"),
        ("١٢", "not a length"),
        ("9000000", "no plan is so large"),
        ("1" * 500, "not a length"),
    ],
)
def test_what_is_no_length_is_refused_in_one_sentence(text: str, words: str) -> None:
    with pytest.raises(UsageError, match=words) as error:
        parse_length(text)
    assert len(error.value.sentence()) < 200
    assert "\n" not in error.value.sentence()


@given(st.floats(0.0, 9e4), st.sampled_from(["metric", "feet"]))
def test_length_printed_reads_back(length_m: float, units: str) -> None:
    again = parse_length(length_text(length_m, units, 4), units)  # type: ignore[arg-type]
    assert again == pytest.approx(length_m, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "at", "words"),
    [
        ("12.5; 40", (12.5, 40.0), "x 12.50 m, y 40.00 m"),
        ("x 12.5; y -40", (12.5, -40.0), "x 12.50 m, y −40.00 m"),
        ("x=12.5;y=40", (12.5, 40.0), "x 12.50 m, y 40.00 m"),
        ("10' 6\"; 12ft", (10.5 * FOOT_M, 12 * FOOT_M), "x 3.20 m, y 3.66 m"),
        ("by 3; -4", (13.0, 16.0), "3.00 m right and −4.00 m up from the last point"),
        ("90 295", (305.0, 20.0), "295.0 m at 90.0° from the last point"),
        ("90° 295 m", (305.0, 20.0), "295.0 m at 90.0° from the last point"),
        ("360 5", (10.0, 25.0), "5.0 m at 0.0° from the last point"),
        ("180 10'", (10.0, 20.0 - 10 * FOOT_M), "3.0 m at 180.0° from the last point"),
        ("P3 180 20", (100.0, 30.0), "20.0 m at 180.0° from P3"),
        ("p3 180 20", (100.0, 30.0), "20.0 m at 180.0° from P3"),
        ("west-pole 0 7.5", (-20.0, 7.5), "7.5 m at 0.0° from west-pole"),
        ("P3", (100.0, 50.0), "at P3"),
        # a thing is called 12: two figures are a bearing and a distance all the same
        ("12 0", (10.0, 20.0), "0.0 m at 12.0° from the last point"),
        ("5", (13.0, 24.0), "5.0 m towards the pointer"),
        ("10 ft", (10.0 + 6 * FOOT_M, 20.0 + 8 * FOOT_M), "3.0 m towards the pointer"),
    ],
)
def test_what_is_typed_is_a_point_and_is_said_back(text: str, at: tuple[float, float], words: str) -> None:
    typed = parse_typed(text, things=THINGS)
    assert typed.words == words
    assert point_of(typed, last=(10.0, 20.0), pointer=(16.0, 28.0), points=POINTS) == pytest.approx(at)


def test_bare_figures_are_feet_where_the_site_reads_feet() -> None:
    typed = parse_typed("90 100", units="feet")
    assert (typed.length_m, typed.words) == (pytest.approx(30.48), "100.0 ft at 90.0° from the last point")
    assert parse_typed("10; 20", units="feet").words == "x 10.00 ft, y 20.00 ft"


def test_bearings_count_from_the_north_that_is_in_force() -> None:
    x, y = point_of(parse_typed("0 10"), last=(0.0, 0.0), north_deg=30.0)
    assert (x, y) == pytest.approx((5.0, 10.0 * math.cos(math.radians(30.0))))


@pytest.mark.parametrize("text", ["43.5509 N, 69.6012 W", "43°33'3.24\"N 69°36'4.32\"W", "W 69.6012 N 43.5509"])
def test_latitude_and_longitude_come_to_the_plane(text: str) -> None:
    plane = Plane(43.55, -69.6, rotation_deg=20.0)
    typed = parse_typed(text, things=THINGS)
    assert typed.words == "43.550900° N, 69.601200° W"
    lat, lon = to_geographic(plane, *point_of(typed, plane=plane))
    assert (float(lat), float(lon)) == pytest.approx((43.5509, -69.6012), abs=1e-9)
    with pytest.raises(UsageError, match="not tied to the earth"):
        point_of(typed)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "nothing is typed"),
        ("43.55,-69.6", "part two figures or stand before decimals"),
        ("12,5; 40", "after a comma"),
        ("12.5;", "two figures are needed"),
        ("1;2;3", "two figures are needed"),
        ("400 20", "a bearing is from 0 to 360"),
        ("-5 20", "a bearing is from 0 to 360"),
        ("20 -5", "a distance is not negative"),
        ("-5", "a length is not negative"),
        ("P3 20", "a bearing or a distance is missing"),
        ("P3 x 20", "not a bearing"),
        ("westpole 20 30", "nothing with the id 'westpole'; did you mean 'west-pole'"),
        ("90 20 30", "not a length"),
        ("91 N, 0 E", "latitude 91 is not between"),
        ("???", "says no place"),
        ("9" * 200, "no more than 120"),
    ],
)
def test_anything_else_is_refused_in_one_sentence(text: str, words: str) -> None:
    with pytest.raises(UsageError, match=words) as error:
        parse_typed(text, things=THINGS)
    assert error.value.sentence().count("\n") == 0
    assert len(error.value.sentence()) < 400


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("90 20", "no last point"),
        ("by 1; 2", "no last point"),
        ("N1 90 20", "'N1' has no point"),
        ("P3 90 999999", "off the plan"),
    ],
)
def test_point_that_has_nothing_to_count_from_is_refused(text: str, words: str) -> None:
    with pytest.raises(UsageError, match=words):
        point_of(parse_typed(text, things=THINGS), points=POINTS)


def test_length_without_a_direction_is_refused() -> None:
    for pointer in (None, (1.0, 1.0)):
        with pytest.raises(UsageError, match="no direction is shown"):
            point_of(parse_typed("5"), last=(1.0, 1.0), pointer=pointer)


def test_unknown_thing_is_an_unknown_name() -> None:
    with pytest.raises(UnknownNameError):
        parse_typed("shed 1 2", things=THINGS)


@settings(max_examples=200, deadline=None)
@given(st.text(st.sampled_from("0123456789 .,;:'\"°NSEWnsewPpby3-+mft−xX"), max_size=24))
def test_any_text_is_understood_or_refused_and_never_both_ways(text: str) -> None:
    try:
        typed = parse_typed(text, things=THINGS)
    except SurveyError:
        with pytest.raises(SurveyError, match=r"\.$"):
            parse_typed(text, things=THINGS)
        return
    assert isinstance(typed, Typed)
    assert typed.words
    assert parse_typed(text, things=THINGS) == typed


@settings(max_examples=100, deadline=None)
@given(st.floats(0.0, 359.9), st.floats(0.1, 5000.0))
def test_bearing_and_distance_typed_come_out_again(bearing_deg: float, length_m: float) -> None:
    bearing_deg, length_m = round(bearing_deg, 1), round(length_m, 1)
    x, y = point_of(parse_typed(f"{bearing_deg} {length_m}"), last=(0.0, 0.0))
    assert math.hypot(x, y) == pytest.approx(length_m)
    assert math.cos(math.atan2(x, y) - math.radians(bearing_deg)) == pytest.approx(1.0)
