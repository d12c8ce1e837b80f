import numpy as np
import pytest

from survey_app.ground.clearance import Rays
from survey_app.ground.clearance_ground import ground_clearances
from survey_app.ground.relief.profiles import Profiles
from survey_app.ground.relief.surface import LevelGround
from tests.ground.made_solids import INF, Ray, rays


class Rolling:
    """Ground under a line as given: parts, heights, bows, the same for every line from west to east."""

    words, sigma_m = "made by hand", 0.1

    def __init__(self, part, height_m, bow_m):
        self.part, self.height_m, self.bow_m = np.array(part), np.array(height_m), np.array(bow_m)

    def profiles(self, start_m, end_m):
        count = len(start_m)
        first = np.arange(count + 1) * len(self.part)
        return Profiles(first, *(np.tile(one, count) for one in (self.part, self.height_m, self.bow_m)))


def test_level_ground_under_a_level_ray_is_nearest_in_zones_at_mid_path():
    row = ground_clearances(LevelGround(2.0, "flat"), rays([0, 0, 7, 300, 0, 7]), k=INF)
    assert row.clearance_m[0] == pytest.approx(5.0)
    assert row.from_start_m[0] == pytest.approx(150.0)
    assert row.ratio[0] == pytest.approx(5.0 / row.zone_m[0])
    assert row.ground_m[0] == 2.0


def test_level_ground_under_a_sloping_ray_is_nearest_where_algebra_says():
    # gap a + b s over sqrt(s (D - s)) is least at a D / (2 a + b D)
    row = ground_clearances(LevelGround(0.0, "flat"), rays([0, 0, 3, 400, 0, 15]), k=INF)
    assert row.from_start_m[0] == pytest.approx(3 / (6 + 12) * Ray(rays([0, 0, 3, 400, 0, 15])).length_m)


def test_bulge_at_mid_path_of_a_long_hop():
    # P.452-16 Annex 1: 0.1324 m at the middle of 3 km, k = 4/3
    flat, curved = (
        ground_clearances(LevelGround(0.0, "flat"), rays([0, 0, 9, 3000, 0, 9]), k=k).clearance_m[0]
        for k in (INF, 4 / 3)
    )
    assert flat - curved == pytest.approx(0.1324, abs=1e-4)


@pytest.mark.parametrize("k", [INF, 4 / 3, 0.1])
def test_rolling_ground_by_chance_comes_as_near_as_a_fine_walk_finds(k):
    chance = np.random.default_rng(30)
    for _ in range(60):
        part = np.concatenate(([0.0], np.sort(chance.uniform(0, 1, 6)), [1.0]))
        ground = Rolling(part, chance.uniform(0, 12, 8), np.append(chance.uniform(-3, 3, 7), 0.0))
        ends = rays([0, 0, chance.uniform(4, 20), chance.uniform(50, 900), 0, chance.uniform(4, 20)])
        row, ray = ground_clearances(ground, ends, k=k), Ray(ends, k=k)
        t = np.linspace(1 / ray.length_m, 1 - 1 / ray.length_m, 100001)
        height = ground.profiles(ends.start_m, ends.end_m).at(0, t)
        level_m = ends.end_m[0, 0]
        gap = ends.start_m[0, 2] + t * (ends.end_m[0, 2] - ends.start_m[0, 2]) - height
        gap = (gap - level_m**2 * t * (1 - t) / (2 * k * 6_371_000.0)) * level_m / ray.length_m
        ratio = gap / ray.zone_m(t * ray.length_m)
        assert row.ratio[0] <= ratio.min() + 1e-9
        assert row.ratio[0] == pytest.approx(ratio.min(), abs=2e-3)
        assert row.from_start_m[0] / ray.length_m == pytest.approx(t[np.argmin(ratio)], abs=1e-3) or row.ratio[
            0
        ] == pytest.approx(np.interp(row.from_start_m[0] / ray.length_m, t, ratio), abs=1e-3)


def test_crest_between_two_points_does_not_slip_through():
    # two points level at 0, a crest of 6 m in the middle between them
    row = ground_clearances(Rolling([0, 0.5, 1], [0, 0, 0], [6, 0, 0]), rays([0, 0, 5, 200, 0, 5]), k=INF)
    assert row.ratio[0] < 0
    assert row.clearance_m[0] == pytest.approx(-1.0, abs=0.1)
    assert row.ground_m[0] == pytest.approx(6.0, abs=0.1)


def test_both_directions_give_the_same_bits():
    chance = np.random.default_rng(31)
    ends = chance.uniform(0, 500, (50, 6))
    ends[:, [2, 5]] = chance.uniform(3, 20, (50, 2))
    there = rays(*ends)
    back = Rays(there.end_m, there.start_m, there.wavelength_m)
    one, other = (ground_clearances(LevelGround(1.0, "flat"), some, k=4 / 3) for some in (there, back))
    for name in ("ratio", "clearance_m", "zone_m", "ground_m"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name))
    np.testing.assert_array_equal(one.from_start_m, other.from_end_m)


def test_ground_that_is_not_known_gives_no_figure():
    assert np.isnan(ground_clearances(LevelGround(np.nan, "unknown"), rays([0, 0, 5, 200, 0, 5])).ratio[0])
    hole = Rolling([0, 0.4, 0.6, 1], [0, 0, np.nan, 0], [0, np.nan, np.nan, 0])
    assert np.isnan(ground_clearances(hole, rays([0, 0, 5, 200, 0, 5])).ratio[0])


def test_a_ray_without_a_judged_part_or_standing_upright_has_no_figure():
    there = rays([0, 0, 5, 1.5, 0, 5], [0, 0, 5, 0, 0, 25], [0, 0, np.nan, 90, 0, 5])
    assert np.isnan(ground_clearances(LevelGround(0.0, "flat"), there).ratio).all()


@pytest.mark.parametrize("options", [{"k": 0.0}, {"bracket_m": -1.0}])
def test_settings_outside_their_range_are_refused(options):
    with pytest.raises(ValueError, match="above 0"):
        ground_clearances(LevelGround(0.0, "flat"), rays([0, 0, 5, 90, 0, 5]), **options)
