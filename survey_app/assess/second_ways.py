"""The most valuable second way: which two switches to join, how many cameras that saves, and what it costs."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations

from survey_app.assess.failures import losses
from survey_app.assess.feeding import build_forest, misfit
from survey_app.assess.graph import Edge, Graph, build_graph, device_type, port_count, with_leg
from survey_app.assess.job import Job
from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment, HopRow
from survey_app.assess.wires import mount_of, spot_of
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.naming import fresh_id
from survey_app.site.edits.radio import set_power
from survey_app.site.edits.sharing import rebuilt
from survey_app.site.edits.together import add_with
from survey_app.site.gear_part import PowerInput, PowerOutput
from survey_app.site.gear_type import DeviceType, RadioType
from survey_app.site.mount import Mount
from survey_app.site.network import Device, Wire, WireEnd
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Site
from survey_app.site.thing import Thing
from survey_app.spectrum.regions import Regions, load_regions

__all__ = ["SecondWay", "second_ways"]

_NEAREST = 8
_TRIED = 4
_OF_EACH = 2
_APART = 8  # two widths of 20 MHz, in channel numbers
_LOWER_M = 0.8  # a second unit hangs so far under the first: out of its beam and within the same climb
_BETWEEN = frozenset({"converter", "injector"})
_AIMED_DBM = -40.0  # five under what is too strong
_LEAD_M = 10.0  # from a switch up to its unit, where nobody has measured; practice
_CHANNELS = (149, 157, 165, 100, 108, 116, 124, 132, 140, 36, 44)


@dataclass(frozen=True)
class SecondWay:
    """Two switches that a hop or wire would join.

    Parameters
    ----------
    a, b : str
        The switches.
    kind : {"hop", "wire"}
        A wire inside one structure, a hop between two.
    distance_m : float
        Between them on the plan. [m]
    dark_before, dark_after : int
        Cameras that go dark, summed over all single failures, now and with the second way.
    margin_db : float or None
        Worse margin at the needed rate of the hop; None of a wire. [dB]
    hours : float
        Work that it adds to the tally. [h]
    price : float or None
        What the units add, in the currency of the price list; None where a price is blank.
    parts : tuple of (str, float)
        What the tally gains, and how many.
    edit : Edit
        Draws it.
    """

    a: str
    b: str
    kind: str
    distance_m: float
    dark_before: int
    dark_after: int
    margin_db: float | None
    hours: float
    price: float | None
    parts: tuple[tuple[str, float], ...]
    edit: Edit

    @property
    def saved(self) -> int:
        """Cameras that stay bright, summed over all single failures."""
        return self.dark_before - self.dark_after


@dataclass(frozen=True, slots=True)
class _Pair:
    a: str
    b: str
    kind: str
    distance_m: float
    dark: int


def second_ways(
    site: Site,
    regions: Regions | None = None,
    before: Assessment | None = None,
    most: int = 3,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[SecondWay, ...]:
    """Return the second ways that are worth most, each tried on a copy of the site.

    Parameters
    ----------
    site : Site
        The document; it is not changed.
    regions : Regions or None
        Radio rules; None reads those that travel with the program.
    before : Assessment or None
        The assessment of the site as it stands, if at hand.
    most : int, default 3
        So many at the most.
    progress : callable or None
        Told before each trial how many are done, of how many; what it raises ends the search.

    Returns
    -------
    tuple of SecondWay
        Those that save most first; only ways that bring no new stop, whose hop is clear as drawn and keeps its margin.
        None where no two switches have a port left, or where nothing is saved.
    """
    rules = regions if regions is not None else load_regions()
    now = before if before is not None else assess(site, rules)
    job = Job(site)
    graph = build_graph(job)
    dark_now = _dark(job, graph)
    pairs = sorted(_pairs(job, graph), key=lambda row: (row.dark, row.distance_m, row.a, row.b))
    found: list[SecondWay] = []
    worth = [row for row in pairs if row.dark < dark_now and next(_drawn(job, row), None) is not None]
    trials = worth[:_TRIED]
    for number, pair in enumerate(trials):
        if progress is not None:
            progress(number, len(trials))
        tried = _tried(job, rules, now, pair, dark_now)
        if tried is not None:
            found.append(tried)
        if len(found) == most:
            break
    return tuple(found)


def _dark(job: Job, graph: Graph) -> int:
    """Cameras that go dark, summed over all single failures."""
    count = 0
    for loss in losses(job, build_forest(job)):
        instead = graph.without(loss.things, loss.legs)
        count += sum(row is None and key in job.cameras for key, row in instead.items())
    return count


def _pairs(job: Job, graph: Graph) -> Iterator[_Pair]:
    spots = {key: spot for key in _switches(job, graph) if (spot := spot_of(job, job.placed, key)) is not None}
    joined = {frozenset((leg.a, leg.b)) for legs in graph.legs.values() for leg in legs}
    near: set[tuple[str, str]] = set()
    for here in spots:
        others = sorted((math.dist(spots[here], spots[far]), far) for far in spots if far != here)
        near |= {(min(here, far), max(here, far)) for _, far in others[:_NEAREST]}
    for a, b in combinations(sorted(spots), 2):
        if (a, b) in near and frozenset((a, b)) not in joined:
            kind = "wire" if _structure(job, a) == _structure(job, b) else "hop"
            edge = Edge("hop" if kind == "hop" else "wire", "second-way", a, b)
            yield _Pair(a, b, kind, math.dist(spots[a], spots[b]), _dark(job, with_leg(job, graph, edge)))


def _switches(job: Job, graph: Graph) -> Iterator[str]:
    """Switches that come home and have a port left."""
    for key in sorted(job.devices):
        kind, ports = device_type(job, key), port_count(job, key)
        wires = [one for one in job.wires_at.get(key, ()) if job.wires[one].medium != "dc"]
        if kind is None or kind.kind != "switch" or key not in graph.reached:
            continue
        if ports is not None and len(wires) < ports:
            yield key


def _structure(job: Job, device_id: str) -> str | None:
    mount = mount_of(job, device_id)
    return job.mounts[mount].structure if mount in job.mounts else job.devices[device_id].structure


def _tried(job: Job, rules: Regions, now: Assessment, pair: _Pair, dark_now: int) -> SecondWay | None:
    stops = {row.id for row in now.findings if row.severity == "stop"}
    for drawn, hop_id in _drawn(job, pair):
        edit = drawn if hop_id is None else _quieter(drawn, assess(drawn.after, rules), hop_id)
        after = assess(edit.after, rules)
        if any(row.severity == "stop" and row.id not in stops for row in after.findings):
            continue
        margin = None if hop_id is None else _margin_db(after.hop(hop_id))
        if hop_id is not None and (margin is None or not after.hop(hop_id).line_of_sight):
            continue
        if margin is not None and margin < after.hop(hop_id or "").wanted_margin_db - _SLACK_DB:
            continue
        parts, hours, price = _cost(now, after)
        return SecondWay(
            pair.a, pair.b, pair.kind, pair.distance_m, dark_now, pair.dark, margin, hours, price, parts, edit
        )
    return None


_SLACK_DB = 0.05


def _quieter(drawn: Edit, found: Assessment, hop_id: str) -> Edit:
    """Return the edit with both units held to a power at which neither is too strong while aimed."""
    hop = found.hop(hop_id)
    read = (hop.ends.access_point.expected_reading_dbm, hop.ends.station.expected_reading_dbm)
    over_db = max((one - _AIMED_DBM for one in read if one is not None), default=0.0)
    if over_db <= 0.0:
        return drawn
    site = drawn.after
    for radio_id in (hop.access_point, hop.station):
        sent_dbm = found.radio(radio_id).tx_power_total_dbm
        if sent_dbm is not None:
            site = set_power(site, radio_id, ceiling_dbm=max(0.0, math.floor(sent_dbm - over_db))).after
    return drawn._replace(after=site)


def _margin_db(hop: HopRow) -> float | None:
    ways = (hop.directions.to_access_point.margin_at_needed_rate_db, hop.directions.to_station.margin_at_needed_rate_db)
    known = [one for one in ways if one is not None]
    return min(known) if len(known) == len(ways) else None


def _drawn(job: Job, pair: _Pair) -> Iterator[tuple[Edit, str | None]]:
    """Yield edits that draw the way, and the id of its hop: of a hop one for each unit and channel worth a try."""
    site = job.site
    if pair.kind == "wire":
        wire = Wire(id=fresh_id(site, "W"), a=WireEnd(thing=pair.a), b=WireEnd(thing=pair.b), outdoors=False)
        yield add_with(site, (wire,), label=f"Second way: wire {pair.a} to {pair.b}"), None
        return
    ends = tuple(_seat(job, key) for key in (pair.a, pair.b))
    if ends[0] is None or ends[1] is None:
        return
    for radio_type in _units(job)[:_OF_EACH]:
        feeds = [_feed(job, key, radio_type) for key in (pair.a, pair.b)]
        if None in feeds:
            continue
        for channel in _channels(job, radio_type)[:_OF_EACH]:
            things = _Hop(job, pair, (ends[0], ends[1]), radio_type.id, channel, (feeds[0], feeds[1])).things()
            hop_id = next(one.id for one in things if isinstance(one, Hop))
            yield add_with(site, things, label=f"Second way: hop from {pair.a} to {pair.b}"), hop_id


def _channels(job: Job, unit: RadioType) -> list[int]:
    """Channels that no cell uses, nearest to one that the site has for this unit: likely under the same rule."""
    used = {radio.channel for radio in job.radios.values() if radio.channel is not None}
    alike = [radio.channel for radio in job.radios.values() if radio.channel is not None and radio.gear == unit.id]
    free = [one for one in _CHANNELS if all(abs(one - other) >= _APART for other in used)]
    return sorted(free, key=lambda one: min((abs(one - other) for other in alike or used), default=0))


def _units(job: Job) -> list[RadioType]:
    """Outdoor units with an antenna of their own that the site has, those that it has most of first."""
    counts: dict[str, int] = {}
    for radio in job.radios.values():
        counts[radio.gear] = counts.get(radio.gear, 0) + 1
    types = [one for one in job.gear.values() if isinstance(one, RadioType) and one.pattern and not one.indoor]
    return sorted((one for one in types if one.id in counts), key=lambda one: (-counts[one.id], one.id))


def _seat(job: Job, switch: str) -> Mount | None:
    """The mount under which a unit of this switch hangs: its own, or one of its structure that carries a radio."""
    own = mount_of(job, switch)
    if own in job.mounts:
        return job.mounts[own]
    carrying = {radio.mount for radio in job.radios.values()}
    seats = [key for key in sorted(carrying) if job.mounts[key].structure == job.devices[switch].structure]
    return job.mounts[seats[0]] if seats else None


def _fits(outputs: tuple[PowerOutput, ...], inputs: tuple[PowerInput, ...]) -> bool:
    return any(misfit(output, given) is None for output in outputs for given in inputs)


def _feed(job: Job, switch: str, radio: RadioType) -> str | None:
    """How a switch feeds a unit: "" = by itself, else the gear id of a converter of the site; None = not at all."""
    kind = device_type(job, switch)
    outputs = kind.power_outputs if kind is not None else ()
    fed = len(build_forest(job).children.get(switch, ()))
    if fed >= sum(output.ports for output in outputs):
        return None
    if _fits(outputs, radio.power_inputs):
        return ""
    for one in sorted(job.gear.values(), key=lambda row: row.id):
        if not isinstance(one, DeviceType) or one.kind not in _BETWEEN:
            continue
        if _fits(outputs, one.power_inputs) and _fits(one.power_outputs, radio.power_inputs):
            return one.id
    return None


@dataclass(frozen=True)
class _Hop:
    """A hop to be drawn between two switches."""

    job: Job
    pair: _Pair
    seats: tuple[Mount, Mount]
    gear: str
    channel: int
    feeds: tuple[str | None, str | None]

    def things(self) -> tuple[Thing, ...]:
        """Return mounts, radios with their supply, and the hop; the access point hangs at the first switch."""
        site, new = self.job.site, list[Thing]()
        radios: list[str] = []
        for n, (switch, seat) in enumerate(zip((self.pair.a, self.pair.b), self.seats, strict=True)):
            mount = rebuilt(seat, seat.id, id=fresh_id(site, f"{seat.id}-second"), name="", height_m=self._height(seat))
            radio_id = fresh_id(site, f"{switch}-second")
            radios.append(radio_id)
            role, channel = ("access_point", self.channel) if n == 0 else ("station", None)
            new += [mount, Radio(id=radio_id, role=role, gear=self.gear, mount=mount.id, channel=channel)]  # type: ignore[arg-type]  # one of the two words
            new += self._supply(switch, radio_id, self.feeds[n] or "")
        new.append(Hop(id=fresh_id(site, "second"), access_point=radios[0], station=radios[1]))
        return tuple(new)

    @staticmethod
    def _height(seat: Mount) -> float:
        return seat.height_m - _LOWER_M if seat.height_m > 2.0 * _LOWER_M else seat.height_m + _LOWER_M

    def _supply(self, switch: str, radio_id: str, converter: str) -> list[Thing]:
        gear = next((wire.gear for wire in self.job.wires.values() if wire.gear and wire.power != "none"), None)
        lead = Wire(
            id=f"w-{radio_id}", a=WireEnd(thing=switch), b=WireEnd(thing=radio_id), gear=gear, length_m=_LEAD_M,
            power="a_to_b",
        )  # fmt: skip
        if not converter:
            return [lead]
        beside = self.job.devices[switch]
        box = Device(
            id=f"tap-{radio_id}", gear=converter, structure=beside.structure, mount=beside.mount,
            position=beside.position, environment=beside.environment, enclosure=beside.enclosure,
        )  # fmt: skip
        short = Wire(
            id=f"p-{radio_id}", a=WireEnd(thing=switch), b=WireEnd(thing=box.id), power="a_to_b", length_m=1.0,
            outdoors=False, protectors="none",
        )  # fmt: skip
        return [box, short, rebuilt(lead, lead.id, a=WireEnd(thing=box.id))]


def _cost(now: Assessment, after: Assessment) -> tuple[tuple[tuple[str, float], ...], float, float | None]:
    """What the tally gains: parts, hours, and the price of the parts."""
    had = {(row.what, row.unit, row.status): row.order for row in now.tally}
    parts, hours, price, blank = [], 0.0, 0.0, False
    for row in after.tally:
        more = row.order - had.get((row.what, row.unit, row.status), 0.0)
        if row.unit == "h":
            hours += more
        elif more > 0.0:
            parts.append((row.what, more))
            blank = blank or row.unit_price is None
            price += more * (row.unit_price or 0.0)
    return tuple(parts), hours, None if blank else price
