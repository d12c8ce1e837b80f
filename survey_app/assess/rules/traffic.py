"""What comes and goes in or beside the ray: lorries, hoists, laid-up masts."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from survey_app.assess.findings import Draft, work_on_site
from survey_app.assess.record import HopRow, Place
from survey_app.assess.rules.blockers import Blocker, blockers, spot_of, too_near, words_of
from survey_app.assess.rules.clearing import clearing
from survey_app.assess.rules.each import about_each
from survey_app.assess.rules.view import View
from survey_app.site.structure import TrafficArea

__all__ = ["CODES", "RULES"]

CODES = {"moving-blocker": "Something passes through the ray"}

_SPARE_M = 1.0  # loads are taller than they ought to be
_BESIDE_M = 6.0  # and stand beside their place


@about_each("hops")
def moving_blocker(view: View, hop_id: str) -> Iterator[Draft]:
    """The envelope of traffic within the wanted part of the first zone, or so near that a taller load would be."""
    hop = view.hops[hop_id]
    near = {one.thing: one for one in blockers(view, hop) if one.kind == "traffic" and too_near(view, one)}
    for one in near.values():
        yield _in_zone(view, hop, one)
    for area in view.traffic:
        if area not in near:
            yield from _close_by(view, hop, area)


def _area(view: View, thing_id: str) -> TrafficArea:
    found = view.job.structures[thing_id]
    assert isinstance(found, TrafficArea)
    return found


def _in_zone(view: View, hop: HopRow, one: Blocker) -> Draft:
    area, most = _area(view, one.thing), view.job.defaults.standing_warn_fraction
    stands = area.standing_fraction > most
    how_often = f"{_count(area.passes_per_day)} a day"
    if area.standing_fraction > 0.0:
        how_often += f", there {area.standing_fraction * 100.0:.0f} % of the time"
    cost = "the picture is gone while it stands there" if one.cuts else "the level falls while it passes"
    return Draft(
        code="moving-blocker",
        severity="stop" if stands else "warn",
        subject=hop.id,
        second_subject=one.thing,
        message=f"{words_of(view, hop, one)}; {how_often}, {cost}.",
        source="PRACTICE",
        value=area.standing_fraction if stands else one.ratio,
        limit=most if stands else view.job.defaults.free_zone_fraction,
        unit="1",
        hop=hop.id,
        place=spot_of(view, hop, one),
        cures=(
            *clearing(view, hop.id, over_traffic=True),
            work_on_site("Let the cameras record by themselves while it is there."),
        ),
        concerns=(one.thing,),
    )


def _count(number: float) -> str:
    return "once" if number == 1.0 else f"{number:g} times"


def _close_by(view: View, hop: HopRow, area_id: str) -> Iterator[Draft]:
    """A note where a load a little taller, or one that stands beside its place, would come into the ray."""
    from shapely import LineString, Polygon, distance, get_coordinates, shortest_line

    a, s = view.radios[hop.access_point], view.radios[hop.station]
    corners = np.asarray(view.traffic[area_id])
    if not hop.ground_distance_m > 0.0 or not _may_reach(corners, (a.x_m, a.y_m), (s.x_m, s.y_m)):
        return
    area, ray = Polygon(corners), LineString([(a.x_m, a.y_m), (s.x_m, s.y_m)])
    if not area.is_valid or distance(area, ray) > _BESIDE_M:
        return
    thing = _area(view, area_id)
    top_m = view.numbers.placed.feet_m[area_id] + thing.envelope_height_m
    beside_m = float(distance(area, ray))
    over = get_coordinates(area.intersection(ray)) if beside_m == 0.0 else get_coordinates(shortest_line(ray, area))[:1]
    part = np.hypot(over[:, 0] - a.x_m, over[:, 1] - a.y_m) / hop.ground_distance_m
    height_m = a.antenna_elevation_m + part * (s.antenna_elevation_m - a.antenna_elevation_m)
    lowest = int(np.argmin(height_m))
    zone_m = view.job.defaults.free_zone_fraction * (hop.fresnel_radius_m or 0.0)
    at = Place(x_m=float(over[lowest, 0]), y_m=float(over[lowest, 1]), height_m=float(height_m[lowest]))
    if beside_m > 0.0:
        if top_m <= height_m[lowest]:
            return
        message = f"{thing.title}: what stands there is higher than the ray, {beside_m:.1f} m beside it."
        value, limit = beside_m, _BESIDE_M
    else:
        value, limit = float(height_m[lowest]) - top_m, _SPARE_M + zone_m
        if not 0.0 <= value < limit:
            return
        message = (
            f"{thing.title}: what passes there stays {value:.1f} m under the ray, "
            f"{_count(thing.passes_per_day)} a day; a taller load would come into it."
        )
    yield Draft(
        code="moving-blocker",
        severity="note",
        subject=hop.id,
        second_subject=area_id,
        message=message,
        source="PRACTICE",
        value=value,
        limit=limit,
        unit="m",
        hop=hop.id,
        place=at,
        cures=(work_on_site("Tell those who work there how high and how wide the way has to stay free."),),
        concerns=(area_id,),
    )


def _may_reach(corners: np.ndarray, first: tuple[float, float], last: tuple[float, float]) -> bool:
    """Return whether a ray's box comes near an area's: most do not."""
    low, high = corners.min(axis=0) - _BESIDE_M, corners.max(axis=0) + _BESIDE_M
    ends = np.array((first, last))
    return bool((ends.max(axis=0) >= low).all() and (ends.min(axis=0) <= high).all())


RULES = (moving_blocker,)
