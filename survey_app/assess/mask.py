"""Limits by angle above the horizon: they lower what a radio may send once it is known where its beam looks."""

from __future__ import annotations

import dataclasses

import numpy as np

from survey_app.assess.budget import Aims
from survey_app.assess.gain import OMNI, gain_toward_dbi
from survey_app.assess.gather import RadioArrays
from survey_app.assess.law import Law
from survey_app.physics.arrays import FloatArray
from survey_app.spectrum.limits import elevation_limit_dbm
from survey_app.spectrum.permission import RuleSet

__all__ = ["under_masks"]

_STEP_DEG = 0.5


def under_masks(law: Law, radios: RadioArrays, aims: Aims) -> Law:
    """Return the law with the limits of radios lowered that would pass a limit toward the sky.

    Parameters
    ----------
    law : Law
        Limits along the beams' axes.
    radios, aims : RadioArrays, Aims
        Patterns, and where they look; a radio without an aim is left as it is.

    Returns
    -------
    Law
        `binding` says "elevation mask" where that holds.
    """
    rows = [n for n, rules in enumerate(law.rule_sets) if rules is not None and _masked(rules)]
    rows = [n for n in rows if np.isfinite(law.conducted_dbm[n]) and np.isfinite(aims.bracket_deg[n])]
    if not rows:
        return law
    elevation = np.arange(0.0, 90.0 + _STEP_DEG / 2, _STEP_DEG)
    gain = _gain_over_the_horizon_dbi(radios, aims, rows, elevation)
    conducted, eirp, binding = law.conducted_dbm.copy(), law.eirp_dbm.copy(), list(law.binding)
    for n, toward_sky in zip(rows, gain, strict=True):
        rules = law.rule_sets[n]
        assert rules is not None
        loss = float(radios.feeder_loss_db[n])
        allowed = _allowed_dbm(rules, elevation, toward_sky - loss, float(radios.gain_dbi[n]) - loss)
        if allowed < conducted[n]:
            eirp[n] -= conducted[n] - allowed
            conducted[n] = allowed
            binding[n] = "elevation mask"
    return dataclasses.replace(law, conducted_dbm=conducted, eirp_dbm=eirp, binding=tuple(binding))


def _masked(rules: RuleSet) -> bool:
    return any(row.elevation_mask is not None for row in rules.rows)


def _gain_over_the_horizon_dbi(
    radios: RadioArrays, aims: Aims, rows: list[int], elevation_deg: FloatArray
) -> FloatArray:
    index = np.array(rows, dtype=np.intp)[:, None]
    shape = (len(rows), len(elevation_deg))
    all_round = radios.kind[index] == OMNI
    axis = np.broadcast_to(np.where(all_round, 0.0, aims.bearing_deg[index]), shape)
    return gain_toward_dbi(
        radios,
        np.broadcast_to(index, shape),
        axis,
        np.broadcast_to(elevation_deg, shape),
        axis,
        np.broadcast_to(aims.bracket_deg[index], shape),
    )


def _allowed_dbm(rules: RuleSet, elevation_deg: FloatArray, gain_dbi: FloatArray, peak_dbi: float) -> float:
    """Return the most power at the connectors that no mask forbids; infinite where none holds. [dBm]"""
    limit = elevation_limit_dbm(rules, elevation_deg, np.inf)
    allowed = float(np.min(limit - gain_dbi))
    # some masks hold only above an EIRP: at or under it there is nothing to hold to
    free = [row.elevation_mask.above_eirp_dbm for row in rules.rows if row.elevation_mask is not None]
    known = [level for level in free if level is not None]
    if len(known) == len(free) and known:
        allowed = max(allowed, min(known) - peak_dbi)
    return allowed
