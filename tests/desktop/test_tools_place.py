"""Every tool that places: what stands on the site afterwards, what was said on the way, what is refused."""

from __future__ import annotations

import math

import pytest

from survey_app.desktop.tools.all_tools import TOOLS
from survey_app.desktop.tools.choice import choice_of
from survey_app.site.references import check_references
from tests.desktop.tool_hand import Hand

pytestmark = pytest.mark.desktop


@pytest.fixture
def hand(qapp) -> Hand:
    return Hand()


def corners(thing) -> list[tuple[float, float]]:
    return [(point.x_m, point.y_m) for point in thing.outline]


def with_shed_and_pole(hand: Hand) -> Hand:
    hand.take("rectangle")
    for point in ((0, 0), (10, 0), (5, 6)):
        hand.press(*point)
    hand.take("pole")
    hand.press(40, 3)
    return hand


def test_the_first_thirteen_stand_in_the_order_of_the_instruments():
    assert [entry.word for entry in TOOLS[:13]] == [
        "select", "building", "pole", "trees", "obstacle", "camera", "access pt", "station", "hop", "wire",
        "head end", "landmark", "measure",
    ]  # fmt: skip
    assert len({entry.name for entry in TOOLS}) == len(TOOLS)
    assert len({entry.key for entry in TOOLS}) == len(TOOLS)


def test_a_rectangle_by_two_points_and_depth(hand):
    hand.take("rectangle")
    hand.press(0, 0)
    assert hand.hover(10, 0) == "90.0° 10.0 m"
    hand.press(10, 0)
    assert hand.hover(3, 4) == "4.0 m deep, 40 m²"
    hand.press(3, 4)
    assert corners(hand.design.structures[0]) == [(0, 0), (10, 0), (10, 4), (0, 4)]


@pytest.mark.parametrize(
    ("tool", "collection", "kind"),
    [
        ("trees", "structures", "tree_stand"),
        ("obstacle", "structures", "obstacle"),
        ("traffic area", "structures", "traffic_area"),
        ("water", "waters", None),
        ("zone", "zones", None),
    ],
)
def test_areas_by_their_outline(hand, tool, collection, kind):
    hand.take(tool)
    for point in ((0, 0), (10, 0), (10, 8)):
        hand.press(*point)
    assert hand.hover(0.1, 0.1).startswith("closes, 40 m²")
    hand.press(0.1, 0.1)
    (thing,) = getattr(hand.design, collection)
    assert corners(thing) == [(0, 0), (10, 0), (10, 8)]
    assert kind is None or thing.kind == kind


def test_a_served_area_lies_in_a_building_and_takes_the_station_in_it(hand):
    with_shed_and_pole(hand)
    hand.take("served area")
    for point in ((50, 50), (60, 50), (60, 58)):
        hand.press(*point)
    hand.tool.key("Enter")
    assert hand.design.served_areas == ()
    assert "no building" in hand.heard[-1]
    hand.tool.cancel()
    for point in ((1, 1), (9, 1), (9, 5)):
        hand.press(*point)
    hand.tool.key("Enter")
    (area,) = hand.design.served_areas
    assert (area.structure, area.station) == (hand.design.structures[0].id, None)
    assert corners(area) == [(1, 1), (9, 1), (9, 5)]


def test_an_outline_whose_lines_cross_is_refused_in_words(hand):
    hand.take("building")
    for point in ((0, 0), (10, 10), (10, 0), (0, 10)):
        hand.press(*point)
    hand.tool.key("Enter")
    assert hand.design.structures == ()
    assert "cross" in hand.heard[-1]
    hand.tool.key("Backspace")
    hand.tool.key("Enter")
    assert len(hand.design.structures) == 1


def test_escape_drops_what_was_begun(hand):
    hand.take("building")
    hand.press(0, 0)
    hand.press(10, 0)
    assert hand.tool.cancel()
    assert hand.plan.asked_for == []
    hand.tool.key("Enter")
    hand.tool.cancel()
    assert hand.plan.asked_for == ["select"]
    assert hand.design.structures == ()
    assert hand.steps == ()


def test_an_overhead_line_by_its_run(hand):
    hand.take("overhead line")
    hand.press(0, 0)
    hand.press(30, 0)
    assert hand.hover(30, 40) == "0.0° 40.0 m, 70.0 m in all, right angle"
    hand.press(30, 40)
    hand.tool.key("Enter")
    assert [(p.x_m, p.y_m) for p in hand.design.structures[0].route] == [(0, 0), (30, 0), (30, 40)]


