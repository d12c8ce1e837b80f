"""From site and assessment to mounting sheets: which radio, in which order, held or for work."""

from __future__ import annotations

from survey_app.assess.record import Assessment, Finding, RadioRow
from survey_app.paper.mounting_aims import aims_of, sweep_of, tilt_of
from survey_app.paper.mounting_facts import boxes_of, cautions_of, facts_of, foot_of, height_of
from survey_app.paper.mounting_level import level_of, sight_of, stations_of
from survey_app.paper.mounting_scene import Surroundings, elevation_of, plan_of, side_of
from survey_app.paper.mounting_section import section_of, way_of
from survey_app.paper.mounting_view import Flag, MountingView, Stop
from survey_app.paper.rounding import metres, number
from survey_app.paper.sources import Sources
from survey_app.paper.title import title_of
from survey_app.site.site import Site

__all__ = ["flag_of", "mounting_views"]


def mounting_views(site: Site, assessment: Assessment) -> tuple[MountingView, ...]:
    """Return one mounting sheet a radio, in the order in which they go up.

    Parameters
    ----------
    site : Site
        The document.
    assessment : Assessment
        Its assessment.

    Returns
    -------
    tuple of MountingView
        A radio that hangs already, or that was accepted, has its sheet too: someone will climb to it one day.
    """
    sources = Sources(site, assessment)
    around = Surroundings(sources)
    rows = sorted(assessment.radios, key=lambda row: (row.sheet_number, row.id))
    total = len(rows)
    return tuple(_view(sources, around, row, number_, total) for number_, row in enumerate(rows, start=1))


def _view(sources: Sources, around: Surroundings, row: RadioRow, number_: int, total: int) -> MountingView:
    findings = sources.findings_of(row)
    stops = [finding for finding in findings if finding.severity == "stop" and finding.accepted is None]
    several = row.role == "access_point" and len(row.hops) > 1
    stop = Stop(stops[0].number, _stop_words(stops)) if stops else None
    rest = tuple(finding for finding in findings if not stops or finding is not stops[0])
    return MountingView(
        sheet=f"{number_} of {total}",
        radio=row.label,
        role="ACCESS POINT" if row.role == "access_point" else "STATION",
        structure=f"on {_place_name(sources, row)}",
        looks=_looks(sources, row),
        climb=_climb_words(sources, row),
        stop=stop,
        ticks=_ticks(sources, row),
        aims=aims_of(sources, row),
        tilt=tilt_of(row),
        height=height_of(sources, row),
        side=side_of(sources, around, row),
        sweep=sweep_of(row),
        plan=plan_of(sources, around, row, findings),
        section=section_of(sources, row),
        foot=foot_of(sources, row),
        way=way_of(sources, row),
        elevation=elevation_of(sources, row),
        level=None if several else level_of(sources, row),
        stations=stations_of(sources, row) if several else (),
        facts=facts_of(sources, row),
        flags=tuple(flag_of(finding) for finding in rest),
        sight=sight_of(sources, row),
        cautions=cautions_of(sources, row),
        codes="Local codes and licensed practice come first.",
        call=f"Call: {sources.design.call_number or '_' * 22}",
        boxes=boxes_of(row, several=several),
        title=title_of(sources, "Mounting sheet", f"{number_} / {total}", row.label, "held" if stops else "for work"),
    )


def flag_of(finding: Finding) -> Flag:
    """Return a finding as it stands under the drawings of a sheet."""
    accepted = finding.accepted
    words = f" Accepted: {accepted.by}, {accepted.on.isoformat()}." if accepted is not None else ""
    return Flag(
        finding.number,
        finding.severity,
        f"{finding.subject}: {finding.message}{words}",
        accepted.by if accepted is not None else "",
    )


def _stop_words(stops: list[Finding]) -> str:
    more = f" And {len(stops) - 1} more." if len(stops) > 1 else ""
    return f"{stops[0].subject}: {stops[0].message}{more} Ask for a new revision."


def _place_name(sources: Sources, row: RadioRow) -> str:
    mount = sources.mounts[row.mount]
    return (mount.structure_name or mount.name).upper()


def _looks(sources: Sources, row: RadioRow) -> tuple[str, str, str]:
    hops = sources.hops_of(row)
    if not hops:
        return "looks at", "nothing yet", ""
    names = " ".join(sources.name(far) for far in row.far_ends)
    if len(hops) == 1:
        far = sources.radios[row.far_ends[0]]
        role = "access point" if far.role == "access_point" else "station"
        return "looks at", names, f"{role} on {_place_name(sources, far)}, {metres(hops[0].ground_distance_m, 0)}"
    reach = "" if row.reach_m is None else f", reach {metres(row.reach_m, 0)}"
    beam = "all round"
    if row.aim_by != "all_round" and row.beamwidth_azimuth_deg is not None:
        beam = f"beam {number(row.beamwidth_azimuth_deg, 0)}°"
    return "looks over", names, f"{beam}{reach}"


def _climb_words(sources: Sources, row: RadioRow) -> str:
    total = len(sources.assessment.climbs)
    words = f"Climb {row.climb_order} of {total}." if total else ""
    climb = sources.climbs.get(row.climb)
    if climb is not None and len(climb.radios) > 1:
        words += f" One climb: {', '.join(sources.name(radio) for radio in climb.radios)}."
    if row.first_up:
        words += " First up of its hops."
    elif row.far_ends:
        words += f" {', '.join(sources.name(far) for far in row.far_ends[:2])} goes up first, then this."
    return words.strip()


def _ticks(sources: Sources, row: RadioRow) -> tuple[str, ...]:
    """What must be true before anyone climbs."""
    later = [sources.name(far) for far in row.looks_at_later]
    if row.far_ends and len(later) == len(row.far_ends):
        on_air = "no far end yet"
    elif len(row.far_ends) == 1:
        far = sources.radios[row.far_ends[0]]
        power = f" {number(far.tx_power_total_dbm, 0)} dBm" if far.tx_power_total_dbm is not None else ""
        on_air = f"{far.label} on air{power}"
    else:
        on_air = "far ends on air"
    here = "auto off"
    if row.tx_power_total_dbm is not None:
        here = f"{number(row.tx_power_total_dbm, 0)} dBm, auto off"
    return on_air, here, "unit labelled", "supply on", "owner agrees"
