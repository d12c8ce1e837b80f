"""What arrives in the channel of each radio from the other cells."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.physics.arrays import FloatArray
from survey_app.physics.decibels import dbm_to_mw

__all__ = ["Heard", "heard"]


@dataclass(frozen=True)
class Heard:
    """What each radio hears of the other cells of the site.

    Attributes
    ----------
    total_mw : ndarray of float, shape (radios,)
        All other cells together, each with the one of its radios that is heard best. [mW]
    worst : ndarray of int, shape (radios,)
        Row of the radio that is heard best; -1 = none.
    """

    total_mw: FloatArray
    worst: IntArray


def heard(in_channel_dbm: FloatArray, cell: IntArray) -> Heard:
    """Return what each radio hears of other cells.

    Parameters
    ----------
    in_channel_dbm : ndarray of float, shape (radios, radios)
        Level inside the channel of the row's radio of what the column's radio sends. [dBm]
    cell : ndarray of int, shape (radios,)
        Cell of each radio; one of -1 is in none and counts neither way.

    Notes
    -----
    In a cell one radio sends at a time, so the loudest of each cell counts; cells know nothing of each other, so their
    powers add up at the worst moment.
    """
    count = len(cell)
    other = (cell[:, None] != cell[None, :]) & (cell[None, :] >= 0) & (cell[:, None] >= 0)
    level = np.where(other & ~np.isnan(in_channel_dbm), in_channel_dbm, -np.inf)
    worst = np.argmax(level, axis=1) if count else np.zeros(0, dtype=np.intp)
    reached = level[np.arange(count), worst] if count else np.zeros(0)
    order = np.argsort(cell, kind="stable")
    members = order[cell[order] >= 0]
    if not len(members):
        return Heard(np.zeros(count), np.full(count, -1, dtype=np.intp))
    first = np.flatnonzero(np.diff(cell[members], prepend=-1))
    loudest = np.maximum.reduceat(level[:, members], first, axis=1)
    total = np.sum(dbm_to_mw(loudest), axis=1)
    return Heard(total, np.where(np.isfinite(reached), worst, -1).astype(np.intp))
