"""The power forest: what feeds what, over which wire, through which port, and whether the two fit."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from survey_app.assess.demand import camera_type
from survey_app.assess.graph import device_type, things_joined
from survey_app.assess.job import Job
from survey_app.site.gear_part import PowerInput, PowerOutput
from survey_app.site.gear_type import BatteryType

__all__ = ["Feed", "Forest", "build_forest", "inputs_of", "misfit", "needs_supply", "outputs_of", "source_volts_v"]

_STANDARD = frozenset({"802.3af", "802.3at", "802.3bt"})
_ANY_PAIRS = frozenset({"both", "terminals", "none"})


@dataclass(frozen=True, slots=True)
class Feed:
    """How a thing is fed.

    Parameters
    ----------
    parent : str
        The supply, device or radio that feeds it.
    wire : str or None
        Over which wire; None = directly, in the same place.
    output, input : PowerOutput, PowerInput or None
        The kind of port it hangs on and the way it takes the supply; None where that is not known.
    problem : str or None
        Why the two do not fit.
    """

    parent: str
    wire: str | None
    output: PowerOutput | None = None
    input: PowerInput | None = None
    problem: str | None = None


@dataclass(frozen=True)
class Forest:
    """Everything that is fed.

    Parameters
    ----------
    feeds : mapping of str to Feed
        How each fed thing is fed.
    children : mapping of str to tuple of str
        What each thing feeds, ordered by wire then id.
    order : tuple of str
        Fed things that have a source, each after what feeds it.
    source : mapping of str to str
        The supply at the root of each of them.
    unfed : mapping of str to tuple of str
        Things that need a supply and have none, by the thing where the chain breaks off.
    again : mapping of str to tuple of str
        Further feeders of a thing that has more than one.
    """

    feeds: Mapping[str, Feed]
    children: Mapping[str, tuple[str, ...]]
    order: tuple[str, ...]
    source: Mapping[str, str]
    unfed: Mapping[str, tuple[str, ...]]
    again: Mapping[str, tuple[str, ...]]

    def chain(self, thing_id: str) -> tuple[str, ...]:
        """Return the things from the source down to a thing, it included."""
        links, here = [thing_id], self.feeds.get(thing_id)
        while here is not None and here.parent not in links:
            links.append(here.parent)
            here = self.feeds.get(here.parent)
        return tuple(reversed(links))


def inputs_of(job: Job, thing_id: str) -> tuple[PowerInput, ...]:
    """Return the ways in which a thing can be fed; empty for one whose type is not known or that needs none."""
    if thing_id in job.radios:
        radio_type = job.radio_type(job.radios[thing_id])
        return radio_type.power_inputs if radio_type else ()
    if thing_id in job.cameras:
        kind = camera_type(job, job.cameras[thing_id])
        return kind.power_inputs if kind else ()
    device = device_type(job, thing_id)
    return device.power_inputs if device else ()


def source_volts_v(job: Job, supply_id: str, *, low: bool) -> float | None:
    """Return the voltage of a direct-current source, its lowest in use on request; None for the mains. [V]"""
    supply = job.supplies[supply_id]
    if supply.kind == "mains":
        return None
    battery = job.gear.get(supply.battery) if supply.battery else None
    nominal = supply.volts_v or (battery.volts_v if isinstance(battery, BatteryType) else None)
    return (supply.volts_low_v or nominal) if low else nominal


def outputs_of(job: Job, thing_id: str) -> tuple[PowerOutput, ...]:
    """Return the kinds of port through which a thing feeds others."""
    if thing_id in job.supplies:
        if job.supplies[thing_id].kind == "mains":
            return (PowerOutput(scheme="mains", volts_v=230.0, watts_w=10000.0, ports=96, pairs="none"),)
        volts = source_volts_v(job, thing_id, low=False)
        if volts is None:
            return ()
        return (PowerOutput(scheme="dc", volts_v=volts, watts_w=10000.0, ports=96, pairs="terminals"),)
    if thing_id in job.radios:
        radio_type = job.radio_type(job.radios[thing_id])
        return (radio_type.pass_output,) if radio_type and radio_type.pass_output else ()
    device = device_type(job, thing_id)
    return device.power_outputs if device else ()


def needs_supply(job: Job, thing_id: str) -> bool:
    """Return whether a thing needs a supply of its own: radios, network cameras, devices that take one."""
    camera = job.cameras.get(thing_id)
    return bool(inputs_of(job, thing_id)) and not (camera is not None and camera.analogue)


def _same_scheme(output: PowerOutput, given: PowerInput) -> bool:
    if output.scheme in _STANDARD:
        return given.scheme in _STANDARD
    return given.scheme == output.scheme or (output.scheme == "dc" and given.scheme == "passive")


def misfit(output: PowerOutput, given: PowerInput) -> str | None:
    """Return why a thing with this input must not hang on this output, or None where it may.

    A voltage that is too low is for the cable to say.
    """
    if not _same_scheme(output, given):
        wanted = f"{given.volts_min_v:g} to {given.volts_max_v:g} V {given.scheme}"
        return f"gives {output.volts_v:g} V {output.scheme}, but {wanted} is taken"
    if output.scheme == "mains":
        return None
    high = output.volts_v * (1.0 + output.tolerance_percent / 100.0)
    if high > given.volts_max_v + 1e-9:
        return f"gives up to {high:.1f} V, but at most {given.volts_max_v:g} V is stood"
    pairs = {output.pairs, given.pairs}
    if output.scheme == "passive" and len(pairs) == 2 and not pairs & _ANY_PAIRS:
        return f"puts the supply on {output.pairs}, but it is taken on {given.pairs}"
    return None


def _fit(output: PowerOutput, inputs: Sequence[PowerInput]) -> tuple[PowerInput, str | None]:
    """The input that fits an output best, and why even that one does not fit."""
    tried = [(given, misfit(output, given)) for given in inputs]
    fitting = [row for row in tried if row[1] is None]
    near = [row for row in tried if _same_scheme(output, row[0])]
    return (fitting or near or tried)[0]


def _candidates(job: Job) -> Iterator[tuple[str, str, str | None]]:
    """Yield (fed thing, feeder, wire); direct feeds first, then wires by id."""
    feeders = job.supplies.keys() | job.devices.keys() | job.radios.keys()
    fed = job.radios.keys() | job.cameras.keys() | job.devices.keys()
    for device_id, device in sorted(job.devices.items()):
        if device.fed_from in feeders and device.fed_from is not None:
            yield device_id, device.fed_from, None
    for wire_id, wire in sorted(job.wires.items()):
        a, b = things_joined(job, wire)
        giver, taker = (a, b) if wire.power == "a_to_b" else (b, a)
        if wire.power != "none" and giver in feeders and taker in fed and giver != taker:
            yield taker, giver, wire_id


def _feed(job: Job, thing_id: str, parent: str, wire_id: str | None, taken: list[int]) -> Feed:
    """Give a thing a port of its feeder: the first kind that fits and has one left."""
    inputs, outputs = inputs_of(job, thing_id), outputs_of(job, parent)
    if wire_id is not None and job.wires[wire_id].medium in ("fibre", "existing"):
        return Feed(parent, wire_id, None, None, f"{wire_id} is no copper of yours and carries no supply")
    if not outputs:
        unknown = parent in job.supplies
        return Feed(parent, wire_id, None, inputs[0] if inputs else None, None if unknown else "has no port that feeds")
    if not inputs:
        return Feed(parent, wire_id, outputs[0], None, None)
    fits = [(number, *_fit(output, inputs)) for number, output in enumerate(outputs)]
    fitting = [row for row in fits if row[2] is None]
    free = [row for row in fitting if taken[row[0]] < outputs[row[0]].ports]
    number, given, problem = (free or fitting or fits)[0]
    if fitting and not free:
        ports = outputs[number].ports
        problem = f"has {ports} port{'s' if ports > 1 else ''} of that kind and no free one"
    taken[number] += 1
    return Feed(parent, wire_id, outputs[number], given, problem)


def build_forest(job: Job) -> Forest:
    """Find what feeds what.

    Parameters
    ----------
    job : Job
        The indexed site.

    Returns
    -------
    Forest
        A thing with several feeders is taken as fed directly, else over the wire with the smallest id.
    """
    chosen: dict[str, tuple[str, str | None]] = {}
    again: dict[str, list[str]] = {}
    for thing_id, parent, wire_id in _candidates(job):
        if thing_id in chosen:
            again.setdefault(thing_id, []).append(parent)
        else:
            chosen[thing_id] = (parent, wire_id)
    children: dict[str, list[str]] = {}
    for thing_id, (parent, wire_id) in sorted(chosen.items(), key=lambda row: (row[1][1] or "", row[0])):
        del wire_id
        children.setdefault(parent, []).append(thing_id)
    feeds: dict[str, Feed] = {}
    for parent, fed in children.items():
        taken = [0] * len(outputs_of(job, parent))
        for thing_id in fed:
            feeds[thing_id] = _feed(job, thing_id, parent, chosen[thing_id][1], taken)
    order, source = _downwards(job, children)
    return Forest(
        feeds=feeds,
        children={parent: tuple(fed) for parent, fed in children.items()},
        order=order,
        source=source,
        unfed=_unfed(job, feeds, source),
        again={thing_id: tuple(parents) for thing_id, parents in again.items()},
    )


def _downwards(job: Job, children: Mapping[str, Sequence[str]]) -> tuple[tuple[str, ...], dict[str, str]]:
    source: dict[str, str] = {}
    queue = deque(sorted(job.supplies))
    order = []
    while queue:
        here = queue.popleft()
        for thing_id in children.get(here, ()):
            if thing_id not in source:
                source[thing_id] = source.get(here, here)
                order.append(thing_id)
                queue.append(thing_id)
    return tuple(order), source


def _unfed(job: Job, feeds: Mapping[str, Feed], source: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    groups: dict[str, list[str]] = {}
    for thing_id in [*sorted(job.devices), *sorted(job.radios), *sorted(job.cameras)]:
        if thing_id in source or not needs_supply(job, thing_id):
            continue
        seen = [thing_id]
        while (feed := feeds.get(seen[-1])) is not None and feed.parent not in seen:
            seen.append(feed.parent)
        # a ring of feeders has no end: its smallest id stands for it
        root = min(seen[seen.index(feed.parent) :]) if feed is not None else seen[-1]
        groups.setdefault(root, []).append(thing_id)
    return {root: tuple(things) for root, things in groups.items()}
