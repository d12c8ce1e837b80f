"""The hop schedule: the table of all hops with their flag notes, the routes, and what the figures mean."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from survey_app.assess.record import Assessment, CellRow, Finding, RouteRow
from survey_app.paper.cell_text import csv_text
from survey_app.paper.flag_notes import note_of
from survey_app.paper.ledger import (
    BROAD_MM,
    Cell,
    Chain,
    Column,
    Empty,
    Flags,
    Group,
    Lines,
    Pair,
    Table,
    Words,
    document,
    held_words,
    over_rows,
    table_data,
    unbroken,
)
from survey_app.paper.network_routes import delay_cell, gap_sentences
from survey_app.paper.press import press
from survey_app.paper.rounding import declination, number, signed_tenths, tenths
from survey_app.paper.schedule_rows import EndFigures, HopFigures, hops_by_cell, notes_of, routes_of
from survey_app.paper.sources import Sources
from survey_app.paper.title import ledger_title
from survey_app.site.site import Site

__all__ = ["schedule_csv", "schedule_pdf"]

_FOOT_M = 0.3048
_NONE = Words("none")
_ROUTE_COLUMNS = (
    Column(("CAMERA",), 18, bold=True),
    Column(("LEGS, IN ORDER",), 113, rule=True, wraps=True),
    Column(("DEMAND", "Mbit/s"), 26, "right", rule=True),
    Column(("NARROWEST LEG",), 28, rule=True),
    Column(("IT CARRIES", "Mbit/s"), 26, "right"),
    Column(("DELAY", "ms"), 20, "right"),
    Column(("NIGHT", "Mbit/s"), 18, "right", rule=True),
)
_CLEAR_MM, _CLEAR_INSETS_MM, _CLEAR_LINES = 29.0, 3.2, 3


def schedule_pdf(site: Site, assessment: Assessment, paper: Literal["a4", "letter"] = "a4") -> bytes:
    """Return the hop schedule as a PDF.

    Parameters
    ----------
    site : Site
        The document; its `units` say whether feet are printed.
    assessment : Assessment
        Its assessment.
    paper : {"a4", "letter"}
        Paper size, laid on its side.

    Returns
    -------
    bytes
        The PDF; the same site gives the same bytes on any day.

    Raises
    ------
    InternalError
        The schedule could not be set.
    """
    sources = Sources(site, assessment)
    groups = hops_by_cell(sources)
    shown, others = notes_of(sources)
    routes = routes_of(sources)
    title = ledger_title(sources, "Hop schedule")
    data = {
        "title": f"Hop schedule, {assessment.site}",
        "doc": document(
            title,
            paper=paper,
            broad=True,
            head="HOP SCHEDULE",
            note="bearings and tilts as seen from each end; clearance in parts of the first Fresnel zone",
        ),
        "hops": table_data(_hop_table(sources, groups), BROAD_MM) if groups else None,
        "notes": [note_of(finding) for finding in shown],
        "others": _others_words(others) if others else "",
        "routes": table_data(_route_table(routes), BROAD_MM) if routes else None,
        "empty": _empty_words(groups),
        "closing": [*_closing(sources, groups), *gap_sentences(routes, tail=False)],
    }
    return press("schedule", data)


def _hop_table(sources: Sources, groups: tuple[tuple[CellRow | None, tuple[HopFigures, ...]], ...]) -> Table:
    anchored = sources.assessment.north.anchored
    units = sources.design.units
    north = "TRUE" if anchored else "PLAN"
    columns = (
        Column(("HOP",), 12, bold=True),
        Column(("AP",), 14, rule=True),
        Column(("STATION",), 14),
        Column(("DISTANCE", {"metric": "m", "feet": "ft", "both": "m, ft"}[units]), 15.5, "right", rule=True),
        Column((north,), 14.5, "right", bold=True, rule=True),
        Column(("MAGNETIC",), 15, "right"),
        Column(("TILT",), 17, "right"),
        Column((north,), 14.5, "right", bold=True, rule=True),
        Column(("MAGNETIC",), 15, "right"),
        Column(("TILT",), 17, "right"),
        Column(("CHANNEL",), 15.5, "right", rule=True),
        Column(("CLEAR", "nearest thing, m"), _CLEAR_MM, rule=True, wraps=True),
        Column(("AP",), 8.5, "right"),
        Column(("STN.",), 8.5, "right"),
        Column(("Mbit/s",), 13, "right"),
        Column(("MARGIN", "dB"), 14, "right"),
        Column(("FLAGS",), 12, "middle", rule=True),
    )
    return Table(
        columns=columns,
        groups=tuple(
            Group(_cell_words(cell), tuple(_hop_cells(row, units) for row in rows), _cell_flags(sources, cell, rows))
            for cell, rows in groups
        ),
        row_mm=7.0,
        head_mm=11.4,
        over=(("FROM ACCESS POINT", 4, 7), ("FROM STATION", 7, 10), ("READING dBm", 12, 14)),
        heavy=True,
    )


def _cell_words(cell: CellRow | None) -> str:
    if cell is None:
        return "No cell"
    channel = "channel not set" if cell.channel is None else f"channel {cell.channel}"
    air = "airtime not known"
    limit = cell.airtime_limit_fraction
    if cell.airtime_used_fraction is not None and cell.load_fraction is not None and limit is not None:
        air = (
            f"airtime {number(cell.airtime_used_fraction, 2)} of {number(limit, 2)}, "
            f"load {number(100.0 * cell.load_fraction, 0)} %"
        )
    count = len(cell.stations)
    stations = "1 station" if count == 1 else f"{count} stations"
    return f"Cell {cell.id}, {channel}, {cell.width_mhz:g} MHz, {air}, {stations}"


def _cell_flags(sources: Sources, cell: CellRow | None, rows: tuple[HopFigures, ...]) -> Flags:
    """Flags of the access point; what stands at one of its hops is not said twice."""
    if cell is None:
        return Flags(())
    said = {finding.number for row in rows for finding in row.flags}
    about = {cell.id, cell.access_point}
    return _flags(
        tuple(
            f
            for f in sources.assessment.findings
            if f.number not in said and (f.subject in about or f.second_subject in about)
        )
    )


def _flags(findings: tuple[Finding, ...]) -> Flags:
    return Flags(tuple((f.severity, f.number, f.accepted is not None) for f in findings))


def _hop_cells(row: HopFigures, units: Literal["metric", "feet", "both"]) -> tuple[Cell, ...]:
    near, far = row.from_access_point, row.from_station
    channel: Cell = Empty(10) if row.channel is None else Words(f"{row.channel}/{row.width_mhz:g}")
    return (
        Words(row.hop),
        Words(row.access_point),
        Words(row.station),
        _distance(row.plan_m, units),
        *_end_cells(near),
        *_end_cells(far),
        channel,
        _clear(row, units),
        _level(near, row),
        _level(far, row),
        _rate(row.mbps, 0, row),
        _rate(row.margin_db, 1, row),
        _flags(row.flags),
    )


def _clear(row: HopFigures, units: Literal["metric", "feet", "both"]) -> Cell:
    """Return the clearance, and under it what comes nearest and where."""
    if not row.clear_by:
        return Words(row.clear)
    at = ""
    if row.clear_at_m is not None:
        at = f" {number(row.clear_at_m / _FOOT_M if units == 'feet' else row.clear_at_m, 0)}"
    by = held_words(unbroken(row.clear_by), _CLEAR_MM - _CLEAR_INSETS_MM, _CLEAR_LINES)
    return Lines((row.clear, f"{by}{at}"))


def _distance(value_m: float, units: Literal["metric", "feet", "both"]) -> Cell:
    metres, feet = number(value_m, 1), number(value_m / _FOOT_M, 0)
    if units == "both":
        return Lines((metres, f"{feet} ft"))
    return Words(feet if units == "feet" else metres)


def _end_cells(end: EndFigures) -> tuple[Cell, Cell, Cell]:
    bearing: Cell = Empty(10) if end.bearing is None else Words(f"{signed_tenths(end.bearing)}°")
    magnetic: Cell = _NONE if end.magnetic is None else Words(f"{signed_tenths(end.magnetic)}°")
    tilt: Cell = Empty(12)
    if end.tilt == 0:
        tilt = Pair("", "level")
    elif end.tilt is not None:
        tilt = Pair(f"{signed_tenths(abs(end.tilt))}°", "up" if end.tilt > 0 else "down")
    return bearing, magnetic, tilt


def _level(end: EndFigures, row: HopFigures) -> Cell:
    if row.clear == "cut" and row.carries == "none":
        return _NONE
    return Empty(5.2) if end.level is None else Words(number(end.level, 0))


def _rate(value: float | None, places: int, row: HopFigures) -> Cell:
    if value is not None:
        return Words(number(value, places))
    return _NONE if row.carries == "none" else Empty(8)


def _others_words(count: int) -> str:
    stand = "1 more finding concerns" if count == 1 else f"{count} more findings concern"
    return f"{stand} mounts, cameras, wires or supplies: see the cover."


def _route_table(routes: tuple[RouteRow, ...]) -> Table:
    rows = (cells for row in routes for cells in over_rows(_route_cells(row), _ROUTE_COLUMNS))
    return Table(
        columns=_ROUTE_COLUMNS,
        groups=(Group("", tuple(rows)),),
        row_mm=6.2,
        head_mm=7.6,
        title="ROUTES",
        note="from each camera to the head end; the narrowest leg decides",
    )


def _route_cells(row: RouteRow) -> tuple[Cell, ...]:
    none = row.head_end is None or not row.legs
    links = tuple(f"{leg.kind} {leg.id}" for leg in row.legs)
    links = (*links, row.head_end) if row.head_end is not None else ("no way to a head end",)
    # a leg that nobody knows may be the narrowest
    unknown = any(leg.carries_mbps is None for leg in row.legs)
    leg, mbps = (None, None) if unknown else (row.bottleneck_leg, row.bottleneck_mbps)
    narrowest: Cell = _NONE if none else Empty(12) if leg is None else Words(leg)
    carries: Cell = _NONE if none else Empty() if mbps is None else Words(number(mbps, 0))
    delay: Cell = _NONE if none else delay_cell(row, row.latency_ms)
    return (
        Words(row.camera),
        Chain(links),
        Words(number(row.demand_mbps, 1)),
        narrowest,
        carries,
        delay,
        Words(number(row.night_demand_mbps, 1)),
    )


def _empty_words(groups: tuple[tuple[CellRow | None, tuple[HopFigures, ...]], ...]) -> list[str]:
    """Return what would fill the empty boxes: each sentence once, with the hops that it is about."""
    hops: dict[str, list[str]] = {}
    for _, rows in groups:
        for row in rows:
            if row.why:
                hops.setdefault(row.why, []).append(row.hop)
    return [f"Empty box, {', '.join(ids)}: {why}" for why, ids in hops.items()]


def _closing(sources: Sources, groups: tuple[tuple[CellRow | None, tuple[HopFigures, ...]], ...]) -> list[str]:
    north = sources.assessment.north
    if not north.anchored:
        first = "Bearings count from plan north: the site has no anchor, so neither true nor magnetic north is known."
    elif north.declination_deg is None:
        first = f"Bearings count from true north. No magnetic bearing: {north.sentence}"
    else:
        size = tenths(north.declination_deg)
        word = "minus" if size >= 0 else "plus"
        sigma = "" if north.sigma_deg is None else f", sigma {number(north.sigma_deg, 1)}°"
        first = (
            f"Magnetic = true {word} {signed_tenths(abs(size))}° ({declination(north.declination_deg)}{sigma}, "
            f"{north.date.isoformat()}, {north.model})."
        )
        own = {row.declination_deg for row in sources.assessment.radios if row.declination_deg is not None}
        if len({tenths(value) for value in own}) > 1:
            first += " Each end has its own declination."
    second = "Distance on the plan. Tilt is the ray's; the bracket's stands on the mounting sheet."
    third = "Mbit/s alone on the air and margin: the weaker direction."
    return [first, f"{second} {third}", f"{_level_convention(sources)} {_clear_convention(groups)}"]


def _level_convention(sources: Sources) -> str:
    kinds = {
        found.reading_stated_as for row in sources.assessment.radios if (found := sources.radio_type(row)) is not None
    }
    if kinds == {"per_chain"}:
        how = "Levels of each chain, as the units show them"
    elif "per_chain" in kinds:
        how = "Levels as each unit shows them: of each chain or combined, see its mounting sheet"
    else:
        how = "Levels combined over chains"
    return f"{how}, power fixed for aiming."


def _clear_convention(groups: tuple[tuple[CellRow | None, tuple[HopFigures, ...]], ...]) -> str:
    rows = [row for _, rows in groups for row in rows]
    held: dict[str, list[str]] = {}
    for row in rows:
        held.setdefault(row.held_against, []).append(row.hop)
    against = "; ".join(words if len(held) == 1 else f"{', '.join(hops)}: {words}" for words, hops in held.items())
    said = f" Held against {against}." if against else ""
    return f"Clear: least part of the first zone, drawn and seen where no word says otherwise.{said}"


def schedule_csv(site: Site, assessment: Assessment) -> str:
    """Return the hop schedule as comma-separated values: the rows of the paper, units in the head.

    Figures are rounded as on paper; bearings, tilts and levels are numbers, a tilt down is negative. What is not known
    or does not apply is an empty cell.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.

    Examples
    --------
    >>> from survey_app.assess.pipeline import assess
    >>> from survey_app.site.new import new_site
    >>> import datetime
    >>> empty = new_site("Yard", as_of=datetime.date(2026, 12, 1))
    >>> schedule_csv(empty, assess(empty)).split(",")[3]
    '"distance m"'
    """
    sources = Sources(site, assessment)
    feet = site.design.units != "metric"
    return csv_text(
        [_csv_head(sources, feet), *(_csv_row(row, feet) for _, rows in hops_by_cell(sources) for row in rows)]
    )


def _csv_head(sources: Sources, feet: bool) -> list[str]:
    north = "true" if sources.assessment.north.anchored else "plan"
    ends = [
        f"{end} {what}"
        for end in ("from access point", "from station")
        for what in (f"bearing {north} deg", "bearing magnetic deg", "tilt deg, down negative")
    ]
    return [
        "hop", "access point", "station", "distance m", *(["distance ft"] if feet else []), *ends, "channel",
        "width MHz",
        "clear, part of first Fresnel zone", "clear", "nearest", "nearest at m",
        "reading at access point dBm", "reading at station dBm", "Mbit/s",
        "margin dB", "flags", "cell", "antenna to antenna m",
    ]  # fmt: skip


def _csv_row(row: HopFigures, feet: bool) -> list[str | Decimal | int | None]:
    near, far = row.from_access_point, row.from_station
    return [
        row.hop, row.access_point, row.station, _plain(row.plan_m, 1),
        *([_plain(row.plan_m / _FOOT_M, 0)] if feet else []),
        _tenth(near.bearing), _tenth(near.magnetic), _tenth(near.tilt), _tenth(far.bearing), _tenth(far.magnetic),
        _tenth(far.tilt), row.channel, _plain(row.width_mhz, 0), _plain(row.clear_ratio, 2), row.clear,
        row.clear_by, _plain(row.clear_at_m, 1),
        _plain(near.level, 0), _plain(far.level, 0), _plain(row.mbps, 0), _plain(row.margin_db, 1),
        "; ".join(f"{f.number} {f.severity}" for f in row.flags), row.cell, _plain(row.slant_m, 1),
    ]  # fmt: skip


def _tenth(size: int | None) -> Decimal | None:
    return None if size is None else Decimal(size) / 10


def _plain(value: float | None, places: int) -> Decimal | None:
    """Return a figure rounded as paper rounds it, as a number."""
    if value is None:
        return None
    return Decimal(number(value, places).replace("\N{MINUS SIGN}", "-").replace("\N{THIN SPACE}", ""))
