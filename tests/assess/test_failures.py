"""Single failures: worked by hand on small sites, and held against a complete new search on random ones."""

from __future__ import annotations

import random

import pytest

from survey_app.assess.failures import losses
from survey_app.assess.feeding import build_forest
from survey_app.assess.graph import Graph, _walk, build_graph
from survey_app.assess.job import Job
from survey_app.assess.record import FailureRow
from survey_app.site.network import Device, Wire, WireEnd
from tests.assess.network_site import Sketch
from tests.assess.rule_case import assessed
from tests.plot import Plot, one_hop


def rows_of(plot: Plot) -> dict[str, FailureRow]:
    return {row.subject: row for row in assessed(plot.site()).failures}


def bare(plot: Plot) -> Plot:
    """Let no camera record by itself."""
    for row in list(plot.rows["cameras"]):
        plot.set("cameras", row.id, edge_recording_hours=0.0)
    return plot


def test_everything_on_the_one_way_darkens_both_cameras() -> None:
    rows = rows_of(bare(one_hop(cameras=2)))
    both = ("C1", "C2")
    for subject in ("H-S", "A", "S", "plug-A", "tap-S", "hitch-m-column", "feed-m-column", "board-m-column", "core"):
        assert rows[subject].dark == both, subject
        assert rows[subject].severity == "note"
        assert rows[subject].recorded_hours == 0.0
    assert rows["m-column"].kind == "mount"
    assert rows["m-column"].dark == both
    assert rows["w-C1"].dark == ("C1",)
    assert rows["recorder"].dark == both
    assert all(row.moved == () and row.fullest is None for row in rows.values())


def test_recording_at_the_camera_lowers_what_a_lost_hop_is_worth_but_not_a_lost_supply() -> None:
    """A camera that has no power records nothing, however large its card."""
    plot = one_hop(cameras=2)
    plot.set("cameras", "C1", edge_recording_hours=72.0)
    rows = rows_of(plot)
    assert rows["H-S"].recorded_hours == 24.0
    assert rows["H-S"].unrecorded == ()
    assert rows["H-S"].severity is None
    for subject in ("board-m-column", "hitch-m-column", "m-column"):
        assert rows[subject].without_power == rows[subject].unrecorded == ("C1", "C2")
        assert rows[subject].recorded_hours == 0.0
        assert rows[subject].severity == "note"


def test_eight_cameras_that_nobody_records_are_worth_a_warning() -> None:
    seven, eight = (bare(one_hop(cameras=4)) for _ in range(2))
    for plot, more in ((seven, 3), (eight, 4)):
        plot.add("devices", Device(id="more", gear="hitch-8", structure="office", fed_from="board"))
        plot.wire("p-more", "core", "more", length=2.0)
        for number in range(5, 5 + more):
            plot.add("cameras", type(plot.rows["cameras"][0])(**{**dict(plot.rows["cameras"][0]), "id": f"C{number}"}))
            plot.wire(f"w-C{number}", "more", f"C{number}", "a_to_b", length=30.0)
    assert rows_of(seven)["core"].severity == "note"
    assert rows_of(eight)["core"].severity == "warn"
    assert rows_of(eight)["more"].severity == "note"


def two_ways() -> Plot:
    """One hop, and a second of the same kind beside it from the pole's switch to the core switch, which opens the ring."""
    plot = one_hop(cameras=3)
    plot.wall_mount("m-office-2", "office", 1, 2.0)
    plot.mount("m-column-2", "column", 4.5)
    plot.access_point("A2", "m-office-2", "bowline-p16", 36, power_ceiling_dbm=8.0)
    plot.station("S2", "m-column-2", "bowline-p16", "A2", power_ceiling_dbm=8.0)
    plot.feed_indoors("A2", "bowline-p16")
    boxed = {"mount": "m-column", "environment": "outdoors", "enclosure": "coffer-50"}
    plot.add("devices", Device(id="tap-S2", gear="tap-54-24", **boxed))
    plot.wire("p-S2", "hitch-m-column", "tap-S2", "a_to_b", length=0.5)
    plot.wire("w-S2", "tap-S2", "S2", "a_to_b", length=4.0)
    return plot


