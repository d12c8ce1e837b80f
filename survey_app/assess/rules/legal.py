"""What the law of the region and the unit's own certificate allow."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.gain import gain_toward_dbi
from survey_app.assess.law import place_of
from survey_app.assess.record import Cure, RadioRow
from survey_app.assess.rules.view import View
from survey_app.spectrum.channels import channels_in_words
from survey_app.spectrum.choice import other_channels
from survey_app.spectrum.limits import elevation_limit_dbm
from survey_app.spectrum.permission import RuleSet, resolve
from survey_app.spectrum.rules import Topology

__all__ = ["CODES", "RULES"]

CODES = {
    "region-unset": "No region chosen",
    "country-elsewhere": "Country outside the region",
    "no-channel": "No channel",
    "no-rule-known": "No rule permits this channel",
    "band-not-outdoors": "Indoor band used outdoors",
    "over-limit": "More power than the rule allows",
    "unit-cannot": "The unit cannot do what is asked",
    "radar-wait": "Radar channel",
    "licence-needed": "Registration or licence needed",
    "certificate-not-noted": "Certificate not noted",
}

_SLACK_DB = 0.05


def region_unset(view: View) -> Iterator[Draft]:
    """Without a region nothing is allowed."""
    design = view.job.design
    if design.region is None and view.job.radios:
        yield Draft(
            code="region-unset",
            severity="stop",
            subject="site",
            message="No region is chosen, so no power limit and no channel is known.",
            source="PRACTICE",
            cures=(cure("Choose the region of the radio rules.", "set_region", region="US"),),
        )


def country_elsewhere(view: View) -> Iterator[Draft]:
    """A country in which the chosen rules do not hold."""
    design, region = view.job.design, view.numbers.law.region
    if region is None or design.country is None:
        return
    fault = view.regions.country_fault(region.region, design.country)
    if fault:
        yield Draft(
            code="country-elsewhere",
            severity="stop",
            subject="site",
            message=fault,
            source="PRACTICE",
            cures=(cure("Leave the country open, or choose its region.", "set_country", country=None),),
        )


def _channel_cures(view: View, row: RadioRow) -> tuple[Cure, ...]:
    """Offer a channel that rule and unit allow, as near as can be."""
    owner = view.job.access_point_of(row.id)
    region = view.numbers.law.region
    if owner is None or region is None:
        return ()
    topology = _judged_as(row)
    width = int(row.width_mhz)
    place = place_of(view.job, view.job.radios[row.id])
    allowed = other_channels(region, place, topology, width, owner.power_mode == "automatic")
    fitting = [channel for channel in allowed if _tunes(view, row.id, channel, width)]
    if not fitting:
        return ()
    in_use = {cell.channel for cell in view.cells.values()}
    free = [channel for channel in fitting if channel not in in_use] or fitting
    plain = [channel for channel in free if not _is_radar(view, row, channel)] or free
    text = f"Use {channels_in_words(fitting, width)}."
    return (cure(text, "set_channel", radio=owner.id, channel=int(plain[0])),)


def _judged_as(row: RadioRow) -> Topology:
    """Return the topology whose channels are offered: a station changes channel with its hub."""
    return "point_to_point" if row.topology == "point_to_point" else "multipoint_hub"


def _tunes(view: View, radio_id: str, channel: int, width: int) -> bool:
    found = view.job.radio_type(view.job.radios[radio_id])
    centre = 5000.0 + 5.0 * channel
    return found is None or (found.tunes_low_mhz <= centre - width / 2 and centre + width / 2 <= found.tunes_high_mhz)


def _is_radar(view: View, row: RadioRow, channel: int) -> bool:
    region = view.numbers.law.region
    if region is None:
        return False
    topology = _judged_as(row)
    radio = view.job.radios[row.id]
    found = resolve(
        region,
        place_of(view.job, radio),
        topology,
        5000.0 + 5.0 * channel,
        row.width_mhz,
        radio.power_mode == "automatic",
    )
    return found is not None and found.radar_duty


def no_channel(view: View) -> Iterator[Draft]:
    """An access point with stations but without a channel."""
    for cell in view.cells.values():
        if cell.channel is None:
            row = view.radios[cell.access_point]
            yield Draft(
                code="no-channel",
                severity="stop",
                subject=cell.access_point,
                message="The access point has no channel, so no level of its cell is known.",
                source="PRACTICE",
                radio=cell.access_point,
                place=view.at_radio(cell.access_point),
                cures=_channel_cures(view, row),
            )


def no_rule_known(view: View) -> Iterator[Draft]:
    """What no row of the region permits is not permitted; an indoor band outdoors has a code of its own."""
    for n, row in enumerate(view.radios.values()):
        refusal = view.numbers.law.refusals[n]
        if refusal is None or row.channel is None:
            continue
        indoors_only = refusal.kind == "wrong_place"
        yield Draft(
            code="band-not-outdoors" if indoors_only else "no-rule-known",
            severity="stop",
            subject=row.id,
            message=refusal.sentence,
            source=refusal.source or "PRACTICE",
            radio=row.id,
            place=view.at_radio(row.id),
            cures=_channel_cures(view, row),
            edition=view.numbers.law.edition,
        )


def _commanded_dbm(view: View, row: RadioRow) -> float | None:
    """Return the most that the radio is told to send: the ceiling set by hand, or the unit's floor; else law bounds it."""
    radio = view.job.radios[row.id]
    found = view.job.radio_type(radio)
    if found is None:
        return None
    if radio.power_ceiling_dbm is None:
        return found.power_floor_dbm
    return max(found.power_floor_dbm, min(radio.power_ceiling_dbm, max(found.power_per_mcs_dbm)))


