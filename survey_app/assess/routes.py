"""Routes of the cameras' video to the head ends, and what they ask of each hop and wire."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from survey_app.assess.demand import CameraRate, camera_rates, camera_type
from survey_app.assess.graph import Edge, Graph, Reached, build_graph, device_type, things_joined
from survey_app.assess.job import Job
from survey_app.assess.loops import rings
from survey_app.assess.nulls import number
from survey_app.assess.record import CellRow, HopRow, Leg, RouteRow
from survey_app.assess.wires import cable_type
from survey_app.physics.latency import typical_latency_ms

__all__ = [
    "HopDemand",
    "LegLoad",
    "demand_by_hop",
    "demand_by_wire",
    "hop_latency_ms",
    "leg_loads",
    "port_speed_mbps",
    "route_rows",
    "wire_speed_mbps",
]


_ROUNDING_MBPS = 1e-9


@dataclass(frozen=True, slots=True)
class HopDemand:
    """What a hop has to carry each way; the planned figure of a direction is the higher of day and night.

    Parameters
    ----------
    to_access_point_mbps, to_station_mbps : float
        By day: video of the cameras on its way, and the return traffic of those that go the other way. [Mbit/s]
    night_to_access_point_mbps, night_to_station_mbps : float
        The same by night. [Mbit/s]
    cameras : tuple of str
        Cameras whose video crosses the hop.
    multicast : tuple of (str, float)
        Those of them that send it to a group, with what the network carries of each. [Mbit/s]
    """

    to_access_point_mbps: float = 0.0
    to_station_mbps: float = 0.0
    night_to_access_point_mbps: float = 0.0
    night_to_station_mbps: float = 0.0
    cameras: tuple[str, ...] = ()
    multicast: tuple[tuple[str, float], ...] = ()

    @property
    def peak_to_access_point_mbps(self) -> float:
        """Planned demand towards the access point. [Mbit/s]"""
        return max(self.to_access_point_mbps, self.night_to_access_point_mbps)

    @property
    def peak_to_station_mbps(self) -> float:
        """Planned demand towards the station. [Mbit/s]"""
        return max(self.to_station_mbps, self.night_to_station_mbps)


class LegLoad:
    """What crosses one leg: towards its `a` and towards its `b`, by day and by night. [Mbit/s]"""

    __slots__ = ("cameras", "day", "night")

    def __init__(self) -> None:
        self.day = [0.0, 0.0]
        self.night = [0.0, 0.0]
        self.cameras: list[str] = []

    def copy(self) -> LegLoad:
        """Return a load that can be changed by itself; which cameras it is made of is not taken along."""
        other = LegLoad()
        other.day, other.night = self.day.copy(), self.night.copy()
        return other

    def add(self, edge: Edge, toward: str, rate: CameraRate, return_fraction: float, times: float = 1.0) -> None:
        """Add one camera's video towards a thing and its return traffic the other way; -1 times takes it away."""
        forward, backward = (0, 1) if toward == edge.a else (1, 0)
        self.day[forward] += times * rate.network_day_mbps
        self.day[backward] += times * rate.day_mbps * return_fraction
        self.night[forward] += times * rate.network_night_mbps
        self.night[backward] += times * rate.night_mbps * return_fraction

    @property
    def peaks_mbps(self) -> tuple[float, float]:
        """Planned load towards `a` and towards `b`: the higher of day and night. [Mbit/s]"""
        return max(self.day[0], self.night[0]), max(self.day[1], self.night[1])

    @property
    def peak_mbps(self) -> float:
        """Planned load of the busier direction. [Mbit/s]"""
        return max(self.peaks_mbps)

    def exceeds(self, before: LegLoad | None) -> bool:
        """Return whether either direction carries more than before, by more than rounding."""
        was = before.peaks_mbps if before is not None else (0.0, 0.0)
        return any(now > then + _ROUNDING_MBPS for now, then in zip(self.peaks_mbps, was, strict=True))


def leg_loads(job: Job, graph: Graph) -> dict[str, LegLoad]:
    """Return what crosses every leg that video uses.

    Parameters
    ----------
    job : Job
        The indexed site.
    graph : Graph
        Its graph.
    """
    rates = camera_rates(job)
    loads: dict[str, LegLoad] = {}
    for camera_id in sorted(job.cameras):
        for edge, _, toward in graph.way_home(camera_id):
            load = loads.setdefault(edge.id, LegLoad())
            load.add(edge, toward, rates[camera_id], job.defaults.return_fraction)
            load.cameras.append(camera_id)
    return loads


