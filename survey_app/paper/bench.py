"""Bench sheets: what is set on a radio, read off it and proven before it leaves the workshop."""

from __future__ import annotations

from survey_app.assess.record import Assessment, RadioRow
from survey_app.paper.rounding import level, metres, number
from survey_app.paper.sources import Sources
from survey_app.paper.table_view import Box, Cell, Column, Row, Section, TableDocument
from survey_app.paper.title import title_of
from survey_app.site.gear_part import PowerInput
from survey_app.site.radio import Radio
from survey_app.site.site import Site

__all__ = ["bench_documents"]

_WRITE = Box("write")
_PROTECTIONS = {
    "wpa3_sae": "WPA3, SAE",
    "wpa2_aes": "WPA2, AES",
    "wpa2_enterprise": "WPA2, enterprise",
    "wpa_tkip": "WPA, TKIP: old and slow",
    "wep": "WEP: old, slow, open to anyone",
    "none": "none",
    "unknown": "",
}
_PROOFS = (
    ("paired at lowest power, 3 m apart, not face to face", "dBm"),
    ("ten minutes of throughput, both ways", "Mbit/s"),
    ("both restarted, paired again by themselves", ""),
    ("cold start on its own injector and its own cable on the drum", "V"),
    ("settings saved to a file named as the label", ""),
)


def bench_documents(site: Site, assessment: Assessment) -> tuple[TableDocument, ...]:
    """Return one bench sheet a radio, in the order of the mounting sheets.

    Parameters
    ----------
    site : Site
        The document. Pass phrases and logins are not part of it: their lines are left blank.
    assessment : Assessment
        Its assessment.
    """
    sources = Sources(site, assessment)
    rows = sorted(assessment.radios, key=lambda row: (row.sheet_number, row.id))
    return tuple(_document(sources, row) for row in rows)


def _document(sources: Sources, row: RadioRow) -> TableDocument:
    return TableDocument(
        sections=(_settings(sources, row), _read_off(sources, row), _proof()),
        title=title_of(sources, "Bench sheet", "", row.label, "for work"),
        landscape=False,
        writing=("PASSED BY", "DATE", "SIGNATURE"),
    )


def _settings(sources: Sources, row: RadioRow) -> Section:
    radio = sources.drawn_radios[row.id]
    columns = (
        Column(("SETTING",), 54),
        Column(("SET IT TO",), 112, bold=True, ruled=True, lines=5),
        Column(("SET",), 14, "middle", ruled=True),
    )
    settings = (*_identity(sources, row, radio), *_air(sources, row, radio), *_network(sources, row, radio))
    return Section(
        title=f"BENCH SHEET {row.label}",
        note=f"{row.gear_name}, {'access point' if row.role == 'access_point' else 'station'}",
        columns=columns,
        rows=tuple(Row((name, value if value else _WRITE, Box("tick"))) for name, value in settings),
        row_mm=5.7,
    )


def _identity(sources: Sources, row: RadioRow, radio: Radio) -> tuple[tuple[str, Cell], ...]:
    found = sources.radio_type(row)
    mount = sources.mounts[row.mount]
    far = ", ".join(sources.name(far) for far in row.far_ends) or "no far end"
    role = "access point" if row.role == "access_point" else "station"
    return (
        ("label on the unit, arrow up", f"{row.label} · {role} · {mount.structure_name or mount.name} · to {far}"),
        ("firmware wanted", radio.firmware),
        ("address out of the box", found.default_address if found is not None else ""),
        ("management address", radio.address),
        ("login and pass phrase", _WRITE),
        ("country in the unit", sources.design.country or ""),
    )


