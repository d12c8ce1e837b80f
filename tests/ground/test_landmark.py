"""Landmarks to aim by."""

import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.ground.landmark import (
    angle_sigma,
    choose_landmarks,
    landmark_allowed,
    landmark_error,
    turn_to_aim,
)


def choose(rows, aim=123.3, beamwidth=27.0, mount=0.1, **options):
    """Choose among rows of (id, bearing, distance, sigma)."""
    ids, bearings, distances, sigmas = zip(*rows, strict=True) if rows else ((), (), (), ())
    return choose_landmarks(
        ids, bearings, distances, sigmas, aim_bearing_deg=aim, beamwidth_deg=beamwidth, mount_sigma_m=mount, **options
    )


@pytest.mark.parametrize(
    ("landmark", "aim", "angle"), [(99.9, 123.3, 23.4), (350.0, 10.0, 20.0), (10.0, 350.0, -20.0), (0.0, 180.0, 180.0)]
)
def test_turn_to_aim_is_right_positive_and_the_short_way(landmark, aim, angle):
    assert turn_to_aim(landmark, aim) == pytest.approx(angle, abs=1e-9)


def test_turn_to_aim_is_the_same_from_every_north():
    # that is its point: declination and rotation of the plan fall out
    assert turn_to_aim(99.9 - 14.6, 123.3 - 14.6) == pytest.approx(float(turn_to_aim(99.9, 123.3)))


def test_landmark_error_adds_both_positions_as_squares():
    assert landmark_error(100.0, 3.0, 4.0) == pytest.approx(math.degrees(math.atan(0.05)))


@pytest.mark.parametrize("arguments", [(0.0, 0.0, 0.0), (-1.0, 3.0, 0.0), (10.0, -3.0, 0.0), (10.0, 3.0, -1.0)])
def test_landmark_error_without_sense_is_nan(arguments):
    assert np.isnan(landmark_error(*arguments))


def test_landmark_error_at_the_landmark_itself_is_a_right_angle():
    assert landmark_error(0.0, 3.0, 0.0) == pytest.approx(90.0)


def test_landmark_allowed_of_what_is_not_known_is_refused():
    assert landmark_allowed([math.nan, 1.0], [27.0, math.nan]).tolist() == [False, False]


def test_angle_sigma_of_a_mount_moved_towards_both_is_nothing():
    # both things lie the same way and as far: wherever the mount stands across the line, both bearings move alike
    assert angle_sigma(0.0, 250.0, 250.0, 5.0, 0.0, 0.0) == pytest.approx(0.0, abs=1e-12)


@given(st.floats(-180, 180), st.floats(1, 1e4), st.floats(1, 1e4), st.floats(0, 5), st.floats(0, 5), st.floats(0, 5))
def test_angle_sigma_is_the_same_with_the_two_things_swapped(angle, one_m, two_m, mount, sigma_1, sigma_2):
    there = angle_sigma(angle, one_m, two_m, mount, sigma_1, sigma_2)
    assert there == pytest.approx(float(angle_sigma(-angle, two_m, one_m, mount, sigma_2, sigma_1)), rel=1e-12)
    assert there >= 0


def test_choose_landmarks_without_a_good_one_gives_none():
    assert choose([]) is None
    assert choose([("near", 100.0, 20.0, 3.0)], beamwidth=6.0) is None
    assert choose([("here", 100.0, 0.0, 3.0), ("nowhere", math.nan, 500.0, 3.0)]) is None
    assert choose([("unsure", 100.0, 500.0, math.nan)]) is None


def test_choose_landmarks_with_an_antenna_that_has_no_beam_or_aim_gives_none():
    rows = [("tower", 100.0, 900.0, 3.0)]
    assert choose(rows, beamwidth=math.nan) is None
    assert choose(rows, aim=math.nan) is None


def test_choose_landmarks_with_one_has_no_check():
    aim = choose([("tower", 99.9, 900.0, 3.0)])
    assert (aim.first.id, aim.second, aim.check_deg, aim.check_sigma_deg) == ("tower", None, None, None)
    assert aim.first.turn_deg == pytest.approx(23.4)
    assert aim.first.error_deg == pytest.approx(0.191, abs=0.001)


def test_choose_landmarks_among_good_ones_takes_the_smallest_turn():
    # 0.17 deg and 0.43 deg cost nothing worth naming on a 27 deg beam; a turn of 170 deg cannot be set by eye
    aim = choose([("far", 293.0, 1000.0, 3.0), ("beside", 130.0, 400.0, 3.0)])
    assert (aim.first.id, aim.second.id) == ("beside", "far")


def test_choose_landmarks_for_a_narrow_beam_takes_the_smallest_error():
    aim = choose([("far", 293.0, 1000.0, 3.0), ("beside", 130.0, 400.0, 3.0)], beamwidth=3.0)
    assert (aim.first.id, aim.second.id) == ("far", "beside")


def test_choose_landmarks_check_is_the_angle_between_them():
    aim = choose([("tower", 350.0, 900.0, 3.0), ("church", 20.0, 800.0, 2.0)], aim=340.0)
    assert aim.first.id == "tower"
    # the tower stands 30 deg left of the church
    assert aim.check_deg == pytest.approx(-30.0)
    assert aim.check_sigma_deg == pytest.approx(float(angle_sigma(30.0, 800.0, 900.0, 0.1, 2.0, 3.0)))


def test_choose_landmarks_of_equals_goes_by_id_whatever_the_order():
    rows = [(name, 100.0, 900.0, 3.0) for name in ("c", "a", "d", "b")]
    for _ in range(10):
        random.Random(4).shuffle(rows)
        aim = choose(rows)
        assert (aim.first.id, aim.second.id) == ("a", "b")


def test_choose_landmarks_refuses_lists_that_do_not_fit():
    with pytest.raises(ValueError, match="one value for each id"):
        choose_landmarks(["a"], [1.0, 2.0], [1.0], [1.0], aim_bearing_deg=0.0, beamwidth_deg=9.0, mount_sigma_m=0.1)
    with pytest.raises(ValueError, match="twice"):
        choose([("a", 1.0, 100.0, 1.0), ("a", 2.0, 100.0, 1.0)])
