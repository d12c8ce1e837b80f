"""Lengths of wires, and metal between two earths."""

from __future__ import annotations

import pytest

from survey_app.assess.network import network_stage
from survey_app.ground.place import place
from survey_app.site.place import PlanePoint
from tests.assess.network_site import Sketch, yard


def stage(sketch: Sketch):
    job = sketch.job()
    return job, network_stage(job, place(job.site))


def two_boxes(**more: object) -> Sketch:
    sketch = Sketch()
    sketch.building("one", 0.0, 0.0, 10.0, 10.0)
    sketch.building("two", 30.0, 0.0, 40.0, 10.0)
    sketch.device("a", "switch-mains", structure="one", position=PlanePoint(x_m=5.0, y_m=5.0))
    sketch.device("b", "switch-mains", structure="two", position=PlanePoint(x_m=35.0, y_m=5.0))
    sketch.wire("w", "a", "b", **{"length_m": None, **more})  # type: ignore[arg-type]
    return sketch


def test_a_run_is_measured_along_its_route_with_drops_loops_and_waste():
    route = (PlanePoint(x_m=5.0, y_m=20.0), PlanePoint(x_m=35.0, y_m=20.0))
    run = stage(two_boxes(route=route, drops_m=3.0))[1].runs["w"]
    assert run.route_m == pytest.approx(15.0 + 30.0 + 15.0)
    assert run.installed_m == pytest.approx(60.0 + 3.0 + 1.0 + 3.0)
    assert run.order_m == pytest.approx(67.0 * 1.1)


def test_without_a_route_the_straight_line_counts_and_a_measured_length_before_both():
    assert stage(two_boxes())[1].runs["w"].route_m == pytest.approx(30.0)
    assert stage(two_boxes(length_m=41.0))[1].runs["w"].route_m == 41.0


def test_indoors_nothing_is_added_for_loops():
    run = stage(two_boxes(outdoors=False))[1].runs["w"]
    assert run.installed_m == pytest.approx(30.0)
    assert run.protectors == 0


def test_a_lead_without_a_place_has_a_lead_s_length_and_a_run_has_none():
    sketch = two_boxes(outdoors=False, gear=None)
    sketch.change("devices", "b", position=None)
    assert stage(sketch)[1].runs["w"].route_m == 2.0
    sketch.change("wires", "w", outdoors=True, gear="c24s")
    assert stage(sketch)[1].runs["w"].route_m is None


def test_resistance_is_that_of_the_cabling_limit_where_the_cable_is_unknown():
    known = stage(two_boxes(gear="c24s"))[1].runs["w"].loop_ohm
    unknown = stage(two_boxes(gear=None))[1].runs["w"].loop_ohm
    assert known == unknown == pytest.approx(0.0938 * 1.1572 * 34.0 + 0.1 + 0.2)


def joined(sketch: Sketch) -> bool:
    job, found = stage(sketch)
    return found.earths.joined_by(job.wires["w"])


def test_copper_outdoors_between_two_buildings_joins_their_earths():
    assert joined(two_boxes())
    assert not joined(two_boxes(medium="fibre"))
    assert not joined(two_boxes(outdoors=False))


def test_a_mast_on_a_roof_has_the_building_s_earth_and_a_pole_in_the_yard_its_own():
    def upright(x: float, y: float) -> Sketch:
        sketch = two_boxes()
        sketch.mast("m", x, y, height_m=2.0)
        sketch.device("c", "switch-mains", structure="m", position=PlanePoint(x_m=x, y_m=y))
        sketch.things["wires"] = []
        sketch.wire("w", "a", "c")
        return sketch

    assert not joined(upright(8.0, 8.0))
    assert joined(upright(12.0, 8.0))


def test_two_mounts_bonded_to_one_point_share_their_earth():
    sketch = Sketch()
    for key, x in (("p", 0.0), ("q", 3.0)):
        sketch.pole(key, x, 0.0)
        sketch.mount(f"m-{key}", key, earth_point="bar in the pit")
        sketch.device(f"d-{key}", "switch-pole", mount=f"m-{key}")
    sketch.wire("w", "d-p", "d-q")
    assert not joined(sketch)
    sketch.change("mounts", "m-q", earth_point="own rod")
    assert joined(sketch)


def test_protectors_follow_the_rule_unless_the_wire_says_otherwise():
    for said, count in (("by_rule", 2), ("both_ends", 2), ("a", 1), ("b", 1), ("none", 0)):
        assert stage(two_boxes(protectors=said))[1].runs["w"].protectors == count
    assert stage(two_boxes(medium="fibre", gear="f2"))[1].runs["w"].protectors == 0


def test_the_yard_s_rows_say_why_a_value_is_missing():
    from survey_app.assess.pipeline import assess

    for row in assess(yard(1).site()).wires:
        reasons = {reason.field for reason in row.null_reasons}
        for field in ("route_m", "order_m", "loop_ohm", "load_w", "volts_far_end_v"):
            assert (getattr(row, field) is None) == (field in reasons)
