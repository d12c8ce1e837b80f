"""What arrives at every load: each tree behind a source is solved as one direct-current network, by night."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from survey_app.assess.demand import camera_type
from survey_app.assess.feeding import Feed, Forest, build_forest, needs_supply, source_volts_v
from survey_app.assess.graph import device_type
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.nulls import number, refused, unknown, without
from survey_app.assess.record import NullReason, SupplyLink, SupplyRow
from survey_app.assess.wires import WireRun
from survey_app.physics.solar import array_w, autonomy_days, daily_energy_wh
from survey_app.physics.supply import solve_tree
from survey_app.site.gear_type import BatteryType, EnclosureType, SolarType

__all__ = [
    "AUTONOMY_WANTED_DAYS",
    "RECHARGED_AFTER_DAYS",
    "Autonomy",
    "Fed",
    "Feeder",
    "Supplied",
    "arriving_by_wire",
    "box_of",
    "solve_supply",
    "supply_rows",
]

_STATES = 3
_NIGHT, _DAY, _START = range(_STATES)
#: Days that a battery has to last alone: with panels through bad weather, without them until it is charged again.
AUTONOMY_WANTED_DAYS = 3.0
RECHARGED_AFTER_DAYS = 1.0

_Watts = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Fed:
    """The state of one fed thing by night.

    Parameters
    ----------
    feed : Feed
        How it is fed.
    source : str
        The supply at the root.
    volts_v : float or None
        Voltage at its plug; None on the mains, where a length is unknown, or where nothing fits. [V]
    starts : bool or None
        Whether cable and load agree on a voltage at all; None where that cannot be said.
    starts_together : bool
        Whether that also holds while everything behind the source starts at once.
    own_w, load_w, port_w : float
        What it draws itself; with all that hangs on it, at its plug; the same at its feeder's port. [W]
    limit_w : float or None
        What that port can give, derated. [W]
    most_w : float or None
        Where nothing fits: the power at which it just would. [W]
    source_v : float or None
        Low end of the voltage at the port where its tree begins; None on the mains or where it is not known. [V]
    """

    feed: Feed
    source: str
    volts_v: float | None
    starts: bool | None
    starts_together: bool
    own_w: float
    load_w: float
    port_w: float
    limit_w: float | None
    most_w: float | None = None
    source_v: float | None = None


@dataclass(frozen=True, slots=True)
class Feeder:
    """What a device, radio or supply gives out by night, against what it can."""

    out_w: float
    limit_w: float | None
    nominal_w: float | None
    temperature_c: float | None


@dataclass(frozen=True, slots=True)
class Autonomy:
    """How long a battery lasts, and what its panel would have to be.

    Parameters
    ----------
    energy_wh : float
        What the loads take in a day, the mean of day and night. [Wh]
    days : float or None
        Without any charge; None where the source has no battery type. [day]
    panel_w, needed_w : float or None
        Rated power of the panels, and the power that the worst month asks for; None where there are none, or the sun
        hours are not known. [W]
    """

    energy_wh: float
    days: float | None
    panel_w: float | None
    needed_w: float | None


@dataclass(frozen=True)
class Supplied:
    """The solved supply of a site."""

    forest: Forest
    things: Mapping[str, Fed]
    feeders: Mapping[str, Feeder]
    autonomy: Mapping[str, Autonomy]


def box_of(job: Job, device_id: str) -> tuple[str, str] | None:
    """Return the box that a device shares with others of its place, or None where it is in none."""
    device = job.devices[device_id]
    if device.enclosure is None:
        return None
    if device.mount is not None:
        return device.enclosure, device.mount
    place = repr(device.position) if device.position is not None else ""
    return device.enclosure, f"{device.structure or device.id}{place}"


def _own_w(job: Job, thing_id: str) -> _Watts:
    """Own consumption by night, by day and while starting."""
    if thing_id in job.radios:
        radio = job.radio_type(job.radios[thing_id])
        return np.array([radio.watts_w, radio.watts_w, radio.watts_w * radio.inrush_factor] if radio else [0.0] * 3)
    if thing_id in job.cameras:
        kind = camera_type(job, job.cameras[thing_id])
        return np.array([kind.watts_night_w, kind.watts_day_w, kind.watts_day_w] if kind else [0.0] * 3)
    device = device_type(job, thing_id)
    return np.full(_STATES, device.own_w if device else 0.0)


@dataclass
class _Branch:
    """One tree behind a port of a regulated source: nodes in order, each after the one that feeds it."""

    head: str
    nodes: list[str]
    parents: list[int]
    loop_ohm: list[float]
    source_v: float


class _Solver:
    """Works from the far ends towards the sources; trees of one shape are solved side by side."""

    def __init__(self, job: Job, forest: Forest, runs: Mapping[str, WireRun]) -> None:
        self.job, self.forest, self.runs = job, forest, runs
        self.own = {thing_id: _own_w(job, thing_id) for thing_id in forest.order}
        self.passing = {thing_id for thing_id in forest.order if self._passes_volts(thing_id)}
        self.draw: dict[str, _Watts] = {}
        self.volts: dict[str, _Watts] = {}
        self.plug_w: dict[str, _Watts] = {}
        self.port_w: dict[str, _Watts] = {}
        self.unknown: set[str] = set()
        self.most_w: dict[str, float] = {}
        self.source_v: dict[str, float] = {}

    def _passes_volts(self, thing_id: str) -> bool:
        """Whether a thing hands on the voltage that it gets: a radio's second port, a switch fed at terminals."""
        feed = self.forest.feeds[thing_id]
        if feed.input is None:
            return False
        if thing_id in self.job.radios:
            radio = self.job.radio_type(self.job.radios[thing_id])
            return bool(radio and radio.pass_output and radio.pass_output.scheme == feed.input.scheme)
        device = device_type(self.job, thing_id)
        return bool(
            device and device.kind == "switch" and feed.input.scheme == "dc" and device.efficiency_fraction == 1
        )

    def solve(self) -> None:
        """Fill voltages and powers of every fed thing."""
        heights: dict[str, int] = {}
        levels: dict[int, list[str]] = {}
        roots = [key for key in (*sorted(self.job.supplies), *self.forest.order) if key not in self.passing]
        spans = {key: self._branches(key) for key in roots}
        for key in reversed(roots):
            below = (heights[n] for branch in spans[key] for n in branch.nodes if n in heights)
            heights[key] = 1 + max(below, default=0)
            levels.setdefault(heights[key], []).append(key)
        for _, keys in sorted(levels.items()):
            for key in keys:
                self._load_of_ends(spans[key])
            self._solve_level([branch for key in keys for branch in spans[key]])
            for key in keys:
                self._draw_of(key, spans[key])

    def _branches(self, key: str) -> list[_Branch]:
        volts = self._source_v(key)
        return [self._branch(child, volts) for child in self.forest.children.get(key, ())]

    def _source_v(self, key: str) -> float:
        """Low end of what a source gives; NaN on the mains."""
        if key in self.job.supplies:
            volts = source_volts_v(self.job, key, low=True)
            return math.nan if volts is None else volts
        return math.nan  # each port of a device has its own

    def _branch(self, head: str, source_v: float) -> _Branch:
        output = self.forest.feeds[head].output
        if math.isnan(source_v) and output is not None and output.scheme != "mains":
            source_v = output.volts_v * (1.0 - output.tolerance_percent / 100.0)
        branch = _Branch(head, [], [], [], source_v)
        stack = [(head, -1)]
        while stack:
            here, parent = stack.pop()
            branch.nodes.append(here)
            branch.parents.append(parent)
            branch.loop_ohm.append(self._loop_ohm(here))
            number = len(branch.nodes) - 1
            if here in self.passing:
                stack.extend((child, number) for child in reversed(self.forest.children.get(here, ())))
        return branch

    def _loop_ohm(self, thing_id: str) -> float:
        feed = self.forest.feeds[thing_id]
        if feed.wire is None or self.job.wires[feed.wire].medium in ("fibre", "existing"):
            return 0.0
        loop = self.runs[feed.wire].loop_ohm
        return math.nan if loop is None else loop

    def _load_of_ends(self, branches: list[_Branch]) -> None:
        for branch in branches:
            for node in branch.nodes:
                self.draw.setdefault(node, self.own[node])

    def _solve_level(self, branches: list[_Branch]) -> None:
        shapes: dict[tuple[int, ...], list[_Branch]] = {}
        for branch in branches:
            shapes.setdefault(tuple(branch.parents), []).append(branch)
        for parents, alike in shapes.items():
            loads = np.array([[self.draw[node] for node in branch.nodes] for branch in alike]).transpose(0, 2, 1)
            loops = np.array([branch.loop_ohm for branch in alike])[:, np.newaxis, :]
            source = np.array([branch.source_v for branch in alike])[:, np.newaxis]
            state = solve_tree(list(parents), loops, loads, source)
            for row, branch in enumerate(alike):
                self._keep(branch, state.voltage_v[row], state.current_a[row], loads[row])

    def _keep(self, branch: _Branch, volts: _Watts, current: _Watts, loads: _Watts) -> None:
        known = not (math.isnan(branch.source_v) or any(math.isnan(value) for value in branch.loop_ohm))
        plain = loads.copy()
        for node in range(len(branch.nodes) - 1, 0, -1):
            plain[:, branch.parents[node]] += plain[:, node]
        for node, thing_id in enumerate(branch.nodes):
            parent = branch.parents[node]
            above = volts[:, parent] if parent >= 0 else np.full(_STATES, branch.source_v)
            solved = np.isfinite(volts[:, node])
            self.volts[thing_id] = volts[:, node]
            self.source_v[thing_id] = branch.source_v
            # without an operating point the loads alone stand for the branch, so that its feeder can still be judged
            self.plug_w[thing_id] = np.where(solved, volts[:, node] * current[:, node], plain[:, node])
            self.port_w[thing_id] = np.where(solved, above * current[:, node], plain[:, node])
            if not known:
                self.unknown.add(thing_id)
        if known and len(branch.nodes) == 1 and math.isnan(volts[_NIGHT, 0]):
            self.most_w[branch.head] = branch.source_v**2 / (4.0 * branch.loop_ohm[0])

    def _draw_of(self, key: str, branches: list[_Branch]) -> None:
        if key in self.job.supplies:
            return
        device = device_type(self.job, key)
        efficiency = device.efficiency_fraction if device else 1.0
        out = sum((self.port_w[branch.head] for branch in branches), np.zeros(_STATES))
        self.draw[key] = self.own[key] + out / efficiency


