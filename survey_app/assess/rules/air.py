"""Shared air, protection, and radios of one pole that deafen each other."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.gain import gain_toward_dbi
from survey_app.assess.record import Cure
from survey_app.assess.rules.view import View
from survey_app.ground.geodesic import plan_line
from survey_app.physics.decibels import sum_dbm
from survey_app.physics.free_space import free_space_loss_db
from survey_app.physics.geometry import elevation_deg
from survey_app.spectrum.channels import overlap_fraction

__all__ = ["CODES", "RULES"]

CODES = {
    "cell-full": "Air of the cell used up",
    "weak-protection": "Protection too weak",
    "deaf-neighbour": "Radios of one place deafen each other",
    "nobody-can-read": "Nobody at the radio can read the level",
    "beyond-timing": "Longer than the unit's timing",
}

_STRONG = frozenset({"wpa3_sae", "wpa2_aes", "wpa2_enterprise"})
_NEIGHBOUR_M = 30.0
_RAW_STOP_DBM = -30.0
_BUSY_DBM = -62.0
_STOP_MARGIN_DB, _WARN_MARGIN_DB = 3.0, 10.0


def cell_full(view: View) -> Iterator[Draft]:
    """Load above one, above the warning, or above the note; the heaviest station is named."""
    defaults = view.job.defaults
    for cell in view.cells.values():
        load = cell.load_fraction
        if load is None or load <= defaults.load_note_fraction:
            continue
        severity = "stop" if load > 1.0 else "warn" if load > defaults.load_warn_fraction else "note"
        limit = {"stop": 1.0, "warn": defaults.load_warn_fraction, "note": defaults.load_note_fraction}[severity]
        part = (cell.heaviest_share_fraction or 0.0) * load
        heaviest = f" {cell.heaviest_station} alone takes {part * 100:.0f} %." if len(cell.stations) > 1 else ""
        yield Draft(
            code="cell-full",
            severity=severity,  # type: ignore[arg-type]  # one of the three words above
            subject=cell.id,
            message=f"Load {load * 100:.0f} % of what the cell's air can carry.{heaviest}",
            source="HEUSSE" if len(cell.stations) > 1 else "PRACTICE",
            value=load,
            limit=limit,
            unit="1",
            radio=cell.access_point,
            place=view.at_radio(cell.access_point),
            cures=_air_cures(view, cell.id),
        )


def _air_cures(view: View, cell_id: str) -> tuple[Cure, ...]:
    cell = view.cells[cell_id]
    cures: list[Cure] = []
    types = [view.job.radio_type(view.job.radios[key]) for key in (cell.access_point, *cell.stations)]
    both = {width for found in types if found is not None for width in found.widths_mhz}
    widths = [w for w in sorted(both) if all(found is not None and w in found.widths_mhz for found in types)]
    wider = [width for width in widths if width > cell.width_mhz]
    if wider:
        cures.append(work_on_site(f"Use {wider[0]} MHz, on a channel that is free over that width."))
    if len(cell.stations) > 1:
        cures.append(work_on_site(f"Give {cell.heaviest_station} a hop of its own, or split the cell."))
    cures.append(work_on_site("Lower the rate caps in the cameras."))
    return tuple(cures)


def weak_protection(view: View) -> Iterator[Draft]:
    """An old cipher or none; it also caps the rate."""
    for radio_id, radio in view.job.radios.items():
        if radio.protection in _STRONG or not view.radios[radio_id].hops:
            continue
        found = view.job.radio_type(radio)
        unknown = radio.protection == "unknown"
        cap = found.legacy_cipher_cap_mbps if found is not None else None
        capped = radio.protection in ("wep", "wpa_tkip") and cap is not None
        strong = next((word for word in found.protections if word in _STRONG), None) if found is not None else None
        slow = f" and holds the link rate to {cap:g} Mbit/s" if capped else ""
        yield Draft(
            code="weak-protection",
            severity="note" if unknown else "warn",
            subject=radio_id,
            message="How this radio protects its path is not noted."
            if unknown
            else f"'{radio.protection}' does not protect the video{slow}.",
            source="IEEE80211",
            radio=radio_id,
            place=view.at_radio(radio_id),
            cures=(cure(f"Set {strong}.", "change", id=radio_id, protection=strong),)
            if strong
            else (work_on_site("Replace the station with one that runs AES."),),
        )


def nobody_can_read(view: View) -> Iterator[Draft]:
    """A radio without lights of its own: somebody else must read the level."""
    for row in view.radios.values():
        found = view.job.radio_type(view.job.radios[row.id])
        if found is None or found.lights_dbm or view.job.radios[row.id].shows_level_at or not row.hops:
            continue
        yield Draft(
            code="nobody-can-read",
            severity="note",
            subject=row.id,
            message="The unit shows no level by itself, and where it is read while aiming is not noted.",
            source="PRACTICE",
            radio=row.id,
            place=view.at_radio(row.id),
            cures=(work_on_site("Note who reads the level, on which page, and how the two talk."),),
        )


def beyond_timing(view: View) -> Iterator[Draft]:
    """A hop longer than the unit's acknowledgement timing can be set to."""
    for hop in view.hops.values():
        for end in (hop.ends.access_point, hop.ends.station):
            found = view.job.radio_type(view.job.radios[end.radio])
            if found is None or hop.distance_m * 1.1 <= found.ack_distance_m:
                continue
            yield Draft(
                code="beyond-timing",
                severity="stop",
                subject=hop.id,
                second_subject=end.radio,
                message=f"{hop.distance_m:.0f} m is beyond the timing of {end.radio}: {found.ack_distance_m:.0f} m less a tenth.",
                source="PRACTICE",
                value=hop.distance_m,
                limit=found.ack_distance_m / 1.1,
                unit="m",
                hop=hop.id,
                radio=end.radio,
                place=view.at_radio(end.radio),
                cures=(work_on_site("Take a unit with longer timing, or divide the hop."),),
            )


