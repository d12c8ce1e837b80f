"""Rooms, inner walls, doors and windows: drawn, typed, moved, refused, and what hangs in a room."""

from __future__ import annotations

import pytest

from survey_app.desktop.tools import clipboard
from survey_app.physics.construction import construction, inner_wall, outer_wall
from survey_app.site.edits import change, remove
from survey_app.site.edits.openings import OUTER_WALLS
from survey_app.site.references import check_references
from tests.desktop.tool_hand import Hand

pytestmark = pytest.mark.desktop


@pytest.fixture
def hand(qapp) -> Hand:
    """A hand at a hall of 20 by 10 m, with 6 m at the eaves."""
    hand = Hand()
    hand.take("rectangle")
    for point in ((0, 0), (20, 0), (5, 10)):
        hand.press(*point)
    return hand


def route(wall) -> list[tuple[float, float]]:
    return [(point.x_m, point.y_m) for point in wall.route]


def with_wall(hand: Hand) -> Hand:
    hand.take("inner wall")
    hand.press(8, 0)
    hand.press(8, 10)
    hand.tool.key("Enter")
    return hand


def with_door(hand: Hand) -> Hand:
    with_wall(hand).take("door")
    hand.press(8.1, 5)
    return hand


def test_a_room_by_its_corners_lies_in_its_building_and_is_as_high_as_a_storey(hand):
    hand.take("room")
    assert "nothing to be inside of" in hand.hover(50, 50)
    for point in ((0.2, 0.2), (8, 0.2), (8, 9.8), (0.2, 9.8)):
        hand.press(*point, alt=True)
    assert "m²" in hand.hover(4, 4)
    hand.tool.key("Enter")
    (room,) = hand.design.rooms
    assert (room.structure, room.ceiling_height_m, room.floor_height_m) == ("B1", 6.0, 0.0)
    assert room.name == "Room 1"
    assert hand.steps[-1] == "Add Room 1"
    assert hand.desk.selection == ("RM1",)
    assert not check_references(hand.site)


def test_a_room_by_one_side_and_a_typed_depth(hand):
    hand.take("room rectangle")
    hand.press(0, 0)
    hand.press(6, 0)
    hand.hover(3, 2)
    hand.type("4")
    (room,) = hand.design.rooms
    assert [(p.x_m, p.y_m) for p in room.outline] == [(0, 0), (6, 0), (6, 4), (0, 4)]


def test_a_room_that_leaves_its_building_is_refused_at_the_pointer(hand):
    hand.take("room rectangle")
    hand.press(0, 0)
    hand.press(6, 0)
    assert "within one building" in hand.hover(3, 14)
    hand.press(3, 14)
    assert hand.design.rooms == ()


def test_the_next_room_is_drawn_on_the_floor_of_the_last(hand):
    hand.take("room rectangle")
    for point in ((0, 0), (6, 0), (3, 4)):
        hand.press(*point)
    hand.desk.perform(lambda site: change(site, "RM1", floor_height_m=3.0, ceiling_height_m=2.5))
    hand.press(6, 0)
    assert "floor 3.0 m up" in hand.hover(10, 0)
    hand.press(12, 0)
    hand.press(8, 4)
    assert (hand.design.rooms[1].floor_height_m, hand.design.rooms[1].ceiling_height_m) == (3.0, 2.5)


def test_an_inner_wall_by_its_run_and_the_next_one_made_alike(hand):
    hand.take("inner wall")
    hand.press(8, 0)
    assert "10.0 m in all" in hand.hover(8, 10)
    hand.press(8, 10)
    hand.tool.key("Enter")
    hand.desk.perform(lambda site: change(site, "IW1", material="brick", thickness_mm=110.0))
    hand.press(8, 5)
    hand.type("90 12")
    hand.tool.key("Enter")
    first, second = hand.design.walls
    assert route(first) == [(8, 0), (8, 10)]
    assert (first.height_m, first.floor_height_m) == (6.0, None)
    assert route(second) == [(8, 5), (20, 5)]
    assert (second.material, second.thickness_mm) == ("brick", 110.0)


def test_a_wall_outside_is_refused(hand):
    hand.take("inner wall")
    hand.press(50, 0)
    assert "within one building" in hand.heard[-1]
    hand.tool.key("Enter")
    assert hand.design.walls == ()


def test_a_door_drops_on_its_wall_with_a_jamb_on_a_round_figure(hand):
    with_wall(hand).take("door")
    assert hand.hover(8.2, 3.02) == "Wall 1: 2.50 m, 0.90 m wide, 6.60 m"
    hand.press(8.2, 3.02)
    (door,) = hand.design.openings
    assert (door.wall, door.width_m, door.along_m) == ("IW1", 0.9, pytest.approx(2.95))
    assert (door.material, door.state, door.sill_height_m) == ("unknown", "changes", 0.0)
    assert hand.steps[-1] == "Add Door 1"
    assert "no wall here" in hand.hover(4, 5)


