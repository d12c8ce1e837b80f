"""Tables after a bad photocopier: every letter of 2.5 mm and every line that matters must still stand."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from survey_app.paper.paper_set import PAPER_FILES
from tests.paper.demo_site import demo
from tests.paper.page_text import runs_of
from tests.paper.photocopy import DPI, grey, ink_of, photocopy

TABLES = ("cover.pdf", "bench-sheets.pdf", "hop-schedule.pdf", "network.pdf", "tally.pdf")
_MM = 25.4 / 72.0
CAPITAL_EM = 0.76


@pytest.fixture(scope="module", params=[(name, file) for name in ("boatyard", "college") for file in TABLES])
def pdf(request) -> bytes:
    name, file = request.param
    make: Callable = PAPER_FILES[file]
    return make(*demo(name), "a4")


def test_letters_of_two_and_a_half_millimetres_stand(pdf):
    copy, original = photocopy(pdf), grey(pdf, 0, 4 * DPI) < 128
    looked_at = 0
    for run in runs_of(pdf):
        if run.em * CAPITAL_EM < 2.45 or not run.text.strip(" ,.·:;…\N{ZERO WIDTH SPACE}"):
            continue
        kept = ink_of(copy, run, DPI) / max(ink_of(original, run, 4 * DPI), 1e-6)
        assert 0.45 < kept < 1.8, run.text
        looked_at += 1
    assert looked_at > 30


def test_lines_of_a_quarter_of_a_millimetre_stand(pdf):
    """Long straight rules: nearly every pixel along them is black in the copy."""
    copy = photocopy(pdf)
    page = pypdfium2.PdfDocument(pdf)[0]
    height = page.get_height()
    scale, looked_at = DPI / 72.0, 0
    for item in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH], max_depth=4):
        left, bottom, right, top = item.get_bounds()
        wide, high = (right - left) * _MM, (top - bottom) * _MM
        if min(wide, high) < 0.24 or min(wide, high) > 1.2 or max(wide, high) < 20.0:
            continue
        rows = slice(int((height - top) * scale - 1), int((height - bottom) * scale + 2))
        columns = slice(int(left * scale - 1), int(right * scale + 2))
        box = copy[rows, columns]
        along = box.any(axis=0 if wide > high else 1)
        assert np.mean(along) > 0.95, (left, bottom, right, top)
        looked_at += 1
    assert looked_at > 5


def test_shapes_of_flags_can_be_told_apart_in_one_bit_black():
    """A stop is mostly ink, a warn and a note are mostly paper, and the number of each is kept."""
    site, assessment = demo("college")
    pdf = PAPER_FILES["cover.pdf"](site, assessment, "a4")
    copy = photocopy(pdf)
    scale = DPI / 25.4
    flags = {int(run.text): run for run in runs_of(pdf) if run.text.strip().isdigit() and 20.0 < run.left < 32.0}
    for finding in assessment.findings:
        if finding.number not in flags:
            continue
        run = flags[finding.number]
        x, y = (run.left + run.right) / 2.0, (run.top + run.bottom) / 2.0
        box = copy[int((y - 1.4) * scale) : int((y + 1.4) * scale), int((x - 1.4) * scale) : int((x + 1.4) * scale)]
        ink = float(box.mean())
        assert ink > 0.5 if finding.severity == "stop" else ink < 0.5, finding.number