def _temperatures(job: Job, out_w: Mapping[str, float]) -> dict[str, float]:
    """Temperature around each device: the air, its box warmed by what is lost in it, and the sun on it."""
    heat: dict[tuple[str, str], float] = {}
    for device_id in job.devices:
        kind, box = device_type(job, device_id), box_of(job, device_id)
        if kind is not None and box is not None:
            lost = kind.own_w + out_w.get(device_id, 0.0) * (1.0 / kind.efficiency_fraction - 1.0)
            heat[box] = heat.get(box, 0.0) + lost
    found = {}
    for device_id, device in job.devices.items():
        warm, box = job.defaults.air_temp_max_c, box_of(job, device_id)
        enclosure = job.gear.get(device.enclosure or "")
        if box is not None and isinstance(enclosure, EnclosureType):
            warm += enclosure.heat_k_per_w * heat.get(box, 0.0)
            warm += enclosure.sun_k if device.environment == "outdoors" else 0.0
        found[device_id] = warm
    return found


def _derated(job: Job, device_id: str, temperature_c: float) -> float:
    kind = device_type(job, device_id)
    if kind is None or kind.derate_above_c is None:
        return 1.0
    return max(0.0, 1.0 - kind.derate_percent_per_k / 100.0 * max(0.0, temperature_c - kind.derate_above_c))


