"""The interference stage, global by nature: every radio against every other, and what that leaves of each direction."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from survey_app.assess.budget import Direction
from survey_app.assess.gather import IntArray, RadioArrays
from survey_app.assess.in_the_way import Surroundings
from survey_app.assess.interference.coupling import Coupling, coupling_of, to_frequency_db
from survey_app.assess.interference.heard import Heard, heard
from survey_app.assess.interference.outside import neighbours_at, neighbours_mw
from survey_app.assess.interference.rejection import rejection_db, rejection_steps_db
from survey_app.assess.interference.ways import ways_db
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.numbers import Numbers
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.decibels import mw_to_dbm, sum_dbm
from survey_app.physics.noise import noise_floor_dbm

__all__ = ["Interference", "Left", "cells_of", "coupled", "heard_pairs", "held_back_db", "interference_of"]

_UNDER_NOISE_DB = 10.0
"""What arrives farther under the noise than this is not worth a look at what stands in its way."""


@dataclass(frozen=True)
class Left:
    """What interference leaves of one direction of all hops, shape (hops,) each.

    Attributes
    ----------
    interference_dbm : ndarray of float
        Other cells of the site and scanned neighbours together, in the receiver's channel; -inf where there are none.
        [dBm]
    lost_db : ndarray of float
        What that takes from SNR and margin, on top of the planned rise of the noise. [dB]
    sinr_db, margin_needed_db : ndarray of float
        SNR and margin at the needed rate that are left. [dB]
    worst : ndarray of int
        Row of the radio that is heard best; -1 = none.
    """

    interference_dbm: FloatArray
    lost_db: FloatArray
    sinr_db: FloatArray
    margin_needed_db: FloatArray
    worst: IntArray


@dataclass(frozen=True)
class Interference:
    """What all radios do to each other; in matrices the row hears and the column sends.

    Attributes
    ----------
    coupling : Coupling
        Path gains, with what stands in the way of those that matter.
    levels_dbm : ndarray of float, shape (radios, radios)
        Level at the receiver's input of what the other sends in service, whatever its channel; NaN where it is not
        known. [dBm]
    in_channel_dbm : ndarray of float, shape (radios, radios)
        What of it falls into the receiver's channel. [dBm]
    cell : ndarray of int, shape (radios,)
        Cell of each radio, in the order of `job.cells`; -1 = none.
    neighbours_mw : ndarray of float, shape (radios,)
        What scanned neighbours bring into the channel. [mW]
    up, down : Left
        What is left to the access point, and to the station.
    """

    coupling: Coupling
    levels_dbm: FloatArray
    in_channel_dbm: FloatArray
    cell: IntArray
    neighbours_mw: FloatArray
    up: Left
    down: Left


def cells_of(job: Job, radios: RadioArrays) -> IntArray:
    """Return the cell of each radio, in the order of `job.cells`; -1 = it is in none."""
    place = {key: n for n, key in enumerate(job.cells)}
    owners = (job.access_point_of(key) for key in radios.ids)
    return np.array([-1 if owner is None else place.get(owner.id, -1) for owner in owners], dtype=np.intp)


def coupled(
    job: Job, around: Surroundings | None, radios: RadioArrays, free: Coupling, wanted: BoolArray, memo: Fresh
) -> Coupling:
    """Return the coupling with what stands in the way of wanted pairs.

    Parameters
    ----------
    job, around, radios : Job, Surroundings or None, RadioArrays
        The site, and what stands in it; None = nobody asks for that.
    free : Coupling
        With nothing in the way.
    wanted : ndarray of bool, shape (radios, radios)
        Pairs that matter; it is enough to say so one way.
    memo : Fresh
        What is known from an earlier value of the site.
    """
    first, second = np.nonzero(np.triu(wanted | wanted.T, 1))
    if around is None or not len(first):
        return free
    loss = ways_db(job, around, radios, first.astype(np.intp), second.astype(np.intp), memo)
    gain = free.gain_db.copy()
    gain[first, second] -= loss
    gain[second, first] -= loss
    return dataclasses.replace(free, gain_db=gain)


def held_back_db(job: Job, radios: RadioArrays) -> FloatArray:
    """Return how much weaker each radio (row) has in its channel what each other (column) sends. [dB]"""
    centre, width = radios.centre_mhz, radios.width_mhz
    steps = rejection_steps_db(job)
    return rejection_db(centre[None, :], width[None, :], centre[:, None], width[:, None], steps[:, None, :])


def heard_pairs(
    radios: RadioArrays, cell: IntArray, service_dbm: FloatArray, free: Coupling, held_db: FloatArray
) -> BoolArray:
    """Return which radios (column) may matter to which of other cells (row), with nothing in the way.

    Parameters
    ----------
    radios : RadioArrays
        All radios.
    cell : ndarray of int, shape (radios,)
        Cell of each, see `cells_of`.
    service_dbm : ndarray of float, shape (radios,)
        What each sends. [dBm]
    free : Coupling
        With nothing in the way.
    held_db : ndarray of float, shape (radios, radios)
        See `held_back_db`. [dB]
    """
    sent = (service_dbm + to_frequency_db(radios.centre_mhz))[None, :]
    noise = noise_floor_dbm(radios.width_mhz, radios.noise_figure_db)
    other = (cell[:, None] != cell[None, :]) & (cell[:, None] >= 0) & (cell[None, :] >= 0)
    matters: BoolArray = other & (sent + free.gain_db - held_db > noise[:, None] - _UNDER_NOISE_DB)
    return matters


def interference_of(job: Job, found: Numbers, memo: Fresh, free: Coupling | None = None) -> Interference:
    """Return what all radios of a site do to each other.

    Parameters
    ----------
    job : Job
        The indexed site.
    found : Numbers
        The array half of its assessment.
    memo : Fresh
        What is known from an earlier value of the site.
    free : Coupling or None
        The coupling with nothing in the way, if at hand.
    """
    radios = found.radios
    cell = cells_of(job, radios)
    free = coupling_of(job, radios, found.aims, found.placed.plane) if free is None else free
    held = held_back_db(job, radios)
    matters = heard_pairs(radios, cell, found.powers.service_dbm, free, held)
    coupling = coupled(job, found.stands, radios, free, matters, memo)
    levels = (found.powers.service_dbm + to_frequency_db(radios.centre_mhz))[None, :] + coupling.gain_db
    inside = levels - held
    steps = rejection_steps_db(job)
    outside = neighbours_mw(job, neighbours_at(job), radios.centre_mhz, radios.width_mhz, steps)
    all_cells = heard(inside, cell)
    rise = job.defaults.interference_rise_db
    return Interference(
        coupling=coupling,
        levels_dbm=levels,
        in_channel_dbm=inside,
        cell=cell,
        neighbours_mw=outside,
        up=_left(all_cells, outside, found.hops.access_point, found.up, rise),
        down=_left(all_cells, outside, found.hops.station, found.down, rise),
    )


def _left(cells: Heard, outside_mw: FloatArray, hears: IntArray, way: Direction, rise_db: float) -> Left:
    """Return what is left of one direction; `hears` are the rows of its receivers."""
    together = mw_to_dbm(cells.total_mw[hears] + outside_mw[hears])
    floor = way.noise_dbm + rise_db
    lost = sum_dbm(floor, together) - floor
    return Left(
        interference_dbm=together,
        lost_db=lost,
        sinr_db=way.snr_db - lost,
        margin_needed_db=way.margin_needed_db - lost,
        worst=cells.worst[hears],
    )
