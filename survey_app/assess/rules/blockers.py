"""What comes too near to the ray of a hop."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final, NamedTuple

from survey_app.assess.record import HopRow, ObstacleKind, Place, Side
from survey_app.assess.rules.level import worst_margin_db
from survey_app.assess.rules.view import View

__all__ = [
    "GROUND",
    "Blocker",
    "blockers",
    "grown",
    "level_is_lost",
    "near_end_m",
    "spot_of",
    "title_of",
    "too_near",
    "words_of",
    "zones",
]

GROUND: Final = "ground"
_BESIDE = {"left": "to the left of", "right": "to the right of", "under": "under", "over": "over"}


class Blocker(NamedTuple):
    """A thing near a ray; distances count from the access point along the ground.

    Attributes
    ----------
    thing : str
        Id of the structure, or `ground`.
    kind : str
        What it is.
    own : bool
        It carries an end of the hop.
    place_m, clearance_m : float
        Where it comes nearest in zone radii, and how many metres; negative where it stands in the ray. [m]
    ratio : float
        Clearance over the radius of the first Fresnel zone; NaN where no channel is chosen. [1]
    side : str
        Where it lies, seen from the access point.
    enter_m, leave_m : float or None
        Where the ray comes over it and leaves it. [m]
    years : float
        How many years of growth it is looked at with.
    """

    thing: str
    kind: ObstacleKind
    own: bool
    place_m: float
    clearance_m: float
    ratio: float
    side: Side
    enter_m: float | None = None
    leave_m: float | None = None
    years: float = 0.0

    @property
    def cuts(self) -> bool:
        """It stands in the ray itself."""
        return self.clearance_m < 0.0


def blockers(view: View, hop: HopRow) -> Iterator[Blocker]:
    """Yield what comes near the ray of a hop, by rising ratio, and the ground last."""
    for row in hop.obstacles:
        ratio = math.nan if row.ratio is None else row.ratio
        yield Blocker(
            row.thing, row.kind, row.own, row.place_m, row.clearance_m, ratio, row.side, row.enter_m, row.leave_m
        )
    near = view.numbers.obstruction.hops[view.numbers.hops.row[hop.id]].ground
    if not math.isnan(near.clearance_m):
        yield Blocker(GROUND, GROUND, False, near.place_m, near.clearance_m, near.ratio, near.side or "under")


def grown(view: View, hop: HopRow) -> Blocker | None:
    """Return the crown that comes nearest once it has grown for the site's years; None where none comes near."""
    near = view.numbers.obstruction.hops[view.numbers.hops.row[hop.id]].grown
    if near.obstacle is None or math.isnan(near.ratio):
        return None
    span = next(((row.enter_m, row.leave_m) for row in hop.obstacles if row.thing == near.obstacle), (None, None))
    return Blocker(
        near.obstacle, "trees", False, near.place_m, near.clearance_m, near.ratio, near.side or "under", *span,
        years=view.job.defaults.growth_years,
    )  # fmt: skip


def too_near(view: View, one: Blocker) -> bool:
    """Return whether a thing stands in the part of the first zone that is to stay free."""
    return one.cuts if math.isnan(one.ratio) else one.ratio < view.job.defaults.free_zone_fraction


def near_end_m(view: View, hop: HopRow, one: Blocker) -> float:
    """Return how far a thing that carries an end comes near the ray from that end. [m]"""
    ends = (hop.access_point, one.place_m), (hop.station, hop.ground_distance_m - one.place_m)
    return min((away for key, away in ends if _carrier(view, key) == one.thing), default=math.inf)


def level_is_lost(hop: HopRow) -> bool:
    """Return whether the level does not carry the needed rate, in the worse direction."""
    margin = worst_margin_db(hop)
    return margin is not None and margin < 0.0


def spot_of(view: View, hop: HopRow, one: Blocker) -> Place:
    """Return the point of the ray where a thing comes nearest."""
    return view.along_hop(hop.id, one.place_m / hop.ground_distance_m if hop.ground_distance_m > 0.0 else 0.0)


def title_of(view: View, thing_id: str) -> str:
    """Return what a thing is called in a sentence."""
    if thing_id == GROUND:
        return "The ground"
    found = view.job.structures.get(thing_id) or view.job.within.get(thing_id)
    return found.title if found is not None else thing_id


def words_of(view: View, hop: HopRow, one: Blocker) -> str:
    """Return where a thing stands against the ray, how far off, and which part of the zone it leaves free."""
    name, where = title_of(view, one.thing), f"{one.place_m:.0f} m from {hop.access_point}"
    if one.cuts:
        way = f"{name} stands in the ray by {-one.clearance_m:.2f} m, {where}"
    else:
        way = f"{name} is {one.clearance_m:.2f} m {_BESIDE[one.side]} the ray, {where}"
    if math.isnan(one.ratio):
        return way
    return f"{way}: {zones(one.ratio, view.job.defaults.free_zone_fraction)}"


def zones(ratio: float, wanted: float) -> str:
    """Return a part of the first zone beside the wanted one, with a digit more where both would look alike.

    Examples
    --------
    >>> zones(0.563, 0.6), zones(0.5983, 0.6)
    ('0.56 of its first zone, 0.60 wanted', '0.598 of its first zone, 0.600 wanted')
    """
    digits = 2 if f"{ratio:.2f}" != f"{wanted:.2f}" else 3
    return f"{ratio:.{digits}f} of its first zone, {wanted:.{digits}f} wanted"


def _carrier(view: View, radio_id: str) -> str:
    return view.mounts[view.radios[radio_id].mount].structure
