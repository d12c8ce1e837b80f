"""Assesses off the window's thread: always the newest site, and an answer that comes too late is dropped."""

from __future__ import annotations

import contextlib
import sys
import threading
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, SignalInstance

from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.assess.memo import Memo
    from survey_app.assess.record import Assessment

__all__ = ["Assessor"]

_SWITCH_S = 0.001
"""The thread gives way to the window after this time; a drag must not feel it."""


class Assessor(QObject):
    """One thread that assesses the newest site that it was handed.

    Parameters
    ----------
    assess : callable
        Site and memo -> Assessment; called on the thread, one call at a time, so that a memo has one user.
    """

    done = Signal(object, object)
    """Site and its Assessment."""
    failed = Signal(object)
    """An exception: the program is wrong."""

    def __init__(self, assess: Callable[[Site, Memo], Assessment], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._assess = assess
        self._wanted: tuple[Site, Memo] | None = None
        self._chore: Callable[[], None] | None = None
        self._busy = False
        self._at_chore = False
        self._stopped = False
        self._changed = threading.Condition()
        sys.setswitchinterval(_SWITCH_S)
        self._thread = threading.Thread(target=self._run, name="assessor", daemon=True)
        self._thread.start()

    def ask(self, site: Site, memo: Memo) -> None:
        """Assess a site; whatever waited before it is forgotten.

        Parameters
        ----------
        site : Site
            The newest value.
        memo : Memo
            What is known from earlier values of the same document.
        """
        with self._changed:
            self._wanted = (site, memo)
            self._changed.notify_all()

    def when_idle(self, chore: Callable[[], None]) -> None:
        """Do something once on the thread when no site waits, so that a later one finds it done.

        Parameters
        ----------
        chore : callable
            What it raises costs nothing: the site that needs it will say it.
        """
        with self._changed:
            self._chore = chore
            self._changed.notify_all()

    @property
    def is_busy(self) -> bool:
        """Whether a site is being assessed or waits for it."""
        with self._changed:
            return self._busy or self._wanted is not None

    def stop(self) -> None:
        """Take no more sites and wait until the thread has ended; a chore that is half done is left behind."""
        with self._changed:
            self._stopped = True
            self._wanted = self._chore = None
            self._changed.notify_all()
            left_behind = self._at_chore
        if not left_behind:
            self._thread.join()

    def _run(self) -> None:
        while True:
            with self._changed:
                self._busy = self._at_chore = False
                while self._wanted is None and self._chore is None and not self._stopped:
                    self._changed.wait()
                if self._stopped:
                    return
                wanted, self._wanted = self._wanted, None
                self._busy = wanted is not None
                chore: Callable[[], None] | None = None
                if wanted is None:
                    chore, self._chore, self._at_chore = self._chore, None, True
            if wanted is None:
                if chore is not None:
                    with contextlib.suppress(Exception):
                        chore()
                continue
            site, memo = wanted
            try:
                answer = self._assess(site, memo)
            except Exception as error:  # the window shows it; the thread lives on for the next edit
                self._tell(self.failed, error)
            else:
                self._tell(self.done, site, answer)

    def _tell(self, signal: SignalInstance, *values: object) -> None:
        with self._changed:
            if self._stopped:
                return
        signal.emit(*values)
