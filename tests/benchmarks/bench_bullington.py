"""Speed of Bullington's construction over many profiles against an independent library called profile by profile.

The library's public call builds a whole path with units; its compiled core, called past that, is timed too, so that the
ratio is not one of units. Both find the construction four times a path, with three smooth-earth fits beside it.
"""

from __future__ import annotations

import math
import os
import subprocess
import sys
import tempfile
import time
import warnings
from collections.abc import Callable
from pathlib import Path

import numpy as np

from survey_app.physics.bullington import bullington_loss_db, bullington_parameter, ragged_bullington_parameter
from tests.benchmarks.ratio import Ratio

__all__ = ["measure"]

_POINTS = 200
_PROFILES = 100_000
_ASKED = 200
_LENGTH_M = 2_000.0
_K = 8500.0 / 6371.0

_FIRST_CALL = """
import time
import numpy as np
from survey_app.physics.bullington import bullington_parameter
heights, ends, away = np.ones((2, 3)), np.ones(2), np.ones(3)
started = time.process_time()
import numba
loaded = time.process_time()
bullington_parameter(away, away, heights, ends, ends, 5500.0)
print(loaded - started, time.process_time() - loaded)
"""


def measure() -> list[Ratio]:
    """Return the ratios of the construction."""
    whole_m, d1_m, d2_m, height_m, h1_m, h2_m = _profiles(_PROFILES)
    bullington_parameter(d1_m, d2_m, height_m[:2], h1_m[:2], h2_m[:2], 5500.0, _K)

    def ours() -> object:
        parameter = bullington_parameter(d1_m, d2_m, height_m, h1_m, h2_m, 5500.0, _K)
        return bullington_loss_db(parameter, _LENGTH_M)

    public, core, theirs = _library(whole_m, height_m, h1_m, h2_m)
    found = bullington_parameter(d1_m, d2_m, height_m[:_ASKED], h1_m[:_ASKED], h2_m[:_ASKED], 5500.0, _K)
    if np.abs(found - theirs).max() > 1e-9:
        raise SystemExit("the reference disagrees: no ratio can be given")
    ours_s = _best_of(ours, 7)
    what = f"Bullington, {_PROFILES:,} profiles of {_POINTS} points"
    unit = "times faster than pycraf called per profile"
    rows = [
        Ratio(what, public / ours_s, unit, at_least=20.0, ours_s=ours_s, reference_s=public),
        Ratio(f"{what}, past the units", core / ours_s, unit, at_least=10.0, ours_s=ours_s, reference_s=core),
    ]
    rows.append(_ragged(d1_m, d2_m, height_m, h1_m, h2_m, ours_s))
    times = {count: _timed(count) for count in (10_000, 30_000, 100_000)}
    for small, large in ((10_000, 30_000), (30_000, 100_000)):
        power = math.log(times[large] / times[small]) / math.log(large / small)
        rows.append(
            Ratio(
                f"Bullington, growth from {small:,} to {large:,} profiles",
                power,
                "power of the number of profiles",
                at_most=1.15,
                ours_s=times[large],
                reference_s=times[small],
            )
        )
    return rows + _first_calls()


def _best_of(work: Callable[[], object], times: int) -> float:
    """Return the shortest of several runs in seconds of the processor: all here runs on one core and waits for nothing."""
    best = float("inf")
    for _ in range(times):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best


def _profiles(count: int) -> tuple[np.ndarray, ...]:
    """Return distances along the profiles with both ends, distances to both ends, heights, and heights of the ends."""
    random = np.random.default_rng(4)
    whole_m = np.linspace(0.0, _LENGTH_M, _POINTS + 2)
    d1_m = whole_m[1:-1]
    height_m = random.uniform(0.0, 20.0, (count, _POINTS))
    return whole_m, d1_m, _LENGTH_M - d1_m, height_m, random.uniform(5, 30, count), random.uniform(5, 30, count)


