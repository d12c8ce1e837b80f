"""Order of climbs: outwards, access points first, no climb twice, what was fixed by hand is kept."""

from __future__ import annotations

from survey_app.assess.climbs import climb_rows, sheet_order
from survey_app.assess.mount_rows import mount_rows
from survey_app.ground.place import place
from tests.assess.network_site import Sketch, yard


def climbs_of(sketch: Sketch):
    job = sketch.job()
    rows = climb_rows(job, mount_rows(job, place(job.site), {}))
    return job, rows


def chain() -> Sketch:
    """Head end, then three poles in a row; the middle one carries both ends back to back."""
    sketch = Sketch()
    for number in range(3):
        sketch.pole(f"p{number}", 100.0 * number, 0.0)
        sketch.mount(f"m{number}", f"p{number}")
    sketch.device("core", "switch-mains")
    sketch.head_end("home", "core")
    sketch.radio("A0", "ap", "m0")
    sketch.wire("w0", "core", "A0")
    sketch.radio("S1", "sta", "m1")
    sketch.radio("A1", "ap", "m1")
    sketch.wire("w1", "S1", "A1")
    sketch.radio("S2", "sta", "m2")
    sketch.hop("h1", "A0", "S1")
    sketch.hop("h2", "A1", "S2")
    return sketch


def test_climbs_go_outwards_and_no_mount_twice():
    job, rows = climbs_of(chain())
    assert [row.id for row in rows] == ["m0", "m1", "m2"]
    assert [row.radios for row in rows] == [("A0",), ("A1", "S1"), ("S2",)]
    assert [row.order for row in rows] == [1, 2, 3]
    order = sheet_order(job, rows)
    assert order.sheet_number == {"A0": 1, "A1": 2, "S1": 3, "S2": 4}
    assert order.first_up == {"A0": True, "A1": True, "S1": False, "S2": False}
    assert order.looks_at_later == {"A0": ("S1",), "A1": ("S2",), "S1": (), "S2": ()}


def test_an_access_point_further_out_still_goes_before_its_station():
    sketch = chain()
    radios = {radio.id: radio for radio in sketch.things["radios"]}
    swapped = {"A0": "station", "S1": "access_point"}
    sketch.things["radios"] = [
        radio.__class__(**{**dict(radio), "role": swapped.get(key, radio.role)}) for key, radio in radios.items()
    ]
    sketch.things["hops"] = []
    sketch.hop("h1", "S1", "A0")
    sketch.hop("h2", "A1", "S2")
    _, rows = climbs_of(sketch)
    assert [row.id for row in rows] == ["m1", "m0", "m2"]


def test_two_mounts_of_one_way_up_are_one_climb():
    sketch = yard(1)
    sketch.climb("ladder", way="ladder", key="with the keeper")
    sketch.mount("m-wall", "column", climb="ladder")
    sketch.things["mounts"] = [
        mount.__class__(**{**dict(mount), "climb": "ladder"}) if mount.id == "m-column" else mount
        for mount in sketch.things["mounts"]
    ]
    sketch.radio("X", "sta", "m-wall")
    _, rows = climbs_of(sketch)
    ladder = next(row for row in rows if row.id == "ladder")
    assert ladder.mounts == ("m-column", "m-wall")
    assert ladder.radios == ("S", "X")
    assert ladder.reach_m == 6.0
    assert (ladder.way, ladder.key) == ("ladder", "with the keeper")


def test_a_place_fixed_by_hand_is_kept():
    sketch = chain()
    sketch.climb("last-first", order=1)
    sketch.things["mounts"] = [
        mount.__class__(**{**dict(mount), "climb": "last-first"}) if mount.id == "m2" else mount
        for mount in sketch.things["mounts"]
    ]
    job, rows = climbs_of(sketch)
    assert [row.id for row in rows] == ["last-first", "m0", "m1"]
    assert sheet_order(job, rows).first_up["S2"] is True


def test_a_ring_of_needs_is_cut_at_its_nearest_climb():
    sketch = chain()
    sketch.radio("A9", "ap", "m1")
    sketch.radio("S9", "sta", "m0")
    sketch.hop("h9", "A9", "S9")
    _, rows = climbs_of(sketch)
    assert [row.id for row in rows] == ["m0", "m1", "m2"]
