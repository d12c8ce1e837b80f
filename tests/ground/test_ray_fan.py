"""What hides a grid's points from one point, asked body by body, is what each ray says by itself."""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.ground.ray import blocked, hide_behind, ray_index
from survey_app.ground.solids import SolidKind, Solids
from tests.bodies import solids, town
from tests.ground.test_visibility_shadows import some_solids

POSTS = [(10.0, 20.0, 0.0, 15.0, 0.3, 0.1), (-30.0, 5.0, 2.0, 25.0, 0.5, 0.5)]
STAR = [(0.0, 20.0), (12.0, -16.0), (-19.0, 6.0), (19.0, 6.0), (-12.0, -16.0)]


def _town(seed: int, *, whole_m: bool) -> Solids:
    rings, tops = town(40, 200.0, seed)
    if whole_m:  # corners, walls and roofs often meet rays and each other exactly
        rings, tops = [np.round(ring / 2.0) * 2.0 for ring in rings], np.round(tops)
    return solids([((ring - 100.0,), [(0.0, 0.0, top)], -np.inf) for ring, top in zip(rings, tops, strict=True)], POSTS)


def _same(things: Solids, eye: np.ndarray, half: int, height: np.ndarray, seen: np.ndarray, **options: object) -> int:
    index = ray_index(things)
    x, y = eye[0] + np.arange(-half, half + 1.0), eye[1] + np.arange(-half, half + 1.0)
    columns, rows = np.meshgrid(x, y)
    ends = np.column_stack((columns[seen], rows[seen], height[seen]))
    without = int(options.get("without", -1))  # type: ignore[call-overload]
    own = np.full((len(ends), 1), without)
    free = ~blocked(index, np.broadcast_to(eye, ends.shape), ends, without=own, kinds=options.get("kinds"))  # type: ignore[arg-type]
    found = seen.copy()
    hide_behind(index, eye, x, y, height, found, **options)  # type: ignore[arg-type]
    assert not (found & ~seen).any()
    assert (found[seen] == free).all()
    return int(free.sum())


@pytest.mark.parametrize("seed", range(12))
def test_every_point_of_a_grid_is_told_what_its_ray_is_told(seed: int) -> None:
    rng = np.random.default_rng(seed)
    things = some_solids(seed) if seed % 3 == 0 else _town(seed, whole_m=seed % 3 == 2)
    eye = np.array([*(np.round(rng.uniform(-30.0, 30.0, 2)) * 2.0), rng.choice([2.0, 8.0, 10.0, 14.0, 30.0])])
    level = bool(seed % 2)
    height = np.full((101, 101), rng.choice([1.5, 10.0, 25.0])) if level else rng.uniform(0.0, 20.0, (101, 101))
    free = _same(things, eye, 50, height, rng.random(height.shape) < 0.9, without=3 if seed % 4 == 0 else -1)
    assert free < height.size


def test_a_ring_that_runs_round_twice_hides_nothing_through_its_middle() -> None:
    things = solids([((np.add(STAR, (40.0, 0.0)),), [(0.0, 0.0, 30.0)], -np.inf)])
    _same(things, np.array([-10.0, 0.0, 10.0]), 100, np.full((201, 201), 2.0), np.ones((201, 201), np.bool_))


def test_kinds_that_do_not_count_hide_nothing() -> None:
    height, every = np.full((101, 101), 1.5), np.ones((101, 101), np.bool_)
    free = [
        _same(_town(1, whole_m=False), np.array([0.0, 0.0, 25.0]), 50, height, every, kinds=kinds)
        for kinds in ((SolidKind.BUILDING, SolidKind.UPRIGHT), (SolidKind.UPRIGHT,), (SolidKind.TREES,))
    ]
    assert free[0] < free[1] < free[2] == height.size
