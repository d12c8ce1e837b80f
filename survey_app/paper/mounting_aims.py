"""The aim of a mounting sheet in words: the turn from a landmark, the bearings, the bracket's tilt, the sweep."""

from __future__ import annotations

from survey_app.assess.record import FromLandmark, HopEndRow, RadioRow
from survey_app.paper.mounting_view import AimFigure, SweepBlock, TiltFigure
from survey_app.paper.rounding import (
    bearing,
    declination,
    degrees,
    magnetic_tenths,
    metres,
    number,
    signed_tenths,
    tenths,
    tilt_tenths,
)
from survey_app.paper.sources import Sources, why_null

__all__ = ["aims_of", "sweep_of", "tilt_of"]

_NOTHING = AimFigure("none", "", "", None)


def aims_of(sources: Sources, row: RadioRow) -> tuple[AimFigure, AimFigure, AimFigure]:
    """Return the three ways to aim, the one that the installer will use first.

    A landmark that may be used comes first, then the compass, true north last. Without an anchor the plan's bearing
    stands for both.
    """
    if row.aim_by == "all_round":
        return _all_round(sources, row)
    turn = _turn(row)
    magnetic, true = _magnetic(sources, row), _true(sources, row)
    no_landmark = _no_landmark(row)
    if not sources.assessment.north.anchored and row.bearing_plan_deg is not None:
        plan = _plan(row)
        order = (turn, plan, magnetic) if turn else (plan, magnetic, no_landmark)
    elif turn:
        order = (turn, magnetic, true)
    elif magnetic.kind == "none":
        order = (true, magnetic, no_landmark)
    else:
        order = (magnetic, true, no_landmark)
    return _with_sum(sources, row, order[0]), order[1], order[2]


def _with_sum(sources: Sources, row: RadioRow, first: AimFigure) -> AimFigure:
    """Add to the largest figure how good it is, and what checks it."""
    by_turn = first.kind in ("left", "right")
    sigma = row.aim_sigma_deg if by_turn else row.aim_sigma_compass_deg
    words: list[str] = []
    if sigma is not None:
        words.append(f"This aim is good to ±{degrees(sigma)}.")
    if row.beamwidth_azimuth_deg is not None:
        words.append(f"The beam is {degrees(row.beamwidth_azimuth_deg, 0)} wide.")
    lines = [" ".join(words)] if words else []
    if by_turn:
        lines += _check(row)
    elif first.head == "BEARING MAGNETIC":
        lines.append(f"Stand on the line, 20 m off all steel; read to {degrees(row.compass_step_deg)}.")
        lines += _from_far_end(sources, row, magnetic=True)
    else:
        lines += _from_far_end(sources, row, magnetic=False)
    dial = None
    if first.head == "BEARING MAGNETIC" and row.bearing_magnetic_deg is not None:
        dial = (row.bearing_magnetic_deg, "MN")
    elif first.head == "BEARING TRUE" and row.bearing_true_deg is not None:
        dial = (row.bearing_true_deg, "N")
    elif first.head == "BEARING PLAN" and row.bearing_plan_deg is not None:
        dial = (row.bearing_plan_deg, "PN")
    return AimFigure(first.kind, first.head, first.note, first.value, first.unknown, tuple(lines), dial)


def _name_of_mark(mark: FromLandmark) -> str:
    return (mark.name or mark.landmark).upper()


def _turn(row: RadioRow) -> AimFigure | None:
    mark = row.landmark
    if mark is None:
        return None
    size = tenths(mark.turn_deg)
    note = _name_of_mark(mark)
    if size == 0:
        return AimFigure("right", "Aim straight at", note, "0.0°")
    figure = f"{signed_tenths(abs(size))}°"
    return (
        AimFigure("left", "Turn left of", note, figure)
        if size < 0
        else AimFigure("right", "Turn right of", note, figure)
    )


def _check(row: RadioRow) -> list[str]:
    """What the second landmark must show; printed turns add up to the printed angle between the two."""
    first, second = row.landmark, row.landmark_check
    if first is None or second is None:
        return []
    size = tenths(second.turn_deg)
    side = "left of" if size < 0 else "right of"
    between = abs(tenths(first.turn_deg) - size) % 3600
    between = min(between, 3600 - between)
    words = f"Check: {signed_tenths(abs(size))}° {side} {_name_of_mark(second)}."
    return [words, f"Between the two {signed_tenths(between)}°."]


