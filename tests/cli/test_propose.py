"""`propose` prints a plan and writes it beside the site; it never writes over anything."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from survey_app.data import demo_sites_folder


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    folder = tmp_path / "yard"
    shutil.copytree(demo_sites_folder() / "boatyard", folder)
    return folder
