"""The facts, cautions and boxes of a mounting sheet."""

from __future__ import annotations

from survey_app.assess.record import MountRow, RadioRow, WireRow
from survey_app.drawing.letters import wrapped
from survey_app.paper.mounting_view import Caution, FactColumn, SideFigure, WriteBox
from survey_app.paper.press import clean
from survey_app.paper.rounding import feet_and_inches, level, metres, number
from survey_app.paper.sources import Sources
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace, PolePlace, RoofPlace

__all__ = ["boxes_of", "cautions_of", "facts_of", "foot_of", "height_of"]

_STAY_CLEAR_M = 3.0
_STRIP_MM = 84.0
_STRIP_LINES = 3


def facts_of(sources: Sources, row: RadioRow) -> tuple[FactColumn, FactColumn, FactColumn]:
    """Return mount, radio and supply; a value that is not known is None."""
    mount_row, mount = sources.mounts[row.mount], sources.drawn_mounts[row.mount]
    return (
        FactColumn("MOUNT", _mount(sources, row, mount_row, mount)),
        FactColumn("RADIO", _radio(sources, row)),
        FactColumn("SUPPLY", _supply(sources, row, mount)),
    )


def _mount(sources: Sources, row: RadioRow, placed: MountRow, mount: Mount) -> tuple[tuple[str, str | None], ...]:
    if placed.pipe_mm is not None:
        measured = "" if mount.pipe is not None and mount.pipe.measured else ", check it"
        fixed = f"pipe {number(placed.pipe_mm, 0)} mm{measured}"
    else:
        fixed = "wall"
    if placed.below_top_m is not None:
        tape = f"{metres(placed.below_top_m)} below the top"
    elif placed.height_above_eaves_m is not None:
        over = placed.height_above_eaves_m
        tape = f"{metres(abs(over))} {'above' if over >= 0 else 'below'} the eaves"
    else:
        tape = f"{metres(placed.height_above_ground_m)} up"
    bracket: str | None = None
    if placed.clamp is not None:
        clamp = sources.gear.get(placed.clamp)
        bracket = clamp.name if clamp is not None else placed.clamp
        if placed.clamp_range_mm is not None:
            low, high = placed.clamp_range_mm
            bracket = f"{bracket}, {number(low, 0)} to {number(high, 0)}"
    radio = sources.drawn_radios[row.id]
    unit = "arrow up, plug down"
    if radio.rotation_deg:
        unit = f"turned {number(abs(radio.rotation_deg), 0)}° {'right' if radio.rotation_deg > 0 else 'left'}"
    climb = sources.climbs.get(row.climb)
    way = None if climb is None or climb.way == "unknown" else f"{climb.way} to {metres(climb.reach_m)}"
    return (
        ("fixed to", fixed),
        ("tape", tape),
        ("bracket", bracket),
        ("unit", unit),
        ("keep out", None if row.keep_out_m is None else f"{metres(row.keep_out_m)} in front"),
        ("reach by", way),
        ("key", climb.key or None if climb is not None else None),
    )


def _radio(sources: Sources, row: RadioRow) -> tuple[tuple[str, str | None], ...]:
    gear = row.gear_name
    if row.antenna_gain_dbi is not None:
        gear = f"{gear}, {number(row.antenna_gain_dbi, 0)} dBi"
    channel = None
    if row.channel is not None and row.centre_mhz is not None:
        channel = f"{row.channel} · {row.centre_mhz:.0f} MHz"
    power = None
    automatic = sources.drawn_radios[row.id].power_mode == "automatic"
    if row.tx_power_total_dbm is not None:
        power = f"{number(row.tx_power_total_dbm, 0)} dBm, then {'auto' if automatic else 'the same'}"
    eirp = None
    if row.eirp_dbm is not None:
        limit = "no limit known" if row.eirp_limit_dbm is None else f"of {number(row.eirp_limit_dbm, 0)} dBm"
        eirp = f"{number(row.eirp_dbm, 0)} {limit}"
    return (
        ("unit", gear),
        ("channel", channel),
        ("width", f"{row.width_mhz:g} MHz"),
        ("power", power),
        ("then reads", _automatic(sources, row) if automatic else "the same"),
        ("EIRP", eirp),
        ("address", sources.drawn_radios[row.id].address or None),
    )


def _automatic(sources: Sources, row: RadioRow) -> str | None:
    """The level that is read once automatic power is on; an access point of several has one a station."""
    levels = [sources.ends(row, hop)[0].expected_reading_auto_dbm for hop in sources.hops_of(row)]
    known = [found for found in levels if found is not None]
    if not known:
        return None
    low, high = level(min(known)), level(max(known))
    return f"{low} dBm" if low == high else f"{low} to {high} dBm"


def _wire_to(sources: Sources, row: RadioRow) -> WireRow | None:
    """The wire that brings the supply, else any copper wire of the radio."""
    drawn = {wire.id: wire for wire in sources.design.wires}
    best = None
    for wire in sources.assessment.wires:
        if row.id not in (wire.a, wire.b) or wire.medium not in ("copper", "dc"):
            continue
        power = drawn[wire.id].power if wire.id in drawn else "none"
        feeds = (power == "a_to_b" and wire.b == row.id) or (power == "b_to_a" and wire.a == row.id)
        if feeds:
            return wire
        best = best or wire
    return best


