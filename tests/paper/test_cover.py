"""The cover: counts in words, findings in full, assumptions, climbs, north, who gets which document."""

from __future__ import annotations

import datetime

import pytest

from survey_app.assess.record import Acceptance, Finding
from survey_app.paper.cover import cover_pdf
from survey_app.paper.cover_rows import counts_in_words, finding_parts, north_words, way_words
from survey_app.paper.sources import Sources
from tests.paper.demo_site import demo
from tests.paper.page_laws import bare, crossed_rules, cut_words, stray_words, touching_words, without_mark
from tests.paper.page_text import page_count, words_of
from tests.paper.sample_site import sample_assessment, sample_site

HIGH = {"a4": 277.0, "letter": 259.4}


def all_words(pdf: bytes) -> str:
    return " ".join(words_of(pdf, page) for page in range(page_count(pdf)))


def finding(number: int, severity: str, **changes) -> Finding:
    fields = {
        "id": f"code:{number}",
        "number": number,
        "code": "code",
        "severity": severity,
        "subject": "H1",
        "message": f"Message {number}.",
        "source": "PRACTICE",
    }
    return Finding(**(fields | changes))


def cover(**changes) -> str:
    site = sample_site()
    return all_words(cover_pdf(site, sample_assessment(site, **changes)))


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_pages_of_the_demo_sites_keep_the_laws_of_the_page(name, paper):
    site, assessment = demo(name)
    pdf = cover_pdf(site, assessment, paper)
    assert stray_words(pdf, 180.0, HIGH[paper]) == []
    assert touching_words(pdf) == []
    assert crossed_rules(pdf) == []
    assert cut_words(pdf) == []
    assert without_mark(pdf, assessment.checksum, "REV.", assessment.site) == []


@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_cover_says_which_design_it_is_and_how_it_stands(name):
    site, assessment = demo(name)
    words = all_words(cover_pdf(site, assessment))
    for part in (
        assessment.checksum,
        assessment.rules_edition,
        assessment.program_version,
        counts_in_words(assessment),
        "WHO GETS WHAT",
        "Local codes and licensed practice come first.",
    ):
        assert part in words
    printed = bare(words)
    for row in assessment.findings:
        assert bare(row.subject) in printed
        assert bare(row.message) in printed
        assert all(bare(cure.text) in printed for cure in row.cures)
    assert all(bare(sentence) in printed for sentence in assessment.assumptions)
    assert all(bare(climb.name) in printed and bare(climb.key) in printed for climb in assessment.climbs)
    held = any(f.severity == "stop" and f.accepted is None for f in assessment.findings)
    assert ("THIS DESIGN IS HELD" in words) == held
    assert ("FOR WORK" in words) != held


def test_counts_are_written_out_with_those_accepted():
    accepted = Acceptance(by="The owner", on=datetime.date(2026, 11, 3), reason="It is mown.")
    rows = (finding(1, "stop"), finding(2, "warn", accepted=accepted), finding(3, "warn"), finding(4, "note"))
    site = sample_site()
    assert counts_in_words(sample_assessment(site, findings=rows)) == "1 stop, 2 warns, 1 note; 1 accepted"


def test_finding_has_fault_bold_cure_plain_source_italic_and_who_accepted_it():
    accepted = Acceptance(by="The owner", on=datetime.date(2026, 11, 3), reason="It is mown.")
    row = finding(2, "warn", second_subject="S1", source="F1336", accepted=accepted)
    parts = finding_parts(row)
    assert parts[0] == ("H1, S1: Message 2.", True, False)
    assert parts[1] == ("Accepted by The owner, 2026-11-03: It is mown.", False, False)
    assert parts[2][0].startswith("Recommendation F.1336")
    assert parts[2][1:] == (False, True)
    assert "Accepted by The owner, 2026-11-03: It is mown." in cover(findings=(row,))


def test_accepted_stop_does_not_hold_the_design():
    accepted = Acceptance(by="The owner", on=datetime.date(2026, 11, 3), reason="For a week.")
    assert "FOR WORK" in cover(findings=(finding(1, "stop", accepted=accepted),))
    words = cover(findings=(finding(1, "stop"), finding(2, "stop", accepted=accepted)))
    assert "1 finding stops this design." in words


def test_stale_acceptances_are_said():
    words = cover(stale_acceptances=("code:H9: accepted by X on 2026-01-01; it no longer arises",))
    assert "ACCEPTANCES THAT NO LONGER HOLD" in words
    assert "code:H9: accepted by X on 2026-01-01; it no longer arises." in words
    assert "ACCEPTANCES THAT NO LONGER HOLD" not in cover()


def test_north_says_how_a_compass_differs_or_why_it_may_not_be_used():
    site = sample_site()
    found = sample_assessment(site)
    assert north_words(Sources(site, found)).startswith("True north. Magnetic = true plus 14.6° (14.6° W, sigma 0.4°")
    refused = found.north.model_copy(update={"declination_deg": None, "sentence": "The model ended in 2030."})
    assert north_words(Sources(site, sample_assessment(site, north=refused))) == (
        "True north. No magnetic bearing: The model ended in 2030."
    )
    plan = found.north.model_copy(update={"anchored": False})
    assert north_words(Sources(site, sample_assessment(site, north=plan))).startswith("Plan north:")


def test_climbs_stand_in_their_order_with_way_reach_and_key():
    site, assessment = demo("boatyard")
    words = all_words(cover_pdf(site, assessment))
    names = [climb.name for climb in assessment.climbs]
    places = [words.find(name.split(" ", 1)[0]) for name in names[:1]]
    assert places[0] > 0
    first = assessment.climbs[0]
    assert way_words(first, feet=False).replace("\xa0", " ") == "ladder to 6.7 m"
    assert way_words(first, feet=True).replace("\xa0", " ") == "ladder to 6.7 m, 22 ft 0 in"
    assert way_words(first.model_copy(update={"way": "unknown"}), feet=True) is None


def test_names_that_are_long_or_look_like_markup_break_nothing():
    site = sample_site(name="#set page(width: 1mm) $x$ \\ مرحبا 🚧 " + "W" * 200)
    message = "#let a = 1 $ \\ שלום 🚧 " + "W" * 600
    rows = tuple(finding(n, "warn", message=message) for n in range(1, 130))
    found = sample_assessment(site, findings=rows)
    climbs = tuple(climb.model_copy(update={"name": message[:300], "key": message[:300]}) for climb in found.climbs)
    pdf = cover_pdf(site, sample_assessment(site, findings=rows, climbs=climbs))
    assert stray_words(pdf, 180.0, 277.0) == []
    assert touching_words(pdf) == []
    assert "#let a = 1 $" in words_of(pdf, 1)


def test_same_site_gives_the_same_bytes_and_an_empty_one_says_so():
    site, assessment = demo("college")
    assert cover_pdf(site, assessment) == cover_pdf(site, assessment)
    assert "No finding." in cover(findings=(), climbs=())
