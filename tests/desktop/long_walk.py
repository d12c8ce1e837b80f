"""The long walk through the window: `python -m tests.desktop.long_walk SEED COUNT [SITE]`.

`SITE` is `empty`, `boatyard`, `college` or `mill`; without it SEED decides. Says how far it came and leaves with
status 0, or tells what was done last and what went wrong.
"""

from __future__ import annotations

import datetime
import faulthandler
import os
import shutil
import sys
import tempfile
import threading
import time
from pathlib import Path
from typing import Any

SITES = ("empty", "boatyard", "college", "mill")
_HANGS_S = 150


def main() -> None:
    """Walk."""
    seed, count = int(sys.argv[1]), int(sys.argv[2])
    name = sys.argv[3] if len(sys.argv) > 3 else SITES[seed % len(SITES)]
    with tempfile.TemporaryDirectory() as folder:
        _walk(seed, count, name, Path(folder))


def _walk(seed: int, count: int, name: str, folder: Path) -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    for key in ("XDG_STATE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "LOCALAPPDATA", "HOME"):
        os.environ[key] = str(folder / key.lower())
    from PySide6.QtCore import QObject
    from PySide6.QtWidgets import QApplication

    from survey_app.data import demo_sites_folder
    from survey_app.desktop.letters import font, load_fonts
    from survey_app.desktop.shell.application import Judge
    from survey_app.desktop.shell.preferences import Preferences
    from survey_app.desktop.shell.window import Window
    from survey_app.session.document import Document
    from survey_app.site.new import new_site
    from tests.desktop.window_walk import WindowWalker, faults_noted, still_chooser

    application = QApplication(sys.argv[:1])
    application.setStyle("Fusion")
    load_fonts()
    application.setFont(font(13))
    if name == "empty":
        document = Document.new(new_site("Yard", as_of=datetime.date(2026, 12, 1), region="EU"))
    else:
        shutil.copytree(demo_sites_folder() / name, folder / "site")
        document = Document.open(folder / "site")
    began = time.monotonic()
    faulthandler.enable()
    with faults_noted() as faults:
        window = Window(document, Judge(), Preferences())
        still_chooser(window, folder / "chosen")
        window.resize(1600, 1000)
        window.show()
        window.activateWindow()
        walker = WindowWalker(window, seed, faults)
        threading.Thread(target=_watch, args=(walker,), daemon=True).start()
        while walker.played < count:
            walker.walk(min(100, count - walker.played))
            labels = len(window.desk.document.history.labels)
            print(
                f"{name} seed {seed}: {walker.played} events, {labels} steps, {len(window.desk.things)} things,"
                f" {len(window.findChildren(QObject))} objects, {time.monotonic() - began:.0f} s",
                flush=True,
            )
        walker.check_end()
        window.choosers.unsaved = lambda _name: "discard"  # type: ignore[method-assign]
        window.close()
        assert not faults, faults
    print("undone and done again, assessed as from cold", flush=True)


def _watch(walker: Any) -> None:
    """End a walk that stands still, and tell where."""
    played, since = -1, time.monotonic()
    while True:
        time.sleep(1.0)
        if walker.played != played:
            played, since = walker.played, time.monotonic()
        elif time.monotonic() - since > _HANGS_S:
            print(f"nothing went on for {_HANGS_S} s after\n{walker.story()}", flush=True)
            faulthandler.dump_traceback()
            os._exit(1)


if __name__ == "__main__":
    main()
