"""The whole assessment of a site."""

from __future__ import annotations

import datetime

from survey_app.assess.record.air import AreaRow, CellRow
from survey_app.assess.record.failures import FailureRow
from survey_app.assess.record.finding import Finding, Severity
from survey_app.assess.record.hops import HopRow
from survey_app.assess.record.mounts import ClimbRow, MountRow, NorthRow
from survey_app.assess.record.network import CameraRow, HeadEndRow, RouteRow, SupplyRow, WireRow
from survey_app.assess.record.radios import RadioRow
from survey_app.assess.record.tally import TallyRow
from survey_app.site.record import Record

__all__ = ["Assessment"]


class Assessment(Record):
    """The whole assessment of a site; `with_later` says that things with status later were counted as present."""

    site: str
    revision: str
    checksum: str
    program_version: str
    rules_edition: str
    as_of: datetime.date
    with_later: bool = False
    north: NorthRow
    mounts: tuple[MountRow, ...]
    radios: tuple[RadioRow, ...]
    hops: tuple[HopRow, ...]
    cells: tuple[CellRow, ...]
    areas: tuple[AreaRow, ...] = ()
    cameras: tuple[CameraRow, ...]
    wires: tuple[WireRow, ...]
    supplies: tuple[SupplyRow, ...]
    routes: tuple[RouteRow, ...]
    head_ends: tuple[HeadEndRow, ...]
    failures: tuple[FailureRow, ...] = ()
    climbs: tuple[ClimbRow, ...]
    findings: tuple[Finding, ...]
    tally: tuple[TallyRow, ...]
    assumptions: tuple[str, ...]
    stale_acceptances: tuple[str, ...]

    def radio(self, radio_id: str) -> RadioRow:
        """Return the row of one radio."""
        return next(row for row in self.radios if row.id == radio_id)

    def hop(self, hop_id: str) -> HopRow:
        """Return the row of one hop."""
        return next(row for row in self.hops if row.id == hop_id)

    def count(self, severity: Severity) -> int:
        """Return how many findings of one severity there are, accepted ones included."""
        return sum(finding.severity == severity for finding in self.findings)
