"""Routes and demand: hand-worked sites, and a library for graphs on random ones."""

from __future__ import annotations

import pytest

from survey_app.assess.graph import build_graph
from survey_app.assess.routes import demand_by_hop
from tests.assess.network_site import Sketch, yard


def test_demand_of_one_hop_is_video_with_overhead_towards_the_head_end():
    demand = demand_by_hop(yard(2).job())["A-S"]
    assert demand.to_access_point_mbps == pytest.approx(2 * 4.0 * 1.06)
    assert demand.to_station_mbps == pytest.approx(2 * 4.0 * 0.002)
    assert demand.cameras == ("C1", "C2")


def test_demand_turns_round_when_the_access_point_is_on_the_camera_side():
    sketch = yard(1)
    sketch.things["hops"] = []
    sketch.radio("A2", "ap", "m-column")
    sketch.radio("S2", "sta", "m-office")
    sketch.hop("back", "A2", "S2")
    sketch.wire("w-A2", "hitch", "A2")
    sketch.wire("w-S2", "core", "S2")
    demand = demand_by_hop(sketch.job())["back"]
    assert demand.to_station_mbps == pytest.approx(4.24)
    assert demand.to_access_point_mbps == pytest.approx(0.008)


def test_a_relay_through_an_access_point_counts_both_its_hops():
    sketch = yard(1)
    sketch.radio("relay", "ap", "m-column")
    sketch.radio("near", "sta", "m-office")
    sketch.radio("far", "sta", "m-column")
    sketch.hop("relay-near", "relay", "near")
    sketch.hop("relay-far", "relay", "far")
    sketch.wire("w-near", "core", "near")
    sketch.camera("Z")
    sketch.wire("w-Z", "far", "Z")
    demand = demand_by_hop(sketch.job())
    assert demand["relay-far"].to_access_point_mbps == pytest.approx(4.24)
    assert demand["relay-near"].to_station_mbps == pytest.approx(4.24)


def test_a_camera_behind_a_radio_with_one_port_has_no_way():
    sketch = yard(0)
    sketch.camera("Z")
    sketch.wire("w-Z", "S", "Z")
    assert "Z" in build_graph(sketch.job()).reached
    swapped = [radio.__class__(**{**dict(radio), "gear": "p19"}) for radio in sketch.things["radios"]]
    sketch.things["radios"] = swapped
    graph = build_graph(sketch.job())
    assert "Z" not in graph.reached
    assert graph.without_port == {"w-Z": "S"}


def test_an_analogue_camera_comes_home_through_its_encoder_only():
    sketch = yard(0)
    sketch.device("enc", "encoder4", structure="office", fed_from="board")
    sketch.wire("w-enc", "core", "enc")
    sketch.camera("old", analogue=True)
    sketch.wire("w-old", "old", "enc")
    sketch.camera("lost", analogue=True)
    sketch.wire("w-lost", "lost", "core")
    graph = build_graph(sketch.job())
    assert [leg.id for leg, _, _ in graph.way_home("old")] == ["w-old", "w-enc", "w-core"]
    assert "lost" not in graph.reached


def test_routes_have_the_fewest_hops_as_an_independent_library_finds_them():
    networkx = pytest.importorskip("networkx")
    import random

    for seed in range(20):
        rng = random.Random(seed)
        sketch = Sketch()
        sketch.pole("p", 0.0, 0.0)
        sketch.mount("m", "p")
        names = [f"r{n}" for n in range(12)]
        for name in names:
            sketch.radio(name, "ap", "m", gear="p16")
        sketch.device("core", "switch-mains")
        sketch.head_end("home", "core")
        sketch.wire("w0", "core", "r0")
        other = networkx.Graph()
        other.add_edge("core", "r0", weight=1)
        for n in range(18):
            a, b = rng.sample(names, 2)
            sketch.hop(f"h{n}", a, b)
            other.add_edge(a, b, weight=1001)
        graph = build_graph(sketch.job())
        expected = networkx.single_source_dijkstra_path_length(other, "core")
        found = {key: row.hops * 1000 + row.legs for key, row in graph.reached.items()}
        assert found == expected
