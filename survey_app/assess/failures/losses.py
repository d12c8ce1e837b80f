"""What is lost with one thing: itself, what hangs on its mount, and everything that it alone feeds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from survey_app.assess.feeding import Forest
from survey_app.assess.job import Job

__all__ = ["FailureKind", "Loss", "Powering", "losses"]

FailureKind = Literal["radio", "hop", "wire", "device", "supply", "mount"]


@dataclass(frozen=True, slots=True)
class Loss:
    """One thing that fails, with all that goes with it.

    Parameters
    ----------
    subject : str
        What fails.
    kind : {"radio", "hop", "wire", "device", "supply", "mount"}
        What it is; a mount fails with everything that hangs on it.
    things, legs : frozenset of str
        Radios, cameras and devices that work no longer, and hops and wires that carry no more.
    """

    subject: str
    kind: FailureKind
    things: frozenset[str]
    legs: frozenset[str]


class Powering:
    """What each thing is fed by, further feeders included: it goes without power only when all of them fail."""

    def __init__(self, job: Job, forest: Forest) -> None:
        self._feeders: dict[str, set[tuple[str, str | None]]] = {}
        self._fed: dict[str, set[str]] = {}
        for thing_id, feed in forest.feeds.items():
            self._feeders[thing_id] = {(feed.parent, feed.wire)}
            self._fed.setdefault(feed.parent, set()).add(thing_id)
        for thing_id, parents in forest.again.items():
            for parent in parents:
                self._feeders[thing_id].add((parent, _second_wire(job, thing_id, parent, forest)))
                self._fed.setdefault(parent, set()).add(thing_id)
        self._by_wire: dict[str, set[str]] = {}
        for thing_id, feeders in self._feeders.items():
            for _, wire in feeders:
                if wire is not None:
                    self._by_wire.setdefault(wire, set()).add(thing_id)

    def dark(self, things: Iterable[str], wires: Iterable[str] = ()) -> frozenset[str]:
        """Return what works no longer when these things fail and these wires are cut, themselves included."""
        gone, cut = set(things), set(wires)
        stack = [fed for key in gone for fed in self._fed.get(key, ())]
        stack += [fed for wire in cut for fed in self._by_wire.get(wire, ())]
        while stack:
            here = stack.pop()
            if here in gone or not all(parent in gone or wire in cut for parent, wire in self._feeders[here]):
                continue
            gone.add(here)
            stack.extend(self._fed.get(here, ()))
        return frozenset(gone)


def _second_wire(job: Job, thing_id: str, parent: str, forest: Forest) -> str | None:
    """The wire over which a further feeder feeds a thing; None where it feeds it directly."""
    first = forest.feeds[thing_id].wire
    for wire_id in job.wires_at.get(thing_id, ()):
        ends = {job.wires[wire_id].a.thing, job.wires[wire_id].b.thing}
        if wire_id != first and parent in ends and job.wires[wire_id].power != "none":
            return wire_id
    return None


def losses(job: Job, forest: Forest) -> Iterator[Loss]:
    """Yield every single failure of a site: hops, radios, wires, devices, supplies, mounts, each by id.

    Parameters
    ----------
    job : Job
        The indexed site.
    forest : Forest
        What feeds what.
    """
    powering = Powering(job, forest)
    none: frozenset[str] = frozenset()
    for hop_id in sorted(job.hops):
        yield Loss(hop_id, "hop", none, frozenset({hop_id}))
    for radio_id in sorted(job.radios):
        yield Loss(radio_id, "radio", powering.dark([radio_id]), none)
    for wire_id in sorted(job.wires):
        yield Loss(wire_id, "wire", powering.dark((), [wire_id]), frozenset({wire_id}))
    for device_id in sorted(job.devices):
        yield Loss(device_id, "device", powering.dark([device_id]), none)
    for supply_id in sorted(job.supplies):
        yield Loss(supply_id, "supply", powering.dark([supply_id]) - {supply_id}, none)
    hanging = _hanging(job)
    for mount_id in sorted(hanging):
        yield Loss(mount_id, "mount", powering.dark(hanging[mount_id]), none)


def _hanging(job: Job) -> Mapping[str, list[str]]:
    found: dict[str, list[str]] = {}
    for things in (job.radios, job.cameras, job.devices):
        for key, thing in things.items():
            if thing.mount is not None:
                found.setdefault(thing.mount, []).append(key)
    return found
