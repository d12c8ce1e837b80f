"""Cells: one access point, one channel, one shared airtime."""

from __future__ import annotations

import numpy as np

from survey_app.assess.air import FineAir
from survey_app.assess.cells import Air
from survey_app.assess.gather import HopArrays
from survey_app.assess.hop_rates import CellNeed, access_of
from survey_app.assess.job import Job
from survey_app.assess.nulls import number, unknown, without
from survey_app.assess.record import CellRow, NullReason
from survey_app.physics.arrays import FloatArray

__all__ = ["cell_rows"]


def cell_rows(
    job: Job,
    hops: HopArrays,
    need: CellNeed,
    air: Air,
    up_rate: FloatArray,
    best_air: Air,
    best_up_rate: FloatArray,
    fine: FineAir,
) -> tuple[CellRow, ...]:
    """Return one row per cell, in the order of `job.cells`; with what full power could reach."""
    rows = []
    ids = tuple(job.cells)
    camera_mbps = _typical_camera_mbps(job)
    for n, (access_point, cell_hops) in enumerate(job.cells.items()):
        radio = job.radios[access_point]
        index = np.array([hops.row[hop.id] for hop in cell_hops], dtype=np.intp)
        shares = air.hop_airtime_fraction[index]
        known = bool(np.all(np.isfinite(shares)))
        heaviest = int(np.argmax(np.where(np.isfinite(shares), shares, np.inf)))
        slowest = up_rate[index]
        equal = float(need.efficiency[n] / np.sum(1.0 / slowest)) if np.all(slowest > 0.0) else None
        reasons: list[NullReason] = []
        if not known:
            sentence = "A hop of this cell carries no rate, so its airtime is unknown; see its findings."
            reasons = unknown(("airtime_used_fraction", "load_fraction", "heaviest_share_fraction"), sentence)
        if np.isnan(need.efficiency[n]):
            reasons += unknown(("airtime_limit_fraction",), "Give the access point a gear type.")
        reasons += _others_reasons(fine, n)
        rows.append(
            CellRow(
                id=access_point,
                access_point=access_point,
                channel=radio.channel,
                centre_mhz=number(hops.centre_mhz[index[0]]),
                width_mhz=float(hops.width_mhz[index[0]]),
                access="scheduled" if access_of(job, access_point) == "scheduled" else "contention",
                stations=tuple(hop.station for hop in cell_hops),
                hops=tuple(hop.id for hop in cell_hops),
                airtime_used_fraction=number(air.used_fraction[n]) if known else None,
                airtime_limit_fraction=number(need.efficiency[n]),
                load_fraction=number(air.load_fraction[n]) if known else None,
                demand_mbps=float(need.demand_mbps[n]),
                multicast_fraction=float(np.nan_to_num(need.multicast_fraction[n])),
                air_fraction=number(fine.air_fraction[n]),
                heard_cells=tuple(ids[place] for place in fine.others.cells[n]),
                heard_fraction=float(fine.others.heard_fraction[n]),
                neighbours_fraction=number(fine.others.neighbours_fraction[n]),
                listened_at=fine.others.listened_at[n],
                load_with_others_fraction=number(air.load_fraction[n] + fine.others.taken_fraction[n])
                if known
                else None,
                delay_p99_ms=number(fine.delay_ms[n]),
                delay_together_ms=number(fine.together_ms[n]),
                equal_share_mbps=number(equal),
                heaviest_station=cell_hops[heaviest].station if air.used_fraction[n] > 0.0 else None,
                heaviest_share_fraction=_part(shares[heaviest], air.used_fraction[n]) if known else None,
                more_cameras=_growth(job, need, best_air, n, float(np.min(best_up_rate[index])), camera_mbps, fine)
                if known
                else None,
                null_reasons=tuple(reasons),
            )
        )
    return tuple(rows)


def _others_reasons(fine: FineAir, n: int) -> list[NullReason]:
    reasons: list[NullReason] = []
    if np.isnan(fine.others.neighbours_fraction[n]):
        sentence = "No scan at its radios says how busy its channel is."
        reasons += without(["neighbours_fraction", "listened_at"], sentence)
    if np.isinf(fine.delay_ms[n]):
        reasons += without(["delay_p99_ms"], "More pictures come than its air carries: they wait without end.")
    if np.isinf(fine.together_ms[n]):
        reasons += without(["delay_together_ms"], "Others leave it no air.")
    if np.isnan(fine.delay_ms[n]):
        sentence = "No video crosses it, or a hop carries no rate."
        reasons += without(["delay_p99_ms", "delay_together_ms"], sentence)
    return reasons


def _part(share: float, used: float) -> float | None:
    return float(share / used) if used > 0.0 else None


def _typical_camera_mbps(job: Job) -> float:
    """Return the network rate of one more camera of the kind that the site uses most."""
    rates: dict[float, int] = {}
    for camera in job.cameras.values():
        found = job.gear.get(camera.gear)
        rate = camera.stream.rate_mbps
        if rate is None and found is not None and found.kind == "camera":
            rate = found.cap_mbps
        if rate:
            rates[rate] = rates.get(rate, 0) + 1
    usual = max(rates, key=lambda rate: (rates[rate], rate), default=4.0)
    return usual * job.defaults.overhead_factor


def _growth(
    job: Job, need: CellNeed, air: Air, cell: int, slowest_mbps: float, camera_mbps: float, fine: FineAir
) -> int | None:
    """Return how many more cameras fit behind the slowest station before the load reaches its warning."""
    if not (slowest_mbps > 0.0):
        return None
    taken = float(fine.others.taken_fraction[cell])
    free = (job.defaults.load_warn_fraction - taken) * need.efficiency[cell] - air.used_fraction[cell]
    return max(0, int(np.floor(free * slowest_mbps / (camera_mbps * (1.0 + job.defaults.return_fraction)) + 1e-9)))