def deaf_neighbour(view: View) -> Iterator[Draft]:
    """The leak of a radio on the same structure, judged by the margin that it leaves at the needed rate."""
    numbers = view.numbers
    radios = numbers.radios
    by_structure: dict[str, list[int]] = {}
    for n, row in enumerate(view.radios.values()):
        by_structure.setdefault(view.mounts[row.mount].structure, []).append(n)
    for group in by_structure.values():
        for victim in group:
            for source in group:
                if victim != source:
                    yield from _leak(view, victim, source)
    del radios


def _leak(view: View, victim: int, source: int) -> Iterator[Draft]:
    numbers = view.numbers
    radios = numbers.radios
    hears, sends = view.radios[radios.ids[victim]], view.radios[radios.ids[source]]
    if (
        hears.cell == sends.cell
        or sends.tx_power_auto_dbm is None
        or hears.centre_mhz is None
        or sends.centre_mhz is None
    ):
        return
    line = plan_line(radios.x_m[source], radios.y_m[source], radios.x_m[victim], radios.y_m[victim])
    rise = radios.elevation_m[victim] - radios.elevation_m[source]
    apart = float(np.hypot(line.ground_distance_m, rise))
    if apart > _NEIGHBOUR_M or apart <= 0.0:
        return
    there, back = float(np.nan_to_num(line.bearing_at_1_deg)), float(np.nan_to_num(line.bearing_at_2_deg))
    flat = max(float(line.ground_distance_m), 1e-3)
    up = float(elevation_deg(radios.elevation_m[source], radios.elevation_m[victim], flat))
    gain = _gain(view, source, there, up) + _gain(view, victim, back, -up)
    # both antennas stand in each other's near field: the far-field loss is the common, careful estimate
    raw = sends.tx_power_auto_dbm - float(radios.feeder_loss_db[source]) - float(radios.feeder_loss_db[victim])
    raw += gain - float(free_space_loss_db(max(apart, 0.3), sends.centre_mhz))
    leak = raw - _rejection_db(view, victim, source)
    noise = (
        min(d.noise_dbm for d in _into(view, hears.id) if d.noise_dbm is not None) if _into(view, hears.id) else None
    )
    if noise is None:
        return
    lost = (
        float(sum_dbm(noise + view.job.defaults.interference_rise_db, leak))
        - noise
        - view.job.defaults.interference_rise_db
    )
    margins = [
        d.margin_at_needed_rate_db - lost for d in _into(view, hears.id) if d.margin_at_needed_rate_db is not None
    ]
    if not margins:
        return
    left = min(margins)
    stop = left < _STOP_MARGIN_DB or raw > _RAW_STOP_DBM or leak > _BUSY_DBM
    wanted = min(view.hops[h].wanted_margin_db for h in hears.hops)
    if not stop and left >= min(_WARN_MARGIN_DB, wanted) - 0.05:
        return
    yield Draft(
        code="deaf-neighbour",
        severity="stop" if stop else "warn",
        subject=hears.id,
        second_subject=sends.id,
        message=(
            f"{sends.id}, {apart:.1f} m away, leaks {leak:.0f} dBm into its channel ({raw:.0f} dBm before the filter): "
            f"{left:.1f} dB of margin left."
        ),
        source="IEEE80211",
        value=left,
        limit=_STOP_MARGIN_DB if stop else _WARN_MARGIN_DB,
        unit="dB",
        radio=hears.id,
        place=view.at_radio(hears.id),
        cures=_apart_cures(view, hears.id, sends.id),
    )


