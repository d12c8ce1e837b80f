"""`check`: findings as they are numbered on paper, figures per hop, and the record."""

from __future__ import annotations

import json
import re
from pathlib import Path

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.site import read_site
from tests.cli.process import Cli


def test_findings_are_numbered_named_and_cured(cli: Cli, college: Path) -> None:
    out = cli("check", college).out
    assessment = assess(read_site(college))
    for finding in assessment.findings:
        assert re.search(rf"^ *{finding.number} {finding.severity} +{re.escape(finding.subject)}", out, re.MULTILINE)
        assert finding.message in out
        for cure in finding.cures:
            assert f"cure: {cure.text}" in out


def test_counts_are_written_out(cli: Cli, boatyard: Path) -> None:
    assessment = assess(read_site(boatyard))
    counts = [assessment.count(word) for word in ("stop", "warn", "note")]
    words = ", ".join(
        f"{n} {word}{'' if n == 1 else 's'}" for n, word in zip(counts, ("stop", "warn", "note"), strict=True)
    )
    assert words in cli("check", boatyard).out.splitlines()


def test_every_hop_has_a_line_of_figures(cli: Cli, boatyard: Path) -> None:
    out = cli("check", boatyard).out
    for hop in assess(read_site(boatyard)).hops:
        assert re.search(
            rf"^{re.escape(hop.id)} +{hop.access_point}, {hop.station} +{hop.distance_m:.0f} ", out, re.MULTILINE
        )


def test_json_is_the_record_and_a_moment(cli: Cli, boatyard: Path) -> None:
    record = json.loads(cli("check", boatyard, "--json").out)
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00", record.pop("generated"))
    assert Assessment.model_validate_json(json.dumps(record)) == assess(read_site(boatyard))


def test_json_of_one_site_is_the_same_but_for_the_moment(cli: Cli, boatyard: Path) -> None:
    first, second = (re.sub(r'"generated": "[^"]+"', "", cli("check", boatyard, "--json").out) for _ in range(2))
    assert first == second


def test_site_may_be_folder_file_or_alternative(cli: Cli, boatyard: Path) -> None:
    assert cli("check", boatyard).out == cli("check", boatyard / "site.json").out
    cured = cli("check", boatyard / "alternatives" / "cured.json")
    assert cured.status == 0
    assert cured.out != cli("check", boatyard).out


def test_every_hop_has_its_clearance_and_what_it_was_held_against(cli: Cli, boatyard: Path) -> None:
    out = cli("check", boatyard).out
    for hop in assess(read_site(boatyard)).hops:
        assert hop.clearance_obstacle is not None
        line = rf"^{re.escape(hop.id)} +none +{hop.clearance_m:.2f} +{hop.fresnel_clearance_ratio:.2f} +"
        assert re.search(rf"{line}{hop.clearance_place_m:.1f} +{hop.clearance_obstacle}", out, re.MULTILINE)
    assert "G: held against flat ground, what is drawn." in out.splitlines()
