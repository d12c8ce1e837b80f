"""The tally: what a thing brings with it, exactly; parts, packs and drums; nothing that is there is bought."""

from __future__ import annotations

from collections import Counter

import pytest

from survey_app.assess.counting_cable import drums_for
from survey_app.assess.pipeline import assess
from survey_app.assess.record import TallyRow
from survey_app.site.mount import Pipe
from survey_app.site.site import Site
from tests.assess.network_site import Sketch, yard


def rows_of(sketch: Sketch) -> tuple[TallyRow, ...]:
    return assess(sketch.site()).tally


def row(rows: tuple[TallyRow, ...], gear: str, status: str = "buy") -> TallyRow:
    return next(r for r in rows if r.gear == gear and r.status == status)


def counts(rows: tuple[TallyRow, ...]) -> dict[str, float]:
    """Needed pieces by gear type (labour by words)."""
    found: Counter[str] = Counter()
    for r in rows:
        if r.status in ("buy", "hire"):
            found[r.gear or r.what] += r.need
    return dict(found)


def test_parts_sum_exactly_to_the_need_of_their_line():
    for r in rows_of(yard(3)):
        assert sum(part.quantity for part in r.parts) == r.need
        assert set(r.for_ids) == {part.subject for part in r.parts}
        assert all(part.rule for part in r.parts)
        assert r.how_counted


def test_lists_by_mount_and_by_climb_sum_to_the_totals():
    assessment = assess(yard(3).site())
    climb_of = {m.id: m.climb for m in assessment.mounts}
    for r in assessment.tally:
        by_mount: Counter[str | None] = Counter()
        by_climb: Counter[str | None] = Counter()
        for part in r.parts:
            by_mount[part.mount] += part.quantity
            by_climb[part.climb] += part.quantity
            assert part.climb == (climb_of[part.mount] if part.mount else None)
        assert sum(by_mount.values()) == sum(by_climb.values()) == r.need


def test_taking_away_one_radio_takes_exactly_what_it_brought():
    def with_second() -> Sketch:
        sketch = yard(1)
        sketch.device("plug2", "plug24", structure="office", fed_from="board")
        sketch.wire("w-p2", "core", "plug2", outdoors=False, gear=None)
        sketch.radio("B", "ap", "m-office", channel=149, power_ceiling_dbm=10.0)
        sketch.wire("w-B", "plug2", "B", "a_to_b", length_m=16.0)
        return sketch

    whole = with_second()
    less = with_second()
    less.drop("radios", "B")
    less.drop("wires", "w-B")
    before, after = counts(rows_of(whole)), counts(rows_of(less))
    gone = {key: before[key] - after.get(key, 0.0) for key in before if before[key] != after.get(key, 0.0)}
    hours = {key: value for key, value in gone.items() if key not in {item.id for item in whole.gear}}
    pieces = {key: value for key, value in gone.items() if key not in hours}
    assert pieces == {
        "p16": 1.0,
        "cleat30": 1.0,
        "s-label": 1.0,
        "s-lanyard": 1.0,
        "c24s": 20.0,
        "s-plug": 2.0,
        "s-gland": 2.0,
        "cap": 2.0,
        "s-bond-wire": 2.0,
        "s-lug": 4.0,
    }
    # small parts that this site's gear does not list are counted in plain words, beside the work
    assert hours["boot for a plug"] == 2.0
    assert hours["put up a radio on a wall"] == 2.25


def test_the_share_of_spares_steps_with_the_radios():
    sketch = yard(0)
    sketch.things["radios"] = []
    sketch.things["hops"], sketch.sights = [], []
    for number in range(11):
        sketch.radio(f"R{number:02d}", "ap", "m-column")
    found = row(rows_of(sketch), "p16")
    assert (found.need, found.spare, found.order) == (11.0, 2.0, 13.0)
    sketch.drop("radios", "R10")
    found = row(rows_of(sketch), "p16")
    assert (found.need, found.spare, found.order) == (10.0, 1.0, 11.0)


def test_a_thicker_pipe_swaps_the_clamp():
    sketch = yard(0)
    sketch.change("mounts", "m-column", pipe=Pipe(diameter_mm=60.0, measured=True))
    assert row(rows_of(sketch), "cleat30").need == 2.0
    sketch.change("mounts", "m-column", pipe=Pipe(diameter_mm=140.0, measured=True))
    rows = rows_of(sketch)
    assert row(rows, "cleat30").need == 1.0
    assert row(rows, "cleat90").need == 1.0
    assert "140 mm round, measured" in row(rows, "cleat90").parts[0].rule


