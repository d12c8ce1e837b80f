"""The tally: one source for paper, workbook and file of values; parts give totals exactly; no cell starts a formula."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from decimal import Decimal

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.assess.record import TallyPart, TallyRow
from survey_app.paper.cell_text import csv_text, decimal_of, safe_cell, with_mark
from survey_app.paper.tally_book import tally_xlsx
from survey_app.paper.tally_cells import (
    COLUMNS,
    about_lines,
    id_runs,
    quantity_of,
    sheets_of,
    tally_changes,
    tally_csv,
    tally_lines,
)
from survey_app.paper.tally_pdf import figure, tally_pdf
from tests.paper.demo_site import demo
from tests.paper.page_laws import crossed_rules, cut_words, stray_words, touching_words, without_mark
from tests.paper.page_text import page_count, words_of
from tests.paper.sample_site import sample_assessment, sample_site

HOSTILE = '=HYPERLINK("http://x","y")'


def row(item: int, parts: tuple[tuple[str, float], ...], **changes) -> TallyRow:
    fields = {
        "item": item,
        "group": "Mounts",
        "gear": None,
        "what": f"part {item}",
        "for_ids": tuple(subject for subject, _ in parts),
        "status": "buy",
        "need": sum(quantity for _, quantity in parts),
        "spare": 0.0,
        "order": sum(quantity for _, quantity in parts),
        "unit": "piece",
        "how_counted": "one a mount",
        "by_whom": "installer",
        "parts": tuple(
            TallyPart(subject=subject, mount=f"m-{subject}", climb="c1", quantity=quantity, rule=f"rule of {subject}")
            for subject, quantity in parts
        ),
    }
    return TallyRow(**(fields | changes))


def sample(*rows: TallyRow, **site):
    document = sample_site(**site)
    return document, sample_assessment(document, tally=rows)


def table(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def book(data: bytes):
    return openpyxl.load_workbook(io.BytesIO(data))


def cells(page) -> list[list]:
    return [list(values) for values in page.iter_rows(values_only=True)]


def all_words(pdf: bytes) -> str:
    return " ".join(words_of(pdf, page) for page in range(page_count(pdf)))


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_pages_of_the_demo_sites_keep_the_laws_of_the_page(name, paper):
    site, assessment = demo(name)
    pdf = tally_pdf(site, assessment, paper)
    assert stray_words(pdf, 249.0, 190.0 if paper == "a4" else 195.9) == []
    assert touching_words(pdf) == []
    assert crossed_rules(pdf) == []
    assert cut_words(pdf) == []
    assert without_mark(pdf, assessment.checksum, "REV.", assessment.site, "TALLY") == []


@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_parts_add_up_to_the_need_exactly_and_pieces_are_whole(name):
    for line in tally_lines(*demo(name)):
        assert sum(quantity_of(part.quantity) for part in line.parts) == line.need
        if line.unit in ("piece", "set", "roll"):
            assert all(size == int(size) for size in (line.need, line.spare, line.order))
            assert all(part.quantity == int(part.quantity) for part in line.parts)


@pytest.mark.parametrize("name", ["boatyard", "college", "mill"])
def test_pivots_are_the_same_rows_and_give_the_same_totals(name):
    site, assessment = demo(name)
    sheets = {sheet.name: sheet for sheet in sheets_of(site, assessment)}
    lines = {line.item: line for line in tally_lines(site, assessment)}
    for pivot in ("by mount", "by climb"):
        heads, place = sheets[pivot].heads, pivot.split()[1]
        sums = dict.fromkeys(lines, Decimal(0))
        spares = dict.fromkeys(lines, Decimal(0))
        for values in sheets[pivot].rows:
            cell = dict(zip(heads, values, strict=True))
            (spares if cell[place] == "spare" else sums)[cell["item"]] += cell["quantity"]
        assert sums == {item: line.need for item, line in lines.items()}
        assert spares == {item: line.spare for item, line in lines.items()}
    for pivot in ("by kind", "by whom"):
        assert {values[1]: values[4] for values in sheets[pivot].rows} == {k: line.need for k, line in lines.items()}
    trace = dict.fromkeys(lines, Decimal(0))
    for values in sheets["trace"].rows:
        trace[values[0]] += values[5]
    assert trace == {item: line.need for item, line in lines.items()}


def test_paper_workbook_and_values_show_the_same_figures():
    site, assessment = demo("boatyard")
    values = table(tally_csv(site, assessment))
    pages = book(tally_xlsx(site, assessment))
    sheet = cells(pages["tally"])
    words = all_words(tally_pdf(site, assessment))
    assert tuple(sheet[0][: len(COLUMNS)]) == COLUMNS == tuple(values[0])[: len(COLUMNS)]
    for line, value, cell in zip(tally_lines(site, assessment), values, sheet[1:], strict=True):
        for at, name in enumerate(("need", "spare", "order"), start=4):
            assert Decimal(value[name]) == getattr(line, name) == Decimal(repr(cell[at])).normalize()
        row_words = " ".join(figure(size) for size in (line.need, line.spare, line.order))
        assert f"{line.status} {row_words} {line.unit}" in words


def test_workbook_holds_numbers_as_numbers_a_frozen_head_and_no_formula():
    pages = book(tally_xlsx(*demo("boatyard")))
    assert pages.sheetnames == ["tally", "by mount", "by climb", "by kind", "by whom", "trace", "about"]
    for page in pages:
        assert page.freeze_panes == "A2"
        for values in page.iter_rows():
            assert all(cell.data_type != "f" for cell in values)
    tally = pages["tally"]
    assert all(isinstance(tally.cell(2, column).value, int | float) for column in (1, 5, 6, 7))


def test_workbook_is_the_same_file_on_another_day(monkeypatch):
    import time

    site, assessment = demo("boatyard")
    first = tally_xlsx(site, assessment)
    later = time.time() + 40.0 * 86400.0
    monkeypatch.setattr(time, "time", lambda: later)
    monkeypatch.setattr(time, "localtime", lambda *_: time.gmtime(later))
    assert tally_xlsx(site, assessment) == first
    with zipfile.ZipFile(io.BytesIO(first)) as packed:
        assert {info.date_time[0] for info in packed.infolist()} == {1980}
        text = b"".join(packed.read(name) for name in packed.namelist() if name.startswith("docProps"))
    years = set(re.findall(rb"(20\d\d)-\d\d-\d\dT", text))
    assert years == {b"2000"}


def test_hostile_text_is_text_in_every_form():
    site, assessment = sample(
        row(1, (("A1", 2.0),), what=HOSTILE, how_counted="@sum", group="-1", for_ids=("+x",)), name="=Yard & Co"
    )
    first = table(tally_csv(site, assessment))[0]
    assert (first["what"], first["how counted"], first["for"]) == (f"'{HOSTILE}", "'@sum", "'+x")
    pages = book(tally_xlsx(site, assessment))
    for page in pages:
        for values in page.iter_rows():
            for cell in values:
                assert cell.data_type != "f"
                assert not str(cell.value or "").startswith(("=", "+", "-", "@"))
    assert HOSTILE.split("(")[0] in all_words(tally_pdf(site, assessment))


def test_longest_and_strangest_names_never_leave_the_page():
    long = "#let x = 1 $ \\ \u202e שלום 🚧 " + "w" * 300
    rows = tuple(row(n, ((f"s{n}", 1.0),), what=long, how_counted=long, for_ids=(long,) * 30) for n in range(1, 6))
    site, assessment = sample(*rows, name=long[:300])
    pdf = tally_pdf(site, assessment)
    assert stray_words(pdf, 249.0, 190.0) == []
    assert touching_words(pdf) == []
    assert crossed_rules(pdf) == []


@given(st.text(max_size=40))
def test_no_text_cell_starts_a_formula(text):
    cell = safe_cell(text)
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"))
    assert not any(letter in cell for letter in "\r\n\t\x00")
    (found,) = csv.reader(io.StringIO(csv_text([[text]]), newline=""))
    assert found == ([cell] if cell else [""])


@given(st.decimals(min_value=-100000, max_value=100000, places=3))
def test_numbers_are_never_escaped(value):
    ((found,),) = csv.reader(io.StringIO(csv_text([[value]])))
    assert Decimal(found) == value


@given(st.lists(st.floats(min_value=0.0, max_value=1000.0).map(lambda v: round(v, 2)), min_size=1, max_size=30))
def test_sums_of_decimals_do_not_drift(values):
    total = sum((decimal_of(value) for value in values), Decimal(0))
    assert total == sum(round(value * 100) for value in values) / Decimal(100)


def test_values_carry_the_mark_by_which_spreadsheets_know_the_letters():
    assert with_mark(csv_text([["2.0° down"]])) == b'\xef\xbb\xbf"2.0\xc2\xb0 down"\r\n'


def test_trace_answers_why_four_surge_protectors():
    protectors = row(
        1,
        (("W1", 2.0), ("W2", 2.0)),
        what="surge protector",
        how_counted="two a run",
    )
    site, assessment = sample(protectors)
    words = all_words(tally_pdf(site, assessment))
    assert "4 piece 2 2 two a run W1, W2" in words
    trace = cells(book(tally_xlsx(site, assessment))["trace"])
    assert [values[2:6] + values[7:] for values in trace[1:]] == [
        ["W1", "m-W1", "c1", 2, "rule of W1"],
        ["W2", "m-W2", "c1", 2, "rule of W2"],
    ]


def test_long_lists_of_ids_point_to_the_trace_which_has_them_all():
    ids = tuple((f"post-{'abcdefghij'[n % 10]}-{n}", 1.0) for n in range(120))
    pdf = tally_pdf(*sample(row(1, ids)))
    words = re.sub(r"\s", "", all_words(pdf))
    assert "120inall" in words
    assert all(name in words for name, _ in ids)
    assert cut_words(pdf) == []


def test_removing_a_radio_takes_exactly_its_parts_off_the_pivot_of_its_mount():
    site, assessment = demo("boatyard")
    lines = tally_lines(site, assessment)
    at_gate = {line.item: sum(quantity_of(p.quantity) for p in line.parts if p.mount == "gate") for line in lines}
    pivot = next(sheet for sheet in sheets_of(site, assessment) if sheet.name == "by mount")
    shown = {values[2]: values[6] for values in pivot.rows if values[0] == "gate"}
    assert shown == {item: size for item, size in at_gate.items() if size}


def test_parts_that_do_not_add_up_are_said_not_hidden():
    site, assessment = sample(row(1, (("A1", 2.0),), need=3.0, order=3.0))
    sentence = "Item 1: its parts add up to 2, not to 3: check before you order."
    assert sentence in about_lines(site, assessment)
    assert sentence in all_words(tally_pdf(site, assessment))


def test_difference_from_the_last_revision_is_said_in_one_sentence():
    _, before = sample(row(1, (("A1", 2.0),), what="panel radio"), row(2, (("W1", 40.0),), what="cable", unit="m"))
    site, after = sample(row(1, (("A1", 3.0),), what="panel radio"), row(2, (("W1", 40.0),), what="cable", unit="m"))
    assert tally_changes(before, after) == "Against revision C: + 1 panel radio."
    assert tally_changes(after, after) == ""
    assert "Against revision C: + 1 panel radio." in all_words(tally_pdf(site, after, before=before))


def test_lengths_are_said_in_feet_too_where_the_site_asks():
    length = row(1, (("W1", 305.0),), what="cable", unit="m", how_counted="whole drums")
    assert "order 1001 ft" in all_words(tally_pdf(*sample(length, units="both")))
    assert "ft" not in all_words(tally_pdf(*sample(length, units="metric")))


def test_prices_stand_on_a_sheet_of_their_own():
    site, assessment = sample(row(1, (("A1", 2.0),), unit_price=12.5), currency="EUR")
    pages = book(tally_xlsx(site, assessment))
    assert cells(pages["prices"])[1][5:7] == [12.5, 25]
    assert "prices" not in book(tally_xlsx(*demo("boatyard"))).sheetnames
    assert "12.5" not in all_words(tally_pdf(site, assessment))


def test_empty_tally_says_so():
    pdf = tally_pdf(*sample())
    assert "Nothing is counted: no radio is drawn." in all_words(pdf)
    assert cells(book(tally_xlsx(*sample()))["tally"])[0][0] == "item"


def test_tally_gives_the_same_bytes_again():
    site, assessment = demo("boatyard")
    assert tally_pdf(site, assessment) == tally_pdf(site, assessment)
    assert tally_xlsx(site, assessment) == tally_xlsx(site, assessment)


def test_numbered_ids_are_drawn_together_only_where_they_follow():
    assert id_runs(("W1", "W2", "W4", "W5", "W6")) == ("W1, W2", "W4 to W6")
    assert id_runs(("a-01", "a-02", "a")) == ("a-01", "a-02", "a")
    assert id_runs(()) == ()
