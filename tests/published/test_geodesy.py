"""Bearings, distances, the plane and grids against printed lines and independent libraries."""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.ground.bearings import from_magnetic, to_grid_bearing, to_magnetic, turn
from survey_app.ground.geodesic import WGS84, Ellipsoid, direct, inverse, plan_line
from survey_app.ground.grid import from_grid, grid_north, to_grid
from survey_app.ground.plane import Plane, plan_bearing, to_geographic, to_plane, true_bearing


def dms(text: str) -> float:
    """Degrees of 'd m s' with a sign."""
    degrees, minutes, seconds = text.lstrip("-").split()
    value = float(degrees) + float(minutes) / 60 + float(seconds) / 3600
    return -value if text.startswith("-") else value


BESSEL = Ellipsoid(6377397.155, 299.1528128)
INTERNATIONAL = Ellipsoid(6378388.0, 297.0)
GRS80 = Ellipsoid(6378137.0, 298.257222101)

# (id, lat1, lon1, lat2, lon2, azimuth 1 to 2, azimuth 2 to 1, metres), tolerance 1e-6 deg and 0.1 mm.
# Source: [KARNEY2013], its author's library, WGS 84.
CAMPUS_LINES = [
    ("London", 51.5, -0.12, 51.50036, -0.11955, 37.960199, 217.960551, 50.8003),
    ("Boulder", 40.0075, -105.266, 40.0082, -105.2651, 44.674007, 224.674586, 109.2993),
    ("Sydney", -33.888, 151.187, -33.8862, 151.1901, 55.154349, 235.152620, 349.4288),
    ("Singapore", 1.296, 103.776, 1.3031, 103.7729, 336.277056, 156.276986, 857.5426),
    ("Tokyo", 35.712, 139.762, 35.701, 139.7701, 149.008728, 329.013455, 1423.6980),
    ("Reykjavik", 64.139, -21.951, 64.123, -21.901, 126.199358, 306.244348, 3018.4960),
    ("over the equator", -0.01, 36.8, 0.025, 36.83, 40.791551, 220.791555, 5111.7998),
    ("over 180 degrees", -17.8, 179.97, -17.85, -179.96, 126.724383, 306.702955, 9256.8876),
    ("Tromso", 69.65, 18.95, 69.75, 18.7, 319.157811, 138.923339, 14772.4835),
    ("Munich", 48.1, 11.55, 48.23, 11.74, 44.284720, 224.426283, 20216.5336),
]

# (id, ellipsoid, lat1, lon1, lat2, lon2, metres, azimuth 1, azimuth 2 onwards, tolerance m, tolerance deg).
PRINTED_LINES = [
    # [VINCENTY1975] Table II; the paper is good to 0.8 mm itself.
    ("a", BESSEL, "55 45 00", "0 0 0", "-33 26 00", "108 13 00", 14110526.170, "96 36 08.79960",
     "137 52 22.01454", 1e-3),
    ("b", INTERNATIONAL, "37 19 54.95367", "0 0 0", "26 07 42.83946", "41 28 35.50729", 4085966.703, "95 27 59.63089",
     "118 05 58.96161", 1e-3),
    ("c", INTERNATIONAL, "35 16 11.24862", "0 0 0", "67 22 14.77638", "137 47 28.31435", 8084823.839, "15 44 23.74850",
     "144 55 39.92147", 1e-3),
    ("d", INTERNATIONAL, "1 00 00", "0 0 0", "-0 59 53.83076", "179 17 48.02997", 19960000.000, "89 00 00.00000",
     "91 00 06.11733", 1e-3),
    ("e", INTERNATIONAL, "1 00 00", "0 0 0", "1 01 15.18952", "179 46 17.84244", 19780006.558, "4 59 59.99995",
     "174 59 59.88481", 1e-3),
    # [GDA] worked example, printed to a millimetre and 0.01 second; its second azimuth is the reverse one.
    ("Flinders Peak to Buninyong", GRS80, "-37 57 03.72030", "144 25 29.52440", "-37 39 10.15610", "143 55 35.38390",
     54972.271, "306 52 05.37", "307 10 25.07", 6e-4),
]  # fmt: skip

