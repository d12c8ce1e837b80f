"""The level of a mounting sheet: what to read when aimed, and the list of stations of an access point."""

from __future__ import annotations

from survey_app.assess.record import HopEndRow, HopRow, RadioRow
from survey_app.assess.verdict import shown_limits
from survey_app.drawing.level_scale import LevelWindow
from survey_app.ground.bearings import turn_words
from survey_app.paper.mounting_view import LevelBlock, StationRow
from survey_app.paper.rounding import bearing, level, number, tilt
from survey_app.paper.sources import Sources, why_null

__all__ = ["level_of", "sight_of", "stations_of"]

_RULE = "6 dB short after two sweeps: do not tighten, call."


def level_of(sources: Sources, row: RadioRow) -> LevelBlock:
    """Return the level block of a radio with one far end, or with none."""
    hops = sources.hops_of(row)
    power = "power not known"
    if row.tx_power_total_dbm is not None:
        power = f"power fixed {number(row.tx_power_total_dbm, 0)} dBm, automatic OFF"
    if not hops:
        return LevelBlock(power, None, "Unknown: draw the hop to its far end.", None, 0, "", (), None, _RULE)
    hop = hops[0]
    near, _ = sources.ends(row, hop)
    if near.expected_reading_dbm is None:
        return LevelBlock(power, None, _why_no_level(sources, hop), None, 0, "", (), None, _RULE)
    shown = near.expected_as_shown_dbm if near.expected_as_shown_dbm is not None else near.expected_reading_dbm
    lights = near.lights_expected
    return LevelBlock(
        power=power,
        value=level(shown),
        unknown="",
        lights=lights,
        lights_total=row.lights_total,
        lights_words=f"{lights} lights of {row.lights_total}" if lights is not None else "",
        lines=_lines(sources, row, near),
        window=_window(near),
        rule=_RULE,
    )


def _why_no_level(sources: Sources, hop: HopRow) -> str:
    """The record's own reason, or the rule that forbids one of the two to send, or what is missing."""
    kind, sentence = why_null(hop.null_reasons, "expected_reading_dbm")
    if sentence != "Unknown.":
        return sentence
    for radio in (hop.access_point, hop.station):
        row = sources.radios[radio]
        if row.eirp_limit_dbm is None and row.limit_sentence:
            return row.limit_sentence
    return f"{kind.capitalize()}: power, antenna or path of the hop is not known."


def _window(near: HopEndRow) -> LevelWindow | None:
    """Limits in the unit's own convention, with room for their words."""
    found = shown_limits(near)
    if found is None:
        return None
    low, good_low, good_high = (int(v) for v in (found.low_dbm, found.good_low_dbm, found.good_high_dbm))
    return LevelWindow(min(low, good_low - 1), good_low, max(good_high, good_low + 1))


def _lines(sources: Sources, row: RadioRow, near: HopEndRow) -> tuple[str, ...]:
    found = sources.radio_type(row)
    lines = []
    combined = near.expected_reading_dbm or 0.0
    if row.level_per_chain_db_below >= 0.05:
        if found is not None and found.reading_stated_as == "per_chain":
            lines.append(f"each chain; combined {level(combined)}")
        else:
            lines.append(f"each chain {level(combined - row.level_per_chain_db_below)}, within 3 dB")
    lines.append(f"read: {sources.drawn_radios[row.id].shows_level_at or 'lights or own page'}")
    return tuple(lines)


def stations_of(sources: Sources, row: RadioRow) -> tuple[StationRow, ...]:
    """Return the stations of an access point, by bearing off its axis from left to right."""
    rows = []
    for hop in sources.hops_of(row):
        near, far = sources.ends(row, hop)
        rows.append((near.off_axis_azimuth_deg or 0.0, _station(sources, row, hop, near, far)))
    return tuple(station for _, station in sorted(rows, key=lambda item: (item[0], item[1].station)))


def _station(sources: Sources, row: RadioRow, hop: HopRow, near: HopEndRow, far: HopEndRow) -> StationRow:
    anchored = sources.assessment.north.anchored
    to_far = near.bearing_true_deg if anchored else near.bearing_plan_deg
    off = near.off_axis_azimuth_deg
    shown = near.expected_as_shown_dbm if near.expected_as_shown_dbm is not None else near.expected_reading_dbm
    held = any(
        finding.severity == "stop" and finding.accepted is None and hop.id in (finding.subject, finding.second_subject)
        for finding in sources.assessment.findings
    )
    return StationRow(
        station=sources.name(far.radio),
        true="" if to_far is None else bearing(to_far),
        turn="none" if off is None or row.aim_by == "all_round" else turn_words(off),
        tilt="" if near.tilt_deg is None else tilt(near.tilt_deg),
        expect="none" if held or shown is None else level(shown),
        held=held,
    )


def sight_of(sources: Sources, row: RadioRow) -> str:
    """Return in words who saw the far end, or that nobody looked."""
    hops = sources.hops_of(row)
    if not hops:
        return "Sight: no far end."
    if len(hops) == 1:
        _, far = sources.ends(row, hops[0])
        return _one_sight(sources.name(far.radio), hops[0])
    unseen = [
        sources.name(sources.ends(row, hop)[1].radio)
        for hop in hops
        if hop.sight_checked not in ("seen", "seen_with_lamp")
    ]
    if not unseen:
        return f"Sight: all {len(hops)} seen."
    return f"Sight: {', '.join(unseen)} not checked." if len(unseen) < len(hops) else "Sight: not checked."


def _one_sight(name: str, hop: HopRow) -> str:
    on = f", {hop.sight_on.isoformat()}" if hop.sight_on is not None else ""
    words = {
        "seen": f"Sight: {name} seen{on}.",
        "seen_with_lamp": f"Sight: {name} seen by lamp{on}.",
        "not_seen": f"Sight: {name} NOT seen{on}.",
        "not_tried": "Sight: not checked.",
    }
    return words[hop.sight_checked]
