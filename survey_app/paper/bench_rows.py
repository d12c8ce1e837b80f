"""What a bench sheet says: settings, what is typed back, proofs and the label, as words and figures."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from survey_app.assess.record import HopRow, RadioRow
from survey_app.drawing.letters import letters_width_mm
from survey_app.paper.rounding import level, metres, number
from survey_app.paper.sources import Sources
from survey_app.site.gear_part import PowerInput
from survey_app.site.radio import Radio
from survey_app.site.secrets import Secret

__all__ = ["Label", "Proof", "backup_name", "label_of", "listed", "proofs_of", "settings_of", "spare_reasons"]

_DISTANCE_FACTOR = 1.1
_FOOT_M = 0.3048
_LEAST_MBPS = 0.05
_MOST_NAMED = 3
_LABEL_MM = 73.0
_PROTECTIONS = {
    "wpa3_sae": "WPA3, SAE",
    "wpa2_aes": "WPA2, AES",
    "wpa2_enterprise": "WPA2, enterprise",
    "wpa_tkip": "WPA, TKIP: old and slow",
    "wep": "WEP: protects nothing",
    "none": "none",
}

Setting = tuple[str, str | None]
"""Name and value; None prints an empty ruled box to write in."""


@dataclass(frozen=True, slots=True)
class Proof:
    """One test on the bench: what to do, what is right, the unit of the figure to write down."""

    text: str
    right: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """Words of the label on the unit."""

    name: str
    role: str
    where: str
    far: str
    channel: str


def settings_of(sources: Sources, row: RadioRow, secret: Secret) -> tuple[tuple[Setting, ...], tuple[Setting, ...]]:
    """Return what is set: the unit and its network, then the radio.

    Parameters
    ----------
    sources : Sources
        Site and assessment.
    row : RadioRow
        The radio.
    secret : Secret
        What is known about it; blanks leave lines to write on.
    """
    radio = sources.drawn_radios[row.id]
    return _network(sources, row, radio, secret), _air(sources, row, radio, secret)


def _network(sources: Sources, row: RadioRow, radio: Radio, secret: Secret) -> tuple[Setting, ...]:
    found = sources.radio_type(row)
    design = sources.design
    login = " / ".join(word for word in (secret.login, secret.password) if word)
    bridge = {"transparent": "transparent, four addresses", "single": "one device behind it", "unknown": None}
    rows: list[Setting] = [
        ("firmware", radio.firmware or None),
        ("country code", _country(design.country, design.region)),
        ("default address", found.default_address or None if found is not None else None),
        ("its own address", radio.address or None),
        ("its own name", sources.network_names[radio.id]),
        ("VLAN", None),
        ("time server", None),
        ("login, password", login or None),
        ("bridge mode", bridge[radio.bridge]),
        ("isolation", ("on" if radio.isolation else "off") if row.role == "access_point" else "none"),
        ("lock to far end", _locks(sources, row)),
        ("backup file", backup_name(sources, row.label)),
    ]
    if found is not None:
        rows.append(("it is fed with", " or ".join(_supply_words(power) for power in found.power_inputs) or None))
    return tuple(rows)


def _country(country: str | None, region: str | None) -> str | None:
    if country is None:
        return None
    return country if region in (None, country) else f"{country}, rules of {region}"


def _locks(sources: Sources, row: RadioRow) -> str | None:
    """Hardware addresses of the far ends; all must be known, else the line stays to be written."""
    known = [(sources.name(far), sources.drawn_radios[far].hardware_address) for far in row.far_ends]
    if not known or not all(address for _, address in known):
        return None
    return ", ".join(address if len(known) == 1 else f"{name} {address}" for name, address in known)


def backup_name(sources: Sources, label: str) -> str:
    """Return the name under which a unit's settings are saved: site, revision, label, in letters any system takes."""
    words = f"{sources.assessment.site} {sources.assessment.revision} {label}"
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode("ascii").lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:60] or "settings"