def test_a_pipe_that_nothing_fits_is_said_and_not_left_out():
    sketch = yard(0)
    sketch.change("mounts", "m-column", pipe=Pipe(diameter_mm=400.0, measured=True))
    assert any("none of the site's gear fits" in r.what for r in rows_of(sketch))


def test_protectors_carry_the_rule_that_counts_them():
    found = row(rows_of(yard(2)), "cap")
    rules = {part.subject: (part.quantity, part.rule) for part in found.parts}
    assert rules["w-A"] == (2.0, "two protectors per outdoor run; w-A two ends")
    # leads indoors get none
    assert set(rules) == {"w-A", "w-S", "w-C1", "w-C2"}
    sketch = yard(2)
    sketch.change("wires", "w-C2", protectors="a")
    assert row(rows_of(sketch), "cap").need == 7.0


def test_cable_is_counted_by_the_run_and_ordered_in_whole_drums():
    found = row(rows_of(yard(2)), "c24s")
    # 16 + 4, and three times 4 + 4
    assert found.need == 44.0
    assert found.spare == 5.0
    assert found.order == 305.0
    assert found.unit == "m"


@pytest.mark.parametrize(
    ("runs", "drums"),
    [
        ([], 0),
        ([100.0], 1),
        ([160.0] * 4, 4),
        ([152.0] * 4, 2),
        ([305.0, 0.1], 2),
        ([400.0], 2),
        ([200.0, 100.0, 5.0], 1),
    ],
)
def test_drums_are_filled_without_joints(runs, drums):
    assert drums_for(runs, 305.0) == drums


def test_plugs_are_two_a_run_with_a_tenth_more_in_whole_packs():
    found = row(rows_of(yard(2)), "s-plug")
    assert (found.need, found.spare, found.order) == (8.0, 1.0, 10.0)


def test_devices_of_one_place_share_a_box():
    rows = rows_of(yard(2))
    found = row(rows, "box50")
    assert found.need == 1.0
    assert found.parts[0].rule == "one box for feed, hitch, tap1"
    assert found.parts[0].mount == "m-column"


def test_what_exists_is_had_and_not_bought():
    sketch = yard(2)
    for what in ("radios", "cameras", "devices", "wires"):
        for thing in list(sketch.things[what]):
            sketch.change(what, thing.id, status="existing")
    rows = rows_of(sketch)
    assert rows
    assert {r.status for r in rows} == {"have"}
    assert all(r.order == 0.0 and r.spare == 0.0 for r in rows)


def test_an_added_camera_buys_only_what_is_new():
    sketch = yard(1)
    for what in ("structures", "radios", "cameras", "devices", "wires", "mounts"):
        for thing in list(sketch.things[what]):
            sketch.change(what, thing.id, status="existing")
    sketch.camera("C2", mount="m-column")
    sketch.wire("w-C2", "hitch", "C2", "a_to_b", length_m=4.0)
    bought = {r.gear: r.need for r in rows_of(sketch) if r.status == "buy" and r.gear}
    assert bought == {
        "b4": 1.0,
        "s-label": 1.0,
        "s-lanyard": 1.0,
        "c24s": 8.0,
        "s-plug": 2.0,
        "s-gland": 2.0,
        "cap": 2.0,
        "s-bond-wire": 2.0,
        "s-lug": 4.0,
    }


def test_a_radio_taken_down_is_counted_and_leaves_its_clamp():
    sketch = yard(0)
    sketch.radio("old", "sta", "m-column", status="removed")
    rows = rows_of(sketch)
    removed = row(rows, "p16", "remove")
    assert (removed.need, removed.order) == (1.0, 0.0)
    assert row(rows, "cleat50", "reuse").for_ids == ("S",)
    assert next(r for r in rows if r.what == "take a unit down").for_ids == ("old",)


def test_disks_are_those_for_the_days_that_are_wanted():
    sketch = yard(2)
    assert next(r for r in rows_of(sketch) if "disk" in r.what).need == 4.0
    # two cameras of 4 Mbit/s fill 86.4 GB a day; one disk of 8 TB keeps 75 days at 0.81
    sketch.change("head_ends", "home", days_wanted_days=60.0)
    assert next(r for r in rows_of(sketch) if "disk" in r.what).need == 1.0
    sketch.change("head_ends", "home", days_wanted_days=100.0)
    assert next(r for r in rows_of(sketch) if "disk" in r.what).need == 2.0


