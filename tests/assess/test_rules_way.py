"""Design checks of the way of a hop: each fires, its nearest miss does not, its cure removes it and adds no stop.

The hop of `one_hop` runs 120 m from 6.0 m at the office to 5.5 m at the column, along y = 6; in the middle of it the
ray is 5.75 m up and the first zone of channel 157 has a radius of 1.25 m.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from typing import Any

import pytest

from survey_app.assess.rules import drawn, leaves, targets, traffic, water, way
from survey_app.site.edits import add_evidence, perform
from survey_app.site.evidence import Sight
from survey_app.site.place import EdgePlace, HeightKnown, PlanePoint, PointPlace, RoofPlace
from survey_app.site.relief import SpotHeight, SpotRelief
from survey_app.site.site import Site
from survey_app.site.structure import Building, OverheadLine, TrafficArea, TreeStand
from survey_app.site.surroundings import Water
from tests.assess.rule_case import Case, assessed, catalogue
from tests.plot import TAPE, WALK, Plot, one_hop

GUESSED = HeightKnown(how="guessed")
Corner = tuple[float, float]


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[PlanePoint, ...]:
    return outline((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def outline(*corners: Corner) -> tuple[PlanePoint, ...]:
    return tuple(PlanePoint(x_m=x, y_m=y) for x, y in corners)


def with_block(height: float, *, plot: Plot | None = None, **more: Any) -> Plot:
    """A flat building of ten metres in the middle of the hop."""
    plot = plot or one_hop()
    fields: dict[str, Any] = {"outline": box(75.0, 0.0, 85.0, 12.0), "height_known": TAPE, **more}
    plot.add("structures", Building(id="block", kind="building", eaves_height_m=height, **fields))
    return plot


def without(thing: str) -> Callable[[Site], Site]:
    return lambda site: perform(site, "remove", {"thing_id": thing, "cascade": True}).after


def lowered(height: float) -> Callable[[Site], Site]:
    return lambda site: perform(site, "change", {"thing_id": "block", "eaves_height_m": height}).after


# --- what stands there for good ----------------------------------------------------------------------------------


def roof_under_the_ray() -> Plot:
    return with_block(5.3)


def roof_low_enough() -> Plot:
    return with_block(4.95)


def house_in_the_ray() -> Plot:
    return with_block(25.0, plot=one_hop(ceiling=0.0), outline=box(70.0, -300.0, 90.0, 300.0))


def house_beside_the_ray() -> Plot:
    return with_block(15.0, plot=one_hop(ceiling=0.0), outline=box(75.0, 6.8, 85.0, 20.0))


def pole_in_the_ray() -> Plot:
    plot = one_hop()
    plot.pole("flag", 80.0, 6.3, height=8.0)
    return plot


def pole_beside_the_ray() -> Plot:
    plot = one_hop()
    plot.pole("flag", 80.0, 6.85, height=8.0)
    return plot


def seen_through_a_house() -> Plot:
    return with_block(7.0)


def seen_over_a_house() -> Plot:
    return with_block(5.3)


# --- the structure that carries an end -----------------------------------------------------------------------------


def on_the_roof(over: float) -> Plot:
    plot = one_hop()
    place = RoofPlace(kind="roof", position=PlanePoint(x_m=10.0, y_m=6.0))
    plot.set("mounts", "m-office", place=place, height_m=over, arm=None)
    return plot


def low_on_the_roof() -> Plot:
    return on_the_roof(0.3)


def high_on_the_roof() -> Plot:
    return on_the_roof(0.6)


def on_the_far_wall(over_eaves: float) -> Plot:
    plot = one_hop()
    plot.set("mounts", "m-office", place=EdgePlace(kind="edge", edge=3, along_m=6.0), height_m=over_eaves)
    return plot


def under_the_eaves_of_the_far_wall() -> Plot:
    return on_the_far_wall(-0.5)


def over_the_eaves_of_the_far_wall() -> Plot:
    return on_the_far_wall(1.2)


def unit_in_front(beside: float) -> Plot:
    plot = one_hop()
    plot.mount("m-front", "office", 1.0, climb="climb-m-office", height_reference="eaves",
               place=PointPlace(kind="point", position=PlanePoint(x_m=22.3, y_m=6.0 + beside)))  # fmt: skip
    plot.pole("other", 22.3, 90.0)
    plot.mount("m-other", "other", 5.5)
    plot.access_point("B", "m-front", "bowline-p16", 149, power_ceiling_dbm=9.0)
    plot.station("T", "m-other", "bowline-p16", "B", power_ceiling_dbm=9.0)
    plot.feed_indoors("B", "bowline-p16")
    plot.cabinet("m-other", "other", "T", "bowline-p16")
    return plot


def unit_in_the_ray() -> Plot:
    return unit_in_front(0.2)


def unit_beside_the_ray() -> Plot:
    return unit_in_front(0.5)


def large_unit_beside_the_ray() -> Plot:
    plot = unit_in_front(0.5)
    found = catalogue().find("bowline-p16")
    body = type(found.body)(**{**dict(found.body), "wind_area_m2": 0.6})
    plot.more_gear.append(type(found)(**{**dict(found), "id": "own-type", "name": "Own type", "body": body}))
    plot.set("radios", "B", gear="own-type")
    return plot


# --- leaves and traffic ----------------------------------------------------------------------------------------------


def with_trees(top: float, growth: float = 0.0, **more: Any) -> Plot:
    plot = one_hop()
    fields: dict[str, Any] = {"outline": box(78.0, 0.0, 84.0, 12.0), "height_known": TAPE, **more}
    plot.add(
        "structures",
        TreeStand(id="limes", kind="tree_stand", crown_top_m=top, growth_m_per_year=growth, **fields),
    )
    return plot


def crown_under_the_ray() -> Plot:
    return with_trees(5.2)


def crown_that_grows_into_the_zone() -> Plot:
    return with_trees(4.5, 0.2)


def crown_that_grows_near() -> Plot:
    return with_trees(4.5, 0.05)


def crown_far_below() -> Plot:
    return with_trees(4.0, 0.05)


def ray_through_leaves() -> Plot:
    return with_trees(9.0)


def with_lane(envelope: float, y0: float = -30.0, **more: Any) -> Plot:
    plot = one_hop()
    area = {"outline": box(78.0, y0, 84.0, 40.0), "envelope_height_m": envelope, **more}
    plot.add("structures", TrafficArea(id="lane", kind="traffic_area", **area))
    return plot


def lorries_under_the_ray() -> Plot:
    return with_lane(5.2)


def containers_that_stay() -> Plot:
    return with_lane(5.2, standing_fraction=0.3)


def lorries_a_little_lower() -> Plot:
    return with_lane(4.9)


def cars() -> Plot:
    return with_lane(3.0)


def masts_beside() -> Plot:
    return with_lane(14.0, y0=11.5)


def masts_farther_off() -> Plot:
    return with_lane(14.0, y0=12.5)


# --- what the drawing knows -------------------------------------------------------------------------------------------


def relief(*corners: Corner, height: float = 0.0) -> SpotRelief:
    points = tuple(SpotHeight(position=PlanePoint(x_m=x, y_m=y), height_m=height) for x, y in corners)
    return SpotRelief(kind="spots", points=points, vertical_datum="site datum")


def on_relief(*corners: Corner, **more: Any) -> Plot:
    """Every structure with a foot of its own, so that only the ground between is asked of the relief."""
    plot = one_hop(**more)
    for structure in list(plot.rows["structures"]):
        plot.set("structures", structure.id, base_m=0.0)
    plot.fields["relief"] = relief(*corners)
    return plot


WIDE = ((-100.0, -100.0), (900.0, -100.0), (900.0, 800.0), (-100.0, 800.0))


def no_relief() -> Plot:
    return one_hop()


def level_relief() -> Plot:
    return on_relief(*WIDE)


def relief_that_ends_early() -> Plot:
    return on_relief((-100.0, -100.0), (90.0, -100.0), (90.0, 100.0), (-100.0, 100.0))


def relief_on_one_line() -> Plot:
    return on_relief((-100.0, 0.0), (0.0, 0.0), (900.0, 0.0))


def give_relief(site: Site) -> Site:
    return Site(design=type(site.design)(**{**dict(site.design), "relief": relief(*WIDE)}), evidence=site.evidence)


def low_and_long(*, seen: bool) -> Plot:
    plot = one_hop(distance=700.0, ceiling=20.0)
    plot.set("structures", "office", eaves_height_m=3.0)
    plot.set("structures", "column", height_m=4.0)
    plot.set("mounts", "m-column", height_m=3.5)
    if not seen:
        plot.evidence.pop("sights")
    return plot


def low_and_unseen() -> Plot:
    return low_and_long(seen=False)


def low_and_seen() -> Plot:
    return low_and_long(seen=True)


def look(site: Site) -> Site:
    return add_evidence(site, Sight(at=WALK, by="walker", hop="H-S", result="seen_with_lamp")).after


def guessed_roof() -> Plot:
    return with_block(4.9, height_known=GUESSED)


def measured_roof() -> Plot:
    return with_block(4.9)


def measure_roof(site: Site) -> Site:
    rows = tuple(
        type(row)(**{**dict(row), "height_known": TAPE}) if row.id == "block" else row for row in site.design.structures
    )
    return Site(design=type(site.design)(**{**dict(site.design), "structures": rows}), evidence=site.evidence)


def with_line(height: float | None) -> Plot:
    plot = one_hop()
    route = outline((60.0, -30.0), (70.0, 40.0))
    plot.add("structures", OverheadLine(id="line", kind="overhead_line", route=route, height_m=height))
    return plot


def line_of_unknown_height() -> Plot:
    return with_line(None)


def line_of_known_height() -> Plot:
    return with_line(12.0)


def measure_line(site: Site) -> Site:
    return perform(site, "change", {"thing_id": "line", "height_m": 12.0}).after


def with_outline(*corners: Corner) -> Plot:
    return with_block(3.0, outline=outline(*corners))


def outline_without_an_inside() -> Plot:
    return with_outline((75.0, 0.0), (80.0, 0.0), (85.0, 0.0))


def outline_that_crosses_itself() -> Plot:
    return with_outline((75.0, 0.0), (85.0, 12.0), (85.0, 0.0), (75.0, 12.0))


def plain_outline() -> Plot:
    return with_block(3.0)


def inside_the_office(environment: str) -> Plot:
    plot = one_hop()
    place = PointPlace(kind="point", position=PlanePoint(x_m=15.0, y_m=6.0))
    plot.set("mounts", "m-office", place=place, height_m=-1.5, environment=environment)
    return plot


def drawn_inside() -> Plot:
    return inside_the_office("outdoors")


def said_to_be_inside() -> Plot:
    return inside_the_office("indoors")


# --- water and cameras ------------------------------------------------------------------------------------------------


def with_water(x0: float, low: float, high: float, gear: str = "bowline-p16") -> Plot:
    plot = one_hop(gear=gear)
    area = box(x0, -40.0, 135.0, 60.0)
    plot.add("waters", Water(id="dock", outline=area, level_low_m=low, level_high_m=high))
    return plot


def tide_under_the_hop() -> Plot:
    return with_water(25.0, -3.0, -1.0)


def tide_beyond_the_reflection() -> Plot:
    return with_water(100.0, -3.0, -1.0)


def still_water(height: float) -> Plot:
    plot = with_water(25.0, -0.5, -0.5)
    plot.set("mounts", "m-column", height_m=height)
    return plot


def column_where_both_rays_are_opposed() -> Plot:
    return still_water(5.2)


def column_between_two_of_these_heights() -> Plot:
    return still_water(5.0)


def camera_behind(height: float) -> Plot:
    plot = with_block(height, outline=box(120.0, 0.0, 130.0, 12.0), plot=one_hop(cameras=0))
    plot.aimed_camera("C9", "m-column", 100.0, 6.0, 10.0)
    return plot


def target_behind_a_house() -> Plot:
    return camera_behind(3.0)


def target_over_a_shed() -> Plot:
    return camera_behind(1.5)


CASES = (
    Case("not-clear", "warn", "H-S", roof_under_the_ray, roof_low_enough),
    Case("not-clear", "stop", "H-S", house_in_the_ray, house_beside_the_ray, without("block")),
    Case("not-clear", "warn", "H-S", pole_in_the_ray, pole_beside_the_ray, without("flag")),
    Case("seen-against-drawn", "warn", "H-S", seen_through_a_house, seen_over_a_house, lowered(5.0)),
    Case("own-edge", "warn", "H-S", low_on_the_roof, high_on_the_roof),
    Case("own-edge", "warn", "H-S", unit_in_the_ray, unit_beside_the_ray, second="B"),
    Case("own-edge", "warn", "H-S", large_unit_beside_the_ray, unit_beside_the_ray, second="B"),
    Case("own-wall", "warn", "H-S", under_the_eaves_of_the_far_wall, over_the_eaves_of_the_far_wall),
    Case("leaf-and-growth", "warn", "H-S", crown_under_the_ray, crown_far_below, leaves_note=True),
    Case("leaf-and-growth", "warn", "H-S", crown_that_grows_into_the_zone, crown_far_below, leaves_note=True),
    Case("leaf-and-growth", "warn", "H-S", ray_through_leaves, crown_far_below, without("limes")),
    Case("leaf-and-growth", "note", "H-S", crown_that_grows_near, crown_far_below, without("limes")),
    Case("moving-blocker", "warn", "H-S", lorries_under_the_ray, cars, second="lane", leaves_note=True),
    Case("moving-blocker", "stop", "H-S", containers_that_stay, cars, second="lane", leaves_note=True),
    Case("moving-blocker", "note", "H-S", lorries_a_little_lower, cars, without("lane"), second="lane"),
    Case("moving-blocker", "note", "H-S", masts_beside, masts_farther_off, without("lane"), second="lane"),
    Case("assumed-flat", "note", "site", no_relief, level_relief, give_relief),
    Case("assumed-flat", "warn", "H-S", low_and_unseen, level_relief, look),
    Case("relief-unknown", "warn", "H-S", relief_that_ends_early, level_relief, give_relief),
    Case("relief-unknown", "warn", "site", relief_on_one_line, level_relief, give_relief),
    Case("height-guessed-decides", "warn", "H-S", guessed_roof, measured_roof, measure_roof, second="block"),
    Case("line-unmeasured", "warn", "H-S", line_of_unknown_height, line_of_known_height, measure_line, second="line"),
    Case("outline-fault", "warn", "block", outline_without_an_inside, plain_outline, without("block")),
    Case("outline-fault", "note", "block", outline_that_crosses_itself, plain_outline, without("block")),
    Case("radio-inside", "warn", "A", drawn_inside, said_to_be_inside),
    Case("target-hidden", "warn", "C9", target_behind_a_house, target_over_a_shed, lowered(1.5), second="block"),
    Case("water-ripple", "warn", "A", column_where_both_rays_are_opposed, column_between_two_of_these_heights),
    Case("water-ripple", "warn", "A", tide_under_the_hop, tide_beyond_the_reflection, without("dock")),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_planted_fault_when_assessed_fires(case: Case) -> None:
    case.fires()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_nearest_miss_when_assessed_is_silent(case: Case) -> None:
    case.misses()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_cure_when_applied_removes_it_and_adds_no_stop(case: Case) -> None:
    case.is_cured()


def test_every_code_of_the_way_has_a_case() -> None:
    codes = {code for module in (way, leaves, traffic, drawn, water, targets) for code in module.CODES}
    assert codes <= {case.code for case in CASES}


# --- what is said -------------------------------------------------------------------------------------------------------


@functools.cache
def _message(draw: Callable[[], Plot], code: str) -> str:
    (row,) = (row for row in assessed(draw().site()).findings if row.code == code and row.subject != "site")
    return row.message


def test_message_of_a_roof_when_read_names_it_its_place_and_what_is_left() -> None:
    assert _message(roof_under_the_ray, "not-clear") == (
        "block is 0.43 m under the ray, 65 m from A: 0.35 of its first zone, 0.60 wanted."
    )


def test_message_of_leaves_when_the_ray_runs_through_says_that_it_is_not_acceptable() -> None:
    message = _message(ray_through_leaves, "leaf-and-growth")
    assert message.startswith("The ray runs through 6 m of leaves of limes, which take ")
    assert message.endswith("not acceptable for video.")


def test_message_of_traffic_when_read_says_how_often() -> None:
    assert "10 times a day, there 30 % of the time" in _message(containers_that_stay, "moving-blocker")


def test_house_beside_the_ray_when_near_counts_as_one_below_it() -> None:
    plot = with_block(15.0, outline=box(75.0, 6.5, 85.0, 20.0))
    (row,) = (row for row in assessed(plot.site()).findings if row.code == "not-clear")
    assert "0.50 m to the left of the ray" in row.message
    assert row.value == pytest.approx(0.40, abs=0.01)


def test_two_hops_of_one_mount_when_both_are_too_low_are_cured_by_one_edit() -> None:
    plot = with_block(5.3)
    plot.pole("second", 140.3, 10.0)
    plot.mount("m-second", "second", 5.5)
    plot.station("S2", "m-second", "bowline-p16", "A", power_ceiling_dbm=12.0)
    plot.cabinet("m-second", "second", "S2", "bowline-p16")
    site = plot.site()
    rows = [row for row in assessed(site).findings if row.code == "not-clear"]
    assert [row.subject for row in rows] == ["H-S", "H-S2"]
    first = rows[0].cures[0]
    assert "clears H-S and H-S2" in first.text
    assert first.edit == "set_height"
    after = perform(site, first.edit, {one.name: one.value for one in first.arguments}).after
    assert "not-clear" not in {row.code for row in assessed(after).findings}