def _library(whole_m, height_m, h1_m, h2_m) -> tuple[float, float, np.ndarray]:
    """Return seconds for all profiles, by the public call and by its compiled core, and what the call found."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from astropy import units
        from pycraf import conversions, pathprof
        from pycraf.pathprof import cyprop

        gradient = 157 * (1 - 1 / _K)
        d_km = whole_m / 1000.0
        rows = [np.concatenate([[0.0], row, [0.0]]) for row in height_m[:_ASKED]]

        def public(n: int) -> float:
            path = pathprof.PathProp(
                5.5 * units.GHz,
                290 * units.K,
                1013 * units.hPa,
                *(0 * units.deg, 50 * units.deg, 0.03 * units.deg, 50 * units.deg),
                h1_m[n] * units.m,
                h2_m[n] * units.m,
                10 * units.m,
                50 * units.percent,
                delta_N=gradient * conversions.dimless / units.km,
                N0=325 * conversions.dimless,
                hprof_dists=d_km * units.km,
                hprof_heights=rows[n] * units.m,
                hprof_bearing=90 * units.deg,
                hprof_backbearing=-90 * units.deg,
            )
            return float(path.nu_bull_50.value)

        def core(n: int) -> object:
            ends = (0.0, 50.0, 0.03, 50.0, h1_m[n], h2_m[n], 10.0, 50.0, 0.0, None, None, None, None, -1, -1, 0, 16)
            return cyprop._PathProp(5.5, 290.0, 1013.0, *ends, gradient, 325.0, d_km, rows[n], 90.0, -90.0)

        found = np.array([public(n) for n in range(_ASKED)])
        public_s = _best_of(lambda: [public(n) for n in range(_ASKED // 4)], 3) / (_ASKED // 4)
        core_s = _best_of(lambda: [core(n) for n in range(_ASKED)], 5) / _ASKED
    return public_s * _PROFILES, core_s * _PROFILES, found


def _ragged(d1_m, d2_m, height_m, h1_m, h2_m, dense_s: float) -> Ratio:
    offsets = np.arange(_PROFILES + 1) * _POINTS
    near_m, far_m, flat_m = np.tile(d1_m, _PROFILES), np.tile(d2_m, _PROFILES), height_m.ravel()
    ragged_s = _best_of(lambda: ragged_bullington_parameter(near_m, far_m, flat_m, offsets, h1_m, h2_m, 5500.0, _K), 5)
    return Ratio(
        "Bullington, profiles of any length against one length for all",
        ragged_s / dense_s,
        "times the time",
        ours_s=ragged_s,
        reference_s=dense_s,
    )


def _timed(count: int) -> float:
    _, d1_m, d2_m, height_m, h1_m, h2_m = _profiles(count)
    return _best_of(lambda: bullington_parameter(d1_m, d2_m, height_m, h1_m, h2_m, 5500.0, _K), 7)


def _first_calls() -> list[Ratio]:
    """Return what the first call of a program costs, before and after the compiled code was kept."""
    with tempfile.TemporaryDirectory() as folder:
        first_s, later_s = _first_call_s(Path(folder)), _first_call_s(Path(folder))
    compile_s, read_s = first_s[1], later_s[1]
    return [
        Ratio("Bullington, first call ever (compiling)", compile_s, "s of processor"),
        Ratio("Bullington, first call of a later start (compiled code kept)", read_s, "s of processor"),
        Ratio("loading the compiler, in either", later_s[0], "s of processor"),
    ]


def _first_call_s(folder: Path) -> tuple[float, float]:
    surroundings = {**os.environ, "NUMBA_CACHE_DIR": str(folder)}
    done = subprocess.run(
        [sys.executable, "-c", _FIRST_CALL], capture_output=True, text=True, check=True, env=surroundings
    )
    loading_s, calling_s = map(float, done.stdout.split())
    return loading_s, calling_s


if __name__ == "__main__":
    started = time.perf_counter()
    for row in measure():
        print(row.words())
    print(f"measured in {time.perf_counter() - started:.0f} s")
