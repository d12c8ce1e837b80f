"""The inverse of coverage: from which places of the site a far end can be seen, and from which least height."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from survey_app.assess.coverage.around import STANDING_KINDS, WhatStands
from survey_app.assess.job import Job
from survey_app.ground.relief.profiles import least_clearance
from survey_app.ground.relief.surface import LevelGround, Surface
from survey_app.ground.visibility.upright_run import FreeRun, free_runs, joined
from survey_app.physics.arrays import FloatArray
from survey_app.physics.geometry import earth_bulge_m
from survey_app.site.structure import Building, Mast, Pole

__all__ = ["EdgeSight", "FreeRun", "PoleSight", "places_that_see"]

STAND_OFF_M = 0.3
"""So far off its wall or its pole an antenna hangs, if nobody says. [m]"""
_GONE = ("removed", "later")
_HALF_M = 0.01
_GROUND_STEP_M = 1.0
"""Along an edge the ground is asked at every so many metres, and wherever a solid begins or ends to decide. [m]"""
_HALVINGS = 30


@dataclass(frozen=True)
class EdgeSight:
    """What a roof edge sees of a far end.

    Attributes
    ----------
    structure : str
        Id of the building.
    edge : int
        Number of the edge, from 0.
    length_m : float
        [m]
    eaves_m : float
        Over the site datum. [m]
    runs : tuple of FreeRun
        Stretches from which it is seen, with the least height over the site datum; empty = from nowhere.
    """

    structure: str
    edge: int
    length_m: float
    eaves_m: float
    runs: tuple[FreeRun, ...]

    @property
    def best(self) -> tuple[float, float] | None:
        """Distance along the edge and least height over the eaves where that is least. [m]"""
        ends = [
            end for run in self.runs for end in ((run.least_at_start_m, run.start_m), (run.least_at_end_m, run.end_m))
        ]
        if not ends:
            return None
        least, along = min(ends)
        return along, least - self.eaves_m


@dataclass(frozen=True)
class PoleSight:
    """From which least height on a pole or mast a far end is seen.

    Attributes
    ----------
    structure : str
        Its id.
    foot_m : float
        Over the site datum. [m]
    least_m : float or None
        Over the foot; None = from nowhere up to its top. [m]
    """

    structure: str
    foot_m: float
    least_m: float | None


def places_that_see(
    job: Job,
    around: WhatStands,
    far_end_m: FloatArray,
    *,
    most_over_eaves_m: float = 6.0,
    stand_off_m: float = STAND_OFF_M,
    structures: Collection[str] | None = None,
) -> tuple[tuple[EdgeSight, ...], tuple[PoleSight, ...]]:
    """Return from where along roof edges and on poles a far end is seen, past everything that always stands.

    Parameters
    ----------
    job : Job
        The indexed site.
    around : WhatStands
        What stands on it.
    far_end_m : ndarray of float, shape (3,)
        x, y, height over the site datum.
    most_over_eaves_m : float
        How high over its eaves something may stand at a roof edge, > 0. [m]
    stand_off_m : float
        How far off its wall or pole it hangs, >= 0. [m]
    structures : collection of str or None
        The structures that are asked about; None = all.

    Returns
    -------
    edges : tuple of EdgeSight
        Every edge of every building, in the site's order.
    poles : tuple of PoleSight
        Every pole and mast.

    Notes
    -----
    Straight rays past solids, exact along an edge, and over the ground with the earth's bulge, asked every metre along
    it and taken straight in between. Where the ground on the way is not known, nothing is seen.
    """
    point = np.asarray(far_end_m, np.float64)
    edges, poles = [], []
    thing = {key: n for n, key in enumerate(around.solids.ids)}
    for structure in job.design.structures:
        if structure.status in _GONE or (structures is not None and structure.id not in structures):
            continue
        foot = job.placed.feet_m[structure.id]
        if isinstance(structure, Building) and np.isfinite(foot):
            eaves = foot + structure.eaves_height_m
            for n, start, end in _edges(job.placed.outlines[structure.id], stand_off_m):
                runs = free_runs(
                    around.solids, point, start, end, eaves, eaves + most_over_eaves_m, kinds=STANDING_KINDS
                )
                runs = _over_ground(around.ground, point, start, end, runs, eaves, eaves + most_over_eaves_m)
                edges.append(EdgeSight(structure.id, n, float(np.hypot(*(end - start))), eaves, runs))
        elif isinstance(structure, Pole | Mast) and np.isfinite(foot):
            at = job.placed.points[structure.id]
            spot = np.array([at.x_m, at.y_m])
            away = point[:2] - spot
            if not np.hypot(*away) > stand_off_m:
                continue
            # on the side toward the far end, across the line of sight
            toward = away / np.hypot(*away)
            spot, across = spot + stand_off_m * toward, np.array([-toward[1], toward[0]]) * _HALF_M
            top = foot + structure.height_m
            without = [thing[structure.id]] if structure.id in thing else []
            runs = free_runs(
                around.solids, point, spot - across, spot + across, foot, top, kinds=STANDING_KINDS, without=without
            )
            runs = _over_ground(around.ground, point, spot - across, spot + across, runs, foot, top)
            least = [run.least_at_start_m for run in runs if run.start_m <= _HALF_M <= run.end_m]
            poles.append(PoleSight(structure.id, foot, min(least) - foot if least else None))
    return tuple(edges), tuple(poles)


def _over_ground(
    ground: Surface,
    point_m: FloatArray,
    start_m: FloatArray,
    end_m: FloatArray,
    runs: tuple[FreeRun, ...],
    low_m: float,
    high_m: float,
) -> tuple[FreeRun, ...]:
    """Return stretches of a line with the heights that the ground wants besides."""
    if isinstance(ground, LevelGround) or not runs:
        return runs
    length = float(np.hypot(*(end_m - start_m)))
    ends = [place for run in runs for place in (run.start_m, run.end_m)]
    places = np.unique(np.concatenate((np.arange(0.0, length, _GROUND_STEP_M), [length], ends)))
    least = _least_over_ground_m(
        ground, point_m, start_m + (end_m - start_m) * (places / length)[:, None], low_m, high_m
    )
    found: list[FreeRun] = []
    for run in runs:
        inside = np.flatnonzero((places >= run.start_m) & (places <= run.end_m))
        along = places[inside]
        part = (along - run.start_m) / max(run.end_m - run.start_m, 1e-12)
        solid = run.least_at_start_m + part * (run.least_at_end_m - run.least_at_start_m)
        height = np.maximum(solid, least[inside])
        # NaN: the ground hides it up to the top, or nobody knows it
        known = np.flatnonzero(np.isfinite(height[:-1]) & np.isfinite(height[1:])).tolist()
        found += [FreeRun(*along[n : n + 2].tolist(), *height[n : n + 2].tolist()) for n in known]
    return joined(found)


def _least_over_ground_m(
    ground: Surface, point_m: FloatArray, at_m: FloatArray, low_m: float, high_m: float
) -> FloatArray:
    """Return from which height over the site datum a point is seen past the ground; NaN = from none up to the top."""
    there = np.broadcast_to(point_m[:2], at_m.shape).copy()
    profiles = ground.profiles(np.ascontiguousarray(at_m), there)
    half = np.hypot(*(at_m - there).T) / 2.0
    bulge, far = earth_bulge_m(half, half), np.full(len(at_m), point_m[2])

    def over(height_m: FloatArray) -> FloatArray:
        return least_clearance(profiles, height_m, far, bulge)[0]

    low, high = np.full(len(at_m), low_m), np.full(len(at_m), high_m)
    clear_low, clear_high = over(low) >= 0.0, over(high) >= 0.0
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        clear = over(middle) >= 0.0
        low, high = np.where(clear, low, middle), np.where(clear, middle, high)
    return np.where(clear_low, low_m, np.where(clear_high, high, np.nan))


def _edges(outline: FloatArray, stand_off_m: float) -> Iterator[tuple[int, FloatArray, FloatArray]]:
    """Yield the edges of an outline, moved outward; those without a length are left out."""
    if not np.isfinite(outline).all() or len(outline) < 3:
        return
    outward = 1.0 if shapely.is_ccw(shapely.LinearRing(outline)) else -1.0
    for n, (start, end) in enumerate(zip(outline, np.roll(outline, -1, axis=0), strict=True)):
        length = float(np.hypot(*(end - start)))
        if length < 10.0 * _HALF_M:
            continue
        along = (end - start) / length
        off = stand_off_m * outward * np.array([along[1], -along[0]])
        yield n, start + off, end + off
