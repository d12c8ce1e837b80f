"""How far each radio carries what its cell needs, and how near its beam passes over."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.budget import Aims, Path
from survey_app.assess.gain import OMNI
from survey_app.assess.gather import HopArrays, IntArray, RadioArrays
from survey_app.assess.geometry import HopGeometry
from survey_app.assess.hop_rates import HopRates
from survey_app.assess.job import Job
from survey_app.assess.pointing import Fans
from survey_app.physics import patterns
from survey_app.physics.arrays import FloatArray
from survey_app.physics.rates import at_mcs

__all__ = ["Reach", "radio_reach"]

_NEAR_IN_FALL_DB = 3.0
_MARGIN_CHANGES_M = 1000.0


@dataclass(frozen=True)
class Reach:
    """How far and how near, shape (radios,) each; NaN for a radio without a hop.

    Attributes
    ----------
    reach_m : ndarray of float
        Distance in free space at which the cell's planned rate with its margin is just met on the beam's axis, at the
        most power that unit, ceiling and law allow, in the worse direction, with the far end that reaches least. [m]
    mcs : ndarray of int
        Rate index of that plan, -1 = none.
    rate_mbps : ndarray of float
        Its link rate. [Mbit/s]
    near_in_m : ndarray of float
        Distance inside which the beam passes over its lowest far end by more than 3 dB; NaN where it passes over
        nothing, and for beams that are aimed at one far end. [m]
    """

    reach_m: FloatArray
    mcs: IntArray
    rate_mbps: FloatArray
    near_in_m: FloatArray


def _hop_reach_m(job: Job, hops: HopArrays, distance_m: FloatArray, on_axis_margin_db: FloatArray) -> FloatArray:
    """Stretch each hop until its margin is just the wanted one; the site's wanted margin is larger beyond 1 km."""
    by_hand = np.array([hop.wanted_margin_db is not None for hop in job.hops.values()], dtype=bool)

    def stretched(wanted_db: FloatArray) -> FloatArray:
        return distance_m * np.power(10.0, (on_axis_margin_db - wanted_db) / 20.0)

    near = stretched(np.full(len(distance_m), job.defaults.margin_near_db))
    far = np.maximum(stretched(np.full(len(distance_m), job.defaults.margin_far_db)), _MARGIN_CHANGES_M)
    by_default = np.where(near <= _MARGIN_CHANGES_M, near, far)
    return np.where(by_hand, stretched(hops.wanted_margin_db), by_default)


def radio_reach(
    job: Job,
    radios: RadioArrays,
    hops: HopArrays,
    where: HopGeometry,
    fans: Fans,
    path: Path,
    rates: HopRates,
    needed: IntArray,
    full_dbm: FloatArray,
    aims: Aims,
    rise_db: float,
) -> Reach:
    """Return how far and how near each radio serves.

    Parameters
    ----------
    job, radios, hops, where, fans, path, rates, aims
        The site as arrays, with budgets.
    needed : ndarray of int, shape (hops,)
        Rate index that each hop needs.
    full_dbm : ndarray of float, shape (radios,)
        The most power of each radio. [dBm]
    rise_db : float
        Planned rise of the noise. [dB]
    """
    index = needed.astype(float)
    sent_a = np.minimum(at_mcs(rates.power_a_dbm, index), full_dbm[hops.access_point])
    sent_s = np.minimum(at_mcs(rates.power_s_dbm, index), full_dbm[hops.station])
    worse = (
        path.path_gain_db
        - rise_db
        + np.minimum(sent_a - at_mcs(rates.sensitivity_s_dbm, index), sent_s - at_mcs(rates.sensitivity_a_dbm, index))
    )
    rate = at_mcs(rates.rate_mbps, index)
    from_a = _hop_reach_m(job, hops, where.distance_m, worse + path.peak_a_dbi - path.gain_a_dbi)
    from_s = _hop_reach_m(job, hops, where.distance_m, worse + path.peak_s_dbi - path.gain_s_dbi)
    count = len(radios.ids)
    reach, mcs, rates_out = np.full(count, np.nan), np.full(count, -1, dtype=np.intp), np.full(count, np.nan)
    for n in range(count):
        rows = fans.hop_rows[n]
        if not rows:
            continue
        each = [from_a[h] if at else from_s[h] for h, at in zip(rows, fans.at_access_point[n], strict=True)]
        least = int(np.argmin(each))
        reach[n], mcs[n], rates_out[n] = each[least], needed[rows[least]], rate[rows[least]]
    return Reach(reach_m=reach, mcs=mcs, rate_mbps=rates_out, near_in_m=_near_in_m(radios, hops, fans, aims))


def _near_in_m(radios: RadioArrays, hops: HopArrays, fans: Fans, aims: Aims) -> FloatArray:
    lower, _ = patterns.elevation_edges_deg(
        radios.kind,
        _NEAR_IN_FALL_DB,
        radios.gain_dbi,
        radios.azimuth_beamwidth_deg,
        radios.elevation_beamwidth_deg,
        radios.front_to_back_db,
        radios.electrical_downtilt_deg,
    )
    bracket = np.where(radios.kind == OMNI, 0.0, aims.bracket_deg)
    edge_deg = lower + bracket
    lowest = np.full(len(radios.ids), np.nan)
    for n in range(len(radios.ids)):
        far = [
            hops.station[h] if at else hops.access_point[h]
            for h, at in zip(fans.hop_rows[n], fans.at_access_point[n], strict=True)
        ]
        wide = radios.kind[n] in (OMNI, patterns.SECTOR)
        if far and wide:
            lowest[n] = min(radios.elevation_m[f] for f in far)
    drop = radios.elevation_m - lowest
    over = (drop > 0.0) & (edge_deg < 0.0)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(over, drop / np.tan(np.deg2rad(-edge_deg)), np.nan)
