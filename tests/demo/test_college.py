"""The college farm, held against hand values."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from survey_app.site.network import Supply
from survey_app.site.site import Design
from tests.demo.hand import antenna, design_of, ends, seen_from_access_point

FILES = ("site.json", "alternatives/omni.json", "alternatives/sectors.json", "alternatives/cured.json")


def read(file: str) -> Design:
    return design_of(f"college/{file}")


# station, bearing from the tower, distance over the ground, tilt of the omni at 26 m, as worked by hand
OMNI = [
    ("parlour", 120.0, 60, -19.3),
    ("yard", 292.2, 119, -9.6),
    ("library", 54.0, 246, -2.6),
    ("gate", 354.6, 643, -1.8),
    ("silage", 140.4, 675, -1.5),
    ("arena", 240.0, 600, -1.6),
]


@pytest.mark.parametrize(("station", "bearing", "distance", "tilt"), OMNI)
@pytest.mark.parametrize("file", ["site.json", "alternatives/omni.json"])
def test_omni_sees_its_stations_as_by_hand(
    file: str, station: str, bearing: float, distance: float, tilt: float
) -> None:
    design = read(file)
    found_bearing, slant, found_tilt = seen_from_access_point(design, f"H-{station}")
    assert found_bearing == pytest.approx(bearing, abs=0.3 if station == "library" else 0.1)
    assert slant * math.cos(math.radians(found_tilt)) == pytest.approx(distance, abs=0.6)
    assert found_tilt == pytest.approx(tilt, abs=0.06)


# hop, distance, as worked by hand
RELAY = [("R-farm", 587), ("R-lamb", 468), ("T-pump", 1892)]


@pytest.mark.parametrize(("hop", "distance"), RELAY)
@pytest.mark.parametrize("file", FILES)
def test_relay_and_pump_house_lie_as_far_off_as_by_hand(file: str, hop: str, distance: float) -> None:
    assert seen_from_access_point(read(file), hop)[1] == pytest.approx(distance, abs=0.6)


def test_ridge_cuts_the_direct_ray_but_not_those_of_the_relay() -> None:
    """Straight lines by hand: farm office (8.0) to lambing shed (6.5) at the ridge's east edge, x = 1200."""
    design = read("site.json")
    farm, lamb, ridge = (antenna(design, name) for name in ("farm", "lamb", "ridge"))
    part = (1200 - farm[0]) / (lamb[0] - farm[0])
    assert farm[2] + part * (lamb[2] - farm[2]) - 7.0 == pytest.approx(-0.29, abs=0.01)
    assert ridge == (900, 260, 16.0)
    for far, edge in ((farm, 600.0), (lamb, 1200.0)):
        part = (edge - ridge[0]) / (far[0] - ridge[0])
        assert ridge[2] + part * (far[2] - ridge[2]) - 7.0 > 2.0


def test_sectors_share_the_stations_of_the_omni() -> None:
    design = read("alternatives/sectors.json")
    cells = {ap: sorted(h.station for h in design.hops if h.access_point == ap) for ap in ("A-1", "A-2", "A-3")}
    assert cells == {
        "A-1": ["ST-parlour", "ST-silage"],
        "A-2": ["ST-arena", "ST-yard"],
        "A-3": ["ST-gate", "ST-library"],
    }
    assert [r.channel for r in design.radios if r.id in cells] == [100, 108, 136]
    apart = [seen_from_access_point(design, f"H-{name}")[0] for name in ("gate", "library")]
    assert (apart[1] - apart[0]) % 360 == pytest.approx(61, abs=1.5)
    for name in cells:
        assert antenna(design, next(r.mount for r in design.radios if r.id == name))[2] == 14.0


@pytest.mark.parametrize("file", FILES)
def test_every_station_of_the_tower_has_three_cameras(file: str) -> None:
    count = Counter(c.mount for c in read(file).cameras)
    assert count == {
        "parlour": 3, "yard": 3, "library-west": 3, "gate": 3, "silage": 3, "arena": 3, "lamb": 4, "pump": 1
    }  # fmt: skip


def test_alternatives_differ_in_what_the_story_says() -> None:
    relay = {file: next(r for r in read(file).radios if r.id == "A-R") for file in FILES}
    assert [(relay[f].isolation, relay[f].channel) for f in FILES] == [
        (True, 36),
        (False, 112),
        (False, 112),
        (False, 112),
    ]
    pump = [next(r.channel for r in read(f).radios if r.id == "A-T") for f in FILES]
    assert pump == [124, 124, 124, 104]
    omni, sectors = read("alternatives/omni.json"), read("alternatives/sectors.json")
    for name in ("structures", "cameras", "notes", "supplies"):
        assert getattr(omni, name) == getattr(sectors, name)


def test_solar_set_is_as_large_as_december_wants() -> None:
    """14.5 W for 24 h over 0.6 sun hours at an efficiency of 0.65: about 900 W; three days at 12.8 V, 0.8, 0.95."""
    (solar,) = (s for s in read("site.json").supplies if isinstance(s, Supply) and s.kind == "solar")
    energy_wh = 14.5 * 24
    assert solar.panel_count * 180 == pytest.approx(energy_wh / (solar.sun_hours_per_day or 0) / 0.65, rel=0.05)
    assert solar.battery_count * 100 >= energy_wh * 3 / 0.8 / 0.95 / 12.8
    assert not [s for s in read("alternatives/cured.json").supplies if s.kind == "solar"]


def test_pump_house_hop_passes_the_ridge() -> None:
    (x1, y1, _), (x2, y2, _) = ends(read("site.json"), "T-pump")
    assert y1 + (600 - x1) / (x2 - x1) * (y2 - y1) > 500