def over_limit(view: View) -> Iterator[Draft]:
    """A ceiling set above the rule, a unit that cannot go low enough, or a mask toward the sky that is passed."""
    for n, row in enumerate(view.radios.values()):
        limit, sent = row.conducted_limit_dbm, _commanded_dbm(view, row)
        rules = view.numbers.law.rule_sets[n]
        if limit is None or sent is None or rules is None:
            continue
        if sent > limit + _SLACK_DB:
            allowed = float(np.floor(limit))
            other = (work_on_site("Take an antenna with less gain."), *_channel_cures(view, row))
            lower = (cure(f"Hold it to {allowed:g} dBm.", "change", id=row.id, power_ceiling_dbm=allowed),)
            floor = view.numbers.radios.power_floor_dbm[n]
            yield Draft(
                code="over-limit",
                severity="stop",
                subject=row.id,
                message=f"It is set to {sent:.1f} dBm, the rule allows {limit:.1f} dBm. {row.limit_sentence}",
                source=rules.source,
                value=sent,
                limit=limit,
                unit="dBm",
                radio=row.id,
                place=view.at_radio(row.id),
                cures=lower if allowed >= floor else other,
                edition=view.numbers.law.edition,
            )
            continue
        yield from _over_the_mask(view, n, row, rules)


def _over_the_mask(view: View, n: int, row: RadioRow, rules: RuleSet) -> Iterator[Draft]:
    if row.tx_power_full_dbm is None or not any(item.elevation_mask is not None for item in rules.rows):
        return
    elevation = np.arange(0.0, 90.5, 0.5)
    found = view.numbers
    rows = np.full(len(elevation), n, dtype=np.intp)
    aim = np.full(len(elevation), float(np.nan_to_num(found.aims.bearing_deg[n])))
    bracket = np.full(len(elevation), found.aims.bracket_deg[n])
    sent = (
        row.tx_power_full_dbm - row.feeder_loss_db + gain_toward_dbi(found.radios, rows, aim, elevation, aim, bracket)
    )
    excess = sent - elevation_limit_dbm(
        rules, elevation, float(np.nanmax(sent)) if np.any(np.isfinite(sent)) else -99.0
    )
    if not np.any(excess > _SLACK_DB):
        return
    worst = int(np.nanargmax(excess))
    lower = float(excess[worst])
    ceiling = float(np.floor(row.tx_power_full_dbm - lower))
    yield Draft(
        code="over-limit",
        severity="stop",
        subject=row.id,
        message=(
            f"Toward {elevation[worst]:.0f}° above the horizon it sends {sent[worst]:.1f} dBm EIRP, "
            f"{lower:.1f} dB more than the rule allows there."
        ),
        source=rules.source,
        value=float(sent[worst]),
        limit=float(sent[worst]) - lower,
        unit="dBm",
        radio=row.id,
        place=view.at_radio(row.id),
        cures=(cure(f"Hold it to {ceiling:g} dBm.", "change", id=row.id, power_ceiling_dbm=ceiling),),
        edition=view.numbers.law.edition,
    )


