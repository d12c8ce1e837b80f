"""Selecting, moving and shaping: what a hand does, what stands on the site then, what the steps are called."""

from __future__ import annotations

import pytest

from survey_app.assess.pipeline import assess
from survey_app.site.edits import set_channel, set_region
from survey_app.site.references import check_references
from tests.desktop.tool_hand import Hand

pytestmark = pytest.mark.desktop


@pytest.fixture
def hand(qapp) -> Hand:
    """A shed with an access point on its east wall, a pole with a station, a hop; the select tool in hand."""
    hand = Hand()
    hand.take("rectangle")
    for point in ((0, 0), (10, 0), (5, 6)):
        hand.press(*point)
    hand.take("pole")
    hand.press(40, 3)
    hand.take("access point")
    hand.press(10.2, 3)
    hand.take("station")
    hand.press(40, 3)
    hand.take("hop")
    hand.drag((40, 3), (10.3, 3))
    hand.take("select")
    hand.desk.select(())
    return hand


def corners(hand: Hand) -> list[tuple[float, float]]:
    return [(point.x_m, point.y_m) for point in hand.design.structures[0].outline]


def test_press_selects_shift_toggles_and_empty_ground_lets_go(hand):
    hand.press(5, 3)
    assert hand.desk.selection == ("B1",)
    hand.press(40, 3, shift=True)
    assert hand.desk.selection == ("B1", "S1")
    hand.press(5, 3, shift=True)
    assert hand.desk.selection == ("S1",)
    hand.press(20, 30)
    assert hand.desk.selection == ()


def test_a_band_selects_what_lies_inside_and_with_alt_what_it_touches(hand):
    hand.down(-2, -2)
    assert hand.hover(11, 5) == "2 inside"
    hand.up(11, 5)
    assert set(hand.desk.selection) == {"M1", "A1"}
    hand.drag((-2, -2), (11, 5), alt=True)
    assert {"B1", "M1", "A1"} <= set(hand.desk.selection)
    hand.drag((30, -5), (50, 10))
    assert "P1" in hand.desk.selection
    assert "B1" not in hand.desk.selection


def test_hover_is_told_to_the_desk(hand):
    hand.hover(40, 3)
    assert hand.desk.hovered == "S1"
    hand.hover(20, 30)
    assert hand.desk.hovered is None


def test_dragging_a_building_takes_its_radio_along_with_live_words_of_the_hop(hand):
    hand.desk.put_assessment(hand.site, assess(hand.site))
    hand.down(5, 3)
    words = hand.hover(5, 13)
    assert words == "0.0° 10.0 m"
    overlay = hand.tool.overlay
    assert {"B1", "M1", "A1", "H1"} <= overlay.lifted
    assert any("31." in getattr(shape, "text", "") for shape in overlay.shapes)
    assert corners(hand)[0] == (0, 0)
    hand.up(5, 13)
    assert corners(hand)[0] == (0, 10)
    assert hand.desk.placed.mounts["M1"].y_m == pytest.approx(13)
    assert hand.steps[-1] == "Move Building 1 by 10.0 m"


def test_escape_in_a_drag_puts_back(hand):
    before = hand.site
    hand.down(5, 3)
    hand.hover(5, 13)
    assert hand.tool.cancel()
    hand.up(5, 13)
    assert hand.site is before


def test_typed_bearing_and_distance_set_a_drag_exactly(hand):
    hand.press(40.5, 2.6)
    hand.desk.select(("P1",))
    hand.type("90 2.5")
    assert hand.design.structures[1].position.x_m == 42.5
    assert hand.steps[-1] == "Move Pole 1 by 2.5 m"


def test_typed_nonsense_is_said_and_changes_nothing(hand):
    before = hand.site
    hand.desk.select(("P1",))
    hand.type("9 x 9")
    assert hand.heard
    assert hand.site is before
    assert hand.tool.overlay.refused
    hand.tool.cancel()
    assert not hand.tool.overlay.refused