# (id, lat1, lon1, lat2, lon2, azimuth 1, azimuth 2 onwards, metres). Source: [KARNEY2013], lines of the test set.
TEST_SET_LINES = [
    ("1", 35.60777, -139.44815, -11.17491, -69.95921, 111.09874842956033, 129.28927088970877, 8935244.56048183),
    ("2", -41.22777, 122.32875, -7.57291, 130.37946, 14.285113402275739, 10.805303085187369, 3812686.035106021),
]

# (id, lat, lon, grid, central meridian, easting, northing, convergence, scale), tolerances 1 mm, 1e-5 deg and 1e-7.
# Source: PROJ through its own interface; the closed formula beside it is [SNYDER1987] section 8.
GRIDS = [
    ("central meridian", 40.0, -105.0, "EPSG:32613", -105.0, 500000.0, 4427757.219, 0.0, 0.9996),
    ("mid zone", 40.0, -103.5, "EPSG:32613", -105.0, 628042.122, 4428834.709, 0.964312, 0.99980183),
    ("zone edge", 40.0, -102.01, "EPSG:32613", -105.0, 755245.846, 4432040.343, 1.922971, 1.00040212),
    ("London", 51.5, -0.12, "EPSG:32630", -3.0, 699889.807, 5709362.293, 2.254653, 1.00009059),
    ("Tokyo", 35.712, 139.762, "EPSG:32654", 141.0, 388014.924, 3952712.073, -0.722710, 0.99975453),
    ("Sydney", -33.888, 151.187, "EPSG:32756", 153.0, 332343.296, 6248782.957, 1.011112, 0.99994652),
]

# (id, lat of the anchor, metres off it, bearing error deg), tolerance 0.0005: worst of 24 directions when plan north is
# taken for true north. Source: PROJ's own projection against [KARNEY2013].
PLAN_NORTH_ERRORS = [
    ("40N-1km", 40, 1000, 0.0075), ("40N-5km", 40, 5000, 0.0377), ("40N-20km", 40, 20000, 0.1507),
    ("60N-1km", 60, 1000, 0.0155), ("60N-5km", 60, 5000, 0.0776), ("70N-5km", 70, 5000, 0.1231),
]  # fmt: skip


@pytest.mark.parametrize("row", CAMPUS_LINES, ids=lambda row: row[0])
def test_inverse_of_a_campus_line_gives_both_bearings_and_the_distance(row):
    _, lat1, lon1, lat2, lon2, at_1, at_2, distance = row
    line = inverse(lat1, lon1, lat2, lon2)
    assert line.bearing_at_1_deg == pytest.approx(at_1, abs=1e-6)
    assert line.bearing_at_2_deg == pytest.approx(at_2, abs=1e-6)
    assert line.ground_distance_m == pytest.approx(distance, abs=1e-4)


@pytest.mark.parametrize("row", PRINTED_LINES, ids=lambda row: row[0])
def test_inverse_of_a_printed_line_on_its_own_ellipsoid_is_as_printed(row):
    _, ellipsoid, lat1, lon1, lat2, lon2, distance, azimuth_1, azimuth_2, tolerance = row
    line = inverse(dms(lat1), dms(lon1), dms(lat2), dms(lon2), ellipsoid=ellipsoid)
    assert line.ground_distance_m == pytest.approx(distance, abs=tolerance)
    assert line.bearing_at_1_deg == pytest.approx(dms(azimuth_1), abs=3e-6)
    assert turn(line.bearing_at_2_deg + 180.0, dms(azimuth_2)) == pytest.approx(0.0, abs=3e-6)


@pytest.mark.parametrize("row", TEST_SET_LINES, ids=lambda row: row[0])
def test_inverse_of_a_line_of_the_test_set_is_good_to_nanometres(row):
    _, lat1, lon1, lat2, lon2, azimuth_1, azimuth_2, distance = row
    line = inverse(lat1, lon1, lat2, lon2)
    assert line.ground_distance_m == pytest.approx(distance, abs=1e-7)
    assert turn(line.bearing_at_1_deg, azimuth_1) == pytest.approx(0.0, abs=1e-9)
    assert turn(line.bearing_at_2_deg + 180.0, azimuth_2) == pytest.approx(0.0, abs=1e-9)