def _supply(sources: Sources, row: RadioRow, mount: Mount) -> tuple[tuple[str, str | None], ...]:
    volts = None if row.supply_v is None else f"{number(row.supply_v, 1)} V · {number(row.supply_w, 1)} W"
    wire = _wire_to(sources, row)
    surge: str | None = None
    cable: str | None = None
    if row.cable_m is not None:
        kind = sources.gear.get(wire.gear or "") if wire is not None else None
        cable = metres(row.cable_m, 0) + (f" {kind.name}" if kind is not None else "")
    if wire is not None:
        surge = {0: "none", 1: "one end", 2: "both ends"}.get(wire.protectors, f"{wire.protectors}")
    return (
        ("at radio", volts),
        ("from", None if row.injector is None else sources.name(row.injector)),
        ("cable", cable),
        ("entry", "gland down, drip loop" if mount.environment == "outdoors" else "gland down"),
        ("surge", surge),
        ("earth", mount.earth_point or None),
        ("feeds", ", ".join(sources.name(fed) for fed in row.feeds) or "none"),
    )


def height_of(sources: Sources, row: RadioRow) -> SideFigure:
    """Return the height over the ground, and feet where people read them."""
    second = feet_and_inches(row.height_above_ground_m) if sources.feet else ""
    return SideFigure("HEIGHT ABOVE GROUND", metres(row.height_above_ground_m), second)


def foot_of(sources: Sources, row: RadioRow) -> tuple[str, ...]:
    """Return how to find the place on the structure, and what the wall is made of, as lines of the strip's width."""
    placed, mount = sources.mounts[row.mount], sources.drawn_mounts[row.mount]
    lines = []
    holds = ""
    if row.position_tolerance_m is not None and not isinstance(mount.place, PolePlace):
        holds = f"the aim holds within {metres(row.position_tolerance_m)}"
    if placed.foot_tapes:
        tail = f" of {placed.structure_name}"
        tapes = ", ".join(f"{corner.removesuffix(tail)} {metres(length)}" for corner, length in placed.foot_tapes)
        lines.append(f"Tape: {tapes}.")
    elif isinstance(mount.place, RoofPlace):
        lines.append("Tape: two distances from corners, on site.")
    if isinstance(mount.place, EdgePlace):
        wall = (
            f"Wall: {mount.wall_fixing}" if mount.wall_fixing else "Wall not noted: look for hidden pipes and cables."
        )
        lines += wrapped(clean(wall), 2.5, _STRIP_MM)[:2]
    if holds and len(lines) < _STRIP_LINES:
        lines.append(f"{holds[0].upper()}{holds[1:]}.")
    return tuple(lines)


def cautions_of(sources: Sources, row: RadioRow) -> tuple[Caution, Caution, Caution, Caution]:
    """Return the four cautions, with the overhead line as recorded."""
    mount = sources.drawn_mounts[row.mount]
    clear = f"{metres(_STAY_CLEAR_M, 0)}{' (10 ft)' if sources.feet else ''}"
    if mount.overhead_line_m is not None:
        line = f"Recorded {metres(mount.overhead_line_m, 0)} away."
    elif mount.no_overhead_line:
        line = "None within 30 m as recorded."
    else:
        line = "Not recorded."
    radio = "Radio off before you work in front of it"
    if row.keep_out_m is not None:
        radio += f", else keep {metres(row.keep_out_m)} from its face"
    first = Caution("overhead", "OVERHEAD LINES", f"{line} Look up first; you and all you carry stay {clear} clear.")
    if mount.environment == "indoors":
        first = Caution(
            "overhead", "LIVE PARTS", "Look for cables and pipes before you drill; keep off open conductors."
        )
    return (
        first,
        Caution("fall", "FALLS", "Fall protection chosen by a competent person. Never alone. Tie off tools."),
        Caution("radio", "RADIO POWER", f"{radio}."),
        Caution(
            "storm", "LIGHTNING, WIND, ICE", "Stop. No aiming in a storm. Earth and surge work: licensed electrician."
        ),
    )


def boxes_of(row: RadioRow, *, several: bool) -> tuple[tuple[WriteBox, ...], tuple[WriteBox, ...]]:
    """Return the boxes to write in: an access point of several has its levels in the list of stations."""
    aim = "TURN OR BEARING SET" if row.aim_by != "all_round" else "UPRIGHT CHECKED"
    if several:
        return (
            tuple(WriteBox(head, "", 36) for head in (aim, "TILT SET", "HEIGHT SET", "VOLTS AT RADIO", "PHOTO NO.")),
            (WriteBox("DATE", "", 36), WriteBox("NAME", "", 72), WriteBox("SIGNATURE", "", 72)),
        )
    return (
        (
            WriteBox("LEVEL HERE", "dBm", 36),
            WriteBox("FAR END", "dBm", 36),
            WriteBox(aim, "", 36),
            WriteBox("TILT SET", "", 36),
            WriteBox("HEIGHT SET", "", 36),
        ),
        (
            WriteBox("VOLTS AT RADIO", "", 36),
            WriteBox("PHOTO NO.", "", 36),
            WriteBox("DATE", "", 36),
            WriteBox("NAME AND SIGNATURE", "", 72),
        ),
    )
