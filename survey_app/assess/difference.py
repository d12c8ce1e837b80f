"""What changed between two assessments of one job: the report of an edit, of a revision, of an alternative."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from survey_app.assess.record import Assessment, Finding, HopRow, RadioRow
from survey_app.site.record import Record

__all__ = ["Difference", "Fell", "difference"]

_LEAST = 1e-9


class Fell(Record):
    """A figure that is lower than before."""

    id: str
    quantity: str
    before: float
    after: float
    unit: str
    why: str


class Difference(Record):
    """What is other in the second assessment; every tuple is sorted by id.

    `limits_fell` and `rates_fell` name figures that went down, `new_findings` and `gone_findings` are those of the
    second and of the first assessment, `sheets_to_reprint` the radios whose page shows another figure than before.
    """

    added: tuple[str, ...]
    removed: tuple[str, ...]
    limits_fell: tuple[Fell, ...]
    rates_fell: tuple[Fell, ...]
    new_findings: tuple[Finding, ...]
    gone_findings: tuple[Finding, ...]
    sheets_to_reprint: tuple[str, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """The difference in words, the gravest first, and which sheets are old."""
        old = f"Sheets to reprint: {', '.join(self.sheets_to_reprint)}."
        return (*self.changes, old) if self.sheets_to_reprint else self.changes

    @property
    def changes(self) -> tuple[str, ...]:
        """What is other, in words, the gravest first."""
        told = [f"New {row.severity}: {row.subject}: {row.message}" for row in self.new_findings]
        told += [
            f"{row.id}: {row.quantity} falls from {row.before:.1f} to {row.after:.1f} {row.unit}. {row.why}".strip()
            for row in (*self.limits_fell, *self.rates_fell)
        ]
        told += [f"Gone: {row.severity}: {row.subject}: {row.message}" for row in self.gone_findings]
        return tuple(told)


def difference(before: Assessment, after: Assessment) -> Difference:
    """Return what changed from one assessment to another.

    Parameters
    ----------
    before, after : Assessment
        Two assessments of one job.
    """
    radios = {row.id: row for row in before.radios}, {row.id: row for row in after.radios}
    hops = {row.id: row for row in before.hops}, {row.id: row for row in after.hops}
    named = {_key(row) for row in before.findings}, {_key(row) for row in after.findings}
    ids = _ids(before), _ids(after)
    return Difference(
        added=tuple(sorted(ids[1] - ids[0])),
        removed=tuple(sorted(ids[0] - ids[1])),
        limits_fell=_fell(
            radios, "power limit", "dBm EIRP", lambda row: row.eirp_limit_dbm, lambda row: row.limit_sentence
        ),
        rates_fell=(
            *_fell(
                hops, "rate to the access point", "Mbit/s", lambda row: row.directions.to_access_point.phy_rate_mbps
            ),
            *_fell(hops, "rate to the station", "Mbit/s", lambda row: row.directions.to_station.phy_rate_mbps),
        ),
        new_findings=tuple(row for row in after.findings if _key(row) not in named[0]),
        gone_findings=tuple(row for row in before.findings if _key(row) not in named[1]),
        sheets_to_reprint=_reprinted(before, after),
    )


def _key(finding: Finding) -> tuple[str, str]:
    return finding.id, finding.severity


def _ids(assessment: Assessment) -> set[str]:
    rows: Iterable[Any] = (
        *assessment.mounts,
        *assessment.radios,
        *assessment.hops,
        *assessment.cameras,
        *assessment.wires,
    )
    return {row.id for row in rows}


def _fell(
    rows: tuple[Mapping[str, Any], Mapping[str, Any]],
    quantity: str,
    unit: str,
    figure: Callable[[Any], float | None],
    why: Callable[[Any], str] = lambda _row: "",
) -> tuple[Fell, ...]:
    found = []
    for key in sorted(rows[0].keys() & rows[1].keys()):
        was, now = figure(rows[0][key]), figure(rows[1][key])
        if was is not None and now is not None and now < was - _LEAST:
            found.append(Fell(id=key, quantity=quantity, before=was, after=now, unit=unit, why=why(rows[1][key])))
    return tuple(found)


def _reprinted(before: Assessment, after: Assessment) -> tuple[str, ...]:
    def page(assessment: Assessment) -> dict[str, tuple[RadioRow, tuple[HopRow, ...], tuple[tuple[int, str], ...]]]:
        hops = {row.id: row for row in assessment.hops}
        flags: dict[str, list[tuple[int, str]]] = {}
        for row in assessment.findings:
            for subject in {row.subject, row.second_subject, *(row.concerns if row.severity == "stop" else ())}:
                if subject is not None:
                    flags.setdefault(subject, []).append((row.number, row.message))
        return {
            row.id: (
                row,
                tuple(hops[key] for key in row.hops),
                tuple(flag for key in (row.id, row.mount, *row.hops) for flag in flags.get(key, ())),
            )
            for row in assessment.radios
        }

    old, new = page(before), page(after)
    return tuple(sorted(key for key, shown in new.items() if old.get(key) != shown))