def test_a_typed_length_is_the_width_of_the_next_door(hand):
    with_wall(hand).take("door")
    hand.hover(8, 5)
    hand.type("2.4", enter=False)
    assert hand.words == "2.40 m wide, Enter takes it"
    hand.tool.key("Enter")
    hand.press(8, 5)
    assert hand.design.openings[0].width_m == pytest.approx(2.4)
    hand.type("11")
    assert "too short" in hand.hover(8, 5)
    hand.type("0")
    assert "a width from" in hand.heard[-1].lower()


def test_a_door_keeps_within_the_ends_of_its_wall(hand):
    with_wall(hand).take("door")
    hand.press(8, 0.1)
    assert hand.design.openings[0].along_m == pytest.approx(0.45)


def test_a_window_in_the_outline_draws_that_side_as_a_wall_of_the_same_make(hand):
    hand.desk.perform(lambda site: change(site, "B1", wall="brick"))
    hand.take("window")
    assert "outer wall of BUILDING 1" in hand.hover(20, 5)
    hand.press(20, 5)
    (wall,), (window,) = hand.design.walls, hand.design.openings
    assert route(wall) == [(20, 0), (20, 10)]
    assert (wall.construction, wall.height_m) == ("brick_220", 6.0)
    assert (window.wall, window.sill_height_m, window.material) == (wall.id, 0.9, "glazing")
    assert hand.steps[-1] == "Add Window 1"
    assert hand.desk.selection == (window.id,)
    hand.desk.undo()
    assert (hand.design.walls, hand.design.openings) == ((), ())
    hand.desk.redo()
    hand.press(20, 8)
    assert len(hand.design.walls) == 1
    assert len(hand.design.openings) == 2


@pytest.mark.parametrize("wall", list(OUTER_WALLS))
def test_a_side_drawn_as_a_wall_takes_what_the_outer_wall_took(wall):
    written = OUTER_WALLS[wall]
    made = written.get("construction")
    drawn = construction(made.replace("_", "-")) if made else inner_wall(written.get("material", "unknown"), None)
    assert drawn == outer_wall(wall)


def test_a_door_slides_along_its_wall_and_into_another(hand):
    with_door(hand)
    hand.take("inner wall")
    hand.press(8, 5)
    hand.press(20, 5)
    hand.tool.key("Enter")
    hand.take("select")
    hand.press(8, 4.7)
    assert hand.desk.selection == ("DR1",)
    hand.drag((8, 4.7), (8.1, 8))
    door = hand.design.openings[0]
    assert (door.wall, door.along_m) == ("IW1", pytest.approx(7.95, abs=0.1))
    assert hand.steps[-1] == "Move Door 1 along its wall"
    hand.drag((8, door.along_m), (14, 5.1))
    door = hand.design.openings[0]
    assert (door.wall, door.along_m) == ("IW2", pytest.approx(6.0, abs=0.1))
    assert hand.steps[-1] == "Move Door 1 to Wall 2"


def test_a_typed_distance_puts_a_door_along_its_wall(hand):
    with_door(hand).take("select")
    hand.press(8, 5)
    hand.type("2.5")
    assert hand.design.openings[0].along_m == 2.5


def test_walls_have_grips_and_their_doors_go_with_them(hand):
    with_door(hand).take("select")
    hand.press(8, 1.5)
    assert hand.desk.selection == ("IW1",)
    hand.drag((8, 0), (10, 0))
    assert route(hand.design.walls[0]) == [(10, 0), (8, 10)]
    hand.desk.perform(lambda site: remove(site, "IW1", cascade=True))
    assert hand.design.openings == ()


def test_a_building_is_copied_with_its_rooms_walls_and_doors(hand):
    with_door(hand)
    hand.desk.select(("B1",))
    assert clipboard.copy(hand.desk)
    assert clipboard.paste(hand.desk, (50.0, 50.0))
    assert len(hand.design.walls) == len(hand.design.openings) == 2
    assert hand.design.openings[1].wall == hand.design.walls[1].id
    assert hand.design.walls[1].structure == hand.design.structures[1].id


def test_what_is_hung_in_a_room_hangs_under_its_ceiling(hand):
    hand.take("room rectangle")
    for point in ((0, 0), (8, 0), (4, 10)):
        hand.press(*point)
    hand.take("access point")
    assert hand.hover(4, 5) == "in Room 1, 5.5 m over its floor"
    hand.press(4, 5)
    (mount,) = hand.design.mounts
    assert (mount.place.kind, mount.height_m, mount.height_reference) == ("point", 5.5, "ground")
    assert "on the roof" in hand.hover(14, 5)
