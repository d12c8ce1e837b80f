"""What stands between radios that are not meant to hear each other."""

from __future__ import annotations

import numpy as np

from survey_app.assess.gather import HopArrays, IntArray, RadioArrays
from survey_app.assess.in_the_way import Surroundings, obstructions, of_solids, pairs_near
from survey_app.assess.interference.coupling import NOMINAL_MHZ
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.ground.clearance import Pairs, Rays, clearances
from survey_app.ground.solids import SolidKind
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.diffraction import knife_edge_loss_db
from survey_app.physics.free_space import wavelength_m

__all__ = ["ways_db"]

_SCREENS = (int(SolidKind.BUILDING), int(SolidKind.PARAPET), int(SolidKind.OBSTACLE))


def ways_db(
    job: Job, around: Surroundings, radios: RadioArrays, first: IntArray, second: IntArray, memo: Fresh
) -> FloatArray:
    """Return what stands in the way between pairs of radios takes at the least.

    Parameters
    ----------
    job, around : Job, Surroundings
        The indexed site, and what stands in it.
    radios : RadioArrays
        All radios.
    first, second : ndarray of int, shape (pairs,)
        Rows of the two radios.
    memo : Fresh
        What is known from an earlier value of the site.

    Returns
    -------
    ndarray of float, shape (pairs,)
        Loss at 5500 MHz, >= 0. [dB]

    Notes
    -----
    Outdoors the one building that takes most counts, over its top or past the nearer of its sides, as a knife edge
    ([P526]_, P.526-15 (2019), section 4.1); crowns, poles, ground and further buildings are left out, so that nobody is
    told that radios do not hear each other when they may. A pair with an end indoors is judged as a hop is, with the
    least loss that its walls may have.
    """
    loss = np.zeros(len(first))
    if not len(first):
        return loss
    indoors = np.array([job.mounts[radio.mount].environment == "indoors" for radio in job.radios.values()], dtype=bool)
    within: BoolArray = indoors[first] | indoors[second]
    outside, inside = np.flatnonzero(~within), np.flatnonzero(within)
    if len(outside):
        loss[outside] = _past_buildings_db(around, _rays(radios, first[outside], second[outside]))
    if len(inside):
        loss[inside] = _as_hops_db(job, around, radios, first[inside], second[inside], memo)
    return loss


def _rays(radios: RadioArrays, first: IntArray, second: IntArray) -> Rays:
    spots = np.column_stack((radios.x_m, radios.y_m, radios.elevation_m))
    wavelength = float(wavelength_m(NOMINAL_MHZ))
    return Rays(spots[first], spots[second], np.full(len(first), wavelength))


def _past_buildings_db(around: Surroundings, rays: Rays) -> FloatArray:
    stand = around.now
    near = pairs_near(stand, rays)
    wanted = np.flatnonzero(np.isin(of_solids(stand.kind, near), _SCREENS))
    pairs = Pairs(near.ray[wanted], near.family[wanted], near.solid[wanted])
    found = clearances(stand.bodies, rays, pairs)
    # infinite past an edge means that there is no way round there
    edge = np.fmin(np.fmin(found.v_top, found.v_left), found.v_right)
    held = found.holds_start | found.holds_end
    worst = np.full(len(rays), -np.inf)
    np.fmax.at(worst, pairs.ray, np.where(held, -np.inf, edge))
    return np.where(np.isfinite(worst), np.nan_to_num(knife_edge_loss_db(np.clip(worst, -5.0, 1e3))), 0.0)


def _as_hops_db(
    job: Job, around: Surroundings, radios: RadioArrays, first: IntArray, second: IntArray, memo: Fresh
) -> FloatArray:
    ids = tuple(f"{radios.ids[a]} {radios.ids[b]}" for a, b in zip(first.tolist(), second.tolist(), strict=True))
    count = len(ids)
    pairs = HopArrays(
        ids=ids,
        row={key: n for n, key in enumerate(ids)},
        access_point=first,
        station=second,
        cell=np.zeros(count, dtype=np.intp),
        centre_mhz=np.full(count, NOMINAL_MHZ),
        width_mhz=np.full(count, 20.0),
        wanted_margin_db=np.full(count, np.nan),
        guard_interval_us=np.full(count, np.nan),
        legacy_cap_mbps=np.full(count, np.inf),
    )
    found = obstructions(job, around, radios, pairs, memo, stage="ways between radios")
    losses = [row.diffraction_db + row.foliage_low_db + row.through.low_db for row in found.hops]
    known: FloatArray = np.nan_to_num(np.array(losses, dtype=float))
    return known