def _gain(view: View, row: int, bearing_deg: float, elevation: float) -> float:
    aims = view.numbers.aims
    plan = view.radios[view.numbers.radios.ids[row]].bearing_plan_deg
    rows = np.array([row], dtype=np.intp)
    aim = np.array([plan if plan is not None else bearing_deg])
    bracket = np.nan_to_num(aims.bracket_deg[rows])
    return float(
        gain_toward_dbi(view.numbers.radios, rows, np.array([bearing_deg]), np.array([elevation]), aim, bracket)[0]
    )


def _rejection_db(view: View, victim: int, source: int) -> float:
    """Return what the victim's filter and the sender's mask leave of a signal on another channel. [dB]"""
    radios = view.numbers.radios
    centre_v, centre_s = float(radios.centre_mhz[victim]), float(radios.centre_mhz[source])
    width_v, width_s = float(radios.width_mhz[victim]), float(radios.width_mhz[source])
    share = float(overlap_fraction(centre_s, width_s, centre_v, width_v))
    if share > 0.0:
        return -10.0 * float(np.log10(share))
    found = view.job.radio_type(view.job.radios[radios.ids[victim]])
    steps = found.acir_db if found is not None else (23.0, 39.0, 55.0)
    widths_off = abs(centre_v - centre_s) / ((width_v + width_s) / 2.0)
    return steps[0] if widths_off < 1.75 else steps[1] if widths_off < 2.75 else steps[2]


def _into(view: View, radio_id: str) -> list:  # type: ignore[type-arg]
    rows = []
    for hop_id in view.radios[radio_id].hops:
        hop = view.hops[hop_id]
        rows.append(hop.directions.to_access_point if hop.access_point == radio_id else hop.directions.to_station)
    return rows


def _apart_cures(view: View, victim: str, source: str) -> tuple[Cure, ...]:
    from survey_app.assess.rules.legal import free_channel_for

    channel = free_channel_for(view, source, away_from=victim)
    apart = work_on_site("Move one of them at least 1 m up and to the other side, three widths away in channel.")
    if channel is None:
        return (apart,)
    owner = view.job.access_point_of(source)
    owner_id = owner.id if owner is not None else source
    return (cure(f"Put {owner_id} on channel {channel}.", "set_channel", radio=owner_id, channel=channel), apart)


RULES = (cell_full, weak_protection, nobody_can_read, beyond_timing, deaf_neighbour)
