"""The tally: what to buy, what is there, what comes down, and the work, each line with what needs it."""

from __future__ import annotations

import math
from collections.abc import Mapping

from survey_app.assess.counting import Book, Counted, Entry
from survey_app.assess.counting_cable import count_cable, drums_for
from survey_app.assess.counting_labour import count_labour, count_lifts
from survey_app.assess.counting_mounts import count_mounts
from survey_app.assess.counting_power import count_power
from survey_app.assess.counting_surge import count_surge
from survey_app.assess.counting_units import count_units
from survey_app.assess.job import Job
from survey_app.assess.record import ClimbRow, HeadEndRow, MountRow, TallyRow, WireRow
from survey_app.site.gear_type import CableType, ClampType

__all__ = ["tally_rows"]


def tally_rows(
    job: Job,
    mounts: tuple[MountRow, ...],
    wires: tuple[WireRow, ...],
    climbs: tuple[ClimbRow, ...],
    head_ends: tuple[HeadEndRow, ...],
    clamps: Mapping[str, ClampType | None],
) -> tuple[TallyRow, ...]:
    """Count a site.

    Parameters
    ----------
    job : Job
        The indexed site.
    mounts, wires, climbs, head_ends : tuple of rows
        Rows of its assessment.
    clamps : mapping of str to ClampType or None
        Clamp of each mount that carries a radio.

    Returns
    -------
    tuple of TallyRow
        By group. The parts of a line sum exactly to its need: pieces and metres are whole, hours are quarters.
        Allowances stand in the column of spares, rounding to packs and drums in that of orders. What exists already
        is not bought, what is of a later stage is not counted.
    """
    counted = Counted(job, mounts, wires, climbs, head_ends, clamps)
    book = Book(counted)
    count_units(book, counted)
    count_mounts(book, counted)
    count_cable(book, counted)
    count_power(book, counted)
    count_surge(book, counted)
    count_labour(book, counted)
    count_lifts(book, counted)
    return tuple(_row(job, entry, number) for number, entry in enumerate(book.entries(), start=1))


def _row(job: Job, entry: Entry, number: int) -> TallyRow:
    article = entry.article
    need = math.fsum(part.quantity for part in entry.parts)
    spare = _spare(job, entry, need) if entry.state == "buy" else 0.0
    labour = article.unit == "h"
    return TallyRow(
        item=number,
        group=article.group,
        gear=article.gear,
        what=article.what,
        for_ids=tuple(dict.fromkeys(part.subject for part in entry.parts)),
        status=entry.state,
        need=need,
        spare=spare,
        order=_order(job, entry, need, spare),
        unit=article.unit,
        how_counted=article.how,
        by_whom=article.by,
        parts=tuple(entry.parts),
        unit_price=article.price,
        low=entry.low if labour else None,
        high=entry.high if labour else None,
    )


def _spare(job: Job, entry: Entry, need: float) -> float:
    """Allowance of a line: spare radios, spare plugs, waste of cable; nothing for the rest."""
    item, defaults = job.gear.get(entry.article.gear or ""), job.defaults
    if item is not None and item.kind == "radio":
        return float(math.ceil(need / defaults.spare_radio_share))
    if entry.article.rule == "plug":
        return float(math.ceil(round(need * defaults.spare_plug_percent / 100.0, 6)))
    if entry.article.unit == "m" and entry.article.group == "Cable and plugs":
        return float(math.ceil(round(need * defaults.cable_waste_percent / 100.0, 6)))
    return 0.0


def _order(job: Job, entry: Entry, need: float, spare: float) -> float:
    """What is ordered: whole drums without joints, whole packs; nothing for what is there or comes down."""
    if entry.state == "hire":
        return float(math.ceil(need)) if entry.article.unit == "day" else need
    if entry.state != "buy":
        return 0.0
    item = job.gear.get(entry.article.gear or "")
    if isinstance(item, CableType):
        waste = 1.0 + job.defaults.cable_waste_percent / 100.0
        drums = drums_for([part.quantity * waste for part in entry.parts], item.drum_m)
        return drums * item.drum_m
    return float(math.ceil((need + spare) / entry.article.pack) * entry.article.pack)