def _far_end(sources: Sources, row: RadioRow) -> tuple[str, HopEndRow] | None:
    hops = sources.hops_of(row)
    if len(hops) != 1:
        return None
    _, far = sources.ends(row, hops[0])
    return sources.name(far.radio), far


def _from_far_end(sources: Sources, row: RadioRow, *, magnetic: bool) -> list[str]:
    """The far end's own bearing to here, to be compared by phone."""
    found = _far_end(sources, row)
    if found is None or found[1].bearing_true_deg is None:
        return []
    name, far = found
    true = tenths(found[1].bearing_true_deg or 0.0) % 3600
    if magnetic:
        if row.declination_deg is None:
            return []
        size = magnetic_tenths(far.bearing_true_deg or 0.0, row.declination_deg)
    else:
        size = true
    return [f"from {name} here: {signed_tenths(size)}°"]


def _sum_words(row: RadioRow) -> str:
    if row.bearing_true_deg is None or row.declination_deg is None:
        return "by compass"
    size = tenths(row.declination_deg)
    word = "plus" if size < 0 else "minus"
    return f"= true {bearing(row.bearing_true_deg)} {word} {signed_tenths(abs(size))}°"


def _magnetic(sources: Sources, row: RadioRow) -> AimFigure:
    head = "BEARING MAGNETIC"
    if row.bearing_magnetic_deg is None or row.bearing_true_deg is None or row.declination_deg is None:
        kind, sentence = why_null(row.null_reasons, "bearing_magnetic_deg")
        if kind == "unknown":
            return AimFigure("bearing", head, "by compass", None, sentence)
        note = "aim by landmark" if kind == "refused" else "none"
        return AimFigure("none", head, note, None, sentence)
    value = f"{signed_tenths(magnetic_tenths(row.bearing_true_deg, row.declination_deg))}°"
    good = f", good to ±{degrees(row.aim_sigma_compass_deg)}" if row.aim_sigma_compass_deg is not None else ""
    lines = [
        "compass, 20 m off steel",
        f"read to {degrees(row.compass_step_deg)}{good}",
        *_from_far_end(sources, row, magnetic=True),
    ]
    return AimFigure("bearing", head, _sum_words(row), value, "", tuple(lines))


def _true(sources: Sources, row: RadioRow) -> AimFigure:
    head = "BEARING TRUE"
    if row.bearing_true_deg is None:
        kind, sentence = why_null(row.null_reasons, "bearing_true_deg")
        if kind == "unknown":
            return AimFigure("bearing", head, "from true north", None, sentence)
        return AimFigure("none", head, "none", None, sentence)
    lines = ["from true north"]
    note = "from true north, clockwise"
    if row.declination_deg is not None:
        sigma = f" ±{degrees(row.declination_sigma_deg)}" if row.declination_sigma_deg is not None else ""
        note = f"declination {declination(row.declination_deg)}{sigma}, {sources.assessment.north.date.isoformat()}"
        if row.declination_model is not None:
            change = row.declination_change_deg
            moved = f", {declination(change)} a year" if change is not None else ""
            lines.append(f"{row.declination_model}{moved}")
    lines += _from_far_end(sources, row, magnetic=False)
    return AimFigure("bearing", head, note, bearing(row.bearing_true_deg), "", tuple(lines))


def _plan(row: RadioRow) -> AimFigure:
    value = None if row.bearing_plan_deg is None else bearing(row.bearing_plan_deg)
    return AimFigure(
        "bearing",
        "BEARING PLAN",
        "from plan north, clockwise",
        value,
        "",
        ("from the plan's north", "not true, not magnetic"),
    )


def _no_landmark(row: RadioRow) -> AimFigure:
    refused = row.landmark_turns
    if not refused:
        return AimFigure(
            "none",
            "LANDMARK",
            "none",
            None,
            "No landmark is drawn: add one that can be seen from here, 500 m off or more.",
        )
    best = min(refused, key=lambda mark: mark.error_deg)
    return AimFigure(
        "none",
        "LANDMARK",
        "none allowed",
        None,
        f"{_name_of_mark(best)}, {metres(best.distance_m, 0)} off, is known to ±{degrees(best.error_deg)} only: too "
        f"coarse for this beam. Find one farther off and add it to the design.",
    )