def _air(sources: Sources, row: RadioRow, radio: Radio) -> tuple[tuple[str, Cell], ...]:
    channel = ""
    if row.channel is not None and row.centre_mhz is not None:
        channel = f"{row.channel}, centre {row.centre_mhz:.0f} MHz, {row.width_mhz:g} MHz wide"
    aiming = (
        "" if row.tx_power_total_dbm is None else f"fixed {number(row.tx_power_total_dbm, 0)} dBm, sum of all chains"
    )
    service = "stays fixed"
    if radio.power_mode == "automatic":
        target = level(sources.design.defaults.target_level_dbm)
        full = "" if row.tx_power_full_dbm is None else f", never over {number(row.tx_power_full_dbm, 0)} dBm"
        service = f"automatic, far end hears {target} dBm{full}"
    gain = "" if row.antenna_gain_dbi is None else f"{number(row.antenna_gain_dbi, 1)} dBi"
    hub = _hub(sources, row)
    longest = max((hop.distance_m for hop in sources.hops_of(row)), default=None)
    distance = "" if longest is None else f"{metres(longest, 0)} and 10 % more"
    return (
        (
            "role",
            "access point" if row.role == "access_point" else f"station of {sources.name(hub)}" if hub else "station",
        ),
        ("network name", sources.drawn_radios[hub].network_name if hub in sources.drawn_radios else radio.network_name),
        ("channel", channel),
        ("guard interval", f"{radio.guard_interval_us:g} µs"),
        ("highest rate index", "what the unit can" if radio.highest_mcs is None else f"MCS {radio.highest_mcs}"),
        ("power while aiming", aiming),
        ("power in service", service),
        ("antenna gain to enter", gain),
        ("distance or timing", distance),
        ("protection", _PROTECTIONS[radio.protection]),
    )


def _hub(sources: Sources, row: RadioRow) -> str:
    if row.role == "access_point":
        return row.id
    return next((hop.access_point for hop in sources.hops_of(row)), "")


def _network(sources: Sources, row: RadioRow, radio: Radio) -> tuple[tuple[str, Cell], ...]:
    bridge = {"transparent": "transparent (four addresses)", "single": "one device only", "unknown": ""}[radio.bridge]
    locks = [sources.drawn_radios[far].hardware_address for far in row.far_ends if far in sources.drawn_radios]
    found = sources.radio_type(row)
    supply = "" if found is None else " or ".join(_supply_words(power) for power in found.power_inputs)
    rows: list[tuple[str, Cell]] = [("bridge", bridge)]
    if row.role == "access_point":
        rows.append(("isolation of stations", "on" if radio.isolation else "off"))
    rows += [
        ("locked to the far end's address", ", ".join(lock for lock in locks if lock)),
        ("management network, time", _WRITE),
        ("supply that it takes", supply),
    ]
    if found is not None and found.setup_note:
        rows.append(("mind", found.setup_note))
    return tuple(rows)


def _supply_words(power: PowerInput) -> str:
    pairs = "" if power.pairs in ("none", "both") else f", pairs {power.pairs}"
    return f"{power.scheme} {power.volts_min_v:g} to {power.volts_max_v:g} V{pairs}"


def _read_off(sources: Sources, row: RadioRow) -> Section:
    radio = sources.drawn_radios[row.id]
    columns = (
        Column(("READ OFF, TYPE BACK",), 54),
        Column(("AS TYPED IN BEFORE",), 56, bold=True, ruled=True),
        Column(("AS READ",), 70, ruled=True),
    )
    rows = (
        ("serial number", radio.serial),
        ("hardware address, wire", radio.hardware_address),
        ("hardware address, radio", ""),
        ("firmware found", ""),
    )
    return Section(
        title="",
        note="",
        columns=columns,
        rows=tuple(Row((name, known or "none yet", _WRITE)) for name, known in rows),
        row_mm=6.6,
    )


def _proof() -> Section:
    columns = (
        Column(("PROOF, BEFORE IT LEAVES THE WORKSHOP",), 110),
        Column(("FIGURE",), 40, ruled=True),
        Column(("UNIT",), 16),
        Column(("PASSED",), 14, "middle", ruled=True),
    )
    return Section(
        title="",
        note="",
        columns=columns,
        rows=tuple(Row((words, _WRITE if unit else "", unit, Box("tick"))) for words, unit in _PROOFS),
        row_mm=6.6,
    )
