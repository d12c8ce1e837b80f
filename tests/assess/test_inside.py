"""Hops and areas inside buildings: walls, doors, floors and the outer wall, on small sites and on the mill."""

from __future__ import annotations

import functools
import math
from pathlib import Path
from typing import Any

import pytest

from survey_app.assess.memo import Memo
from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment, HopRow
from survey_app.physics.building_entry import building_entry_range_db
from survey_app.physics.construction import construction, construction_ids
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.indoor import indoor_loss_db, indoor_sigma_db
from survey_app.physics.loss_range import ONE_IN_TWENTY
from survey_app.physics.wall_loss import construction_loss_db
from survey_app.site.edits import change, move_by, remove
from survey_app.site.file import read_site
from survey_app.site.place import PlanePoint, PointPlace
from survey_app.site.radio import Hop
from survey_app.site.shape import fields_of
from survey_app.site.site import Site
from survey_app.site.surroundings import Room, Wall
from tests.assess.rule_case import assessed, regions
from tests.assess.test_rules_inside import hall
from tests.laws import checked
from tests.plot import Plot
from tests.tools.warm_and_cold import hold_alike

MILL = Path(__file__).resolve().parents[2] / "demo_sites" / "mill"


@functools.cache
def mill() -> tuple[Site, Assessment]:
    site = read_site(MILL)
    return site, checked(site)


def _hop(plot: Plot, key: str = "H-S") -> HopRow:
    return assessed(plot.site()).hop(key)


def _at(plot: Plot, mount: str, x: float, y: float, **more: Any) -> None:
    plot.set("mounts", mount, place=PointPlace(kind="point", position=PlanePoint(x_m=x, y_m=y)), **more)


# --- between two places of one building ---


def test_the_wall_of_the_mill_takes_what_the_hand_reckoning_says() -> None:
    # common practice: brick of 220 mm takes 6.4 dB square to it; 23 dBm radiated, 5 dBi at the cart, 24 m: -53 dBm
    _, found = mill()
    hop = found.hop("I")
    assert [(wall.thing, wall.kind) for wall in hop.walls] == [("wall-12", "wall")]
    assert hop.walls[0].place_m == pytest.approx(12.0)
    assert hop.wall_loss_db == pytest.approx(6.4, abs=0.5)
    assert hop.wall_loss_low_db < hop.wall_loss_db < hop.wall_loss_high_db
    assert 23.0 + 5.0 - hop.free_space_loss_db - hop.wall_loss_db == pytest.approx(-53.0, abs=1.0)
    assert (hop.line_of_sight, hop.cut_by, hop.cut_at_m) == (False, "wall-12", pytest.approx(12.0))
    assert hop.entry_loss_high_db is None


def test_in_one_room_nothing_is_lost_and_the_ray_is_free() -> None:
    plot = hall()
    _at(plot, "m-cart", 10.0, 40.0)
    hop = _hop(plot)
    assert (hop.walls, hop.wall_loss_db, hop.wall_method, hop.line_of_sight) == ((), 0.0, None, True)


def test_a_door_that_is_now_open_and_now_closed_counts_as_closed_and_in_the_least_as_open() -> None:
    plot = hall(door="steel")
    hop = _hop(plot)
    assert [(wall.thing, wall.kind, wall.low_db) for wall in hop.walls] == [("gate", "opening", 0.0)]
    assert hop.wall_loss_low_db == 0.0
    plot.set("openings", "gate", state="open")
    assert _hop(plot).walls == ()
    plot.set("openings", "gate", state="closed")
    assert _hop(plot).walls[0].low_db > 15.0


def test_under_the_sill_of_a_window_stands_the_wall() -> None:
    plot = hall(door="glazing_double")
    plot.set("openings", "gate", sill_height_m=3.5)
    assert [wall.thing for wall in _hop(plot).walls] == ["between"]
    plot.set("openings", "gate", sill_height_m=1.0)
    assert [wall.thing for wall in _hop(plot).walls] == ["gate"]


def test_a_wall_that_hangs_from_the_ceiling_leaves_the_way_under_it_free() -> None:
    plot = hall()
    plot.set("walls", "between", floor_height_m=5.0, height_m=3.0)
    assert _hop(plot).walls == ()


def test_a_construction_says_more_than_material_and_thickness() -> None:
    plot = hall(wall="glass")
    plain = _hop(plot).wall_loss_db
    plot.set("walls", "between", construction="glazing_double_coated")
    assert _hop(plot).wall_loss_db > plain + 15.0