def _all_round(sources: Sources, row: RadioRow) -> tuple[AimFigure, AimFigure, AimFigure]:
    lines = ["Keep it clear of the pole: no metal beside the rod."]
    if row.near_in_m is not None and row.near_in_m >= 1.0:
        lines.append(f"The beam passes over all that is nearer than {metres(row.near_in_m, 0)}.")
    anchored = sources.assessment.north.anchored
    rose = []
    for hop in sources.hops_of(row):
        near, far = sources.ends(row, hop)
        to_far = near.bearing_true_deg if anchored else near.bearing_plan_deg
        if to_far is not None:
            rose.append((sources.name(far.radio), to_far))
    first = AimFigure("words", "BEARING", "no aim: the antenna looks all round", "ALL ROUND", "", tuple(lines))
    if not rose:
        return first, AimFigure("none", "LOOKS OVER", "none", None, "It has no station yet."), _NOTHING
    note = f"its stations, from {'true' if anchored else 'plan'} north"
    return first, AimFigure("none", "LOOKS OVER", note, None, rose=tuple(rose)), _NOTHING


def tilt_of(row: RadioRow) -> TiltFigure:
    """Return the bracket's tilt; printed bracket = printed beam + printed built-in tilt, exactly."""
    built = tenths(row.electrical_downtilt_deg or 0.0)
    if row.aim_by == "all_round":
        inside = f"Built in: {signed_tenths(built)}° down." if built else "No tilt built in."
        return TiltFigure("PLUMB", "NO TILT", "", ("Hang it upright: level it both ways.", inside))
    if row.bracket_tilt_deg is None or row.tilt_deg is None:
        _, sentence = why_null(row.null_reasons, "bracket_tilt_deg")
        return TiltFigure(None, "UNKNOWN", sentence, ("Not known: do not guess it.", _bracket_words(row)))
    beam = tenths(row.tilt_deg)
    size = beam + built
    first = f"Beam {tilt_tenths(beam)}. No tilt built in."
    if built:
        first = f"Beam {tilt_tenths(beam)}: {signed_tenths(abs(built))}° {'down' if built > 0 else 'up'} is built in."
    figure, lines = f"{signed_tenths(abs(size))}°", (first, _bracket_words(row))
    if size == 0:
        return TiltFigure(figure, "LEVEL", "", lines)
    return TiltFigure(figure, "UP" if size > 0 else "DOWN", "", lines)


def _bracket_words(row: RadioRow) -> str:
    if row.bracket_step_deg is None:
        return "Bracket not chosen."
    step = f"{row.bracket_step_deg:g}°"
    if row.bracket_set_deg is None or row.bracket_tilt_deg is None:
        return f"Bracket steps by {step}."
    off = abs(tenths(row.bracket_set_deg) - tenths(row.bracket_tilt_deg))
    if not off:
        return f"Bracket steps by {step}."
    cost = row.bracket_step_cost_db
    dear = f" costs {number(cost, 1)} dB" if cost is not None and cost >= 0.05 else ""
    return f"Nearest step {tilt_tenths(tenths(row.bracket_set_deg))}{dear}."


def sweep_of(row: RadioRow) -> SweepBlock:
    """Return how far to sweep, or how close is enough."""
    if row.aim_by == "all_round":
        return SweepBlock("NO SWEEP", "0°", ("upright is all that counts", "set it and tighten"))
    wide = "" if row.beamwidth_azimuth_deg is None else f"the beam is {degrees(row.beamwidth_azimuth_deg, 0)} wide"
    if row.close_enough_deg is not None:
        return SweepBlock("CLOSE ENOUGH", f"±{degrees(row.close_enough_deg)}", (wide, "no sweep: set it and tighten"))
    value = None if row.sweep_deg is None else f"±{degrees(row.sweep_deg, 0)}"
    lines = ["take the middle of the peak"]
    if row.false_peak_deg is not None:
        lines.append(f"weaker near ±{degrees(row.false_peak_deg, 0)}: not it")
    return SweepBlock("THEN SWEEP SLOWLY", value, tuple(lines))
