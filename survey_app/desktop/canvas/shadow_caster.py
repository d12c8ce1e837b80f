"""Shadows of the selected radios, or of every access point: worked out off the thread, gone with the next edit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from survey_app.desktop.desk import Desk
from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.site.site import Site

if TYPE_CHECKING:
    from shapely import Geometry

__all__ = ["ShadowCaster"]

_REST_MS = 60
_MOST_AT_ONCE = 8
"""Whoever selects more looks at no shadows, but for those that were asked for of every access point."""


class ShadowCaster(QObject):
    """What the selected radios do not see.

    Parameters
    ----------
    desk : Desk
        Site, assessment, selection.
    is_wanted : callable
        Whether anybody would see them.
    """

    changed = Signal()
    """`known` holds more than before."""

    def __init__(self, desk: Desk, is_wanted: Callable[[], bool], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._is_wanted = is_wanted
        self._worker = Worker(self)
        self._worker.done.connect(self._take)
        self._worker.failed.connect(self._give_up)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_REST_MS)
        self._rest.timeout.connect(self._cast)
        self._of: Site | None = None
        self._known: dict[str, Geometry] = {}
        self._looked: set[str] = set()
        """Radios that were asked about, also those that have no shadows."""
        self._asked: tuple[Site, frozenset[str]] | None = None
        self._every = False
        self._over_ground_m: float | None = None
        desk.selection_changed.connect(self.ask)
        desk.assessed.connect(self.ask)

    @property
    def known(self) -> Mapping[str, Geometry]:
        """Hidden areas of the present site by radio. [m]"""
        return self._known if self._of is self._desk.site else {}

    @property
    def is_busy(self) -> bool:
        """Whether shadows are being worked out or will be."""
        return self._rest.isActive() or self._asked is not None

    def ask(self) -> None:
        """Work out what the selection needs, once it rests."""
        if self._wanted():
            self._rest.start()

    def want_every(self, every: bool) -> None:
        """Ask for the shadows of every access point, or of the selected radios alone."""
        self._every = every
        self.ask()

    def look_at_height(self, over_ground_m: float | None) -> None:
        """Ask what is not seen at a height over the ground; None = of each radio's own far ends. [m]"""
        if over_ground_m != self._over_ground_m:
            self._over_ground_m = over_ground_m
            self._of, self._known, self._asked = None, {}, None
            self._worker.call_off()
            self.changed.emit()
            self.ask()

    def stop(self) -> None:
        """Want nothing any more."""
        self._rest.stop()
        self._worker.call_off()
        self._asked = None

    def _wanted(self) -> dict[str, float]:
        rows = self._desk.rows
        if not self._is_wanted() or not self._desk.is_fresh or rows is None:
            return {}
        chosen = [rows.radios[one] for one in self._desk.selection if one in rows.radios]
        if len(chosen) > _MOST_AT_ONCE:
            chosen = []
        if self._every:
            chosen += [row for row in rows.assessment.radios if row.role == "access_point" and row not in chosen]
        known = self._looked if self._of is self._desk.site else set()
        return {row.id: row.reach_m for row in chosen if row.reach_m is not None and row.id not in known}

    def _cast(self) -> None:
        wanted, site, over_ground_m = self._wanted(), self._desk.site, self._over_ground_m
        if not wanted or self._asked == (site, frozenset(wanted)):
            return
        self._asked = (site, frozenset(wanted))

        def work(progress: Progress) -> object:
            from survey_app.assess.coverage.shadow import radio_shadows

            found = radio_shadows(site, wanted, over_ground_m=over_ground_m, progress=progress)
            return site, found, frozenset(wanted)

        self._worker.start(work)

    def _take(self, _number: int, made: object) -> None:
        self._asked = None
        assert isinstance(made, tuple)
        site, found, looked = made
        if site is not self._desk.site:
            return
        if self._of is not site:
            self._of, self._known, self._looked = site, {}, set()
        self._looked |= looked
        self._known = {**self._known, **found}
        self.changed.emit()

    def _give_up(self, _number: int, error: object) -> None:
        self._asked = None
        self._desk.say(f"The shadows of the selection could not be worked out: {error}")
