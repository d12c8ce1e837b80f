"""Small jobs need no compiler: the text of every loop gives the bits of its machine code, and nothing is compiled."""

from __future__ import annotations

import dataclasses
import subprocess
import sys
import textwrap
from pathlib import Path
from unittest.mock import patch

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.ground.clearance import Bodies, Rays, all_pairs, clearances
from survey_app.ground.clearance_ground import ground_clearances
from survey_app.ground.first_use import geometry_is_ready, prepare_geometry
from survey_app.ground.ray import blocked, crossings, near, ray_index, usable
from survey_app.physics.kernels import Kernel
from tests.bodies import solids
from tests.ground.relief_samples import rough, spots, turned

ROOT = Path(__file__).resolve().parents[2]

# whole numbers a few metres apart: rays along walls, through corners, level with roofs, upright and of no length
WHOLE = st.integers(-4, 14).map(float)
POINT = st.tuples(WHOLE, WHOLE, st.sampled_from([0.0, 3.0, 5.0, 9.0, 4.25]))
BOX = st.tuples(WHOLE, WHOLE, st.integers(1, 6), st.integers(1, 6)).map(
    lambda b: np.array([(b[0], b[1]), (b[0] + b[2], b[1]), (b[0] + b[2], b[1] + b[3]), (b[0], b[1] + b[3])])
)
ELL = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (4.0, 4.0), (4.0, 10.0), (0.0, 10.0)])
TOPS = st.sampled_from(
    [
        [(0.0, 0.0, 5.0)],
        [(0.5, 0.0, 4.0), (-0.5, 0.0, 7.0)],
        [(0.5, 0.0, 4.0), (-0.5, 0.0, 7.0), (0.0, 0.4, 4.5), (0.0, -0.4, 6.5)],
    ]
)
PRISM = st.tuples(st.one_of(BOX, st.just(ELL)).map(lambda ring: [ring]), TOPS, st.sampled_from([-np.inf, 2.0]))
UPRIGHT = st.tuples(WHOLE, WHOLE, st.just(0.0), st.sampled_from([5.0, 9.0]), *[st.sampled_from([0.05, 1.0])] * 2)
WIRE = st.tuples(WHOLE, WHOLE, st.just(5.0), WHOLE, WHOLE, st.sampled_from([5.0, 6.5]))
SITE = st.builds(solids, *(st.lists(one, max_size=most) for one, most in ((PRISM, 4), (UPRIGHT, 1), (WIRE, 2))))
RAYS = st.lists(st.tuples(POINT, POINT), min_size=1, max_size=4).map(lambda ends: np.array(ends).transpose(1, 0, 2))


def as_text(self, steps):
    return self.text()


def compiled(self, steps):
    return self


def same(job) -> None:
    """Do a job both ways and compare every array that comes back, bit for bit."""
    with patch.object(Kernel, "sized", as_text):
        told = _arrays(job())
    with patch.object(Kernel, "sized", compiled):
        made = _arrays(job())
    assert len(told) == len(made) > 0
    for one, other in zip(told, made, strict=True):
        assert one.dtype == other.dtype
        assert one.shape == other.shape
        assert np.where(one != one, 0, one).tobytes() == np.where(other != other, 0, other).tobytes()
        assert (np.isnan(one) == np.isnan(other)).all()


def _arrays(found) -> list[np.ndarray]:
    if isinstance(found, np.ndarray):
        return [np.ascontiguousarray(found)]
    if dataclasses.is_dataclass(found):
        found = [getattr(found, field.name) for field in dataclasses.fields(found)]
    return [array for part in found for array in _arrays(part)] if isinstance(found, (list, tuple)) else []


@settings(max_examples=30, deadline=None)
@given(SITE, RAYS)
def test_rays_give_the_same_bits_interpreted(bodies, ends):
    def job():
        index = ray_index(bodies)
        return [
            np.array(list(index.cells.body)),
            usable(*ends),
            blocked(index, *ends),
            blocked(index, *ends, without=np.zeros((len(ends[0]), 1))),
            crossings(index, *ends),
            near(index, *ends, 1.5),
        ]

    same(job)


@settings(max_examples=25, deadline=None)
@given(SITE, RAYS, st.sampled_from([4 / 3, np.inf, 0.6]))
def test_clearances_give_the_same_bits_interpreted(bodies, ends, k):
    rays = Rays(*ends, np.full(len(ends[0]), 0.052))

    def job():
        made = Bodies.of(bodies)
        return [*made.edges, clearances(made, rays, all_pairs(len(rays), bodies), k=k)]

    same(job)


@settings(max_examples=12, deadline=None)
@given(RAYS, st.integers(0, 3), st.booleans())
def test_relief_gives_the_same_bits_interpreted(ends, seed, gap):
    heights = rough(6, 7, seed)
    if gap:
        heights[2, 3] = np.nan
    rays = Rays(*ends + np.array([0.0, 0.0, 20.0]), np.full(len(ends[0]), 0.052))

    def job():
        found = []
        for ground in (turned(heights, step_m=2.0, at=(0.0, 12.0)), turned(heights, turn_deg=20.0), spots(12, seed)):
            outlines = [ELL, ELL[:3] / 3.0]
            found += [ground.profiles(*ends[:, :, :2]), ground.extremes_m(outlines), ground_clearances(ground, rays)]
        return found

    same(job)


def test_way_of_the_hops_of_a_small_site_needs_no_compiler(tmp_path):
    script = """
        import sys
        from pathlib import Path
        from survey_app.assess.job import Job
        from survey_app.assess.numbers import numbers
        from survey_app.site.file import read_site
        from survey_app.spectrum.regions import load_regions
        found = numbers(Job(read_site(Path("demo_sites/boatyard"))), load_regions())
        assert any(row.obstacle for row in found.obstruction.hops), "nothing was held against what stands there"
        assert "numba" not in sys.modules
    """
    surroundings = {"NUMBA_CACHE_DIR": str(tmp_path), "PYTHONPATH": str(ROOT)}
    _run(script, surroundings)


def test_large_job_is_compiled(tmp_path):
    script = """
        import sys
        import numpy as np
        from survey_app.ground.ray import usable
        ends = np.zeros((2, 60_000, 3))
        assert usable(*ends[:, :9]).all()
        assert "numba" not in sys.modules
        assert usable(*ends).all()
        assert "numba" in sys.modules
    """
    _run(script, {"NUMBA_CACHE_DIR": str(tmp_path), "PYTHONPATH": str(ROOT)})


def _run(script: str, surroundings: dict[str, str]) -> None:
    import os

    found = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(script)],
        cwd=ROOT,
        env={**os.environ, **surroundings},
        capture_output=True,
        text=True,
    )
    assert found.returncode == 0, found.stderr


def test_everything_is_ready_once_it_is_prepared():
    prepare_geometry()
    assert geometry_is_ready()
