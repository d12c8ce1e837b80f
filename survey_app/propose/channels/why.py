"""Why a cell gets its channel and width, in sentences for people."""

from __future__ import annotations

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.propose.channels.problem import worth_of
from survey_app.propose.channels.spare import Spare
from survey_app.propose.channels.tables import Tables

__all__ = ["why"]

_MORE = 1.02  # less than two per cent more is not worth a sentence


def why(tables: Tables, plan: IntArray, cell: int, spare: Spare | None) -> str:
    """Return why a cell gets what a plan gives it.

    Parameters
    ----------
    tables : Tables
        The site's plan as numbers.
    plan : ndarray of int, shape (cells,)
        Choice of each cell.
    cell : int
        The cell.
    spare : Spare or None
        Its spare channel where it has a radar duty.
    """
    return " ".join(part for part in (_first(tables, plan, cell), _width(tables, plan, cell), _radar(spare)) if part)


def _first(tables: Tables, plan: IntArray, cell: int) -> str:
    radio = tables.job.radios[tables.cells[cell]]
    choice = int(plan[cell])
    if radio.channel_locked and choice == tables.now[cell]:
        return "Locked."
    if choice == tables.problem.running[cell]:
        return "It runs there already."
    if choice == tables.now[cell]:
        return "As it is."
    if tables.now[cell] < 0:
        return "No channel that it may keep was set."
    back = plan.copy()
    back[cell] = tables.now[cell]
    worst = worth_of(tables.problem, plan).worst_db
    stayed = worth_of(tables.problem, back)
    if stayed.worst_db < worst - 0.1:
        return f"On {tables.choices[tables.now[cell]]} the worst margin would be {stayed.worst_db:.1f} dB."
    gain = float(np.sum(worth_of(tables.problem, plan).capacity_mbps) - np.sum(stayed.capacity_mbps))
    if gain > 0.05:
        return f"On {tables.choices[tables.now[cell]]} all cells together would carry {gain:.1f} Mbit/s less."
    return "It makes room for another cell."


def _width(tables: Tables, plan: IntArray, cell: int) -> str:
    """Say when a narrower channel than others that were to be had carries more, or keeps more margin."""
    problem, here = tables.problem, tables.choices[plan[cell]]
    mine = worth_of(problem, plan)
    best: dict[int, tuple[float, float]] = {}
    for place in np.flatnonzero(problem.allowed[cell]).tolist():
        width = tables.choices[place].width_mhz
        if width <= here.width_mhz:
            continue
        other = plan.copy()
        other[cell] = place
        found = worth_of(problem, other)
        rank = (found.worst_db, float(np.sum(found.capacity_mbps)))
        best[width] = max(best.get(width, rank), rank)
    if not best:
        return ""
    width, (worst, carried) = max(best.items(), key=lambda item: item[1])
    if worst < mine.worst_db - 0.1:
        return f"{width} MHz would leave {worst:.1f} dB in the worst direction: {here.width_mhz} MHz keeps more."
    total = float(np.sum(mine.capacity_mbps))
    if total > carried * _MORE:
        return f"With {width} MHz all cells together would carry {carried:.0f} instead of {total:.0f} Mbit/s."
    return ""


def _radar(spare: Spare | None) -> str:
    if spare is None:
        return ""
    if spare.choice is None:
        return f"Radar channel without a spare of its width: {spare.unchecked_s} s dark after radar."
    return (
        f"Radar channel: {spare.outage_s} s dark after radar with {spare.choice.channel} checked as its spare, "
        f"{spare.unchecked_s} s without."
    )
