"""From starting the process to the first painted plan, against a bare window with an empty pyqtgraph view.

Counted is the time of the processor: a start waits for nothing else, and what other programs do meanwhile stays out.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from textwrap import indent

from tests.benchmarks.ratio import Ratio

__all__ = ["measure"]

_TURNS = 7

_BARE = """
from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QApplication, QMainWindow
import pyqtgraph
application = QApplication([])
window = QMainWindow()
window.resize(1600, 1000)
view = pyqtgraph.GraphicsView()
view.setCentralItem(pyqtgraph.ViewBox())
window.setCentralWidget(view)
{watch}
window.show()
application.exec()
"""
_OURS = """
from pathlib import Path
from survey_app.desktop.shell import application as start
load = start.load_before_qt
def load_and_watch():
    load()
    from PySide6.QtCore import QEvent, QObject
{watch}
    from PySide6.QtWidgets import QApplication
    run = QApplication.exec
    def run_watched(*_):
        window = next(one for one in QApplication.topLevelWidgets() if type(one).__name__ == "Window")
        window.pages.currentWidget().installEventFilter(watch)
        window.canvas.viewport().installEventFilter(watch)
        return run()
    QApplication.exec = run_watched
start.load_before_qt = load_and_watch
start.run_desktop({path})
"""
_WATCH = """
class Watch(QObject):
    def eventFilter(self, _object, event):
        if event.type() == QEvent.Type.Paint:
            print("painted", flush=True)
            import os
            os._exit(0)
        return False
watch = Watch()
"""


def _run(script: str, compiled: str) -> float:
    """Run a script until its window is painted, with the modules compiled as an installation has them; return how
    long the processor worked for it. [s]
    """
    state = tempfile.mkdtemp(prefix="bench-start-")
    environment = os.environ | {
        "QT_QPA_PLATFORM": "offscreen",
        "XDG_STATE_HOME": state,
        "XDG_CONFIG_HOME": state,
        "PYTHONPYCACHEPREFIX": compiled,
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    before = os.times()
    done = subprocess.run([sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=False)
    if "painted" not in done.stdout:
        raise RuntimeError(f"nothing was painted: {done.stderr[-2000:]}")
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def _bare() -> str:
    return _BARE.format(watch=_WATCH + "view.viewport().installEventFilter(watch)")


def _ours(path: Path | None) -> str:
    # watched from the moment when the loop of events begins: no page is painted before
    return _OURS.format(watch=indent(_WATCH, "    "), path=f"Path({str(path)!r})" if path else "None")


def measure() -> list[Ratio]:
    """Return the ratio of the bare start, and what opening a large site adds."""
    from survey_app.site.file import write_site
    from tests.benchmarks.big_site import drawn_site

    with tempfile.TemporaryDirectory() as compiled, tempfile.TemporaryDirectory() as folder:
        write_site(drawn_site(500, 2000), folder)
        scripts = (_bare(), _ours(None), _ours(Path(folder)))
        for script in scripts:
            _run(script, compiled)
        # in turns, so that what else the machine does falls on all of them alike
        best = [float("inf")] * len(scripts)
        for _ in range(_TURNS):
            for n, script in enumerate(scripts):
                best[n] = min(best[n], _run(script, compiled))
    bare, ours, opened = best
    return [
        Ratio(
            "start of the window to its first paint",
            ours / bare,
            "times a bare window",
            at_most=2.0,
            ours_s=ours,
            reference_s=bare,
        ),
        Ratio(
            "opening a site of 500 wedges, 2,000 outlines, 500 hops: beyond the start", opened - ours, "s", at_most=1.0
        ),
    ]


if __name__ == "__main__":
    for row in measure():
        print(row.words())
