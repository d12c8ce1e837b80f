"""Path gain between every two radios: true patterns at both ends, distance, polarisation, what stands in the way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from survey_app.assess.budget import Aims
from survey_app.assess.gain import OMNI, interfering_gain_dbi, is_dish
from survey_app.assess.gather import IntArray, RadioArrays, pattern_of
from survey_app.assess.job import Job
from survey_app.ground.plane import Plane, plan_bearing
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.geometry import antenna_angles_along_deg, slope_toward
from survey_app.physics.patterns import LOBE, lobe_field_dbi
from survey_app.physics.pointing import polarisation_mismatch_db, rotation_loss_db

__all__ = ["NOMINAL_MHZ", "Coupling", "coupling_of", "to_frequency_db"]

NOMINAL_MHZ = 5500.0
"""Frequency that the coupling is worked out for; `to_frequency_db` carries it to a channel."""

_NEAREST_M = 0.3  # nearer than this the far-field loss says nothing
_NO_LENGTH_M = 1e-3
_AT_ONCE = 8192  # pairs
_WORTH_COMPILING = 40_000  # pairs
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
    aim = aims.bearing_deg
    if plane is not None:
        aim = plan_bearing(plane, radios.x_m, radios.y_m, aim)
    gain = np.full((len(radios.ids), len(radios.ids)), np.nan)
    # an omni has no azimuth to aim, and what nobody aimed may look straight at its neighbour
    straight = np.isnan(aim) | (radios.kind == OMNI)
    aim, bracket = np.nan_to_num(aim), np.nan_to_num(aims.bracket_deg)
    panels = _panels(radios, straight)
    if len(panels):
        gain[panels] = _panel_gain_dbi(radios, panels, aim[panels], bracket[panels])
    for rows in _alike(radios, straight, panels):
        gain[rows] = _gain_dbi(radios, rows, None if straight[rows[0]] else aim[rows], bracket[rows])
    return _with_paths(radios, gain, _polarisation_db(job))


def _with_paths(radios: RadioArrays, gain: FloatArray, unlike_db: FloatArray) -> Coupling:
    """Return the coupling from the gain of each radio (row) toward each (column); both ways in one go."""
    path, apart = np.empty_like(gain), np.empty_like(gain)
    main = gain >= radios.gain_dbi[:, None] - _MAIN_LOBE_DB
    step = _step(len(gain))
    for first in range(0, len(gain), step):
        here, there = slice(first, first + step), slice(first, None)
        rows = np.arange(len(gain), dtype=np.intp)[here]
        away = _apart_m(radios, rows, first)
        both = main[here, there] & main[there, here].T
        loss = free_space_loss_db(np.maximum(away, _NEAREST_M), NOMINAL_MHZ)
        between = gain[here, there] + gain[there, here].T
        between -= radios.feeder_loss_db[here, None] + radios.feeder_loss_db[None, there] + loss
        path[here, there] = between - np.where(both, unlike_db[here, there], 0.0)
        # a polarisation may cost more one way than the other
        path[there, here] = (between - np.where(both, unlike_db[there, here].T, 0.0)).T
        apart[here, there], apart[there, here] = away, away.T
    return Coupling(gain_db=path, apart_m=apart)


def _step(radios: int) -> int:
    """Return how many radios to take at once: so few that what is reckoned with stays near the processor."""
    return max(1, _AT_ONCE // max(radios, 1))


def _apart_m(radios: RadioArrays, rows: IntArray, first: int) -> FloatArray:
    """Return the distance of some radios (rows) from all but the first; NaN from themselves."""
    parts = (radios.x_m, radios.y_m, radios.elevation_m)
    east, north, up = (part[None, first:] - part[rows, None] for part in parts)
    apart: FloatArray = np.sqrt(np.square(east) + np.square(north) + np.square(up))
    apart[np.arange(len(rows)), rows - first] = np.nan
    return apart


def _panels(radios: RadioArrays, straight: BoolArray) -> IntArray:
    """Return the rows of plain panels, where there are so many pairs that a loop is worth to be compiled."""
    plain = (radios.kind == LOBE) & ~straight & ~is_dish(radios, np.arange(len(straight), dtype=np.intp))
    plain[list(radios.tables)] = False
    rows: IntArray = np.flatnonzero(plain)
    return rows if len(rows) * len(straight) >= _WORTH_COMPILING else rows[:0]


def _panel_gain_dbi(radios: RadioArrays, rows: IntArray, aim_deg: FloatArray, bracket_deg: FloatArray) -> FloatArray:
    figures = (
        radios.gain_dbi, radios.azimuth_beamwidth_deg, radios.elevation_beamwidth_deg,
        radios.front_to_back_db, radios.electrical_downtilt_deg,
    )  # fmt: skip
    return lobe_field_dbi(
        np.column_stack((radios.x_m, radios.y_m, radios.elevation_m)),
        rows,
        np.column_stack((aim_deg, bracket_deg)),
        np.column_stack([figure[rows] for figure in figures]),
        _NO_LENGTH_M,
    )


def _gain_dbi(radios: RadioArrays, rows: IntArray, aim_deg: FloatArray | None, bracket_deg: FloatArray) -> FloatArray:
    """Return the gain of some radios (rows) of one kind toward all; without an aim they look straight at each."""
    east, north = (part[None, :] - part[rows, None] for part in (radios.x_m, radios.y_m))
    ground = np.sqrt(np.square(east) + np.square(north))
    run = np.maximum(ground, _NO_LENGTH_M)
    rise = slope_toward(radios.elevation_m[rows, None], radios.elevation_m[None, :], run)
    if aim_deg is None:
        angles = antenna_angles_along_deg(0.0, run, rise, 0.0, bracket_deg[:, None])
    else:
        # right above one another is toward the plan's north
        north = np.where(ground > 0.0, north, _NO_LENGTH_M)
        angles = antenna_angles_along_deg(east, north, rise, aim_deg[:, None], bracket_deg[:, None])
    return interfering_gain_dbi(radios, rows[:, None], *angles)


def _alike(radios: RadioArrays, straight: BoolArray, done: IntArray) -> Iterator[IntArray]:
    """Yield rows of other radios that are worked out together: few of one kind, or one with a table of its own."""
    step = _step(len(straight))
    tables = np.zeros(len(straight), dtype=bool)
    tables[list(radios.tables)] = True
    left = ~tables
    left[done] = False
    for kind in np.unique(radios.kind):
        for lost in (False, True):
            rows: IntArray = np.flatnonzero((radios.kind == kind) & (straight == lost) & left)
            for first in range(0, len(rows), step):
                yield rows[first : first + step]
    for row in np.flatnonzero(tables):
        yield np.array([row], dtype=np.intp)


def _polarisation_db(job: Job) -> FloatArray:
    """Return what unlike polarisations cost from each radio (column) into each other (row)."""
    kinds: list[tuple[str, float, float]] = []
    known: dict[tuple[str, str | None], tuple[str, float]] = {}
    for radio in job.radios.values():
        key = (radio.gear, radio.antenna)
        if key not in known:
            pattern = pattern_of(job, radio)
            known[key] = ("v+h", np.nan) if pattern is None else (pattern.polarisation, pattern.cross_polar_db)
        name, cross_db = known[key]
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
    found: FloatArray = np.nan_to_num(table)[index[:, None], index[None, :]]
    return found
