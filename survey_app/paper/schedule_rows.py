"""The hop schedule's figures: one row a hop, rounded once, for paper and for the file of cells alike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from survey_app.paper.rounding import magnetic_tenths, tenths
from survey_app.paper.sources import Sources

if TYPE_CHECKING:
    from survey_app.assess.record import CellRow, DirectionRow, Finding, HopEndRow, HopRow, RouteRow

__all__ = ["EndFigures", "HopFigures", "clear_words", "hops_by_cell", "notes_of", "routes_of"]

Known = Literal["known", "unknown", "none"]


@dataclass(frozen=True, slots=True)
class EndFigures:
    """What one end of a hop sees, in tenths of a degree; None where it is not known or does not apply.

    Attributes
    ----------
    bearing : int or None
        True bearing of the far end; of an unanchored site, the bearing from plan north.
    magnetic : int or None
        Printed bearing minus printed declination.
    tilt : int or None
        Elevation of the far end: negative is down.
    level : float or None
        Level that the unit shows at fixed aiming power. [dBm]
    """

    bearing: int | None
    magnetic: int | None
    tilt: int | None
    level: float | None


@dataclass(frozen=True, slots=True)
class HopFigures:
    """One row of the schedule.

    Attributes
    ----------
    clear : str
        Clearance in parts of the first zone, or the words that stand in its place.
    clear_ratio : float or None
        The figure, where there is one.
    clear_by : str
        What comes nearest, or cuts the ray; empty where nothing that is drawn does.
    clear_at_m : float or None
        Where that is, from the access point along the ground. [m]
    held_against : str
        What the way was held against.
    mbps, margin_db : float or None
        Of the weaker direction; None where `carries` is not "known".
    carries : str
        "known", "none" where no rate works, "unknown" where the budget could not be computed.
    why : str
        What would make the unknown figures known; empty if all are known.
    """

    hop: str
    access_point: str
    station: str
    cell: str
    plan_m: float
    slant_m: float
    from_access_point: EndFigures
    from_station: EndFigures
    channel: int | None
    width_mhz: float
    clear: str
    clear_ratio: float | None
    clear_by: str
    clear_at_m: float | None
    held_against: str
    mbps: float | None
    margin_db: float | None
    carries: Known
    flags: tuple[Finding, ...]
    why: str


def hops_by_cell(sources: Sources) -> tuple[tuple[CellRow | None, tuple[HopFigures, ...]], ...]:
    """Return the schedule's rows, cell by cell in the order of the assessment; hops without a cell come last.

    Examples
    --------
    >>> from survey_app.assess.pipeline import assess
    >>> from survey_app.site.new import new_site
    >>> import datetime
    >>> empty = new_site("Yard", as_of=datetime.date(2026, 12, 1))
    >>> hops_by_cell(Sources(empty, assess(empty)))
    ()
    """
    cells: list[CellRow | None] = [*sources.assessment.cells, None]
    known = {cell.id for cell in sources.assessment.cells}
    groups = []
    for cell in cells:
        ids = [
            hop.id
            for hop in sources.assessment.hops
            if (hop.cell == cell.id if cell is not None else hop.cell not in known)
        ]
        if ids:
            groups.append((cell, tuple(_figures(sources, sources.hops[hop_id]) for hop_id in ids)))
    return tuple(groups)


def _figures(sources: Sources, hop: HopRow) -> HopFigures:
    directions = (hop.directions.to_access_point, hop.directions.to_station)
    carries = _carries(directions)
    mbps = margin = None
    if carries == "known":
        mbps = min(row.throughput_alone_mbps for row in directions if row.throughput_alone_mbps is not None)
        margins = [row.margin_at_needed_rate_db for row in directions if row.margin_at_needed_rate_db is not None]
        margin = min(margins) if margins else None
    near, far = _end(sources, hop.ends.access_point), _end(sources, hop.ends.station)
    return HopFigures(
        hop=hop.id,
        access_point=sources.name(hop.access_point),
        station=sources.name(hop.station),
        cell=hop.cell,
        plan_m=hop.ground_distance_m,
        slant_m=hop.distance_m,
        from_access_point=near,
        from_station=far,
        channel=hop.channel,
        width_mhz=hop.width_mhz,
        clear=clear_words(hop),
        clear_ratio=hop.fresnel_clearance_ratio if not _is_cut(hop) else None,
        clear_by=_clear_by(sources, hop),
        clear_at_m=hop.cut_at_m if _is_cut(hop) else hop.clearance_place_m,
        held_against=hop.checked_against,
        mbps=mbps,
        margin_db=margin,
        carries=carries,
        flags=_flags_of(sources, hop),
        why=_why(hop, near, far, carries, margin),
    )


def _carries(directions: tuple[DirectionRow, DirectionRow]) -> Known:
    if any(row.snr_db is None for row in directions):
        return "unknown"
    return (
        "known" if all(row.throughput_alone_mbps is not None and row.mcs is not None for row in directions) else "none"
    )


def _end(sources: Sources, end: HopEndRow) -> EndFigures:
    anchored = sources.assessment.north.anchored
    seen = end.bearing_true_deg if anchored else end.bearing_plan_deg
    radio = sources.radios.get(end.radio)
    turned = radio.declination_deg if radio is not None else None
    magnetic = None
    if anchored and seen is not None and turned is not None and end.bearing_magnetic_deg is not None:
        magnetic = magnetic_tenths(seen, turned)
    shown = end.expected_as_shown_dbm if end.expected_as_shown_dbm is not None else end.expected_reading_dbm
    return EndFigures(
        bearing=None if seen is None else tenths(seen) % 3600,
        magnetic=magnetic,
        tilt=None if end.tilt_deg is None else tenths(end.tilt_deg),
        level=shown,
    )


def _is_cut(hop: HopRow) -> bool:
    return hop.cut_at_m is not None or hop.line_of_sight is False


def _clear_by(sources: Sources, hop: HopRow) -> str:
    by = hop.cut_by if _is_cut(hop) else hop.clearance_obstacle
    return "" if by is None else sources.name(by)


def clear_words(hop: HopRow) -> str:
    """Return what stands in the column of clearance.

    Only a hop that is drawn clear and was seen clear shows its figure alone: "0.91". Drawn but not yet looked along:
    "0.91, not seen". Looked along with nothing drawn near it: "seen". Neither: "not checked". What is held against
    relief and has nothing near it says "open".
    """
    if _is_cut(hop):
        return "cut"
    seen = hop.sight_checked in ("seen", "seen_with_lamp")
    if hop.fresnel_clearance_ratio is not None:
        drawn = _hundredths(hop.fresnel_clearance_ratio)
    elif hop.budget_basis == "checked":
        drawn = "open"
    else:
        return "seen" if seen else "not seen" if hop.sight_checked == "not_seen" else "not checked"
    return drawn if seen else f"{drawn}, not seen"


def _hundredths(ratio: float) -> str:
    from survey_app.paper.rounding import number

    return number(ratio, 2)


def _why(hop: HopRow, near: EndFigures, far: EndFigures, carries: Known, margin: float | None) -> str:
    unknown = hop.channel is None or carries == "unknown" or near.level is None or far.level is None
    unknown = unknown or near.tilt is None or near.bearing is None or (carries == "known" and margin is None)
    if not unknown:
        return ""
    wanted = {"channel", "centre_mhz", "free_space_loss_db"}
    for reason in hop.null_reasons:
        if reason.kind == "unknown" and reason.field in wanted:
            return reason.sentence
    return "Gear figures of both ends, a channel and a rule of the region make it known."


def _flags_of(sources: Sources, hop: HopRow) -> tuple[Finding, ...]:
    """Findings of a hop and of its station; those of the access point stand at the head of its cell."""
    about = {hop.id, hop.station}
    return tuple(f for f in sources.assessment.findings if f.subject in about or f.second_subject in about)


def notes_of(sources: Sources) -> tuple[tuple[Finding, ...], int]:
    """Return the findings whose flags stand in the schedule, and how many others the site has."""
    assessment = sources.assessment
    about = {row.id for row in assessment.radios} | {row.id for row in assessment.hops}
    about |= {row.id for row in assessment.cells}
    shown = tuple(f for f in assessment.findings if f.subject in about or f.second_subject in about)
    return shown, len(assessment.findings) - len(shown)


def routes_of(sources: Sources) -> tuple[RouteRow, ...]:
    """Return the routes by camera."""
    return tuple(sorted(sources.assessment.routes, key=lambda row: row.camera))
