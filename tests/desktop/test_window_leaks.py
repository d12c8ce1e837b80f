"""Windows and documents that come and go leave nothing behind, and the process ends well."""

from __future__ import annotations

import datetime
import gc
import os
import subprocess
import sys
import threading
import weakref
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject
from PySide6.QtWidgets import QApplication, QCompleter

from survey_app.desktop.panels.editors import SearchEditor
from survey_app.desktop.shell.application import Judge
from survey_app.desktop.shell.preferences import Preferences
from survey_app.desktop.shell.window import Window
from survey_app.session.document import Document
from survey_app.session.state_folder import StateFolder
from survey_app.site import edits
from survey_app.site.file import write_site
from survey_app.site.new import new_site
from tests.site.full_site import full_site

pytestmark = pytest.mark.desktop

ROOT = Path(__file__).resolve().parents[2]
AS_OF = datetime.date(2026, 12, 1)


def _swept() -> None:
    for _ in range(3):
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        QApplication.processEvents()
        gc.collect()


def _window(document: Document) -> Window:
    window = Window(document, Judge(), Preferences())
    window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
    window.show()
    QApplication.processEvents()
    return window


@pytest.mark.slow
def test_windows_that_come_and_go_leave_no_thread_and_no_widget(qapp: Any) -> None:
    def once() -> weakref.ref[Window]:
        window = _window(Document.new(full_site()))
        window.desk.perform(lambda site: edits.set_revision(site, "B"))
        for page in ("register", "hops", "routes", "tally", "plan pictures"):
            window.band.show_page(page)
        window.close()
        window.deleteLater()
        return weakref.ref(window)

    once()
    _swept()
    threads, tops = threading.active_count(), len(QApplication.topLevelWidgets())
    left = [once() for _ in range(4)]
    _swept()
    assert threading.active_count() <= threads
    assert len(QApplication.topLevelWidgets()) == tops
    assert [one() for one in left] == [None] * len(left)
    assert list((StateFolder().path / "open").glob("*.json")) == []


def _at_rest(qtbot: Any, window: Window) -> int:
    """Objects of a window once nothing comes and goes: what a search finds is offered later than the sweep."""
    counts: list[int] = []
    while len(counts) < 6 or len(set(counts[-6:])) > 1:
        assert len(counts) < 200, "the window never comes to rest"
        qtbot.wait(100)
        _swept()
        counts.append(len(window.findChildren(QObject)))
    return counts[-1]


@pytest.mark.slow
def test_documents_that_come_and_go_in_one_window_leave_no_object(qtbot: Any, tmp_path: Path) -> None:
    folders = [tmp_path / "one", tmp_path / "two"]
    for folder in folders:
        write_site(full_site(), folder)
    window = _window(Document.new(new_site("Yard", as_of=AS_OF)))
    qtbot.addWidget(window)
    for page in ("register", "hops", "routes", "tally", "plan pictures", "alternatives", "section"):
        window.band.show_page(page)

    def both() -> int:
        for folder in folders:
            assert window.opening.open(folder)
            qtbot.waitUntil(lambda: window.desk.is_fresh, timeout=20_000)
            window.desk.perform(lambda site: edits.set_revision(site, "B"))
            window.desk.select(window.desk.things)
            window.desk.select(list(window.desk.things)[:1])
        return _at_rest(qtbot, window)

    both()
    # the thread that keeps unsaved work comes with the first edit that rests, and stays the only one
    threads, first = threading.active_count() + 1, both()
    for _ in range(2):
        last = both()
    assert last <= first
    assert threading.active_count() <= threads
    assert len(list((StateFolder().path / "open").glob("*.json"))) == 1
    window.close()


@pytest.mark.slow
def test_editing_for_long_leaves_no_object(qtbot: Any) -> None:
    window = _window(Document.new(full_site()))
    qtbot.addWidget(window)

    def some(number: int) -> int:
        window.desk.select([list(window.desk.things)[number % 7]])
        window.desk.perform(lambda site: edits.set_revision(site, f"R{number}")._replace(merge_key=""))
        QApplication.processEvents()
        return number

    for number in range(14):
        some(number)
    qtbot.waitUntil(lambda: window.desk.is_fresh, timeout=20_000)
    _swept()
    before = len(window.findChildren(QObject))
    for number in range(14, 50):
        some(number)
    qtbot.waitUntil(lambda: window.desk.is_fresh, timeout=20_000)
    window.desk.select([list(window.desk.things)[13 % 7]])
    _swept()
    assert len(window.findChildren(QObject)) <= before + 5
    window.close()


LIFE = """
import datetime, sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QCompleter
from survey_app.desktop.shell import application
QApplication([])
def leave():
    (window,) = [one for one in QApplication.topLevelWidgets() if one.isVisible()]
    how = sys.argv[2]
    if how == "preview":
        window.menus.action("paper.mounting").trigger()
    elif how == "band":
        window.menus.action("check.alternatives").trigger()
    window.close()
QTimer.singleShot(int(sys.argv[3]), leave)
sys.exit(application.run_desktop(Path(sys.argv[1])))
"""


@pytest.mark.slow
@pytest.mark.parametrize(("how", "after_ms"), [("plain", 0), ("plain", 600), ("preview", 400), ("band", 400)])
def test_the_process_ends_well_however_early_the_window_is_closed(tmp_path: Path, how: str, after_ms: int) -> None:
    write_site(full_site(), tmp_path / "yard")
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-X", "faulthandler", "-c", LIFE, str(tmp_path / "yard"), how, str(after_ms)],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    assert "Traceback" not in done.stderr
    assert "Fatal" not in done.stderr


def test_a_list_to_search_that_is_filled_anew_keeps_one_completer(qtbot: Any) -> None:
    choices: list[tuple[str, str]] = []
    editor = SearchEditor(lambda: choices, "a mount")
    qtbot.addWidget(editor)
    for number in range(5):
        choices.append((f"M{number}", f"M{number}, pole"))
        editor.inner.showPopup()
        editor.inner.hidePopup()
    _swept()
    assert len(editor.findChildren(QCompleter)) == 1
