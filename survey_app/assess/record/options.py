"""Alternatives side by side: one figure a row, one alternative a column."""

from __future__ import annotations

import datetime
from typing import Literal

from survey_app.site.record import Record

__all__ = ["Comparison", "FigureRow", "Money", "Option", "PartRow"]


class Money(Record):
    """What an alternative costs, as far as its prices are known: the sum of order times price over priced lines.

    `unpriced` are the items of the tally without a price; `low` and `high` take the bounds of the work.
    """

    currency: str
    likely: float
    low: float
    high: float
    priced: int
    unpriced: tuple[str, ...]
    dated: datetime.date | None
    tax: Literal["included", "excluded", "not_stated"]


class Option(Record):
    """One alternative and what it comes to.

    `worst_failure` is the radio, wire, box or mount before the head end whose failure darkens most cameras, `edge_hours`
    how long the least lucky of them records by itself; `dark_cameras` sums the dark over all single failures.
    """

    name: str
    title: str
    revision: str
    checksum: str
    cameras: int
    cameras_home: int
    radios: int
    hops: int
    cells: int
    demand_mbps: float
    fullest_cell: str | None
    load_fraction: float | None
    more_cameras: int | None
    worst_hop: str | None
    worst_margin_db: float | None
    latency_ms: float | None
    stops: int
    warns: int
    notes: int
    dark_at_worst: int
    worst_failure: str | None
    dark_cameras: float
    edge_hours: float | None
    pieces: float
    cable_m: float
    climbs: int
    hours: float
    hours_low: float
    hours_high: float
    lift_days: float
    money: Money | None
    assumptions: tuple[str, ...]


class FigureRow(Record):
    """One figure of every alternative; `best` are the columns that no other beats, empty where none is better."""

    quantity: str
    unit: str
    values: tuple[float | str | None, ...]
    best: tuple[int, ...]


class PartRow(Record):
    """A line of the tally that is not the same in all alternatives."""

    what: str
    gear: str | None
    unit: str
    status: str
    orders: tuple[float, ...]


class Comparison(Record):
    """Alternatives side by side, the first being the site itself."""

    options: tuple[Option, ...]
    figures: tuple[FigureRow, ...]
    parts: tuple[PartRow, ...]
