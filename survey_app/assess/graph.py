"""The network as a graph: things joined by hops and data wires, walked outwards from the head ends."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from survey_app.assess.job import Job
from survey_app.site.gear_part import Ports
from survey_app.site.gear_type import DeviceType
from survey_app.site.network import Wire

__all__ = [
    "Edge",
    "Graph",
    "Reached",
    "build_graph",
    "device_type",
    "encoder_of",
    "port_count",
    "things_joined",
    "with_leg",
]

_BRIDGING = frozenset({"injector", "switch", "converter", "media_converter"})
_TWO_PORTED = frozenset({"injector", "converter", "media_converter"})


@dataclass(frozen=True, slots=True)
class Edge:
    """One hop or wire between two things; of a hop, `a` is the access point."""

    kind: Literal["hop", "wire"]
    id: str
    a: str
    b: str

    def other(self, thing_id: str) -> str:
        """Return the thing at the other end."""
        return self.b if thing_id == self.a else self.a


@dataclass(frozen=True, slots=True)
class Reached:
    """How a thing is reached from its head end: the leg before it and what that costs."""

    head_end: str
    hops: int
    legs: int
    edge: Edge | None
    nearer: str | None


@dataclass(frozen=True)
class Graph:
    """Things, the legs that join them, and the best way of each to a head end.

    Parameters
    ----------
    legs : mapping of str to tuple of Edge
        Usable legs of each thing, ordered by kind and id.
    without_port : mapping of str to str
        Wires for which a thing has no port left, and that thing.
    outward : mapping of str to tuple of Edge
        Legs over which a thing hands video in towards a head end: from it outwards to whom it listens.
    reached : mapping of str to Reached
        Things from which a head end can be reached.
    """

    legs: Mapping[str, tuple[Edge, ...]]
    without_port: Mapping[str, str]
    outward: Mapping[str, tuple[Edge, ...]]
    reached: Mapping[str, Reached]

    def way_home(
        self, thing_id: str, instead: Mapping[str, Reached | None] | None = None
    ) -> Iterator[tuple[Edge, str, str]]:
        """Yield the legs from a thing to its head end as (leg, from, to).

        Parameters
        ----------
        thing_id : str
            The thing.
        instead : mapping of str to Reached or None
            Things that are reached otherwise than usual, or not at all.
        """
        other = instead or {}
        here = thing_id
        step = other[here] if here in other else self.reached.get(here)
        while step is not None and step.edge is not None and step.nearer is not None:
            yield step.edge, here, step.nearer
            here = step.nearer
            step = other[here] if here in other else self.reached.get(here)

    @cached_property
    def behind(self) -> Mapping[str, tuple[str, ...]]:
        """Things whose way home begins with a leg to a thing."""
        found: dict[str, list[str]] = {}
        for thing_id, step in self.reached.items():
            if step.nearer is not None:
                found.setdefault(step.nearer, []).append(thing_id)
        return {key: tuple(things) for key, things in found.items()}

    @cached_property
    def _inward(self) -> Mapping[str, tuple[tuple[str, Edge], ...]]:
        found: dict[str, list[tuple[str, Edge]]] = {}
        for here, legs in self.outward.items():
            for leg in legs:
                found.setdefault(leg.other(here), []).append((here, leg))
        return {key: tuple(rows) for key, rows in found.items()}

    def without(self, things: Set[str], legs: Set[str]) -> dict[str, Reached | None]:
        """Return what is reached otherwise when things and legs are lost.

        Parameters
        ----------
        things, legs : set of str
            What is lost.

        Returns
        -------
        dict of str to Reached or None
            Every thing whose usual way is cut, with its other way, or None where it has none. A way that stays whole
            stays the best: what is not named here is reached as ever, so only what lies behind the cut is looked at.
        """
        cut = [key for key in things if key in self.reached]
        cut += [key for leg in legs for key in self._over.get(leg, ())]
        behind: dict[str, Reached | None] = {}
        while cut:
            here = cut.pop()
            if here not in behind:
                behind[here] = None
                cut.extend(self.behind.get(here, ()))
        heap: list[_Step] = []
        for far in behind:
            if far in things:
                continue
            for here, leg in self._inward.get(far, ()):
                before = self.reached.get(here)
                if before is not None and here not in behind and leg.id not in legs:
                    heap.append(_step(before, here, leg))
        heapq.heapify(heap)
        while heap:
            hops, count, head_end_id, _, here, nearer, edge = heapq.heappop(heap)
            if behind[here] is not None:
                continue
            found = Reached(head_end_id, hops, count, edge, nearer)
            behind[here] = found
            for leg in self.outward.get(here, ()):
                far = leg.other(here)
                if far not in things and leg.id not in legs and far in behind and behind[far] is None:
                    heapq.heappush(heap, _step(found, here, leg))
        return behind

    @cached_property
    def _over(self) -> Mapping[str, tuple[str, ...]]:
        """Things whose way home begins with a leg."""
        found: dict[str, list[str]] = {}
        for thing_id, step in self.reached.items():
            if step.edge is not None:
                found.setdefault(step.edge.id, []).append(thing_id)
        return {key: tuple(things) for key, things in found.items()}


_Step = tuple[int, int, str, str, str, str, Edge | None]


def _step(before: Reached, here: str, leg: Edge) -> _Step:
    more = 1 if leg.kind == "hop" else 0
    return before.hops + more, before.legs + 1, before.head_end, leg.id, leg.other(here), here, leg


def device_type(job: Job, thing_id: str) -> DeviceType | None:
    """Return the type of a device, or None where it is no device or its type is not known."""
    device = job.devices.get(thing_id)
    found = job.gear.get(device.gear) if device else None
    return found if isinstance(found, DeviceType) else None


def things_joined(job: Job, wire: Wire) -> tuple[str, str]:
    """Return the things at both ends of a wire; a head end stands for its device."""
    ends = []
    for thing_id in (wire.a.thing, wire.b.thing):
        head_end = job.head_ends.get(thing_id)
        ends.append(head_end.device if head_end else thing_id)
    return ends[0], ends[1]


def encoder_of(job: Job) -> dict[str, str]:
    """Return the encoder that each analogue camera is wired to; the first by wire id."""
    found: dict[str, str] = {}
    for wire_id in sorted(job.wires):
        a, b = things_joined(job, job.wires[wire_id])
        for camera_id, device_id in ((a, b), (b, a)):
            camera, kind = job.cameras.get(camera_id), device_type(job, device_id)
            if camera is not None and camera.analogue and kind is not None and kind.kind == "encoder":
                found.setdefault(camera_id, device_id)
    return found


def _total(ports: Iterable[Ports]) -> int:
    return sum(row.count for row in ports)


def port_count(job: Job, thing_id: str) -> int | None:
    """Return how many data wires a thing can take; None = not known."""
    if thing_id in job.cameras:
        return 1
    if thing_id in job.radios:
        radio_type = job.radio_type(job.radios[thing_id])
        return _total(radio_type.ports) if radio_type else None
    kind = device_type(job, thing_id)
    if kind is None:
        return None
    return max(2, _total(kind.ports)) if kind.kind in _TWO_PORTED else _total(kind.ports)


def _data_edges(job: Job) -> list[tuple[Wire, Edge]]:
    there = job.radios.keys() | job.cameras.keys() | job.devices.keys()
    rows = []
    for wire_id in sorted(job.wires):
        wire = job.wires[wire_id]
        a, b = things_joined(job, wire)
        if wire.medium != "dc" and a in there and b in there and a != b:
            rows.append((wire, Edge("wire", wire_id, a, b)))
    return rows


def _surplus(job: Job, rows: list[tuple[Wire, Edge]], encoders: Mapping[str, str]) -> dict[str, str]:
    """Wires beyond a thing's ports; the wire that brings its supply keeps its port."""
    at: dict[str, list[tuple[int, str]]] = {}
    for wire, edge in rows:
        into = {"a_to_b": edge.b, "b_to_a": edge.a, "none": ""}[wire.power]
        for thing_id in (edge.a, edge.b):
            if encoders.get(edge.other(thing_id)) == thing_id:
                continue  # an analogue camera takes a video input, not a port
            at.setdefault(thing_id, []).append((0 if into == thing_id else 1, edge.id))
    surplus: dict[str, str] = {}
    for thing_id, wires in at.items():
        count = port_count(job, thing_id)
        if count is not None and len(wires) > count:
            for _, wire_id in sorted(wires)[count:]:
                surplus.setdefault(wire_id, thing_id)
    return surplus


