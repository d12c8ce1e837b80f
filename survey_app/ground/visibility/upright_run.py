"""Along a line over which something can be raised: from where, and from which least height, a point is seen."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterable
from dataclasses import dataclass

import numpy as np
import shapely

from survey_app.ground._arrays import FloatArray
from survey_app.ground.solids import SolidKind, Solids
from survey_app.ground.visibility.shadows import upright_shadows

__all__ = ["FreeRun", "free_runs", "joined"]

_SAME_M = 1e-6


@dataclass(frozen=True)
class FreeRun:
    """A stretch of a line that sees the point, and the least heights at its ends; straight in between.

    Attributes
    ----------
    start_m, end_m : float
        Distance from the line's start. [m]
    least_at_start_m, least_at_end_m : float
        Over the site datum. [m]
    """

    start_m: float
    end_m: float
    least_at_start_m: float
    least_at_end_m: float


def free_runs(
    solids: Solids,
    point_m: FloatArray,
    start_m: FloatArray,
    end_m: FloatArray,
    low_m: float,
    high_m: float,
    *,
    kinds: Collection[SolidKind] | None = None,
    without: Collection[int] = (),
) -> tuple[FreeRun, ...]:
    """Return the stretches of a line from which a point is seen at some height.

    Parameters
    ----------
    solids : Solids
        What stands.
    point_m : ndarray of float, shape (3,)
        What is to be seen: x, y, height over the site datum.
    start_m, end_m : ndarray of float, shape (2,)
        Ends of the line on the plan, apart. [m]
    low_m, high_m : float
        Lowest and highest place over the line, over the site datum. [m]
    kinds, without
        As in `upright_shadows`.

    Returns
    -------
    tuple of FreeRun
        By the distance from the start. Exact: the planes through the point and the edges of the solids cut the upright
        plane over the line in straight lines, so the least height is a chain of them.
    """
    hidden = upright_shadows(solids, point_m, start_m, end_m, low_m, high_m, kinds=kinds, without=without)
    length = float(np.hypot(*(end_m - start_m)))
    corners = shapely.get_coordinates(hidden)[:, 0]
    breaks = np.unique(np.clip(np.concatenate(([0.0, length], corners)), 0.0, length))
    breaks = breaks[np.concatenate(([True], np.diff(breaks) > _SAME_M))]
    breaks[-1] = length
    runs: list[FreeRun] = []
    for a, b in itertools.pairwise(breaks.tolist()):
        third = (b - a) / 3.0
        one, two = (_least_m(hidden, along, low_m, high_m) for along in (a + third, b - third))
        if one is None or two is None:
            continue
        # what is straight over a stretch is known from two places within it
        runs.append(FreeRun(a, b, max(2.0 * one - two, low_m), max(2.0 * two - one, low_m)))
    return joined(runs)


def joined(runs: Iterable[FreeRun]) -> tuple[FreeRun, ...]:
    """Return stretches of a line, those that continue each other in one straight line as one."""
    found: list[FreeRun] = []
    for run in runs:
        if found and _goes_on(found[-1], run):
            before = found.pop()
            run = FreeRun(before.start_m, run.end_m, before.least_at_start_m, run.least_at_end_m)
        found.append(run)
    return tuple(found)


def _least_m(hidden: shapely.Geometry, along_m: float, low_m: float, high_m: float) -> float | None:
    """Return the lowest height at one place of the line that is not hidden."""
    upright = shapely.LineString([(along_m, low_m - 1.0), (along_m, high_m + 1.0)])
    met = shapely.get_parts(shapely.intersection(hidden, upright))
    spans = sorted((part.bounds[1], part.bounds[3]) for part in met if part.length > 0.0)
    least = low_m
    for low, high in spans:
        if low > least + _SAME_M:
            break
        least = max(least, high)
    return None if least >= high_m - _SAME_M else least


def _goes_on(before: FreeRun, run: FreeRun) -> bool:
    """Return whether one stretch continues another in the same straight line."""
    if abs(before.end_m - run.start_m) > _SAME_M or abs(before.least_at_end_m - run.least_at_start_m) > 1e-5:
        return False
    slopes = [(one.least_at_end_m - one.least_at_start_m) / (one.end_m - one.start_m) for one in (before, run)]
    return abs(slopes[0] - slopes[1]) < 1e-6