def _feeders(job: Job, forest: Forest, port_w: Mapping[str, _Watts]) -> dict[str, Feeder]:
    out_w = {
        key: math.fsum(float(port_w[child][_NIGHT]) for child in fed if child in port_w)
        for key, fed in forest.children.items()
    }
    temperatures = _temperatures(job, out_w)
    found = {}
    for key in {*forest.children, *job.devices}:
        nominal = _nominal_w(job, key)
        temperature = temperatures.get(key)
        part = _derated(job, key, temperature) if temperature is not None else 1.0
        limit = nominal * part if nominal is not None else None
        found[key] = Feeder(out_w.get(key, 0.0), limit, nominal, temperature)
    return found


def _nominal_w(job: Job, key: str) -> float | None:
    if key in job.radios:
        radio = job.radio_type(job.radios[key])
        return radio.pass_output.watts_w if radio and radio.pass_output else None
    kind = device_type(job, key)
    if kind is None or not kind.power_outputs:
        return None
    ports = math.fsum(output.watts_w * output.ports for output in kind.power_outputs)
    return kind.budget_w if kind.budget_w is not None else ports


def _fed(job: Job, forest: Forest, solver: _Solver, feeders: Mapping[str, Feeder], thing_id: str) -> Fed:
    feed = forest.feeds[thing_id]
    volts = solver.volts[thing_id]
    known = thing_id not in solver.unknown
    port = feeders.get(feed.parent)
    part = port.limit_w / port.nominal_w if port and port.limit_w is not None and port.nominal_w else 1.0
    limit = feed.output.watts_w * part if feed.output is not None and feed.parent not in job.supplies else None
    return Fed(
        feed=feed,
        source=forest.source[thing_id],
        volts_v=float(volts[_NIGHT]) if np.isfinite(volts[_NIGHT]) else None,
        starts=bool(np.isfinite(volts[_NIGHT])) if known else None,
        starts_together=not known or bool(np.isfinite(volts[_START])),
        own_w=float(solver.own[thing_id][_NIGHT]),
        load_w=float(solver.plug_w[thing_id][_NIGHT]),
        port_w=float(solver.port_w[thing_id][_NIGHT]),
        limit_w=limit,
        most_w=solver.most_w.get(thing_id),
        source_v=number(solver.source_v[thing_id]),
    )


