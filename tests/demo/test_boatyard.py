"""The boatyard, held against hand values: plain trigonometry on the plan, and geodesics on the ellipsoid."""

from __future__ import annotations

import math
from collections import Counter
from pathlib import Path

import networkx
import pytest
from geographiclib.constants import Constants
from geographiclib.geodesic import Geodesic
from shapely.geometry import Point, Polygon

from survey_app.data import demo_sites_folder
from survey_app.gear import compare_with_catalogue, load_catalogue
from survey_app.site.place import EdgePlace, PlanePoint, PointPlace, PolePlace
from survey_app.site.site import Design, Site
from survey_app.site.structure import Building

FILES = ("site.json", "alternatives/cured.json")


def read(file: str) -> Site:
    return Site.model_validate_json((demo_sites_folder() / "boatyard" / file).read_text(encoding="utf-8"))


@pytest.fixture(params=FILES)
def design(request: pytest.FixtureRequest) -> Design:
    return read(request.param).design


def antenna(design: Design, mount_id: str) -> tuple[float, float, float]:
    """Place an antenna by hand: wall edge plus stand-off, or the pole's foot; height over the site datum."""
    mount = next(m for m in design.mounts if m.id == mount_id)
    structure = next(s for s in design.structures if s.id == mount.structure)
    place = mount.place
    if isinstance(place, PointPlace):
        x, y = place.position.x_m, place.position.y_m
    elif isinstance(place, EdgePlace):
        first, second = (structure.outline * 2)[place.edge : place.edge + 2]
        dx, dy = second.x_m - first.x_m, second.y_m - first.y_m
        length = math.hypot(dx, dy)
        assert 0 <= place.along_m <= length
        # outlines of the demo sites run anticlockwise: outward is to the right of the edge
        x = first.x_m + dx / length * place.along_m + dy / length * place.stand_off_m
        y = first.y_m + dy / length * place.along_m - dx / length * place.stand_off_m
    else:
        assert isinstance(place, PolePlace)
        assert place.stand_off_m == 0
        x, y = structure.position.x_m, structure.position.y_m
    above = {"ground": 0.0, "datum": -structure.base_m}
    if isinstance(structure, Building):
        above |= {"eaves": structure.eaves_height_m, "roof": structure.eaves_height_m}
    return x, y, structure.base_m + above[mount.height_reference] + mount.height_m


def ends(design: Design, hop_id: str) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    hop = next(h for h in design.hops if h.id == hop_id)
    mounts = {r.id: r.mount for r in design.radios}
    return antenna(design, mounts[hop.access_point]), antenna(design, mounts[hop.station])


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
    (x1, y1, z1), (x2, y2, z2) = ends(read("site.json").design, hop)
    ground = math.hypot(x2 - x1, y2 - y1)
    assert math.degrees(math.atan2(x2 - x1, y2 - y1)) % 360 == pytest.approx(bearing, abs=0.1)
    assert math.hypot(ground, z2 - z1) == pytest.approx(distance, abs=0.1)
    assert math.degrees(math.atan2(z2 - z1, ground)) == pytest.approx(tilt, abs=0.06)


@pytest.mark.parametrize(("hop", "bearing", "distance", "_tilt"), HAND)
def test_true_bearing_on_the_ellipsoid_equals_the_plan_bearing(
    hop: str, bearing: float, distance: float, _tilt: float
) -> None:
    design = read("site.json").design
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
    assert antenna(read("site.json").design, mount) == pytest.approx((x, y, height + 2.0), abs=1e-9)


def test_cured_panel_clears_hoist_and_paint_shed_by_hand() -> None:
    for file, over_hoist, over_shed in (("site.json", 0.25, 0.65), ("alternatives/cured.json", 0.625, 0.96)):
        design = read(file).design
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


def test_every_load_has_a_chain_to_a_board(design: Design) -> None:
    feeds: dict[str, str] = {d.id: d.fed_from for d in design.devices if d.fed_from}
    for wire in design.wires:
        if wire.power != "none":
            giver, taker = (wire.a, wire.b) if wire.power == "a_to_b" else (wire.b, wire.a)
            assert taker.thing not in feeds
            feeds[taker.thing] = giver.thing
    boards = {s.id for s in design.supplies}
    for load in (*design.radios, *design.cameras, *design.devices):
        at, steps = load.id, 0
        while at not in boards:
            at, steps = feeds[at], steps + 1
            assert steps < 10


def test_every_camera_reaches_the_recorder(design: Design) -> None:
    net = networkx.Graph([(w.a.thing, w.b.thing) for w in design.wires])
    net.add_edges_from((h.access_point, h.station) for h in design.hops)
    for camera in design.cameras:
        assert networkx.has_path(net, camera.id, design.head_ends[0].device)


def test_copies_of_gear_are_those_of_the_catalogue(design: Design) -> None:
    assert compare_with_catalogue(design.gear, load_catalogue()) == ()


def test_landmarks_allow_a_turn_for_the_narrowest_beam(design: Design) -> None:
    narrowest_deg = 19.0
    for mount in design.mounts:
        x, y, _ = antenna(design, mount.id)
        usable = 0
        for landmark in design.landmarks:
            if mount.id not in landmark.seen_from:
                continue
            assert isinstance(landmark.position, PlanePoint)
            away = math.hypot(landmark.position.x_m - x, landmark.position.y_m - y)
            usable += math.degrees(math.atan2(landmark.sigma_m, away)) <= narrowest_deg / 4
        assert usable >= 2


def test_unit_and_boxes_stay_out_of_the_fuel_zone(design: Design) -> None:
    zone = next(z for z in design.zones if z.id == "fuel")
    area = Polygon([(p.x_m, p.y_m) for p in zone.outline])
    assert not area.contains(Point(*antenna(design, "fuel")[:2]))
    assert area.area == pytest.approx(math.pi * 36, rel=0.02)
    for device in design.devices:
        assert device.position is not None
        assert not area.contains(Point(device.position.x_m, device.position.y_m))


def test_folder_tells_its_story_as_an_invention() -> None:
    folder: Path = demo_sites_folder() / "boatyard"
    assert "invented" in (folder / "README.md").read_text(encoding="utf-8")
    assert all(read(file).design.invented for file in FILES)
