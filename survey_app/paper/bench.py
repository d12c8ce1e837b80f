"""Bench sheets: what is set on a radio, typed back from it and proven before it leaves the workshop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any, Literal

from survey_app.assess.record import Assessment, RadioRow
from survey_app.paper.bench_order import change_order_lines
from survey_app.paper.bench_rows import Label, label_of, proofs_of, settings_of, spare_reasons
from survey_app.paper.ledger import UPRIGHT_MM, Cell, Column, Empty, Group, Table, Tick, Words, document, table_data
from survey_app.paper.press import press
from survey_app.paper.rounding import number
from survey_app.paper.sources import Sources
from survey_app.paper.title import title_of
from survey_app.site.secrets import Secrets, secret_of
from survey_app.site.site import Site

__all__ = ["bench_pdf"]

_HALF_MM = UPRIGHT_MM / 2.0
_BOX_MM = 44.0
_ALL = 20


def bench_pdf(
    site: Site,
    assessment: Assessment,
    paper: Literal["a4", "letter"] = "a4",
    secrets: Secrets | None = None,
) -> bytes:
    """Return the bench sheets as one PDF: one a radio in the order in which they go up, then one a spare unit.

    Parameters
    ----------
    site : Site
        The document. Pass phrases and logins are no part of it.
    assessment : Assessment
        Its assessment; the spares are those of its tally.
    paper : {"a4", "letter"}
        Paper size; the live width of 180 mm is the same on both.
    secrets : Secrets or None
        What is to be printed on the lines of pass phrases and logins; None leaves them blank.

    Returns
    -------
    bytes
        The PDF; the same site gives the same bytes on any day.

    Raises
    ------
    InternalError
        A sheet could not be set.
    """
    sources = Sources(site, assessment)
    known = secrets if secrets is not None else Secrets()
    rows = sorted(assessment.radios, key=lambda row: (row.sheet_number, row.id))
    sheets = [_sheet(sources, row, index, len(rows), known) for index, row in enumerate(rows, start=1)]
    data = {
        "title": f"Bench sheets, {assessment.site}",
        "doc": document(
            title_of(sources, "Bench sheet", "", "", "for work"), paper=paper, broad=False, subject_head="RADIO"
        ),
        "sheets": [*sheets, *_spare_sheets(sources)],
    }
    return press("bench", data)


def _sheet(sources: Sources, row: RadioRow, index: int, total: int, secrets: Secrets) -> dict[str, Any]:
    mount = sources.mounts[row.mount]
    far = ", ".join(sources.name(key) for key in row.far_ends) or "no far end yet"
    stops = any(finding.severity == "stop" and finding.accepted is None for finding in sources.findings_of(row))
    network, air = settings_of(sources, row, secret_of(secrets, row.id))
    radio = sources.drawn_radios[row.id]
    return {
        "name": row.label,
        "document": "BENCH SHEET",
        "sheet": f"{index} of {total}",
        "what": f"{row.gear_name}, {'access point' if row.role == 'access_point' else 'station'}",
        "where": f"goes to {mount.structure_name or mount.name}, climb {row.climb_order}",
        "note": f"works with {far}",
        "status": "held" if stops else "for work",
        "tables": [_settings_table("THE UNIT", network), _settings_table("THE RADIO", air)],
        "boxes": [
            ["SERIAL NUMBER, TYPED BACK", 60, radio.serial],
            ["HARDWARE ADDRESS, WIRE", 60, radio.hardware_address],
            ["HARDWARE ADDRESS, RADIO", 60, ""],
        ],
        "proofs": table_data(_proof_table(sources, row), UPRIGHT_MM),
        "passed": _passed_boxes(),
        "lines": [
            *_stop_lines(sources, row),
            *change_order_lines(sources, row),
            *_type_lines(sources, row),
            *_evidence_lines(sources, row),
        ],
        "label": asdict(label_of(sources, row)),
        "foot": _label_foot(sources),
    }


def _label_foot(sources: Sources) -> str:
    found = sources.assessment
    return f"{found.site}, revision {found.revision}, {found.checksum}"


def _passed_boxes() -> list[list[Any]]:
    return [["BENCH PASSED BY", 60, ""], ["DATE AND TIME", 48, ""], ["SIGNATURE", 72, ""]]


def _settings_table(head: str, settings: tuple[tuple[str, str | None], ...]) -> Table | dict[str, Any]:
    table = Table(
        columns=(
            Column((head,), 31, wraps=True),
            Column(("SET TO",), 49, bold=True, rule=True, wraps=True),
            Column(("SET",), 10, "middle", rule=True),
        ),
        groups=(Group("", tuple(_setting_cells(name, value) for name, value in settings)),),
        row_mm=5.4,
        head_mm=5.6,
    )
    return table_data(table, _HALF_MM)


def _setting_cells(name: str, value: str | None) -> tuple[Cell, ...]:
    return Words(name), Empty(_BOX_MM) if value is None else Words(value, lines=_ALL), Tick()


def _proof_table(sources: Sources, row: RadioRow) -> Table:
    return Table(
        columns=(
            Column(("PROOF ON THE BENCH",), 88, wraps=True),
            Column(("RIGHT IF",), 48, rule=True, wraps=True),
            Column(("READ",), 34, rule=True),
            Column(("OK",), 10, "middle", rule=True),
        ),
        groups=(
            Group(
                "",
                tuple(
                    (
                        Words(proof.text, lines=_ALL),
                        Words(proof.right, lines=_ALL),
                        Empty(17, proof.unit) if proof.unit else Words(""),
                        Tick(),
                    )
                    for proof in proofs_of(sources, row)
                ),
            ),
        ),
        row_mm=5.4,
        head_mm=5.6,
    )


def _stop_lines(sources: Sources, row: RadioRow) -> list[str]:
    return [
        f"Held by finding {finding.number}: {finding.message}"
        for finding in sources.findings_of(row)
        if finding.severity == "stop" and finding.accepted is None
    ]


def _type_lines(sources: Sources, row: RadioRow) -> list[str]:
    """Return what the bench must know about this type."""
    found = sources.radio_type(row)
    return [f"Mind: {found.setup_note}"] if found is not None and found.setup_note else []


def _evidence_lines(sources: Sources, row: RadioRow) -> list[str]:
    """Return the last bench proof that was recorded."""
    proofs = [proof for proof in sources.site.evidence.bench if proof.radio == row.id]
    if not proofs:
        return []
    last = max(proofs, key=lambda proof: proof.at)
    result = "passed" if last.passed else "did not pass"
    revision = f", revision {last.revision}" if last.revision else ""
    serial = f", serial {last.serial}" if last.serial else ""
    return [f"Recorded: {result} on {last.at.date().isoformat()}, by {last.by}{revision}{serial}."]


def _spare_sheets(sources: Sources) -> Iterator[dict[str, Any]]:
    """One sheet a spare unit: what it can stand in for, and the three fields to change."""
    by_gear: dict[str, list[RadioRow]] = {}
    for row in sources.assessment.radios:
        by_gear.setdefault(row.gear, []).append(row)
    for line in sources.assessment.tally:
        rows = by_gear.get(line.gear or "", [])
        for index in range(1, int(line.spare) + 1 if rows else 1):
            yield _spare_sheet(sources, rows, index, int(line.spare))


def _spare_sheet(sources: Sources, rows: list[RadioRow], index: int, total: int) -> dict[str, Any]:
    reasons = spare_reasons(sources, rows)
    words = "; ".join(f"{reason[0].lower()}{reason[1:]}" for reason, _ in reasons)
    name = rows[0].gear_name
    return {
        "name": "SPARE",
        "document": "BENCH SHEET",
        "sheet": f"spare {index} of {total}",
        "what": f"{name}, spare unit",
        "where": f"stands in for {len(rows)} radio{'' if len(rows) == 1 else 's'} of this type",
        "note": "Set it up as any one of them; in need change its label, address and lock.",
        "status": "for work",
        "tables": [table_data(_spare_table(sources, reasons), UPRIGHT_MM)],
        "boxes": [
            ["SERIAL NUMBER, TYPED BACK", 60, ""],
            ["HARDWARE ADDRESS, WIRE", 60, ""],
            ["HARDWARE ADDRESS, RADIO", 60, ""],
        ],
        "proofs": None,
        "passed": _passed_boxes(),
        "lines": [
            f"Spare for {words}.",
            "Prove it as its type: paired with its far end at the least power, ten minutes of throughput, restart, "
            "cold start on the injector that it will have.",
            "The far end's lock must take the spare's own hardware address before it pairs.",
        ],
        "label": asdict(
            Label("SPARE", name.upper(), "stands in for ______________________", "label anew when it hangs", "")
        ),
        "foot": _label_foot(sources),
    }


def _spare_table(sources: Sources, reasons: list[tuple[str, list[RadioRow]]]) -> Table:
    return Table(
        columns=(
            Column(("FOR",), 24, bold=True),
            Column(("ADDRESS",), 40, rule=True),
            Column(("LOCK TO",), 44, rule=True, wraps=True),
            Column(("NETWORK NAME",), 32, rule=True),
            Column(("CHANNEL",), 20, "right", rule=True),
            Column(("POWER", "dBm"), 20, "right", rule=True),
        ),
        groups=tuple(Group(reason, tuple(_spare_cells(sources, row) for row in rows)) for reason, rows in reasons),
        row_mm=6.2,
        head_mm=9.0,
    )


def _spare_cells(sources: Sources, row: RadioRow) -> tuple[Cell, ...]:
    network, air = settings_of(sources, row, secret_of(Secrets(), row.id))
    values = dict(network) | dict(air)
    lock, address, name = values["lock to far end"], values["its own address"], values["network name"]
    far = ", ".join(sources.name(key) for key in row.far_ends)
    channel: Cell = Empty(10) if row.channel is None else Words(f"{row.channel}/{row.width_mhz:g}")
    power: Cell = Empty(10)
    if row.tx_power_total_dbm is not None:
        power = Words(number(row.tx_power_total_dbm, 0))
    return (
        Words(row.label),
        Empty(34) if address is None else Words(address),
        Words(lock, lines=_ALL) if lock is not None else Words(f"the address of {far}" if far else "none", lines=_ALL),
        Empty(26) if name is None else Words(name),
        channel,
        power,
    )