def demand_by_hop(job: Job, graph: Graph | None = None) -> dict[str, HopDemand]:
    """Return what every hop has to carry.

    Video flows towards the head end, the site's return fraction of it the other way. A relay (station, access point,
    station) is met twice: both its hops carry the video, in the same cell.

    Parameters
    ----------
    job : Job
        The indexed site.
    graph : Graph or None
        Its graph, if already built.

    Returns
    -------
    dict of str to HopDemand
        By hop id; a hop that no camera uses carries nothing.
    """
    loads = leg_loads(job, graph or build_graph(job))
    none = LegLoad()
    to_groups = {key for key, camera in job.cameras.items() if camera.stream.multicast}
    rates = camera_rates(job) if to_groups else {}
    found = {}
    for hop_id in job.hops:
        row = loads.get(hop_id, none)
        multicast = tuple((key, rates[key].peak_mbps) for key in sorted(to_groups & set(row.cameras)))
        found[hop_id] = HopDemand(row.day[0], row.day[1], row.night[0], row.night[1], tuple(row.cameras), multicast)
    return found


def demand_by_wire(job: Job, graph: Graph | None = None) -> dict[str, float]:
    """Return the planned load of every wire that video crosses: the busier direction, by day or night. [Mbit/s]"""
    loads = leg_loads(job, graph or build_graph(job))
    return {key: load.peak_mbps for key, load in loads.items() if key in job.wires}


def port_speed_mbps(job: Job, thing_id: str) -> float | None:
    """Return the fastest port of a thing, or None where its type is not known. [Mbit/s]"""
    if thing_id in job.radios:
        found = job.radio_type(job.radios[thing_id])
        ports = found.ports if found else ()
    elif thing_id in job.cameras:
        kind = camera_type(job, job.cameras[thing_id])
        ports = kind.ports if kind else ()
    else:
        device = device_type(job, thing_id)
        ports = device.ports if device else ()
    return max((row.speed_mbps for row in ports if row.count), default=None)


def wire_speed_mbps(job: Job, wire_id: str) -> float | None:
    """Return what a wire carries: the slowest of its cable, the ports at its ends and what was granted. [Mbit/s]"""
    wire = job.wires[wire_id]
    kind = cable_type(job, wire)
    speeds = [wire.capacity_mbps, kind.speed_mbps if kind else None]
    speeds += [port_speed_mbps(job, thing_id) for thing_id in things_joined(job, wire)]
    return min((speed for speed in speeds if speed is not None), default=None)


def hop_latency_ms(access: str, load_fraction: float | None) -> float | None:
    """Return the usual delay of one hop one way, the slow end of what is usual at its load. [ms]"""
    if load_fraction is None:
        return None
    word = "polled" if access == "scheduled" else "contention"
    return number(typical_latency_ms(word, load_fraction)[1])


@dataclass(frozen=True)
class _Carriers:
    """What each leg carries each way and how long it takes."""

    job: Job
    hops: Mapping[str, HopRow]
    cells: Mapping[str, CellRow]
    loads: Mapping[str, LegLoad]

    def leg(self, edge: Edge, toward: str, *, last: bool) -> Leg:
        """Return one leg of a route, walked towards a thing."""
        peaks_mbps = self.loads[edge.id].peaks_mbps
        demand_mbps = peaks_mbps[0] if toward == edge.a else peaks_mbps[1]
        if edge.kind == "hop":
            return self._hop(edge, demand_mbps, up=toward == edge.a)
        carries = wire_speed_mbps(self.job, edge.id)
        # the delay of what the packet passes through next; the head end keeps it
        device = device_type(self.job, toward)
        return Leg(
            kind="wire",
            id=edge.id,
            direction="a_to_b" if toward == edge.b else "b_to_a",
            demand_mbps=demand_mbps,
            carries_mbps=carries,
            left_mbps=None if carries is None else max(0.0, carries - demand_mbps),
            latency_ms=0.0 if last or device is None else device.delay_ms,
            delay_p99_ms=0.0 if last or device is None else device.delay_ms,
        )

    def _hop(self, edge: Edge, demand_mbps: float, *, up: bool) -> Leg:
        row, cell = self.hops.get(edge.id), self.cells.get(edge.a)
        way = None if row is None else row.directions.to_access_point if up else row.directions.to_station
        carries = way.throughput_alone_mbps if way is not None else None
        load = cell.load_fraction if cell is not None else None
        return Leg(
            kind="hop",
            id=edge.id,
            direction="to_access_point" if up else "to_station",
            demand_mbps=demand_mbps,
            carries_mbps=carries,
            # what the whole cell leaves free of its air, given to this direction
            left_mbps=None if carries is None or load is None else max(0.0, 1.0 - load) * carries,
            latency_ms=hop_latency_ms(cell.access, load) if cell is not None else None,
            delay_p99_ms=cell.delay_p99_ms if cell is not None else None,
        )


