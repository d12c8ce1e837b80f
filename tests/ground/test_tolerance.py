"""How good an aim is."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.ground.tolerance import aim_good_to, combined_sigma, position_sigma, position_tolerance, step_sigma

sigmas = st.floats(0, 90)


@given(sigmas, sigmas, sigmas)
def test_combined_sigma_is_at_least_its_largest_cause_and_at_most_their_sum(one, two, three):
    total = float(combined_sigma(one, two, three))
    assert max(one, two, three) <= total * (1 + 1e-12)
    assert total <= (one + two + three) * (1 + 1e-12)


def test_combined_sigma_with_a_cause_that_is_not_known_promises_nothing():
    assert np.isnan(combined_sigma(0.4, math.nan))
    assert np.isnan(combined_sigma(0.4, -1.0))


def test_combined_sigma_of_nothing_raises():
    with pytest.raises(ValueError, match="at least one"):
        combined_sigma()


def test_combined_sigma_broadcasts_its_causes():
    assert combined_sigma([3.0, 6.0], 4.0).tolist() == [5.0, pytest.approx(math.sqrt(52))]


def test_position_sigma_rules_short_hops():
    near, far = position_sigma([20.0, 2000.0], 0.3, 0.3)
    assert near > 1.0
    assert far < 0.02


@pytest.mark.parametrize("arguments", [(0.0, 0.0, 0.0), (-5.0, 1.0, 1.0), (5.0, -1.0, 1.0)])
def test_position_sigma_without_sense_is_nan(arguments):
    assert np.isnan(position_sigma(*arguments))


def test_position_sigma_over_no_distance_is_a_right_angle():
    assert position_sigma(0.0, 0.1, 0.0) == pytest.approx(90.0)


def test_step_sigma_of_a_negative_step_is_nan():
    assert np.isnan(step_sigma(-1.0))
    assert step_sigma(0.0) == 0.0


def test_aim_good_to_promises_no_more_than_a_half_turn():
    assert aim_good_to([1.0, 100.0]).tolist() == [2.0, 180.0]
    assert aim_good_to(1.0, coverage=1.0) == 1.0
    assert np.isnan(aim_good_to(-1.0))


@given(st.floats(1, 1e4), st.floats(1, 359))
def test_position_tolerance_used_up_turns_the_aim_by_an_eighth_of_the_beam(distance, beamwidth):
    off = float(position_tolerance(distance, beamwidth))
    assert math.degrees(math.atan(off / distance)) == pytest.approx(beamwidth / 8)


@pytest.mark.parametrize(("distance", "beamwidth"), [(0.0, 27.0), (60.0, 0.0), (60.0, 360.0), (-1.0, 27.0)])
def test_position_tolerance_of_what_has_no_aim_is_nan(distance, beamwidth):
    assert np.isnan(position_tolerance(distance, beamwidth))


@pytest.mark.parametrize("part", [0.0, 0.26, math.nan])
def test_position_tolerance_with_a_part_out_of_range_raises(part):
    with pytest.raises(ValueError, match="part"):
        position_tolerance(60.0, 27.0, part=part)
