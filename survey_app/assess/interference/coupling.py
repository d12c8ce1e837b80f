"""Path gain between every two radios: true patterns at both ends, distance, polarisation, what stands in the way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.budget import Aims
from survey_app.assess.gain import OMNI, interfering_gain_dbi
from survey_app.assess.gather import IntArray, RadioArrays, pattern_of
from survey_app.assess.job import Job
from survey_app.ground.plane import Plane, plan_bearing
from survey_app.physics.arrays import FloatArray
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.geometry import elevation_deg
from survey_app.physics.pointing import polarisation_mismatch_db, rotation_loss_db

__all__ = ["NOMINAL_MHZ", "Coupling", "coupling_of", "to_frequency_db"]

NOMINAL_MHZ = 5500.0
"""Frequency that the coupling is worked out for; `to_frequency_db` carries it to a channel."""

_NEAREST_M = 0.3  # nearer than this the far-field loss says nothing
_MAIN_LOBE_DB = 10.0
_LONE = frozenset({"v", "h", "v+v"})


@dataclass(frozen=True)
class Coupling:
    """Path gain between the plugs of every two radios.

    Attributes
    ----------
    gain_db : ndarray of float, shape (radios, radios)
        Row hears, column sends, at `NOMINAL_MHZ`; negative as a rule. NaN on the diagonal and where an antenna is
        unknown. [dB]
    apart_m : ndarray of float, shape (radios, radios)
        From antenna to antenna. [m]
    """

    gain_db: FloatArray
    apart_m: FloatArray


def to_frequency_db(centre_mhz: FloatArray) -> FloatArray:
    """Return what to add to a coupling at `NOMINAL_MHZ` to have it at another frequency. [dB]"""
    return 20.0 * np.log10(NOMINAL_MHZ / centre_mhz)


def coupling_of(job: Job, radios: RadioArrays, aims: Aims, plane: Plane | None) -> Coupling:
    """Return the coupling of all radios, with nothing in the way.

    Parameters
    ----------
    job : Job
        The indexed site.
    radios, aims : RadioArrays, Aims
        All radios, and where they look; one that nobody aimed may look straight at the other.
    plane : Plane or None
        The plane of an anchored site, from whose true north the aims count; None = they count from plan north.

    Notes
    -----
    Distances are those of the plane: a hop's own are geodesic, but here some parts in a thousand of the path do not
    count. A dish counts with the envelope over its side lobes. Crossed polarisations help only where both antennas hear
    each other in their main lobes (within 10 dB of the peak): what a data sheet says of them holds there, [PRACTICE]_.
    Antennas nearer than 0.3 m count as 0.3 m apart; the far-field loss is the common, careful estimate.
    """
    east, north, up = (part[None, :] - part[:, None] for part in (radios.x_m, radios.y_m, radios.elevation_m))
    ground = np.hypot(east, north)
    apart = np.hypot(ground, up)
    np.fill_diagonal(apart, np.nan)
    toward = np.degrees(np.arctan2(east, north))
    upward = elevation_deg(radios.elevation_m[:, None], radios.elevation_m[None, :], np.maximum(ground, 1e-3))
    aim = aims.bearing_deg
    if plane is not None:
        aim = plan_bearing(plane, radios.x_m, radios.y_m, aim)
    gain = _gains_dbi(radios, toward, upward, aim, aims.bracket_deg)
    path = gain + gain.T
    loss = free_space_loss_db(np.maximum(apart, _NEAREST_M), NOMINAL_MHZ)
    feeders = radios.feeder_loss_db[:, None] + radios.feeder_loss_db[None, :]
    main = gain >= radios.gain_dbi[:, None] - _MAIN_LOBE_DB
    crossed = np.where(main & main.T, _polarisation_db(job), 0.0)
    return Coupling(gain_db=path - feeders - loss - crossed, apart_m=apart)


def _gains_dbi(
    radios: RadioArrays, toward_deg: FloatArray, upward_deg: FloatArray, aim_deg: FloatArray, bracket_deg: FloatArray
) -> FloatArray:
    """Return the gain of each radio (row) toward each other (column), one kind of antenna after the other."""
    found = np.full(toward_deg.shape, np.nan)
    bracket = np.nan_to_num(bracket_deg)
    unaimed = np.isnan(aim_deg) & (radios.kind != OMNI)
    for kind in np.unique(radios.kind):
        for lost in (False, True):
            rows: IntArray = np.flatnonzero((radios.kind == kind) & (unaimed == lost))
            if not len(rows):
                continue
            bearing, column = toward_deg[rows], rows[:, None]
            # what nobody aimed may look straight at its neighbour
            aim = bearing if lost else np.nan_to_num(aim_deg)[column]
            found[rows] = interfering_gain_dbi(radios, column, bearing, upward_deg[rows], aim, bracket[column])
    return found


def _polarisation_db(job: Job) -> FloatArray:
    """Return what unlike polarisations cost from each radio (column) into each other (row)."""
    kinds: list[tuple[str, float, float]] = []
    for radio in job.radios.values():
        pattern = pattern_of(job, radio)
        name = pattern.polarisation if pattern is not None else "v+h"
        cross_db = pattern.cross_polar_db if pattern is not None else np.nan
        kinds.append((name, cross_db, radio.rotation_deg if name in _LONE else 0.0))
    # few kinds, many radios: a table of kinds, then looked up
    different = sorted(set(kinds), key=repr)
    place = {kind: n for n, kind in enumerate(different)}
    index = np.array([place[kind] for kind in kinds], dtype=np.intp)
    hears, sends = np.indices((len(different), len(different)))
    names = [kind[0] for kind in different]
    cross = np.array([kind[1] for kind in different], dtype=float)
    turned = np.array([kind[2] for kind in different], dtype=float)
    lone = np.array([name in _LONE for name in names], dtype=bool)
    worse = np.fmin(cross[hears], cross[sends])
    table = polarisation_mismatch_db(
        [names[n] for n in sends.ravel()], [names[n] for n in hears.ravel()], worse.ravel()
    ).reshape(worse.shape)
    both = lone[hears] & lone[sends]
    table = table + np.where(both, rotation_loss_db(turned[hears] - turned[sends], worse), 0.0)
    # where no discrimination is known none is counted
    known: FloatArray = np.nan_to_num(table)[index[:, None], index[None, :]]
    return known
