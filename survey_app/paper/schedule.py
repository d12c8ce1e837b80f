"""The hop schedule: every hop with both ends, by cell, and the way of each camera's video to its head end."""

from __future__ import annotations

from survey_app.assess.record import Assessment, CellRow, HopEndRow, HopRow, RouteRow
from survey_app.paper.mounting_build import flag_of
from survey_app.paper.rounding import bearing, declination, degrees, level, magnetic_tenths, number, signed_tenths, tilt
from survey_app.paper.sources import Sources, why_null
from survey_app.paper.table_view import Box, Cell, Column, Marks, Row, Section, Span, TableDocument
from survey_app.paper.title import title_of
from survey_app.site.site import Site

__all__ = ["north_sentence", "schedule_document"]

_UNKNOWN = Box("write")


def schedule_document(site: Site, assessment: Assessment) -> TableDocument:
    """Return the hop schedule of a site.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.
    """
    sources = Sources(site, assessment)
    stops = any(f.severity == "stop" and f.accepted is None for f in assessment.findings)
    return TableDocument(
        sections=(_hops(sources), _routes(sources)),
        title=title_of(sources, "Hop schedule", "", "", "held" if stops else "for work"),
    )


def _hops(sources: Sources) -> Section:
    anchored = sources.assessment.north.anchored
    north = "TRUE" if anchored else "PLAN"
    end = (
        Column((north,), 15, "end", bold=True, ruled=True),
        Column(("MAGNETIC",), 16, "end"),
        Column(("TILT",), 21, "end"),
    )
    columns = (
        Column(("HOP",), 16, bold=True, lines=2),
        Column(("AP",), 13, ruled=True, lines=2),
        Column(("STATION",), 19, lines=2),
        Column(("DISTANCE", "m"), 16, "end", ruled=True),
        *end,
        *end,
        Column(("CHANNEL",), 16, "middle", ruled=True),
        Column(("CLEAR",), 13, "end", ruled=True),
        Column(("READING", "dBm"), 15, "end"),
        Column(("Mbit/s",), 13, "end"),
        Column(("MARGIN", "dB"), 12, "end"),
        Column(("FLAGS",), 12, ruled=True),
    )
    rows: list[Row] = []
    for cell in sources.assessment.cells:
        rows.append(Row(group=_cell_words(sources, cell), heavy=bool(rows)))
        rows += [_hop(sources, sources.hops[hop_id]) for hop_id in cell.hops if hop_id in sources.hops]
    about = {hop.id for hop in sources.assessment.hops} | set(sources.radios)
    flags = tuple(
        flag_of(f) for f in sources.assessment.findings if f.subject in about or (f.second_subject or "") in about
    )
    return Section(
        title="HOP SCHEDULE",
        note="bearings and tilts as seen from each end; clearance in parts of the first Fresnel zone",
        columns=columns,
        rows=tuple(rows),
        spans=(Span(4, 6, "FROM ACCESS POINT"), Span(7, 9, "FROM STATION")),
        flags=flags,
        lines=_conventions(sources),
        empty="No hop is drawn.",
    )


def _cell_words(sources: Sources, cell: CellRow) -> str:
    channel = "no channel" if cell.channel is None else f"channel {cell.channel}"
    load = "" if cell.load_fraction is None else f", load {number(100.0 * cell.load_fraction, 0)} %"
    count = len(cell.stations)
    stations = f"{count} station{'' if count == 1 else 's'}"
    return f"Cell {sources.name(cell.access_point)}, {channel}, {cell.width_mhz:g} MHz{load}, {stations}"


def _hop(sources: Sources, hop: HopRow) -> Row:
    near, far = hop.ends.access_point, hop.ends.station
    to_ap, to_station = hop.directions.to_access_point, hop.directions.to_station
    margins = [d.margin_at_needed_rate_db for d in (to_ap, to_station) if d.margin_at_needed_rate_db is not None]
    flags = tuple(
        flag_of(finding)
        for finding in sources.assessment.findings
        if hop.id in (finding.subject, finding.second_subject)
    )
    shown = far.expected_as_shown_dbm if far.expected_as_shown_dbm is not None else far.expected_reading_dbm
    return Row(
        (
            hop.id,
            sources.name(hop.access_point),
            sources.name(hop.station),
            number(hop.ground_distance_m, 1),
            *_end(sources, near),
            *_end(sources, far),
            _UNKNOWN if hop.channel is None else f"{hop.channel}/{hop.width_mhz:g}",
            _clear(hop),
            _UNKNOWN if shown is None else level(shown),
            _UNKNOWN if to_ap.throughput_alone_mbps is None else number(to_ap.throughput_alone_mbps, 0),
            _UNKNOWN if not margins else number(min(margins), 1),
            Marks(flags) if flags else "",
        )
    )


