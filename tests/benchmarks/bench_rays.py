"""Speed of what rays meet: all crossings against a geometry library, yes or no against a ray tracer, on one thread each.

Seconds are those of the processor, which other programs on the machine disturb less than those of the clock.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import shapely
from embreex import rtcore_scene
from embreex.mesh_construction import TriangleMesh
from numpy.typing import NDArray

from survey_app.ground.ray import RayIndex, blocked, crossings, near, ray_index
from tests.benchmarks.ratio import Ratio
from tests.bodies import sight_lines, solids, town, triangles

__all__ = ["measure"]

_POINTS, _BUILDINGS, _SIDE_M = 500, 2000, 2000.0
_SAMPLE = 4000
_HEIGHTS_M = ((5.0, 25.0), (2.0, 10.0), (15.0, 40.0))
_PEAK = """
import re, sys
from pathlib import Path
from survey_app.ground.ray import blocked, crossings
from tests.benchmarks.bench_rays import _index
from tests.bodies import sight_lines
ends = sight_lines(500, 5.0, 25.0, 2000.0)
index = _index(int(sys.argv[1]), 2000.0)[0]
(blocked if sys.argv[2] == "yes or no" else crossings)(index, *ends)
print(int(re.search(r"VmHWM:\\s*(\\d+)", Path("/proc/self/status").read_text())[1]) / 1024.0)
"""
_FIRST_USE = """
import sys, time
from survey_app.ground.ray import blocked, crossings, near, ray_index
from tests.bodies import sight_lines, solids, town
rings, tops = town(20, 200.0)
ends = sight_lines(5, 2.0, 20.0, 200.0)
begin = time.perf_counter()
index = ray_index(solids([([r], [(0.0, 0.0, t)], float("-inf")) for r, t in zip(rings, tops)]))
blocked(index, *ends), crossings(index, *ends), near(index, *ends, 1.0)
print(time.perf_counter() - begin)
"""


def _best(work: Callable[[], object], times: int) -> float:
    best = float("inf")
    for _ in range(times):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best


def _index(count: int, side_m: float) -> tuple[RayIndex, list[shapely.Polygon], NDArray[np.float64]]:
    rings, tops = town(count, side_m)
    bodies = solids([([r], [(0.0, 0.0, t)], float("-inf")) for r, t in zip(rings, tops.tolist(), strict=True)])
    return ray_index(bodies), [shapely.Polygon(ring) for ring in rings], tops


def measure() -> list[Ratio]:
    """Return the ratios over the sight lines between five hundred points of a town of two thousand buildings."""
    index, outlines, tops = _index(_BUILDINGS, _SIDE_M)
    rows = [_all_crossings(index, outlines)]
    scene = rtcore_scene.EmbreeScene()
    TriangleMesh(scene, triangles(outlines, tops).astype(np.float32))
    rows += [_yes_or_no(index, scene, *heights) for heights in _HEIGHTS_M]
    return [*rows, *_growth(), *_memory(), *_first_use()]


def _all_crossings(index: RayIndex, outlines: list[shapely.Polygon]) -> Ratio:
    start, end = sight_lines(_POINTS, 5.0, 25.0, _SIDE_M)
    chosen = np.random.default_rng(3).choice(len(start), _SAMPLE, replace=False)
    lines = shapely.linestrings(np.stack((start, end), axis=1)[chosen][:, :, :2])
    tree = shapely.STRtree(outlines)

    def reference() -> None:
        line, outline = tree.query(lines, predicate="intersects")
        shapely.intersection(lines[line], tree.geometries[outline])

    crossings(index, start[:9], end[:9])
    ours = _best(lambda: crossings(index, start, end), 5)
    theirs = _best(reference, 3) * len(start) / _SAMPLE
    what = f"all crossings of {len(start)} rays with {_BUILDINGS} buildings"
    return Ratio(what, theirs / ours, "times as fast as a geometry library", 100.0, ours_s=ours, reference_s=theirs)


def _yes_or_no(index: RayIndex, scene: rtcore_scene.EmbreeScene, low_m: float, high_m: float) -> Ratio:
    start, end = sight_lines(_POINTS, low_m, high_m, _SIDE_M)
    length = np.linalg.norm(end - start, axis=1)
    way = ((end - start) / length[:, None]).astype(np.float32)
    begin, far = start.astype(np.float32), length.astype(np.float32)
    ours = theirs = float("inf")
    # by turns, so that both meet the same weather; of the tracer's two ways of asking the quicker one counts
    for _ in range(7):
        ours = min(ours, _best(lambda: blocked(index, start, end), 1))
        for query in ("OCCLUDED", "INTERSECT"):
            theirs = min(theirs, _best(lambda query=query: scene.run(begin, way, far, query=query), 1))  # type: ignore[misc]
    share = blocked(index, start, end).mean()
    what = f"yes or no for {len(start)} rays from {low_m:g} to {high_m:g} m high ({share:.0%} blocked)"
    return Ratio(what, ours / theirs, "times the ray tracer's time", at_most=1.2, ours_s=ours, reference_s=theirs)


def _growth() -> list[Ratio]:
    """Time for ten times the buildings on the same ground, against N log N."""
    rows = []
    start, end = sight_lines(150, 5.0, 25.0, _SIDE_M)
    before: dict[str, float] = {}
    for count in (200, 2000, 20_000):
        index = _index(count, _SIDE_M)[0]
        works: dict[str, Callable[[], object]] = {
            "blocked": lambda index=index: blocked(index, start, end),  # type: ignore[misc]
            "crossings": lambda index=index: crossings(index, start, end),  # type: ignore[misc]
            "near 3 m": lambda index=index: near(index, start, end, 3.0),  # type: ignore[misc]
        }
        for name, work in works.items():
            work()
            took = _best(work, 3)
            if name in before:
                bar = 10.0 * np.log(count) / np.log(count / 10)
                rows.append(
                    Ratio(f"{name}, {count} buildings", took / before[name], "times a tenth of them", at_most=bar)
                )
            before[name] = took
    return rows


def _memory() -> list[Ratio]:
    """Return the largest memory of a process that asks all sight lines at once; only Linux tells it."""
    if not Path("/proc/self/status").is_file():
        return []
    rows = []
    for count, what, most in ((2000, "crossings", 1000.0), (20_000, "yes or no", 1000.0), (20_000, "crossings", None)):
        ran = subprocess.run(
            [sys.executable, "-c", _PEAK, str(count), what], check=True, capture_output=True, text=True
        )
        rows.append(Ratio(f"{what} of 124750 rays, {count} buildings, at most", float(ran.stdout), "MB", at_most=most))
    return rows


def _first_use() -> list[Ratio]:
    """Seconds until the first answers, with nothing compiled and with everything kept from before."""
    rows = []
    with tempfile.TemporaryDirectory() as folder:
        for what in ("first answers, compiling", "first answers, compiled before"):
            ran = subprocess.run(
                [sys.executable, "-c", _FIRST_USE],
                env={**_surroundings(), "NUMBA_CACHE_DIR": folder},
                check=True,
                capture_output=True,
                text=True,
            )
            rows.append(Ratio(what, float(ran.stdout), "s"))
    return rows


def _surroundings() -> dict[str, str]:
    import os

    return dict(os.environ)


if __name__ == "__main__":
    for row in measure():
        print(row.words(), flush=True)
