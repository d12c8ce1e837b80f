"""Remake the pictures of README.md: `python tests/tools/make_pictures.py`."""

from __future__ import annotations

import sys
from pathlib import Path

import pypdfium2

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT))

from survey_app.assess.pipeline import assess  # noqa: E402  the clone comes before an installed program
from survey_app.paper.paper_set import PAPER_FILES  # noqa: E402
from survey_app.site.file import read_site  # noqa: E402

FOLDER = ROOT / "resources" / "pictures"
DOTS_PER_INCH = 100
WANTED = {"mounting.pdf": (6, "mounting-sheet"), "schedule.pdf": (0, "hop-schedule"), "tally.pdf": (0, "tally")}


def main() -> None:
    """Draw a page of each kind of paper of the boatyard."""
    site = read_site(ROOT / "demo_sites" / "boatyard")
    assessment = assess(site)
    FOLDER.mkdir(parents=True, exist_ok=True)
    for file, (page, name) in WANTED.items():
        document = pypdfium2.PdfDocument(PAPER_FILES[file](site, assessment, "a4"))
        picture = document[page].render(scale=DOTS_PER_INCH / 72, grayscale=True).to_pil()
        picture.quantize(16).save(FOLDER / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
