"""Automatic power of a whole site at rest: every radio answers the noise that the others make, and is heard by them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import HopArrays, RadioArrays
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.decibels import dbm_to_mw, mw_to_dbm

__all__ = ["Answer", "Settled", "answer_of", "one_after_another", "settled"]

Answer = Callable[[FloatArray], FloatArray]
"""What every radio sends once the others send so much: power over all chains in, one figure of each radio out."""


@dataclass(frozen=True)
class Settled:
    """Where automatic power comes to rest.

    Parameters
    ----------
    power_dbm : ndarray of float, shape (radios,)
        Power at rest; of a cycle the highest that each radio reaches in it. [dBm]
    rounds : int
        How often all radios answered before nothing changed, or before a state came again.
    cycle : tuple of str
        Radios that never come to rest; empty where all do.
    """

    power_dbm: FloatArray
    rounds: int
    cycle: tuple[str, ...]


_MOST_ROUNDS = 2000


def settled(names: tuple[str, ...], answer: Answer, start_dbm: FloatArray) -> Settled:
    """Let all radios answer each other until nothing changes, or until a state comes again.

    Parameters
    ----------
    names : tuple of str
        Radios.
    answer : callable
        See `Answer`; its answers are steps of the units between floor and ceiling, so that there are finitely many.
    start_dbm : ndarray of float, shape (radios,)
        What is sent at the beginning: the units' floors. [dBm]

    Notes
    -----
    An answer that rises or stays when any other power rises is a monotone map of a finite lattice. From the floor,
    which no answer undercuts, the first round raises or keeps every power, and so does each round after it: the
    sequence rises and is bounded by the ceilings, hence it comes to rest, after no more rounds than there are steps
    in all units together, and at the least state of rest that there is. Without steps and bounds the answer to a
    wanted ratio of signal to interference and noise is a standard interference function in the sense of [YATES95]_
    (positive, monotone, scalable), whose state of rest is unique; cutting it off at floor and ceiling keeps that.
    An answer that is not monotone may run in a cycle: since states are finitely many, one comes again, and the
    radios that differ in it are named. A round that is longer than 2000 states is cut there: all that move in them are
    named.
    """
    seen: dict[bytes, int] = {}
    states: list[FloatArray] = []
    power = np.array(start_dbm, dtype=float)
    while power.tobytes() not in seen and len(states) < _MOST_ROUNDS:
        seen[power.tobytes()] = len(states)
        states.append(power)
        power = answer(power) + 0.0  # no minus zero: the same state has the same bytes
    first = seen.get(power.tobytes(), 0)
    turning = np.array(states[first:])
    moving = np.any((turning != turning[0]) & ~np.isnan(turning[0]), axis=0)
    cycle = tuple(name for name, moves in zip(names, moving, strict=True) if moves)
    return Settled(power_dbm=turning.max(axis=0), rounds=len(states), cycle=cycle)


def one_after_another(answer: Answer, rows: Sequence[int]) -> Answer:
    """Return the answer of radios of which some look at each other in turn, and the rest all at once after them.

    Where all answer at one moment, two may give way to each other for ever, both at once; no clock makes real ones do
    that. What comes to rest in this way is at rest for the answer itself too.

    Parameters
    ----------
    answer : callable
        What all radios answer at one moment.
    rows : sequence of int
        Radios that answer one after another.
    """

    def in_turn(power_dbm: FloatArray) -> FloatArray:
        power = power_dbm.copy()
        for row in rows:
            power[row] = answer(power)[row]
        last = answer(power)
        last[list(rows)] = power[list(rows)]
        return last

    return in_turn


def answer_of(
    radios: RadioArrays,
    hops: HopArrays,
    wanted_db: tuple[FloatArray, FloatArray],
    quiet_dbm: FloatArray,
    path_gain_db: FloatArray,
    arriving_mw: Answer,
    fixed: BoolArray,
    full_dbm: FloatArray,
    target_level_dbm: float,
) -> Answer:
    """Return how the radios of a site answer: what the needed rate wants at every far end over noise and interference.

    Parameters
    ----------
    radios, hops : RadioArrays, HopArrays
        The site as arrays.
    wanted_db : tuple of ndarray of float, shape (hops,)
        Ratio of signal to noise and interference that access point and station ask for, with margin. [dB]
    quiet_dbm : ndarray of float, shape (radios,)
        Noise of each receiver in its width, with the planned rise. [dBm]
    path_gain_db : ndarray of float, shape (hops,)
        From plug to plug; the same both ways. [dB]
    arriving_mw : callable
        What all others bring into the channel of each radio once the radios send so much. [dBm -> mW]
    fixed : ndarray of bool, shape (radios,)
        Radios without automatic power: they send `full_dbm` whatever happens.
    full_dbm : ndarray of float, shape (radios,)
        The ceiling: what the regulation, the setting and the unit leave, whichever is least. [dBm]
    target_level_dbm : float
        Level that the site aims for; a hop that needs more asks for more. [dBm]
    """
    a, s = hops.access_point, hops.station
    floor, step = radios.power_floor_dbm, radios.power_step_db
    quiet_mw = dbm_to_mw(quiet_dbm)

    def answer(power_dbm: FloatArray) -> FloatArray:
        floor_dbm = mw_to_dbm(quiet_mw + arriving_mw(power_dbm))
        asked = np.full(len(radios.ids), -np.inf)
        # a hop whose path is unknown asks for nothing: it must not take the power from the others
        np.fmax.at(asked, a, np.maximum(floor_dbm[s] + wanted_db[1], target_level_dbm) - path_gain_db)
        np.fmax.at(asked, s, np.maximum(floor_dbm[a] + wanted_db[0], target_level_dbm) - path_gain_db)
        stepped = floor + np.ceil((asked - floor) / step - 1e-9) * step
        return np.where(np.isinf(asked) | fixed, full_dbm, np.clip(stepped, floor, full_dbm))

    return answer