def unit_cannot(view: View) -> Iterator[Draft]:
    """Channel, width, certificate or antenna beyond the unit."""
    region = view.numbers.law.region
    for row in view.radios.values():
        radio = view.job.radios[row.id]
        found = view.job.radio_type(radio)
        if found is None:
            continue
        message = ""
        cures: tuple[Cure, ...] = ()
        if (
            row.centre_mhz is not None
            and row.channel is not None
            and not _tunes(view, row.id, row.channel, int(row.width_mhz))
        ):
            message = (
                f"{found.name} tunes {found.tunes_low_mhz:g} to {found.tunes_high_mhz:g} MHz, "
                f"channel {row.channel} lies outside."
            )
            cures = _channel_cures(view, row)
        elif row.width_mhz not in found.widths_mhz:
            widths = ", ".join(str(width) for width in found.widths_mhz)
            message = f"{found.name} has channel widths {widths} MHz, not {row.width_mhz:g} MHz."
            owner = view.job.access_point_of(row.id)
            best = max((w for w in found.widths_mhz if w <= row.width_mhz), default=found.widths_mhz[0])
            cures = (cure(f"Set {best} MHz.", "change", id=owner.id if owner else row.id, width_mhz=best),)
        elif found.certified_regions and region is not None and region.region not in found.certified_regions:
            message = f"{found.name} is certified for {', '.join(found.certified_regions)}, not for {region.region}."
            cures = (work_on_site("Take a unit that is certified here."),)
        elif row.radar_wait_s is not None and found.radar_certified is False:
            message = f"{found.name} has no certificate for radar channels; channel {row.channel} is one."
            cures = _channel_cures(view, row)
        elif found.pattern is None and radio.antenna is None:
            message = f"{found.name} has connectors only and no antenna is chosen."
            cures = (work_on_site("Choose an antenna and its feeders."),)
        if message:
            yield Draft(
                code="unit-cannot",
                severity="stop",
                subject=row.id,
                message=message,
                source="PRACTICE",
                radio=row.id,
                place=view.at_radio(row.id),
                cures=cures,
            )


def radar_wait(view: View) -> Iterator[Draft]:
    """A radar channel without a checked spare, where cameras do not record by themselves."""
    for cell in view.cells.values():
        row = view.radios[cell.access_point]
        owner = view.job.radios[cell.access_point]
        n = list(view.radios).index(cell.access_point)
        rules = view.numbers.law.rule_sets[n]
        if row.radar_wait_s is None or rules is None or owner.radar_spare is not None:
            continue
        behind = {camera for hop in cell.hops for camera in view.numbers.demand[hop].cameras}
        if behind and all(view.cameras[key].edge_recording_hours > 0 for key in behind):
            continue
        yield Draft(
            code="radar-wait",
            severity="warn",
            subject=cell.access_point,
            message=(
                f"Channel {cell.channel} is a radar channel: {row.radar_wait_s:.0f} s of listening before it speaks, "
                f"{rules.radar_outage_s} s dark after radar without a checked spare."
            ),
            source=rules.source,
            value=row.radar_wait_s,
            unit="s",
            radio=cell.access_point,
            place=view.at_radio(cell.access_point),
            cures=_channel_cures(view, row),
            edition=view.numbers.law.edition,
        )


def licence_needed(view: View) -> Iterator[Draft]:
    """A band that wants a registration."""
    for n, row in enumerate(view.radios.values()):
        rules = view.numbers.law.rule_sets[n]
        if rules is not None and rules.needs_licence:
            yield Draft(
                code="licence-needed",
                severity="note",
                subject=row.id,
                message=f"This band wants a registration or a light licence ({rules.citation}).",
                source=rules.source,
                radio=row.id,
                place=view.at_radio(row.id),
                cures=(work_on_site("Register it before it goes on the air."),),
            )


def certificate_not_noted(view: View) -> Iterator[Draft]:
    """Radar channels on a unit whose radar certificate nobody noted."""
    for cell in view.cells.values():
        row = view.radios[cell.access_point]
        found = view.job.radio_type(view.job.radios[cell.access_point])
        if row.radar_wait_s is not None and found is not None and found.radar_certified is None:
            yield Draft(
                code="certificate-not-noted",
                severity="warn",
                subject=cell.access_point,
                message=f"Channel {cell.channel} is a radar channel; whether {found.name} is certified for it is not noted.",
                source="PRACTICE",
                radio=cell.access_point,
                place=view.at_radio(cell.access_point),
                cures=(
                    work_on_site("Read the unit's certificate and note it in its gear entry."),
                    *_channel_cures(view, row),
                ),
            )


RULES = (
    region_unset,
    country_elsewhere,
    no_channel,
    no_rule_known,
    over_limit,
    unit_cannot,
    radar_wait,
    licence_needed,
    certificate_not_noted,
)


def free_channel_for(view: View, radio_id: str, *, away_from: str) -> int | None:
    """Return the nearest permitted channel at least three widths away from another radio's, or None."""
    row, other = view.radios[radio_id], view.radios[away_from]
    owner, region = view.job.access_point_of(radio_id), view.numbers.law.region
    if owner is None or region is None or other.centre_mhz is None:
        return None
    topology = _judged_as(row)
    width = int(row.width_mhz)
    place = place_of(view.job, view.job.radios[radio_id])
    apart = 3.0 * (row.width_mhz + other.width_mhz) / 2.0
    allowed = other_channels(region, place, topology, width, owner.power_mode == "automatic")
    fitting = [
        channel
        for channel in allowed
        if _tunes(view, radio_id, channel, width) and abs(5000.0 + 5.0 * channel - other.centre_mhz) >= apart
    ]
    plain = [channel for channel in fitting if not _is_radar(view, row, channel)] or fitting
    here = row.channel or 0
    return min(plain, key=lambda channel: (abs(channel - here), channel), default=None)
