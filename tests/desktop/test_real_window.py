"""The window in a process of its own: on a real display, and killed in the middle of the work."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import platformdirs
import pytest

from survey_app.site.file import read_site

ROOT = Path(__file__).resolve().parent.parent.parent

pytestmark = [pytest.mark.desktop, pytest.mark.slow]


def _go(
    what: str, folder: Path, *, state: Path, before: tuple[str, ...] = (), platform: str = "offscreen"
) -> subprocess.CompletedProcess[str]:
    environment = os.environ | {
        "QT_QPA_PLATFORM": platform,
        "XDG_STATE_HOME": str(state),
        "XDG_CONFIG_HOME": str(state / "config"),
        "LOCALAPPDATA": str(state),
        "HOME": str(state),
        # machine code that is kept already is read back, not made anew
        "XDG_CACHE_HOME": str(platformdirs.user_cache_path()),
    }
    command = [*before, sys.executable, "-m", "tests.desktop.real_journey", what, str(folder)]
    return subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=240, check=False)


@pytest.mark.skipif(shutil.which("xvfb-run") is None, reason="there is no virtual display on this machine")
def test_a_journey_in_a_real_window_on_a_display(tmp_path: Path) -> None:
    state = tmp_path / "state"
    state.mkdir()
    display = ("xvfb-run", "-a", "-s", "-screen 0 1700x1100x24")
    done = _go("draw", tmp_path / "yard", state=state, before=display, platform="xcb")
    assert done.returncode == 0, done.stderr[-3000:]
    assert "platform xcb" in done.stdout
    assert "saved True" in done.stdout
    design = read_site(tmp_path / "yard").design
    assert (len(design.structures), len(design.radios), len(design.hops)) == (2, 2, 1)
    assert (tmp_path / "yard" / "window.png").stat().st_size > 20_000


@pytest.mark.skipif(os.name == "nt", reason="a process cannot kill itself like that here")
def test_a_killed_window_offers_its_work_again_and_saves_it(tmp_path: Path) -> None:
    state = tmp_path / "state"
    state.mkdir()
    died = _go("die", tmp_path / "yard", state=state)
    assert died.returncode == -9, died.stderr[-3000:]
    assert "resting" in died.stdout
    assert not read_site(tmp_path / "yard").design.structures
    again = _go("recover", tmp_path / "yard", state=state)
    assert again.returncode == 0, again.stderr[-3000:]
    assert "offer Unsaved work of" in again.stdout
    assert "poles 2" in again.stdout
    assert "saved True" in again.stdout
    assert len(read_site(tmp_path / "yard").design.hops) == 1
    assert "left None\n" in again.stdout  # nothing is offered twice
