"""Routes on paper: what crosses each leg, what is left at the narrowest one, how late the picture comes."""

from __future__ import annotations

from collections.abc import Sequence

from survey_app.assess.record import Leg, RouteRow, Severity
from survey_app.paper.flag_notes import findings_of, flags_of
from survey_app.paper.ledger import Cell, Chain, Column, Empty, Flags, Group, Table, Words, over_rows
from survey_app.paper.rounding import number
from survey_app.paper.sources import Sources

__all__ = ["ROUTE_CODES", "delay_cell", "gap_sentences", "route_sentences", "route_table"]

ROUTE_CODES = frozenset(
    {
        "late-picture", "managed-from-one-end", "no-free-port", "no-sign-in", "no-through-bridge", "no-way-home",
        "port-thin", "second-way", "single-point", "uplink-thin",
    }
)  # fmt: skip
"""Findings about the ways that video takes."""

_FLOOD = "multicast-flood"
_NONE = Words("none")
_COLUMNS = (
    Column(("CAMERA",), 26, bold=True),
    Column(("LEGS, IN ORDER",), 95, rule=True, wraps=True),
    Column(("DEMAND", "Mbit/s"), 17, "right", rule=True),
    Column(("NARROWEST LEG",), 28, rule=True),
    Column(("LEFT THERE", "Mbit/s"), 21, "right"),
    Column(("DELAY", "ms"), 14, "right", rule=True),
    Column(("99 OF 100", "ms"), 18, "right"),
    Column(("SECOND", "WAY"), 18, wraps=True, rule=True),
    Column(("FLAGS",), 12, "middle", rule=True),
)


def route_table(sources: Sources) -> Table | None:
    """Return the table of routes, by camera; None where no camera is drawn."""
    routes = sorted(sources.assessment.routes, key=lambda row: row.camera)
    if not routes:
        return None
    rows = (cells for row in routes for cells in over_rows(_row(sources, row), _COLUMNS))
    return Table(
        columns=_COLUMNS,
        groups=(Group("", tuple(rows)),),
        row_mm=6.2,
        head_mm=7.6,
        title="ROUTES",
        note="from each camera to its head end; demand and what is left by day or night, whichever is more",
    )


def _row(sources: Sources, row: RouteRow) -> tuple[Cell, ...]:
    legs = tuple(_leg_words(leg) for leg in row.legs)
    home = row.head_end is not None
    narrowest = _narrowest(row)
    return (
        Words(row.camera),
        Chain((*legs, str(row.head_end))) if home else Words("no way to a head end"),
        Words(number(max(row.demand_mbps, row.night_demand_mbps), 1)),
        _NONE if not legs else Empty(16) if narrowest is None else Words(narrowest.id),
        _NONE if not legs else _figure(None if narrowest is None else narrowest.left_mbps, 0),
        _NONE if not legs else delay_cell(row, row.latency_ms),
        _NONE if not legs else delay_cell(row, row.delay_p99_ms),
        Chain(row.second_way, commas=True) if row.second_way else _NONE,
        _flags(sources, row),
    )


def _leg_words(leg: Leg) -> str:
    return f"{leg.kind} {leg.id}"


def _figure(value: float | None, places: int) -> Cell:
    return Empty(9) if value is None else Words(number(value, places))


def delay_cell(row: RouteRow, value_ms: float | None) -> Cell:
    """Return a delay of a route in whole milliseconds, or that there is no end to it; an empty box if not known."""
    return Words("no end") if value_ms is None and _is_full(row) else _figure(value_ms, 0)


def _is_full(row: RouteRow) -> bool:
    """Return whether more comes to a leg of a route than it carries, so that pictures wait ever longer."""
    return any(leg.left_mbps is not None and leg.left_mbps <= 0.0 for leg in row.legs)


def _narrowest(row: RouteRow) -> Leg | None:
    """The leg that decides; none where a leg is not known, since that may be the one."""
    if any(leg.carries_mbps is None for leg in row.legs):
        return None
    return next((leg for leg in row.legs if leg.id == row.bottleneck_leg), None)


def _flags(sources: Sources, row: RouteRow) -> Flags:
    own = flags_of(sources, ROUTE_CODES, {row.camera, *(leg.id for leg in row.legs)}).rows
    return Flags(tuple(sorted({*own, *_flood_flags(sources, row)}, key=lambda flag: flag[1])))


def _flood_flags(sources: Sources, row: RouteRow) -> tuple[tuple[Severity, int, bool], ...]:
    """A camera that sends multicast bears the flag of the cells that repeat it at their lowest rate."""
    camera = next((one for one in sources.design.cameras if one.id == row.camera), None)
    if camera is None or not camera.stream.multicast:
        return ()
    hops = (sources.hops.get(leg.id) for leg in row.legs if leg.kind == "hop")
    return flags_of(sources, {_FLOOD}, {hop.cell for hop in hops if hop is not None}).rows


def route_sentences(sources: Sources) -> list[str]:
    """Return what the delays count, what multicast costs, and what would fill empty boxes."""
    routes = sources.assessment.routes
    if not routes:
        return []
    found = ["Routes: delay is that of the network; the camera's coding and the screen come on top of it."]
    found += [f"Multicast, cell {sources.name(row.subject)}: {row.message}" for row in findings_of(sources, {_FLOOD})]
    return [*found, *gap_sentences(routes)]


def gap_sentences(routes: Sequence[RouteRow], *, tail: bool = True) -> list[str]:
    """Return what is meant where a figure of a route is missing.

    Parameters
    ----------
    routes : sequence of RouteRow
        The routes.
    tail : bool
        Whether the delay that 99 of 100 pictures keep is printed too.
    """
    found = []
    if any(_late(row, tail=tail) and _is_full(row) for row in routes):
        found.append("Routes, no end: more pictures come to a leg than it carries, they wait ever longer.")
    if any(row.legs and (_narrowest(row) is None or (_late(row, tail=tail) and not _is_full(row))) for row in routes):
        found.append(
            "Routes, empty box: what a leg carries, or how long it takes, is not known; its hop's flag notes say why."
        )
    return found


def _late(row: RouteRow, *, tail: bool) -> bool:
    return bool(row.legs) and (row.latency_ms is None or (tail and row.delay_p99_ms is None))
