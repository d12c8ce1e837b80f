"""How far each radio carries what its cell needs, and how near its beam passes over."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.beams import Beams
from survey_app.assess.budget import Aims, Path
from survey_app.assess.gain import OMNI
from survey_app.assess.gather import RATES, HopArrays, IntArray, RadioArrays
from survey_app.assess.geometry import HopGeometry
from survey_app.assess.hop_rates import HopRates
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.pointing import Fans
from survey_app.assess.record import ReachArc
from survey_app.physics import patterns
from survey_app.physics.arrays import FloatArray
from survey_app.physics.rates import at_mcs

__all__ = ["Reach", "radio_reach"]

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
    arcs : tuple of tuple of ReachArc
        The same distance for every rate index that the hops of a radio can run, the highest rate first.
    near_in_m : ndarray of float
        Distance inside which the beam passes over its lowest far end by more than 3 dB; NaN where it passes over
        nothing, and for beams that are aimed at one far end. [m]
    """

    reach_m: FloatArray
    mcs: IntArray
    rate_mbps: FloatArray
    arcs: tuple[tuple[ReachArc, ...], ...]
    near_in_m: FloatArray


def _hop_reach_m(job: Job, hops: HopArrays, distance_m: FloatArray, on_axis_margin_db: FloatArray) -> FloatArray:
    """Stretch each hop until its margin is just the wanted one, shape (hops, RATES).

    The site's wanted margin is larger beyond 1 km.
    """
    by_hand = np.array([hop.wanted_margin_db is not None for hop in job.hops.values()], dtype=bool)

    def stretched(wanted_db: FloatArray) -> FloatArray:
        return distance_m[:, None] * np.power(10.0, (on_axis_margin_db - wanted_db[:, None]) / 20.0)

    near = stretched(np.full(len(distance_m), job.defaults.margin_near_db))
    far = np.maximum(stretched(np.full(len(distance_m), job.defaults.margin_far_db)), _MARGIN_CHANGES_M)
    by_default = np.where(near <= _MARGIN_CHANGES_M, near, far)
    return np.where(by_hand[:, None], stretched(hops.wanted_margin_db), by_default)


def _worse_margin_db(job: Job, hops: HopArrays, path: Path, rates: HopRates, full_dbm: FloatArray) -> FloatArray:
    """Return the margin of each hop at full power in the worse direction, shape (hops, RATES). [dB]

    In free space: where a rate ends does not depend on what stands before the station that happens to be there.
    """
    sent_a = np.minimum(rates.power_a_dbm, full_dbm[hops.access_point][:, None])
    sent_s = np.minimum(rates.power_s_dbm, full_dbm[hops.station][:, None])
    free_db = path.path_gain_db + path.obstruction_loss_db
    bare = (free_db - job.defaults.interference_rise_db)[:, None]
    return bare + np.minimum(sent_a - rates.sensitivity_s_dbm, sent_s - rates.sensitivity_a_dbm)


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
    beams: Beams,
    memo: Fresh | None = None,
) -> Reach:
    """Return how far and how near each radio serves.

    Parameters
    ----------
    job, radios, hops, where, fans, path, rates, aims, beams
        The site as arrays, with budgets.
    needed : ndarray of int, shape (hops,)
        Rate index that each hop needs.
    full_dbm : ndarray of float, shape (radios,)
        The most power of each radio. [dBm]
    memo : Fresh or None
        What is known from an earlier value of the site.
    """
    worse = _worse_margin_db(job, hops, path, rates, full_dbm)
    from_a = _hop_reach_m(job, hops, where.distance_m, worse + (path.peak_a_dbi - path.gain_a_dbi)[:, None])
    from_s = _hop_reach_m(job, hops, where.distance_m, worse + (path.peak_s_dbi - path.gain_s_dbi)[:, None])
    index = needed.astype(float)
    rate, needed_a, needed_s = (at_mcs(table, index) for table in (rates.rate_mbps, from_a, from_s))
    count = len(radios.ids)
    reach, mcs, rates_out = np.full(count, np.nan), np.full(count, -1, dtype=np.intp), np.full(count, np.nan)
    served: list[tuple[FloatArray, FloatArray]] = []
    for n in range(count):
        rows, sides = list(fans.hop_rows[n]), fans.at_access_point[n]
        if not rows:
            served.append(_NOBODY)
            continue
        each = [needed_a[h] if at else needed_s[h] for h, at in zip(rows, sides, strict=True)]
        least = int(np.argmin(each))
        reach[n], mcs[n], rates_out[n] = each[least], needed[rows[least]], rate[rows[least]]
        at = np.array(sides)[:, None]
        served.append((rates.rate_mbps[rows], np.where(at, from_a[rows], from_s[rows])))
    arcs = (memo or Fresh()).each("arcs", radios.ids, served, lambda stale: [_arcs(*served[n]) for n in stale])
    near_in = _near_in_m(radios, hops, fans, aims, beams)
    return Reach(reach_m=reach, mcs=mcs, rate_mbps=rates_out, arcs=tuple(arcs), near_in_m=near_in)


_NOBODY = (np.zeros((0, RATES)), np.zeros((0, RATES)))


def _arcs(rate_mbps: FloatArray, reach_m: FloatArray) -> tuple[ReachArc, ...]:
    """Return the arcs of one radio from rates and reaches of its hops, shape (k, RATES).

    Of the hops that can run an index the one that reaches least counts; where one of them is not known, no arc.
    """
    if not len(rate_mbps):
        return ()
    to_be_had = ~np.isnan(rate_mbps)
    shortest = np.where(to_be_had, reach_m, np.inf)
    least = np.argmin(shortest, axis=0)
    every = np.arange(RATES)
    columns = zip(rate_mbps[least, every].tolist(), shortest[least, every].tolist(), strict=True)
    found = [ReachArc(mcs, rate, far) for mcs, (rate, far) in enumerate(columns) if np.isfinite(far)]
    return tuple(sorted(found, key=lambda arc: (-arc.phy_rate_mbps, -arc.mcs)))


def _near_in_m(radios: RadioArrays, hops: HopArrays, fans: Fans, aims: Aims, beams: Beams) -> FloatArray:
    bracket = np.where(radios.kind == OMNI, 0.0, aims.bracket_deg)
    edge_deg = beams.lower_deg + bracket
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
