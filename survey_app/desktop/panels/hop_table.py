"""The hop schedule and the routes as tables: the rows of the paper, sortable."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.sheet_table import Cell, Column, Row, SheetPage
from survey_app.paper.rounding import declination, number, signed_tenths, tilt_tenths
from survey_app.paper.schedule_rows import EndFigures, HopFigures, hops_by_cell, routes_of
from survey_app.paper.sources import Sources

if TYPE_CHECKING:
    from survey_app.assess.record import CellRow, RouteRow

__all__ = ["HopTable", "RouteTable", "hop_columns", "hop_rows", "route_rows"]

_FOOT_M = 0.3048
_UNKNOWN = Cell("not known")
_NONE = Cell("none")


def hop_columns(sources: Sources) -> tuple[Column, ...]:
    """Return the heads of the schedule: those of the paper, with units."""
    north = "true °" if sources.assessment.north.anchored else "plan °"
    distance = {"metric": "distance\nm", "feet": "distance\nft", "both": "distance\nm, ft"}[sources.design.units]
    ends = [
        Column(f"{end}\n{what}", figures=True, strong=what == north)
        for end in ("from AP", "from station")
        for what in (north, "magnetic °", "tilt")
    ]
    return (
        Column("hop", strong=True),
        Column("access\npoint"),
        Column("station"),
        Column(distance, figures=True),
        *ends,
        Column("channel\n/ MHz", figures=True),
        Column("clear\nfirst zone", figures=True),
        Column("nearest thing\nat ft" if sources.design.units == "feet" else "nearest thing\nat m"),
        Column("reading\nat AP dBm", figures=True),
        Column("reading at\nstation dBm", figures=True),
        Column("alone\nMbit/s", figures=True),
        Column("margin\ndB", figures=True),
        Column("flags"),
        Column("cell"),
    )


def hop_rows(sources: Sources) -> tuple[Row, ...]:
    """Return the rows of the schedule, by cell."""
    return tuple(_hop_row(row, sources) for _, rows in hops_by_cell(sources) for row in rows)


def _hop_row(row: HopFigures, sources: Sources) -> Row:
    hop = sources.hops[row.hop]
    channel = _UNKNOWN if row.channel is None else Cell(f"{row.channel} / {row.width_mhz:g}", float(row.channel))
    cells = (
        Cell(row.hop, row.hop),
        Cell(row.access_point, row.access_point),
        Cell(row.station, row.station),
        _distance(row.plan_m, sources.design.units),
        *_end(row.from_access_point),
        *_end(row.from_station),
        channel,
        Cell(row.clear, row.clear_ratio if row.clear_ratio is not None else row.clear),
        _nearest(row, sources.design.units),
        _figure(row.from_access_point.level, 0),
        _figure(row.from_station.level, 0),
        _rate(row.mbps, 0, row),
        _rate(row.margin_db, 1, row),
        Cell("", float(min((f.number for f in row.flags), default=10**6)), row.flags),
        Cell(row.cell, row.cell),
    )
    return Row(cells, (row.hop, hop.access_point, hop.station))


def _nearest(row: HopFigures, units: str) -> Cell:
    at = row.clear_at_m
    if not row.clear_by or at is None:
        return _NONE
    return Cell(f"{row.clear_by} {number(at / _FOOT_M if units == 'feet' else at, 0)}", row.clear_by)


def _distance(value_m: float, units: str) -> Cell:
    metres, feet = number(value_m, 1), number(value_m / _FOOT_M, 0)
    return Cell({"metric": metres, "feet": feet}.get(units, f"{metres}, {feet}"), value_m)


def _end(end: EndFigures) -> tuple[Cell, Cell, Cell]:
    return (
        _UNKNOWN if end.bearing is None else Cell(signed_tenths(end.bearing), float(end.bearing)),
        _NONE if end.magnetic is None else Cell(signed_tenths(end.magnetic), float(end.magnetic)),
        _UNKNOWN if end.tilt is None else Cell(tilt_tenths(end.tilt), float(end.tilt)),
    )


def _figure(value: float | None, places: int) -> Cell:
    return _UNKNOWN if value is None else Cell(number(value, places), value)


def _rate(value: float | None, places: int, row: HopFigures) -> Cell:
    return _NONE if value is None and row.carries == "none" else _figure(value, places)


class HopTable(SheetPage):
    """The hop schedule."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "hop schedule", parent)

    def fill(self) -> None:
        assessment = self._desk.assessment
        if assessment is None:
            return
        sources = Sources(self._desk.site, assessment)
        self.table.put(hop_columns(sources), hop_rows(sources))
        self.foot.say(" ".join((_north_words(sources), *(_cell_words(cell) for cell in assessment.cells))))


def _north_words(sources: Sources) -> str:
    north = sources.assessment.north
    if not north.anchored:
        first = "Bearings count from plan north."
    elif north.declination_deg is None:
        first = "Bearings count from true north."
    else:
        first = f"Bearings count from true north; declination {declination(north.declination_deg)}."
    return f"{first} Tilt is the ray's; Mbit/s alone on the air and margin: the weaker direction."


def _cell_words(cell: CellRow) -> str:
    if cell.load_fraction is None:
        return f"Cell {cell.id}: load not known."
    return f"Cell {cell.id}: load {number(100.0 * cell.load_fraction, 0)} %."


_ROUTE_COLUMNS = (
    Column("camera", strong=True),
    Column("legs, in order"),
    Column("demand\nMbit/s", figures=True),
    Column("narrowest\nleg"),
    Column("it carries\nMbit/s", figures=True),
    Column("delay\nms", figures=True),
    Column("night\nMbit/s", figures=True),
)


def route_rows(sources: Sources) -> tuple[Row, ...]:
    """Return one row a route, by camera."""
    return tuple(_route_row(row) for row in routes_of(sources))


def _route_row(row: RouteRow) -> Row:
    lost = row.head_end is None or not row.legs
    links = [f"{leg.kind} {leg.id}" for leg in row.legs]
    links.append(row.head_end if row.head_end is not None else "no way to a head end")
    # a leg that nobody knows may be the narrowest
    unknown = any(leg.carries_mbps is None for leg in row.legs)
    narrow = _NONE if lost else _UNKNOWN
    leg, mbps = (None, None) if unknown or lost else (row.bottleneck_leg, row.bottleneck_mbps)
    cells = (
        Cell(row.camera, row.camera),
        Cell(" › ".join(links), " ".join(links)),
        Cell(number(row.demand_mbps, 1), row.demand_mbps),
        narrow if leg is None else Cell(leg, leg),
        narrow if mbps is None else Cell(number(mbps, 0), mbps),
        narrow if row.latency_ms is None or lost else Cell(number(row.latency_ms, 0), row.latency_ms),
        Cell(number(row.night_demand_mbps, 1), row.night_demand_mbps),
    )
    return Row(cells, (row.camera, *(leg.id for leg in row.legs)))


class RouteTable(SheetPage):
    """The routes from each camera to its head end."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, "routes", parent)
        self.foot.say("From each camera to the head end; the narrowest leg decides.")

    def fill(self) -> None:
        assessment = self._desk.assessment
        if assessment is not None:
            self.table.put(_ROUTE_COLUMNS, route_rows(Sources(self._desk.site, assessment)))
