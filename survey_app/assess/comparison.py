"""Alternatives side by side: what each carries, what it costs, how it fails."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from survey_app.assess.prices import money_of
from survey_app.assess.record import Assessment, Comparison, FailureRow, FigureRow, HopRow, Option, PartRow, TallyRow
from survey_app.site.site import Site

__all__ = ["compare"]

_NONE = ""


def compare(alternatives: Mapping[str, tuple[Site, Assessment]]) -> Comparison:
    """Lay alternatives of one job side by side.

    Parameters
    ----------
    alternatives : mapping of str to (Site, Assessment)
        Complete sites by the name that people call them; the first is what the others are held against.

    Returns
    -------
    Comparison
        Figures, the best of each row where the row has a better and a worse, and the lines of the tally that differ.
    """
    options = tuple(_option(name, site, found) for name, (site, found) in alternatives.items())
    tallies = [found.tally for _, found in alternatives.values()]
    return Comparison(options=options, figures=_figures(options), parts=_parts(tallies))


def _option(name: str, site: Site, found: Assessment) -> Option:
    worst = min(((margin, row.id) for row in found.hops if (margin := _margin(row)) is not None), default=None)
    unknown = any(_margin(row) is None for row in found.hops)
    loads = [(row.load_fraction, row.id) for row in found.cells]
    full = max(((load, key) for load, key in loads if load is not None), default=None)
    room = [row.more_cameras for row in found.cells]
    delays = [row.latency_ms for row in found.routes]
    worst_failure = _worst_failure(site, found)
    bought = [row for row in found.tally if row.status == "buy"]
    work = [row for row in found.tally if row.unit == "h"]
    return Option(
        name=name,
        title=found.site,
        revision=found.revision,
        checksum=found.checksum,
        cameras=len(found.cameras),
        cameras_home=sum(row.head_end is not None for row in found.routes),
        radios=len(found.radios),
        hops=len(found.hops),
        cells=len(found.cells),
        demand_mbps=math.fsum(row.demand_mbps for row in found.routes),
        fullest_cell=full[1] if full else None,
        load_fraction=full[0] if full and all(load is not None for load, _ in loads) else None,
        more_cameras=sum(count for count in room if count is not None) if None not in room else None,
        worst_hop=worst[1] if worst else None,
        worst_margin_db=worst[0] if worst and not unknown else None,
        latency_ms=max((ms for ms in delays if ms is not None), default=None) if None not in delays else None,
        stops=found.count("stop"),
        warns=found.count("warn"),
        notes=found.count("note"),
        dark_at_worst=len(worst_failure.dark) if worst_failure is not None else 0,
        worst_failure=worst_failure.subject if worst_failure is not None else None,
        dark_cameras=float(sum(len(row.dark) for row in found.failures)),
        edge_hours=worst_failure.recorded_hours if worst_failure is not None else None,
        pieces=math.fsum(row.order for row in bought if row.unit in ("piece", "set")),
        cable_m=math.fsum(row.order for row in bought if row.unit == "m" and row.group == "Cable and plugs"),
        climbs=len(found.climbs),
        hours=math.fsum(row.order for row in work),
        hours_low=math.fsum(row.low or 0.0 for row in work),
        hours_high=math.fsum(row.high or 0.0 for row in work),
        lift_days=math.fsum(row.order for row in found.tally if row.unit == "day"),
        money=money_of(site.design, found.tally),
        assumptions=found.assumptions,
    )


def _margin(row: HopRow) -> float | None:
    """The margin of the worse direction at the rate that it needs; None where one is not known."""
    up, down = (way.margin_left_db for way in (row.directions.to_access_point, row.directions.to_station))
    return None if up is None or down is None else min(up, down)


def _worst_failure(site: Site, found: Assessment) -> FailureRow | None:
    """The failure that darkens most cameras, heads of the network left out: nothing comes home there in any layout."""
    heads = {head.device for head in site.design.head_ends} | {head.id for head in site.design.head_ends}
    feeding = {wire.id for wire in site.design.wires if heads & {wire.a.thing, wire.b.thing}}
    rows = [row for row in found.failures if row.subject not in heads | feeding and row.kind != "supply"]
    return max(rows, key=lambda row: (len(row.dark), len(row.slower), row.subject), default=None)


_Figure = Callable[[Option], float | str | None]
_ROWS: tuple[tuple[str, str, _Figure, int], ...] = (
    ("cameras that reach a recorder", _NONE, lambda one: float(one.cameras_home), 1),
    ("cameras drawn", _NONE, lambda one: float(one.cameras), 0),
    ("radios", _NONE, lambda one: float(one.radios), -1),
    ("cells", _NONE, lambda one: float(one.cells), 0),
    ("video carried", "Mbit/s", lambda one: one.demand_mbps, 0),
    ("fullest cell", _NONE, lambda one: one.fullest_cell, 0),
    ("its load", "%", lambda one: _percent(one.load_fraction), -1),
    ("more cameras that fit", _NONE, lambda one: None if one.more_cameras is None else float(one.more_cameras), 1),
    ("worst hop", _NONE, lambda one: one.worst_hop, 0),
    ("its margin", "dB", lambda one: one.worst_margin_db, 1),
    ("longest delay, usual", "ms", lambda one: one.latency_ms, -1),
    ("findings that stop", _NONE, lambda one: float(one.stops), -1),
    ("findings that warn", _NONE, lambda one: float(one.warns), -1),
    ("worst single failure", _NONE, lambda one: one.worst_failure, 0),
    ("cameras dark by it", _NONE, lambda one: float(one.dark_at_worst), -1),
    ("cameras dark, summed over all failures", _NONE, lambda one: one.dark_cameras, -1),
    ("pieces to buy", _NONE, lambda one: one.pieces, -1),
    ("cable to buy", "m", lambda one: one.cable_m, -1),
    ("climbs", _NONE, lambda one: float(one.climbs), -1),
    ("work, likely", "h", lambda one: one.hours, -1),
    ("work, at least", "h", lambda one: one.hours_low, -1),
    ("work, at most", "h", lambda one: one.hours_high, -1),
    ("lift", "days", lambda one: one.lift_days, -1),
)


def _percent(fraction: float | None) -> float | None:
    return None if fraction is None else 100.0 * fraction


def _figures(options: Sequence[Option]) -> tuple[FigureRow, ...]:
    rows = [_figure(quantity, unit, [read(one) for one in options], sign) for quantity, unit, read, sign in _ROWS]
    moneys = [one.money for one in options]
    known = [money for money in moneys if money is not None]
    if known:
        # sums in several currencies, or over lines that are not all priced, are shown and not ranked
        alike = len(known) == len(moneys) and len({money.currency for money in known}) == 1
        whole = alike and not any(money.unpriced for money in known)
        unit = known[0].currency if alike or len({money.currency for money in known}) == 1 else "mixed currencies"
        for words, pick in (("cost, likely", "likely"), ("cost, at least", "low"), ("cost, at most", "high")):
            values = [None if money is None else float(getattr(money, pick)) for money in moneys]
            rows.append(_figure(words, unit, values, -1 if whole else 0))
        counts = [None if money is None else float(len(money.unpriced)) for money in moneys]
        rows.append(_figure("lines without a price", _NONE, counts, -1))
    return tuple(rows)


def _figure(quantity: str, unit: str, values: Sequence[float | str | None], sign: int) -> FigureRow:
    numbers = [(sign * value, column) for column, value in enumerate(values) if isinstance(value, float)]
    best: tuple[int, ...] = ()
    if sign and len(numbers) > 1:
        top, bottom = max(numbers)[0], min(numbers)[0]
        if top > bottom:
            best = tuple(column for value, column in numbers if value == top)
    return FigureRow(quantity=quantity, unit=unit, values=tuple(values), best=best)


def _parts(tallies: Sequence[tuple[TallyRow, ...]]) -> tuple[PartRow, ...]:
    """Lines whose orders are not all the same, in the order in which they first appear."""
    orders: dict[tuple[str, str | None, str, str], list[float]] = {}
    for column, tally in enumerate(tallies):
        for row in tally:
            line = orders.setdefault((row.what, row.gear, row.unit, row.status), [0.0] * len(tallies))
            line[column] += row.order if row.status in ("buy", "hire") else row.need
    return tuple(
        PartRow(what=what, gear=gear, unit=unit, status=status, orders=tuple(line))
        for (what, gear, unit, status), line in orders.items()
        if len(set(line)) > 1
    )
