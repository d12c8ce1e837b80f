"""What the level of every hop has in hand, and how far it may be off."""

from __future__ import annotations

import math

import numpy as np

from survey_app.assess.chances.hops import Level
from survey_app.assess.job import Job
from survey_app.assess.numbers import Numbers
from survey_app.assess.reading import spread_causes
from survey_app.physics.arrays import FloatArray
from survey_app.physics.rates import at_mcs

__all__ = ["level_in_hand"]

_READING = frozenset({"display", "display step"})  # they turn a reading, not the level


def level_in_hand(job: Job, found: Numbers) -> Level:
    """Return the margin of every hop at the needed rate and full legal power, and the spread of its level.

    Parameters
    ----------
    job : Job
        The indexed site.
    found : Numbers
        The array half of its assessment.

    Notes
    -----
    Automatic power answers a level that is lower than planned by sending more, up to the full power: what that leaves
    is in hand. The spread is that of the reading windows, without the display.
    """
    hops, rates, index = found.hops, found.rates, found.needed.astype(float)
    a, s, full = hops.access_point, hops.station, found.powers.full_dbm
    up = np.minimum(at_mcs(rates.power_s_dbm, index), full[s]) - at_mcs(rates.sensitivity_a_dbm, index)
    down = np.minimum(at_mcs(rates.power_a_dbm, index), full[a]) - at_mcs(rates.sensitivity_s_dbm, index)
    margin_db = np.minimum(up, down) + found.path.path_gain_db - job.defaults.interference_rise_db
    return Level(margin_db, _sigmas_db(job))


def _sigmas_db(job: Job) -> FloatArray:
    """Return the spread of the level of every hop, the worse direction."""
    known: dict[tuple[str, str | None, str, str | None], float] = {}
    found = []
    for hop in job.hops.values():
        a, s = job.radios[hop.access_point], job.radios[hop.station]
        key = (a.gear, a.antenna, s.gear, s.antenna)
        if key not in known:
            known[key] = max(
                math.sqrt(math.fsum(db * db for cause, db in spread_causes(job, here, there) if cause not in _READING))
                for here, there in ((a, s), (s, a))
            )
        found.append(known[key])
    return np.array(found, np.float64)
