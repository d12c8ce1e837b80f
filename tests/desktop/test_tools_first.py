"""The working thread: pole, building, radios, hop, move."""

from __future__ import annotations

import pytest

from survey_app.site.references import check_references
from tests.desktop.tool_hand import Hand

pytestmark = pytest.mark.desktop


def test_a_pole_stands_where_it_was_pressed(qapp):
    hand = Hand()
    hand.take("pole")
    assert hand.hover(3.0, 4.0) == "Pole 1, 6.0 m high"
    hand.press(3.0, 4.0)
    (pole,) = hand.design.structures
    assert (pole.kind, pole.title, pole.position.x_m, pole.position.y_m) == ("pole", "Pole 1", 3.0, 4.0)
    assert hand.steps == ("Add Pole 1",)
    assert hand.desk.selection == ("P1",)


def test_a_building_by_its_outline_with_right_angles_held(qapp):
    hand = Hand()
    hand.take("building")
    hand.press(0, 0)
    hand.press(10.2, 0.6, shift=True)
    assert hand.hover(10.5, 6.0, shift=True).startswith("0.0° 6.0")
    hand.press(10.5, 6.0, shift=True)
    assert "31 m²" in hand.hover(0, 6, shift=False) or "61 m²" in hand.words
    hand.press(0, 6.4, shift=True)
    hand.tool.key("Enter")
    (building,) = hand.design.structures
    assert [(p.x_m, p.y_m) for p in building.outline] == [(0, 0), (10.2, 0), (10.2, 6), (0, 6)]
    assert hand.steps == ("Add Building 1",)


def test_radios_hang_where_they_are_dropped_and_a_hop_joins_them(qapp):
    hand = Hand()
    hand.take("building")
    for corner in ((0, 0), (10, 0), (10, 6), (0, 6)):
        hand.press(*corner)
    hand.tool.key("Enter")
    hand.take("pole")
    hand.press(40, 3)
    hand.take("access point")
    assert "wall facing E, 3.0 m along, 0.3 m off, at the eaves" in hand.hover(10.2, 3.0)
    hand.press(10.2, 3.0)
    hand.take("station")
    hand.press(40.0, 3.0)
    hand.press(20, 20)
    assert hand.heard[-1].startswith("Nothing to hang on here")
    hand.take("hop")
    hand.drag((40, 3), (10.3, 3))
    assert [(hop.access_point, hop.station) for hop in hand.design.hops] == [("A1", "S1")]
    assert hand.design.mounts[0].place.edge == 1
    assert hand.desk.document.history.labels[-2:] == ("Hang station S1", "Join A1 and S1")
    assert check_references(hand.site) == ()


def test_dragging_a_pole_is_one_step_with_its_distance(qapp):
    hand = Hand()
    hand.take("pole")
    hand.press(0, 0)
    hand.take("select")
    hand.drag((0, 0), (3, 4))
    assert hand.design.structures[0].position.x_m == 3.0
    assert hand.steps[-1] == "Move Pole 1 by 5.0 m"
    hand.desk.undo()
    assert hand.design.structures[0].position.x_m == 0.0
