"""What rates a hop can run, and which of them its cell needs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import RATES, HopArrays, IntArray, RadioArrays
from survey_app.assess.job import Job
from survey_app.assess.routes import HopDemand
from survey_app.physics.arrays import FloatArray
from survey_app.physics.rates import lowest_mcs_for, mcs_count, phy_rate_mbps

__all__ = ["CellNeed", "HopRates", "cell_needs", "hop_rates", "needed_mcs"]

_MODES = ("n", "ac", "ax")


@dataclass(frozen=True)
class HopRates:
    """Rates that both ends can run, and what receivers ask, shape (hops, RATES); NaN where an index is not to be had.

    Attributes
    ----------
    rate_mbps : ndarray of float
        Rate on the air. [Mbit/s]
    sensitivity_a_dbm, sensitivity_s_dbm : ndarray of float
        Sensitivity of the access point and of the station. [dBm]
    power_a_dbm, power_s_dbm : ndarray of float
        Highest power that unit allows at each rate, before law and ceiling. [dBm]
    """

    rate_mbps: FloatArray
    sensitivity_a_dbm: FloatArray
    sensitivity_s_dbm: FloatArray
    power_a_dbm: FloatArray
    power_s_dbm: FloatArray


def _common_rates(radios: RadioArrays, hops: HopArrays) -> FloatArray:
    a, s = hops.access_point, hops.station
    mode = np.minimum(radios.mode[a], radios.mode[s])
    streams = np.minimum(radios.streams[a], radios.streams[s])
    table = np.full((len(hops.ids), RATES), np.nan)
    for code, name in enumerate(_MODES):
        rows = mode == code
        if rows.any():
            columns = np.arange(mcs_count(name))
            table[rows, : len(columns)] = phy_rate_mbps(
                name, hops.width_mhz[rows, None], columns, streams[rows, None], hops.guard_interval_us[rows, None]
            )
    highest = np.minimum(radios.highest_mcs[a], radios.highest_mcs[s])
    return np.where(np.arange(RATES) <= highest[:, None], table, np.nan)


def hop_rates(radios: RadioArrays, hops: HopArrays) -> HopRates:
    """Return what rates each hop can run.

    Parameters
    ----------
    radios, hops : RadioArrays, HopArrays
        The site as arrays. An old cipher at either end caps the rate.
    """
    a, s = hops.access_point, hops.station
    rate = np.minimum(_common_rates(radios, hops), hops.legacy_cap_mbps[:, None])
    # a capped rate gains nothing over the lower index that already reaches the cap
    repeats = np.zeros_like(rate, dtype=bool)
    repeats[:, 1:] = np.isfinite(hops.legacy_cap_mbps)[:, None] & (rate[:, 1:] <= rate[:, :-1])
    rate = np.where(repeats, np.nan, rate)
    to_be_had = ~np.isnan(rate)

    def only(table: FloatArray) -> FloatArray:
        return np.where(to_be_had, table, np.nan)

    return HopRates(
        rate_mbps=rate,
        sensitivity_a_dbm=only(radios.sensitivity_dbm[a]),
        sensitivity_s_dbm=only(radios.sensitivity_dbm[s]),
        power_a_dbm=only(radios.power_dbm[a]),
        power_s_dbm=only(radios.power_dbm[s]),
    )


@dataclass(frozen=True)
class CellNeed:
    """What each cell must carry, shape (cells,) each.

    Attributes
    ----------
    demand_mbps : ndarray of float
        Traffic of all its hops, both directions. [Mbit/s]
    efficiency : ndarray of float
        Throughput over link rate; the cell's airtime limit.
    needed_rate_mbps : ndarray of float
        Link rate at which the cell stays at its planned load, if every station has it. [Mbit/s]
    multicast_mbps, multicast_fraction : ndarray of float
        Multicast video that the access point repeats to all its stations, and the air that this takes at the lowest
        rate; 0 where it gives turns. [Mbit/s, 1]
    """

    demand_mbps: FloatArray
    efficiency: FloatArray
    needed_rate_mbps: FloatArray
    multicast_mbps: FloatArray
    multicast_fraction: FloatArray


def access_of(job: Job, access_point: str) -> str:
    """Return how a cell shares its air: "contention" or "scheduled"."""
    radio = job.radios[access_point]
    if radio.access is not None:
        return radio.access
    found = job.radio_type(radio)
    return "scheduled" if found is not None and found.access == "scheduled" else "contention"


def cell_efficiency(job: Job, access_point: str, stations: int) -> float:
    """Return throughput over link rate in a cell, as the access point's type states it."""
    found = job.radio_type(job.radios[access_point])
    if found is None:
        return float("nan")
    if access_of(job, access_point) == "scheduled":
        return found.efficiency_scheduled
    return found.efficiency_one_station if stations == 1 else found.efficiency_many_stations


