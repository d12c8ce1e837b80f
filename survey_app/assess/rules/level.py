"""Levels, margins and the pattern: too little, too much, or lost beside the beam."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import Cure, DirectionRow, HopEndRow, HopRow
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {
    "levels-unknown": "No level can be computed",
    "one-spot": "Two antennas on one spot",
    "thin-margin": "Margin too thin",
    "too-strong": "Level too strong",
    "floor-reached": "The unit cannot send less",
    "outside-beam": "Far end beside the beam",
    "over-the-heads": "Beam passes over the far end",
    "mixed-slant": "Unlike polarisations",
}

_SLACK_DB = 0.05
_BESIDE_DB = 3.0
_OVER_DB = 6.0
_OVER_BEAMWIDTHS = 2.5
_OVER_MARGIN_DB = 10.0


def _ends(hop: HopRow) -> tuple[tuple[HopEndRow, HopEndRow, DirectionRow], ...]:
    """Return each end with the other one and the direction that it receives."""
    ends, directions = hop.ends, hop.directions
    return (
        (ends.access_point, ends.station, directions.to_access_point),
        (ends.station, ends.access_point, directions.to_station),
    )


def levels_unknown(view: View) -> Iterator[Draft]:
    """A hop whose level cannot be computed, though channel and region are set."""
    for hop in view.hops.values():
        if hop.ends.station.rx_level_dbm is not None or hop.centre_mhz is None or view.numbers.law.region is None:
            continue
        ends = (view.radios[hop.access_point], view.radios[hop.station])
        if any(row.limit_rule is None for row in ends) or hop.distance_m <= 0.0:
            continue  # the missing rule, or the one spot, has a finding of its own
        missing = [row.id for row in ends if row.antenna_gain_dbi is None] or [row.id for row in ends]
        yield Draft(
            code="levels-unknown",
            severity="warn",
            subject=hop.id,
            message=f"Its level cannot be computed: figures of {' and '.join(missing)} are missing.",
            source="PRACTICE",
            hop=hop.id,
            place=view.at_hop(hop.id),
            cures=(work_on_site("Give the radios a gear type, and an antenna where they have connectors."),),
        )


def one_spot(view: View) -> Iterator[Draft]:
    """Two antennas of one hop, or two radios, at the same point."""
    taken: dict[tuple[float, float, float], str] = {}
    for row in view.radios.values():
        key = (round(row.x_m, 3), round(row.y_m, 3), round(row.antenna_elevation_m, 3))
        other = taken.setdefault(key, row.id)
        if other == row.id:
            continue
        yield Draft(
            code="one-spot",
            severity="stop",
            subject=row.id,
            second_subject=other,
            message=f"It hangs on the same spot as {other}: two radios need two places, at least 0.3 m apart.",
            source="PRACTICE",
            value=0.0,
            limit=0.3,
            unit="m",
            radio=row.id,
            place=view.at_radio(row.id),
            cures=(cure("Move one of them up by 0.5 m.", "raise_mount", mount=row.mount, by_m=0.5),),
        )


def thin_margin(view: View) -> Iterator[Draft]:
    """Less than the wanted margin at the needed rate, in the worse direction."""
    for hop in view.hops.values():
        margins = [
            (direction.margin_at_needed_rate_db, end.radio)
            for end, _, direction in _ends(hop)
            if direction.margin_at_needed_rate_db is not None
        ]
        if len(margins) < 2:
            continue
        worst, receiver = min(margins)
        if worst >= hop.wanted_margin_db - _SLACK_DB:
            continue
        stop = worst < view.job.defaults.thin_margin_db
        needed = hop.directions.to_access_point.needed_mcs
        yield Draft(
            code="thin-margin",
            severity="stop" if stop else "warn",
            subject=hop.id,
            message=f"{worst:.1f} dB of margin at the needed rate {needed} into {receiver}, {hop.wanted_margin_db:.0f} dB wanted.",
            source="PRACTICE",
            value=worst,
            limit=hop.wanted_margin_db,
            unit="dB",
            hop=hop.id,
            place=view.at_hop(hop.id),
            cures=_margin_cures(view, hop),
        )


def _margin_cures(view: View, hop: HopRow) -> tuple[Cure, ...]:
    cures: list[Cure] = []
    for end, other, direction in _ends(hop):
        sender, margin = view.job.radios[other.radio], direction.margin_at_needed_rate_db
        if margin is None or margin >= hop.wanted_margin_db - _SLACK_DB:
            continue
        row = view.radios[other.radio]
        short = hop.wanted_margin_db - margin
        limit = row.conducted_limit_dbm if row.conducted_limit_dbm is not None else math.inf
        found = view.job.radio_type(sender)
        if sender.power_ceiling_dbm is None or found is None:
            continue
        room = min(limit, max(found.power_per_mcs_dbm)) - sender.power_ceiling_dbm
        if room >= short:
            ceiling = math.floor(sender.power_ceiling_dbm + room)
            cures.append(
                cure(
                    f"Let {sender.id} send up to {ceiling} dBm.",
                    "change",
                    id=sender.id,
                    power_ceiling_dbm=float(ceiling),
                )
            )
        elif end.pointing_loss_db is not None and end.pointing_loss_db >= short:
            cures.append(cure(f"Aim {end.radio} as computed.", "change", id=end.radio, aim=None))
    if not cures:
        for end, _, _ in _ends(hop):
            if view.job.radios[end.radio].aim is not None and (end.pointing_loss_db or 0.0) > 1.0:
                cures.append(cure(f"Aim {end.radio} as computed.", "change", id=end.radio, aim=None))
    return (
        *cures,
        work_on_site("Take an antenna with more gain at the far end, a narrower channel, or fewer cameras."),
    )


def too_strong(view: View) -> Iterator[Draft]:
    """A receiver so near that it is deafened, while aiming or at full power."""
    limit = view.job.defaults.strong_level_dbm
    for hop in view.hops.values():
        for end, other, _ in _ends(hop):
            found = view.job.radio_type(view.job.radios[end.radio])
            sender = view.radios[other.radio]
            aiming = end.expected_reading_dbm
            if found is None or aiming is None or sender.tx_power_total_dbm is None or sender.tx_power_full_dbm is None:
                continue
            full = aiming + sender.tx_power_full_dbm - sender.tx_power_total_dbm
            worst, when = (aiming, "while aiming") if aiming > limit else (full, "at full power")
            if worst <= limit:
                continue
            stop = worst > found.max_input_dbm
            bearable = found.max_input_dbm if stop else limit
            lower = math.floor(
                (sender.tx_power_total_dbm if when == "while aiming" else sender.tx_power_full_dbm) - (worst - limit)
            )
            floor = view.numbers.radios.power_floor_dbm[view.numbers.radios.row[other.radio]]
            text = f"Hold {other.radio} to {lower} dBm."
            yield Draft(
                code="too-strong",
                severity="stop" if stop else "warn",
                subject=hop.id,
                second_subject=end.radio,
                message=f"{end.radio} hears {other.radio} at {worst:.1f} dBm {when}, {bearable:.0f} dBm is the most.",
                source="IEEE80211" if stop else "PRACTICE",
                value=worst,
                limit=bearable,
                unit="dBm",
                hop=hop.id,
                radio=end.radio,
                place=view.at_radio(end.radio),
                cures=(cure(text, "change", id=other.radio, power_ceiling_dbm=float(lower)),)
                if lower >= floor
                else (work_on_site("Take a unit with less gain, or turn it off its axis."),),
            )


def floor_reached(view: View) -> Iterator[Draft]:
    """Automatic power would send less than the unit can."""
    rise = view.job.defaults.target_level_dbm
    for hop in view.hops.values():
        for end, other, _ in _ends(hop):
            radio = view.job.radios[other.radio]
            found, row = view.job.radio_type(radio), view.radios[other.radio]
            level = end.expected_reading_auto_dbm
            if found is None or level is None or radio.power_mode != "automatic" or row.tx_power_auto_dbm is None:
                continue
            if row.tx_power_auto_dbm > found.power_floor_dbm or level < rise + 2.0 * found.power_step_db:
                continue
            yield Draft(
                code="floor-reached",
                severity="note",
                subject=hop.id,
                second_subject=other.radio,
                message=f"{other.radio} sends its least, {found.power_floor_dbm:.0f} dBm, and is still heard at {level:.0f} dBm.",
                source="PRACTICE",
                value=level,
                limit=rise,
                unit="dBm",
                hop=hop.id,
                radio=other.radio,
                place=view.at_radio(other.radio),
                cures=(work_on_site("Nothing need be done; a smaller unit would serve."),),
            )


def outside_beam(view: View) -> Iterator[Draft]:
    """A far end more than 3 dB off the beam, across or upright; omnis have a code of their own."""
    for hop in view.hops.values():
        for end, other, direction in _ends(hop):
            row = view.radios[end.radio]
            loss = end.pointing_loss_db
            if loss is None or loss <= _BESIDE_DB or row.pattern_model == "omni":
                continue
            margin = direction.margin_at_needed_rate_db
            gone = margin is not None and margin < view.job.defaults.thin_margin_db
            across, upright = abs(end.off_axis_azimuth_deg or 0.0), abs(end.off_axis_elevation_deg or 0.0)
            by_hand = view.job.radios[end.radio].aim is not None
            aim = cure(f"Aim {end.radio} as computed.", "change", id=end.radio, aim=None)
            wider = work_on_site("Take a wider sector, or give the far end a panel of its own.")
            yield Draft(
                code="outside-beam",
                severity="stop" if gone else "warn",
                subject=hop.id,
                second_subject=end.radio,
                message=f"{other.radio} lies {across:.1f}° across and {upright:.1f}° upright off the beam of {end.radio}: {loss:.1f} dB lost.",
                source="F1336",
                value=loss,
                limit=_BESIDE_DB,
                unit="dB",
                hop=hop.id,
                radio=end.radio,
                place=view.at_radio(end.radio),
                cures=(aim,) if by_hand else (wider,),
            )


def over_the_heads(view: View) -> Iterator[Draft]:
    """An omni whose flat beam passes over a near and low far end."""
    for hop in view.hops.values():
        for end, other, direction in _ends(hop):
            row = view.radios[end.radio]
            loss, width = end.pointing_loss_db, row.beamwidth_elevation_deg
            if row.pattern_model != "omni" or loss is None or width is None or loss <= _OVER_DB:
                continue
            angle = abs(end.off_axis_elevation_deg or 0.0)
            margin = direction.margin_at_needed_rate_db
            deep = angle > _OVER_BEAMWIDTHS * width
            thin = margin is not None and margin < _OVER_MARGIN_DB
            null = ", where a null may lie" if deep else ""
            yield Draft(
                code="over-the-heads",
                severity="warn" if deep or thin else "note",
                subject=hop.id,
                second_subject=end.radio,
                message=f"{other.radio} lies {angle:.1f}° off the flat beam of {end.radio}{null}: {loss:.1f} dB lost.",
                source="F1336",
                value=loss,
                limit=_OVER_DB,
                unit="dB",
                hop=hop.id,
                radio=end.radio,
                place=view.at_radio(end.radio),
                cures=(
                    work_on_site(
                        "Hang the hub lower, take an omni with less gain, or give the far end a panel of its own."
                    ),
                ),
            )


def mixed_slant(view: View) -> Iterator[Draft]:
    """Unlike polarisations at the two ends."""
    for hop in view.hops.values():
        loss = hop.ends.access_point.polarisation_loss_db
        if loss < 0.5:
            continue
        yield Draft(
            code="mixed-slant",
            severity="warn" if loss >= 6.0 else "note",
            subject=hop.id,
            message=f"The polarisations of its two ends differ: {loss:.1f} dB lost.",
            source="PRACTICE",
            value=loss,
            limit=0.5,
            unit="dB",
            hop=hop.id,
            place=view.at_hop(hop.id),
            cures=(work_on_site("Turn both ends alike, or take antennas of one polarisation."),),
        )


RULES = (levels_unknown, one_spot, thin_margin, too_strong, floor_reached, outside_beam, over_the_heads, mixed_slant)
