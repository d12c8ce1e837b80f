"""Speed of mounting sheets against a plain typst document of as many pages, words, table cells and strokes."""

from __future__ import annotations

import random
import resource
import string
import sys

from survey_app.assess.pipeline import assess
from survey_app.paper.mounting import mounting_pdf
from survey_app.paper.mounting_build import mounting_views
from tests.benchmarks.big_site import big_site
from tests.benchmarks.ratio import Ratio, best_of

__all__ = ["measure"]

_CELLS = 56  # three columns of six facts in pairs, two rows of boxes, the title block
_AT_ONCE = 25  # the reference is set in parts too, as large as ours


def _counted(pdf: bytes) -> tuple[int, int, int]:
    """Return pages, and words and strokes of a middle page."""
    import pypdfium2 as pdfium

    document = pdfium.PdfDocument(pdf)
    page = document[len(document) // 2]
    words = len(page.get_textpage().get_text_bounded().split())
    strokes = sum(1 for item in page.get_objects(max_depth=6) if item.type == 2)
    return len(document), words, strokes


def _plain_page(rnd: random.Random, words: int, strokes: int) -> str:
    made = ["".join(rnd.choices(string.ascii_lowercase, k=rnd.randint(2, 9))) for _ in range(words)]
    cells = ", ".join(f"[{word}]" for word in made[:_CELLS])
    lines = "".join(
        f"#place(line(start: ({x:.1f}mm, {1.4 * x:.1f}mm), length: {rnd.uniform(5, 60):.1f}mm))"
        for x in (rnd.uniform(0, 170) for _ in range(max(strokes - 2 * _CELLS, 0)))
    )
    return f"{' '.join(made[_CELLS:])}\n#table(columns: 4, {cells})\n{lines}\n"


def _plain(pages: int, words: int, strokes: int) -> None:
    import typst

    rnd = random.Random(3)
    for first in range(0, pages, _AT_ONCE):
        count = min(_AT_ONCE, pages - first)
        body = "#pagebreak()\n".join(_plain_page(rnd, words, strokes) for _ in range(count))
        typst.compile(
            {"main.typ": f'#set page("a4", margin: 12mm)\n#set text(8pt)\n{body}'.encode()}, timestamp=0, pdf_tags=False
        )


def measure() -> list[Ratio]:
    """Return the ratios of the sheets."""
    site = big_site(100, 9)
    views = mounting_views(site, assess(site))
    made: list[bytes] = []
    ours = best_of(lambda: made.append(mounting_pdf(views)), 1)
    pages, words, strokes = _counted(made[0])
    theirs = best_of(lambda: _plain(pages, words, strokes), 1)
    # the pages of stations that run over are pages of ours too
    rows = [
        Ratio(
            f"{len(views)} mounting sheets, {pages} pages of {words} words and {strokes} strokes",
            ours / theirs,
            "times a plain document",
            at_most=1.5,
            ours_s=ours,
            reference_s=theirs,
        )
    ]
    if sys.platform != "win32":
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
        rows.append(Ratio("largest memory of the process", peak, "MB"))
    return rows


if __name__ == "__main__":
    for row in measure():
        print(row.words())
