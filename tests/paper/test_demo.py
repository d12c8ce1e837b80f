"""The whole paper set of the demo sites: a page a radio, nothing over anything else, printed sums that add up."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.data import demo_sites_folder
from survey_app.paper.mounting import mounting_pdf
from survey_app.paper.mounting_build import mounting_views
from survey_app.paper.paper_set import PAPER_FILES
from survey_app.paper.rounding import tenths
from survey_app.site.file import read_site
from survey_app.site.site import Site
from tests.paper.page_text import page_count, runs_of

DEMOS = ("boatyard/site.json", "college/alternatives/omni.json", "mill/site.json")


@pytest.fixture(scope="module", params=DEMOS)
def job(request) -> tuple[Site, Assessment]:
    site = read_site(Path(demo_sites_folder()) / request.param)
    return site, assess(site)


def clashes(pdf: bytes) -> list[tuple[int, str, str]]:
    found = []
    for page in range(page_count(pdf)):
        pairs = combinations(runs_of(pdf, page), 2)
        found += [(page + 1, a.text, b.text) for a, b in pairs if a.overlaps(b, slack=0.12)]
    return found


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_mounting_sheets_of_a_demo_have_no_words_over_words(job, paper):
    site, assessment = job
    pdf = mounting_pdf(mounting_views(site, assessment), paper)
    assert page_count(pdf) >= len(assessment.radios)
    assert not clashes(pdf)


def test_tables_of_a_demo_have_no_words_over_words(job):
    site, assessment = job
    for name, make in PAPER_FILES.items():
        if name.endswith(".pdf") and not name.startswith("mounting"):
            assert not clashes(make(site, assessment, site.design.paper)), name


def test_printed_bearings_of_a_demo_add_up_on_every_sheet(job):
    site, assessment = job
    declination = assessment.north.declination_deg
    assert declination is not None
    for view in mounting_views(site, assessment):
        figures = {aim.head: aim.value for aim in view.aims if aim.value is not None}
        if "BEARING MAGNETIC" in figures:
            true, magnetic = (tenths(float(figures[f"BEARING {n}"].rstrip("°"))) for n in ("TRUE", "MAGNETIC"))
            assert (true - magnetic - tenths(declination)) % 3600 == 0


def test_sheet_of_a_radio_with_a_stop_is_held_and_no_other(job):
    site, assessment = job
    stops = {
        s
        for f in assessment.findings
        if f.severity == "stop" and not f.accepted
        for s in (f.subject, f.second_subject, *f.concerns)
    }
    for view, row in zip(
        mounting_views(site, assessment), sorted(assessment.radios, key=lambda r: r.sheet_number), strict=True
    ):
        assert (view.stop is not None) == bool(stops & {row.id, row.mount, *row.hops}), row.id
