"""Findings, their cures, and why a field is null."""

from __future__ import annotations

import datetime
from collections.abc import Collection
from typing import Literal

from survey_app.site.record import Record

__all__ = ["Acceptance", "Cure", "CureArgument", "Finding", "NullReason", "Place", "Severity"]

Severity = Literal["stop", "warn", "note"]


class NullReason(Record):
    """Why a field is null."""

    field: str
    kind: Literal["unknown", "not_applicable", "refused"]
    sentence: str


class Place(Record):
    """A spot of the plan that a finding points at."""

    x_m: float
    y_m: float
    height_m: float | None = None


class CureArgument(Record):
    """One argument of an edit that cures a finding."""

    name: str
    value: str | float | int | bool | None


class Cure(Record):
    """One way to cure a finding; `edit` null = work on site, and `evidence` says which record of it is the cure."""

    text: str
    edit: str | None = None
    arguments: tuple[CureArgument, ...] = ()
    evidence: Literal["sight", "reading"] | None = None


class Acceptance(Record):
    """The acceptance of a finding that still holds."""

    by: str
    on: datetime.date
    reason: str


class Finding(Record):
    """One result of a design check; `concerns` lists every thing that it is about besides its subjects."""

    id: str
    number: int
    code: str
    severity: Severity
    subject: str
    second_subject: str | None = None
    place: Place | None = None
    message: str
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str
    edition: str = ""
    concerns: tuple[str, ...] = ()
    cures: tuple[Cure, ...] = ()
    accepted: Acceptance | None = None

    def stands_on_page_of(self, ids: Collection[str]) -> bool:
        """Return whether it stands on the page of these things: its subjects', and of a stop all that it concerns."""
        if self.subject in ids or self.second_subject in ids:
            return True
        return self.severity == "stop" and any(one in ids for one in self.concerns)
