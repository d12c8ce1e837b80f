"""Work off the window's thread: it tells how far it is, and can be called off."""

from __future__ import annotations

import threading
from collections.abc import Callable

from PySide6.QtCore import QObject, Signal, SignalInstance

__all__ = ["Called", "Progress", "Worker"]

Progress = Callable[[int, int], None]
"""Told how much is done, of how much."""


class Called(Exception):  # noqa: N818 - no error: somebody called the work off
    """The work was called off."""


class Worker(QObject):
    """One piece of work at a time on a thread of its own; a new one calls the former off."""

    done = Signal(int, object)
    """Number of the work, and what it made."""
    failed = Signal(int, object)
    """Number of the work, and the exception."""
    advanced = Signal(int, int, int)
    """Number of the work, how much is done, of how much (0 = not known)."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._number = 0
        self._threads: list[threading.Thread] = []

    def start(self, work: Callable[[Progress], object]) -> int:
        """Begin a piece of work; what is still under way is called off.

        Parameters
        ----------
        work : callable
            Told how to say how far it is; saying so raises `Called` once it is not wanted any more.

        Returns
        -------
        int
            Its number, which its signals carry.
        """
        self._number += 1
        number = self._number

        def progress(so_far: int, whole: int) -> None:
            if number != self._number:
                raise Called
            self.advanced.emit(number, so_far, whole)

        def run() -> None:
            try:
                made = work(progress)
            except Called:
                return
            except Exception as error:  # whoever asked says it to the person at the window
                self._tell(number, self.failed, error)
            else:
                self._tell(number, self.done, made)

        self._threads = [one for one in self._threads if one.is_alive()]
        thread = threading.Thread(target=run, name="worker", daemon=True)
        self._threads.append(thread)
        thread.start()
        return number

    def _tell(self, number: int, signal: SignalInstance, value: object) -> None:
        if number == self._number:
            signal.emit(number, value)

    def call_off(self) -> None:
        """Want nothing any more; what is made now is thrown away."""
        self._number += 1

    def stop(self) -> None:
        """Want nothing any more, and wait until every thread has ended."""
        self.call_off()
        for thread in self._threads:
            thread.join()
        self._threads = []
