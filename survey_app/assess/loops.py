"""Rings of the network: legs without which everything still hangs together."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from survey_app.assess.graph import Edge, Graph, device_type
from survey_app.assess.job import Job

__all__ = ["Ring", "guarded", "rings"]

_BRIDGING = frozenset({"injector", "switch", "converter", "media_converter"})


@dataclass(frozen=True, slots=True)
class Ring:
    """Legs and things that form one or more closed ways.

    Parameters
    ----------
    things, legs : tuple of str
        Ids, sorted.
    """

    things: tuple[str, ...]
    legs: tuple[str, ...]


def guarded(job: Job, thing_id: str) -> bool:
    """Return whether a switch opens rings by itself (spanning tree)."""
    device, kind = job.devices.get(thing_id), device_type(job, thing_id)
    if device is None or kind is None:
        return False
    return kind.spanning_tree if device.spanning_tree is None else device.spanning_tree


def _bridges(job: Job, thing_id: str) -> bool:
    kind = device_type(job, thing_id)
    return thing_id in job.radios or (kind is not None and kind.kind in _BRIDGING)


def rings(job: Job, graph: Graph, *, without_guards: bool) -> tuple[Ring, ...]:
    """Return the rings of a network.

    Parameters
    ----------
    job : Job
        The indexed site.
    graph : Graph
        Its graph.
    without_guards : bool
        Leave out the switches that open rings: what remains are rings in which packets run for ever.

    Returns
    -------
    tuple of Ring
        One for each part that holds together when any one leg is taken away, by its first thing.
    """
    bridging = {key for key in graph.legs if _bridges(job, key)}
    kept = {key for key in bridging if not (without_guards and guarded(job, key))}
    legs = {key: [leg for leg in graph.legs[key] if leg.other(key) in kept] for key in kept}
    cut = _cut_legs(legs)
    found, seen = [], set[str]()
    for start in sorted(kept):
        if start in seen:
            continue
        things, edges = _part(start, legs, lambda leg: leg.id not in cut)
        seen |= things
        if edges:
            found.append(Ring(tuple(sorted(things)), tuple(sorted(edges))))
    return tuple(found)


def _part(start: str, legs: Mapping[str, list[Edge]], usable: Callable[[Edge], bool]) -> tuple[set[str], set[str]]:
    things, edges, stack = {start}, set[str](), [start]
    while stack:
        here = stack.pop()
        for leg in legs[here]:
            if usable(leg):
                edges.add(leg.id)
                far = leg.other(here)
                if far not in things:
                    things.add(far)
                    stack.append(far)
    return things, edges


def _cut_legs(legs: Mapping[str, list[Edge]]) -> set[str]:
    """Legs whose loss parts the network, by one walk in depth: those that no later leg reaches around."""
    number: dict[str, int] = {}
    low: dict[str, int] = {}
    cut: set[str] = set()
    for root in legs:
        if root in number:
            continue
        number[root] = low[root] = len(number)
        stack: list[tuple[str, str, int]] = [(root, "", 0)]
        while stack:
            here, came_by, next_leg = stack.pop()
            if next_leg < len(legs[here]):
                stack.append((here, came_by, next_leg + 1))
                leg = legs[here][next_leg]
                far = leg.other(here)
                if leg.id == came_by:
                    continue
                if far in number:
                    low[here] = min(low[here], number[far])
                else:
                    number[far] = low[far] = len(number)
                    stack.append((far, leg.id, 0))
            elif stack:
                parent = stack[-1][0]
                low[parent] = min(low[parent], low[here])
                if low[here] > number[parent]:
                    cut.add(came_by)
    return cut