def test_every_construction_of_a_wall_is_one_that_the_formulas_know() -> None:
    names = fields_of(Wall)["construction"].choices
    assert {name.replace("_", "-") for name in names} <= set(construction_ids())


def test_many_walls_take_no_more_than_is_usual_in_such_buildings() -> None:
    plot = hall(wall="metal")
    hop = _hop(plot)
    most = float(indoor_loss_db(hop.distance_m, hop.centre_mhz, "industrial", False))
    most += ONE_IN_TWENTY * indoor_sigma_db("industrial", False)
    assert hop.free_space_loss_db + hop.wall_loss_db == pytest.approx(most)
    assert "P.1238" in hop.wall_method
    assert hop.wall_loss_high_db > hop.wall_loss_db


def test_a_floor_between_storeys_is_met_once_with_what_it_is_made_of() -> None:
    plot = hall()
    plot.rows["rooms"] = []
    for key, floor_m, floor in (("ground", 0.0, "unknown"), ("up", 4.0, "concrete")):
        fields = {"floor_height_m": floor_m, "ceiling_height_m": 3.7, "floor": floor}
        plot.add("rooms", Room(id=key, structure="hall", outline=_square(0.5, 30.5, 39.5, 49.5), **fields))
    _at(plot, "m-in", 10.0, 40.0, height_m=7.0)
    _at(plot, "m-cart", 10.5, 40.0, height_m=1.5)
    hop = _hop(plot)
    assert [(wall.thing, wall.kind, wall.known) for wall in hop.walls] == [("up", "floor", True)]
    assert hop.walls[0].incidence_deg == pytest.approx(5.2, abs=0.1)


def test_a_building_of_storeys_without_rooms_has_floors_of_unknown_make() -> None:
    plot = hall()
    plot.rows["rooms"], plot.rows["walls"] = [], []
    plot.set("structures", "hall", storeys=2)
    _at(plot, "m-in", 10.0, 40.0, height_m=7.0)
    assert [(wall.thing, wall.kind, wall.known) for wall in _hop(plot).walls] == [("hall", "floor", False)]


# --- from outside ---


def _from_the_yard(y: float = 40.0, height: float = 4.0, **building: Any) -> Plot:
    """The cart stands in the yard, 40 m east of the hall's east wall."""
    plot = hall()
    if building:
        plot.set("structures", "hall", **building)
    _at(plot, "m-in", 39.0, 40.0)
    _at(plot, "m-cart", 80.0, y, height_m=height, environment="outdoors")
    return plot


def test_a_hop_from_outside_goes_through_the_outer_wall_at_its_angle() -> None:
    hop = _hop(_from_the_yard(y=63.67))
    (wall,) = hop.walls
    assert (wall.thing, wall.kind, hop.line_of_sight, hop.cut_by) == ("hall", "outer_wall", False, "hall")
    assert wall.incidence_deg == pytest.approx(30.0, abs=0.1)
    brick = construction_loss_db(construction("brick-220"), hop.centre_mhz, hop.width_mhz, wall.incidence_deg)
    assert hop.wall_loss_db == pytest.approx(float(brick.likely_db))
    assert wall.place_m == pytest.approx(1.0 / 0.866, abs=0.01)
    assert hop.diffraction_loss_db == pytest.approx(0.0, abs=0.5)


def test_beside_it_stands_what_is_usual_for_such_buildings() -> None:
    hop = _hop(_from_the_yard())
    usual = building_entry_range_db(hop.centre_mhz, "traditional")
    assert hop.entry_loss_low_db == pytest.approx(float(usual.low_db), abs=0.1)
    assert hop.entry_loss_low_db < hop.wall_loss_db < hop.entry_loss_high_db
    metal = _hop(_from_the_yard(wall="insulated"))
    assert metal.entry_loss_high_db > hop.entry_loss_high_db + 10.0


def test_a_window_that_is_drawn_along_the_outer_wall_stands_for_it() -> None:
    plot = _from_the_yard(wall="insulated")
    outside = _hop(plot).wall_loss_db
    run = (PlanePoint(x_m=39.8, y_m=30.0), PlanePoint(x_m=39.8, y_m=50.0))
    plot.add("walls", Wall(id="front", structure="hall", route=run, construction="glass_6", height_m=8.0))
    hop = _hop(plot)
    assert [wall.thing for wall in hop.walls] == ["front"]
    assert hop.wall_loss_db < outside - 20.0