def test_a_second_way_takes_the_video_over_and_says_how_full_it_is_then() -> None:
    """By hand: three cameras of 4 Mbit/s with 6 % overhead are 12.72 Mbit/s towards the head end, and 0.2 % of the
    12 Mbit/s of video, 0.024 Mbit/s, go back. Two-stream units at 20 MHz and a guard of 0.8 us reach 130 Mbit/s
    at rate 7: 12.744 / 130 = 0.0980 of the air; one station on contention leaves 0.55 of it: load 0.1782.
    """
    rows = rows_of(two_ways())
    row = rows["H-S"]
    assert (row.dark, row.moved) == ((), ("C1", "C2", "C3"))
    assert row.fullest == "A2"
    assert row.load_fraction == pytest.approx(0.1782, abs=5e-5)
    assert row.slower == ()
    assert row.severity is None
    assert rows["hitch-m-column"].dark == ("C1", "C2", "C3")
    assert "H-S2" not in rows, "nobody uses the second way while the first works"


def test_cameras_on_a_second_way_that_gets_too_full_are_slower() -> None:
    """By hand: the spare hop is held to rate 0, 13 Mbit/s: 12.744 / 13 / 0.55 = 1.782 of what it can."""
    plot = two_ways()
    plot.set("radios", "S2", highest_mcs=0)
    row = rows_of(plot)["H-S"]
    assert row.load_fraction == pytest.approx(1.782, abs=5e-4)
    assert row.slower == ("C1", "C2", "C3")
    assert row.severity == "note"


def test_a_thing_with_two_supplies_outlives_either() -> None:
    plot = one_hop(cameras=1)
    plot.add("devices", Device(id="feed-2", gear="feed-54", mount="m-column", environment="outdoors",
                               enclosure="coffer-50", fed_from="board-m-column"))  # fmt: skip
    plot.add("wires", Wire(id="dc-2", medium="dc", power="a_to_b", length_m=1.0, outdoors=False,
                           a=WireEnd(thing="feed-2"), b=WireEnd(thing="hitch-m-column")))  # fmt: skip
    job = Job(plot.site())
    lost = {row.subject: row.things for row in losses(job, build_forest(job))}
    assert lost["feed-m-column"] == {"feed-m-column"}
    assert lost["feed-2"] == {"feed-2"}
    assert "hitch-m-column" in lost["board-m-column"]


def random_system(seed: int) -> Sketch:
    """Radios, switches and cameras joined at random, with one or two head ends; some are fed by others."""
    rng = random.Random(seed)
    sketch = Sketch()
    sketch.pole("p", 0.0, 0.0)
    for name in ("m0", "m1", "m2"):
        sketch.mount(name, "p")
    radios = [f"r{n}" for n in range(8)]
    for number, name in enumerate(radios):
        sketch.radio(name, "ap" if number % 2 else "sta", f"m{number % 3}")
    switches = [f"s{n}" for n in range(7)]
    sketch.supply("u0")
    sketch.supply("u1")
    for number, name in enumerate(switches):
        fed = rng.choice(["u0", "u1", *switches[:number]])
        sketch.device(name, "switch-mains", mount=rng.choice(["m0", "m1", "m2", None]), fed_from=fed)
    for number in range(rng.choice([1, 2])):
        sketch.head_end(f"home{number}", switches[number])
    stations = [name for name in radios if int(name[1]) % 2 == 0]
    for number, station in enumerate(stations):
        sketch.hop(f"h{number}", rng.choice([n for n in radios if n not in stations]), station)
    things = [*radios, *switches]
    for number in range(16):
        a, b = rng.sample(things, 2)
        sketch.wire(f"w{number:02d}", a, b, rng.choice(["none", "a_to_b"]) if a in switches else "none")
    for number in range(6):
        sketch.camera(f"c{number}", mount=rng.choice(["m0", "m1", "m2"]))
        sketch.wire(f"wc{number}", rng.choice(things), f"c{number}")
    return sketch


def searched_anew(job: Job, graph: Graph, things: frozenset[str], legs: frozenset[str]) -> dict[str, object]:
    left = {
        key: tuple(leg for leg in edges if leg.id not in legs and not {leg.a, leg.b} & things)
        for key, edges in graph.outward.items()
        if key not in things
    }
    found = dict(_walk(job, left))
    return {key: row for key, row in found.items() if key not in things or row.edge is not None}


@pytest.mark.parametrize("block", range(10))
def test_what_is_looked_at_again_behind_a_cut_is_what_a_whole_new_search_finds(block: int) -> None:
    tried = 0
    for seed in range(20 * block, 20 * block + 20):
        job = random_system(seed).job()
        graph = build_graph(job)
        for loss in losses(job, build_forest(job)):
            instead = graph.without(loss.things, loss.legs)
            patched = {key: row for key, row in {**graph.reached, **instead}.items() if row is not None}
            assert patched == searched_anew(job, graph, loss.things, loss.legs), (seed, loss.subject)
            tried += bool(instead)
    assert tried > 100
