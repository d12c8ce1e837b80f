"""Bearings reduced, compared, turned and said."""

import math

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from survey_app.ground.bearings import (
    compass_point,
    from_magnetic,
    reduce_bearing,
    to_grid_bearing,
    to_magnetic,
    turn,
    turn_words,
)

angles = st.floats(-1e6, 1e6)


@given(angles)
@example(-1e-20)
@example(-0.0)
@example(360.0)
@example(-360.0)
def test_reduce_bearing_of_any_angle_lies_from_0_to_below_360(angle):
    reduced = float(reduce_bearing(angle))
    assert 0.0 <= reduced < 360.0
    assert math.copysign(1.0, reduced) == 1.0
    assert math.sin(math.radians(reduced)) == pytest.approx(math.sin(math.radians(angle)), abs=1e-9)
    assert math.cos(math.radians(reduced)) == pytest.approx(math.cos(math.radians(angle)), abs=1e-9)


@pytest.mark.parametrize("angle", [math.inf, -math.inf, math.nan])
def test_reduce_bearing_of_no_direction_is_nan(angle):
    assert math.isnan(reduce_bearing(angle))


@given(st.floats(0.0, 359.999), st.floats(0.0, 359.999))
def test_turn_from_one_bearing_to_another_leads_there_the_short_way(start, end):
    by = float(turn(start, end))
    assert -180.0 < by <= 180.0
    assert math.sin(math.radians(start + by - end)) == pytest.approx(0.0, abs=1e-9)
    assert math.cos(math.radians(start + by - end)) == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize(
    ("start", "end", "by"), [(350, 10, 20), (10, 350, -20), (0, 180, 180), (180, 0, 180), (90, 271, -179), (0, 360, 0)]
)
def test_turn_over_north_and_half_round_takes_the_sign_of_the_side(start, end, by):
    assert float(turn(start, end)) == by


@pytest.mark.parametrize(
    ("true", "declination", "magnetic"),
    [
        (142.6, -14.6, 157.2),  # west declination: magnetic is the larger, never true minus 14.6
        (142.6, 14.6, 128.0),
        (3.0, 5.0, 358.0),
        (358.0, -5.0, 3.0),
    ],
)
def test_to_magnetic_with_west_and_east_declination_has_the_sign_right(true, declination, magnetic):
    assert to_magnetic(true, declination) == pytest.approx(magnetic, abs=1e-9)
    assert turn(true, from_magnetic(magnetic, declination)) == pytest.approx(0.0, abs=1e-9)


def test_to_grid_bearing_east_of_the_central_meridian_is_less_than_true_in_the_north():
    assert to_grid_bearing(90.0, 2.25) == pytest.approx(87.75)


@pytest.mark.parametrize(
    ("bearing", "name"),
    [(0, "N"), (11.24, "N"), (11.26, "NNE"), (45, "NE"), (112.5, "ESE"), (180, "S"), (270, "W"), (315, "NW"),
     (337.5, "NNW"), (348.74, "NNW"), (348.76, "N"), (359.99, "N"), (-45, "NW"), (720, "N")],
)  # fmt: skip
def test_compass_point_of_a_bearing_is_the_nearest_of_sixteen(bearing, name):
    assert compass_point(bearing) == name


def test_compass_point_of_nan_is_empty():
    assert compass_point(math.nan) == ""


def test_compass_points_share_the_circle_evenly():
    names = [compass_point(bearing) for bearing in np.arange(0.5, 360.0, 0.5) - 0.25]
    assert {names.count(name) for name in set(names)} == {45, 44}
    assert len(set(names)) == 16


@pytest.mark.parametrize(
    ("angle", "words"),
    [(23.44, "23.4° right"), (-5.0, "5.0° left"), (-0.04, "straight on"), (0.05001, "0.1° right"),
     (180, "180.0° round"), (-179.99, "180.0° round"), (190, "170.0° left"), (math.nan, "")],
)  # fmt: skip
def test_turn_words_say_what_the_rounded_figure_says(angle, words):
    assert turn_words(angle) == words


def test_turn_words_without_decimals_round_to_whole_degrees():
    assert turn_words(-23.6, decimals=0) == "24° left"
