"""The hop schedule: figures as an installer reads them, flags in their shapes, nothing cut, nothing split."""

from __future__ import annotations

import csv
import io
import re

import pytest

from survey_app.paper.rounding import tenths
from survey_app.paper.schedule import schedule_csv, schedule_pdf
from survey_app.paper.schedule_rows import clear_words, hops_by_cell
from survey_app.paper.sources import Sources
from tests.paper.demo_site import demo
from tests.paper.page_laws import bare, crossed_rules, cut_words, stray_words, touching_words, without_mark
from tests.paper.page_text import page_count, runs_of, words_of
from tests.paper.sample_site import (
    direction_row,
    end_row,
    hop_row,
    radio_row,
    sample_assessment,
    sample_site,
)

HOSTILE = "#set page(width: 1mm) $x^2$ \\ \u202eabc مرحبا 🚧 *b* _i_ @ref <l> " + "w" * 300


def all_words(pdf: bytes) -> str:
    return " ".join(words_of(pdf, page) for page in range(page_count(pdf)))


def table(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def sample_hop(**changes):
    return hop_row("H1", "S1", end_row("A1", 127.64, -2.04), end_row("S1", 307.64, 2.04), 295.4, **changes)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_pages_of_the_demo_sites_keep_the_laws_of_the_page(name, paper):
    site, assessment = demo(name)
    pdf = schedule_pdf(site, assessment, paper)
    assert stray_words(pdf, 249.0, 190.0 if paper == "a4" else 195.9) == []
    assert touching_words(pdf) == []
    assert crossed_rules(pdf) == []
    assert cut_words(pdf) == []
    assert without_mark(pdf, assessment.checksum, "REV.", assessment.site, "HOP SCHEDULE") == []


def test_every_hop_route_and_flag_note_of_the_demo_sites_is_printed():
    for name in ("boatyard", "college", "mill"):
        site, assessment = demo(name)
        printed = bare(all_words(schedule_pdf(site, assessment)))
        assert all(bare(hop.id) in printed for hop in assessment.hops)
        assert all(f"{leg.kind}{leg.id}" in printed for route in assessment.routes for leg in route.legs)
        about = {hop.id for hop in assessment.hops} | {radio.id for radio in assessment.radios}
        assert all(bare(finding.message) in printed for finding in assessment.findings if finding.subject in about)


def test_magnetic_is_printed_true_minus_printed_declination_at_both_ends():
    site, assessment = demo("boatyard")
    for row in table(schedule_csv(site, assessment)):
        for end in ("from access point", "from station"):
            true, magnetic = (float(row[f"{end} bearing {north} deg"]) for north in ("true", "magnetic"))
            assert tenths((magnetic - true) % 360.0) == 146


def test_words_stand_in_the_column_of_clearance_where_nobody_checked():
    assert clear_words(sample_hop(budget_basis="checked", fresnel_clearance_ratio=0.912)) == "0.91"
    assert (
        clear_words(sample_hop(budget_basis="checked", fresnel_clearance_ratio=0.912, sight_checked="not_tried"))
        == "0.91, not seen"
    )
    assert clear_words(sample_hop(budget_basis="checked", fresnel_clearance_ratio=None)) == "open"
    assert clear_words(sample_hop(sight_checked="not_tried")) == "1.90, not seen"
    nothing = {"fresnel_clearance_ratio": None}
    assert clear_words(sample_hop(**nothing, sight_checked="not_tried")) == "not checked"
    assert clear_words(sample_hop(**nothing, sight_checked="not_seen")) == "not seen"
    assert clear_words(sample_hop(**nothing)) == "seen"
    assert clear_words(sample_hop(line_of_sight=False)) == "cut"


def test_clearance_has_what_is_nearest_and_where_under_it_and_the_paper_says_what_it_was_held_against():
    site, assessment = demo("boatyard")
    printed = bare(all_words(schedule_pdf(site, assessment)))
    assert bare("Paint shed 41") in printed
    assert bare("1.72, not seen") in printed
    assert bare("U: flat ground, what is drawn; walk of 2026-10-22; G: flat ground, what is drawn.") in printed
    row = next(row for row in table(schedule_csv(site, assessment)) if row["hop"] == "S-B")
    assert (row["clear"], row["nearest"], row["nearest at m"]) == ("0.56", "Paint shed", "40.9")


def test_hop_that_is_cut_names_what_cuts_it():
    site = sample_site()
    hop = sample_hop(line_of_sight=False, cut_at_m=120.0, cut_by="ground")
    ((_, (row,)),) = hops_by_cell(Sources(site, sample_assessment(site, hops=(hop,))))
    assert (row.clear, row.clear_by, row.clear_at_m) == ("cut", "ground", 120.0)


def test_weaker_direction_counts_for_rate_and_margin():
    site = sample_site()
    hop = sample_hop()
    weak = direction_row(throughput_alone_mbps=41.4, margin_at_needed_rate_db=7.25)
    hop = hop.model_copy(update={"directions": hop.directions.model_copy(update={"to_station": weak})})
    ((_, (row,)),) = hops_by_cell(Sources(site, sample_assessment(site, hops=(hop,))))
    assert (row.mbps, row.margin_db, row.carries) == (41.4, 7.25, "known")


def test_hop_that_carries_no_rate_says_none_and_unknown_budget_leaves_boxes_with_a_sentence():
    site = sample_site()
    dead = direction_row(mcs=None, throughput_alone_mbps=None, margin_at_needed_rate_db=None)
    hop = sample_hop(line_of_sight=False)
    hop = hop.model_copy(update={"directions": hop.directions.model_copy(update={"to_station": dead})})
    words = all_words(schedule_pdf(site, sample_assessment(site, hops=(hop,))))
    assert "cut none none none none" in words
    blind = direction_row(snr_db=None, mcs=None, throughput_alone_mbps=None, margin_at_needed_rate_db=None)
    hop = sample_hop(channel=None)
    hop = hop.model_copy(update={"directions": hop.directions.model_copy(update={"to_station": blind})})
    words = all_words(schedule_pdf(site, sample_assessment(site, hops=(hop,))))
    assert "Empty box, H1:" in words
    assert "none" not in words.split("H1", 1)[1].split("Empty box")[0]


def test_flags_stand_as_shapes_with_the_numbers_of_the_site():
    site, assessment = demo("college")
    pdf = schedule_pdf(site, assessment)
    runs = [run for page in range(page_count(pdf)) for run in runs_of(pdf, page) if run.left > 235.0]
    numbers = {int(run.text) for run in runs if run.text.strip().isdigit() and run.left > 255.0}
    about = {hop.id for hop in assessment.hops} | {radio.id for radio in assessment.radios}
    assert numbers <= {f.number for f in assessment.findings}
    assert {f.number for f in assessment.findings if f.subject in about} <= numbers


def test_unanchored_site_counts_from_plan_north_and_says_so():
    site = sample_site()
    found = sample_assessment(site)
    north = found.north.model_copy(update={"anchored": False, "declination_deg": None})
    blind = end_row("A1", 127.64, -2.04, bearing_true_deg=None, bearing_magnetic_deg=None)
    hop = hop_row("H1", "S1", blind, end_row("S1", 307.64, 2.04, bearing_true_deg=None), 295.4)
    found = sample_assessment(site, north=north, hops=(hop,))
    words = all_words(schedule_pdf(site, found))
    assert "PLAN" in words
    assert "TRUE" not in words
    assert "127.6° none" in words
    assert "no anchor" in words


def test_feet_stand_under_metres_alone_or_not_at_all_as_the_site_asks():
    words = {units: all_words(schedule_pdf(*demo("boatyard", units))) for units in ("metric", "feet", "both")}
    assert "142.6" in words["metric"]
    assert "468" not in words["metric"]
    assert "142.6" not in words["feet"]
    assert "468" in words["feet"]
    assert "142.6 468 ft" in words["both"]


def test_hostile_names_are_printed_and_never_run():
    site = sample_site(name=HOSTILE[:300])
    found = sample_assessment(site)
    radios = tuple(row.model_copy(update={"label": HOSTILE[:300]}) for row in found.radios)
    cut = tuple(f.model_copy(update={"message": HOSTILE * 4}) for f in found.findings)
    pdf = schedule_pdf(site, sample_assessment(site, radios=radios, findings=cut))
    assert stray_words(pdf, 249.0, 190.0) == []
    assert touching_words(pdf) == []
    assert crossed_rules(pdf) == []
    assert "#set page(width: 1mm)" in all_words(pdf)


def test_rows_are_never_split_and_heads_repeat_on_later_pages():
    site = sample_site()
    hops = tuple(
        hop_row(f"H{n}", "S1", end_row("A1", 127.64, -2.04), end_row("S1", 307.64, 2.04), 295.4) for n in range(90)
    )
    pdf = schedule_pdf(site, sample_assessment(site, hops=hops))
    assert page_count(pdf) >= 4
    for page in range(3):
        words = words_of(pdf, page)
        assert "MAGNETIC" in words
        assert "Cell A1" in words
        for n in re.findall(r"\bH\d+ A1 S1 295\.4 [^H]*", words):
            assert "310 19.6" in n
    assert sorted({int(n) for n in re.findall(r"\bH(\d+)\b", all_words(pdf))}) == list(range(90))


def test_route_over_a_leg_that_nobody_knows_names_no_narrowest_leg():
    site, assessment = demo("mill")
    unknown = [row for row in assessment.routes if any(leg.carries_mbps is None for leg in row.legs)]
    assert unknown
    words = all_words(schedule_pdf(site, assessment))
    for row in unknown:
        after = words.split(f"{row.camera} wire", 1)[1].split("cam-", 2)
        assert f"{row.head_end} {row.demand_mbps:.1f} {row.night_demand_mbps:.1f}" in "cam-".join(after[:2])
    assert "Routes, empty box:" in words


def test_csv_rows_are_the_rows_of_the_paper_with_numbers_as_numbers():
    site, assessment = demo("college", "metric")
    rows = table(schedule_csv(site, assessment))
    assert [row["hop"] for row in rows] == [
        hop.hop for _, hops in hops_by_cell(Sources(site, assessment)) for hop in hops
    ]
    first = rows[0]
    assert float(first["distance m"]) == pytest.approx(60.0)
    assert float(first["from access point tilt deg, down negative"]) == pytest.approx(-19.3)
    assert "distance ft" not in first
    assert "distance ft" in table(schedule_csv(*demo("college", "both")))[0]


def test_csv_text_never_starts_a_formula():
    site = sample_site()
    label = '=HYPERLINK("http://x")'
    rows = tuple(radio_row(row.id, label=label) for row in sample_assessment(site).radios)
    text = schedule_csv(site, sample_assessment(site, radios=rows))
    assert table(text)[0]["access point"] == f"'{label}"


def test_same_site_gives_the_same_bytes():
    site, assessment = demo("boatyard")
    assert schedule_pdf(site, assessment) == schedule_pdf(site, assessment)
    assert schedule_csv(site, assessment) == schedule_csv(site, assessment)


def test_empty_site_says_so():
    site = sample_site(radios=(), hops=())
    pdf = schedule_pdf(site, sample_assessment(site, radios=(), hops=(), cells=(), routes=(), findings=()))
    assert "No hop is drawn yet." in all_words(pdf)


def test_held_design_says_held():
    site, assessment = demo("college")
    assert "Hop schedule, held" in words_of(schedule_pdf(site, assessment))
