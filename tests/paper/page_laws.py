"""Laws that every page keeps: words inside the frame and off each other, revision and checksum in the title block."""

from __future__ import annotations

from itertools import combinations

import pypdfium2
import pypdfium2.raw as pdfium

from tests.paper.page_text import Run, page_count, runs_of, words_of

_MM = 25.4 / 72.0
LEFT_MM, TOP_MM = 20.0, 10.0


def stray_words(pdf: bytes, live_mm: float, high_mm: float) -> list[str]:
    """Words outside the frame; what stands in the margin under it (program, footer) is meant."""
    found = []
    for page in range(page_count(pdf)):
        for run in runs_of(pdf, page):
            inside = run.left >= LEFT_MM - 0.1 and run.right <= LEFT_MM + live_mm + 0.1 and run.top >= TOP_MM
            if run.text.strip() and not (inside and run.bottom <= TOP_MM + high_mm + 5.0):
                found.append(f"page {page + 1}: {run.text!r} at {run.left:.1f}, {run.top:.1f}")
    return found


def touching_words(pdf: bytes, slack_mm: float = 0.35) -> list[str]:
    """Pairs of words whose boxes share more than a sliver."""
    found = []
    for page in range(page_count(pdf)):
        runs = [run for run in runs_of(pdf, page) if run.text.strip()]
        found += [
            f"page {page + 1}: {a.text!r} on {b.text!r}" for a, b in combinations(runs, 2) if _near(a, b, slack_mm)
        ]
    return found


def _near(a: Run, b: Run, slack_mm: float) -> bool:
    if a.right < b.left or b.right < a.left or a.bottom < b.top or b.bottom < a.top:
        return False
    return a.overlaps(b, slack_mm)


def crossed_rules(pdf: bytes, slack_mm: float = 0.4) -> list[str]:
    """Words that run over an upright rule."""
    found = []
    document = pypdfium2.PdfDocument(pdf)
    for page in range(len(document)):
        height = document[page].get_height()
        rules = []
        for item in document[page].get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH], max_depth=4):
            left, bottom, right, top = item.get_bounds()
            if (right - left) * _MM < 1.0 < (top - bottom) * _MM:
                rules.append(((left + right) / 2 * _MM, (height - top) * _MM, (height - bottom) * _MM))
        for run in runs_of(pdf, page):
            for x, top_mm, bottom_mm in rules:
                across = run.left + slack_mm < x < run.right - slack_mm
                if run.text.strip() and across and top_mm + 0.3 < (run.top + run.bottom) / 2 < bottom_mm - 0.3:
                    found.append(f"page {page + 1}: {run.text!r} over a rule at {x:.1f}")
    return found


def without_mark(pdf: bytes, *marks: str) -> list[int]:
    """Pages on which one of the marks (revision, checksum …) is missing."""
    return [page + 1 for page in range(page_count(pdf)) if not all(m in words_of(pdf, page) for m in marks)]


def cut_words(pdf: bytes) -> list[str]:
    """Words that were shortened."""
    return [
        f"page {page + 1}: {run.text!r}"
        for page in range(page_count(pdf))
        for run in runs_of(pdf, page)
        if run.text.rstrip().endswith("…")
    ]


def bare(words: str) -> str:
    """Words without spaces; a minus sign counts as the hyphen that it was written as."""
    return "".join(words.split()).replace("\N{MINUS SIGN}", "-")