def _passes(job: Job, thing_id: str, edge: Edge, *, root: bool, encoders: Mapping[str, str]) -> bool:
    """Whether video that comes in over a leg can reach this thing's head-end side."""
    far = job.cameras.get(edge.other(thing_id))
    if far is not None and far.analogue:
        return encoders.get(far.id) == thing_id
    if root or thing_id in job.radios:
        return True
    kind = device_type(job, thing_id)
    return thing_id in job.devices and (kind is None or kind.kind in _BRIDGING)


def _outward(
    job: Job, legs: Mapping[str, tuple[Edge, ...]], encoders: Mapping[str, str]
) -> dict[str, tuple[Edge, ...]]:
    roots = {head_end.device for head_end in job.head_ends.values()}
    return {
        here: tuple(leg for leg in edges if _passes(job, here, leg, root=here in roots, encoders=encoders))
        for here, edges in legs.items()
    }


def _walk(job: Job, outward: Mapping[str, tuple[Edge, ...]]) -> dict[str, Reached]:
    reached: dict[str, Reached] = {}
    heap: list[_Step] = [(0, 0, head_end.id, "", head_end.device, "", None) for head_end in job.head_ends.values()]
    heapq.heapify(heap)
    while heap:
        hops, count, head_end_id, _, here, nearer, edge = heapq.heappop(heap)
        if here in reached:
            continue
        found = Reached(head_end_id, hops, count, edge, nearer or None)
        reached[here] = found
        for leg in outward.get(here, ()):
            if leg.other(here) not in reached:
                heapq.heappush(heap, _step(found, here, leg))
    return reached


