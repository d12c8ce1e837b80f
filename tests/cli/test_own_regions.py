"""Radio rules of a user's own are read from the user's folder; broken ones are told in one sentence."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.cli.process import Cli


@pytest.fixture
def folder(cli: Cli) -> Path:
    made = Path(os.environ["XDG_DATA_HOME"]) / "survey-app" / "spectrum"
    made.mkdir(parents=True)
    return made


def test_broken_region_file_is_told_in_one_sentence(cli: Cli, folder: Path, boatyard: Path) -> None:
    (folder / "broken.json").write_text("{", encoding="utf-8")
    found = cli("check", boatyard)
    assert found.status == 3
    assert "broken.json" in found.err
    assert found.out == ""
