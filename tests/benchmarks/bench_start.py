"""Time from starting the process to the first painted plan, against a bare window with an empty pyqtgraph view."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.ratio import Ratio, best_of

__all__ = ["measure"]

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
import sys
from pathlib import Path
from survey_app.desktop.shell import application as start
from PySide6.QtCore import QEvent, QObject
{before}
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


def _run(script: str) -> None:
    state = tempfile.mkdtemp(prefix="bench-start-")
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "XDG_STATE_HOME": state, "XDG_CONFIG_HOME": state}
    done = subprocess.run([sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=False)
    if "painted" not in done.stdout:
        raise RuntimeError(f"nothing was painted: {done.stderr[-2000:]}")


def _bare() -> str:
    return _BARE.format(watch=_WATCH + "view.viewport().installEventFilter(watch)")


def _ours(path: Path | None) -> str:
    # the filter is set as soon as the window is shown; the paint that it sees is the first
    before = _WATCH + (
        "from survey_app.desktop.shell.window import Window\n"
        "shown = Window.show\n"
        "def show(self):\n"
        "    self.pages.currentWidget().installEventFilter(watch)\n"
        "    self.canvas.viewport().installEventFilter(watch)\n"
        "    shown(self)\n"
        "Window.show = show\n"
    )
    return _OURS.format(before=before, path=f"Path({str(path)!r})" if path else "None")


def measure() -> list[Ratio]:
    """Return the ratio of the bare start, and what opening a large site adds."""
    from survey_app.site.file import write_site
    from tests.benchmarks.big_site import drawn_site

    bare = best_of(lambda: _run(_bare()), 5)
    ours = best_of(lambda: _run(_ours(None)), 5)
    with tempfile.TemporaryDirectory() as folder:
        write_site(drawn_site(), folder)
        opened = best_of(lambda: _run(_ours(Path(folder))), 5)
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