def _supply_words(power: PowerInput) -> str:
    pairs = "" if power.pairs in ("none", "both") else f", pairs {power.pairs}"
    return f"{power.scheme} {power.volts_min_v:g} to {power.volts_max_v:g} V{pairs}"


def _air(sources: Sources, row: RadioRow, radio: Radio, secret: Secret) -> tuple[Setting, ...]:
    hub = _hub(sources, row)
    owner = sources.drawn_radios.get(hub)
    hops = sources.hops_of(row)
    role = "access point"
    if row.role == "station":
        role = f"station of {sources.name(hub)}" if hub else "station"
    channel = None
    if row.channel is not None and row.centre_mhz is not None:
        channel = f"{row.channel}, centre {row.centre_mhz:.0f} MHz"
    rows: list[Setting] = [
        ("role", role),
        ("network name", (owner.network_name if owner is not None else "") or None),
        ("protection", _PROTECTIONS.get(radio.protection)),
        ("pass phrase", secret.pass_phrase or None),
        ("channel", channel),
        ("width", f"{row.width_mhz:g} MHz"),
    ]
    if row.radar_wait_s:
        spare = "no spare checked" if owner is None or owner.radar_spare is None else f"spare {owner.radar_spare}"
        rows.append(("radar watch", f"listens {number(row.radar_wait_s, 0)} s; {spare}"))
    rows += [
        ("highest rate", "what the unit can" if radio.highest_mcs is None else f"index {radio.highest_mcs}"),
        ("power for aiming", _power(row.tx_power_total_dbm, "fixed ", ", all chains")),
        ("power in service", _service(row, radio)),
        ("target level", _target(sources, row, hops, automatic=radio.power_mode == "automatic")),
        ("antenna gain", _gain(row)),
        ("distance setting", _distance(sources, hops)),
    ]
    return tuple(rows)


def _hub(sources: Sources, row: RadioRow) -> str:
    if row.role == "access_point":
        return row.id
    return next((hop.access_point for hop in sources.hops_of(row)), "")


def _power(value_dbm: float | None, before: str, after: str) -> str | None:
    return None if value_dbm is None else f"{before}{number(value_dbm, 0)} dBm{after}"


def _service(row: RadioRow, radio: Radio) -> str | None:
    if radio.power_mode == "fixed":
        return _power(row.tx_power_auto_dbm, "fixed ", "")
    return _power(row.tx_power_full_dbm, "automatic, up to ", "")


def _target(sources: Sources, row: RadioRow, hops: tuple[HopRow, ...], *, automatic: bool) -> str | None:
    """The level that automatic control keeps at the far end; of several, at the one that hears least."""
    if not automatic:
        return "none"
    far = [(end.expected_reading_auto_dbm, end.radio) for hop in hops for end in (sources.ends(row, hop)[1],)]
    heard = [(value, radio) for value, radio in far if value is not None]
    if not heard or len(heard) < len(far):
        return None
    least, radio = min(heard)
    return f"{level(least)} dBm at {sources.name(radio)}"


def _gain(row: RadioRow) -> str | None:
    if row.antenna_gain_dbi is None:
        return None
    loss = f", less {number(row.feeder_loss_db, 1)} dB of feeder" if row.feeder_loss_db > 0.0 else ""
    return f"{number(row.antenna_gain_dbi, 1)} dBi{loss}"


def _distance(sources: Sources, hops: tuple[HopRow, ...]) -> str | None:
    """A tenth more than the farthest far end, so that no acknowledgement comes late."""
    if not hops:
        return None
    least_m = math.ceil(round(_DISTANCE_FACTOR * max(hop.distance_m for hop in hops), 6))
    feet = f", {number(least_m / _FOOT_M, 0)} ft" if sources.feet else ""
    return f"{metres(float(least_m), 0)} or the next step up{feet}"


def listed(names: Sequence[str]) -> str:
    """Return names as one phrase.

    Examples
    --------
    >>> listed(["A1", "A2", "A3"]), listed([])
    ('A1, A2 and A3', '')
    """
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


