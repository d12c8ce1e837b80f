"""Levels and margins: not known, too little, too much."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import Cure, DirectionRow, HopEndRow, HopRow, RadioRow
from survey_app.assess.rules.channel_offer import channel_cures
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined
from survey_app.site.gear_type import RadioType

__all__ = ["CODES", "RULES", "ends_of"]

CODES = {
    "levels-unknown": "No level can be computed",
    "thin-margin": "Margin too thin",
    "too-strong": "Level too strong",
    "floor-reached": "The unit cannot send less",
    "power-restless": "Automatic power never comes to rest",
}

_SLACK_DB = 0.05
_STEPS_OVER_TARGET = 2.0


def ends_of(hop: HopRow) -> tuple[tuple[HopEndRow, HopEndRow, DirectionRow], ...]:
    """Return each end of a hop with the other one and the direction that it receives."""
    ends, directions = hop.ends, hop.directions
    return (
        (ends.access_point, ends.station, directions.to_access_point),
        (ends.station, ends.access_point, directions.to_station),
    )


def worst_margin_db(hop: HopRow) -> float | None:
    """Return the margin at the needed rate in the worse direction, None where either is unknown. [dB]"""
    up = hop.directions.to_access_point.margin_at_needed_rate_db
    down = hop.directions.to_station.margin_at_needed_rate_db
    return None if up is None or down is None else min(up, down)


def levels_unknown(view: View) -> Iterator[Draft]:
    """A hop whose level or rate cannot be computed, though channel and region are set."""
    for hop in view.hops.values():
        if worst_margin_db(hop) is not None or hop.centre_mhz is None or view.numbers.law.region is None:
            continue
        ends = (view.radios[hop.access_point], view.radios[hop.station])
        if hop.distance_m <= 0.0:
            continue  # the one spot has a finding of its own
        missing = [
            row.id
            for row in ends
            if row.antenna_gain_dbi is None or view.job.radio_type(view.job.radios[row.id]) is None
        ]
        if not missing and any(row.limit_rule is None for row in ends):
            continue  # so has the missing rule
        if missing:
            why = f"figures of {joined(missing)} are missing"
            remedy = "Give the radios a gear type, and an antenna where they have connectors."
        elif hop.directions.to_station.needed_mcs is None:
            why, remedy = (
                "its two radios have no rate in common",
                "Take two radios that have a width and a rate in common.",
            )
        else:
            why, remedy = "its two antennas hang straight above each other", "Join the two by a cable."
        yield Draft(
            code="levels-unknown",
            severity="warn" if missing else "stop",
            subject=hop.id,
            message=f"Its level cannot be computed: {why}.",
            source="PRACTICE",
            hop=hop.id,
            place=view.at_hop(hop.id),
            cures=(work_on_site(remedy),),
        )


@about_each("hops")
def thin_margin(view: View, hop_id: str) -> Iterator[Draft]:
    """Less than the wanted margin at the needed rate, in the worse direction."""
    hop = view.hops[hop_id]
    enough = _rate_is_enough(view, hop)
    rows = [(_judged_db(direction, at_needed=enough), end.radio, direction) for end, _, direction in ends_of(hop)]
    known = [(margin, receiver, direction) for margin, receiver, direction in rows if margin is not None]
    if len(known) < len(rows):
        return
    worst, receiver, direction = min(known, key=lambda row: row[0])
    if worst >= hop.wanted_margin_db - _SLACK_DB:
        return
    stop = worst < view.job.defaults.thin_margin_db
    at = f"the needed rate (MCS {direction.needed_mcs})" if enough else f"the rate that it runs (MCS {direction.mcs})"
    yield Draft(
        code="thin-margin",
        severity="stop" if stop else "warn",
        subject=hop.id,
        message=f"{worst:.1f} dB of margin into {receiver} at {at}, {hop.wanted_margin_db:.0f} dB wanted.",
        source="PRACTICE",
        value=worst,
        limit=hop.wanted_margin_db,
        unit="dB",
        hop=hop.id,
        place=view.at_hop(hop.id),
        cures=_margin_cures(view, hop),
    )


def _rate_is_enough(view: View, hop: HopRow) -> bool:
    """Return whether the needed rate would carry the cell; where none would, the cell is judged, not the hop."""
    found = view.numbers
    wanted = found.need.needed_rate_mbps[found.hops.cell[found.hops.row[hop.id]]]
    rate = hop.directions.to_access_point.needed_rate_mbps
    return rate is None or not rate < wanted


def _judged_db(direction: DirectionRow, *, at_needed: bool) -> float | None:
    return direction.margin_at_needed_rate_db if at_needed else direction.margin_at_chosen_rate_db


def _margin_cures(view: View, hop: HopRow) -> tuple[Cure, ...]:
    """Offer what the design itself holds back, the worse direction first: power under a ceiling, an aim by hand."""
    cures: list[Cure] = []
    for _, other, direction in sorted(ends_of(hop), key=lambda row: row[2].margin_at_needed_rate_db or 0.0):
        margin = direction.margin_at_needed_rate_db
        if margin is None or margin >= hop.wanted_margin_db - _SLACK_DB:
            continue
        raised = _raised_ceiling_dbm(view, view.radios[other.radio], direction, hop.wanted_margin_db - margin)
        if raised is not None:
            text = f"Let {other.radio} send up to {raised:g} dBm."
            cures.append(cure(text, "set_power", radio_id=other.radio, ceiling_dbm=raised))
    for end, _, _ in ends_of(hop):
        if view.job.radios[end.radio].aim is not None and (end.pointing_loss_db or 0.0) > 1.0:
            cures.append(cure(f"Aim {end.radio} as computed.", "aim_computed", radio_id=end.radio))
    more = work_on_site("Take an antenna with more gain at the far end, a narrower channel, or fewer cameras.")
    return (*cures, more)


def _raised_ceiling_dbm(view: View, sender: RadioRow, direction: DirectionRow, short_db: float) -> float | None:
    """Return the ceiling that makes up what is short, where unit and law allow it; None where none is in the way."""
    radio, mcs = view.job.radios[sender.id], direction.needed_mcs
    found = view.job.radio_type(radio)
    if radio.power_ceiling_dbm is None or found is None or mcs is None or sender.conducted_limit_dbm is None:
        return None
    most = min(sender.conducted_limit_dbm, found.power_per_mcs_dbm[min(mcs, len(found.power_per_mcs_dbm) - 1)])
    steps = math.ceil((radio.power_ceiling_dbm + short_db - found.power_floor_dbm) / found.power_step_db - 1e-9)
    wanted = found.power_floor_dbm + steps * found.power_step_db
    return float(wanted) if wanted <= most + 1e-9 else None


@about_each("hops")
def too_strong(view: View, hop_id: str) -> Iterator[Draft]:
    """A receiver so near that it is deafened, while aiming or at full power."""
    limit = view.job.defaults.strong_level_dbm
    hop = view.hops[hop_id]
    for end, other, _ in ends_of(hop):
        found, sender = view.job.radio_type(view.job.radios[end.radio]), view.radios[other.radio]
        aiming, sent, full = end.expected_reading_dbm, sender.tx_power_total_dbm, sender.tx_power_full_dbm
        if found is None or aiming is None or sent is None or full is None:
            continue
        states = (("while aiming", sent, aiming), ("at full power", full, aiming + full - sent))
        # the first state that is too much is named, unless only full power is more than the unit stands
        over = [row for row in states if row[2] > found.max_input_dbm] or [row for row in states if row[2] > limit]
        if not over:
            continue
        when, power, worst = over[0]
        stop = worst > found.max_input_dbm
        bearable = found.max_input_dbm if stop else limit
        yield Draft(
            code="too-strong",
            severity="stop" if stop else "warn",
            subject=hop.id,
            second_subject=end.radio,
            message=(
                f"{end.radio} hears {other.radio} at {worst:.1f} dBm {when}, {bearable:.0f} dBm is the most it should."
            ),
            source="IEEE80211" if stop else "PRACTICE",
            value=worst,
            limit=bearable,
            unit="dBm",
            hop=hop.id,
            radio=end.radio,
            place=view.at_radio(end.radio),
            cures=_softer(view, sender, power - (worst - limit)),
        )


def _softer(view: View, sender: RadioRow, most_dbm: float) -> tuple[Cure, ...]:
    """Offer to hold a sender down, where its unit can and none of its hops would stop the design."""
    found = view.job.radio_type(view.job.radios[sender.id])
    away = work_on_site("Take a unit with less gain, or hang the two farther apart.")
    if found is None:
        return (away,)
    steps = math.floor((most_dbm - found.power_floor_dbm) / found.power_step_db + 1e-9)
    lower = found.power_floor_dbm + steps * found.power_step_db
    if steps < 0 or not _carries(view, sender, lower, found):
        return (away,)
    return (cure(f"Hold {sender.id} to {lower:g} dBm.", "set_power", radio_id=sender.id, ceiling_dbm=float(lower)),)


def _carries(view: View, sender: RadioRow, ceiling_dbm: float, found: RadioType) -> bool:
    """Return whether all hops of a sender keep a margin that does not stop the design under a lower ceiling."""
    numbers = view.numbers
    for hop_id in sender.hops:
        hop, n = view.hops[hop_id], numbers.hops.row[hop_id]
        up = hop.station == sender.id
        needed = hop.directions.to_access_point.needed_mcs
        if needed is None:
            continue
        sensitivity = (numbers.rates.sensitivity_a_dbm if up else numbers.rates.sensitivity_s_dbm)[n, needed]
        sent = min(ceiling_dbm, found.power_per_mcs_dbm[min(needed, len(found.power_per_mcs_dbm) - 1)])
        margin = sent + numbers.path.path_gain_db[n] - sensitivity - view.job.defaults.interference_rise_db
        if margin < view.job.defaults.thin_margin_db:
            return False
    return True


@about_each("hops")
def floor_reached(view: View, hop_id: str) -> Iterator[Draft]:
    """Automatic power would send less than the unit can."""
    target = view.job.defaults.target_level_dbm
    hop = view.hops[hop_id]
    for end, other, _ in ends_of(hop):
        radio = view.job.radios[other.radio]
        found, row = view.job.radio_type(radio), view.radios[other.radio]
        level = end.expected_reading_auto_dbm
        if found is None or level is None or radio.power_mode != "automatic" or row.tx_power_auto_dbm is None:
            continue
        if row.tx_power_auto_dbm > found.power_floor_dbm:
            continue
        if level < target + _STEPS_OVER_TARGET * found.power_step_db:
            continue
        yield Draft(
            code="floor-reached",
            severity="note",
            subject=hop.id,
            second_subject=other.radio,
            message=(
                f"{other.radio} sends its least, {found.power_floor_dbm:.0f} dBm, and is still heard "
                f"at {level:.0f} dBm; automatic power aims for {target:.0f} dBm."
            ),
            source="PRACTICE",
            value=level,
            limit=target,
            unit="dBm",
            hop=hop.id,
            radio=other.radio,
            place=view.at_radio(other.radio),
            cures=(work_on_site("Nothing need be done; a smaller unit would serve."),),
        )


def power_restless(view: View) -> Iterator[Draft]:
    """Radios of different cells whose automatic power follows each other round and round."""
    if not view.restless:
        return
    first, *others = view.restless
    raised = [view.radios[key].tx_power_answer_db for key in view.restless]
    cells = dict.fromkeys(cell for key in view.restless if (cell := view.radios[key].cell) is not None)
    yield Draft(
        code="power-restless",
        severity="warn",
        subject=first,
        second_subject=others[0] if others else None,
        message=(
            f"The automatic power of {joined(view.restless)} never comes to rest: each answers what the others send, "
            f"by up to {max(raised):.0f} dB over what noise asks for. Figures are those of the highest powers."
        ),
        source="YATES95",
        value=max(raised),
        limit=0.0,
        unit="dB",
        radio=first,
        place=view.at_radio(first),
        cures=(
            *(one for cell in cells for one in channel_cures(view, cell)),
            work_on_site("Or set their power by hand, as high as the needed rate wants it."),
        ),
        concerns=tuple(others),
    )


RULES = (levels_unknown, thin_margin, too_strong, floor_reached, power_restless)
