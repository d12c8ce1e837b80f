"""Climbs in the order of the work, and the order of the sheets."""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from survey_app.assess.graph import Graph, build_graph
from survey_app.assess.job import Job
from survey_app.assess.record import ClimbRow, MountRow

__all__ = ["SheetOrder", "climb_rows", "sheet_order"]

_ABOVE_MOUNT_M = 0.5  # a man reaches a little over his ladder's top; common practice
_FAR = 1_000_000

_Rank = tuple[int, int, str]


@dataclass(frozen=True)
class SheetOrder:
    """In which order radios go up.

    Parameters
    ----------
    climb_order : mapping of str to int
        Place of each climb, from 1.
    sheet_number : mapping of str to int
        Place of each radio, from 1: by climb, within it outwards, access points first.
    first_up : mapping of str to bool
        Whether a radio goes up before all its far ends: nothing to aim at yet.
    looks_at_later : mapping of str to tuple of str
        Far ends that go up after it.
    """

    climb_order: Mapping[str, int]
    sheet_number: Mapping[str, int]
    first_up: Mapping[str, bool]
    looks_at_later: Mapping[str, tuple[str, ...]]


def _rank(graph: Graph, radio_id: str) -> _Rank:
    """Hops and legs from the head end; radios without a way come last."""
    reached = graph.reached.get(radio_id)
    return (reached.hops, reached.legs, radio_id) if reached else (_FAR, _FAR, radio_id)


def _sorted_by_need(ranks: Mapping[str, tuple[int, int, str]], before: Mapping[str, set[str]]) -> list[str]:
    """Order climbs outwards, each after those that it needs; a ring of needs is cut at its nearest member."""
    waiting = {key: set(needs) for key, needs in before.items()}
    after: dict[str, list[str]] = {}
    for key, needs in before.items():
        for needed in needs:
            after.setdefault(needed, []).append(key)
    ready = [(ranks[key], key) for key, needs in waiting.items() if not needs]
    heapq.heapify(ready)
    held = sorted((ranks[key], key) for key in ranks)
    done: dict[str, None] = {}
    next_held = 0
    while len(done) < len(ranks):
        if not ready:
            while held[next_held][1] in done:
                next_held += 1
            ready.append(held[next_held])
        _, key = heapq.heappop(ready)
        if key in done:
            continue
        done[key] = None
        for follower in after.get(key, ()):
            waiting[follower].discard(key)
            if not waiting[follower] and follower not in done:
                heapq.heappush(ready, (ranks[follower], follower))
    return list(done)


def _with_fixed(order: list[str], fixed: Mapping[str, int]) -> list[str]:
    """Put climbs whose place was fixed by hand at that place; the others keep their order around them."""
    free = iter(key for key in order if key not in fixed)
    places: dict[int, str] = {}
    for key, place in sorted(fixed.items(), key=lambda row: (row[1], row[0])):
        at = place
        while at in places:
            at += 1
        places[at] = key
    result = []
    for place in range(1, len(order) + 1):
        found = places.pop(place, None) or next(free, None)
        if found is not None:
            result.append(found)
    return [*result, *(key for _, key in sorted(places.items()))]


@dataclass
class _Group:
    """What hangs at one climb."""

    mounts: list[MountRow]
    radios: list[str]
    cameras: list[str]


def _groups(mounts: Iterable[MountRow]) -> dict[str, _Group]:
    groups: dict[str, _Group] = {}
    for row in mounts:
        if row.radios or row.cameras:
            group = groups.setdefault(row.climb, _Group([], [], []))
            group.mounts.append(row)
            group.radios += row.radios
            group.cameras += row.cameras
    return groups


def climb_rows(job: Job, mounts: tuple[MountRow, ...], graph: Graph | None = None) -> tuple[ClimbRow, ...]:
    """Return the climbs in the order of the work.

    Head end outwards along the routes; an access point before its stations; every mount once, mounts of one way up
    together; a place fixed by hand is kept.

    Parameters
    ----------
    job : Job
        The indexed site.
    mounts : tuple of MountRow
        Its mounts; those that carry nothing need no climb.
    graph : Graph or None
        The site's graph, if already built.
    """
    known, groups = graph or build_graph(job), _groups(mounts)
    of_mount = {row.id: row.climb for row in mounts}
    ranks = {
        key: min((_rank(known, radio_id) for radio_id in group.radios), default=(_FAR, _FAR, key))
        for key, group in groups.items()
    }
    before: dict[str, set[str]] = {key: set() for key in groups}
    for hop in job.hops.values():
        first = of_mount.get(job.radios[hop.access_point].mount)
        second = of_mount.get(job.radios[hop.station].mount)
        if first is not None and second is not None and first != second:
            before[second].add(first)
    fixed = {key: job.climbs[key].order for key in groups if key in job.climbs and job.climbs[key].order is not None}
    order = _with_fixed(
        _sorted_by_need(ranks, before), {key: place for key, place in fixed.items() if place is not None}
    )
    return tuple(_row(job, known, key, groups[key], number) for number, key in enumerate(order, start=1))


def _row(job: Job, graph: Graph, climb_id: str, group: _Group, number: int) -> ClimbRow:
    climb = job.climbs.get(climb_id)
    highest_m = max(row.height_above_ground_m for row in group.mounts) + _ABOVE_MOUNT_M
    role = {key: 0 if job.radios[key].role == "access_point" else 1 for key in group.radios}
    radios = sorted(group.radios, key=lambda key: (_rank(graph, key)[0], role[key], key))
    return ClimbRow(
        id=climb_id,
        name=climb.title if climb else group.mounts[0].name,
        order=number,
        way=climb.way if climb else "unknown",
        reach_m=climb.reach_m if climb and climb.reach_m is not None else highest_m,
        key=climb.key if climb else "",
        mounts=tuple(row.id for row in group.mounts),
        radios=tuple(radios),
        cameras=tuple(sorted(group.cameras)),
        structure=group.mounts[0].structure_name,
    )


def sheet_order(job: Job, climbs: tuple[ClimbRow, ...]) -> SheetOrder:
    """Return the order of the sheets: by climb, within it as the climb's row lists its radios.

    Parameters
    ----------
    job : Job
        The indexed site.
    climbs : tuple of ClimbRow
        Climbs in order.
    """
    numbers: dict[str, int] = {}
    for climb in climbs:
        for radio_id in climb.radios:
            numbers[radio_id] = len(numbers) + 1
    later = {
        key: tuple(far for far in job.far_ends(key) if numbers.get(far, 0) > number) for key, number in numbers.items()
    }
    return SheetOrder(
        climb_order={climb.id: climb.order for climb in climbs},
        sheet_number=numbers,
        first_up={key: bool(later[key]) and len(later[key]) == len(job.far_ends(key)) for key in numbers},
        looks_at_later=later,
    )
