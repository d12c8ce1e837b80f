"""Rings of the network against a library for graphs, and what opens them."""

from __future__ import annotations

import random

import pytest

from survey_app.assess.graph import build_graph
from survey_app.assess.loops import rings
from tests.assess.network_site import Sketch


def random_net(seed: int) -> tuple[Sketch, list[tuple[str, str, str]]]:
    """Switches wired at random; no wire twice between the same two."""
    rng = random.Random(seed)
    sketch = Sketch()
    names = [f"s{n:02d}" for n in range(14)]
    for name in names:
        sketch.device(name, "switch-pole")
    pairs = [(a, b) for a in names for b in names if a < b]
    edges = []
    for number, (a, b) in enumerate(sorted(rng.sample(pairs, 14))):
        sketch.wire(f"w{number:02d}", a, b)
        edges.append((a, b, f"w{number:02d}"))
    return sketch, edges


@pytest.mark.parametrize("seed", range(25))
def test_rings_are_the_parts_that_hold_when_any_one_leg_is_cut(seed):
    networkx = pytest.importorskip("networkx")
    sketch, edges = random_net(seed)
    job = sketch.job()
    graph = build_graph(job)
    used = {leg.id for legs in graph.legs.values() for leg in legs}
    other = networkx.Graph()
    other.add_edges_from((a, b, {"id": key}) for a, b, key in edges if key in used)
    bridges = {frozenset(pair) for pair in networkx.bridges(other)}
    kept = other.edge_subgraph([pair for pair in other.edges if frozenset(pair) not in bridges])
    expected = {
        (tuple(sorted(part)), tuple(sorted(data["id"] for _, _, data in kept.subgraph(part).edges(data=True))))
        for part in networkx.connected_components(kept)
    }
    assert {(ring.things, ring.legs) for ring in rings(job, graph, without_guards=True)} == expected


def square() -> Sketch:
    sketch = Sketch()
    for name in "abcd":
        sketch.device(name, "switch-pole")
    for number, (one, two) in enumerate(("ab", "bc", "cd", "da")):
        sketch.wire(f"w{number}", one, two)
    return sketch


def test_two_wires_between_the_same_switches_are_a_ring():
    sketch = Sketch()
    sketch.device("a", "switch-pole")
    sketch.device("b", "switch-pole")
    sketch.wire("w0", "a", "b")
    job = sketch.job()
    assert rings(job, build_graph(job), without_guards=True) == ()
    sketch.wire("w1", "a", "b")
    job = sketch.job()
    assert rings(job, build_graph(job), without_guards=True)[0].legs == ("w0", "w1")


def test_one_switch_with_loop_protection_opens_the_ring():
    sketch = square()
    job = sketch.job()
    assert len(rings(job, build_graph(job), without_guards=True)) == 1
    sketch.change("devices", "c", spanning_tree=True)
    job = sketch.job()
    assert rings(job, build_graph(job), without_guards=True) == ()
    assert len(rings(job, build_graph(job), without_guards=False)) == 1
    sketch = square()
    sketch.change("devices", "c", gear="switch-mains")
    job = sketch.job()
    assert rings(job, build_graph(job), without_guards=True) == ()
    sketch.change("devices", "c", spanning_tree=False)
    job = sketch.job()
    assert len(rings(job, build_graph(job), without_guards=True)) == 1


def test_a_recorder_with_two_wires_passes_nothing_on_and_makes_no_ring():
    sketch = square()
    sketch.change("devices", "c", gear="recorder16")
    job = sketch.job()
    assert rings(job, build_graph(job), without_guards=True) == ()
