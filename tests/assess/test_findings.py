"""Findings are numbered once for the whole site; acceptances hold until what they judged changes."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from survey_app.assess.findings import Draft, finish
from survey_app.assess.record import Finding
from survey_app.site.edits import accept_finding, perform
from survey_app.site.site import AcceptedFinding
from tests.assess.rule_case import assessed
from tests.plot import one_hop, sector

DAY = datetime.date(2026, 11, 30)
THIN = Draft("thin-margin", "warn", "H", "9.0 dB.", "PRACTICE", value=9.0, limit=10.0, unit="dB", hop="H")


def accepted_as(draft: Draft, **more: object) -> AcceptedFinding:
    """Return the acceptance of a draft as it stands."""
    fields = {
        "finding": draft.id,
        "reason": "agreed with the owner",
        "by": "A. Owner",
        "on": DAY,
        "severity": draft.severity,
        "value": draft.value,
        "limit": draft.limit,
        "unit": draft.unit,
        "edition": draft.edition,
    }
    return AcceptedFinding.model_validate({**fields, **more})


def holds(before: Draft, after: Draft) -> bool:
    """Return whether the acceptance of one draft still holds for another; it is stale exactly where it does not."""
    findings, stale = finish([after], [accepted_as(before)])
    assert bool(stale) == (findings[0].accepted is None)
    return findings[0].accepted is not None


def test_numbers_when_given_follow_severity_then_hop_then_radio() -> None:
    drafts = [
        Draft("a", "note", "n", "1.", "PRACTICE"),
        Draft("b", "warn", "w2", "1.", "PRACTICE", hop="H2"),
        Draft("c", "warn", "w1", "1.", "PRACTICE", hop="H1", radio="R9"),
        Draft("c", "warn", "w0", "1.", "PRACTICE", hop="H1", radio="R1"),
        Draft("d", "warn", "site", "1.", "PRACTICE"),
        Draft("e", "stop", "s", "1.", "PRACTICE", radio="R5"),
    ]
    findings, _ = finish(drafts, ())
    assert [row.subject for row in findings] == ["s", "w0", "w1", "w2", "site", "n"]
    assert [row.number for row in findings] == [1, 2, 3, 4, 5, 6]
    turned, _ = finish(reversed(drafts), ())
    assert turned == findings


def test_two_drafts_of_one_id_are_an_error_of_the_rules() -> None:
    with pytest.raises(ValueError, match="thin-margin:H"):
        finish([THIN, THIN], ())


@pytest.mark.parametrize(
    ("unit", "before", "limit", "still", "no_more"),
    [
        ("dB", 9.0, 10.0, 8.0, 7.99),  # a decibel
        ("dBm", -33.0, -35.0, -32.0, -31.99),
        ("m", 9.0, 10.0, 8.9, 8.89),  # a tenth of a metre
        ("1", 0.70, 0.60, 0.80, 0.81),  # a tenth of the zone, or of a load
        ("°", 6.0, 5.0, 6.1, 6.11),  # else a tenth of the distance to the limit
    ],
)
def test_acceptance_when_the_figure_worsens_holds_only_so_far(
    unit: str, before: float, limit: float, still: float, no_more: float
) -> None:
    draft = replace(THIN, unit=unit, value=before, limit=limit)
    assert holds(draft, draft)
    assert holds(draft, replace(draft, value=still))
    assert not holds(draft, replace(draft, value=no_more))
    assert holds(draft, replace(draft, value=limit))


@pytest.mark.parametrize(
    "after",
    [
        replace(THIN, severity="stop"),
        replace(THIN, edition="rules of another year"),
        replace(THIN, value=None),
        replace(THIN, unit="m"),
    ],
    ids=["severity", "edition", "figure unknown", "unit"],
)
def test_acceptance_when_what_it_judged_changes_lapses(after: Draft) -> None:
    assert not holds(THIN, after)


def test_acceptance_when_the_severity_falls_holds() -> None:
    assert holds(THIN, replace(THIN, severity="note"))


@pytest.mark.parametrize("code", ["over-limit", "band-not-outdoors", "mount-refused", "wrong-supply"])
def test_stop_that_is_illegal_or_dangerous_cannot_be_accepted(code: str) -> None:
    draft = replace(THIN, code=code, severity="stop")
    assert not holds(draft, draft)
    assert holds(replace(draft, severity="warn"), replace(draft, severity="warn"))


def test_acceptance_of_what_no_longer_arises_is_said() -> None:
    _, stale = finish([], [accepted_as(THIN)])
    assert stale == ("thin-margin:H: accepted by A. Owner on 2026-11-30; it no longer arises",)


def as_it_stands(finding: Finding) -> AcceptedFinding:
    """Accept a finding with nothing but what the record says."""
    return AcceptedFinding(
        finding=finding.id,
        reason="agreed",
        by="A. Owner",
        on=DAY,
        severity=finding.severity,
        value=finding.value,
        limit=finding.limit,
        unit=finding.unit,
        edition=finding.edition,
    )


def test_finding_of_a_site_when_accepted_keeps_severity_and_name_until_it_worsens() -> None:
    plot = one_hop(channel=104)
    plot.set("cameras", "C1", edge_recording_hours=0.0)
    site = plot.site()
    (wait,) = (row for row in assessed(site).findings if row.code == "radar-wait")
    assert wait.edition
    after = assessed(accept_finding(site, as_it_stands(wait)).after)
    (held,) = (row for row in after.findings if row.code == "radar-wait")
    assert (held.severity, held.accepted is not None, after.stale_acceptances) == ("warn", True, ())
    assert held.accepted is not None
    assert held.accepted.by == "A. Owner"


def test_finding_of_a_site_when_its_load_grows_loses_its_acceptance() -> None:
    site = sector(60.0, 90.0, 120.0, cameras=3).site()
    (full,) = (row for row in assessed(site).findings if row.code == "cell-full")
    site = accept_finding(site, as_it_stands(full)).after
    more = perform(site, "change", {"thing_id": "C1-1", "stream.rate_mbps": 12.0}).after
    found = assessed(more)
    (grown,) = (row for row in found.findings if row.code == "cell-full")
    assert grown.accepted is None
    assert found.stale_acceptances[0].startswith("cell-full:A")