def test_the_other_way_round_the_same_is_lost_to_the_last_bit() -> None:
    there = _from_the_yard(y=47.3)
    back = _from_the_yard(y=47.3)
    back.set("radios", "A", role="station", channel=None)
    back.set("radios", "S", role="access_point", channel=36)
    back.rows["hops"] = [Hop(id="H-S", access_point="S", station="A")]
    first, second = _hop(there), _hop(back)
    fields = ("wall_loss_low_db", "wall_loss_db", "wall_loss_high_db", "entry_loss_low_db", "entry_loss_high_db")
    assert [getattr(first, name) for name in fields] == [getattr(second, name) for name in fields]
    assert second.walls[0].place_m == pytest.approx(first.ground_distance_m - first.walls[0].place_m, abs=1e-3)


# --- areas ---


def test_the_carts_of_the_mill_are_served_less_with_doors_shut_and_goods_in() -> None:
    _, found = mill()
    (area,) = found.areas
    assert area.area_m2 == pytest.approx(44.0 * 36.0)
    assert area.needed_rate_mbps == 26.0
    assert 0.99 < area.served_open_fraction <= 1.0
    assert area.served_full_fraction < area.served_fraction < area.served_open_fraction
    assert area.served_fraction == pytest.approx(0.95, abs=0.02)
    assert area.served_full_fraction == pytest.approx(0.83, abs=0.03)
    assert area.weakest_behind == ("door-12",)
    assert [(one.code, one.severity) for one in found.findings if one.subject == "carts"] == [
        ("area-not-served", "warn")
    ]


def test_an_open_room_is_served_as_free_space_has_it() -> None:
    # at the height of the access point, so that the flat beams lose nothing
    plot = hall(area={"outline": _square(2.0, 32.0, 13.0, 48.0), "height_m": 4.0})
    found = assessed(plot.site())
    (area,) = found.areas
    assert area.served_fraction == pytest.approx(1.0, abs=1e-6)
    distance_m = math.dist((area.weakest_x_m, area.weakest_y_m), (0.5, 40.0))
    radiated_dbm = found.radio("A").tx_power_full_dbm + 2.0 * 5.0
    assert area.weakest_level_dbm == pytest.approx(radiated_dbm - float(free_space_loss_db(distance_m, 5180.0)))


def _square(x0: float, y0: float, x1: float, y1: float) -> tuple[PlanePoint, ...]:
    return tuple(PlanePoint(x_m=x, y_m=y) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def test_a_higher_rate_is_served_in_no_greater_part() -> None:
    site, _ = mill()
    served = [
        assess(change(site, "carts", needed_rate_mbps=rate).after).areas[0].served_fraction
        for rate in (13.0, 52.0, 104.0, 156.0)
    ]
    assert served == sorted(served, reverse=True)
    assert served[0] > served[-1] + 0.3


@pytest.mark.parametrize(
    ("edit", "says"),
    [
        (lambda site: change(site, "carts", station=None).after, "station"),
        (lambda site: change(site, "A-I", channel=None).after, "channel"),
        (lambda site: change(site, "carts", structure="gatehouse").after, "inside the building"),
        (lambda site: change(site, "carts", needed_rate_mbps=9000.0).after, "rate"),
    ],
)
def test_what_is_missing_is_said_and_found(edit: Any, says: str) -> None:
    site, _ = mill()
    found = assess(edit(site))
    (area,) = found.areas
    assert area.served_fraction is None
    assert any(says in row.sentence for row in area.null_reasons)
    assert any(row.code == "area-unknown" for row in found.findings)


# --- kept between assessments ---


def test_warm_and_cold_agree_after_edits_of_what_is_inside() -> None:
    memo = Memo()
    site, _ = mill()
    assess(site, regions(), memo=memo)
    for edit in (
        lambda s: change(s, "wall-12", material="concrete"),
        lambda s: change(s, "door-12", state="open"),
        lambda s: change(s, "door-12", along_m=20.0),
        lambda s: change(s, "room-east", ceiling_height_m=3.0),
        lambda s: change(s, "hall", wall="sheet_metal"),
        lambda s: move_by(s, "rack-2", dx_m=0.0, dy_m=4.0),
        lambda s: change(s, "carts", goods_loss_db=3.0),
        lambda s: remove(s, "wall-12", cascade=True),
    ):
        site = edit(site).after
        hold_alike(assess(site, regions(), memo=memo), assess(site, regions()))


def test_an_edit_elsewhere_keeps_what_is_known_of_the_area() -> None:
    memo = Memo()
    site, _ = mill()
    assess(site, regions(), memo=memo)
    assess(change(site, "chain-pole", height_m=12.0).after, regions(), memo=memo)
    assert memo.computed["served areas"] == 0
    assess(change(site, "wall-12", material="concrete").after, regions(), memo=memo)
    assert memo.computed["served areas"] == 1
