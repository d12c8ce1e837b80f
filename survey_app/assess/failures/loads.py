"""What cells and wires carry once the video takes another way."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from survey_app.assess.demand import CameraRate
from survey_app.assess.graph import Edge
from survey_app.assess.job import Job
from survey_app.assess.numbers import Numbers
from survey_app.assess.routes import LegLoad, wire_speed_mbps

__all__ = ["Capacity", "Filled", "capacity_of"]

_Way = Sequence[tuple[Edge, str, str]]


@dataclass(frozen=True, slots=True)
class Filled:
    """A cell or wire that carries more than before, and how full it is then: part of what it can."""

    id: str
    load_fraction: float


@dataclass(frozen=True)
class Capacity:
    """What cells and wires can carry, and what they carry when nothing has failed.

    Parameters
    ----------
    cell_of : mapping of str to str
        Access point of each hop.
    cell_hops : mapping of str to tuple of str
        Hops of each cell.
    rates_mbps : mapping of str to (float, float)
        Link rate of each hop to the access point and to the station that full power reaches: automatic power
        rises when more traffic asks for it. [Mbit/s]
    efficiency : mapping of str to float
        Throughput over link rate in each cell.
    wire_mbps : mapping of str to float or None
        What each wire carries. [Mbit/s]
    loads : mapping of str to LegLoad
        What crosses each leg now.
    return_fraction : float
        Return traffic over video.
    repeated : mapping of str to float
        Air of each cell that repeated multicast takes; it stays as it is.
    """

    cell_of: Mapping[str, str]
    cell_hops: Mapping[str, tuple[str, ...]]
    rates_mbps: Mapping[str, tuple[float, float]]
    efficiency: Mapping[str, float]
    wire_mbps: Mapping[str, float | None]
    loads: Mapping[str, LegLoad]
    return_fraction: float
    repeated: Mapping[str, float]

    def filled(
        self, changed: Iterable[tuple[CameraRate, _Way, _Way]], lost_legs: Iterable[str] = ()
    ) -> tuple[Filled, ...]:
        """Return what carries more than before when cameras take other ways.

        Parameters
        ----------
        changed : iterable of (CameraRate, legs, legs)
            Of each camera whose way has changed: its rate, its old way and its new way; no legs = it is dark.
        lost_legs : iterable of str
            Hops and wires that carry no more.

        Returns
        -------
        tuple of Filled
            Cells (by access point) and wires, the fullest first; infinite where something has no rate at all.
        """
        moved = self._moved(changed)
        lost = set(lost_legs)
        grown = {key for key, load in moved.items() if key not in lost and load.exceeds(self.loads.get(key))}
        found = [self._cell(cell, moved) for cell in {self.cell_of[key] for key in grown if key in self.cell_of}]
        for key in grown:
            speed = self.wire_mbps.get(key)
            if speed is not None:
                found.append(Filled(key, moved[key].peak_mbps / speed))
        known = [row for row in found if not math.isnan(row.load_fraction)]
        return tuple(sorted(known, key=lambda row: (-row.load_fraction, row.id)))

    def _moved(self, changed: Iterable[tuple[CameraRate, _Way, _Way]]) -> dict[str, LegLoad]:
        moved: dict[str, LegLoad] = {}
        for rate, old, new in changed:
            for sign, way in ((-1.0, old), (1.0, new)):
                for edge, _, toward in way:
                    load = moved.get(edge.id)
                    if load is None:
                        load = moved[edge.id] = (self.loads.get(edge.id) or LegLoad()).copy()
                    load.add(edge, toward, rate, self.return_fraction, sign)
        return moved

    def _cell(self, cell: str, moved: Mapping[str, LegLoad]) -> Filled:
        used = self.repeated[cell]
        for hop_id in self.cell_hops[cell]:
            load = moved.get(hop_id) or self.loads.get(hop_id)
            if load is not None:
                for demand, rate in zip(load.peaks_mbps, self.rates_mbps[hop_id], strict=True):
                    if demand > 0.0:
                        used += demand / rate if rate > 0.0 else math.inf
        return Filled(cell, used / self.efficiency[cell])


def capacity_of(job: Job, found: Numbers, loads: Mapping[str, LegLoad]) -> Capacity:
    """Return what the cells and wires of a site can carry.

    Parameters
    ----------
    job : Job
        The indexed site.
    found : Numbers
        Its array half.
    loads : mapping of str to LegLoad
        What crosses each leg, see `leg_loads`.
    """
    best = found.at_full_power
    rates = zip(best.up_rate_mbps.tolist(), best.down_rate_mbps.tolist(), strict=True)
    return Capacity(
        cell_of={hop.id: hop.access_point for hop in job.hops.values()},
        cell_hops={key: tuple(hop.id for hop in hops) for key, hops in job.cells.items()},
        rates_mbps=dict(zip(found.hops.ids, rates, strict=True)),
        efficiency=dict(zip(job.cells, found.need.efficiency.tolist(), strict=True)),
        wire_mbps={key: wire_speed_mbps(job, key) for key in job.wires},
        loads=loads,
        return_fraction=job.defaults.return_fraction,
        repeated=dict(zip(job.cells, np.nan_to_num(found.need.multicast_fraction).tolist(), strict=True)),
    )
