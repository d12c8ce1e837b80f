"""Works out who hears whom, off the window's thread, when a part of the window asks."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from survey_app.desktop.desk import Desk
from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.errors import SurveyError

if TYPE_CHECKING:
    from survey_app.assess.hearing import Hearing
    from survey_app.site.site import Site

__all__ = ["Listener"]

Working = Callable[["Site", Progress], "Hearing"]


def _work(site: Site, progress: Progress) -> Hearing:
    from survey_app.assess.hearing import who_hears
    from survey_app.desktop.tools.preview import radio_rules

    return who_hears(site, radio_rules(), progress)


class Listener(QObject):
    """Answers the desk's question once for each value of the site.

    Parameters
    ----------
    desk : Desk
        The site as it is.
    work : callable
        Site and progress -> Hearing; called off the window's thread.
    """

    def __init__(self, desk: Desk, work: Working = _work, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk, self._work = desk, work
        self._asked: Site | None = None
        self._worker = Worker(self)
        self._worker.done.connect(self._take)
        self._worker.failed.connect(self._fail)
        desk.hearing_asked.connect(self._ask)

    def _ask(self) -> None:
        site, work = self._desk.site, self._work
        if self._asked is site:
            return
        self._asked = site
        self._worker.start(lambda progress: (site, work(site, progress)))

    def _take(self, _number: int, made: object) -> None:
        assert isinstance(made, tuple)
        self._asked = None
        self._desk.put_hearing(*made)

    def _fail(self, _number: int, error: Exception) -> None:
        # whoever asks again for the same site would meet the same
        if not isinstance(error, SurveyError):
            raise error
        self._desk.say(error.sentence())

    def stop(self) -> None:
        """Call off what is under way and leave no thread behind."""
        self._worker.stop()
