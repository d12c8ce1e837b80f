"""What has to be bought, carried and done."""

from __future__ import annotations

from typing import Literal

from survey_app.site.record import Record

__all__ = ["TallyPart", "TallyRow"]


class TallyPart(Record):
    """One share of a tally line: what needs it, at which mount and climb."""

    subject: str
    mount: str | None
    climb: str | None
    quantity: float
    rule: str


class TallyRow(Record):
    """One line of the tally."""

    item: int
    group: str
    gear: str | None
    what: str
    for_ids: tuple[str, ...]
    status: Literal["buy", "have", "reuse", "remove", "hire"]
    need: float
    spare: float
    order: float
    unit: str
    how_counted: str
    by_whom: Literal["installer", "electrician", "lift_firm", "customer", "it"]
    parts: tuple[TallyPart, ...]
    unit_price: float | None = None
    low: float | None = None
    high: float | None = None