def test_a_radio_takes_a_free_mount_and_else_makes_one(hand):
    with_shed_and_pole(hand)
    hand.take("mount")
    hand.press(10.1, 3)
    assert len(hand.design.mounts) == 1
    hand.press(10.3, 3)
    assert hand.heard[-1] == "There is a free mount here already."
    hand.take("access point")
    assert hand.hover(10.3, 3) == "on mount M1"
    hand.press(10.3, 3)
    assert hand.design.radios[0].mount == "M1"
    hand.press(10.3, 3)
    assert [mount.id for mount in hand.design.mounts] == ["M1", "M2"]


def test_units_that_share_a_pole_hang_one_under_the_other(hand):
    with_shed_and_pole(hand)
    hand.take("station")
    assert hand.hover(40, 3) == "POLE 1, side of its aim, 5.5 m up"
    hand.press(40, 3)
    hand.take("access point")
    assert hand.hover(40.3, 3) == "POLE 1, side 90°, 4.9 m up"
    hand.press(40.3, 3)
    first, second = hand.design.mounts
    assert (first.height_m, second.height_m, second.place.side_plan_deg) == (5.5, 4.9, 90.0)
    assert hand.steps[-1] == "Hang access point A1"


def test_gear_of_a_new_radio_is_what_was_used_last_and_comes_with_its_copies(hand):
    with_shed_and_pole(hand)
    choice_of(hand.desk).choose("station", "bowline-p18")
    hand.take("station")
    hand.press(40, 3)
    assert hand.design.radios[0].gear == "bowline-p18"
    kinds = {row.kind for row in hand.design.gear}
    assert {"radio", "clamp", "arm", "protector"} <= kinds
    hand.desk.undo()
    assert hand.design.gear == ()


def test_a_camera_is_dragged_to_its_target(hand):
    with_shed_and_pole(hand)
    hand.take("camera")
    hand.down(40, 3)
    words = hand.hover(40, 23)
    assert words.startswith("0.0° 20.0 m")
    assert "wide" in words
    assert "px/m" in words
    hand.up(40, 23)
    (camera,) = hand.design.cameras
    assert (camera.target.position.x_m, camera.target.position.y_m) == (40, 23)
    assert hand.design.mounts[0].height_m == camera.height_m == 4.0
    assert hand.steps[-1] == "Add Camera 1"


def test_a_camera_by_two_presses_in_the_open(hand):
    hand.take("camera")
    hand.press(0, 0)
    hand.press(0, 20)
    (camera,) = hand.design.cameras
    assert camera.mount is None
    assert camera.position.x_m == 0.0
    assert camera.target.position.y_m == 20.0


def test_a_head_end_comes_with_its_recorder_in_the_building(hand):
    with_shed_and_pole(hand)
    hand.take("head end")
    assert hand.hover(3, 3) == "head end E1 in BUILDING 1"
    hand.press(3, 3)
    assert [(row.id, row.device) for row in hand.design.head_ends] == [("E1", "R1")]
    assert hand.design.devices[0].structure == "B1"
    hand.press(3, 3)
    assert hand.heard[-1] == "Recorder 1 is a head end already."


def test_switch_and_board_and_what_feeds_what(hand):
    with_shed_and_pole(hand)
    hand.take("supply")
    hand.press(2, 2)
    hand.take("switch")
    assert hand.hover(6, 3) == "Switch 1 in BUILDING 1"
    hand.press(6, 3)
    hand.take("wire")
    hand.press(2, 2)
    hand.press(6, 3)
    assert hand.design.wires == ()
    assert hand.design.devices[0].fed_from == "Q1"
    assert hand.steps[-1] == "Feed Switch 1 from Board 1"


def test_a_wire_goes_from_thing_to_thing_with_corners_between(hand):
    with_shed_and_pole(hand)
    hand.take("station")
    hand.press(40, 3)
    hand.take("switch")
    hand.press(6, 3)
    hand.take("wire")
    hand.press(20, 20)
    assert "begins on" in hand.heard[-1]
    hand.press(6, 3)
    hand.press(6, 1)
    assert hand.hover(40, 3).endswith("to S1")
    hand.press(40, 3)
    (wire,) = hand.design.wires
    assert (wire.a.thing, wire.b.thing, wire.medium, wire.power) == ("D1", "S1", "copper", "a_to_b")
    assert [(p.x_m, p.y_m) for p in wire.route] == [(6, 1)]
    hand.press(6, 3)
    assert hand.hover(40, 3) == "W1 joins them already"
    assert hand.tool.overlay.refused


