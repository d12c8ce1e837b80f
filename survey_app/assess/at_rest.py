"""Automatic power of the whole site in service: radios of different cells hear each other, and answer that."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.air import hearing_limits_dbm
from survey_app.assess.gather import IntArray
from survey_app.assess.hop_rates import access_of
from survey_app.assess.interference import (
    Coupling,
    Interference,
    cells_of,
    coupled,
    coupling_of,
    heard,
    heard_pairs,
    held_back_db,
    interference_of,
)
from survey_app.assess.interference.coupling import to_frequency_db
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.numbers import Numbers, at_powers
from survey_app.assess.settling import Answer, Settled, answer_of, one_after_another, settled
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.noise import noise_floor_dbm
from survey_app.physics.rates import at_mcs

__all__ = ["AtRest", "at_rest"]

_FEWEST_CELLS = 2


@dataclass(frozen=True)
class AtRest:
    """A site whose automatic power has settled.

    Attributes
    ----------
    numbers, quiet : Numbers
        The numbers at the powers of rest, and at those that noise alone asks for; the same object where these are the
        same.
    between : Interference
        What the radios do to each other at these powers.
    answered_db : ndarray of float, shape (radios,)
        What each sends more than noise alone would make it send; 0 where nothing of other cells counts. [dB]
    restless : tuple of str
        Radios whose power never comes to rest; they are taken at the highest that they reach.
    """

    numbers: Numbers
    quiet: Numbers
    between: Interference
    answered_db: FloatArray
    restless: tuple[str, ...]


def at_rest(job: Job, found: Numbers, memo: Fresh) -> AtRest:
    """Let the automatic power of a whole site settle.

    Parameters
    ----------
    job : Job
        The indexed site.
    found : Numbers
        Its numbers, with the powers that noise alone would ask for.
    memo : Fresh
        What is known from an earlier value of the site.

    Notes
    -----
    A receiver has to do with noise, with the planned rise of it (which stands for neighbours that nobody controls) and
    with what arrives in its channel from the other cells of the site, each with its radio that is heard best. Radios
    that hear each other at the level of carrier sense take turns, so that the one does not send while the other
    receives: it asks for no more power then. While who takes turns with whom stays, the answer is a standard
    interference function and comes to rest ([YATES95]_, 1995, see `settled`); where it does not stay, radios may go
    round in a cycle.

    First all pairs count as if nothing stood between them and nobody took turns. That state of rest is reached in
    any case and lies over every other; where it is what noise alone asks for, so is every other.
    """
    free = coupling_of(job, found.radios, found.aims, found.placed.plane)
    rest = _rest(job, found, free, memo)
    if rest is None:
        return AtRest(found, found, interference_of(job, found, memo, free), np.zeros(len(found.radios.ids)), ())
    after = at_powers(job, found, rest.power_dbm)
    answered = np.nan_to_num(rest.power_dbm - found.powers.service_dbm)
    return AtRest(after, found, interference_of(job, after, memo, free), answered, rest.cycle)


def _rest(job: Job, found: Numbers, free: Coupling, memo: Fresh) -> Settled | None:
    """Return where power comes to rest; None where it is what noise alone asks for."""
    radios, quiet_dbm = found.radios, found.powers.service_dbm
    fixed = np.array([radio.power_mode == "fixed" for radio in job.radios.values()], dtype=bool)
    if len(job.cells) < _FEWEST_CELLS or not np.any(~fixed & (quiet_dbm < found.powers.full_dbm)):
        return None
    cell, held = cells_of(job, radios), held_back_db(job, radios)

    def settle(coupling: Coupling, turns: BoolArray) -> Settled:
        passed_db = coupling.gain_db + to_frequency_db(radios.centre_mhz)[None, :] - held
        arriving = _Arriving(cell, passed_db, hearing_limits_dbm(radios), turns)
        answer = _answer(job, found, fixed, arriving)
        rest = settled(tuple(radios.ids), answer, quiet_dbm)
        if not rest.cycle:
            return rest
        rows = [n for n, key in enumerate(radios.ids) if key in rest.cycle]
        return settled(tuple(radios.ids), one_after_another(answer, rows), quiet_dbm)

    highest_dbm = settle(free, np.zeros(free.gain_db.shape, dtype=bool)).power_dbm
    if np.array_equal(highest_dbm, quiet_dbm, equal_nan=True):
        return None
    pairs = heard_pairs(radios, cell, highest_dbm, free, held)
    owners = [job.access_point_of(key) for key in radios.ids]
    waits = [owner is not None and access_of(job, owner.id) == "contention" for owner in owners]
    rest = settle(coupled(job, found.stands, radios, free, pairs, memo), np.logical_and.outer(waits, waits))
    return None if np.array_equal(rest.power_dbm, quiet_dbm, equal_nan=True) else rest


@dataclass(frozen=True)
class _Arriving:
    """What other cells bring into the channel of each radio.

    Parameters
    ----------
    cell : ndarray of int, shape (radios,)
        Cell of each.
    passed_db : ndarray of float, shape (radios, radios)
        What of the power of the column arrives in the channel of the row. [dB]
    limits_dbm : ndarray of float, shape (radios, radios)
        Level from which on the row waits for the column. [dBm]
    turns : ndarray of bool, shape (radios, radios)
        Pairs that take turns where they hear each other.
    """

    cell: IntArray
    passed_db: FloatArray
    limits_dbm: FloatArray
    turns: BoolArray

    def __call__(self, power_dbm: FloatArray) -> FloatArray:
        inside = power_dbm[None, :] + self.passed_db
        waits = inside >= self.limits_dbm
        in_turn = (waits | waits.T) & self.turns
        return heard(np.where(in_turn, -np.inf, inside), self.cell).total_mw


def _answer(job: Job, found: Numbers, fixed: BoolArray, arriving: _Arriving) -> Answer:
    radios, hops, rates, index = found.radios, found.hops, found.rates, found.needed.astype(float)
    noise_dbm = noise_floor_dbm(radios.width_mhz, radios.noise_figure_db)
    wanted = (
        at_mcs(rates.sensitivity_a_dbm, index) - noise_dbm[hops.access_point] + hops.wanted_margin_db,
        at_mcs(rates.sensitivity_s_dbm, index) - noise_dbm[hops.station] + hops.wanted_margin_db,
    )
    quiet_dbm = noise_dbm + job.defaults.interference_rise_db
    return answer_of(
        radios, hops, wanted, quiet_dbm, found.path.path_gain_db, arriving, fixed, found.powers.full_dbm,
        job.defaults.target_level_dbm,
    )  # fmt: skip
