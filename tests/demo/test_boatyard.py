"""The boatyard, held against hand values: plain trigonometry on the plan, and geodesics on the ellipsoid."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from geographiclib.constants import Constants
from geographiclib.geodesic import Geodesic
from shapely.geometry import Point, Polygon

from survey_app.site.site import Design
from tests.demo.hand import antenna, design_of, ends, seen_from_access_point

FILES = ("site.json", "alternatives/cured.json")


def read(file: str) -> Design:
    return design_of(f"boatyard/{file}")


@pytest.fixture(params=FILES)
def design(request: pytest.FixtureRequest) -> Design:
    return read(request.param)


# hop, bearing of the plan (true: plan north is true north), slant distance, tilt at the access point, as worked by hand
HAND = [
    ("G", 280.9, 142.6, -0.1),
    ("S-A", 130.7, 95.1, -3.0),
    ("S-B", 119.4, 110.2, -2.6),
    ("P-W", 330.8, 127.5, -4.1),
    ("P-C", 1.6, 147.4, -3.5),
    ("P-E", 35.0, 126.0, -4.1),
    ("U", 47.9, 56.7, 3.3),
    ("F", 130.6, 92.2, -0.1),
]


@pytest.mark.parametrize(("hop", "bearing", "distance", "tilt"), HAND)
def test_hop_geometry_as_first_drawn_equals_the_hand_values(
    hop: str, bearing: float, distance: float, tilt: float
) -> None:
    found_bearing, slant, found_tilt = seen_from_access_point(read("site.json"), hop)
    assert found_bearing == pytest.approx(bearing, abs=0.1)
    assert slant == pytest.approx(distance, abs=0.1)
    assert found_tilt == pytest.approx(tilt, abs=0.06)


@pytest.mark.parametrize(("hop", "bearing", "distance", "_tilt"), HAND)
def test_true_bearing_on_the_ellipsoid_equals_the_plan_bearing(
    hop: str, bearing: float, distance: float, _tilt: float
) -> None:
    design = read("site.json")
    anchor = design.plane.anchor
    assert anchor is not None
    earth = Geodesic(Constants.WGS84_a, Constants.WGS84_f)
    points = []
    for x, y, _ in ends(design, hop):
        far = math.hypot(x, y)
        azimuth = math.degrees(math.atan2(x, y)) + anchor.rotation_deg
        there = earth.Direct(anchor.lat_deg, anchor.lon_deg, azimuth, far)
        points.append((there["lat2"], there["lon2"]))
    line = earth.Inverse(*points[0], *points[1])
    assert line["azi1"] % 360 == pytest.approx(bearing, abs=0.1)
    assert line["s12"] == pytest.approx(distance, abs=0.5)


# mounts: x, y, height over the land (2.0 m over the datum), as listed
LISTED = [
    ("office-west", 0, 5, 6.2),
    ("office-east-u", 18, 8, 6.2),
    ("office-east-f", 18, 2, 6.2),
    ("gate", -140, 32, 6.0),
    ("fuel", 88, -58, 6.0),
    ("shed-east", 100, 40, 10.5),
    ("shed-mast", 80, 65, 14.0),
    ("shed-west", 60, 46, 9.5),
    ("a", 172, -22, 5.5),
    ("b", 196, -14, 5.5),
    ("w", 18, 176, 5.0),
    ("c", 84, 212, 5.0),
    ("e", 152, 168, 5.0),
]


@pytest.mark.parametrize(("mount", "x", "y", "height"), LISTED)
def test_antenna_hangs_where_it_is_listed(mount: str, x: float, y: float, height: float) -> None:
    assert antenna(read("site.json"), mount) == pytest.approx((x, y, height + 2.0), abs=1e-9)


def test_cured_panel_clears_hoist_and_paint_shed_by_hand() -> None:
    for file, over_hoist, over_shed in (("site.json", 0.25, 0.65), ("alternatives/cured.json", 0.625, 0.96)):
        design = read(file)
        (x1, _, z1), (x2, _, z2) = ends(design, "S-A")
        assert z1 + (z2 - z1) * (118 - x1) / (x2 - x1) - 11.0 == pytest.approx(over_hoist, abs=0.015)
        (_, y1, z1), (_, y2, z2) = ends(design, "S-B")
        assert z1 + (z2 - z1) * (20 - y1) / (y2 - y1) - 10.0 == pytest.approx(over_shed, abs=0.015)


def test_counts_are_those_of_the_story(design: Design) -> None:
    assert (len(design.radios), len(design.hops), len(design.mounts), len(design.climbs)) == (13, 8, 13, 12)
    behind = Counter(camera.mount for camera in design.cameras)
    assert behind == {"gate": 4, "a": 2, "b": 2, "w": 2, "c": 2, "e": 2, "fuel": 1}
    assert sum(c.stream.rate_mbps or 0 for c in design.cameras) == 62.0
    assert {m.climb for m in design.mounts if m.structure == "office"} == {"climb-office-west", "climb-office-east"}


def test_unit_and_boxes_stay_out_of_the_fuel_zone(design: Design) -> None:
    zone = next(z for z in design.zones if z.id == "fuel-zone")
    area = Polygon([(p.x_m, p.y_m) for p in zone.outline])
    assert not area.contains(Point(*antenna(design, "fuel")[:2]))
    assert area.area == pytest.approx(math.pi * 36, rel=0.02)
    for device in design.devices:
        assert device.position is not None
        assert not area.contains(Point(device.position.x_m, device.position.y_m))
