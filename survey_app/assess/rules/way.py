"""What stands in the way of a hop for good: buildings, poles, ground, and the structure that carries an end."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.assess.findings import Draft, work_on_site
from survey_app.assess.record import Cure, HopRow
from survey_app.assess.rules.blockers import (
    Blocker,
    blockers,
    level_is_lost,
    near_end_m,
    spot_of,
    title_of,
    too_near,
    words_of,
)
from survey_app.assess.rules.clearing import clearing
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.next_unit import next_unit
from survey_app.assess.rules.view import View

__all__ = ["CODES", "RULES"]

CODES = {
    "not-clear": "Something stands in the way",
    "own-edge": "Own edge close to the ray",
    "own-wall": "It looks into its own structure",
    "seen-against-drawn": "Seen, but drawn in the way",
}

_LASTING = frozenset({"building", "parapet", "upright", "obstacle", "ground"})
_OWN_EDGE_M = 20.0
_SEEN = frozenset({"seen", "seen_with_lamp"})


def _is_edge(view: View, hop: HopRow, one: Blocker) -> bool:
    """Return whether a thing is the near edge of what carries an end, and leaves the ray itself free."""
    return one.own and not one.cuts and near_end_m(view, hop, one) <= _OWN_EDGE_M


def _draft(view: View, hop: HopRow, one: Blocker, code: str, *, stop: bool, cures: tuple[Cure, ...]) -> Draft:
    known = not math.isnan(one.ratio)
    lost = " The level does not carry the needed rate." if stop else ""
    return Draft(
        code=code,
        severity="stop" if stop else "warn",
        subject=hop.id,
        message=f"{words_of(view, hop, one)}.{lost}",
        source="P526",
        value=one.ratio if known else one.clearance_m,
        limit=view.job.defaults.free_zone_fraction if known else 0.0,
        unit="1" if known else "m",
        hop=hop.id,
        place=spot_of(view, hop, one),
        cures=cures,
        concerns=() if one.thing == "ground" else (one.thing,),
    )


@about_each("hops")
def not_clear(view: View, hop_id: str) -> Iterator[Draft]:
    """Less than the wanted part of the first zone is free of what stands there for good."""
    hop = view.hops[hop_id]
    found = [
        one
        for one in blockers(view, hop)
        if one.kind in _LASTING and too_near(view, one) and not _is_edge(view, hop, one) and not _is_wall(one)
    ]
    if not found:
        return
    worst = min(found, key=lambda one: one.clearance_m if math.isnan(one.ratio) else one.ratio)
    beside = work_on_site(
        f"Move an end sideways, or to another place, until {_lower(title_of(view, worst.thing))} is clear of the ray."
    )
    stop = level_is_lost(hop)
    yield _draft(view, hop, worst, "not-clear", stop=stop, cures=(*clearing(view, hop_id), beside))


def _lower(title: str) -> str:
    return "the ground" if title == "The ground" else title


def _is_wall(one: Blocker) -> bool:
    return one.own and one.cuts


@about_each("hops")
def own_edge(view: View, hop_id: str) -> Iterator[Draft]:
    """Roof, parapet or gutter of what carries an end, or the next unit, close in front of the antenna."""
    hop = view.hops[hop_id]
    edges = [one for one in blockers(view, hop) if too_near(view, one) and _is_edge(view, hop, one)]
    out = work_on_site("Bring the antenna out to the edge.")
    for one in edges[:1]:
        yield _draft(view, hop, one, "own-edge", stop=False, cures=(*clearing(view, hop_id), out))
    for end, other in ((hop.access_point, hop.station), (hop.station, hop.access_point)):
        yield from next_unit(view, hop, end, other)


@about_each("hops")
def own_wall(view: View, hop_id: str) -> Iterator[Draft]:
    """The ray runs through the structure that carries an end."""
    hop = view.hops[hop_id]
    for one in blockers(view, hop):
        if not (_is_wall(one) and one.kind in _LASTING):
            continue
        other_side = work_on_site(f"Hang it on the side of {title_of(view, one.thing)} that looks to the far end.")
        cures = (*clearing(view, hop_id), other_side)
        yield _draft(view, hop, one, "own-wall", stop=level_is_lost(hop), cures=cures)
        return


@about_each("hops")
def seen_against_drawn(view: View, hop_id: str) -> Iterator[Draft]:
    """The walk saw the far end, and something that is drawn stands in the ray."""
    hop = view.hops[hop_id]
    if hop.sight_checked not in _SEEN or hop.cut_by is None or hop.cut_at_m is None:
        return
    if any(wall.thing == hop.cut_by for wall in hop.walls):
        return  # what the ray goes through is reckoned with; it was seen round it, or through an open door
    who = f" ({hop.sight_by}, {hop.sight_on})" if hop.sight_by else f" ({hop.sight_on})"
    part = hop.cut_at_m / hop.ground_distance_m if hop.ground_distance_m > 0.0 else 0.0
    yield Draft(
        code="seen-against-drawn",
        severity="warn",
        subject=hop.id,
        message=(
            f"On the walk the far end was seen{who}, but as drawn {_lower(title_of(view, hop.cut_by))} cuts the ray "
            f"{hop.cut_at_m:.0f} m from {hop.access_point}: one of the two is wrong."
        ),
        source="PRACTICE",
        value=hop.cut_at_m,
        unit="m",
        hop=hop.id,
        place=view.along_hop(hop.id, part),
        cures=(
            work_on_site(
                f"Measure {_lower(title_of(view, hop.cut_by))} and both mounts again, and look from the mounts' "
                "heights: the drawing is to say what was seen.",
                "sight",
            ),
        ),
        concerns=() if hop.cut_by == "ground" else (hop.cut_by,),
    )


RULES = (not_clear, own_edge, own_wall, seen_against_drawn)
