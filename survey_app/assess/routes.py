"""Routes of the cameras' video to the head ends, and what they ask of each hop and wire."""

from __future__ import annotations

from dataclasses import dataclass

from survey_app.assess.demand import CameraRate, camera_rates
from survey_app.assess.graph import Edge, Graph, build_graph
from survey_app.assess.job import Job

__all__ = ["HopDemand", "demand_by_hop"]


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
    """

    to_access_point_mbps: float = 0.0
    to_station_mbps: float = 0.0
    night_to_access_point_mbps: float = 0.0
    night_to_station_mbps: float = 0.0
    cameras: tuple[str, ...] = ()

    @property
    def peak_to_access_point_mbps(self) -> float:
        """Planned demand towards the access point. [Mbit/s]"""
        return max(self.to_access_point_mbps, self.night_to_access_point_mbps)

    @property
    def peak_to_station_mbps(self) -> float:
        """Planned demand towards the station. [Mbit/s]"""
        return max(self.to_station_mbps, self.night_to_station_mbps)


class _Sum:
    """Running sums of one leg: towards `a` and towards `b`, by day and by night."""

    __slots__ = ("cameras", "day", "night")

    def __init__(self) -> None:
        self.day = [0.0, 0.0]
        self.night = [0.0, 0.0]
        self.cameras: list[str] = []

    def add(self, edge: Edge, toward: str, camera_id: str, rate: CameraRate, return_fraction: float) -> None:
        """Add one camera's video towards a thing and its return traffic the other way."""
        forward, backward = (0, 1) if toward == edge.a else (1, 0)
        self.day[forward] += rate.network_day_mbps
        self.day[backward] += rate.day_mbps * return_fraction
        self.night[forward] += rate.network_night_mbps
        self.night[backward] += rate.night_mbps * return_fraction
        self.cameras.append(camera_id)


def _sums(job: Job, graph: Graph) -> dict[str, _Sum]:
    rates = camera_rates(job)
    sums: dict[str, _Sum] = {}
    for camera_id in sorted(job.cameras):
        for edge, _, toward in graph.way_home(camera_id):
            row = sums.setdefault(edge.id, _Sum())
            row.add(edge, toward, camera_id, rates[camera_id], job.defaults.return_fraction)
    return sums


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
    sums = _sums(job, graph or build_graph(job))
    none = _Sum()
    found = {}
    for hop_id in job.hops:
        row = sums.get(hop_id, none)
        found[hop_id] = HopDemand(row.day[0], row.day[1], row.night[0], row.night[1], tuple(row.cameras))
    return found
