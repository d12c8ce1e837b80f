"""Schedule, tally, cover and bench sheets: what they say, and how they lie on their pages."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest

from survey_app.assess.record import NullReason, TallyRow
from survey_app.paper.bench import bench_documents
from survey_app.paper.cover import counts_in_words, cover_document
from survey_app.paper.schedule import schedule_document
from survey_app.paper.table_sheet import table_pdf
from survey_app.paper.table_view import Box, Column, Marks, Row, Section, TableDocument
from survey_app.paper.tally import tally_document
from survey_app.site.radio import Radio
from tests.paper.page_text import page_count, runs_of, words_of
from tests.paper.photocopy import DPI, grey, ink_of, photocopy
from tests.paper.sample_site import sample_assessment, sample_site

SITE = sample_site()
ASSESSMENT = sample_assessment(SITE)
PAPERS = ("a4", "letter")
LONG = "Pontoon of the Very Old Harbour Company's Northern Quay #4 $x$ \\ مبنى 🏗 " + "W" * 60


def tally_row(number: int, **changes) -> TallyRow:
    fields = {"item": number, "group": f"Group {number // 9}", "what": LONG if number % 7 == 0 else f"part {number}"}
    fields["for_ids"] = tuple(f"thing-{i}" for i in range(number))
    return ASSESSMENT.tally[0].model_copy(update=fields | changes)


LONG_TALLY = ASSESSMENT.model_copy(update={"tally": tuple(tally_row(n) for n in range(1, 80))})
DOCUMENTS = {
    "schedule": [schedule_document(SITE, ASSESSMENT)],
    "tally": [tally_document(SITE, ASSESSMENT, ("Against revision B: + 1 panel radio.",))],
    "long_tally": [tally_document(SITE, LONG_TALLY)],
    "cover": [cover_document(SITE, ASSESSMENT)],
    "bench": list(bench_documents(SITE, ASSESSMENT)),
}


@pytest.fixture(scope="module")
def pdfs() -> dict[tuple[str, str], bytes]:
    return {(name, paper): table_pdf(documents, paper) for name, documents in DOCUMENTS.items() for paper in PAPERS}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", DOCUMENTS)
def test_words_stay_in_the_frame_and_clear_of_each_other(pdfs, name, paper):
    lying = DOCUMENTS[name][0].landscape
    width = 249.0 if lying else 180.0
    height = {("a4", True): 190.0, ("a4", False): 277.0, ("letter", True): 195.9, ("letter", False): 259.4}[
        paper, lying
    ]
    for page in range(page_count(pdfs[name, paper])):
        runs = runs_of(pdfs[name, paper], page)
        assert not [r.text for r in runs if r.left < 19.9 or r.right > 20.1 + width or r.top < 10.0]
        assert not [r.text for r in runs if r.bottom > 10.0 + height and r.em > 2.5]
        assert not [(a.text, b.text) for a, b in combinations(runs, 2) if a.overlaps(b, slack=0.12)]


@pytest.mark.parametrize("name", ["schedule", "tally", "cover"])
def test_letters_of_tables_survive_a_photocopy(pdfs, name):
    pdf = pdfs[name, "a4"]
    copy, original = photocopy(pdf), grey(pdf, 0, 4 * DPI) < 128
    for run in runs_of(pdf):
        if run.em * 0.76 < 2.45 or not run.text.strip():
            continue
        kept = ink_of(copy, run, DPI) / max(ink_of(original, run, 4 * DPI), 1e-6)
        assert 0.45 < kept < 1.8, run.text


def test_long_tally_repeats_its_head_and_loses_no_row(pdfs):
    pdf = pdfs["long_tally", "letter"]
    pages = [words_of(pdf, page) for page in range(page_count(pdf))]
    assert len(pages) > 2
    assert all("HOW COUNTED" in page for page in pages)
    assert all(f"part {n}" in " ".join(pages) for n in range(1, 80) if n % 7)
    assert f"{len(pages)} / {len(pages)}" in pages[-1]


def test_head_of_a_group_is_never_the_last_line_of_a_page():
    rows = tuple(row for n in range(60) for row in (Row(group=f"group {n}"), Row((f"row {n}",))))
    section = Section("T", "", (Column(("A",), 180.0),), rows, 7.0)
    document = TableDocument((section,), DOCUMENTS["cover"][0].title, landscape=False)
    pdf = table_pdf([document], "letter")
    for page in range(page_count(pdf)):
        words = words_of(pdf, page).split(" SITE ")[0]
        last_group, last_row = words.rfind("group "), words.rfind("row ")
        assert last_group < last_row


def test_same_documents_give_the_same_bytes():
    assert table_pdf(DOCUMENTS["schedule"], "a4") == table_pdf(DOCUMENTS["schedule"], "a4")


def test_empty_site_prints_that_nothing_is_drawn():
    nothing = dict.fromkeys(("radios", "hops", "cells", "routes", "climbs", "findings", "tally", "mounts"), ())
    empty = ASSESSMENT.model_copy(update=nothing)
    words = words_of(table_pdf([schedule_document(SITE, empty)], "a4"))
    assert "No hop is drawn." in words
    assert "No camera is drawn." in words
    assert "Nothing is counted" in words_of(table_pdf([tally_document(SITE, empty)], "a4"))
    assert "No finding." in words_of(table_pdf([cover_document(SITE, empty)], "a4"))
    assert bench_documents(SITE, empty) == ()


def column_of(document: TableDocument, hop: str, number: int) -> object:
    row = next(row for row in document.sections[0].rows if row.cells and row.cells[0] == hop)
    return row.cells[number]


def test_schedule_prints_magnetic_as_true_minus_declination_at_both_ends():
    document = schedule_document(SITE, ASSESSMENT)
    assert [column_of(document, "H1", n) for n in (4, 5, 7, 8)] == ["127.6°", "142.2°", "307.6°", "322.2°"]


def test_schedule_groups_hops_by_cell_with_its_load_in_per_cent():
    groups = [row.group for row in schedule_document(SITE, ASSESSMENT).sections[0].rows if row.group]
    assert groups == ["Cell A1, channel 102, 40 MHz, load 41 %, 2 stations"]


def test_schedule_flags_carry_the_sites_numbers():
    document = schedule_document(SITE, ASSESSMENT)
    marks = column_of(document, "H2", 15)
    assert isinstance(marks, Marks)
    assert [flag.number for flag in marks.flags] == [1]
    assert column_of(document, "H1", 15) == ""


def test_schedule_clearance_is_cut_or_a_figure_or_a_box_or_none():
    def clear(**changes) -> object:
        hop = ASSESSMENT.hops[0].model_copy(update=changes)
        return column_of(
            schedule_document(SITE, ASSESSMENT.model_copy(update={"hops": (hop, ASSESSMENT.hops[1])})), "H1", 11
        )

    reason = NullReason(field="fresnel_clearance_ratio", kind="not_applicable", sentence="Nothing bounds it.")
    assert clear() == "1.90"
    assert clear(line_of_sight=False) == "cut"
    assert clear(fresnel_clearance_ratio=None) == Box("write")
    assert clear(fresnel_clearance_ratio=None, null_reasons=(reason,)) == "none"


def test_schedule_of_an_unanchored_site_heads_its_bearings_with_plan():
    north = ASSESSMENT.north.model_copy(
        update={"anchored": False, "declination_deg": None, "sentence": "Every bearing counts from plan north."}
    )
    document = schedule_document(SITE, ASSESSMENT.model_copy(update={"north": north}))
    assert document.sections[0].columns[4].head == ("PLAN",)
    assert document.sections[0].lines[0].startswith("Every bearing counts from plan north.")


def test_tally_cells_keep_whole_numbers_whole_and_sum_nothing():
    row = tally_row(1, need=10.5, spare=0.0, order=10.5, what="mount and aim a radio")
    document = tally_document(SITE, ASSESSMENT.model_copy(update={"tally": (row,)}))
    line = document.sections[0].rows[1].cells
    assert line[4:7] == ("10.5", "0", "10.5")


def test_tally_of_many_ids_says_how_many_there_are_in_all():
    row = tally_row(40)
    document = tally_document(SITE, ASSESSMENT.model_copy(update={"tally": (row,)}))
    assert str(document.sections[0].rows[1].cells[2]).endswith("… 40\xa0in\xa0all")


def test_cover_writes_counts_out_and_lists_every_finding_with_its_cure():
    assert counts_in_words(ASSESSMENT) == "0 stops, 1 warn, 1 note"
    rows = cover_document(SITE, ASSESSMENT).sections[2].rows
    assert [row.cells[1] for row in rows] == ["H2", "A1"]
    assert rows[0].cells[3] == "Look along it with a lamp."


def test_cover_lists_climbs_in_their_order_with_what_hangs_there():
    rows = cover_document(SITE, ASSESSMENT).sections[1].rows
    assert [(row.cells[0], row.cells[4]) for row in rows] == [("1", "A1, S2"), ("2", "S1")]


def settings(radio: str, **changes) -> dict[str, object]:
    site = SITE
    if changes:
        drawn = tuple(Radio(**(dict(r) | changes)) if r.id == radio else r for r in SITE.design.radios)
        site = sample_site(radios=drawn)
    document = next(d for d in bench_documents(site, ASSESSMENT) if d.title.subject == radio)
    return {str(row.cells[0]): row.cells[1] for row in document.sections[0].rows}


def test_bench_sheet_leaves_a_blank_line_for_secrets():
    assert settings("S1")["login and pass phrase"] == Box("write")


def test_bench_sheet_of_a_station_takes_the_network_name_of_its_access_point():
    site = sample_site(
        radios=(Radio(**(dict(SITE.design.radios[0]) | {"network_name": "k-102"})), *SITE.design.radios[1:])
    )
    document = next(d for d in bench_documents(site, ASSESSMENT) if d.title.subject == "S1")
    rows = {str(row.cells[0]): row.cells[1] for row in document.sections[0].rows}
    assert rows["network name"] == "k-102"
    assert rows["role"] == "station of A1"


def test_bench_sheet_says_automatic_or_fixed_power():
    assert str(settings("S1")["power in service"]).startswith("automatic, far end hears −55 dBm")
    assert settings("S1", power_mode="fixed")["power in service"] == "stays fixed"


@pytest.mark.parametrize("paper", PAPERS)
def test_bench_sheet_of_one_radio_fills_one_page(pdfs, paper):
    assert page_count(pdfs["bench", paper]) == 3


def test_title_says_held_where_a_stop_is_not_accepted():
    stop = ASSESSMENT.findings[0].model_copy(update={"severity": "stop"})
    held = ASSESSMENT.model_copy(update={"findings": (stop,)})
    assert schedule_document(SITE, held).title.status == "held"
    assert replace(schedule_document(SITE, ASSESSMENT).title).status == "for work"