def _autonomy(job: Job, forest: Forest, solver: _Solver, supply_id: str) -> Autonomy:
    supply = job.supplies[supply_id]
    battery = job.gear.get(supply.battery or "")
    panel = job.gear.get(supply.panel or "")
    watts = sum((solver.port_w[child] for child in forest.children.get(supply_id, ())), np.zeros(_STATES))
    own_w = panel.own_w if isinstance(panel, SolarType) else 0.0
    energy_wh = float(daily_energy_wh((watts[_NIGHT] + watts[_DAY]) / 2.0 + own_w))
    days = None
    if isinstance(battery, BatteryType) and energy_wh > 0:
        stored_wh = battery.volts_v * battery.capacity_ah * max(supply.battery_count, 1)
        days = float(autonomy_days(stored_wh, energy_wh, battery.depth_fraction, battery.efficiency_fraction))
    if not isinstance(panel, SolarType):
        return Autonomy(energy_wh, days, None, None)
    needed_w = float(array_w(energy_wh, supply.sun_hours_per_day)) if supply.sun_hours_per_day else None
    return Autonomy(energy_wh, days, panel.peak_w * max(supply.panel_count, 1), needed_w)


def solve_supply(job: Job, runs: Mapping[str, WireRun], forest: Forest | None = None) -> Supplied:
    """Solve the supply of a whole site.

    Loads are taken by night (infrared on), cables at the site's worst temperature, sources at the low end of their
    tolerance. A radio's second port and a switch fed at terminals hand on the voltage that they get, so that they and
    what hangs on them are one network with their source; every other device makes its own voltage and is a load of
    constant power to what feeds it.

    Parameters
    ----------
    job : Job
        The indexed site.
    runs : mapping of str to WireRun
        Length and resistance of the wires.
    forest : Forest or None
        What feeds what, if already known.

    Returns
    -------
    Supplied
        The state of every fed thing and every feeder, and the autonomy of batteries.
    """
    trees = forest or build_forest(job)
    solver = _Solver(job, trees, runs)
    solver.solve()
    feeders = _feeders(job, trees, solver.port_w)
    things = {thing_id: _fed(job, trees, solver, feeders, thing_id) for thing_id in trees.order}
    stored = [key for key, supply in sorted(job.supplies.items()) if supply.kind in ("battery", "solar")]
    autonomy = {key: _autonomy(job, trees, solver, key) for key in stored if key in trees.children}
    return Supplied(trees, things, feeders, autonomy)