def test_a_hop_refuses_two_of_a_role_and_a_second_hop_of_a_station(hand):
    with_shed_and_pole(hand)
    hand.take("access point")
    hand.press(10.2, 3)
    hand.press(0, 3)
    hand.take("station")
    hand.press(40, 3)
    hand.take("hop")
    hand.drag((10.3, 3), (-0.3, 3))
    assert "both are access points" in hand.heard[-1].lower()
    hand.press(10.3, 3)
    assert hand.hover(40, 3).startswith("90.0° 29.7 m")
    hand.press(40, 3)
    assert len(hand.design.hops) == 1
    hand.drag((40, 3), (-0.3, 3))
    assert "S1 has its hop to A1 already" in hand.heard[-1]
    hand.drag((40, 3), (30, 20))
    assert len(hand.design.hops) == 1


def test_a_note_takes_free_words(hand):
    hand.take("note")
    hand.press(5, 5)
    hand.type("gate is shut at night")
    assert hand.design.notes[0].words == "gate is shut at night"
    assert hand.design.notes[0].position.x_m == 5.0


def test_a_landmark(hand):
    hand.take("landmark")
    hand.press(-300, 200)
    assert hand.design.landmarks[0].title == "Landmark 1"


def test_measuring_says_distance_bearing_and_heights(hand):
    with_shed_and_pole(hand)
    hand.take("measure")
    hand.press(0, 30)
    assert hand.hover(30, 30) == "30.0 m, 90.0° plan"
    hand.press(30, 30)
    hand.press(40, 3)
    assert hand.tool.chain.total() == f"{30 + math.hypot(10, 27):.1f} m in 2 legs."
    assert hand.tool.text().splitlines()[1].split("\t")[:3] == ["1", "30.0 m", "90.0°"]
    hand.tool.key("Enter")
    assert hand.steps == ("Add Building 1", "Add Pole 1")
    assert len(hand.tool.overlay.shapes) > 5
    assert hand.tool.cancel()
    assert [shape.name for shape in hand.tool.overlay.shapes] == ["snap point"]


def test_measuring_between_poles_says_the_difference_of_their_tops(hand):
    hand.take("pole")
    hand.press(0, 0)
    hand.press(20, 0)
    from survey_app.site.edits import change

    hand.desk.perform(lambda site: change(site, "P2", height_m=8.0))
    hand.take("measure")
    hand.press(0.2, 0)
    assert hand.hover(20.1, 0) == "20.0 m, 90.0° plan, 2.0 m higher, Pole 2"


def test_every_placed_thing_leaves_a_sound_site_and_undo_takes_all_back(hand):
    first = hand.site
    with_shed_and_pole(hand)
    for entry in TOOLS[1:]:
        hand.take(entry.name)
        for point in ((10.2, 3), (40, 3), (20, 20), (25, 25), (20.5, 27)):
            hand.press(*point)
        hand.tool.key("Enter")
        assert check_references(hand.site) == ()
    while hand.desk.document.history.undo_label:
        hand.desk.undo()
    assert hand.site.design is first.design


def test_a_corner_near_the_pointer_is_caught_with_its_name_and_mark_and_alt_lets_go(hand):
    with_shed_and_pole(hand)
    hand.take("building")
    assert hand.hover(10.1, 6.1).endswith("corner of BUILDING 1")
    assert any(getattr(shape, "name", "").startswith("snap") for shape in hand.tool.overlay.shapes)
    hand.hover(10.1, 6.1, alt=True)
    assert "corner of" not in hand.words
    hand.press(10.1, 6.1)
    hand.press(18.03, 6.05)
    assert hand.tool.points == [(10.0, 6.0), (18.0, 6.0)]


def test_the_depth_of_a_rectangle_likes_whole_metres(hand):
    hand.take("rectangle")
    hand.press(0, 0)
    hand.press(10, 0)
    assert hand.hover(3.3, 4.05) == "4.0 m deep, 40 m²"
    assert hand.hover(3.3, 4.05, alt=True) == "4.1 m deep, 41 m²"


def test_three_spot_heights_make_a_ground_and_a_fourth_joins_it(hand):
    hand.take("spot height")
    for at, height in (((0, 0), "1.5"), ((60, 0), "2,5"), ((0, 60), "3")):
        hand.press(*at)
        hand.type(height)
    relief = hand.design.relief
    assert [(p.position.x_m, p.position.y_m, p.height_m) for p in relief.points] == [
        (0.0, 0.0, 1.5), (60.0, 0.0, 2.5), (0.0, 60.0, 3.0),
    ]  # fmt: skip
    hand.press(40, 40)
    hand.type("-0.25")
    assert hand.design.relief.points[-1].height_m == -0.25
    hand.desk.undo()
    hand.desk.undo()
    assert hand.design.relief is None