latitudes = st.floats(-89.9, 89.9)
longitudes = st.floats(-180.0, 180.0)


@settings(max_examples=200, deadline=None)
@given(latitudes, longitudes, latitudes, longitudes)
def test_inverse_over_the_globe_agrees_with_an_independent_library(lat1, lon1, lat2, lon2):
    line = inverse(lat1, lon1, lat2, lon2)
    other = Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)
    assert line.ground_distance_m == pytest.approx(other["s12"], abs=1e-6)
    # nearly opposite points have no one direction, and points a hand apart none to speak of
    if other["s12"] > 0.5 and other["a12"] < 179.0:
        # some nanometres across the line, as an angle: rays part by the sine of the arc
        allowed = 1e-10 + np.degrees(1e-8 / (6.4e6 * np.sin(np.radians(other["a12"]))))
        assert abs(turn(line.bearing_at_1_deg, other["azi1"])) < allowed
        assert abs(turn(line.bearing_at_2_deg, other["azi2"] + 180.0)) < allowed


@settings(max_examples=200, deadline=None)
@given(latitudes, longitudes, st.floats(0.0, 360.0), st.floats(0.0, 2e5))
def test_direct_over_the_globe_agrees_with_an_independent_library(lat, lon, bearing, distance):
    point = direct(lat, lon, bearing, distance)
    other = Geodesic.WGS84.Direct(lat, lon, bearing, distance)
    assert point.lat_deg == pytest.approx(other["lat2"], abs=1e-12)
    assert turn(point.lon_deg, other["lon2"]) == pytest.approx(0.0, abs=1e-10)


@settings(max_examples=100, deadline=None)
@given(st.floats(-85, 85), longitudes, st.floats(-20000, 20000), st.floats(-20000, 20000))
def test_plane_without_rotation_agrees_with_the_projection_of_another_library(lat, lon, x, y):
    from pyproj import Proj

    projection = Proj(proj="aeqd", lat_0=lat, lon_0=lon, ellps="WGS84")
    there = projection(x, y, inverse=True)
    lat_deg, lon_deg = to_geographic(Plane(lat, lon), x, y)
    # the library holds everything within 0.6 mm of its centre to be the centre
    assert inverse(lat_deg, lon_deg, there[1], there[0]).ground_distance_m < 1e-3
    x_m, y_m = to_plane(Plane(lat, lon), there[1], there[0])
    assert np.hypot(x_m - x, y_m - y) < 1e-3


@pytest.mark.parametrize("row", PLAN_NORTH_ERRORS, ids=lambda row: row[0])
def test_plan_bearing_away_from_the_anchor_differs_from_the_true_one_as_known(row):
    _, lat, off, expected = row
    plane = Plane(float(lat), 11.0)
    around = np.radians(np.arange(24) * 15.0)
    lat1, lon1 = to_geographic(plane, off * np.sin(around), off * np.cos(around))
    worst = 0.0
    for bearing in np.arange(24) * 15.0:
        far = direct(lat1, lon1, bearing, 500.0)
        x1, y1 = to_plane(plane, lat1, lon1)
        x2, y2 = to_plane(plane, far.lat_deg, far.lon_deg)
        drawn = plan_line(x1, y1, x2, y2).bearing_at_1_deg
        worst = max(worst, float(np.abs(turn(drawn, bearing)).max()))
    assert worst == pytest.approx(expected, abs=0.0005)


def test_true_bearing_east_of_the_anchor_turns_by_dlon_sin_lat():
    # convergence of the meridians; common practice, no source
    plane = Plane(60.0, 20.0)
    lat, lon = to_geographic(plane, 5000.0, 0.0)
    expected = (lon - 20.0) * np.sin(np.radians(lat))
    assert turn(0.0, true_bearing(plane, 5000.0, 0.0, 0.0)) == pytest.approx(expected, abs=2e-5)


