"""Every code of a finding has a page of the guide, and no page stands there without a code."""

from __future__ import annotations

import re

import pytest

from survey_app.assess.rules import CODES
from survey_app.data import resources_folder

PAGES = {path.stem: path for path in sorted((resources_folder() / "guide" / "findings").glob("*.md"))}


def test_pages_and_codes_are_the_same() -> None:
    assert set(PAGES) == set(CODES)


@pytest.mark.parametrize("code", sorted(CODES))
def test_page_says_what_when_what_to_do_and_whence(code: str) -> None:
    text = PAGES[code].read_text(encoding="utf-8")
    lines = text.splitlines()
    assert lines[0].startswith("# ")
    assert re.fullmatch(rf"`{re.escape(code)}`: (stop|warn|note)(, (stop|warn|note))*", lines[2])
    said = set(re.findall(r"^- (stop|warn|note):", text, re.MULTILINE))
    assert said == set(lines[2].split(": ")[1].split(", "))
    for head in ("## When", "## What to do", "## Source"):
        assert head in lines
