"""A slice of the long walk through the whole window; the rest of it is `python -m tests.desktop.long_walk`."""

from __future__ import annotations

import datetime
import shutil
from pathlib import Path
from typing import Any

import pytest

from survey_app.data import demo_sites_folder
from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.window import Window
from survey_app.session.document import Document
from survey_app.site.new import new_site
from tests.desktop.window_walk import WindowWalker, faults_noted, still_chooser

pytestmark = pytest.mark.desktop

SLICES = (("empty", 11, 150), ("boatyard", 12, 120), ("mill", 13, 60))


def _walk(qtbot: Any, tmp_path: Path, name: str, seed: int, count: int) -> WindowWalker:
    if name == "empty":
        document = Document.new(new_site("Yard", as_of=datetime.date(2026, 12, 1), region="EU"))
    else:
        shutil.copytree(demo_sites_folder() / name, tmp_path / "site")
        document = Document.open(tmp_path / "site")
    with faults_noted() as faults:
        window = Window(document, Judge(), Preferences())
        qtbot.addWidget(window)
        still_chooser(window, tmp_path / "chosen")
        window.resize(1600, 1000)
        window.show()
        window.activateWindow()
        walker = WindowWalker(window, seed, faults)
        try:
            walker.walk(count, check_every=50)
            walker.check_end()
        finally:
            window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
            window.close()
    assert not faults
    return walker


@pytest.mark.parametrize(("name", "seed", "count"), SLICES)
def test_a_walk_raises_nothing_and_leads_back_and_forth(
    qtbot: Any, tmp_path: Path, name: str, seed: int, count: int
) -> None:
    walker = _walk(qtbot, tmp_path, name, seed, count)
    assert walker.played == count


def test_a_walk_notes_what_nobody_catches(qtbot: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A walk that could not fail would prove nothing."""

    def fail(*_: Any) -> None:
        raise ZeroDivisionError("planted")

    window = Window(Document.new(new_site("Yard", as_of=datetime.date(2026, 12, 1))), Judge(), Preferences())
    qtbot.addWidget(window)
    still_chooser(window, tmp_path / "chosen")
    window.show()
    with faults_noted() as faults:
        walker = WindowWalker(window, 1, faults)
        monkeypatch.setattr(Window, "step_finding", fail)
        window.menus.action("check.next").trigger()
        with pytest.raises(AssertionError, match="planted"):
            walker.step()
    window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
    window.close()
