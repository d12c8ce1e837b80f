"""The network's graph against an independent library on a thousand random systems."""

from __future__ import annotations

import random

import pytest

from survey_app.assess.graph import Edge, Graph, build_graph
from survey_app.assess.job import Job
from survey_app.assess.loops import rings
from tests.assess.network_site import Sketch

networkx = pytest.importorskip("networkx")


def system(seed: int) -> Job:
    """Ten switches and radios joined at random by wires and hops, with one head end; no two legs between two things."""
    rng = random.Random(seed)
    sketch = Sketch()
    sketch.pole("p", 0.0, 0.0)
    sketch.mount("m", "p")
    switches = [f"s{n}" for n in range(6)]
    radios = [f"r{n}" for n in range(4)]
    for name in switches:
        sketch.device(name, "switch-mains")
    for number, name in enumerate(radios):
        sketch.radio(name, "ap" if number % 2 else "sta", "m")
    sketch.head_end("home", "s0")
    pairs = [(a, b) for a in switches + radios for b in switches + radios if a < b]
    taken = dict.fromkeys(radios, 0)
    for number, (a, b) in enumerate(rng.sample(pairs, rng.randint(7, 16))):
        ends = [key for key in (a, b) if key in taken]
        if len(ends) == 2:
            sketch.hop(f"h{number:02d}", a, b)
        elif all(taken[key] < 2 for key in ends):  # a radio of this type has two ports
            sketch.wire(f"w{number:02d}", a, b)
            for key in ends:
                taken[key] += 1
    return sketch.job()


def edges_of(graph: Graph) -> dict[str, Edge]:
    return {leg.id: leg for legs in graph.legs.values() for leg in legs}


def library(graph: Graph) -> networkx.Graph:
    other = networkx.Graph()
    other.add_node("s0")
    for leg in edges_of(graph).values():
        other.add_edge(leg.a, leg.b, id=leg.id, weight=1001 if leg.kind == "hop" else 1)
    return other


@pytest.mark.parametrize("block", range(10))
def test_ways_bridges_articulation_points_and_cycles_are_those_of_the_library(block: int) -> None:
    met = [0, 0, 0]
    for seed in range(100 * block, 100 * block + 100):
        job = system(seed)
        graph = build_graph(job)
        other = library(graph)
        assert graph.without_port == {}
        shortest = networkx.single_source_dijkstra_path_length(other, "s0")
        assert {key: row.hops * 1000 + row.legs for key, row in graph.reached.items()} == shortest

        near = other.subgraph(shortest)
        bridges = {frozenset(pair) for pair in networkx.bridges(near)} if len(near) > 1 else set()
        for key, leg in edges_of(graph).items():
            lost = [thing for thing, row in graph.without(frozenset(), frozenset({key})).items() if row is None]
            assert bool(lost) == (frozenset((leg.a, leg.b)) in bridges), (seed, key)
        joints = set(networkx.articulation_points(near)) - {"s0"}
        for key in set(near) - {"s0"}:
            lost = {t for t, row in graph.without(frozenset({key}), frozenset()).items() if row is None} - {key}
            assert bool(lost) == (key in joints), (seed, key)
            left = near.subgraph(set(near) - {key})
            assert lost == set(left) - networkx.node_connected_component(left, "s0"), (seed, key)

        ringed = {leg for ring in rings(job, graph, without_guards=False) for leg in ring.legs}
        cycles = {other.edges[pair]["id"] for cycle in networkx.cycle_basis(other) for pair in _pairs(cycle)}
        parts = {other.edges[pair]["id"] for pair in other.edges} - {
            other.edges[pair]["id"] for pair in networkx.bridges(other)
        }
        assert cycles <= ringed == parts
        met[0] += len(bridges)
        met[1] += len(joints)
        met[2] += bool(ringed)
    assert min(met) > 10


def _pairs(cycle: list[str]) -> list[tuple[str, str]]:
    return list(zip(cycle, [*cycle[1:], cycle[0]], strict=True))
