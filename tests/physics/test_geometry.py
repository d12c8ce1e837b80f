from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.geometry import (
    EARTH_RADIUS_M,
    STANDARD_K,
    antenna_angles_along_deg,
    antenna_angles_deg,
    earth_bulge_m,
    effective_earth_factor,
    elevation_deg,
    off_axis_deg,
    slant_distance_m,
)

heights = st.floats(-50.0, 3000.0)
distances = st.floats(1.0, 30_000.0)
bearings = st.floats(-720.0, 720.0)
tilts = st.floats(-60.0, 60.0)
elevations = st.floats(-89.0, 89.0)


@given(heights, heights, distances)
def test_elevation_there_and_back_differs_by_the_curve_of_the_earth(h1_m: float, h2_m: float, d_m: float) -> None:
    there, back = np.tan(np.deg2rad(elevation_deg(h1_m, h2_m, d_m))), np.tan(np.deg2rad(elevation_deg(h2_m, h1_m, d_m)))
    assert float(there + back) == pytest.approx(-d_m / (STANDARD_K * EARTH_RADIUS_M), abs=1e-12 + 1e-12 * abs(there))


def test_elevation_over_a_flat_earth_is_the_plain_slope() -> None:
    assert float(elevation_deg(0.0, 10.0, 10.0, np.inf)) == pytest.approx(45.0, abs=1e-12)


def test_elevation_stays_near_the_exact_angle_from_50_m_to_10_km() -> None:
    distance_m = np.array([50.0, 80.0, 300.0, 1000.0, 4000.0, 10_000.0])[:, np.newaxis]
    rise_m = np.linspace(-60.0, 60.0, 13) * np.minimum(1.0, distance_m / 340.0)
    radius_m = STANDARD_K * EARTH_RADIUS_M
    turn = distance_m / radius_m
    up_m = (radius_m + 20.0 + rise_m) * np.cos(turn) - (radius_m + 20.0)
    exact_deg = np.rad2deg(np.arctan2(up_m, (radius_m + 20.0 + rise_m) * np.sin(turn)))
    np.testing.assert_allclose(elevation_deg(20.0, 20.0 + rise_m, distance_m), exact_deg, atol=2e-4)


@pytest.mark.parametrize("distance_m", [0.0, -5.0, np.nan, np.inf])
def test_elevation_without_a_distance_is_nan(distance_m: float) -> None:
    assert np.isnan(elevation_deg(1.0, 2.0, distance_m))


@pytest.mark.parametrize("k", [0.0, -1.0, np.nan])
def test_elevation_with_an_impossible_factor_is_nan(k: float) -> None:
    assert np.isnan(elevation_deg(1.0, 2.0, 100.0, k))


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
def test_elevation_from_an_unknown_height_is_nan(bad: float) -> None:
    assert np.isnan(elevation_deg(bad, 2.0, 100.0))
    assert np.isnan(elevation_deg(2.0, bad, 100.0))


@given(distances, heights, heights)
def test_slant_distance_is_the_same_both_ways(d_m: float, h1_m: float, h2_m: float) -> None:
    assert float(slant_distance_m(d_m, h1_m, h2_m)) == float(slant_distance_m(d_m, h2_m, h1_m))


@given(distances, heights, heights)
def test_slant_distance_is_never_shorter_than_the_rise(d_m: float, h1_m: float, h2_m: float) -> None:
    assert float(slant_distance_m(d_m, h1_m, h2_m)) >= abs(h1_m - h2_m)


def test_slant_distance_straight_up_is_the_rise() -> None:
    assert float(slant_distance_m(0.0, 3.0, 10.0)) == 7.0


@pytest.mark.parametrize("values", [(-1.0, 0.0, 0.0), (np.nan, 0.0, 0.0), (1.0, np.nan, 0.0), (1.0, 0.0, np.inf)])
def test_slant_distance_outside_its_range_is_nan(values: tuple[float, float, float]) -> None:
    assert np.isnan(slant_distance_m(*values))


@given(distances, distances)
def test_earth_bulge_is_the_same_both_ways(d1_m: float, d2_m: float) -> None:
    assert float(earth_bulge_m(d1_m, d2_m)) == float(earth_bulge_m(d2_m, d1_m))


def test_earth_bulge_at_an_end_or_on_a_flat_earth_is_nothing() -> None:
    assert float(earth_bulge_m(0.0, 500.0)) == 0.0
    assert float(earth_bulge_m(100.0, 500.0, np.inf)) == 0.0


@pytest.mark.parametrize(
    "values", [(-1.0, 1.0, 1.0), (1.0, -1.0, 1.0), (1.0, 1.0, 0.0), (np.nan, 1.0, 1.0), (1.0, 1.0, np.nan)]
)
def test_earth_bulge_outside_its_range_is_nan(values: tuple[float, float, float]) -> None:
    assert np.isnan(earth_bulge_m(*values))


def test_effective_earth_factor_of_a_duct_is_nan() -> None:
    assert np.isnan(effective_earth_factor([-157.0, -200.0, np.nan])).all()


@given(bearings, elevations)
def test_antenna_angles_of_the_aim_itself_are_nothing(bearing_deg: float, tilt_deg: float) -> None:
    azimuth_off_deg, elevation_off_deg = antenna_angles_deg(bearing_deg, tilt_deg, bearing_deg, tilt_deg)
    assert float(azimuth_off_deg) == 0.0
    assert float(elevation_off_deg) == pytest.approx(0.0, abs=1e-13)