def proofs_of(sources: Sources, row: RadioRow) -> tuple[Proof, ...]:
    """Return the tests that a radio passes before it leaves the workshop."""
    found = sources.radio_type(row)
    far = [sources.name(key) for key in row.far_ends]
    names = listed(far if len(far) <= _MOST_NAMED else [*far[:_MOST_NAMED], f"{len(far) - _MOST_NAMED} more"])
    limit = "" if found is None else f"never over {level(found.max_input_dbm)} dBm"
    demands = [
        (hop.directions.to_access_point.demand_mbps, hop.directions.to_station.demand_mbps)
        for hop in sources.hops_of(row)
    ]
    needed = ""
    if demands:
        up, down = (max(sizes) for sizes in zip(*demands, strict=True))
        back = f", over {number(down, 1)} from it" if down >= _LEAST_MBPS else ""
        needed = f"over {number(up, 1)} to the access point{back}"
    wait = f"; the radar watch takes {number(row.radar_wait_s, 0)} s" if row.radar_wait_s else ""
    source = "its own supply" if row.injector is None else sources.name(row.injector)
    cable = "its own cable" if row.cable_m is None else f"its own {metres(row.cable_m, 0)} of cable on the drum"
    volts = "" if row.supply_v is None else f"about {number(row.supply_v, 1)} V"
    return (
        Proof(
            f"Paired with {names or 'its far end'} at the least power, 3 m apart, faces turned away from each other.",
            limit,
            "dBm",
        ),
        Proof("Ten minutes of throughput, both ways, no dropout.", needed, "Mbit/s"),
        Proof("Both restarted together: they pair again by themselves.", f"within 5 minutes{wait}", "s"),
        Proof(f"Cold start on {source} and {cable}.", volts, "V"),
        Proof("Label on the unit, arrow up; settings saved under the name above; photograph taken.", ""),
    )


def label_of(sources: Sources, row: RadioRow) -> Label:
    """Return the words of a radio's label."""
    mount = sources.mounts[row.mount]
    told = mount.structure_name.lower() in mount.name.lower()
    where = mount.name if told else f"{mount.structure_name}, {mount.name}"
    far = [sources.name(key) for key in row.far_ends]
    channel = "" if row.channel is None else f"channel {row.channel} / {row.width_mhz:g}"
    return Label(
        name=row.label,
        role="ACCESS POINT" if row.role == "access_point" else "STATION",
        where=where,
        far=_far_words(far),
        channel=channel,
    )


def _far_words(names: list[str]) -> str:
    """Return the far ends on one line of the label; how many more there are, where not all have room."""
    if not names:
        return "no far end yet"
    for count in range(len(names), 0, -1):
        more = f" and {len(names) - count} more" if count < len(names) else ""
        words = f"looks at {', '.join(names[:count])}{more}"
        if letters_width_mm(words, 2.2) <= _LABEL_MM:
            return words
    return f"looks at {names[0]}" if len(names) == 1 else f"looks at {len(names)} stations"


def spare_reasons(sources: Sources, rows: list[RadioRow]) -> list[tuple[str, list[RadioRow]]]:
    """Return what a spare of one type can stand in for, cell by cell: "any station of cell A1" and those radios."""
    groups: dict[tuple[str, str], list[RadioRow]] = {}
    for row in sorted(rows, key=lambda one: (one.cell or "~", one.role, one.id)):
        groups.setdefault((row.cell or "", row.role), []).append(row)
    return [(_group_words(sources, cell, role, found), found) for (cell, role), found in groups.items()]


def _group_words(sources: Sources, cell: str, role: str, rows: list[RadioRow]) -> str:
    if not cell:
        return "Radios without a cell"
    if role == "access_point":
        return f"The access point of cell {sources.name(cell)}"
    return f"{'Any' if len(rows) > 1 else 'The'} station of cell {sources.name(cell)}"