def test_a_planned_pole_that_nobody_owns_is_bought_and_set_up():
    rows = rows_of(yard(0))
    pole = next(r for r in rows if r.what.startswith("pole 6 m"))
    assert (pole.status, pole.for_ids) == ("buy", ("column",))
    sketch = yard(0)
    sketch.change("structures", "column", owner="the road authority")
    assert not [r for r in rows_of(sketch) if r.what.startswith(("pole 6 m", "set up a pole"))]


def test_anchors_follow_the_wall():
    sketch = yard(0)
    sketch.change("structures", "office", wall="concrete")
    found = row(rows_of(sketch), "s-anchor-concrete")
    assert found.need == 1.0
    assert found.parts[0].rule == "2 fixings, wall of concrete"
    sketch.change("structures", "office", wall="unknown")
    assert "brick assumed" in row(rows_of(sketch), "s-anchor-brick").parts[0].rule


# common practice, no source: person-hours low and high by task
HOURS = [
    ("survey the site", 1.0, 2.0),
    ("put up a radio on a wall", 1.5, 3.0),
    ("put up a radio on a pole", 2.0, 4.0),
    ("set up a pole or mast", 4.0, 10.0),
    ("align a hop and accept it", 0.5, 1.5),
    ("terminate and certify a run", 0.5 * 2, 1.0 * 2),
    ("fit surge protectors and bond them", 0.5 * 2, 1.5 * 2),
    ("configure and document a radio", 0.3 * 2, 0.8 * 2),
]


@pytest.mark.parametrize(("what", "low", "high"), HOURS)
def test_hours_lie_between_their_bounds(what, low, high):
    found = next(r for r in rows_of(yard(0)) if r.what == what)
    assert (found.low, found.high) == pytest.approx((low, high))
    assert found.low < found.need < found.high
    assert found.unit == "h"


def test_the_contingency_is_a_line_of_its_own():
    rows = [r for r in rows_of(yard(2)) if r.unit == "h"]
    own = next(r for r in rows if r.what == "contingency on labour")
    rest = [r for r in rows if r is not own]
    assert own.low == pytest.approx(0.10 * sum(r.low for r in rest))
    assert own.high == pytest.approx(0.15 * sum(r.high for r in rest))
    assert own.need >= 0.125 * sum(r.need for r in rest)


def test_a_lift_is_hired_by_the_day_for_the_highest_climb():
    sketch = yard(2)
    sketch.climb("up", way="lift", reach_m=8.0)
    sketch.change("mounts", "m-column", climb="up")
    found = next(r for r in rows_of(sketch) if r.unit == "day")
    assert found.what == "lift, 8 m"
    assert found.by_whom == "lift_firm"
    assert found.order >= found.need
    assert found.order == int(found.order)


def test_lines_stand_by_group_with_running_numbers():
    rows = rows_of(yard(2))
    assert [r.item for r in rows] == list(range(1, len(rows) + 1))
    groups = [r.group for r in rows]
    assert groups == sorted(groups, key=list(dict.fromkeys(groups)).index)


def test_the_same_site_counts_the_same_twice():
    site: Site = yard(3).site()
    assert assess(site).tally == assess(site).tally


def test_small_parts_without_a_type_of_their_own_keep_their_spares_and_units():
    def plain() -> Sketch:
        sketch = yard(3)
        sketch.gear = tuple(item for item in sketch.gear if item.kind != "sundry")
        return sketch

    found = {row.what: row for row in rows_of(plain())}
    plugs = found["plug, shielded"]
    assert plugs.spare == -(-plugs.need // 10), "ten in a hundred are said, so they are counted"
    assert found["bond wire"].unit == "m"
    assert found["tape, self-sealing"].unit == "roll"


def test_wall_that_nobody_noted_is_an_assumption():
    def walled(wall: str) -> tuple[str, ...]:
        sketch = yard(1)
        sketch.change("structures", "office", wall=wall)
        return assess(sketch.site()).assumptions

    words = "Anchors counted for brick at 1 mount: the wall is not noted."
    assert words in walled("unknown")
    assert words not in walled("brick")
    assert words not in walled("timber")
