"""What was measured: how old, of which revision, and what it says of the channel."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import NamedTuple

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.maturity import LADDER
from survey_app.assess.record import CellRow, Cure
from survey_app.assess.rules.channel_offer import channel_cures
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined, verb
from survey_app.site.evidence import Reading, Scan, ScanRow
from survey_app.spectrum.channels import centre_mhz, overlap_fraction

__all__ = ["CODES", "RULES"]

CODES = {
    "scan-stale": "Channel not listened to lately",
    "channel-busy": "Others are loud on this channel",
    "stale-sheet": "Reading from an older revision",
    "priced-unproven": "Priced before anyone was there",
}

_NOTE_DAYS, _WARN_DAYS = 30, 365
_LOUD_DBM = -85.0
_BUSY_PERCENT = 20.0


class _Heard(NamedTuple):
    """The newest scan where a cell's video is received, and its rows on the cell's channel."""

    scan: Scan
    rows: tuple[ScanRow, ...]


def _heard(view: View) -> dict[str, _Heard]:
    """Return what was heard for each cell, at the mount of its access point; a scan of other channels says nothing."""
    at_mount: dict[str, list[Scan]] = {}
    for scan in view.job.site.evidence.scans:
        at_mount.setdefault(scan.mount, []).append(scan)
    found: dict[str, _Heard] = {}
    for cell in view.cells.values():
        scans = at_mount.get(view.radios[cell.access_point].mount, ()) if cell.channel is not None else ()
        for scan in sorted(scans, key=lambda one: one.at, reverse=True):
            rows = tuple(row for row in scan.rows if _on_channel(row, cell))
            if rows:
                found[cell.id] = _Heard(scan, rows)
                break
    return found


def _on_channel(row: ScanRow, cell: CellRow) -> bool:
    if cell.channel is None:
        return False
    shared = overlap_fraction(centre_mhz(row.channel), row.width_mhz, centre_mhz(cell.channel), cell.width_mhz)
    return bool(shared > 0.0)


def _listen(access_point: str) -> Cure:
    return work_on_site(
        f"Listen where {access_point} hangs, through its antenna along its aim, at a busy hour, and record the scan."
    )


def scan_stale(view: View) -> Iterator[Draft]:
    """No scan where the video is received, or one that is old on the planned date of installation."""
    on_air = [cell for cell in view.cells.values() if cell.channel is not None]
    if len(on_air) > 1 and not view.job.site.evidence.scans:
        yield Draft(
            code="scan-stale",
            severity="note",
            subject="site",
            message=f"Nobody has listened on site: the channels of all {len(on_air)} cells are untested.",
            source="PRACTICE",
            cures=(_listen("each access point"),),
            concerns=tuple(cell.access_point for cell in on_air),
        )
        return
    heard = _heard(view)
    for cell in on_air:
        found = heard.get(cell.id)
        days = (view.job.design.as_of - found.scan.at.date()).days if found is not None else None
        if days is not None and days <= _NOTE_DAYS:
            continue
        warn = days is not None and days > _WARN_DAYS
        yield Draft(
            code="scan-stale",
            severity="warn" if warn else "note",
            subject=cell.access_point,
            message=(
                f"Nobody has listened to channel {cell.channel} where it hangs: it is untested."
                if days is None
                else f"Channel {cell.channel} was listened to {days} days before the planned date."
            ),
            source="PRACTICE",
            value=None if days is None else float(days),
            limit=None if days is None else float(_WARN_DAYS if warn else _NOTE_DAYS),
            unit="" if days is None else "day",
            radio=cell.access_point,
            place=view.at_radio(cell.access_point),
            cures=(_listen(cell.access_point),),
        )


def channel_busy(view: View) -> Iterator[Draft]:
    """The newest scan where the video is received heard others on the cell's channel."""
    heard = _heard(view)
    for cell in view.cells.values():
        rows = heard[cell.id].rows if cell.id in heard else ()
        over = [row for row in rows if row.level_dbm > _LOUD_DBM or (row.busy_percent or 0.0) >= _BUSY_PERCENT]
        if not over:
            continue
        row = max(over, key=lambda one: (one.level_dbm, one.busy_percent or 0.0))
        loud = row.level_dbm > _LOUD_DBM
        busy = "" if row.busy_percent is None else f", busy {row.busy_percent:.0f} % of the time"
        yield Draft(
            code="channel-busy",
            severity="warn",
            subject=cell.access_point,
            message=(
                f"The scan heard others at {row.level_dbm:.0f} dBm{busy} on channel {cell.channel}; "
                f"{_LOUD_DBM:.0f} dBm and {_BUSY_PERCENT:.0f} % are the most to plan with."
            ),
            source="PRACTICE",
            value=row.level_dbm if loud else row.busy_percent,
            limit=_LOUD_DBM if loud else _BUSY_PERCENT,
            unit="dBm" if loud else "%",
            radio=cell.access_point,
            place=view.at_radio(cell.access_point),
            cures=(*channel_cures(view, cell.access_point), _listen(cell.access_point)),
        )


def stale_sheet(view: View) -> Iterator[Draft]:
    """The newest reading of a hop was made by a sheet of another revision, and nobody accepted the hop since."""
    revision = view.job.design.revision
    evidence = view.job.site.evidence
    newest: dict[str, Reading] = {}
    for reading in evidence.readings:
        held = newest.get(reading.hop)
        if held is None or reading.at >= held.at:
            newest[reading.hop] = reading
    accepted: dict[str, datetime.datetime] = {}
    for row in evidence.acceptance:
        if row.accepted:
            accepted[row.subject] = max(row.at, accepted.get(row.subject, row.at))
    for hop_id in view.hops:
        found = newest.get(hop_id)
        if found is None or found.revision in ("", revision):
            continue
        if hop_id in accepted and accepted[hop_id] >= found.at:
            continue
        yield Draft(
            code="stale-sheet",
            severity="warn",
            subject=hop_id,
            message=(
                f"It was last read with revision {found.revision} in hand ({found.by}, {found.at.date()}), "
                f"the design is revision {revision}."
            ),
            source="PRACTICE",
            hop=hop_id,
            place=view.at_hop(hop_id),
            cures=(
                work_on_site(
                    f"Read it again by the sheet of revision {revision}, or accept it as it hangs.", "reading"
                ),
            ),
        )


def priced_unproven(view: View) -> Iterator[Draft]:
    """A priced design with hops that nobody has walked."""
    design = view.job.design
    priced = design.price_list is not None or any(item.price is not None for item in design.gear)
    if not design.currency or not priced:
        return
    unproven = [hop.id for hop in view.hops.values() if hop.maturity == LADDER[0]]
    if not unproven:
        return
    yield Draft(
        code="priced-unproven",
        severity="warn",
        subject="site",
        message=(
            f"The design is priced, and {joined(unproven)} {verb(unproven, 'is', 'are')} known from the desk only: "
            "keep a quarter in reserve."
        ),
        source="PRACTICE",
        value=float(len(unproven)),
        limit=0.0,
        cures=(
            work_on_site("Walk these hops and record what was seen."),
            cure("Take the currency out: no prices before the walk.", "change_design", currency=""),
        ),
        concerns=tuple(unproven),
    )


RULES = (scan_stale, channel_busy, stale_sheet, priced_unproven)
