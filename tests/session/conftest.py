"""A site folder and a state folder of the test alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from survey_app.site.file import write_site
from tests.site.full_site import full_site


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    """Return the folder of a small site."""
    write_site(full_site(), tmp_path / "yard")
    return tmp_path / "yard"


@pytest.fixture
def state(tmp_path: Path) -> Path:
    """Return a state folder that does not exist yet."""
    return tmp_path / "state"
