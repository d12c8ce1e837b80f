"""Spare channels: where a cell goes when radar is heard on its own."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.propose.channels.choices import Choice
from survey_app.propose.channels.problem import worth_of
from survey_app.propose.channels.tables import Tables
from survey_app.spectrum.permission import RuleSet

__all__ = ["Spare", "spare_of"]


class Spare(NamedTuple):
    """What a radar event costs a cell.

    Attributes
    ----------
    choice : Choice or None
        Spare channel of the same width; None where there is none.
    worst_db : float or None
        Worst margin of the whole site with the cell there. [dB]
    outage_s : int
        How long the cell is dark after radar when the spare was checked beforehand. [s]
    unchecked_s : int
        The same without a checked spare. [s]
    """

    choice: Choice | None
    worst_db: float | None
    outage_s: int
    unchecked_s: int


def spare_of(tables: Tables, plan: IntArray, cell: int) -> Spare | None:
    """Return the spare channel of a cell that a plan puts on a radar channel; None where it has no radar duty.

    Parameters
    ----------
    tables : Tables
        The site's plan as numbers.
    plan : ndarray of int, shape (cells,)
        Choice of each cell.
    cell : int
        The cell.

    Notes
    -----
    Of the choices of the same width that share no frequency with the channel that is barred, the one without a radar
    duty of its own where there is one, then the one that leaves the site the best worst margin. A checked spare takes
    the time to move alone.
    """
    here = tables.choices[plan[cell]]
    rules = tables.rules[cell][here]
    if not any(one.radar_duty for one in rules):
        return None
    move_s = max(_move_s(one) for one in rules)
    unchecked_s = max(one.radar_outage_s for one in rules)
    best: tuple[bool, float, int] | None = None
    for place in np.flatnonzero(tables.problem.allowed[cell]).tolist():
        other = tables.choices[place]
        apart = abs(other.centre_mhz - here.centre_mhz)
        if other.width_mhz != here.width_mhz or apart < here.width_mhz:
            continue
        moved = plan.copy()
        moved[cell] = place
        quiet = not any(one.radar_duty for one in tables.rules[cell][other])
        rank = (quiet, worth_of(tables.problem, moved).worst_db, -place)
        if best is None or rank > best:
            best = rank
    if best is None or not np.isfinite(best[1]):
        return Spare(None, None, unchecked_s, unchecked_s)
    return Spare(tables.choices[-best[2]], best[1], move_s, unchecked_s)


def _move_s(rules: RuleSet) -> int:
    """Return how long a radio may take to leave a channel. [s]"""
    return rules.radar_outage_s - rules.radar_wait_s
