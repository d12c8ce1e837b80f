"""Shared air and what protects it, and who reads the level."""

from __future__ import annotations

from collections.abc import Iterator

from survey_app.assess.findings import Draft, cure, work_on_site
from survey_app.assess.record import CellRow, Cure, Severity
from survey_app.assess.rules.channel_offer import channel_cures
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined

__all__ = ["CODES", "RULES"]

CODES = {
    "cell-full": "Air of the cell used up",
    "carries-nothing": "No video crosses it",
    "weak-protection": "Protection too weak",
    "nobody-can-read": "Nobody at the radio can read the level",
}

_STRONG = frozenset({"wpa3_sae", "wpa2_aes", "wpa2_enterprise"})
_OLD = frozenset({"wep", "wpa_tkip"})
_WORDS = {
    "wep": "WEP",
    "wpa_tkip": "TKIP",
    "none": "An open path",
    "wpa2_aes": "WPA2 with AES",
    "wpa2_enterprise": "WPA2 with a key for each radio",
    "wpa3_sae": "WPA3",
}


@about_each("cells")
def cell_full(view: View, cell_id: str) -> Iterator[Draft]:
    """Load above one, above the warning, or above the note; the heaviest station is named."""
    defaults = view.job.defaults
    cell = view.cells[cell_id]
    load = cell.load_with_others_fraction
    if load is None or load <= defaults.load_note_fraction:
        return
    severity: Severity = "stop" if load > 1.0 else "warn" if load > defaults.load_warn_fraction else "note"
    limit = {"stop": 1.0, "warn": defaults.load_warn_fraction, "note": defaults.load_note_fraction}[severity]
    part = (cell.heaviest_share_fraction or 0.0) * (cell.load_fraction or 0.0)
    heaviest = f" {cell.heaviest_station} alone takes {part * 100:.0f} %." if len(cell.stations) > 1 else ""
    yield Draft(
        code="cell-full",
        severity=severity,
        subject=cell.id,
        message=(
            f"Its load is {load * 100:.0f} % of what its air can carry, {limit * 100:.0f} % is the mark."
            f"{_taken(cell)}{heaviest}"
        ),
        source="HEUSSE" if len(cell.stations) > 1 else "PRACTICE",
        value=load,
        limit=limit,
        unit="1",
        radio=cell.access_point,
        place=view.at_radio(cell.access_point),
        cures=_air_cures(view, cell, load, limit),
        concerns=cell.stations,
    )


def _taken(cell: CellRow) -> str:
    """Say who else takes of its air, where someone does."""
    own, neighbours = cell.load_fraction or 0.0, cell.neighbours_fraction or 0.0
    cells = (cell.load_with_others_fraction or 0.0) - own - neighbours
    words = []
    if cells >= 0.005:
        words.append(f"{100 * cells:.0f} % are of cells that hear it ({joined(cell.heard_cells)})")
    if neighbours >= 0.005:
        words.append(f"{100 * neighbours:.0f} % are of neighbours (scan at {cell.listened_at})")
    return f" Of these {' and '.join(words)}." if words else ""


def _air_cures(view: View, cell: CellRow, load: float, limit: float) -> tuple[Cure, ...]:
    own = cell.load_fraction or 0.0
    cures: list[Cure] = [] if own > limit else list(channel_cures(view, cell.access_point))
    types = [view.job.radio_type(view.job.radios[key]) for key in (cell.access_point, *cell.stations)]
    widths = {width for kind in types if kind is not None for width in kind.widths_mhz}
    wider = [w for w in sorted(widths) if w > cell.width_mhz and all(k is None or w in k.widths_mhz for k in types)]
    # twice the width carries a little more than twice as much
    if wider and load * cell.width_mhz / wider[0] <= limit:
        cures += channel_cures(view, cell.access_point, wider[0])
    if len(cell.stations) > 1:
        cures.append(work_on_site(f"Give {cell.heaviest_station} a hop of its own, or split the cell."))
    cures.append(work_on_site("Lower the rate caps in the cameras."))
    return tuple(cures)


def all_carry_nothing(view: View) -> Iterator[Draft]:
    """No camera's video crosses any hop: the site is still without cameras."""
    if view.idle and len(view.idle) == len(view.hops):
        yield Draft(
            code="carries-nothing",
            severity="note",
            subject="site",
            message="No camera's video crosses any hop, so every hop is planned for its lowest rate.",
            source="PRACTICE",
            value=float(len(view.idle)),
            limit=0.0,
            cures=(work_on_site("Draw the cameras, their wires and the head end."),),
            concerns=tuple(view.idle),
        )


@about_each("idle")
def carries_nothing(view: View, hop_id: str) -> Iterator[Draft]:
    """Hops that no camera's video crosses, where others carry some: their needed rate is only the lowest."""
    if len(view.idle) == len(view.job.hops):
        return
    yield Draft(
        code="carries-nothing",
        severity="note",
        subject=hop_id,
        message="No camera's video crosses it, so it is planned for its lowest rate.",
        source="PRACTICE",
        hop=hop_id,
        place=view.at_hop(hop_id),
        cures=(work_on_site("Draw the wire from its station to the camera, or remove the hop."),),
    )


def weak_protection(view: View) -> Iterator[Draft]:
    """An old cipher or none; it also caps the rate."""
    for radio_id, radio in view.job.radios.items():
        if radio.protection in _STRONG or not view.radios[radio_id].hops:
            continue
        found = view.job.radio_type(radio)
        cap = found.legacy_cipher_cap_mbps if found is not None else None
        slow = f" and holds its link rate to {cap:g} Mbit/s" if cap is not None and radio.protection in _OLD else ""
        unknown = radio.protection == "unknown"
        strong = next((word for word in found.protections if word in _STRONG), None) if found is not None else None
        yield Draft(
            code="weak-protection",
            severity="note" if unknown else "warn",
            subject=radio_id,
            message=(
                "How it protects its radio path is not noted."
                if unknown
                else f"{_WORDS[radio.protection]} does not protect its video{slow}."
            ),
            source="PRACTICE" if unknown else "IEEE80211",
            radio=radio_id,
            place=view.at_radio(radio_id),
            cures=(cure(f"Set {_WORDS[strong]} on it.", "change", thing_id=radio_id, protection=strong),)
            if strong
            else (work_on_site("Replace it with a unit that runs AES."),),
        )


@about_each("radios")
def nobody_can_read(view: View, radio_id: str) -> Iterator[Draft]:
    """A radio without lights of its own: somebody else must read the level."""
    row = view.radios[radio_id]
    radio = view.job.radios[row.id]
    found = view.job.radio_type(radio)
    if found is None or found.lights_dbm or radio.shows_level_at or not row.hops:
        return
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


RULES = (cell_full, all_carry_nothing, carries_nothing, weak_protection, nobody_can_read)