@pytest.mark.parametrize("row", GRIDS, ids=lambda row: row[0])
def test_grid_north_agrees_with_library_and_closed_formula(row):
    _, lat, lon, grid, meridian, easting, northing, convergence, scale = row
    north = grid_north(lat, lon, grid)
    assert north.convergence_deg == pytest.approx(convergence, abs=1e-5)
    assert north.scale == pytest.approx(scale, abs=1e-7)
    formula = np.degrees(np.arctan(np.tan(np.radians(lon - meridian)) * np.sin(np.radians(lat))))
    assert north.convergence_deg == pytest.approx(formula, abs=2e-5)
    there = to_grid(grid, lat, lon)
    assert (there.first, there.second) == (pytest.approx(easting, abs=1e-3), pytest.approx(northing, abs=1e-3))
    back = from_grid(grid, easting, northing)
    assert (back.first, back.second) == (pytest.approx(lat, abs=1e-8), pytest.approx(lon, abs=1e-8))


@pytest.mark.parametrize(
    ("row", "grid", "grid_bearing"),
    # Source: PROJ and [KARNEY2013]; what is left over is the arc-to-chord correction
    [(CAMPUS_LINES[4], "EPSG:32654", 149.731340), (CAMPUS_LINES[2], "EPSG:32756", 54.143260)],
    ids=["Tokyo", "Sydney"],
)
def test_grid_bearing_of_a_true_line_agrees_with_the_line_drawn_on_the_grid(row, grid, grid_bearing):
    _, lat1, lon1, lat2, lon2, *_ = row
    true = inverse(lat1, lon1, lat2, lon2).bearing_at_1_deg
    reduced = to_grid_bearing(true, grid_north(lat1, lon1, grid).convergence_deg)
    east, north, _ = to_grid(grid, [lat1, lat2], [lon1, lon2])
    drawn = plan_line(east[0], north[0], east[1], north[1]).bearing_at_1_deg
    assert drawn == pytest.approx(grid_bearing, abs=1e-5)
    assert reduced == pytest.approx(grid_bearing, abs=2e-4)


def test_bearing_relations_worked_by_hand_hold():
    # common practice, no source: T 144.67, D +7.51, g +0.96 -> M 137.16, G 143.71, grid to magnetic 6.55
    assert to_magnetic(144.67, 7.51) == pytest.approx(137.16, abs=1e-9)
    assert to_grid_bearing(144.67, 0.96) == pytest.approx(143.71, abs=1e-9)
    assert to_grid_bearing(144.67, 0.96) - to_magnetic(144.67, 7.51) == pytest.approx(7.51 - 0.96, abs=1e-9)
    assert from_magnetic(137.16, 7.51) == pytest.approx(144.67, abs=1e-9)


# (id, lat1, lon1, lat2, lon2, metres, bearing at 1, bearing at 2), tolerance 1 mm and 1e-4 deg.
# Source: [KARNEY2013], its author's library.
PATHS = [
    ("1", 51.5, -0.1, 51.502, -0.097, 304.810, 43.1112, 223.1136),
    ("2", 51.5, -0.1, 51.5, -0.0985, 104.161, 89.9994, 270.0006),
    ("3", 51.5, -0.1, 51.52, -0.14, 3558.530, 308.7201, 128.6888),
    ("4", 40.0, -105.25, 39.999, -105.25, 111.035, 180.0, 0.0),
]


@pytest.mark.parametrize("row", PATHS, ids=lambda row: row[0])
def test_plane_anchored_at_one_end_draws_the_line_as_it_is(row):
    _, lat1, lon1, lat2, lon2, distance, at_1, at_2 = row
    plane = Plane(lat1, lon1, rotation_deg=37.0)
    x, y = to_plane(plane, [lat1, lat2], [lon1, lon2])
    drawn = plan_line(x[0], y[0], x[1], y[1])
    assert drawn.ground_distance_m == pytest.approx(distance, abs=1e-3)
    assert turn(at_1, drawn.bearing_at_1_deg + 37.0) == pytest.approx(0.0, abs=1e-4)
    own = inverse(lat2, lon2, lat1, lon1).bearing_at_1_deg
    assert turn(at_2, own) == pytest.approx(0.0, abs=1e-4)
    assert turn(plan_bearing(plane, x[1], y[1], own), drawn.bearing_at_2_deg) == pytest.approx(0.0, abs=1e-4)


def test_ellipsoid_by_default_is_wgs_84():
    # published constants of WGS 84
    assert (WGS84.semi_major_axis_m, WGS84.inverse_flattening) == (6378137.0, 298.257223563)