def cell_needs(job: Job, hops: HopArrays, demand: Mapping[str, HopDemand]) -> CellNeed:
    """Return what each cell must carry, in the order of `job.cells`.

    Parameters
    ----------
    job, hops : Job, HopArrays
        The site, indexed and as arrays.
    demand : mapping of str to HopDemand
        Traffic of each hop.
    """
    total = np.zeros(len(job.cells))
    for n, hop_id in enumerate(hops.ids):
        row = demand[hop_id]
        total[hops.cell[n]] += row.peak_to_access_point_mbps + row.peak_to_station_mbps
    efficiency = np.array([cell_efficiency(job, ap, len(rows)) for ap, rows in job.cells.items()], dtype=float)
    multicast = multicast_mbps(job, demand)
    taken = np.where(multicast > 0.0, multicast / lowest_rates_mbps(job), 0.0)
    left = efficiency * job.defaults.load_warn_fraction - taken
    with np.errstate(divide="ignore", invalid="ignore"):
        needed = np.where(left > 0.0, total / left, np.where(np.isnan(left), np.nan, np.inf))
    return CellNeed(
        demand_mbps=total,
        efficiency=efficiency,
        needed_rate_mbps=needed,
        multicast_mbps=multicast,
        multicast_fraction=taken,
    )


def lowest_rates_mbps(job: Job) -> FloatArray:
    """Return the rate at which each access point repeats multicast, index 0 of one stream; NaN without a type."""
    found = []
    for access_point in job.cells:
        radio = job.radios[access_point]
        kind, width = job.radio_type(radio), float(radio.width_mhz or job.defaults.width_mhz)
        found.append(float(phy_rate_mbps(kind.mode, width, 0, 1)) if kind is not None else np.nan)
    return np.array(found, dtype=float)


def multicast_mbps(job: Job, demand: Mapping[str, HopDemand]) -> FloatArray:
    """Return the multicast video that crosses each cell of contended access, every stream once. [Mbit/s]

    What a station sends to a group the access point repeats to its whole cell; what comes by wire or from another hop
    it sends so in the first place. The hop that carries it to or from the station is counted besides, as planned.
    """
    total = np.zeros(len(job.cells))
    for n, (access_point, cell_hops) in enumerate(job.cells.items()):
        if access_of(job, access_point) == "contention":
            streams = dict(stream for hop in cell_hops for stream in demand[hop.id].multicast)
            total[n] = sum(streams[key] for key in sorted(streams))
    return total


def needed_mcs(rates: HopRates, hops: HopArrays, need: CellNeed) -> IntArray:
    """Return the lowest rate index that each hop needs; the highest it has where none is enough, -1 = it has none."""
    count = np.sum(~np.isnan(rates.rate_mbps), axis=1)
    last = np.where(count > 0, RATES - 1 - np.argmax(~np.isnan(rates.rate_mbps[:, ::-1]), axis=1), -1)
    found = lowest_mcs_for(rates.rate_mbps, need.needed_rate_mbps[hops.cell])
    enough = found < RATES
    return np.where(enough, np.nan_to_num(found, nan=-1.0), last).astype(np.intp)
