"""`propose` prints a plan and writes it beside the site; it never writes over anything."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from survey_app.site.file import read_site
from tests.cli.process import Cli


@pytest.fixture
def yard(boatyard: Path, tmp_path: Path) -> Path:
    """Return a copy of the demo, in which something may be written."""
    return Path(shutil.copytree(boatyard, tmp_path / "yard"))


def test_plan_is_written_beside_the_site_and_never_over_another(cli: Cli, yard: Path) -> None:
    before = (yard / "site.json").read_bytes()
    first = cli("propose", yard, "-o", yard / "alternatives" / "plan.json")
    assert "Proven: no plan has a better worst margin" in first.out
    assert "Worst margin" in first.out
    assert (yard / "site.json").read_bytes() == before
    written = (yard / "alternatives" / "plan.json").read_bytes()
    again = cli("propose", yard, "-o", yard / "alternatives" / "plan.json")
    assert again.status == 73
    assert (yard / "alternatives" / "plan.json").read_bytes() == written


def test_json_is_the_plan_and_the_file_has_its_channels(cli: Cli, yard: Path) -> None:
    file = yard / "alternatives" / "plan.json"
    plan = json.loads(cli("propose", yard, "--json", "-o", file).out)
    radios = {radio.id: radio for radio in read_site(file).design.radios}
    for row in plan["cells"]:
        now = radios[row["cell"]]
        assert now.channel == row["channel"]
        assert (now.width_mhz or 20) == row["width_mhz"]
    assert plan["margin_gap_db"] == 0.0


def test_site_without_cells_is_wrong_use_in_one_sentence(cli: Cli, tmp_path: Path) -> None:
    folder = tmp_path / "empty"
    assert cli("new", "Empty", "--at", "43.55,-69.6", "--region", "US", "-o", folder).status == 0
    found = cli("propose", folder)
    assert found.status == 2
    assert "no cell of the site has a channel to choose" in found.err
