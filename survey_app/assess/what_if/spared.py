"""What a second way would do for an event, and what it costs."""

from __future__ import annotations

from dataclasses import dataclass

from survey_app.assess.graph import build_graph
from survey_app.assess.job import Job
from survey_app.assess.second_ways import SecondWay
from survey_app.assess.what_if.answer import WhatIf

__all__ = ["Spared", "spared_by"]


@dataclass(frozen=True)
class Spared:
    """A second way, held against an event.

    Parameters
    ----------
    way : SecondWay
        Which switches it joins, what it costs, and the edit that draws it.
    cameras : tuple of str
        Dark cameras of the event that would come home over it.
    currency : str
        Of its price; empty = none.
    """

    way: SecondWay
    cameras: tuple[str, ...]
    currency: str

    @property
    def sentence(self) -> str:
        """What it is, what it saves and what it costs, in words."""
        way = self.way
        here = f"keeps {', '.join(self.cameras)}" if self.cameras else "helps other failures, not this"
        cost = f"{way.price:.0f} {self.currency} of parts" if way.price is not None and self.currency else "parts"
        return (
            f"Worth most: a {way.kind} from {way.a} to {way.b}, {way.distance_m:.0f} m; it {here}. Over all single "
            f"failures dark cameras fall from {way.dark_before} to {way.dark_after}, for {cost} and {way.hours:.1f} h."
        )


def spared_by(way: SecondWay, answer: WhatIf) -> Spared:
    """Return which dark cameras of an event a second way would keep.

    Parameters
    ----------
    way : SecondWay
        As `second_ways` has found it for the same site.
    answer : WhatIf
        What the event does.
    """
    lost = frozenset(answer.silent)
    instead = build_graph(Job(way.edit.after)).without(lost, lost)
    kept = tuple(key for key in answer.dark if key not in lost and not (key in instead and instead[key] is None))
    return Spared(way, kept, way.edit.after.design.currency)
