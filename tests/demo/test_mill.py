"""The mill, held against hand values."""

from __future__ import annotations

import functools
import math

import pytest
from shapely.geometry import LineString, Polygon

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.data import demo_sites_folder
from survey_app.site.edits import perform
from survey_app.site.file import read_site
from survey_app.site.network import Device
from survey_app.site.radio import Radio
from survey_app.site.site import Design
from tests.demo.hand import antenna, design_of, ends, seen_from_access_point

FILES = ("mill/site.json", "mill/alternatives/cured.json")
FIRST, CURED = (design_of(file) for file in FILES)


def radio(design: Design, name: str) -> Radio:
    return next(r for r in design.radios if r.id == name)


def device(design: Design, name: str) -> Device:
    return next(d for d in design.devices if d.id == name)


def ray(design: Design, first: str, second: str) -> LineString:
    return LineString([antenna(design, first)[:2], antenna(design, second)[:2]])


def outline(design: Design, name: str) -> Polygon:
    building = next(s for s in design.structures if s.id == name)
    return Polygon([(p.x_m, p.y_m) for p in building.outline])


# mounts: x, y, height, as listed
LISTED = [
    ("hall-north", 30, 20, 8.5),
    ("pole-top", 40, 150, 10.0),
    ("yard", 330, 60, 7.0),
    ("trailer", -260, -310, 5.5),
    ("hall-in", 0, 0, 4.0),
    ("cart", 24, 0, 1.5),
]


@pytest.mark.parametrize("design", [FIRST, CURED], ids=FILES)
@pytest.mark.parametrize(("mount", "x", "y", "height"), LISTED)
def test_antenna_hangs_where_it_is_listed(design: Design, mount: str, x: float, y: float, height: float) -> None:
    assert antenna(design, mount) == pytest.approx((x, y, height), abs=1e-9)


@pytest.mark.parametrize(
    ("hop", "bearing", "distance"), [("C1", 4.4, 130.4), ("C2", 107.2, 303.6), ("T", 220.9, 396.6), ("I", 90.0, 24.1)]
)
def test_hop_geometry_equals_the_hand_values(hop: str, bearing: float, distance: float) -> None:
    found_bearing, slant, _ = seen_from_access_point(FIRST, hop)
    assert found_bearing == pytest.approx(bearing, abs=0.1)
    assert slant == pytest.approx(distance, abs=0.1)


def test_units_of_the_column_move_apart_by_the_cure() -> None:
    apart = [antenna(design, "pole-top")[2] - antenna(design, "pole-low")[2] for design in (FIRST, CURED)]
    assert apart == pytest.approx([0.3, 1.0])
    assert antenna(CURED, "pole-low")[:2] == (40, 150)


def test_first_hop_of_the_chain_looks_up_by_hand() -> None:
    assert seen_from_access_point(FIRST, "C1")[2] == pytest.approx(0.7, abs=0.06)


def test_mill_cuts_the_direct_ray_and_its_corner_stands_beside_the_chain() -> None:
    mill = outline(FIRST, "mill")
    assert ray(FIRST, "hall-north", "yard").intersects(mill)
    chain = ray(FIRST, "pole-low", "yard")
    assert not chain.intersects(mill)
    assert chain.distance(mill) == pytest.approx(1.98, abs=0.01)


def test_brick_wall_stands_between_access_point_and_cart() -> None:
    wall = LineString([(p.x_m, p.y_m) for p in FIRST.walls[0].route])
    hit = ray(FIRST, "hall-in", "cart").intersection(wall)
    door = FIRST.openings[0]
    from_south = hit.y - wall.coords[0][1]
    assert abs(from_south - door.along_m) > door.width_m / 2
    assert door.along_m + wall.coords[0][1] == pytest.approx(6.0)


def test_five_stops_of_the_story_are_each_one_change_away() -> None:
    assert (radio(FIRST, "A-C1").channel, radio(FIRST, "A-C2").channel) == (100, 104)
    assert (radio(CURED, "A-C1").channel, radio(CURED, "A-C2").channel) == (100, 116)
    assert (radio(FIRST, "A-T").channel, radio(CURED, "A-T").channel) == (36, 132)
    assert (device(FIRST, "plug-c2").gear, device(CURED, "plug-c2").gear) == ("plug-48", "plug-24")
    assert (device(FIRST, "plug-c1").environment, device(CURED, "plug-c1").environment) == ("outdoors", "indoors")
    assert (device(FIRST, "plug-trailer").gear, device(CURED, "plug-trailer").gear) == ("plug-12", "plug-12d")


