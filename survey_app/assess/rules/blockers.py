"""What comes too near to the ray of a hop, and how much higher an end would have to be."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np

from survey_app.assess.findings import cure, work_on_site
from survey_app.assess.record import Cure, HopRow, MountRow, ObstacleKind, Place, Side
from survey_app.assess.rules.level import worst_margin_db
from survey_app.assess.rules.view import View
from survey_app.assess.rules.words import joined
from survey_app.physics.fresnel import fresnel_zone_radius_m
from survey_app.physics.geometry import STANDARD_K, earth_bulge_m
from survey_app.site.structure import Building, Mast, Obstacle, OverheadLine, Pole, TrafficArea, TreeStand

__all__ = [
    "GROUND",
    "Blocker",
    "blockers",
    "grown",
    "higher",
    "level_is_lost",
    "near_end_m",
    "needing",
    "spot_of",
    "title_of",
    "too_near",
    "words_of",
    "zones",
]

GROUND: Final = "ground"
_BRACKET_M = 1.0
_STEPS = 17
_LEAST_SHARE = 0.02  # a thing at the far end is not cleared by the near one
_MOST_LIFT_M = 8.0
_OVER_TOP_M = 0.3
_OVER_ROOF_M = 6.0
_GRID_M = 0.1
_SLACK_M = 0.005
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


def needing(view: View, hop: HopRow) -> list[Blocker]:
    """Return everything that is too near to the ray of a hop, crowns with their growth."""
    found = [one for one in blockers(view, hop) if one.kind not in ("wire", "trees") and too_near(view, one)]
    crowns = [one for one in blockers(view, hop) if one.kind == "trees" and too_near(view, one)]
    later = grown(view, hop)
    if later is not None and too_near(view, later):
        crowns = [one._replace(years=later.years) for one in crowns if one.thing != later.thing] + [later]
    return found + crowns


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
    return "The ground" if thing_id == GROUND else view.job.structures[thing_id].title


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


def _top_m(view: View, one: Blocker) -> float:
    """Return how high a thing reaches over the site datum; NaN where nobody knows. [m]"""
    thing = view.job.structures[one.thing]
    foot_m = view.numbers.placed.feet_m[one.thing]
    if isinstance(thing, Building):
        return foot_m + max(thing.eaves_height_m + thing.roof.parapet_height_m, thing.roof.ridge_height_m or 0.0)
    if isinstance(thing, TreeStand):
        return foot_m + thing.crown_top_m + one.years * thing.growth_m_per_year
    if isinstance(thing, TrafficArea):
        return foot_m + thing.envelope_height_m
    if isinstance(thing, OverheadLine):
        return math.nan
    return foot_m + thing.height_m


def _lift_m(view: View, hop: HopRow, one: Blocker, *, at_access_point: bool) -> float:
    """Return how much higher an end has to be for a ray that runs over a thing; NaN where that does not help. [m]"""
    length_m = hop.ground_distance_m
    if hop.centre_mhz is None or length_m <= 2.0 * _BRACKET_M:
        return math.nan
    a_m, s_m = (view.radios[key].antenna_elevation_m for key in (hop.access_point, hop.station))
    begin, end = (one.place_m if at is None else at for at in (one.enter_m, one.leave_m))
    at_m = np.append(np.linspace(begin, end, _STEPS), one.place_m)
    at_m = at_m[(at_m >= _BRACKET_M) & (at_m <= length_m - _BRACKET_M)]
    share = 1.0 - at_m / length_m if at_access_point else at_m / length_m
    if not len(at_m) or share.min() < _LEAST_SHARE:
        return math.nan
    ray_m = a_m + at_m / length_m * (s_m - a_m)
    if one.thing == GROUND:
        top_m = ray_m - one.clearance_m * hop.distance_m / length_m
    else:
        top_m = _top_m(view, one) + earth_bulge_m(at_m, length_m - at_m, STANDARD_K)
    zone_m = fresnel_zone_radius_m(at_m, length_m - at_m, hop.centre_mhz) * hop.distance_m / length_m
    need_m = top_m + view.job.defaults.free_zone_fraction * zone_m - ray_m
    return float(np.max(need_m / share))


def _lift_of_hop_m(view: View, hop: HopRow, *, at_access_point: bool) -> float:
    """Return how much higher an end has to be for all that is too near; 0 where nothing is. [m]"""
    return max((_lift_m(view, hop, one, at_access_point=at_access_point) for one in needing(view, hop)), default=0.0)


def higher(view: View, hop_id: str) -> tuple[Cure, ...]:
    """Return the edits that clear a hop by a higher mount; the one that clears most hops first, then the least lift.

    What else hangs on that mount is cleared with it.

    Parameters
    ----------
    view : View
        What is known.
    hop_id : str
        The hop.
    """
    hop = view.hops[hop_id]
    offers: list[tuple[int, float, Cure]] = []
    for key in (hop.access_point, hop.station):
        mount = view.mounts[view.radios[key].mount]
        lifts = {
            one: _lift_of_hop_m(view, view.hops[one], at_access_point=view.hops[one].access_point == radio)
            for radio in mount.radios
            for one in view.radios[radio].hops
        }
        if math.isnan(lifts[hop_id]) or lifts[hop_id] <= 0.0:
            continue
        lift_m = max(lift for lift in lifts.values() if not math.isnan(lift))
        cleared = [one for one, lift in lifts.items() if lift > 0.0]
        offer = _raised(view, mount, lift_m, cleared)
        if offer is not None:
            offers.append((-len(cleared), lift_m, offer))
    found = [offer for *_, offer in sorted(offers, key=lambda one: one[:2])]
    edits = [offer for offer in found if offer.edit is not None]
    return tuple(edits or found)


def _raised(view: View, row: MountRow, lift_m: float, hops: list[str]) -> Cure | None:
    """Return the edit that raises a mount, or what to do where it cannot be raised there."""
    mount = view.job.mounts[row.id]
    if not lift_m <= _MOST_LIFT_M:
        return None
    height_m = round(math.ceil((mount.height_m + lift_m + _SLACK_M) / _GRID_M) * _GRID_M, 3)
    more_m = height_m - mount.height_m
    if mount.locked or not _fits(view, row, more_m):
        return work_on_site(f"Find a place {more_m:.1f} m higher than {row.id}, such as a taller pole.")
    text = f"Raise {row.id} by {more_m:.1f} m, to {row.height_above_ground_m + more_m:.1f} m: clears {joined(hops)}."
    return cure(text, "set_height", thing_id=mount.id, height_m=height_m)


def _fits(view: View, row: MountRow, more_m: float) -> bool:
    """Return whether a mount can be so much higher on its structure."""
    structure = view.job.structures[row.structure]
    if isinstance(structure, Pole | Mast):
        return row.below_top_m is None or more_m <= row.below_top_m + _OVER_TOP_M
    if isinstance(structure, Building):
        top_m = structure.roof.ridge_height_m or structure.eaves_height_m + structure.roof.parapet_height_m
        return row.height_above_ground_m + more_m <= top_m + _OVER_ROOF_M
    return isinstance(structure, Obstacle)