def build_graph(job: Job) -> Graph:
    """Build the graph of a site and find each thing's way to a head end.

    The way has the fewest hops, then the fewest legs; ties go to the head end and then the leg with the smaller id, so
    that the same site always gives the same routes.

    Parameters
    ----------
    job : Job
        The indexed site.

    Returns
    -------
    Graph
        Legs, wires without a port, and ways home.
    """
    encoders = encoder_of(job)
    rows = _data_edges(job)
    surplus = _surplus(job, rows, encoders)
    legs: dict[str, list[Edge]] = {}
    hop_edges = [Edge("hop", hop.id, hop.access_point, hop.station) for _, hop in sorted(job.hops.items())]
    for edge in [*hop_edges, *(edge for _, edge in rows if edge.id not in surplus)]:
        legs.setdefault(edge.a, []).append(edge)
        legs.setdefault(edge.b, []).append(edge)
    fixed = {thing_id: tuple(edges) for thing_id, edges in legs.items()}
    outward = _outward(job, fixed, encoders)
    return Graph(legs=fixed, without_port=surplus, outward=outward, reached=_walk(job, outward))


def with_leg(job: Job, graph: Graph, edge: Edge) -> Graph:
    """Return the graph with one leg more between two things that pass video on.

    Parameters
    ----------
    job : Job
        The indexed site.
    graph : Graph
        Its graph.
    edge : Edge
        The leg; neither end lacks a port for it.
    """
    legs, outward = dict(graph.legs), dict(graph.outward)
    for end in (edge.a, edge.b):
        legs[end] = (*legs.get(end, ()), edge)
        outward[end] = (*outward.get(end, ()), edge)
    return Graph(legs=legs, without_port=graph.without_port, outward=outward, reached=_walk(job, outward))