def test_trailer_will_not_start_on_twelve_volts_by_hand() -> None:
    """8 W through 45 m of 93.8 ohm/km at 60 °C and two protectors: at most 12²/(4 R) = 7.08 W arrive."""
    wire = next(w for w in FIRST.wires if w.id == "w-st-t")
    assert wire.length_m == 45.0
    gear = {g.id: g for g in FIRST.gear}
    loop_ohm = 93.8e-3 * (1 + 0.00393 * 40) * 45.0 + 2 * 0.1 + wire.extra_ohm
    limit_w = 12.0**2 / (4 * loop_ohm)
    assert limit_w == pytest.approx(7.08, abs=0.01)
    assert limit_w < getattr(gear[radio(FIRST, "ST-T").gear], "watts_w")  # noqa: B009


def test_trailer_beam_takes_its_lean() -> None:
    mount = next(m for m in FIRST.mounts if m.id == "trailer")
    (x1, y1, _), (x2, y2, _) = ends(FIRST, "T")
    off_deg = mount.lean_sigma_deg + math.degrees(mount.position_sigma_m / math.hypot(x2 - x1, y2 - y1))
    assert off_deg == pytest.approx(2.4, abs=0.05)


def test_gatehouse_unit_is_old_and_the_cure_replaces_it() -> None:
    assert {radio(FIRST, name).protection for name in ("A-E", "ST-E")} == {"wpa_tkip"}
    assert {radio(CURED, name).protection for name in ("A-E", "ST-E")} == {"wpa2_aes"}
    assert sum(c.analogue for c in FIRST.cameras) == 4


def test_column_gets_its_supply_over_copper_first_and_by_a_spur_in_the_end() -> None:
    (wire,) = (w for w in FIRST.wires if w.id == "dc-pole")
    assert (wire.medium, wire.length_m) == ("dc", 90.0)
    assert "dc-pole" not in {w.id for w in CURED.wires}
    assert {m.permission.state for m in FIRST.mounts if m.structure == "chain-pole"} == {"not_asked"}
    assert {m.permission.state for m in CURED.mounts if m.structure == "chain-pole"} == {"granted"}


@functools.cache
def assessed(name: str) -> Assessment:
    return assess(read_site(demo_sites_folder() / "mill" / "alternatives" / f"{name}.json"))


def test_relay_pays_its_air_twice_and_the_chain_once() -> None:
    """Four cameras of 6 Mbit/s, 1.06 of it on the network: 25.44 up, 0.002 of 24 back; links of 130 Mbit/s everywhere.

    Chain, by contention with one station: 25.488 / 130 / 0.55 = 0.356 in each cell. Relay, polled, 0.70: twice that
    traffic in one cell, 50.976 / 130 / 0.70 = 0.560.
    """
    loads = {name: {row.id: row.load_fraction for row in assessed(name).cells} for name in ("cured", "relay")}
    assert loads["cured"]["A-C1"] == pytest.approx(0.356, abs=0.001)
    assert loads["cured"]["A-C2"] == pytest.approx(0.356, abs=0.001)
    assert loads["relay"]["A-R"] == pytest.approx(0.560, abs=0.001)
    codes = {row.code for row in assessed("relay").findings if row.subject == "A-R"}
    assert codes == {"managed-from-one-end", "cell-full", "growth"}


def test_no_part_of_either_way_darkens_the_yard_of_the_doubled_mill() -> None:
    yard = {f"cam-yard-{n}" for n in range(1, 5)}
    parts = {"A-C1", "ST-C1", "A-C2", "ST-C2", "C1", "C2", "hitch-pole", "board-pole", "pole-top", "plug-c1"}
    dark = {row.subject: set(row.dark) & yard for row in assessed("cured").failures}
    assert all(dark[part] == yard for part in parts)
    rows = {row.subject: row for row in assessed("doubled").failures}
    assert not parts & {key for key, row in rows.items() if yard & set(row.dark)}
    assert set(rows["old-fibre"].moved) == yard
    assert rows["old-fibre"].dark == rows["old-fibre"].slower == ()


def test_doubled_mill_signs_in_at_a_server_that_its_access_points_reach() -> None:
    found = assessed("doubled")
    assert "no-sign-in" not in {row.code for row in found.findings}
    site = read_site(demo_sites_folder() / "mill" / "alternatives" / "doubled.json")
    assert {radio(site.design, key).protection for key in ("A-C1", "ST-C1", "A-C2", "ST-C2")} == {"wpa2_enterprise"}
    without = assess(perform(site, "remove", {"thing_id": "p-sign-in"}).after)
    assert {row.subject for row in without.findings if row.code == "no-sign-in"} == {"A-C1", "A-C2"}
