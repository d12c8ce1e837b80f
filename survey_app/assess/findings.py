"""Findings: drafts made by the rules, then ids, acceptance and numbers given once for the whole site."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from survey_app.assess.memo import Fresh
from survey_app.assess.record import Acceptance, Cure, CureArgument, Finding, Place, Severity
from survey_app.site.site import AcceptedFinding

__all__ = ["Draft", "cure", "finish", "may_be_accepted", "work_on_site"]

_ORDER: dict[Severity, int] = {"stop": 0, "warn": 1, "note": 2}
_WORSE_ALLOWED = {"dB": 1.0, "dBm": 1.0, "m": 0.1, "1": 0.1}
_WORSE_ALLOWED_PART = 0.1  # of the distance to the limit, for figures of any other unit
_MAY_NOT_BE_ACCEPTED = frozenset(
    {
        "band-not-outdoors",
        "country-elsewhere",
        "mount-refused",
        "no-channel",
        "no-rule-known",
        "over-limit",
        "permission-missing",
        "region-unknown",
        "region-unset",
        "unit-cannot",
        "wet-injector",
        "wrong-supply",
    }
)
"""Codes whose stops are illegal or dangerous."""
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Draft:
    """What a rule says, before it has a number.

    Parameters
    ----------
    code : str
        Code of the rule; its page is `resources/guide/findings/<code>.md`.
    severity : {"stop", "warn", "note"}
        How bad.
    subject, second_subject : str, str or None
        Ids of the things that it is about; they make the finding's id.
    message : str
        What is wrong and by how much, one sentence for people; the subject's id is printed beside it.
    source : str
        Key of shared/references.md.
    value, limit, unit
        The figure that was judged, what it was held against, and their unit.
    hop, radio : str or None
        Where it sorts and on whose sheet it stands.
    concerns : tuple of str
        Everything else that it is about, such as the stations of a cell; it stands on their sheets too.
    edition : str
        Edition of the rule, where a rule has one.
    """

    code: str
    severity: Severity
    subject: str
    message: str
    source: str
    second_subject: str | None = None
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    place: Place | None = None
    cures: tuple[Cure, ...] = ()
    hop: str | None = None
    radio: str | None = None
    concerns: tuple[str, ...] = ()
    edition: str = ""

    @property
    def id(self) -> str:
        """Stable id: code and subjects, never coordinates."""
        tail = f":{self.second_subject}" if self.second_subject else ""
        return f"{self.code}:{self.subject}{tail}"


def cure(text: str, edit: str, /, **arguments: str | float | int | bool | None) -> Cure:
    """Return a cure that is an edit of `survey_app.site.edits`, with its arguments."""
    return Cure(text=text, edit=edit, arguments=tuple(CureArgument(name=k, value=v) for k, v in arguments.items()))


def work_on_site(text: str, evidence: Literal["sight", "reading"] | None = None) -> Cure:
    """Return a cure that is work on site; `evidence` names the record of it that takes the finding away."""
    return Cure(text=text, evidence=evidence)


def may_be_accepted(code: str, severity: Severity) -> bool:
    """Return whether somebody may accept such a finding; what is illegal or dangerous nobody may.

    Examples
    --------
    >>> may_be_accepted("thin-margin", "stop"), may_be_accepted("over-limit", "stop")
    (True, False)
    """
    return not (code in _MAY_NOT_BE_ACCEPTED and severity == "stop")


def _still_accepted(draft: Draft, accepted: AcceptedFinding) -> bool:
    """An acceptance lapses when the severity rises, the figure worsens, or the rule's edition changes."""
    if not may_be_accepted(draft.code, draft.severity):
        return False
    if _ORDER[draft.severity] < _ORDER[accepted.severity] or draft.edition != accepted.edition:
        return False
    if draft.value is None or accepted.value is None:
        return draft.value is None and accepted.value is None
    if draft.limit is None or accepted.limit is None:
        return draft.value == accepted.value
    if draft.unit != accepted.unit:
        return False
    before, now = abs(accepted.value - accepted.limit), abs(draft.value - draft.limit)
    return now <= before + _WORSE_ALLOWED.get(draft.unit, _WORSE_ALLOWED_PART * before) + _ROUNDING


def finish(
    drafts: Iterable[Draft], accepted: Iterable[AcceptedFinding], memo: Fresh | None = None
) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
    """Number the findings and honour acceptances.

    Parameters
    ----------
    drafts : iterable of Draft
        What the rules said; two drafts of one id are an error of the rules.
    accepted : iterable of AcceptedFinding
        The site's acceptances.
    memo : Fresh or None
        What is known from an earlier value of the site; numbers are given anew each time.

    Returns
    -------
    tuple of Finding
        Stops, warns, notes, each by hop then radio id, numbered from 1.
    tuple of str
        Acceptances that no longer hold, in words.
    """
    taken: dict[str, Draft] = {}
    for draft in drafts:
        if draft.id in taken:
            raise ValueError(f"two findings with the id {draft.id}")
        taken[draft.id] = draft
    ordered = sorted(
        taken.values(), key=lambda d: (_ORDER[d.severity], d.hop or "~", d.radio or "~", d.code, d.subject, d.id)
    )
    by_id = {row.finding: row for row in accepted}
    keep = memo or Fresh()
    names = [draft.id for draft in ordered]
    settled = keep.settle("drafts", names, ordered)
    given = [(draft, number, by_id.get(draft.id)) for number, draft in enumerate(settled, start=1)]
    findings = keep.each("findings", names, given, lambda stale: [_finding(*given[n]) for n in stale])
    held = {finding.id for finding in findings if finding.accepted}
    stale = tuple(_stale_words(row, row.finding in taken) for row in by_id.values() if row.finding not in held)
    return tuple(findings), stale


def _finding(draft: Draft, number: int, accepted: AcceptedFinding | None) -> Finding:
    holds = accepted is not None and _still_accepted(draft, accepted)
    return Finding(
        id=draft.id,
        number=number,
        code=draft.code,
        severity=draft.severity,
        subject=draft.subject,
        second_subject=draft.second_subject,
        place=draft.place,
        message=draft.message,
        value=draft.value,
        limit=draft.limit,
        unit=draft.unit,
        source=draft.source,
        edition=draft.edition,
        concerns=draft.concerns,
        cures=draft.cures,
        accepted=Acceptance(by=accepted.by, on=accepted.on, reason=accepted.reason)
        if accepted is not None and holds
        else None,
    )


def _stale_words(row: AcceptedFinding, still_there: bool) -> str:
    when: datetime.date = row.on
    state = "it has become worse, or may not be accepted" if still_there else "it no longer arises"
    return f"{row.finding}: accepted by {row.by} on {when.isoformat()}; {state}"
