"""Landmarks and tolerances against figures worked by hand and against drawn lots."""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.ground.bearings import turn
from survey_app.ground.landmark import angle_sigma, landmark_allowed, landmark_error
from survey_app.ground.tolerance import combined_sigma, position_sigma, position_tolerance, step_sigma

# (error m, range m, error deg), tolerance 0.001. Common practice, no source: atan(e / L).
ERRORS = [(3, 100, 1.718), (5, 500, 0.573), (5, 1000, 0.286), (3, 2000, 0.086)]


@pytest.mark.parametrize(("error_m", "range_m", "expected_deg"), ERRORS)
def test_landmark_error_by_position_and_range_is_as_worked(error_m, range_m, expected_deg):
    assert landmark_error(range_m, error_m, 0.0) == pytest.approx(expected_deg, abs=0.001)
    # as much error at the mount does as much
    assert landmark_error(range_m, 0.0, error_m) == pytest.approx(expected_deg, abs=0.001)


def test_landmark_allowed_ends_at_a_quarter_of_the_beamwidth():
    # [PRACTICE]: landmarks worse than a quarter of the beamwidth are refused
    assert landmark_allowed([1.5, 1.51], 6.0).tolist() == [True, False]


def test_position_sigma_of_a_metre_at_57_m_is_one_degree():
    # [PRACTICE]: 1 m at 57 m = 1.0 deg
    assert position_sigma(57.0, 1.0, 0.0) == pytest.approx(1.0, abs=0.006)


def test_position_tolerance_uses_up_an_eighth_of_the_beam():
    # [PRACTICE]: position error over distance below beam / 8; a 27 deg beam over 60 m: tan 3.375 deg = 0.058972
    assert position_tolerance(60.0, 27.0) == pytest.approx(60.0 * 0.058972, abs=1e-3)


@pytest.mark.parametrize(
    ("angle_deg", "distance_1_m", "distance_2_m", "mount_m", "one_m", "two_m"),
    [
        (23.4, 300.0, 900.0, 1.0, 2.0, 3.0),
        (-120.0, 150.0, 400.0, 2.0, 1.0, 1.0),
        (5.0, 200.0, 210.0, 3.0, 0.0, 0.0),
        (180.0, 400.0, 400.0, 2.0, 0.5, 4.0),
    ],
)
def test_angle_sigma_agrees_with_two_hundred_thousand_drawn_lots(
    angle_deg, distance_1_m, distance_2_m, mount_m, one_m, two_m
):
    random = np.random.default_rng(17)
    mount, one, two = (s * random.standard_normal((200_000, 2)) for s in (mount_m, one_m, two_m))
    angle = np.radians(angle_deg)
    to_one = np.array([0.0, distance_1_m]) + one - mount
    to_two = distance_2_m * np.array([np.sin(angle), np.cos(angle)]) + two - mount
    seen = turn(np.degrees(np.arctan2(to_one[:, 0], to_one[:, 1])), np.degrees(np.arctan2(to_two[:, 0], to_two[:, 1])))
    drawn = float(np.std(turn(angle_deg, seen)))
    expected = float(angle_sigma(angle_deg, distance_1_m, distance_2_m, mount_m, one_m, two_m))
    assert drawn == pytest.approx(expected, rel=0.01)


def test_step_sigma_agrees_with_drawn_lots():
    random = np.random.default_rng(5)
    wanted = random.uniform(0.0, 360.0, 200_000)
    set_to = np.round(wanted / 5.0) * 5.0
    assert float(np.std(wanted - set_to)) == pytest.approx(float(step_sigma(5.0)), rel=0.01)


def test_combined_sigma_agrees_with_drawn_lots():
    random = np.random.default_rng(9)
    lots = sum(s * random.standard_normal(200_000) for s in (0.37, 2.0, 1.2))
    assert float(np.std(lots)) == pytest.approx(float(combined_sigma(0.37, 2.0, 1.2)), rel=0.01)
