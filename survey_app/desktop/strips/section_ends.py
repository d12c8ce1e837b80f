"""An end of a section in hand: its mount is raised and lowered, and what that does to the hop is known at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from survey_app.desktop.desk import Desk, Rows
from survey_app.drawing.section.lengths import Lengths
from survey_app.site.edits import raise_mount
from survey_app.site.edits.edit import Edit
from survey_app.site.mount import Mount
from survey_app.site.site import Site

if TYPE_CHECKING:
    from survey_app.assess.live import Lift
    from survey_app.assess.record import HopRow, RadioRow

__all__ = ["STEP_M", "End", "EndInHand", "LiveSection"]

End = Literal["start", "end"]
STEP_M = 0.1
"""Heights go by steps of this. [m]"""
_LONGEST = 7
_OVER = {"ground": "ground", "eaves": "the eaves", "roof": "the roof", "floor": "the floor", "datum": "datum"}


class LiveSection:
    """Rows of a hop and its ends while an end is in hand.

    Attributes
    ----------
    hop, access_point, station : HopRow, RadioRow, RadioRow
        As they would be assessed.
    is_true : bool
        Whether what stands in the way is of the height in hand, and not as assessed before.
    """

    def __init__(self, hop: HopRow, access_point: RadioRow, station: RadioRow, *, is_true: bool) -> None:
        self.hop, self.access_point, self.station = hop, access_point, station
        self.is_true = is_true


class EndInHand:
    """One end of one hop, held until it is let go.

    Parameters
    ----------
    desk : Desk
        Site and assessment; edits go through it.
    hop : HopRow
        The hop that is shown.
    end : {"start", "end"}
        The access point's end, or the station's.
    """

    def __init__(self, desk: Desk, hop: HopRow, end: End) -> None:
        self._desk = desk
        self._hop = hop.id
        self.end = end
        self.by_m = 0.0
        """How far it is dragged and not yet set. [m]"""
        self.typed = ""
        """The figure that is being typed."""
        rows = desk.rows
        radio = hop.access_point if end == "start" else hop.station
        self._mount = rows.radios[radio].mount if rows is not None and radio in rows.radios else ""
        self._lift: Lift | None = None

    @property
    def mount(self) -> Mount | None:
        """What is raised; None where it is gone."""
        found = self._desk.things.get(self._mount)
        return found if isinstance(found, Mount) else None

    def drag(self, by_m: float) -> None:
        """Hold it so much higher than it is, by whole steps."""
        self.by_m = round(by_m / STEP_M) * STEP_M

    def put(self) -> None:
        """Set what was dragged, as a step of its own."""
        by_m, self.by_m = self.by_m, 0.0
        if by_m:
            self._desk.document.history.seal()
            self.step(by_m)

    def step(self, by_m: float) -> None:
        """Raise it; steps that follow each other make one."""
        if self.mount is None:
            return
        self._lifted()
        self._desk.perform(lambda site: self._edit(site, by_m))

    def _edit(self, site: Site, by_m: float) -> Edit:
        return raise_mount(site, self._mount, by_m)

    def type(self, text: str) -> bool:
        """Take a letter of a figure; return whether it can be one."""
        longer = self.typed + text.replace(",", ".").replace("\N{MINUS SIGN}", "-")
        if len(longer) > _LONGEST or not _may_become_figure(longer):
            return False
        self.typed = longer
        return True

    def set_typed(self, lengths: Lengths) -> None:
        """Set the height that was typed, in the site's unit, over what the mount counts from."""
        mount, typed = self.mount, self.typed
        self.typed = ""
        if mount is None or not any(letter.isdigit() for letter in typed):
            return
        self._desk.document.history.seal()
        self.step(float(typed) * lengths.unit_m - mount.height_m)

    def words(self, lengths: Lengths) -> str:
        """Return what is in hand and what can be done with it."""
        mount = self.mount
        if mount is None:
            return ""
        over = f"over {_OVER.get(mount.height_reference, mount.height_reference)}"
        if self.typed:
            typed = self.typed.replace("-", "\N{MINUS SIGN}")
            return f"{typed} {lengths.unit} {over}: Enter sets it"
        now = f"{lengths.words(mount.height_m + self.by_m)} {over}"
        if self.by_m:
            sign = "+" if self.by_m > 0.0 else ""
            return f"{now}, {sign}{lengths.words(self.by_m)}"
        return f"{now}: drag, Up and Down, or type a height"

    def live(self, rows: Rows) -> LiveSection | None:
        """Return the hop as it would be, or None where the assessment does not know it."""
        from survey_app.desktop.tools.fresh_rows import live_rows

        if self.mount is None or self._hop not in rows.hops:
            return None
        site = self._edit(self._desk.site, self.by_m).after if self.by_m else self._desk.site
        found = self._lifted().at(site)
        fresh = live_rows(rows, found)
        hop = fresh.get(self._hop)
        if hop is None:
            return None
        ends = fresh.get(rows.hops[self._hop].access_point), fresh.get(rows.hops[self._hop].station)
        if ends[0] is None or ends[1] is None:
            return None
        return LiveSection(hop, *ends, is_true=self._hop not in found.unjudged)  # type: ignore[arg-type]  # by their ids

    def _lifted(self) -> Lift:
        if self._lift is None:
            desk = self._desk
            known = desk.assessment if desk.is_fresh else None
            from survey_app.assess.live import Lift
            from survey_app.desktop.tools.preview import radio_rules

            self._lift = Lift(desk.site, (self._mount,), radio_rules(), known, may_compile=False)
        return self._lift


def _may_become_figure(text: str) -> bool:
    body = text.removeprefix("-")
    return (body.count(".") <= 1 and body.replace(".", "").isdigit()) or body in ("", ".")
