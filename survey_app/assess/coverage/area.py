"""Where a radio's rates reach: outlines of what the budget carries, and of what of it is seen."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from survey_app.assess.coverage.around import STANDING_KINDS, WhatStands, what_stands
from survey_app.assess.coverage.inside import floor_view, mounts_inside
from survey_app.assess.coverage.levels import path_gain_db, spare_db
from survey_app.assess.coverage.pair import FarEnd, Pair, far_end_of, pair_of
from survey_app.assess.coverage.served import ServedMount, mounts_served
from survey_app.assess.job import Job
from survey_app.assess.numbers import Numbers
from survey_app.errors import UsageError
from survey_app.ground.relief.surface import LevelGround
from survey_app.ground.visibility.outlines import area_above
from survey_app.ground.visibility.seen import Seen, what_is_seen
from survey_app.physics.arrays import FloatArray
from survey_app.physics.free_space import free_space_range_m
from survey_app.physics.geometry import STANDARD_K
from survey_app.site.gear_type import RadioType
from survey_app.spectrum.regions import Regions, load_regions

__all__ = ["FARTHEST_M", "Coverage", "RateArea", "best_of", "coverage", "share_percent"]

FARTHEST_M = 2000.0
"""Coverage is looked at no farther than this unless asked for. [m]"""
_NEAREST_M = 0.5
_BEARINGS = 721
_DISTANCES = 160
_NEAR_M = 1000.0


@dataclass(frozen=True)
class RateArea:
    """Where one rate or a better one is to be had.

    Attributes
    ----------
    rate_mbps : float
        Link rate. [Mbit/s]
    mcs : int
        Rate index.
    reached : shapely.Geometry
        Where the pattern and the budget carry it in free space, with the wanted margin, at full power.
    seen : shapely.Geometry
        The part of it that is seen.
    """

    rate_mbps: float
    mcs: int
    reached: shapely.Geometry
    seen: shapely.Geometry

    @property
    def reached_m2(self) -> float:
        """[m2]"""
        return float(self.reached.area)

    @property
    def seen_m2(self) -> float:
        """[m2]"""
        return float(self.seen.area)


@dataclass(frozen=True)
class Coverage:
    """What a radio covers.

    Attributes
    ----------
    radio : str
        Its id.
    far_end : FarEnd
        What stands at the far end.
    radius_m : float
        How far was looked. [m]
    rates : tuple of RateArea
        The highest rate first; each area holds those of the higher rates.
    sight : Seen
        What is seen of the disc, whatever the pattern.
    mounts : tuple of ServedMount
        All other mounts, the nearest first.
    """

    radio: str
    far_end: FarEnd
    radius_m: float
    rates: tuple[RateArea, ...]
    sight: Seen
    mounts: tuple[ServedMount, ...]

    def at_rate(self, rate_mbps: float) -> shapely.Geometry:
        """Return where a link rate or a better one is to be had and seen.

        Parameters
        ----------
        rate_mbps : float
            [Mbit/s]
        """
        return shapely.union_all([one.seen for one in self.rates if one.rate_mbps >= rate_mbps])


def coverage(
    job: Job,
    radio_id: str,
    far_end: FarEnd | None = None,
    *,
    regions: Regions | None = None,
    radius_m: float | None = None,
    gear: RadioType | None = None,
    around: WhatStands | None = None,
    found: Numbers | None = None,
) -> Coverage:
    """Return what a radio covers for a far end at a height over the ground.

    Parameters
    ----------
    job : Job
        The indexed site.
    radio_id : str
        Any radio with a place, an aim and a channel.
    far_end : FarEnd or None
        None = as `far_end_of` says.
    regions : Regions or None
        Radio rules; None reads those that travel with the program.
    radius_m : float or None
        How far to look, > 0; None = as far as the lowest rate carries on the axis, `FARTHEST_M` at most. [m]
    gear : RadioType or None
        The far end's type, where the site carries no copy of it.
    around : WhatStands or None
        What stands on the site, if already made.
    found : Numbers or None
        Numbers of the site, if already made.

    Raises
    ------
    UsageError
        See `pair_of` and `floor_view`; or the radius is not positive.

    Notes
    -----
    A radio that hangs indoors covers its building, the far end that high over the building's foot: `reached` is then
    without walls, and `seen` what it has through them, see `floor_view`.
    """
    if radius_m is not None and not (np.isfinite(radius_m) and radius_m > _NEAREST_M):
        raise UsageError(f"a radius of {radius_m:g} m is out of range", remedy=f"ask for more than {_NEAREST_M:g} m")
    if far_end is None:
        if radio_id not in job.radios:
            raise UsageError(f"{radio_id} is no radio on a mount with a place", where=f"radio {radio_id}")
        far_end = far_end_of(job, radio_id)
    pair = pair_of(job, regions if regions is not None else load_regions(), radio_id, far_end, gear=gear, found=found)
    if job.mounts[job.radios[radio_id].mount].environment == "indoors":
        return _inside(pair, radio_id, far_end)
    stands = around if around is not None else what_stands(job)
    radius = _radius_m(pair) if radius_m is None else radius_m
    sight = what_is_seen(
        stands.solids, stands.ground, pair.eye_m, far_end.over_ground_m, radius, kinds=STANDING_KINDS, k=STANDARD_K
    )
    rates = []
    for mcs, reached in _reached(pair, stands, far_end.over_ground_m, radius):
        rates.append(RateArea(float(pair.rate_mbps[mcs]), mcs, reached, shapely.intersection(reached, sight.seen)))
    return Coverage(radio_id, far_end, radius, tuple(rates), sight, mounts_served(pair, stands))


def _inside(pair: Pair, radio_id: str, far_end: FarEnd) -> Coverage:
    """Return what a radio indoors covers of its building."""
    view = floor_view(pair, far_end.over_ground_m)
    rates = tuple(RateArea(float(pair.rate_mbps[mcs]), mcs, *areas) for mcs, *areas in view.rates)
    hidden, nothing = shapely.difference(view.floor, view.seen), shapely.Polygon()
    sight = Seen(view.seen, hidden, nothing, view.step_m)
    return Coverage(radio_id, far_end, view.radius_m, rates, sight, mounts_inside(pair))


def _radius_m(pair: Pair) -> float:
    """Return how far the rate that carries farthest goes on the axis."""
    peak = pair.radios.gain_dbi[[pair.radio, pair.other]].sum() - pair.fixed_loss_db
    wanted = pair.wanted_db(np.array([1.0]))[0]
    carried = pair.power_over_sensitivity_db + peak - wanted
    if np.isnan(carried).all():
        return FARTHEST_M
    farthest = float(free_space_range_m(np.nanmax(carried), pair.centre_mhz))
    return float(np.clip(farthest, 10.0, FARTHEST_M))


def _reached(
    pair: Pair, around: WhatStands, over_ground_m: float, radius_m: float
) -> list[tuple[int, shapely.Geometry]]:
    """Return where each rate is carried, the highest rate first.

    On a grid of bearings and logarithms of distances, along which free space is a straight line; halves of the circle
    and the two sides of the distance where the wanted margin changes are outlined apart and joined.
    """
    has = np.flatnonzero(~np.isnan(pair.rate_mbps) & np.isfinite(pair.power_over_sensitivity_db))
    order = sorted(has.tolist(), key=lambda mcs: (-pair.rate_mbps[mcs], -mcs))
    eye = pair.eye_m
    bands = [(_NEAREST_M, min(_NEAR_M, radius_m))] + ([(_NEAR_M, radius_m)] if radius_m > _NEAR_M else [])
    found: dict[int, list[shapely.Geometry]] = {mcs: [] for mcs in order}
    for near_m, far_m in bands:
        scale = np.linspace(np.log(near_m), np.log(far_m), _DISTANCES)
        for first in (0.0, 180.0):
            bearing = np.linspace(first, first + 180.0, _BEARINGS // 2 + 1)
            points = _over_ground(around, _polar(eye)(_mesh(bearing, scale)), over_ground_m)
            gain, distance = path_gain_db(pair, points.reshape(len(scale), len(bearing), 3))
            # on the far side of the change even the first ring wants the larger margin
            wanted = pair.wanted_db(np.where(near_m == _NEAR_M, np.maximum(distance, _NEAR_M * (1.0 + 1e-9)), distance))
            for mcs in order:
                field = spare_db(pair, gain, wanted, mcs)
                found[mcs].append(area_above(bearing, scale, field, _polar(eye)))
    return [(mcs, shapely.union_all(found[mcs])) for mcs in order]


def _mesh(bearing_deg: FloatArray, scale: FloatArray) -> FloatArray:
    turn, far = np.meshgrid(bearing_deg, scale)
    return np.column_stack((turn.ravel(), far.ravel()))


def _polar(eye_m: FloatArray) -> Callable[[FloatArray], FloatArray]:
    """Return what takes plan bearings and logarithms of distances to the plan."""

    def mapped(points: FloatArray) -> FloatArray:
        turn, away = np.radians(points[:, 0]), np.exp(points[:, 1])
        # where the halves of the circle meet the sine is 0, so that both have the very same edge
        return np.column_stack((eye_m[0] + away * np.round(np.sin(turn), 14), eye_m[1] + away * np.cos(turn)))

    return mapped


def _over_ground(around: WhatStands, plan_m: FloatArray, over_ground_m: float) -> FloatArray:
    ground = around.ground
    heights = (
        np.full(len(plan_m), ground.height_m)
        if isinstance(ground, LevelGround)
        else ground.heights_m(plan_m[:, 0], plan_m[:, 1])
    )
    return np.column_stack((plan_m, heights + over_ground_m))


def best_of(covered: Sequence[Coverage]) -> tuple[tuple[float, shapely.Geometry], ...]:
    """Return where the best of several radios gives each rate or a better one, and is seen.

    Parameters
    ----------
    covered : sequence of Coverage
        The set.

    Returns
    -------
    tuple of (rate_mbps, shapely.Geometry)
        The highest rate first. [Mbit/s]
    """
    rates = sorted({one.rate_mbps for each in covered for one in each.rates}, reverse=True)
    return tuple((rate, shapely.union_all([each.at_rate(rate) for each in covered])) for rate in rates)


def share_percent(covered: Sequence[Coverage], area: shapely.Geometry, rate_mbps: float) -> float:
    """Return how much of an area has a link rate or a better one from any of several radios. [%]

    Parameters
    ----------
    covered : sequence of Coverage
        The set.
    area : shapely.Geometry
        Where something moves; of the plan.
    rate_mbps : float
        [Mbit/s]

    Raises
    ------
    UsageError
        The area has no size.
    """
    if not area.area > 0.0:
        raise UsageError("an area without size cannot be covered")
    served = shapely.union_all([each.at_rate(rate_mbps) for each in covered])
    return 100.0 * float(shapely.intersection(area, served).area) / float(area.area)
