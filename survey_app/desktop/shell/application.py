"""Starts the desktop."""

from __future__ import annotations

import datetime
import gc
import os
import sys
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from survey_app.assess.memo import Memo
    from survey_app.assess.record import Assessment
    from survey_app.desktop.desk import Desk
    from survey_app.session.document import Document
    from survey_app.site.site import Site
    from survey_app.spectrum.regions import Regions

__all__ = ["load_before_qt", "run_desktop"]

_COLLECT_MS = 40
_REHEARSE_MS, _REHEARSED = 1500, "boatyard"
_WITHOUT_QT = (
    "survey_app.assess.section",
    "survey_app.drawing.plat.hits",
    "survey_app.drawing.plat.plat",
    "survey_app.drawing.plat.tiers",
    "survey_app.drawing.section",
    "survey_app.drawing.snap",
    "survey_app.gear.catalogue",
    "survey_app.ground.fit",
    "survey_app.ground.magnetic",
    "survey_app.ground.shifting",
    "survey_app.ground.straight",
    "survey_app.ground.typed",
    "survey_app.paper.press",
    "survey_app.paper.schedule_rows",
    "survey_app.session.document",
    "survey_app.session.report",
    "survey_app.session.slug",
    "survey_app.site.edits",
    "survey_app.site.scan_text",
)


def run_desktop(path: Path | None) -> int:
    """Open the window and return when it was closed.

    Parameters
    ----------
    path : Path or None
        The site to open; None shows the start page.

    Returns
    -------
    int
        Exit status.

    Raises
    ------
    SurveyError
        The site cannot be read: no window opens.
    """
    # what is made now stays: collecting it again and again would only keep the first picture waiting
    gc.disable()
    load_before_qt()
    from survey_app.desktop.shell.opening import opened
    from survey_app.session.document import Document
    from survey_app.site.new import new_site

    document = opened(path) if path is not None else Document.new(new_site("New site", as_of=datetime.date.today()))
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication

    from survey_app.desktop.letters import font, load_fonts
    from survey_app.desktop.shell.preferences import Preferences
    from survey_app.desktop.shell.window import Window

    QApplication.setApplicationName("survey-app")
    QApplication.setApplicationDisplayName("Survey App")
    application = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(application, QApplication)
    application.setStyle("Fusion")
    load_fonts()
    application.setFont(font(13))
    judge = Judge()
    window = Window(document, judge, Preferences(), start=path is None)
    lasting = Lasting(window.desk)
    window.desk.assessed.connect(lasting.leave_out)
    window.trouble.install()
    window.show()
    window.opening.ask_what_waits()
    QTimer.singleShot(_COLLECT_MS, _collect)
    QTimer.singleShot(_REHEARSE_MS, lambda: window.assessor.when_idle(judge.rehearse))
    QTimer.singleShot(_REHEARSE_MS, _prepare_geometry)
    return application.exec()


def _prepare_geometry() -> None:
    """Have the loops over rays compiled, or read back, beside the window: a drag asks them within a frame."""
    from threading import Thread

    from survey_app.ground.first_use import prepare_geometry

    Thread(target=prepare_geometry, name="geometry", daemon=True).start()


def load_before_qt() -> None:
    """Load what the window works with and what needs no Qt.

    Once Qt is there, its Python side reads the source of every further module to see whether it is written for Qt:
    of all that is loaded before, it need not.
    """
    # looking for plug-ins of the records' library would read half of what a mail program needs
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    for name in _WITHOUT_QT:
        import_module(name)


def _collect() -> None:
    """Collect again from now on, and leave out what was made at the start."""
    gc.freeze()
    gc.enable()


class Lasting:
    """Leaves what a document and its first assessment are made of out of later searches for garbage.

    It stays as long as the document does, holds no rings, and of a large site takes half a second to search: a pause
    that would fall into some later edit.

    Parameters
    ----------
    desk : Desk
        Where documents lie.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._known: Document | None = None

    def leave_out(self) -> None:
        """An assessment has come: the first of a document is left out with all that is there now."""
        if self._desk.document is not self._known:
            self._known = self._desk.document
            gc.freeze()


class Judge:
    """Assesses site after site; the radio rules are read once, with the first."""

    def __init__(self) -> None:
        self._regions: Regions | None = None

    def __call__(self, site: Site, memo: Memo) -> Assessment:
        from survey_app.assess.pipeline import assess
        from survey_app.spectrum.regions import load_regions
        from survey_app.spectrum.user_folder import user_regions_folder

        if self._regions is None:
            self._regions = load_regions(user_regions_folder())
        return assess(site, self._regions, memo=memo)

    def rehearse(self) -> None:
        """Assess a site that travels with the program, so that all kernels are compiled before the first own hop."""
        from survey_app.assess.memo import Memo
        from survey_app.data import demo_sites_folder
        from survey_app.site.file import read_site

        self(read_site(demo_sites_folder() / _REHEARSED), Memo())
