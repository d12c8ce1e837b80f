"""Mounting sheets as they come out of the press: what stands where, how large, and always the same."""

from __future__ import annotations

import time
from dataclasses import replace
from itertools import combinations

import pytest

from survey_app.paper.mounting import mounting_pdf
from tests.paper.page_text import Run, page_count, runs_of, words_of
from tests.paper.photocopy import DPI, grey, ink_of, photocopy
from tests.paper.sample_views import (
    ACCESS_POINT,
    ALL,
    BLANK,
    BY_COMPASS,
    HOSTILE,
    MANY_FLAGS,
    OMNI,
    STATION,
    UNANCHORED,
)

FRAMES = {"a4": (20.0, 10.0, 200.0, 287.0), "letter": (20.0, 10.0, 200.0, 269.4)}
PAPERS = ("a4", "letter")
FOOTER_MM = 5.0


@pytest.fixture(scope="module")
def sheets() -> dict[tuple[str, str], bytes]:
    return {(name, paper): mounting_pdf([view], paper) for name, view in ALL.items() for paper in PAPERS}


def pages(pdf: bytes) -> list[list[Run]]:
    return [runs_of(pdf, number) for number in range(page_count(pdf))]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ALL)
def test_sheet_of_any_kind_keeps_its_words_inside_the_frame(sheets, name, paper):
    left, top, right, bottom = FRAMES[paper]
    for runs in pages(sheets[name, paper]):
        outside = [
            run
            for run in runs
            if run.left < left - 0.05 or run.right > right + 0.05 or run.top < top or run.bottom > bottom + FOOTER_MM
        ]
        below = [run for run in runs if run.bottom > bottom and run.em > 2.5]
        assert not outside
        assert not below


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ALL)
def test_sheet_of_any_kind_sets_no_words_over_other_words(sheets, name, paper):
    for runs in pages(sheets[name, paper]):
        clashes = [(a.text, b.text) for a, b in combinations(runs, 2) if a.overlaps(b, slack=0.12)]
        assert not clashes


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", [name for name in ALL if name not in ("many_flags",)])
def test_sheet_of_one_radio_fills_one_page(sheets, name, paper):
    assert page_count(sheets[name, paper]) == 1


def capital_mm(run: Run) -> float:
    return run.em * 0.76


def capitals(pdf: bytes) -> dict[str, float]:
    """Largest height of a capital in which each text stands on the first page."""
    sizes: dict[str, float] = {}
    for run in runs_of(pdf):
        sizes[run.text.strip()] = max(sizes.get(run.text.strip(), 0.0), capital_mm(run))
    return sizes


@pytest.mark.parametrize("paper", PAPERS)
def test_aim_figures_are_never_under_fourteen_millimetres(sheets, paper):
    for name, view in ALL.items():
        sizes = capitals(sheets[name, paper])
        for aim in (*view.aims, view.tilt):
            if aim.value is not None:
                assert sizes[aim.value] >= 13.99, (name, aim.value)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("view", [STATION, BY_COMPASS, UNANCHORED], ids=["landmark", "compass", "plan"])
def test_first_aim_is_the_largest_figure(view, paper):
    sizes = capitals(mounting_pdf([view], paper))
    first, *others = [aim.value for aim in view.aims]
    assert sizes[first] == pytest.approx(20.0, abs=0.05)
    assert all(sizes[value] < 15.0 for value in others if value is not None)


def test_words_for_the_installer_are_never_under_two_and_a_half_millimetres(sheets):
    """Field heads in bold capitals, names on the clip and the line under the frame may be 1.8; nothing is smaller."""
    for (name, _), pdf in sheets.items():
        for runs in pages(pdf):
            small = [run for run in runs if capital_mm(run) < 1.79]
            assert not small, name


def test_same_views_give_the_same_bytes_on_another_day():
    first = mounting_pdf([STATION, ACCESS_POINT], "a4")
    time.sleep(1.1)
    assert mounting_pdf([STATION, ACCESS_POINT], "a4") == first


def test_hostile_names_are_printed_as_they_are_and_never_read_as_markup():
    words = words_of(mounting_pdf([HOSTILE], "a4"))
    assert "#4 $x$ \\ [link](a) *bold*" in words
    assert "\u202e" not in words


def test_unknown_figures_print_a_sentence_and_no_dash():
    words = words_of(mounting_pdf([BLANK], "a4"))
    assert "Unknown: measure both heights." in words
    runs = {run.text.strip() for run in runs_of(mounting_pdf([BLANK], "a4"))}
    assert not runs & {"None", "nan", "null", "-", "−"}


def test_omni_prints_all_round_and_plumb():
    words = words_of(mounting_pdf([OMNI], "letter"))
    assert "ALL ROUND" in words
    assert "PLUMB" in words


def test_sheet_with_a_stop_says_do_not_mount_and_one_without_does_not():
    assert "DO NOT MOUNT" in words_of(mounting_pdf([ACCESS_POINT], "a4"))
    assert "DO NOT MOUNT" not in words_of(mounting_pdf([STATION], "a4"))


@pytest.mark.parametrize("paper", PAPERS)
def test_stations_without_room_go_on_to_a_second_page(paper):
    pdf = mounting_pdf([MANY_FLAGS], paper)
    listed = " ".join(words_of(pdf, number) for number in range(page_count(pdf))).split()
    assert page_count(pdf) > 1
    assert "page 2" in words_of(pdf, 1)
    assert all(f"S{i}" in listed for i in range(1, 61))


def test_flags_without_room_are_counted_in_words():
    words = words_of(mounting_pdf([MANY_FLAGS], "letter"))
    assert "more: read them on the cover" in words


def test_figures_stand_above_cautions():
    runs = {run.text.strip(): run for run in runs_of(mounting_pdf([STATION], "a4"))}
    assert runs["23.4°"].bottom < runs["FALLS"].top
    assert runs["−51"].bottom < runs["FALLS"].top


def test_sheets_of_many_radios_keep_the_order_given():
    views = [replace(STATION, radio=f"S{i}", sheet=f"{i} of 5") for i in range(1, 6)]
    pdf = mounting_pdf(views, "letter")
    assert page_count(pdf) == 5
    assert [words_of(pdf, i).split()[0] for i in range(5)] == ["S1", "S2", "S3", "S4", "S5"]


@pytest.mark.parametrize("view", [STATION, ACCESS_POINT, BY_COMPASS], ids=["station", "access_point", "compass"])
def test_letters_of_two_and_a_half_millimetres_survive_a_photocopy(view):
    """Each run must keep at least half of its ink, and not run into a black blot."""
    pdf = mounting_pdf([view], "a4")
    copy, original = photocopy(pdf), grey(pdf, 0, 4 * DPI) < 128
    for run in runs_of(pdf):
        if capital_mm(run) < 2.45 or not run.text.strip() or run.corners[0][1] != run.corners[1][1]:
            continue
        kept = ink_of(copy, run, DPI) / max(ink_of(original, run, 4 * DPI), 1e-6)
        assert 0.5 < kept < 1.8, run.text


def test_rules_of_a_quarter_millimetre_survive_a_photocopy():
    black = photocopy(mounting_pdf([STATION], "a4"))
    scale = DPI / 25.4
    title_rule = int((10 + 277 - 17.2) * scale)
    row = black[title_rule - 3 : title_rule + 4, int(22 * scale) : int(198 * scale)]
    assert row.any(axis=0).mean() > 0.99
