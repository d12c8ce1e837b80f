"""What an event does."""

from __future__ import annotations

from typing import Literal

from survey_app.assess.difference import Difference
from survey_app.site.record import Record

__all__ = ["Changed", "Kind", "OtherWay", "WhatIf"]

Kind = Literal["failure", "radar", "channel", "rain", "growth", "neighbour"]


class Changed(Record):
    """One figure of one thing, without the event and with it; null where there is none."""

    id: str
    quantity: str
    before: float | None
    after: float | None
    unit: str


class OtherWay(Record):
    """A camera whose video comes home over other legs."""

    camera: str
    before: tuple[str, ...]
    after: tuple[str, ...]


class WhatIf(Record):
    """What an event does.

    `outage_s` is how long `dark` is dark; null where nothing is, or where it does not pass by itself. `unrecorded` are
    those of the dark cameras that do not record by themselves, `moved` the cameras that come home another way, `slower`
    those whose video crosses something that is then fuller than the site allows. `silent` are things, hops and wires
    that work no longer meanwhile. `moved_to` says on which channels cells go on. `figures` and `ways` are what is other
    then; `change` is the difference of the whole assessment once the event has settled, null where nothing of the
    design is other then.
    """

    event: str
    kind: Kind
    dark: tuple[str, ...]
    unrecorded: tuple[str, ...]
    outage_s: float | None
    moved_to: tuple[tuple[str, int], ...]
    stops_before: int
    stops_after: int
    worst_margin_before_db: float | None
    worst_margin_after_db: float | None
    fullest_before_fraction: float | None
    fullest_after_fraction: float | None
    change: Difference | None
    subject: str | None = None
    silent: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    slower: tuple[str, ...] = ()
    ways: tuple[OtherWay, ...] = ()
    figures: tuple[Changed, ...] = ()

    @property
    def sentences(self) -> tuple[str, ...]:
        """What happens, in words."""
        told = [self.event]
        if self.dark:
            how_long = "until somebody acts" if self.outage_s is None else f"for {self.outage_s:.0f} s"
            told.append(f"Dark {how_long}: {', '.join(self.dark)}.")
            told.append(f"Not recorded meanwhile: {', '.join(self.unrecorded) or 'none'}.")
        if self.moved:
            told.append(f"Home by another way: {', '.join(self.moved)}.")
        if self.slower:
            told.append(f"Slower: {', '.join(self.slower)}.")
        told += [f"{access_point} goes on on channel {channel}." for access_point, channel in self.moved_to]
        return (*told, *(self.change.changes if self.change is not None else ()))
