"""Speed of what is seen: the relief's own horizon against a library's viewshed on the same grid, shadows by number.

The library stands in the extra `bench`; without it its rows are left out, and that is said.
"""

from __future__ import annotations

import importlib.util
import itertools
import math
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable

import numpy as np

from survey_app.ground.relief.lattice import Lattice
from survey_app.ground.visibility.horizon import least_seen_m
from survey_app.ground.visibility.seen import what_is_seen
from survey_app.ground.visibility.shadows import level_shadows
from tests.benchmarks.ratio import Ratio
from tests.bodies import solids, town
from tests.ground.test_visibility_horizon import hills

__all__ = ["measure"]

_HALF = 500
_EYE_OVER_M = 10.0
_FIRST_CALL = """
import time
import numpy as np
from survey_app.ground.visibility.horizon import least_seen_m
started = time.process_time()
import numba
loaded = time.process_time()
least_seen_m(np.zeros((5, 5)), 1.0, 1.0)
print(loaded - started, time.process_time() - loaded)
"""


def measure() -> list[Ratio]:
    """Return the ratios of visibility."""
    size = 2 * _HALF + 1
    ground = hills(1, size)
    eye = float(ground[_HALF, _HALF]) + _EYE_OVER_M
    least_seen_m(ground[:5, :5], eye, 1.0)
    ours_s = _best_of(lambda: least_seen_m(ground, eye, 1.0), 7)
    rows = []
    if importlib.util.find_spec("xrspatial") is None:
        print("xarray-spatial is not installed (extra `bench`): its ratio is left out", file=sys.stderr)
    else:
        rows += _against_library(ground, least_seen_m(ground, eye, 1.0) <= 0.0, ours_s, _with_town_s(ground, eye))
    rows += _growth({n: _horizon_s(n) for n in (251, 501, 1001)}, "points of the grid, horizon", squared=True)
    rows += _growth({n: _shadows_s(n) for n in (500, 1000, 2000)}, "buildings, shadows")
    return rows + _first_calls()


def _best_of(work: Callable[[], object], times: int) -> float:
    """Return the shortest of several runs in processor time: the machine may have other work. [s]"""
    best = math.inf
    for _ in range(times):
        started = time.process_time()
        work()
        best = min(best, time.process_time() - started)
    return best


def _with_town_s(ground: np.ndarray, eye_m: float) -> float:
    """Return the time of all that a sector sees within 500 m: relief, 500 buildings, outlines. [s]"""
    rings, tops = town(500, 2.0 * _HALF)
    high = [
        float(top + ground[int(ring[0, 1]) % len(ground), int(ring[0, 0]) % len(ground)])
        for ring, top in zip(rings, tops, strict=True)
    ]
    things = solids([((ring,), [(0.0, 0.0, top)], -np.inf) for ring, top in zip(rings, high, strict=True)])
    surface = Lattice(ground, np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]), "made", 0.1)
    eye = np.array([float(_HALF), float(_HALF), eye_m + 20.0])
    what_is_seen(things, surface, eye, 2.0, 20.0)
    return _best_of(lambda: what_is_seen(things, surface, eye, 2.0, float(_HALF)), 3)


def _against_library(ground: np.ndarray, seen: np.ndarray, ours_s: float, whole_s: float) -> list[Ratio]:
    import xarray
    from xrspatial import viewshed

    along = np.arange(len(ground), dtype=float)
    raster = xarray.DataArray(ground, coords={"y": along, "x": along}, dims=("y", "x"))

    def theirs() -> np.ndarray:
        found = viewshed(raster, x=float(_HALF), y=float(_HALF), observer_elev=_EYE_OVER_M, target_elev=0.0)
        return np.asarray(found.values) > -1.0

    known = theirs()
    reference_s = _best_of(theirs, 2)
    what = f"Horizon of a relief, {len(ground)} x {len(ground)} points"
    same = float(np.mean(known == seen))
    near = _dilated(known) & _dilated(~known)
    return [
        Ratio(
            what,
            reference_s / ours_s,
            "times faster than the viewshed of xarray-spatial",
            at_least=20.0,
            ours_s=ours_s,
            reference_s=reference_s,
        ),
        Ratio(
            f"{what}, with 500 buildings and outlines",
            reference_s / whole_s,
            "times faster than the same viewshed without them",
            at_least=20.0,
            ours_s=whole_s,
            reference_s=reference_s,
        ),
        Ratio(f"{what}, cells alike", 100.0 * same, "%", at_least=99.5),
        Ratio(f"{what}, cells unlike away from edges", float(((known != seen) & ~near).sum()), "cells", at_most=0.0),
    ]


def _dilated(mask: np.ndarray) -> np.ndarray:
    """Return a mask with every cell that touches it."""
    padded = np.pad(mask, 1)
    rows, columns = mask.shape
    return np.any([padded[i : i + rows, j : j + columns] for i in range(3) for j in range(3)], axis=0)


def _growth(times: dict[int, float], what: str, *, squared: bool = False) -> list[Ratio]:
    sizes = sorted(times)
    rows = []
    for small, large in itertools.pairwise(sizes):
        steps = math.log(large / small) * (2.0 if squared else 1.0)
        power = math.log(times[large] / times[small]) / steps
        rows.append(
            Ratio(
                f"Growth from {small:,} to {large:,} {what}",
                power,
                "power of the number",
                at_most=1.5,
                ours_s=times[large],
                reference_s=times[small],
            )
        )
    return rows


def _horizon_s(size: int) -> float:
    ground = hills(1, size)
    return _best_of(lambda: least_seen_m(ground, float(ground[size // 2, size // 2]) + _EYE_OVER_M, 1.0), 9)


def _shadows_s(count: int) -> float:
    rings, tops = town(count)
    things = solids([((ring,), [(0.0, 0.0, float(top))], -np.inf) for ring, top in zip(rings, tops, strict=True)])
    return _best_of(lambda: level_shadows(things, np.array([1000.0, 1000.0, 40.0]), 2.0, 2000.0), 5)


def _first_calls() -> list[Ratio]:
    rows = []
    with tempfile.TemporaryDirectory() as folder:
        for what in ("compiled", "from the cache"):
            surroundings = {**os.environ, "NUMBA_CACHE_DIR": folder}
            started = time.perf_counter()
            answer = subprocess.run(
                [sys.executable, "-c", _FIRST_CALL], env=surroundings, capture_output=True, text=True, check=True
            )
            loading, calling = map(float, answer.stdout.split())
            whole = time.perf_counter() - started
            words = f"Horizon, first call {what} (loading the compiler {loading:.2f} s, the process {whole:.2f} s)"
            rows.append(Ratio(words, calling, "s of processor time"))
    return rows


if __name__ == "__main__":
    for row in measure():
        print(row.words())
