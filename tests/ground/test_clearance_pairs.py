import numpy as np
import pytest

from survey_app.ground.clearance import Bodies, Rays, all_pairs, clearances, worst_pairs
from survey_app.ground.clearance_pairs import pairs_near
from survey_app.ground.ray import ray_index
from tests.ground.made_solids import INF, box, level, prisms, rays, solids, uprights, wires


def a_yard(chance, count):
    blocks = []
    for _ in range(count):
        x, y = chance.uniform(-150, 150, 2)
        blocks.append(
            ([box(x, y, x + chance.uniform(3, 25), y + chance.uniform(3, 25))], -INF, level(chance.uniform(3, 12)))
        )
    masts = uprights(*((*chance.uniform(-150, 150, 2), 0, chance.uniform(4, 14), 0.1, 0.05) for _ in range(count)))
    lines = chance.uniform(-150, 150, (count, 6))
    lines[:, [2, 5]] = chance.uniform(5, 9, (count, 2))
    return solids(prisms(*blocks), masts, wires(*lines))


def some_rays(chance, count):
    ends = chance.uniform(-200, 200, (count, 6))
    ends[:, [2, 5]] = chance.uniform(4, 14, (count, 2))
    return rays(*ends)


@pytest.mark.parametrize("k", [4 / 3, 0.1])
def test_pairs_near_leave_out_nothing_that_bounds_a_ray(k):
    chance = np.random.default_rng(40)
    things, there = a_yard(chance, 40), some_rays(chance, 80)
    bodies, near, every = Bodies.of(things), pairs_near(ray_index(things), there), all_pairs(80, things)
    assert len(near) < len(every) / 4
    some, whole = clearances(bodies, there, near, k=k), clearances(bodies, there, every, k=k)
    asked = set(zip(near.ray.tolist(), near.family.tolist(), near.solid.tolist(), strict=True))
    for n in np.flatnonzero(whole.ratio < 2.0).tolist():
        assert (every.ray[n], every.family[n], every.solid[n]) in asked
    at, among = worst_pairs(some, near, 80), worst_pairs(whole, every, 80)
    bound = np.flatnonzero((among >= 0) & (whole.ratio[among] < 2.0))
    assert len(bound) > 20
    np.testing.assert_array_equal(some.ratio[at[bound]], whole.ratio[among[bound]])


def test_pairs_of_a_ray_and_its_reverse_are_the_same():
    chance = np.random.default_rng(41)
    things, there = a_yard(chance, 30), some_rays(chance, 40)
    back = Rays(there.end_m, there.start_m, there.wavelength_m)
    one, other = (pairs_near(ray_index(things), some) for some in (there, back))
    for name in ("ray", "family", "solid"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name))


def test_a_ray_that_is_not_known_has_no_pairs():
    things = a_yard(np.random.default_rng(42), 5)
    there = rays([np.nan, 0, 5, 100, 0, 5], [-200, 0, 5, 200, 0, 5])
    assert 0 not in pairs_near(ray_index(things), there, zones=500).ray
    assert 1 in pairs_near(ray_index(things), there, zones=500).ray
