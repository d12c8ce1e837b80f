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
from survey_app.assess.memo import Fresh, Memo
from survey_app.assess.prices import Prices
from survey_app.assess.record import ClimbRow, HeadEndRow, MountRow, TallyRow, WireRow
from survey_app.site.edits.sharing import rebuilt, with_fields
from survey_app.site.gear_type import CableType, ClampType
from survey_app.site.place import PlanePoint
from survey_app.site.structure import Mast, Pole, Structure

__all__ = ["tally_rows"]


def tally_rows(
    job: Job,
    mounts: tuple[MountRow, ...],
    wires: tuple[WireRow, ...],
    climbs: tuple[ClimbRow, ...],
    head_ends: tuple[HeadEndRow, ...],
    clamps: Mapping[str, ClampType | None],
    memo: Fresh | None = None,
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
    memo : Fresh or None
        What is known from an earlier value of the site. The tally is global by nature, but it does not matter to it
        where uprights stand: what only moves them does not count them again.

    Returns
    -------
    tuple of TallyRow
        By group. The parts of a line sum exactly to its need: pieces and metres are whole, hours are quarters.
        Allowances stand in the column of spares, rounding to packs and drums in that of orders. What exists already
        is not bought, what is of a later stage is not counted.
    """
    keep = memo or Fresh()
    if isinstance(keep, Memo):
        job, mounts = _placeless(job, keep), _placeless_rows(mounts, keep)
    design, evidence = job.design, job.site.evidence
    present = (job.mounts, job.with_later)
    given = (tuple(design.__dict__.values()), evidence, present, mounts, wires, climbs, head_ends, clamps)
    (rows,) = keep.each(
        "tally", ["tally"], [given], lambda _: [_counted(Counted(job, mounts, wires, climbs, head_ends, clamps))]
    )
    return rows


def _placeless(job: Job, memo: Fresh) -> Job:
    """Return the job with its poles and masts all at one point, so that none differs by where it stands."""
    structures = job.design.structures
    ids = [thing.id for thing in structures]

    def without_place(stale: list[int]) -> list[Structure]:
        here = PlanePoint(x_m=0.0, y_m=0.0)
        return [
            rebuilt(row, row.id, position=here) if isinstance(row, Pole | Mast) else row
            for row in (structures[n] for n in stale)
        ]

    made = memo.each("uprights without their places", ids, structures, without_place)
    rows = tuple(memo.settle("uprights as counted", ids, made))
    bare = Job(with_fields(job.site, design=with_fields(job.design, structures=rows)), job.with_later)
    # which mounts have a place is known from where they really are
    bare.__dict__["mounts"] = job.mounts
    return bare


def _placeless_rows(mounts: tuple[MountRow, ...], memo: Fresh) -> tuple[MountRow, ...]:
    ids = [row.id for row in mounts]

    def without_place(stale: list[int]) -> list[MountRow]:
        nowhere = {"x_m": 0.0, "y_m": 0.0, "lat_deg": None, "lon_deg": None}
        return [MountRow(**{**mounts[n].__dict__, **nowhere}) for n in stale]

    made = memo.each("mounts without their places", ids, mounts, without_place)
    return tuple(memo.settle("mounts as counted", ids, made))


def _counted(counted: Counted) -> tuple[TallyRow, ...]:
    job = counted.job
    book = Book(counted)
    count_units(book, counted)
    count_mounts(book, counted)
    count_cable(book, counted)
    count_power(book, counted)
    count_surge(book, counted)
    count_labour(book, counted)
    count_lifts(book, counted)
    prices = Prices.of(job.design)
    return tuple(_row(job, entry, number, prices) for number, entry in enumerate(book.entries(), start=1))


def _row(job: Job, entry: Entry, number: int, prices: Prices) -> TallyRow:
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
        unit_price=prices.unit_price(job.gear.get(article.gear or ""), article.what, article.unit),
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
