"""Radio rules of a user's own are read from the user's folder; broken ones are told in one sentence."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

from tests.cli.process import ROOT, Cli

OWN = ROOT / "tests" / "assess" / "own_regions" / "fjord.json"


@pytest.fixture
def folder(cli: Cli) -> Path:
    made = Path(os.environ["XDG_DATA_HOME"]) / "survey-app" / "spectrum"
    made.mkdir(parents=True)
    return made


def test_region_of_ones_own_is_known_to_check(cli: Cli, folder: Path, tmp_path: Path) -> None:
    code = json.loads(OWN.read_text(encoding="utf-8"))["region"]
    site = tmp_path / "yard"
    assert cli("new", "Fjord yard", "--at", "60.1,5.2", "-o", site).status == 0
    text = (site / "site.json").read_text(encoding="utf-8")
    (site / "site.json").write_text(text.replace('"as_of"', f'"region": "{code}", "as_of"'), encoding="utf-8")
    assert cli("check", site).status == 1
    shutil.copy(OWN, folder)
    found = cli("check", site)
    assert (found.status, found.err) == (0, "")
    assert f"{code} rules" in found.out


def test_broken_region_file_is_told_in_one_sentence(cli: Cli, folder: Path, boatyard: Path) -> None:
    (folder / "broken.json").write_text("{", encoding="utf-8")
    found = cli("check", boatyard)
    assert found.status == 3
    assert "broken.json" in found.err
    assert found.out == ""