def _end(sources: Sources, end: HopEndRow) -> tuple[Cell, Cell, Cell]:
    north = sources.assessment.north
    shown = end.bearing_true_deg if north.anchored else end.bearing_plan_deg
    magnetic: Cell = "none"
    if end.bearing_magnetic_deg is not None and end.bearing_true_deg is not None:
        row = sources.radios.get(end.radio)
        turn = row.declination_deg if row is not None else None
        turn = north.declination_deg if turn is None else turn
        if turn is not None:
            magnetic = f"{signed_tenths(magnetic_tenths(end.bearing_true_deg, turn))}°"
    return (
        _UNKNOWN if shown is None else bearing(shown),
        magnetic,
        _UNKNOWN if end.tilt_deg is None else tilt(end.tilt_deg),
    )


def _clear(hop: HopRow) -> Cell:
    if hop.line_of_sight is False:
        return "cut"
    if hop.fresnel_clearance_ratio is not None:
        return number(hop.fresnel_clearance_ratio, 2)
    kind, _ = why_null(hop.null_reasons, "fresnel_clearance_ratio")
    return "none" if kind == "not_applicable" else _UNKNOWN


def north_sentence(sources: Sources) -> str:
    """Return in one sentence how to get from true to magnetic at this site, or why there is no magnetic bearing."""
    north = sources.assessment.north
    if not north.anchored or north.declination_deg is None:
        return north.sentence or "No magnetic bearing can be given."
    word = "plus" if north.declination_deg < 0 else "minus"
    sigma = "" if north.sigma_deg is None else f", sigma {degrees(north.sigma_deg)}"
    source = f"{declination(north.declination_deg)}{sigma}, {north.date.isoformat()}, {north.model}"
    return f"Magnetic = true {word} {degrees(north.declination_deg)} ({source})."


def _conventions(sources: Sources) -> tuple[str, ...]:
    return (
        f"{north_sentence(sources)} Tilt is the beam's; the bracket's stands on the mounting sheet.",
        "Reading at the station, as its display shows it, power fixed for aiming. Mbit/s to the access point, alone on "
        "the air. Margin at the needed rate, the worse direction. Clear is drawn clear; what nobody saw has a flag.",
    )


def _routes(sources: Sources) -> Section:
    columns = (
        Column(("CAMERA",), 28, bold=True),
        Column(("LEGS, IN ORDER, TO THE HEAD END",), 103, ruled=True, lines=3),
        Column(("DEMAND", "Mbit/s"), 26, "end", ruled=True),
        Column(("NARROWEST LEG",), 28, ruled=True),
        Column(("IT CARRIES", "Mbit/s"), 26, "end"),
        Column(("DELAY", "ms"), 20, "end"),
        Column(("NIGHT", "Mbit/s"), 18, "end", ruled=True),
    )
    return Section(
        title="ROUTES",
        note="from each camera to its head end, wires by their ids; the narrowest leg decides",
        columns=columns,
        rows=tuple(Row(_route(sources, route)) for route in sources.assessment.routes),
        row_mm=6.2,
        empty="No camera is drawn.",
    )


def _route(sources: Sources, route: RouteRow) -> tuple[Cell, ...]:
    legs = [f"hop {leg.id}" if leg.kind == "hop" else leg.id for leg in route.legs]
    if route.head_end is None:
        legs = ["no way home"]
    elif len(sources.design.head_ends) > 1 or not legs:
        legs.append(sources.name(route.head_end))
    return (
        sources.name(route.camera),
        "\N{NO-BREAK SPACE}· ".join(legs),
        number(route.demand_mbps, 1),
        route.bottleneck_leg or "none",
        "none" if route.bottleneck_mbps is None else number(route.bottleneck_mbps, 0),
        "none" if route.latency_ms is None else number(route.latency_ms, 0),
        number(route.night_demand_mbps, 1),
    )
