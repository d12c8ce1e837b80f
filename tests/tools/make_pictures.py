"""Remake the pictures of README.md: `python tests/tools/make_pictures.py`."""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

import pypdfium2

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT))

from survey_app.assess.pipeline import assess  # noqa: E402  the clone comes before an installed program
from survey_app.paper.paper_set import PAPER_FILES  # noqa: E402
from survey_app.site.file import read_site  # noqa: E402

FOLDER = ROOT / "resources" / "pictures"
DOTS_PER_INCH = 100
WANTED = {
    "mounting-sheets.pdf": (6, "mounting-sheet"),
    "hop-schedule.pdf": (0, "hop-schedule"),
    "tally.pdf": (0, "tally"),
}


SIZE = (1600, 1000)
PATIENCE_S = 60.0


def main() -> None:
    """Draw a page of each kind of paper of the boatyard, and the window by day and by night."""
    papers()
    windows()


def papers() -> None:
    """Draw a page of each kind of paper."""
    site = read_site(ROOT / "demo_sites" / "boatyard")
    assessment = assess(site)
    FOLDER.mkdir(parents=True, exist_ok=True)
    for file, (page, name) in WANTED.items():
        document = pypdfium2.PdfDocument(PAPER_FILES[file](site, assessment, "a4"))
        picture = document[page].render(scale=DOTS_PER_INCH / 72, grayscale=True).to_pil()
        picture.quantize(16).save(FOLDER / f"{name}.png", optimize=True)


def windows() -> None:
    """Open the boatyard in the real window, by day, by night, and the section of a hop alone."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    with tempfile.TemporaryDirectory() as state:
        os.environ |= {"XDG_STATE_HOME": state, "XDG_CONFIG_HOME": state, "LOCALAPPDATA": state}
        from PySide6.QtWidgets import QApplication

        from survey_app.desktop.letters import font, load_fonts

        application = QApplication.instance() or QApplication(sys.argv[:1])
        assert isinstance(application, QApplication)
        application.setStyle("Fusion")
        load_fonts()
        application.setFont(font(13))
        for hue in ("day", "night"):
            _window(application, hue)


def _window(application: object, hue: str) -> None:
    from survey_app.desktop.palette import lights
    from survey_app.desktop.shell.application import Judge
    from survey_app.desktop.shell.preferences import Preferences
    from survey_app.desktop.shell.window import Window
    from survey_app.session.document import Document

    preferences = Preferences()
    preferences.hue = hue
    window = Window(Document.open(ROOT / "demo_sites" / "boatyard"), Judge(), preferences)
    window.resize(*SIZE)
    window.show()
    _rest(application, lambda: window.desk.is_fresh)
    window.desk.select(["P-E"])
    window.desk.say("")
    _rest(application, lambda: False, 1.5)
    window.canvas.rested()
    _rest(application, lambda: False, 0.5)
    _save(window, f"plan-{hue}")
    if hue == "day":
        _save(window.band, "section")
        from survey_app.assess.what_if import Fails

        window.desk.suppose(Fails("A-S"))
        _rest(application, lambda: window.desk.supposed is not None and not window.desk.supposed.is_busy)
        window.canvas.rested()
        _rest(application, lambda: False, 0.5)
        _save(window, "what-if")
    window.close()
    lights().choose("day")


def _save(widget: object, name: str) -> None:
    """Save what is seen, every ink as it is."""
    from PIL import Image

    file = FOLDER / f"{name}.png"
    widget.grab().save(str(file))  # type: ignore[attr-defined]
    Image.open(file).convert("RGB").save(file, optimize=True)


def _rest(application: object, holds: object, patience_s: float = PATIENCE_S) -> None:
    end = time.monotonic() + patience_s
    while not holds() and time.monotonic() < end:  # type: ignore[operator]
        application.processEvents()  # type: ignore[attr-defined]
        time.sleep(0.01)


if __name__ == "__main__":
    main()
