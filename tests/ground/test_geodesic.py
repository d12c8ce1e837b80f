"""Lines between two points."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.ground.bearings import turn
from survey_app.ground.geodesic import direct, inverse, plan_line

latitudes = st.floats(-89.9, 89.9)
longitudes = st.floats(-180.0, 180.0)


@settings(deadline=None)
@given(latitudes, longitudes, latitudes, longitudes)
def test_inverse_with_ends_swapped_gives_the_same_bits(lat1, lon1, lat2, lon2):
    there, back = inverse(lat1, lon1, lat2, lon2), inverse(lat2, lon2, lat1, lon1)
    assert there.ground_distance_m.tobytes() == back.ground_distance_m.tobytes()
    assert there.bearing_at_1_deg.tobytes() == back.bearing_at_2_deg.tobytes()
    assert there.bearing_at_2_deg.tobytes() == back.bearing_at_1_deg.tobytes()


@settings(deadline=None)
@given(latitudes, longitudes, st.floats(0, 360), st.floats(1.0, 50000.0))
def test_direct_then_inverse_returns_to_bearing_and_distance(lat, lon, bearing, distance):
    point = direct(lat, lon, bearing, distance)
    line = inverse(lat, lon, point.lat_deg, point.lon_deg)
    assert line.ground_distance_m == pytest.approx(distance, abs=1e-7)
    assert abs(turn(line.bearing_at_1_deg, bearing)) < 1e-9 + np.degrees(1e-6 / distance)
    assert abs(turn(line.bearing_at_2_deg, point.bearing_back_deg)) < 1e-9 + np.degrees(1e-6 / distance)


def test_inverse_far_bearing_at_high_latitude_is_not_plus_180():
    line = inverse(69.65, 18.95, 69.75, 18.7)
    assert abs(turn(line.bearing_at_1_deg + 180.0, line.bearing_at_2_deg)) > 0.2


def test_inverse_far_bearing_along_a_meridian_is_plus_180():
    line = inverse(43.0, -69.6, 43.01, -69.6)
    assert (float(line.bearing_at_1_deg), float(line.bearing_at_2_deg)) == (0.0, 180.0)


def test_inverse_over_180_degrees_takes_the_short_way():
    line = inverse(-17.8, 179.99, -17.8, -179.99)
    assert line.ground_distance_m == pytest.approx(2120.0, abs=5.0)
    assert line.bearing_at_1_deg == pytest.approx(90.0, abs=0.01)


@pytest.mark.parametrize(("lon1", "lon2"), [(12.0, 12.0), (180.0, -180.0), (372.0, 12.0)])
def test_inverse_of_one_point_has_no_bearing(lon1, lon2):
    line = inverse(10.0, lon1, 10.0, lon2)
    assert float(line.ground_distance_m) == 0.0
    assert np.isnan(line.bearing_at_1_deg)
    assert np.isnan(line.bearing_at_2_deg)


@pytest.mark.parametrize("lat", [90.0, -90.0])
def test_inverse_at_a_pole_is_one_point_whatever_the_longitude(lat):
    line = inverse(lat, 0.0, lat, 77.0)
    assert float(line.ground_distance_m) == 0.0
    assert np.isnan(line.bearing_at_1_deg)


def test_inverse_from_a_pole_counts_from_the_meridian_that_is_named():
    line = inverse(90.0, 10.0, 89.0, 40.0)
    # from the north pole every way is south, 180 on the meridian named; 30 degrees of longitude east is to the left
    assert line.bearing_at_1_deg == pytest.approx(150.0, abs=1e-9)
    assert line.bearing_at_2_deg == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("bad", [(90.01, 0.0), (-91.0, 0.0), (np.inf, 0.0), (0.0, np.inf), (np.nan, 0.0)])
def test_inverse_and_direct_beyond_a_pole_or_without_a_number_are_nan(bad):
    assert np.isnan(np.stack(inverse(*bad, 1.0, 1.0))).all()
    assert np.isnan(np.stack(inverse(1.0, 1.0, *bad))).all()
    assert np.isnan(np.stack(direct(*bad, 10.0, 100.0))).all()


def test_direct_with_a_negative_distance_or_no_bearing_is_nan():
    assert np.isnan(np.stack(direct(10.0, 10.0, 0.0, -1.0))).all()
    assert np.isnan(np.stack(direct(10.0, 10.0, np.inf, 1.0))).all()


def test_direct_over_no_distance_stays_and_has_no_bearing_back():
    point = direct(10.0, 20.0, 33.0, 0.0)
    assert (float(point.lat_deg), float(point.lon_deg)) == (pytest.approx(10.0), pytest.approx(20.0))
    assert np.isnan(point.bearing_back_deg)


def test_plan_line_in_the_four_quarters_has_bearings_clockwise_from_up():
    line = plan_line(0.0, 0.0, [1, 1, -1, -1, 0], [1, -1, -1, 1, 2])
    assert line.bearing_at_1_deg.tolist() == pytest.approx([45, 135, 225, 315, 0])
    assert line.bearing_at_2_deg.tolist() == pytest.approx([225, 315, 45, 135, 180])


def test_plan_line_of_one_point_has_no_bearing():
    line = plan_line(3.0, 4.0, 3.0, 4.0)
    assert float(line.ground_distance_m) == 0.0
    assert np.isnan(line.bearing_at_1_deg)
    assert np.isnan(line.bearing_at_2_deg)
