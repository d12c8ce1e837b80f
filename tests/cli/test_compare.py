"""`compare` and lists of prices, as a person at a terminal sees them."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from survey_app.data import demo_sites_folder
from tests.cli.process import Cli


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Return a copy of a demo with its one alternative."""
    folder = tmp_path / "yard"
    shutil.copytree(demo_sites_folder() / "boatyard", folder)
    return folder


def test_alternatives_stand_side_by_side_with_prices_and_on_paper(cli: Cli, yard: Path, tmp_path: Path) -> None:
    prices = tmp_path / "prices.csv"
    prices.write_text("item,price,unit,currency\nbowline-p16,129,piece,USD\nput up a radio on a pole,85,h,USD\n")
    found = cli("import", yard, prices, "--dated", "2026-09-01", "--tax", "excluded")
    assert (found.status, found.out) == (0, f"{yard / 'site.json'}\n")
    assert "2 prices in USD; 2 are for lines of this tally." in found.err
    pages = tmp_path / "side.pdf"
    found = cli("compare", yard, "-o", pages)
    assert found.status == 0, found.err
    heads, *rows = found.out.splitlines()
    assert heads.split() == ["as", "drawn", "cured"]
    assert any(row.startswith("cost, likely") and "USD" in row for row in rows)
    assert pages.read_bytes().startswith(b"%PDF")
    record = json.loads(cli("compare", yard, "cured", "--json").out)
    assert [option["name"] for option in record["options"]] == ["as drawn", "cured"]


def test_wrong_names_and_nothing_to_compare_are_one_sentence(cli: Cli, yard: Path, tmp_path: Path) -> None:
    found = cli("compare", yard, "curd")
    assert found.status == 2
    assert "there is no alternative 'curd'" in found.err
    assert "cured" in found.err
    shutil.rmtree(yard / "alternatives")
    found = cli("compare", yard)
    assert found.status == 2
    assert "there is nothing to compare it with" in found.err
    assert cli("compare", yard, "-o", tmp_path / "side.txt").status == 2
