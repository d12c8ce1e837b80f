"""Positions as people type them."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from survey_app.errors import UsageError
from survey_app.ground.parse import Position, parse_position, position_text

YARD = (43.55, -69.6)


@pytest.mark.parametrize(
    "text",
    [
        "43.55,-69.6",
        " 43.55 , -69.6 ",
        "43.55 -69.6",
        "43.55;-69.6",
        "+43.55,-69.6",
        "43.55N 69.6W",
        "43.55N69.6W",
        "n43.55 w69.6",
        "43.55 n, 69.6 w",
        "69.6W 43.55N",
        "W 69.6, N 43.55",
        "43 33, -69 36",
        "43 33 0, -69 36 0",
        "43 33 0 N, 69 36 0 W",
        "43 33 0N 69 36 0W",
        "N43 33 W69 36",
        "N 43 33.0 W 69 36.0",
        "43°33'N 69°36'W",
        "43°33'00\"N, 69°36'00\"W",
        "43° 33' 00\" N 69° 36' 00\" W",
        "43º33′0″N 69º36′0″W",
        "43°33’00”N, 69°36’00”W",
        "43° 33' 0'' N 69° 36' 0'' W",
        "43d33m0sN 69d36m0sW",
        "N43d33m0s W69d36m0s",
        "43\u00a033\u00a00\u202fN,\u200969 36 0 W",
        "43.55,\u221269.6",
        "43.55\t-69.6\n",
        "043.550,-069.600",
    ],
)
def test_parse_position_of_one_yard_in_many_hands_is_the_yard(text):
    position = parse_position(text)
    assert position.lat_deg == pytest.approx(YARD[0], abs=1e-12)
    assert position.lon_deg == pytest.approx(YARD[1], abs=1e-12)
    assert position.height_m is None


@pytest.mark.parametrize(
    ("text", "height_m"),
    [
        ("43.55,-69.6,12", 12.0),
        ("43.55, -69.6, -3.5", -3.5),
        ("43.55,-69.6,12m", 12.0),
        ("43.55,-69.6,12 m", 12.0),
        ("43.55,-69.6,100 ft", 30.48),
        ("43 33 0 N; 69 36 0 W; 8848", 8848.0),
    ],
)
def test_parse_position_with_a_height_has_it_in_metres(text, height_m):
    position = parse_position(text)
    assert position.height_m == pytest.approx(height_m)
    assert (position.lat_deg, position.lon_deg) == pytest.approx(YARD)


@pytest.mark.parametrize(
    ("text", "lat", "lon"),
    [
        ("-0 30 0, 0 30", -0.5, 0.5),  # the sign of a zero degree
        ("0 30 S, 0 30 W", -0.5, -0.5),
        ("-33.888,151.187", -33.888, 151.187),
        ("33 53 16.8 s, 151 11 13.2 e", -33.888, 151.187),
        ("33°53'16.8s,151°11'13.2e", -33.888, 151.187),
        ("-33d53m16.8s, 151 11 13.2", -33.888, 151.187),
        ("0,0", 0.0, 0.0),
        ("90,180", 90.0, 180.0),
        ("-90,-180", -90.0, -180.0),
        ("55, 7, 12", 55.0, 7.0),
        ("43 33.5 69 36.2", 43 + 33.5 / 60, 69 + 36.2 / 60),
        ("43 33 0 69 36 0", 43.55, 69.6),
    ],
)
def test_parse_position_takes_sign_and_letter_for_the_whole_angle(text, lat, lon):
    position = parse_position(text)
    assert (position.lat_deg, position.lon_deg) == (pytest.approx(lat, abs=1e-12), pytest.approx(lon, abs=1e-12))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        # two readings
        ("43 33 0", "can be read as"),
        ("43 33 11 20", "can be read as"),
        ("43.55 11 30", "can be read as"),
        ("43 33 59 10 20", "can be read as"),
        ("55,7,12", "can be read as"),
        ("43,33 11,36", "can be read as"),
        ("43,33 11", "can be read as"),
        ("43d33m12s, 69d36m0s", "seconds or south"),
        ("43 33m12s, 69 36 0", "seconds or south"),
        # decimal commas
        ("43,55 -69,6", "after a comma"),
        ("43,55;-69,6", "after a comma"),
        ("55,7,12,5", "after a comma"),
        # letters
        ("43.55N 69.6", "only one"),
        ("43.55, 69.6W", "only one"),
        ("43.55N,-69.6", "only one"),
        ("43N 69N", "both angles are latitudes"),
        ("10 e, 20 w", "both angles are longitudes"),
        ("-43.55S, 69 W", "sign and a hemisphere"),
        ("+43 33 12 s, 69 w", "sign and a hemisphere"),
        # ranges
        ("95, 10", "latitude comes first"),
        ("-69.6, 200", "longitude 200"),
        ("91 S, 10 E", "latitude -91 is not between -90 and 90"),
        ("10,190", "longitude 190"),
        ("43 60, -69 36", "60 minutes are not below 60"),
        ("43 33 60, -69 36 0", "60 seconds are not below 60"),
        ("43.5 30, -69", "degrees with decimals"),
        ("43 30.5 10, -69", "minutes with decimals"),
        ("43.55,-69.6,9001", "height 9001 m"),
        ("43.55,-69.6,-501", "height -501 m"),
        ("43.55,-69.6,12 km", "'k' has no place"),
        ("43.55,-69.6,", "not a height"),
        # no position
        ("", "is empty"),
        ("   ", "is empty"),
        ("43.55", "not a latitude and a longitude"),
        (",", "not a latitude and a longitude"),
        ("nan,nan", "has no place"),
        ("inf,0", "has no place"),
        ("1e1,2", "not a latitude and a longitude"),
        ("0x2b,1", "has no place"),
        ("٤٣,٦٩", "has no place"),
        ("43,٦٩", "has no place"),
        ("４３,６９", "has no place"),
        ("43.55,-69.6\x00", "has no place"),
        ("43.55 — 69.6", "has no place"),
        ("43-69", "not a latitude and a longitude"),
        ("43..5,1", "not a latitude and a longitude"),
        ("43.,1.", "not a latitude and a longitude"),
        (".5,.5", "not a latitude and a longitude"),
        ("--43,1", "not a latitude and a longitude"),
        ("4333N 06936W", "not a latitude and a longitude"),
        ("5000000 500000", "not a latitude and a longitude"),
        ("1 2 3 4 5 6 7", "not a latitude and a longitude"),
        ("43.55, 69.6, 12, 13, 14", "5 parts"),
        ("43.55,-69.6" + "0" * 200, "no more than 120"),
        ("<b>43</b>", "has no place"),
        ("43.55,-69.6; rm", "'r' has no place"),
    ],
)
def test_parse_position_of_what_cannot_be_told_is_refused_in_one_sentence(text, sentence):
    with pytest.raises(UsageError) as caught:
        parse_position(text)
    message = str(caught.value)
    assert sentence in message
    assert message.endswith(".")
    assert "\n" not in message
    assert len(message) < 400


def test_parse_position_that_can_be_read_twice_prints_both():
    with pytest.raises(UsageError, match=r"55\.000000° N, 7\.120000° E") as caught:
        parse_position("55,7,12")
    assert "55.000000° N, 7.000000° E, 12 m" in str(caught.value)


def test_parse_position_names_the_place_it_was_asked_for():
    with pytest.raises(UsageError, match=r"--at 'here'"):
        parse_position("here", where="--at")


angles = st.tuples(st.floats(-90, 90), st.floats(-180, 180))
heights = st.none() | st.floats(-500, 9000)


@given(angles, heights)
@example((-0.0, -0.0), None)
@example((59.9999999, -179.9999999), None)
@example((-1e-9, 1e-9), None)
@example((0.016666, 0.99999999), 8999.999)
def test_position_text_reads_back_as_the_same_position(pair, height_m):
    position = Position(*pair, height_m)
    for style, tolerance in (("decimal", 0.6e-6), ("dms", 0.006 / 3600)):
        back = parse_position(position_text(position, style=style))
        assert back.lat_deg == pytest.approx(pair[0], abs=tolerance)
        assert back.lon_deg == pytest.approx(pair[1], abs=tolerance)
        assert (back.height_m is None) == (height_m is None)
        if height_m is not None:
            assert back.height_m == pytest.approx(height_m, abs=0.006)


@given(st.text(max_size=130))
@example("s" * 120)
@example(" " * 119 + "1")
@example("1 " * 60)
@example("1," * 60)
@example("°" * 120)
def test_parse_position_of_any_text_answers_or_refuses(text):
    try:
        position = parse_position(text)
    except UsageError as error:
        assert str(error).endswith(".")  # noqa: PT017
    else:
        assert -90 <= position.lat_deg <= 90
        assert -180 <= position.lon_deg <= 180


@given(st.text(alphabet="0123456789.,;+-°'\" nsewdmft", max_size=24))
def test_parse_position_of_text_of_the_right_letters_never_says_another_hemisphere(text):
    try:
        position = parse_position(text)
    except UsageError:
        return
    if "-" not in text and "s" not in text.lower():
        assert position.lat_deg >= 0
    if "-" not in text and "w" not in text.lower():
        assert position.lon_deg >= 0


def test_position_text_in_seconds_carries_over():
    assert position_text(Position(59.99999999, -0.00000001), style="dms") == "60°00'00.00\" N, 0°00'00.00\" E"


def test_position_text_of_other_places_and_styles():
    position = Position(-33.888, 151.187, 12.25)
    assert position_text(position, decimals=3) == "33.888° S, 151.187° E, 12.25 m"
    assert position_text(position, style="dms", decimals=0) == "33°53'17\" S, 151°11'13\" E, 12.25 m"
    with pytest.raises(ValueError, match="style"):
        position_text(position, style="utm")


@pytest.mark.parametrize("text", ["57,11,5", "57, 11, 5", "57,11,5 m", "57.0,11.0,5.0"])
def test_whole_figures_when_a_height_has_to_stand_there_are_latitude_longitude_and_height(text: str) -> None:
    assert parse_position(text, with_height=True) == Position(57.0, 11.0, 5.0)


@pytest.mark.parametrize("text", ["57,11", "57.1, 11.4", "57 6 0 N, 11 24 0 E"])
def test_position_without_the_height_that_is_needed_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="height is missing"):
        parse_position(text, with_height=True)


@pytest.mark.parametrize("text", ["57,1,11,4,5", "57,1;11,4;5", "nothing"])
def test_what_cannot_be_read_at_all_is_refused_with_a_height_too(text: str) -> None:
    with pytest.raises(UsageError):
        parse_position(text, with_height=True)