@given(st.floats(0.0, 179.0), elevations, st.floats(0.0, 360.0), tilts)
def test_antenna_angles_left_and_right_are_alike(
    turn_deg: float, up_deg: float, aim_deg: float, tilt_deg: float
) -> None:
    right, right_up = antenna_angles_deg(aim_deg + turn_deg, up_deg, aim_deg, tilt_deg)
    left, left_up = antenna_angles_deg(aim_deg - turn_deg, up_deg, aim_deg, tilt_deg)
    # straight behind is 180 deg on either side
    assert abs(float(right)) == pytest.approx(abs(float(left)), abs=1e-8)
    assert float(right) >= 0.0
    assert float(right_up) == pytest.approx(float(left_up), abs=1e-9)


@given(bearings, elevations, bearings, tilts)
def test_antenna_angles_keep_the_angle_to_the_axis(bearing: float, up: float, aim: float, tilt: float) -> None:
    azimuth_off_deg, elevation_off_deg = antenna_angles_deg(bearing, up, aim, tilt)
    cosine = np.sin(np.deg2rad(up)) * np.sin(np.deg2rad(tilt)) + np.cos(np.deg2rad(up)) * np.cos(
        np.deg2rad(tilt)
    ) * np.cos(np.deg2rad(bearing - aim))
    assert float(np.cos(np.deg2rad(off_axis_deg(azimuth_off_deg, elevation_off_deg)))) == pytest.approx(
        cosine, abs=1e-9
    )


def test_antenna_angles_without_tilt_are_the_plain_differences() -> None:
    azimuth_off_deg, elevation_off_deg = antenna_angles_deg([10.0, 350.0, 190.0], [1.0, -2.0, 3.0], 0.0, 0.0)
    np.testing.assert_allclose(azimuth_off_deg, [10.0, -10.0, -170.0], atol=1e-12)
    np.testing.assert_allclose(elevation_off_deg, [1.0, -2.0, 3.0], atol=1e-12)


def test_antenna_angles_clockwise_is_positive_and_above_is_positive() -> None:
    azimuth_off_deg, elevation_off_deg = antenna_angles_deg(125.0, 2.0, 120.0, -3.0)
    assert float(azimuth_off_deg) > 0.0
    assert float(elevation_off_deg) == pytest.approx(5.0, abs=0.02)


def test_antenna_angles_a_full_turn_further_are_the_same() -> None:
    near, far = antenna_angles_deg(0.0, 3.0, 0.0, -2.0), antenna_angles_deg(720.0, 3.0, -360.0, -2.0)
    assert [float(angle) for angle in near] == [float(angle) for angle in far]


@pytest.mark.parametrize(
    "values",
    [
        (np.nan, 0, 0, 0),
        (0, np.nan, 0, 0),
        (0, 0, np.nan, 0),
        (0, 0, 0, np.nan),
        (0, 91, 0, 0),
        (0, 0, 0, -91),
        (np.inf, 0, 0, 0),
    ],
)
def test_antenna_angles_outside_their_range_are_nan_both(values: tuple[float, ...]) -> None:
    assert [bool(np.isnan(angle)) for angle in antenna_angles_deg(*values)] == [True, True]


@given(
    st.floats(0.0, 360.0), st.floats(-80.0, 80.0), st.floats(0.0, 360.0), st.floats(-80.0, 80.0), st.floats(0.1, 1e4)
)
def test_antenna_angles_along_a_line_are_those_of_its_bearing_and_elevation(
    bearing: float, up: float, aim: float, tilt: float, length_m: float
) -> None:
    east, north = length_m * np.sin(np.deg2rad(bearing)), length_m * np.cos(np.deg2rad(bearing))
    along = antenna_angles_along_deg(east, north, np.tan(np.deg2rad(up)), aim, tilt)
    seen = antenna_angles_deg(bearing, up, aim, tilt)
    # the same point of the sphere: near the pole and behind the back an angle alone may jump
    assert _unit(*along) == pytest.approx(_unit(*seen), abs=1e-11)


def _unit(azimuth_deg: np.ndarray, elevation_deg: np.ndarray) -> tuple[float, float, float]:
    azimuth, elevation = np.deg2rad(azimuth_deg), np.deg2rad(elevation_deg)
    across = np.cos(elevation)
    return float(across * np.cos(azimuth)), float(across * np.sin(azimuth)), float(np.sin(elevation))


def test_antenna_angles_along_the_vertical_axis_are_straight_up() -> None:
    azimuth, elevation = antenna_angles_along_deg(1.0, 0.0, 0.0, 90.0, -90.0)
    assert float(elevation) == pytest.approx(90.0)
    assert not np.isnan(azimuth)
    assert np.isnan(antenna_angles_along_deg(0.0, 0.0, 1.0, 0.0, 0.0)).all()
    assert np.isnan(antenna_angles_along_deg(1.0, 0.0, 1.0, 0.0, 91.0)).all()


def test_off_axis_angle_near_the_axis_keeps_its_digits() -> None:
    assert float(off_axis_deg(1e-7, 0.0)) == pytest.approx(1e-7, rel=1e-9)
    assert float(off_axis_deg(0.0, -7.0)) == pytest.approx(7.0, abs=1e-12)
    assert float(off_axis_deg(180.0, 0.0)) == pytest.approx(180.0, abs=1e-12)
    assert np.isnan(off_axis_deg([np.nan, 0.0], [0.0, 91.0])).all()


def test_geometry_broadcasts() -> None:
    column, line = np.ones((4, 1)), np.full(3, 5.0)
    assert elevation_deg(column, line, 100.0).shape == (4, 3)
    assert slant_distance_m(100.0, column, line).shape == (4, 3)
    assert earth_bulge_m(column, line).shape == (4, 3)
    assert [angle.shape for angle in antenna_angles_deg(column, line, 1.0, 2.0)] == [(4, 3), (4, 3)]
