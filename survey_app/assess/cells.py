"""How much of the air of each cell its own hops take."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import HopArrays
from survey_app.assess.hop_rates import CellNeed
from survey_app.physics.arrays import FloatArray

__all__ = ["Air", "cell_air"]


@dataclass(frozen=True)
class Air:
    """How the air of the cells is used.

    Attributes
    ----------
    hop_airtime_fraction : ndarray of float, shape (hops,)
        Airtime that each hop takes, both directions: sum of demand over link rate.
    used_fraction, load_fraction : ndarray of float, shape (cells,)
        Sum over the cell, with the multicast that its access point repeats; the same over the cell's limit. NaN where a
        hop carries nothing at all.
    """

    hop_airtime_fraction: FloatArray
    used_fraction: FloatArray
    load_fraction: FloatArray


def _airtime(demand_mbps: FloatArray, rate_mbps: FloatArray) -> FloatArray:
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(demand_mbps > 0.0, demand_mbps / rate_mbps, 0.0)


def cell_air(
    hops: HopArrays,
    need: CellNeed,
    up_demand_mbps: FloatArray,
    down_demand_mbps: FloatArray,
    up_rate: FloatArray,
    down_rate: FloatArray,
) -> Air:
    """Return the use of the air.

    Parameters
    ----------
    hops, need : HopArrays, CellNeed
        Hops and their cells.
    up_demand_mbps, down_demand_mbps, up_rate, down_rate : ndarray of float, shape (hops,)
        Traffic and link rate to the access point and to the station. [Mbit/s]
    """
    each = _airtime(up_demand_mbps, up_rate) + _airtime(down_demand_mbps, down_rate)
    used = need.multicast_fraction.copy()
    np.add.at(used, hops.cell, each)
    return Air(hop_airtime_fraction=each, used_fraction=used, load_fraction=used / need.efficiency)