def arriving_by_wire(supplied: Supplied) -> dict[str, tuple[float | None, float | None]]:
    """Return power and voltage at the far end of every wire that carries the supply. [W], [V]"""
    return {
        fed.feed.wire: (fed.load_w, fed.volts_v)
        for fed in supplied.things.values()
        if fed.feed.wire is not None and fed.starts is not None
    }


def _kind_of(job: Job, thing_id: str) -> str:
    """Return the kind of a link: the source's, the device type's, `radio` or `camera`."""
    if thing_id in job.supplies:
        return job.supplies[thing_id].kind
    if thing_id in job.devices:
        kind = device_type(job, thing_id)
        return kind.kind if kind else "device"
    return "radio" if thing_id in job.radios else "camera"


def _chain(job: Job, supplied: Supplied, thing_id: str) -> tuple[SupplyLink, ...]:
    links = []
    for key in supplied.forest.chain(thing_id):
        fed, feeder = supplied.things.get(key), supplied.feeders.get(key)
        if fed is not None and fed.feed.wire is not None:
            links.append(
                SupplyLink(id=fed.feed.wire, kind="wire", volts_v=fed.volts_v, load_w=fed.port_w, limit_w=fed.limit_w)
            )
        volts = fed.volts_v if fed is not None else source_volts_v(job, key, low=True) if key in job.supplies else None
        load = fed.load_w if fed is not None else feeder.out_w if feeder is not None else None
        limit = feeder.limit_w if feeder is not None else None
        links.append(SupplyLink(id=key, kind=_kind_of(job, key), volts_v=volts, load_w=load, limit_w=limit))
    return tuple(links)


def _row(job: Job, supplied: Supplied, thing_id: str) -> SupplyRow:
    fed = supplied.things[thing_id]
    reasons: list[NullReason] = []
    if fed.volts_v is None:
        if fed.feed.output is not None and fed.feed.output.scheme == "mains":
            reasons += without(["volts_at_load"], "It is fed by the mains.")
        elif fed.starts is None:
            words = "Say the source's voltage, and draw or measure the cables that lead here."
            reasons += unknown(["volts_at_load"], words)
        else:
            words = "There is no voltage at which cable and load agree: it will not start."
            reasons += refused(["volts_at_load"], words)
    given = fed.feed.input
    if given is None:
        reasons += unknown(["volts_min", "volts_max"], "Its type does not say how it can be fed.")
    if fed.limit_w is None:
        reasons += without(["limit_w"], "What feeds it states no limit for one port.")
    return SupplyRow(
        id=thing_id,
        source=fed.source,
        volts_at_load=fed.volts_v,
        volts_min=given.volts_min_v if given else None,
        volts_max=given.volts_max_v if given else None,
        load_w=fed.load_w,
        limit_w=fed.limit_w,
        chain=_chain(job, supplied, thing_id),
        null_reasons=tuple(reasons),
    )


@dataclass(frozen=True)
class _Written:
    """What the rows are written from."""

    job: Job
    supplied: Supplied


def supply_rows(job: Job, supplied: Supplied, memo: Fresh | None = None) -> tuple[SupplyRow, ...]:
    """Return a row for every fed thing, and for every thing that needs a supply and has none.

    Parameters
    ----------
    job : Job
        The indexed site.
    supplied : Supplied
        Its solved supply.
    memo : Fresh or None
        What is known from an earlier value of the site.
    """
    unfed = {key for group in supplied.forest.unfed.values() for key in group}
    names = [key for key in sorted(unfed | set(supplied.things)) if needs_supply(job, key)]
    given = [(key, key in unfed) for key in names]
    return tuple((memo or Fresh()).watched("supplies", _Written(job, supplied), names, given, _written))


def _written(known: _Written, thing_id: str, unfed: bool) -> SupplyRow:
    if not unfed:
        return _row(known.job, known.supplied, thing_id)
    words = "Draw the way from a source of power to it."
    return SupplyRow(
        id=thing_id,
        source=None,
        volts_at_load=None,
        volts_min=None,
        volts_max=None,
        load_w=float(_own_w(known.job, thing_id)[_NIGHT]),
        limit_w=None,
        chain=(),
        null_reasons=tuple(unknown(["source", "volts_at_load", "volts_min", "volts_max", "limit_w"], words)),
    )
