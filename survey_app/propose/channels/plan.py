"""A proposed channel plan: the site with it, and the record of what was decided and why."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from survey_app.assess.gather import IntArray
from survey_app.errors import UsageError
from survey_app.propose.channels.choices import Choice, current_of
from survey_app.propose.channels.problem import worth_of
from survey_app.propose.channels.search import Found, Patience, search
from survey_app.propose.channels.spare import Spare, spare_of
from survey_app.propose.channels.tables import Tables, tables_of
from survey_app.propose.channels.why import why
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.radio import set_channels
from survey_app.site.record import Record
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions

__all__ = ["CellPlan", "ChannelPlan", "Proposal", "propose_channels"]


class CellPlan(Record):
    """What the plan says of one cell."""

    cell: str
    channel_before: int | None
    width_before_mhz: int | None
    channel: int
    width_mhz: int
    changed: bool
    worst_margin_before_db: float | None
    worst_margin_db: float | None
    capacity_before_mbps: float | None
    capacity_mbps: float
    radar_spare: int | None
    radar_outage_s: int | None
    radar_outage_unchecked_s: int | None
    worst_margin_on_spare_db: float | None
    why: str


class ChannelPlan(Record):
    """A channel plan with what it is worth and how sure that is."""

    cells: tuple[CellPlan, ...]
    worst_margin_before_db: float | None
    worst_margin_db: float | None
    worst_margin_bound_db: float | None
    capacity_before_mbps: float | None
    capacity_mbps: float
    capacity_bound_mbps: float
    margin_gap_db: float
    capacity_gap_percent: float
    stopped: bool
    changes: int
    running_changes: int
    equal_plans: tuple[tuple[str, ...], ...]
    """Further plans of the same worth: `cell: channel at width` where they differ."""


class Proposal(NamedTuple):
    """The edit that makes the plan, and its record."""

    edit: Edit
    plan: ChannelPlan


def propose_channels(
    site: Site, regions: Regions, patience: Patience | None = None, *, most_changes: int | None = None, equals: int = 3
) -> Proposal:
    """Propose channels and widths for all cells of a site.

    Parameters
    ----------
    site : Site
        The document.
    regions : Regions
        Radio rules.
    patience : Patience or None
        How long to search, and whom to tell; None = a minute, nobody.
    most_changes : int or None
        How many cells that run already may change; None = as few as are needed to leave every direction the margin
        below which the site stops.
    equals : int
        How many further plans of equal worth to look for.

    Raises
    ------
    UsageError
        The site has no cell, or one for which no channel is permitted.
    """
    wait = patience or Patience()
    tables = tables_of(site, regions)
    if tables is None:
        raise UsageError(
            "no cell of the site has a channel to choose",
            remedy="choose a region, draw hops, and give every access point a gear type that tunes a permitted channel",
        )
    found = _search(tables, wait, most_changes, equals)
    return Proposal(_edit(site, tables, found.plan), _record(tables, found))


def _search(tables: Tables, patience: Patience, most_changes: int | None, equals: int) -> Found:
    """Search with the running cells held; let go of one more at a time where they leave a direction too little."""
    running = int(np.sum(tables.problem.running >= 0))
    enough = tables.job.defaults.thin_margin_db
    if most_changes is not None or not running:
        bound = running if most_changes is None else min(most_changes, running)
        return search(tables.problem, patience, most_changes=bound, equals=equals)
    found = search(tables.problem, patience, most_changes=0, equals=equals)
    for changes in range(1, running + 1):
        if found.worst_db >= enough or found.stopped:
            break
        further = search(tables.problem, patience, most_changes=changes, equals=equals)
        if further.worst_db > found.worst_db + 1.0:
            found = further
    return found


def _edit(site: Site, tables: Tables, plan: IntArray) -> Edit:
    chosen: dict[str, tuple[int, int]] = {}
    spares: dict[str, int | None] = {}
    for cell, key in enumerate(tables.cells):
        choice = tables.choices[plan[cell]]
        spare = spare_of(tables, plan, cell)
        if choice != current_of(tables.job, tables.job.radios[key]) or (spare is not None and spare.choice is not None):
            chosen[key] = (choice.channel, choice.width_mhz)
        if key in chosen:
            spares[key] = spare.choice.channel if spare is not None and spare.choice is not None else None
    return set_channels(site, chosen, spares)


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _record(tables: Tables, found: Found) -> ChannelPlan:
    problem = tables.problem
    known = bool(np.all(tables.now >= 0))
    before = worth_of(problem, tables.now) if known else None
    after = worth_of(problem, found.plan)
    rows = []
    for cell, key in enumerate(tables.cells):
        mine = problem.directions(cell)
        now = current_of(tables.job, tables.job.radios[key])
        choice = tables.choices[found.plan[cell]]
        spare = spare_of(tables, found.plan, cell)
        rows.append(
            CellPlan(
                cell=key,
                channel_before=None if now is None else now.channel,
                width_before_mhz=None if now is None else now.width_mhz,
                channel=choice.channel,
                width_mhz=choice.width_mhz,
                changed=choice != now,
                worst_margin_before_db=None if before is None else _finite(np.min(before.margin_db[mine])),
                worst_margin_db=_finite(np.min(after.margin_db[mine])),
                capacity_before_mbps=None if before is None else float(before.capacity_mbps[cell]),
                capacity_mbps=float(after.capacity_mbps[cell]),
                **_spare_fields(spare),
                why=why(tables, found.plan, cell, spare),
            )
        )
    changed = [row.cell for row in rows if row.changed]
    carries = float(np.sum(after.capacity_mbps))
    return ChannelPlan(
        cells=tuple(rows),
        worst_margin_before_db=None if before is None else _finite(before.worst_db),
        worst_margin_db=_finite(found.worst_db),
        worst_margin_bound_db=_finite(found.worst_bound_db),
        capacity_before_mbps=None if before is None else float(np.sum(before.capacity_mbps)),
        capacity_mbps=carries,
        capacity_bound_mbps=found.capacity_bound_mbps,
        margin_gap_db=found.margin_gap_db,
        capacity_gap_percent=100.0 * max(0.0, found.capacity_bound_mbps / carries - 1.0) if carries > 0.0 else 0.0,
        stopped=found.stopped,
        changes=len(changed),
        running_changes=int(np.sum((problem.running >= 0) & (problem.running != found.plan))),
        equal_plans=tuple(_differences(tables, found.plan, other) for other in found.equal),
    )


def _spare_fields(spare: Spare | None) -> dict[str, Any]:
    if spare is None:
        none = ("radar_spare", "radar_outage_s", "radar_outage_unchecked_s", "worst_margin_on_spare_db")
        return dict.fromkeys(none)
    return {
        "radar_spare": None if spare.choice is None else spare.choice.channel,
        "radar_outage_s": spare.outage_s,
        "radar_outage_unchecked_s": spare.unchecked_s,
        "worst_margin_on_spare_db": spare.worst_db,
    }


def _differences(tables: Tables, plan: IntArray, other: IntArray) -> tuple[str, ...]:
    def named(place: int) -> Choice:
        return tables.choices[place]

    return tuple(
        f"{key}: {named(int(there))}"
        for key, here, there in zip(tables.cells, plan, other, strict=True)
        if here != there
    )