class _SecondWays:
    """Other ways home, worked out once for all cameras whose way crosses the same legs of a ring."""

    def __init__(self, job: Job, graph: Graph) -> None:
        self._graph = graph
        self._ringed = {leg for ring in rings(job, graph, without_guards=False) for leg in ring.legs}
        self._instead: dict[frozenset[str], dict[str, Reached | None]] = {}

    def of(self, camera_id: str) -> tuple[str, ...]:
        """Return the legs of a camera's second way: one that shares no leg of a ring, else one that spares a leg."""
        if not self._ringed:
            return ()
        spared = [edge.id for edge, _, _ in self._graph.way_home(camera_id) if edge.id in self._ringed]
        for legs in (frozenset(spared), *(frozenset({leg}) for leg in spared)):
            if not legs:
                continue
            if legs not in self._instead:
                self._instead[legs] = self._graph.without(frozenset(), legs)
            instead = self._instead[legs]
            if instead.get(camera_id) is not None:
                return tuple(edge.id for edge, _, _ in self._graph.way_home(camera_id, instead))
        return ()


def route_rows(
    job: Job, hops: Iterable[HopRow], cells: Iterable[CellRow], graph: Graph | None = None
) -> tuple[RouteRow, ...]:
    """Return the way of every camera's video.

    Parameters
    ----------
    job : Job
        The indexed site.
    hops, cells : iterable of HopRow, iterable of CellRow
        What hops carry, and how loaded their cells are.
    graph : Graph or None
        The site's graph, if already built.

    Returns
    -------
    tuple of RouteRow
        By camera id; one without a way has no legs. Latency is one way, from camera to head end, null where a hop's
        load is not known or its cell is overloaded.
    """
    known, rates = graph or build_graph(job), camera_rates(job)
    by_cell = {row.access_point: row for row in cells}
    carriers = _Carriers(job, {row.id: row for row in hops}, by_cell, leg_loads(job, known))
    others = _SecondWays(job, known)
    rows = []
    for camera_id in sorted(job.cameras):
        reached = known.reached.get(camera_id)
        way = list(known.way_home(camera_id))
        legs = tuple(
            carriers.leg(edge, toward, last=count == len(way)) for count, (edge, _, toward) in enumerate(way, start=1)
        )
        # a hop of unknown rate may be the narrowest: then none is named
        unknown = any(leg.kind == "hop" and leg.carries_mbps is None for leg in legs)
        told = () if unknown else tuple(leg for leg in legs if leg.carries_mbps is not None)
        narrow = min(told, key=_carried, default=None)
        delays, late = [leg.latency_ms for leg in legs], [leg.delay_p99_ms for leg in legs]
        rows.append(
            RouteRow(
                camera=camera_id,
                head_end=reached.head_end if reached else None,
                legs=legs,
                second_way=others.of(camera_id),
                demand_mbps=rates[camera_id].network_day_mbps,
                night_demand_mbps=rates[camera_id].network_night_mbps,
                bottleneck_leg=narrow.id if narrow else None,
                bottleneck_mbps=narrow.carries_mbps if narrow else None,
                latency_ms=sum(d for d in delays if d is not None) if reached and None not in delays else None,
                delay_p99_ms=sum(d for d in late if d is not None) if reached and None not in late else None,
            )
        )
    return tuple(rows)


def _carried(leg: Leg) -> float:
    return leg.carries_mbps if leg.carries_mbps is not None else float("inf")
