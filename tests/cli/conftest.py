"""Runs commands in this process, where that is enough; `process.py` runs them in one of their own."""

from __future__ import annotations

from pathlib import Path

import platformdirs
import pytest

from survey_app.cli.run import run
from survey_app.site.file import write_site
from tests.cli.process import ROOT, Cli, Outcome
from tests.plot import one_hop


@pytest.fixture
def cli(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> Cli:
    """Return a function that runs one command; folders of the user's own lie in a folder of the test."""
    home = tmp_path_factory.mktemp("home")
    # machine code that is kept already is read back, not made anew
    monkeypatch.setenv("XDG_CACHE_HOME", str(platformdirs.user_cache_path()))
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "data"))
    monkeypatch.setenv("XDG_STATE_HOME", str(home / "state"))

    def call(*arguments: object) -> Outcome:
        capsys.readouterr()
        status = run([str(argument) for argument in arguments])
        captured = capsys.readouterr()
        return Outcome(status, captured.out, captured.err)

    return call


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of a sound site of one hop, for what is no matter of the design."""
    folder = tmp_path_factory.mktemp("small") / "small"
    write_site(one_hop().site(), folder)
    return folder


@pytest.fixture
def boatyard() -> Path:
    """Return the folder of a demo site whose design has no stop."""
    return ROOT / "demo_sites" / "boatyard"


@pytest.fixture
def college() -> Path:
    """Return the folder of a demo site whose design has stops."""
    return ROOT / "demo_sites" / "college"
