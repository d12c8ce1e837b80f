"""What the unit may and can: power, channel, width, certificates, timing."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import CellRow, Cure, RadioRow
from survey_app.assess.rules.channel_offer import channel_cures, members_of, tunes
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined, verb
from survey_app.site.gear_type import RadioType

__all__ = ["CODES", "RULES"]

CODES = {
    "over-limit": "More power than the rule allows",
    "unit-cannot": "The unit cannot do what is asked",
    "radar-wait": "Radar channel",
    "certificate-not-noted": "Certificate not noted",
    "beyond-timing": "Longer than the unit's timing",
}

_SLACK_DB = 0.05
_TIMING_FACTOR = 1.1


def _least_asked_dbm(view: View, row: RadioRow, found: RadioType) -> float:
    """Return the most that the radio is set to send: the ceiling set by hand, else its floor; law bounds the rest."""
    ceiling = view.job.radios[row.id].power_ceiling_dbm
    if ceiling is None:
        return found.power_floor_dbm
    return max(found.power_floor_dbm, min(ceiling, max(found.power_per_mcs_dbm)))


def over_limit(view: View) -> Iterator[Draft]:
    """A ceiling set above the rule, or a unit that cannot send as little as the rule allows."""
    for n, row in enumerate(view.radios.values()):
        limit, rules = row.conducted_limit_dbm, view.numbers.law.rule_sets[n]
        found = view.job.radio_type(view.job.radios[row.id])
        if limit is None or rules is None or found is None:
            continue
        sent = _least_asked_dbm(view, row, found)
        if sent <= limit + _SLACK_DB:
            continue
        steps = np.floor((limit + 1e-9 - found.power_floor_dbm) / found.power_step_db)
        allowed = float(found.power_floor_dbm + steps * found.power_step_db)
        sky = " toward the sky" if view.numbers.law.binding[n] == "elevation mask" else ""
        if steps >= 0:
            word = f"It is set to {sent:.1f} dBm"
            cures: tuple[Cure, ...] = (
                cure(f"Hold it to {allowed:g} dBm.", "set_power", radio_id=row.id, ceiling_dbm=allowed),
            )
        else:
            word = f"It cannot send less than {sent:.1f} dBm"
            cures = (work_on_site("Take an antenna with less gain, or a unit that can send less."),)
        yield Draft(
            code="over-limit",
            severity="stop",
            subject=row.id,
            message=f"{word}, the rule allows {limit:.1f} dBm{sky}. {row.limit_sentence}",
            source=rules.source,
            value=sent,
            limit=limit,
            unit="dBm",
            radio=row.id,
            place=view.at_radio(row.id),
            cures=(*cures, *(channel_cures(view, row.cell) if row.cell and steps < 0 else ())),
            edition=view.numbers.law.edition,
        )


def _cannot(view: View, access_point: str) -> tuple[str, tuple[str, ...], tuple[Cure, ...]] | None:
    """Return what the units of a cell cannot do of what is set for the cell: sentence, radios, cures."""
    members = members_of(view, access_point)
    row = view.radios[access_point]
    kinds = {key: view.job.radio_type(view.job.radios[key]) for key in members}
    width = int(row.width_mhz)
    narrow = tuple(key for key, kind in kinds.items() if kind is not None and width not in kind.widths_mhz)
    if narrow:
        common = set.intersection(*({*kind.widths_mhz} for kind in kinds.values() if kind is not None))
        units = joined(sorted({kind.name for key in narrow if (kind := kinds[key]) is not None}))
        sentence = f"{units} {verb(narrow, 'does', 'do')} not have channels of {width} MHz."
        best = min(common, key=lambda one: (abs(one - width), one), default=None)
        if best is None:
            return sentence, narrow, (work_on_site("Take units that share a channel width."),)
        return sentence, narrow, channel_cures(view, access_point, best)
    if row.channel is None:
        return None
    deaf = tuple(key for key in members if not tunes(view, key, row.channel, width))
    if deaf:
        sentence = f"Channel {row.channel} lies outside what {joined(deaf)} can tune."
        return sentence, deaf, channel_cures(view, access_point)
    barred = tuple(
        key
        for key, kind in kinds.items()
        if kind is not None and view.radios[key].radar_wait_s is not None and kind.radar_certified is False
    )
    if barred:
        are = verb(barred, "is", "are")
        sentence = f"Channel {row.channel} is a radar channel, and {joined(barred)} {are} not certified for it."
        return sentence, barred, channel_cures(view, access_point)
    return None


@about_each("channels")
def unit_cannot(view: View, access_point: str) -> Iterator[Draft]:
    """Channel or width of a cell beyond its units."""
    yield from _said(view, access_point)


@about_each("radios")
def unit_alone_cannot(view: View, radio_id: str) -> Iterator[Draft]:
    """Certificate or antenna missing on one radio; an access point without a station that cannot do what is set."""
    row = view.radios[radio_id]
    if row.role == "access_point" and radio_id not in view.channels:
        yield from _said(view, radio_id)
    yield from _unit_alone(view, row)


def _said(view: View, access_point: str) -> Iterator[Draft]:
    found = _cannot(view, access_point)
    if found is None:
        return
    sentence, radios, cures = found
    yield Draft(
        code="unit-cannot",
        severity="stop",
        subject=access_point,
        message=sentence,
        source="PRACTICE",
        radio=access_point,
        place=view.at_radio(radios[0]),
        cures=cures or (work_on_site("Take units that can do this, or put the cell on another channel."),),
        concerns=tuple(key for key in radios if key != access_point),
    )


def chosen_rate_cannot(view: View) -> Iterator[Draft]:
    """A rate index fixed by hand that the two units of a hop do not have in common."""
    rates = view.numbers.rates.rate_mbps
    for n, hop in enumerate(view.job.hops.values()):
        chosen = hop.chosen_mcs
        if chosen is None or np.isfinite(rates[n, chosen]) or not np.isfinite(rates[n]).any():
            continue
        most = int(np.flatnonzero(np.isfinite(rates[n]))[-1])
        yield Draft(
            code="unit-cannot",
            severity="stop",
            subject=hop.id,
            message=f"Rate index {chosen} is fixed by hand, its two units have {most} in common at the most.",
            source="PRACTICE",
            value=float(chosen),
            limit=float(most),
            hop=hop.id,
            place=view.at_hop(hop.id),
            cures=(cure("Let the program choose the rate.", "change", thing_id=hop.id, chosen_mcs=None),),
        )


def _unit_alone(view: View, row: RadioRow) -> Iterator[Draft]:
    radio, region = view.job.radios[row.id], view.numbers.law.region
    found = view.job.radio_type(radio)
    if found is None:
        return
    if found.pattern is None and radio.antenna is None:
        second, remedy = "antenna", "Choose an antenna and its feeders."
        sentence = f"{found.name} has connectors only, and no antenna is chosen."
    elif found.certified_regions and region is not None and region.region not in found.certified_regions:
        second, remedy = "certificate", "Take a unit that is certified here."
        sentence = f"{found.name} is certified for {joined(found.certified_regions)}, not for {region.region}."
    else:
        return
    yield Draft(
        code="unit-cannot",
        severity="stop",
        subject=row.id,
        second_subject=second,
        message=sentence,
        source="PRACTICE",
        radio=row.id,
        place=view.at_radio(row.id),
        cures=(work_on_site(remedy),),
    )


def _cameras_behind(view: View, cell: CellRow) -> set[str]:
    return {camera for hop in cell.hops for camera in view.numbers.demand[hop].cameras}


def radar_wait(view: View) -> Iterator[Draft]:
    """A radar channel without a checked spare, where cameras do not record by themselves."""
    for cell in view.cells.values():
        row, owner = view.radios[cell.access_point], view.job.radios[cell.access_point]
        rules = view.numbers.law.rule_sets[view.numbers.radios.row[cell.access_point]]
        if row.radar_wait_s is None or rules is None or owner.radar_spare is not None:
            continue
        behind = _cameras_behind(view, cell)
        if all(view.cameras[key].edge_recording_hours > 0 for key in behind):
            continue  # nothing is lost, or nothing is sent
        yield Draft(
            code="radar-wait",
            severity="warn",
            subject=cell.access_point,
            message=(
                f"Channel {cell.channel} is a radar channel: it listens {row.radar_wait_s:.0f} s before it speaks "
                f"and is dark {rules.radar_outage_s} s after radar, and no spare channel was checked."
            ),
            source=rules.source,
            value=row.radar_wait_s,
            unit="s",
            radio=cell.access_point,
            place=view.at_radio(cell.access_point),
            cures=(
                *channel_cures(view, cell.access_point, without="radar"),
                work_on_site("Check a spare channel beforehand and note it, or let the cameras record by themselves."),
            ),
            edition=view.numbers.law.edition,
        )


def certificate_not_noted(view: View) -> Iterator[Draft]:
    """Radar channels on a unit whose radar certificate nobody noted."""
    for cell in view.cells.values():
        row = view.radios[cell.access_point]
        found = view.job.radio_type(view.job.radios[cell.access_point])
        if row.radar_wait_s is None or found is None or found.radar_certified is not None:
            continue
        yield Draft(
            code="certificate-not-noted",
            severity="warn",
            subject=cell.access_point,
            message=(
                f"Channel {cell.channel} is a radar channel, and whether {found.name} is certified for it is not noted."
            ),
            source="PRACTICE",
            radio=cell.access_point,
            place=view.at_radio(cell.access_point),
            cures=(
                *channel_cures(view, cell.access_point, without="radar"),
                work_on_site("Read the unit's certificate and note it in its gear entry."),
            ),
        )


@about_each("hops")
def beyond_timing(view: View, hop_id: str) -> Iterator[Draft]:
    """A hop longer than the unit's acknowledgement timing can be set to."""
    hop = view.hops[hop_id]
    for end in (hop.ends.access_point, hop.ends.station):
        found = view.job.radio_type(view.job.radios[end.radio])
        if found is None or hop.distance_m * _TIMING_FACTOR <= found.ack_distance_m:
            continue
        yield Draft(
            code="beyond-timing",
            severity="stop",
            subject=hop.id,
            second_subject=end.radio,
            message=(
                f"{hop.distance_m:.0f} m and a tenth more is beyond the timing of {end.radio}, "
                f"which reaches {found.ack_distance_m:.0f} m."
            ),
            source="PRACTICE",
            value=hop.distance_m,
            limit=found.ack_distance_m / _TIMING_FACTOR,
            unit="m",
            hop=hop.id,
            radio=end.radio,
            place=view.at_radio(end.radio),
            cures=(work_on_site("Take a unit with longer timing, or divide the hop."),),
        )


RULES = (
    over_limit,
    unit_cannot,
    unit_alone_cannot,
    chosen_rate_cannot,
    radar_wait,
    certificate_not_noted,
    beyond_timing,
)