def test_a_corner_is_dragged_put_in_and_removed(hand):
    hand.press(5, 3)
    hand.drag((10, 6), (12, 7))
    assert corners(hand)[2] == (12, 7)
    assert hand.steps[-1].startswith("Move corner of Building 1 by 2.2 m")
    hand.drag((5, 0), (5, -2))
    assert corners(hand)[1] == (5, -2)
    assert hand.steps[-1] == "Add corner to Building 1"
    hand.press(5, -2)
    hand.tool.key("Delete")
    assert len(corners(hand)) == 4
    assert hand.design.structures[0].id == "B1"


def test_a_corner_that_would_cross_the_outline_is_refused(hand):
    hand.press(5, 3)
    hand.down(10, 6)
    assert "cross" in hand.hover(-5, 3)
    assert hand.tool.overlay.refused
    hand.up(-5, 3)
    assert corners(hand)[2] == (10, 6)


def test_an_edge_of_the_selected_building_moves_in_parallel(hand):
    hand.press(5, 3)
    hand.drag((8, 6.1), (8, 8.1))
    assert corners(hand) == [(0, 0), (10, 0), (10, 8), (0, 8)]
    assert hand.steps[-1] == "Move edge of Building 1 by 2.0 m"


def test_a_radio_slides_along_its_wall_and_over_to_another_structure(hand):
    hand.drag((10.3, 3), (10.35, 5))
    assert hand.design.mounts[0].place.along_m == pytest.approx(5)
    assert hand.steps[-1] == "Move Mount M1 along its structure"
    hand.down(10.3, 5)
    assert "nothing to hang on" in hand.hover(20, 20)
    assert hand.tool.overlay.refused
    assert "POLE 1" in hand.hover(39.7, 3)
    hand.up(39.7, 3)
    mount = hand.design.mounts[0]
    assert (mount.structure, mount.place.kind, mount.place.side_plan_deg) == ("P1", "pole", 270.0)
    assert hand.steps[-1] == "Move Mount M1 to Pole 1"
    assert check_references(hand.site) == ()


def test_a_mount_is_turned_round_its_pole_by_its_handle(hand):
    hand.desk.select(("M2",))
    hand.tool.begin()
    hand.drag((40, 3.55), (38, 3))
    assert hand.design.mounts[1].place.side_plan_deg == 270.0
    assert hand.design.mounts[1].height_m == 5.5


def test_arrow_keys_nudge_and_join_into_one_step(hand):
    hand.desk.select(("P1",))
    for _ in range(3):
        hand.tool.key("Right")
    hand.tool.key("Up", alt=True)
    hand.tool.key("Left", shift=True)
    position = hand.design.structures[1].position
    assert (position.x_m, position.y_m) == (33.0, 3.1)
    assert hand.steps[-1] == "Move Pole 1 by 7.0 m"
    hand.desk.undo()
    assert hand.design.structures[1].position.x_m == 40.0


def test_arrow_keys_push_a_mount_along_its_wall_no_further_than_it_goes(hand):
    hand.desk.select(("A1",))
    hand.tool.key("Up")
    assert hand.design.mounts[0].place.along_m == 4.0
    hand.tool.key("Up", shift=True)
    assert hand.design.mounts[0].place.along_m == 6.0


def test_delete_names_in_one_sentence_what_went_along(hand):
    hand.press(5, 3)
    hand.tool.key("Delete")
    assert hand.heard[-1] == "Building 1 removed, and with it mount M1, radio A1 and hop H1."
    hand.desk.undo()
    assert len(hand.design.hops) == 1


def test_a_beam_is_turned_by_its_handle_and_given_back_with_a_key(hand):
    hand.desk.put_assessment(hand.site, assess(hand.site))
    hand.desk.select(("S1",))
    hand.tool.begin()
    (handle,) = hand.tool._grips()
    assert handle.at[0] == pytest.approx(40 - 2.4, abs=0.01)
    hand.down(*handle.at)
    assert hand.hover(40, 20).startswith("0.0° plan")
    hand.up(40, 20)
    aim = hand.design.radios[1].aim
    assert (aim.bearing_deg, aim.north) == (0.0, "plan")
    assert hand.steps[-1] == "Aim S1 at 0.0° plan"
    hand.tool.typed("0")
    assert hand.design.radios[1].aim is None
    assert hand.steps[-1] == "Aim Radio S1 by computation"
    hand.tool.typed("0")
    assert hand.heard[-1] == "No aim of the selection is fixed by hand."
    hand.type("262.5")
    assert hand.design.radios[1].aim.bearing_deg == 262.5


