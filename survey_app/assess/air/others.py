"""One budget: cells that hear each other on overlapping channels, and neighbours of scans, take from the same air."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.cells import Air
from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.assess.hop_rates import CellNeed
from survey_app.assess.interference import Interference
from survey_app.assess.interference.outside import RUNNING
from survey_app.assess.job import Job
from survey_app.physics.arrays import BoolArray, FloatArray, float_array
from survey_app.physics.carrier_sense import energy_threshold_dbm, preamble_threshold_dbm
from survey_app.site.evidence import Scan
from survey_app.spectrum.channels import centre_mhz, overlap_fraction

__all__ = ["Others", "hearing_limits_dbm", "hears", "heaviest_clique", "others_of", "taken_by_neighbours"]

_MOST_TRIES = 4000


@dataclass(frozen=True)
class Others:
    """Who else takes the air of each cell.

    Attributes
    ----------
    cells : tuple of tuple of int
        Cells that each hears or is heard by, by place in `job.cells`.
    heard_fraction : ndarray of float, shape (cells,)
        Load of those of their hops that are heard.
    together_fraction : ndarray of float, shape (cells,)
        The most that cells take beside this one of which all hear each other, so that no two can ever send at once.
    neighbours_fraction : ndarray of float, shape (cells,)
        What scanned neighbours take, at the end that hears most; NaN where nobody scanned the channel.
    listened_at : tuple of str or None
        The mount of that end.
    """

    cells: tuple[tuple[int, ...], ...]
    heard_fraction: FloatArray
    together_fraction: FloatArray
    neighbours_fraction: FloatArray
    listened_at: tuple[str | None, ...]

    @property
    def taken_fraction(self) -> FloatArray:
        """What others surely take: cells that all hear each other, and neighbours. Shape (cells,)."""
        return self.together_fraction + np.nan_to_num(self.neighbours_fraction)


def hearing_limits_dbm(radios: RadioArrays) -> FloatArray:
    """Return the level in its channel from which on each radio (row) waits for each other (column).

    By a preamble that it reads, else by energy alone; infinite where the two share no part of a channel.

    Parameters
    ----------
    radios : RadioArrays
        All radios.
    """
    centre, width = radios.centre_mhz, radios.width_mhz
    part = overlap_fraction(centre[None, :], width[None, :], centre[:, None], width[:, None])
    shared = np.nan_to_num(part) * width[None, :]
    # preambles are repeated in each 20 MHz; channels of another pace cannot be read
    like = (width[:, None] == width[None, :]) | ((width[:, None] >= 20.0) & (width[None, :] >= 20.0))
    reads = like & (shared >= np.minimum(20.0, np.minimum(width[:, None], width[None, :])))
    common = np.minimum(width[:, None], width[None, :])
    limit = np.where(reads, preamble_threshold_dbm(common), energy_threshold_dbm(common))
    return np.where(shared > 0.0, limit, np.inf)


def hears(radios: RadioArrays, between: Interference) -> BoolArray:
    """Return which radio (row) waits for which (column): by a preamble that it reads, else by energy alone."""
    waits: BoolArray = between.in_channel_dbm >= hearing_limits_dbm(radios)
    return waits


def others_of(
    job: Job, radios: RadioArrays, hops: HopArrays, need: CellNeed, air: Air, between: Interference
) -> Others:
    """Return who else takes the air of each cell, in the order of `job.cells`.

    Parameters
    ----------
    job, radios, hops, need, air
        The site, its hops and what each takes.
    between : Interference
        Levels between all radios.

    Notes
    -----
    Two hops share their air when either end of one hears either end of the other: one end would wait for the other, or
    spoil what it hears. A cell's own load and that of all hops that it hears bound what is needed from above: where
    they fit, all fit. The heaviest set of cells of which every two hops hear each other bounds it from below: where
    that does not fit, nothing helps ([GUPTA]_, 2007). Findings are drawn from the lower bound.
    """
    a, s = hops.access_point, hops.station
    waits = hears(radios, between)
    either = waits | waits.T
    shared = either[np.ix_(a, a)] | either[np.ix_(a, s)] | either[np.ix_(s, a)] | either[np.ix_(s, s)]
    count = len(need.efficiency)
    shared &= hops.cell[:, None] != hops.cell[None, :]
    member = np.zeros((count, len(hops.ids)), dtype=np.intp)
    member[hops.cell, np.arange(len(hops.ids))] = 1
    heard_hops = (member @ shared.astype(np.intp)) > 0  # cells x hops
    pairs = member @ shared.astype(np.intp) @ member.T
    size = member.sum(axis=1)
    load = np.nan_to_num(air.hop_airtime_fraction / need.efficiency[hops.cell], posinf=0.0)
    heard = np.sum(np.where(heard_hops, load[None, :], 0.0), axis=1)
    whole: BoolArray = (pairs == size[:, None] * size[None, :]) & (pairs > 0)
    weight: FloatArray = np.zeros(count)
    np.add.at(weight, hops.cell, load)
    busy = taken_by_neighbours(job)
    return Others(
        cells=tuple(tuple(np.flatnonzero(row).tolist()) for row in pairs > 0),
        heard_fraction=heard,
        together_fraction=float_array([heaviest_clique(n, whole, weight) for n in range(count)]),
        neighbours_fraction=float_array([np.nan if part is None else part for part, _ in busy]),
        listened_at=tuple(mount for _, mount in busy),
    )


def heaviest_clique(start: int, joined: BoolArray, weight: FloatArray) -> float:
    """Return the weight of the heaviest set of which every two are joined and all with the first, without the first.

    Parameters
    ----------
    start : int
        The first.
    joined : ndarray of bool, shape (n, n)
        Symmetric.
    weight : ndarray of float, shape (n,)
        Not negative.

    Notes
    -----
    Exact up to 4000 tries, which no site of fewer than some twenty cells that hear each other needs; beyond that the
    best set that was found, still a set, so that it bounds from below all the same.
    """
    best, tries = 0.0, 0
    near = sorted(np.flatnonzero(joined[start] & (weight > 0.0)).tolist(), key=lambda n: (-weight[n], n))
    stack: list[tuple[float, list[int]]] = [(0.0, near)]
    while stack and tries < _MOST_TRIES:
        tries += 1
        held, left = stack.pop()
        best = max(best, held)
        if not left or held + sum(float(weight[n]) for n in left) <= best:
            continue
        first, rest = left[0], left[1:]
        stack.append((held, rest))
        stack.append((held + float(weight[first]), [n for n in rest if joined[first, n]]))
    return best


def taken_by_neighbours(job: Job) -> list[tuple[float | None, str | None]]:
    """Return what the newest scans say that neighbours take of each cell, and at which mount; None = nobody listened.

    Either end waits for what it hears, so that the mount counts where most was heard. What was heard on different
    channels inside a wide one comes at different times: the air is free when all of them are silent. On the very
    channel of a cell that runs already it is taken for that cell itself.
    """
    newest: dict[str, Scan] = {}
    for scan in job.site.evidence.scans:
        held = newest.get(scan.mount)
        if held is None or scan.at >= held.at:
            newest[scan.mount] = scan
    found: list[tuple[float | None, str | None]] = []
    for access_point, cell_hops in job.cells.items():
        mounts = dict.fromkeys(job.radios[key].mount for key in (access_point, *(hop.station for hop in cell_hops)))
        parts = [
            (part, mount) for mount in mounts if (part := _taken_at(job, access_point, newest.get(mount))) is not None
        ]
        found.append(max(parts, key=lambda row: row[0], default=(None, None)))
    return found


def _taken_at(job: Job, access_point: str, scan: Scan | None) -> float | None:
    radio = job.radios[access_point]
    if scan is None or radio.channel is None:
        return None
    width_mhz = float(radio.width_mhz or job.defaults.width_mhz)
    busiest: dict[tuple[int, float], float] = {}
    for row in scan.rows:
        on_channel = overlap_fraction(centre_mhz(row.channel), row.width_mhz, centre_mhz(radio.channel), width_mhz)
        if not float(on_channel) > 0.0 or row.busy_percent is None:
            continue
        if radio.status in RUNNING and (row.channel, row.width_mhz) == (radio.channel, width_mhz):
            continue
        key = (row.channel, row.width_mhz)
        busiest[key] = max(busiest.get(key, 0.0), row.busy_percent / 100.0)
    if not busiest:
        return None
    free = 1.0
    for _, part in sorted(busiest.items()):
        free *= 1.0 - part
    return 1.0 - free
