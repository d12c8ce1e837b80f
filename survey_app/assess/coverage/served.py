"""Which mounts of a site a radio serves, each judged at its own place and height."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.coverage.around import STANDING_KINDS, WhatStands
from survey_app.assess.coverage.levels import path_gain_db, spare_db
from survey_app.assess.coverage.pair import SPARE_ID, Pair
from survey_app.ground.ray import blocked, ray_index
from survey_app.ground.relief.profiles import least_clearance
from survey_app.ground.visibility.carrier import carriers
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.geometry import earth_bulge_m

__all__ = ["SLACK_DB", "ServedMount", "best_mcs", "mounts_served"]

SLACK_DB = 0.05
"""A rate is not lost to the last digit of a power step. [dB]"""


@dataclass(frozen=True)
class ServedMount:
    """A mount as a far end of a radio.

    Attributes
    ----------
    mount : str
        Its id.
    distance_m : float
        From antenna to antenna. [m]
    seen : bool or None
        Whether the straight line to it is free on the drawing; None = the ground under it is not known.
    level_dbm : float or None
        Level at the far end at the radio's aiming power, in free space; None = not known. [dBm]
    mcs : int or None
        Highest rate index with the wanted margin; None = none, or not known.
    rate_mbps : float or None
        Its link rate. [Mbit/s]
    through : tuple of str
        Indoors: walls, doors and floors that the way to it goes through; the level has them in it.
    """

    mount: str
    distance_m: float
    seen: bool | None
    level_dbm: float | None
    mcs: int | None
    rate_mbps: float | None
    through: tuple[str, ...] = ()

    @property
    def served(self) -> bool:
        """Whether it is seen, or reached through walls, and has a rate."""
        return (bool(self.seen) or bool(self.through)) and self.mcs is not None


def mounts_served(pair: Pair, around: WhatStands) -> tuple[ServedMount, ...]:
    """Return all mounts but the radio's own as far ends, the nearest first.

    Parameters
    ----------
    pair : Pair
        Radio and far end.
    around : WhatStands
        What stands on the site.
    """
    own = pair.job.radios[pair.radios.ids[pair.radio]].mount
    mine = pair.job.placed.mounts[own]
    spots = {
        key: pair.job.placed.mounts[key]
        for key in pair.job.mounts
        if key not in (own, SPARE_ID)
        and (spot := pair.job.placed.mounts[key])
        and (spot.x_m, spot.y_m) != (mine.x_m, mine.y_m)
    }
    if not spots:
        return ()
    points = np.array([(spot.x_m, spot.y_m, spot.elevation_m) for spot in spots.values()])
    gain, distance = path_gain_db(pair, points)
    wanted = pair.wanted_db(distance)
    seen, known = _seen(pair, around, points)
    level = gain + pair.found.powers.aiming_dbm[pair.radio]
    found = []
    for n, key in enumerate(spots):
        mcs = best_mcs(pair, gain[n : n + 1], wanted[n : n + 1])
        found.append(
            ServedMount(
                mount=key,
                distance_m=float(distance[n]),
                seen=bool(seen[n]) if known[n] else None,
                level_dbm=float(level[n]) if np.isfinite(level[n]) else None,
                mcs=mcs,
                rate_mbps=None if mcs is None else float(pair.rate_mbps[mcs]),
            )
        )
    return tuple(sorted(found, key=lambda one: (one.distance_m, one.mount)))


def best_mcs(pair: Pair, gain_db: FloatArray, wanted_db: FloatArray) -> int | None:
    """Return the rate index with the highest rate that has its margin."""
    having = [
        mcs
        for mcs in np.flatnonzero(~np.isnan(pair.rate_mbps)).tolist()
        if spare_db(pair, gain_db, wanted_db, mcs)[0] >= -SLACK_DB
    ]
    return max(having, key=lambda mcs: (pair.rate_mbps[mcs], mcs)) if having else None


def _seen(pair: Pair, around: WhatStands, points_m: FloatArray) -> tuple[BoolArray, BoolArray]:
    """Return whether the lines to points are free of solids and ground, and whether that is known."""
    eye = np.broadcast_to(pair.eye_m, points_m.shape)
    free = np.ones(len(points_m), np.bool_)
    if len(around.solids.prisms) or len(around.solids.uprights):
        poles = around.solids.uprights
        without = np.column_stack((carriers(poles, eye), carriers(poles, points_m)))
        free = ~blocked(ray_index(around.solids), eye, points_m, without=without, kinds=STANDING_KINDS)
    profiles = around.ground.profiles(eye[:, :2].copy(), points_m[:, :2].copy())
    half = np.hypot(*(points_m[:, :2] - eye[:, :2]).T) / 2.0
    over, _ = least_clearance(profiles, eye[:, 2].copy(), points_m[:, 2].copy(), earth_bulge_m(half, half))
    return free & (over >= 0.0), ~np.isnan(over) | ~free
