"""The plane of a site against latitude and longitude."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.errors import UsageError
from survey_app.ground.bearings import reduce_bearing, turn
from survey_app.ground.geodesic import inverse, plan_line
from survey_app.ground.plane import Plane, plan_bearing, to_geographic, to_plane, true_bearing

planes = st.builds(
    Plane, st.floats(-89.0, 89.0), st.floats(-180.0, 180.0), st.floats(-180.0, 360.0), st.just(0.0), st.just(0.0)
)
metres = st.floats(-20000.0, 20000.0)


@settings(deadline=None)
@given(planes, metres, metres)
def test_plane_and_back_returns_to_the_same_metre(plane, x, y):
    lat, lon = to_geographic(plane, x, y)
    x_m, y_m = to_plane(plane, lat, lon)
    assert np.hypot(x_m - x, y_m - y) < 1e-6


@settings(deadline=None)
@given(planes, st.floats(1.0, 20000.0), st.floats(0.0, 360.0))
def test_plane_at_its_anchor_shows_true_distance_and_turned_bearing(plane, distance, bearing):
    x, y = distance * np.sin(np.radians(bearing)), distance * np.cos(np.radians(bearing))
    lat, lon = to_geographic(plane, x, y)
    line = inverse(plane.lat_deg, plane.lon_deg, lat, lon)
    assert line.ground_distance_m == pytest.approx(distance, abs=1e-6)
    assert abs(turn(line.bearing_at_1_deg, bearing + plane.rotation_deg)) < 1e-8 + np.degrees(1e-7 / distance)


@settings(deadline=None)
@given(planes, metres, metres, st.floats(0.0, 359.9))
def test_plan_bearing_and_true_bearing_undo_each_other(plane, x, y, bearing):
    assert abs(turn(plan_bearing(plane, x, y, true_bearing(plane, x, y, bearing)), bearing)) < 1e-6


def test_true_bearing_with_plan_north_turned_east_is_the_larger():
    # plan north looks 30 degrees east of true north: straight up the plan is 30 true
    plane = Plane(43.55, -69.6, rotation_deg=30.0)
    assert true_bearing(plane, 0.0, 0.0, 0.0) == pytest.approx(30.0, abs=1e-6)
    lat, lon = to_geographic(plane, 0.0, 100.0)
    assert lat > 43.55
    assert lon > -69.6


def test_true_bearing_of_a_drawn_line_is_that_of_its_geodesic():
    plane = Plane(56.3, 11.8, rotation_deg=-17.0)
    x, y = np.array([1200.0, -900.0]), np.array([300.0, 4000.0])
    lat, lon = to_geographic(plane, x, y)
    drawn = plan_line(x[0], y[0], x[1], y[1])
    line = inverse(lat[0], lon[0], lat[1], lon[1])
    at_1 = true_bearing(plane, x[0], y[0], drawn.bearing_at_1_deg)
    at_2 = true_bearing(plane, x[1], y[1], drawn.bearing_at_2_deg)
    # the plane keeps straight lines straight to some ten thousandths of a degree over a few kilometres
    assert abs(turn(at_1, line.bearing_at_1_deg)) < 1e-3
    assert abs(turn(at_2, line.bearing_at_2_deg)) < 1e-3
    # while the plan bearing plus rotation alone misses by a hundredth
    assert abs(turn(reduce_bearing(drawn.bearing_at_2_deg - 17.0), line.bearing_at_2_deg)) > 0.01


def test_plane_with_anchor_elsewhere_than_its_origin_moves_with_it():
    plane = Plane(43.55, -69.6, x_m=1000.0, y_m=-500.0)
    x, y = to_plane(plane, 43.55, -69.6)
    assert (float(x), float(y)) == (1000.0, -500.0)
    lat, lon = to_geographic(plane, 1000.0, -500.0)
    assert (float(lat), float(lon)) == (pytest.approx(43.55, abs=1e-12), pytest.approx(-69.6, abs=1e-12))


def test_plane_over_180_degrees_keeps_neighbours_together():
    plane = Plane(-17.8, 179.999)
    x, _ = to_plane(plane, -17.8, -179.999)
    assert x == pytest.approx(212.0, abs=1.0)
    _, lon = to_geographic(plane, 212.0, 0.0)
    assert -180.0 <= lon < -179.9


@pytest.mark.parametrize("lat", [90.0, -90.0])
def test_plane_at_a_pole_still_holds_its_metres(lat):
    plane = Plane(lat, 0.0)
    there = to_geographic(plane, [10.0, -10.0], [20.0, -5.0])
    x, y = to_plane(plane, *there)
    assert x == pytest.approx([10.0, -10.0], abs=1e-6)
    assert y == pytest.approx([20.0, -5.0], abs=1e-6)


def test_plane_at_69_north_keeps_a_kilometre_a_kilometre():
    plane = Plane(69.65, 18.95, rotation_deg=45.0)
    lat, lon = to_geographic(plane, [0.0, 1000.0], [0.0, 0.0])
    assert inverse(lat[0], lon[0], lat[1], lon[1]).ground_distance_m == pytest.approx(1000.0, abs=1e-6)


def test_to_geographic_beyond_half_the_earth_is_nan():
    lat, lon = to_geographic(Plane(0.0, 0.0), 2.1e7, 0.0)
    assert np.isnan(lat)
    assert np.isnan(lon)


@pytest.mark.parametrize(
    ("field", "value"),
    [("lat_deg", 90.1), ("lat_deg", float("nan")), ("lon_deg", 181.0), ("rotation_deg", float("inf")), ("x_m", 2e7)],
)
def test_plane_with_a_value_out_of_range_says_which(field, value):
    with pytest.raises(UsageError, match=f"plane.{field}"):
        Plane(**{"lat_deg": 0.0, "lon_deg": 0.0, field: value})
