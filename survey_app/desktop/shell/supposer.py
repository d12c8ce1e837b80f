"""Works out what an event would do, off the window's thread: the answer first, then the second way worth most."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from survey_app.desktop.desk import Desk
from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.desktop.supposed import Supposed
from survey_app.errors import SurveyError

if TYPE_CHECKING:
    from survey_app.assess.record import Assessment
    from survey_app.assess.second_ways import SecondWay
    from survey_app.assess.what_if import Event, WhatIf
    from survey_app.site.site import Site

__all__ = ["Supposer"]

Answering = Callable[["Site", "Event", "Assessment | None"], "WhatIf"]
Seeking = Callable[["Site", "Assessment | None", Progress], "tuple[SecondWay, ...]"]


def _answer(site: Site, event: Event, before: Assessment | None) -> WhatIf:
    from survey_app.assess.what_if import what_if
    from survey_app.desktop.tools.preview import radio_rules

    return what_if(site, event, radio_rules(), before)


def _seek(site: Site, before: Assessment | None, progress: Progress) -> tuple[SecondWay, ...]:
    from survey_app.assess.second_ways import second_ways
    from survey_app.desktop.tools.preview import radio_rules

    return second_ways(site, radio_rules(), before, most=1, progress=progress)


class Supposer(QObject):
    """Answers what the desk is asked.

    Parameters
    ----------
    desk : Desk
        Site, assessment, and what is supposed.
    answer : callable
        Site, event and assessment -> WhatIf; called off the window's thread.
    seek : callable
        Site, assessment and progress -> second ways, the best first; called off the window's thread.
    """

    _answered = Signal(int, object)

    def __init__(
        self, desk: Desk, answer: Answering = _answer, seek: Seeking = _seek, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._desk, self._answer, self._seek = desk, answer, seek
        self._known: tuple[Site, tuple[SecondWay, ...]] | None = None
        self._number = 0
        self._worker = Worker(self)
        self._worker.done.connect(self._end)
        self._worker.failed.connect(self._fail)
        self._answered.connect(self._hear)
        desk.event_asked.connect(self._ask)

    def _ask(self, event: Event | None) -> None:
        self._number += 1
        if event is None:
            self._worker.call_off()
            return
        number, site, known = self._number, self._desk.site, self._known
        before = self._desk.assessment if self._desk.is_fresh else None
        answer, seek = self._answer, self._seek

        def work(progress: Progress) -> object:
            told = answer(site, event, before)
            progress(1, 0)
            self._answered.emit(number, told)
            if not told.dark:
                return number, site, None, told
            ways = known[1] if known is not None and known[0] is site else seek(site, before, progress)
            return number, site, ways, told

        self._worker.start(work)

    def _hear(self, number: int, answer: WhatIf) -> None:
        supposed = self._desk.supposed
        if number == self._number and supposed is not None:
            self._desk.put_supposed(replace(supposed, answer=answer, is_seeking=bool(answer.dark)))

    def _end(self, _work: int, made: object) -> None:
        assert isinstance(made, tuple)
        number, site, ways, answer = made
        if ways is not None:
            self._known = (site, ways)
        supposed = self._desk.supposed
        if number != self._number or supposed is None:
            return
        if supposed.answer is None or supposed.is_seeking:
            self._desk.put_supposed(self._whole(supposed, ways, answer))

    def _whole(self, supposed: Supposed, ways: tuple[SecondWay, ...] | None, answer: WhatIf) -> Supposed:
        from survey_app.assess.what_if import spared_by

        spared = spared_by(ways[0], answer) if ways else None
        return replace(supposed, answer=answer, spared=spared, is_seeking=False)

    def _fail(self, _work: int, error: Exception) -> None:
        supposed = self._desk.supposed
        if supposed is not None:
            words = error.sentence() if isinstance(error, SurveyError) else "It could not be worked out."
            self._desk.put_supposed(replace(supposed, is_seeking=False, trouble=words))
        if not isinstance(error, SurveyError):
            raise error

    def stop(self) -> None:
        """Call off what is under way and leave no thread behind."""
        self._worker.stop()