def test_the_target_of_a_camera_is_dragged_by_its_handle(hand):
    hand.take("camera")
    hand.press(20, 20)
    hand.press(20, 40)
    hand.take("select")
    hand.desk.select(("C1",))
    hand.tool.begin()
    hand.down(20, 40)
    words = hand.hover(30, 20)
    assert words.startswith("90.0° 10.0 m")
    assert "px/m" in words
    hand.up(30, 20)
    target = hand.design.cameras[0].target
    assert (target.position.x_m, target.position.y_m, target.width_m) == (30, 20, 5.0)


def test_several_things_move_together_and_what_hangs_on_them_once(hand):
    hand.drag((-5, -5), (50, 20))
    assert set(hand.desk.selection) >= {"B1", "P1", "M1", "A1", "S1", "H1"}
    hand.drag((5, 3), (5, 23))
    assert corners(hand)[0] == (0, 20)
    assert hand.design.structures[1].position.y_m == 23
    assert hand.steps[-1] == "Move 2 things by 20.0 m"
    assert check_references(hand.site) == ()


def test_a_hop_cannot_be_dragged_and_says_so(hand):
    hand.drag((25, 3), (25, 20))
    assert "no place of its own" in hand.heard[-1]


def with_channel(hand: Hand) -> None:
    hand.desk.perform(lambda site: set_region(site, "US", "US"))
    hand.desk.perform(lambda site: set_channel(site, "A1", 157))


def texts(hand: Hand) -> list[str]:
    return [shape.text for shape in hand.tool.overlay.shapes if hasattr(shape, "text")]


def test_a_turning_beam_says_at_the_far_end_what_it_loses_as_the_assessment_has_it(hand):
    with_channel(hand)
    hand.desk.put_assessment(hand.site, assess(hand.site))
    hand.desk.select(("S1",))
    hand.tool.begin()
    (handle,) = hand.tool._grips()
    hand.down(*handle.at)
    hand.hover(38, 4.2, alt=True)
    (words,) = [text for text in texts(hand) if text.startswith("A1 loses")]
    hand.up(38, 4.2, alt=True)
    row = next(row for row in assess(hand.site).hops if row.id == "H1")
    loss = row.ends.station.pointing_loss_db
    assert loss > 1.0
    assert words == f"A1 loses {loss:.1f} dB, −{abs(round(row.ends.access_point.rx_level_dbm))} dBm"


def test_words_of_a_hop_in_a_drag_are_those_of_the_assessment_afterwards(hand):
    with_channel(hand)
    hand.desk.put_assessment(hand.site, assess(hand.site))
    hand.desk.select(("P1",))
    hand.type("90 20", enter=False)
    words = texts(hand)
    hand.tool.key("Enter")
    row = next(row for row in assess(hand.site).hops if row.id == "H1")
    end = row.ends.access_point
    assert f"90.0° {row.distance_m:.1f} m" in [text.replace("\xa0", " ") for text in words]
    level = f"−{abs(round(end.rx_level_dbm))} dBm MCS {row.directions.to_access_point.mcs}"
    assert any(level in text.replace("\xa0", " ") for text in words), words


def test_handles_follow_what_is_selected_elsewhere(hand):
    assert hand.tool.overlay.shapes == ()
    hand.desk.select(("B1",))
    assert len([shape for shape in hand.tool.overlay.shapes if shape.name == "grip"]) == 4
    assert hand.plan.refreshed
    hand.desk.undo()
    hand.desk.select(())
    assert hand.tool.overlay.shapes == ()
    old = hand.tool
    hand.take("pole")
    hand.desk.select(("B1",))
    assert old.overlay.shapes == ()
