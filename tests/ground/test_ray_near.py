"""What stands near rays on the plan, held against a geometry library."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from survey_app.ground.ray import Family, near, ray_index
from tests.bodies import sight_lines, solids, town

DOWN = -np.inf


@pytest.mark.parametrize("reach_m", [0.0, 0.5, 12.0, 300.0])
def test_bodies_are_near_by_their_distance_from_the_ray(reach_m):
    rings, tops = town(120, 400.0, seed=9)
    rng = np.random.default_rng(10)
    court = np.array([(100.0, 100.0), (300.0, 100.0), (300.0, 300.0), (100.0, 300.0)])
    prisms = [([r], [(0.0, 0.0, t)], DOWN) for r, t in zip(rings, tops, strict=True)]
    prisms.append(([court, court * 0.4 + 120.0], [(0.0, 0.0, 5.0)], DOWN))
    posts = [(*rng.uniform(0.0, 400.0, 2), 0.0, 9.0, *rng.uniform(0.1, 2.0, 2)) for _ in range(40)]
    wires = [(*rng.uniform(0.0, 400.0, 2), 5.0, *rng.uniform(0.0, 400.0, 2), 5.0) for _ in range(10)]
    start, end = sight_lines(18, 2.0, 20.0, 420.0)
    end[:9, :2] = start[:9, :2]  # some stand upright
    found = near(ray_index(solids(prisms, posts, wires)), start, end, reach_m)
    shapes = {
        Family.PRISM: [shapely.Polygon(one[0][0], [np.asarray(r) for r in one[0][1:]]) for one in prisms],
        Family.UPRIGHT: [shapely.Point(p[:2]) for p in posts],
        Family.WIRE: [shapely.LineString([w[:2], w[3:5]]) for w in wires],
    }
    wider = {Family.UPRIGHT: np.array([max(p[4:]) for p in posts])}
    got = set(zip(found.ray.tolist(), found.family.tolist(), found.body.tolist(), strict=True))
    assert len(got) == len(found)
    for n, pair in enumerate(np.stack((start, end), axis=1)[:, :, :2]):
        line = shapely.LineString(pair) if (pair[0] != pair[1]).any() else shapely.Point(pair[0])
        for family, one in shapes.items():
            away = shapely.distance(line, one) - wider.get(family, 0.0)
            mine = {body for ray, kind, body in got if (ray, kind) == (n, family)}
            assert mine >= set(np.flatnonzero(away < reach_m - 1e-9).tolist())
            assert mine <= set(np.flatnonzero(away < reach_m + 1.1e-6).tolist())


def test_reversed_rays_have_the_same_neighbours_and_each_ray_its_own_reach():
    rings, tops = town(80, 300.0, seed=11)
    index = ray_index(solids([([r], [(0.0, 0.0, t)], DOWN) for r, t in zip(rings, tops, strict=True)]))
    start, end = sight_lines(15, 2.0, 20.0, 300.0)
    reach = np.linspace(0.0, 20.0, len(start))
    there, back = near(index, start, end, reach), near(index, end, start, reach)
    assert there.body.tolist() == back.body.tolist()
    assert there.start.tolist() == back.start.tolist()
    alone = near(index, start[-1:], end[-1:], 20.0)
    assert alone.body.tolist() == there.body[there.start[-2] :].tolist()


def test_long_outline_is_near_from_within_its_middle_too():
    turn = np.linspace(0.0, 2.0 * np.pi, 10_000, endpoint=False)
    index = ray_index(solids([([300.0 * np.column_stack((np.cos(turn), np.sin(turn)))], [(0.0, 0.0, 5.0)], DOWN)]))
    start = [(0.0, 0.0, 2.0), (310.0, -50.0, 2.0), (310.0, -50.0, 2.0)]
    end = [(10.0, 0.0, 2.0), (310.0, 50.0, 2.0), (310.0, 50.0, 2.0)]
    assert near(index, start, end, [1.0, 9.9, 10.1]).ray.tolist() == [0, 2]


def test_ray_or_reach_that_is_not_known_has_no_rows():
    index = ray_index(solids([([[(0.0, 0.0), (9.0, 0.0), (9.0, 9.0)]], [(0.0, 0.0, 5.0)], DOWN)]))
    start, end = np.zeros((4, 3)), np.ones((4, 3))
    start[1, 0] = np.nan
    found = near(index, start, end, [1.0, 1.0, np.nan, -1.0])
    assert found.usable.tolist() == [True, False, False, False]
    assert found.ray.tolist() == [0]


def test_one_body_far_away_leaves_the_cells_as_small_as_they_were():
    rings, _ = town(600, 1000.0)
    alone = ray_index(solids([([ring], [(0.0, 0.0, 9.0)], -np.inf) for ring in rings]))
    far = [*rings, rings[0] + 20_000.0]
    index = ray_index(solids([([ring], [(0.0, 0.0, 9.0)], -np.inf) for ring in far]))
    assert index.cells.size_m < 8.0 * alone.cells.size_m  # and not 20 times as large
    assert index.cells.columns * index.cells.rows <= 2_000_000


def test_many_bodies_keep_the_places_that_they_were_given():
    rings, _ = town(700, 1500.0)
    posts = [(float(x), float(y), 0.0, 9.0, 0.2, 0.1) for x, y in np.random.default_rng(5).uniform(0, 1500, (40, 2))]
    index = ray_index(solids([([ring], [(0.0, 0.0, 9.0)], -np.inf) for ring in rings], posts))
    middles = np.array([ring.mean(axis=0) for ring in rings] + [post[:2] for post in posts])
    at = np.column_stack((middles, np.full(len(middles), 3.0)))
    found = near(index, at, at, 0.0)
    pairs = list(zip(found.family.tolist(), found.body.tolist(), strict=True))
    own = [pairs[a:b] for a, b in zip(found.start[:-1], found.start[1:], strict=True)]
    expected = [(0, n) for n in range(700)] + [(1, n) for n in range(40)]
    assert all(one in rows for one, rows in zip(expected, own, strict=True))
    assert (np.diff(found.body[(found.family == 0) & (found.ray == 0)]) > 0).all()
    assert sorted(index.place[:700].tolist()) == list(range(700))
    assert index.place[:700].tolist() != list(range(700))
