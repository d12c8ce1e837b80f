"""How high must it be: least moves that clear the hop of the section, each to be applied by a press."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from survey_app.desktop import letters
from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.scale import scale_of
from survey_app.desktop.strips.words import word_button
from survey_app.desktop.strips.worker import Progress, Worker
from survey_app.desktop.tools.figures import length
from survey_app.desktop.tools.steps import Make, in_one_step
from survey_app.site.edits import set_height, slide
from survey_app.site.mount import Mount
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.assess.raising import Raising
    from survey_app.assess.record import HopRow

__all__ = ["HowHigh", "raising_words", "wants_raising"]

_ENDS = {"access_point": "the access point", "station": "the station", "both": "both ends"}


def wants_raising(hop: HopRow, free: float) -> bool | None:
    """Return whether what passes counts in how high a hop must be; None = it need not be moved at all.

    Parameters
    ----------
    hop : HopRow
        As assessed.
    free : float
        Part of the first zone that is to be free. [1]
    """
    still = (hop.fresnel_clearance_ratio, hop.clearance_ratio_grown)
    if hop.cut_by is not None or any(ratio is not None and ratio < free for ratio in still):
        return False
    moving = hop.clearance_ratio_moving
    return True if moving is not None and moving < free else None


def raising_words(site: Site, one: Raising) -> str:
    """Return a least move in words, such as `raise the station 1.24 m`."""
    by = length(site, one.by_m or 0.0, 2)
    if one.way == "along":
        return f"move {_ENDS[one.end]} {by} along its edge"
    pole = "" if one.pole_m is None else f", on a pole of {length(site, one.pole_m)}"
    return f"raise {_ENDS[one.end]} {by}{pole}"


def _made(one: Raising, site: Site) -> Make:
    """Return the edit of a least move, in one step; a pole that is too short grows with it."""
    steps: list[Make] = []
    mounts = {mount.id: mount for mount in site.design.mounts}
    for key, to_m in zip(one.mounts, one.to_m, strict=True):
        if one.way == "along":
            steps.append(partial(slide, mount_id=key, along_m=to_m))
            continue
        carrier = next((it for it in site.design.structures if it.id == mounts[key].structure), None)
        now_m = getattr(carrier, "height_m", math.inf)
        if one.pole_m is not None and carrier is not None and now_m < one.pole_m and _needs(mounts[key], one, now_m):
            steps.append(partial(set_height, thing_id=carrier.id, height_m=one.pole_m))
        steps.append(partial(set_height, thing_id=key, height_m=to_m))
    words = raising_words(site, one)
    return in_one_step(f"{words[:1].upper()}{words[1:]}", steps)


def _needs(mount: Mount, one: Raising, height_m: float) -> bool:
    """Whether this mount is the one that would stand over its pole."""
    return mount.place.kind == "pole" and mount.height_m + (one.by_m or 0.0) > height_m - 0.3


class HowHigh(QWidget):
    """A line of offers under a section; hidden where the hop is clear.

    Parameters
    ----------
    desk : Desk
        Site and assessment; edits go through it.
    """

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._asked: tuple[Site, str] | None = None
        self._shown: tuple[Site, str] | None = None
        """Whose moves are offered."""
        self._worker = Worker(self)
        self._worker.done.connect(self._take)
        self._worker.failed.connect(self._fail)
        self.setAccessibleName("How high must it be")
        self.words = QLabel()
        self.words.setFont(letters.font(letters.NOTE_PX))
        self.words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.words.setProperty("part", "soft")
        self.offers: list[QPushButton] = []
        self._box = QHBoxLayout(self)
        self._box.setContentsMargins(12, 0, 12, 2)
        self._box.setSpacing(4)
        self._box.addWidget(self.words, 1)
        self.hide()

    @property
    def is_busy(self) -> bool:
        """Whether it is being worked out."""
        return self._asked is not None

    def show_hop(self, hop: HopRow | None) -> None:
        """Offer what clears a hop; None, or a hop that is clear, hides the line."""
        site = self._desk.site
        over = wants_raising(hop, site.design.defaults.free_zone_fraction) if hop is not None else None
        if hop is None or over is None or not self._desk.is_fresh:
            self._clear()
            self.hide()
            return
        if self._asked == (site, hop.id) or (not self.isHidden() and self._shown == (site, hop.id)):
            return
        self._clear()
        self._asked, hop_id = (site, hop.id), hop.id
        self.words.setText(f"Looking how high {hop_id} must be …")
        self.show()

        def work(_progress: Progress) -> object:
            from survey_app.assess.raising import how_high

            return site, hop_id, how_high(site, hop_id, over_traffic=bool(over))

        self._worker.start(work)

    def stop(self) -> None:
        """Want nothing any more: the window closes."""
        self._asked = None
        self._worker.stop()

    def _clear(self) -> None:
        self._worker.call_off()
        self._asked = self._shown = None
        for button in self.offers:
            self._box.removeWidget(button)
            button.hide()
            button.deleteLater()
        self.offers = []

    def _take(self, _number: int, made: object) -> None:
        assert isinstance(made, tuple)
        site, hop_id, found = made
        if site is not self._desk.site:
            self._asked = None
            return
        self._clear()
        self._shown = (site, hop_id)
        ready = [one for one in found if one.by_m is not None and one.by_m > 0.0]
        for one in ready:
            words = raising_words(site, one)
            button = word_button(words, f"{words}: clears {hop_id}")
            button.setFont(letters.font(letters.NOTE_PX * scale_of(self)))
            button.setToolTip(self._told(site, one))
            button.clicked.connect(partial(self.apply, one))
            self._box.addWidget(button)
            self.offers.append(button)
        if found and all(one.by_m == 0.0 for one in found):
            # it goes through the walls of its own building, above which no height helps
            self.hide()
            return
        past = ", past what passes," if any(one.over_traffic for one in found) else ""
        if ready:
            self.words.setText(f"To clear {hop_id}:")
        else:
            reasons = " ".join(dict.fromkeys(one.reason for one in found if one.reason))
            self.words.setText(f"Neither end clears {hop_id}{past} by itself. {reasons}")
        self.words.setToolTip(f"The least moves that clear {hop_id}{past} each by itself.")
        self.show()

    def _told(self, site: Site, one: Raising) -> str:
        things = self._desk.things
        over = "from its corner" if one.way == "along" else "high"
        names = (
            f"{things[key].title} {length(site, to_m, 2)} {over}"
            for key, to_m in zip(one.mounts, one.to_m, strict=True)
        )
        return ", ".join(names)

    def _fail(self, _number: int, error: Exception) -> None:
        self._asked = None
        self.words.setText(f"It could not be found out: {error}")

    def go_stale(self) -> None:
        """The site has changed: what was worked out is offered no more until it is true again."""
        for button in self.offers:
            button.setEnabled(False)

    def apply(self, one: Raising) -> bool:
        """Apply a least move as one step, while it is of the present site."""
        if self._shown is None or self._shown[0] is not self._desk.site:
            return False
        self._desk.document.history.seal()
        return self._desk.perform(_made(one, self._desk.site))
