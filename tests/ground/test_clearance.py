import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize, minimize_scalar

from survey_app.ground.clearance import Bodies, Pairs, Rays, all_pairs, clearances, worst_pairs
from survey_app.ground.prism_edges import Part
from survey_app.ground.ray import Family
from tests.ground.made_solids import (
    INF,
    Ray,
    box,
    least_on_prism,
    least_on_upright,
    level,
    prisms,
    rays,
    solids,
    top_of,
    tops,
    uprights,
    wires,
)

ROOT_2 = np.sqrt(2.0)
GHZ_5_8 = 299_792_458.0 / 5.8e9
BOATYARD = 299_792_458.0 / 5.745e9


def found(things, ends, k=INF, **options):
    """Clearances of every solid from every ray."""
    return clearances(Bodies.of(things), ends, all_pairs(len(ends), things), k=k, **options)


def turned(ends):
    return Rays(ends.end_m, ends.start_m, ends.wavelength_m)


# --- hand cases -----------------------------------------------------------------------------------------------------


def test_paint_shed_beside_the_slip_hop_has_the_clearance_worked_by_hand():
    shed = solids(prisms(([box(120, 20, 145, 40)], -INF, level(10.0))))
    for height_m, metres, ratio in ((12.5, 0.65, 0.56), (13.0, 0.96, 0.83)):
        row = found(shed, rays([100, 40, height_m, 196, -14, 7.5], wavelength_m=BOATYARD), k=4 / 3)
        assert row.clearance_m[0] == pytest.approx(metres, abs=0.01)
        assert row.ratio[0] == pytest.approx(ratio, abs=0.01)
        assert row.from_start_m[0] == pytest.approx(41.0, abs=0.3)
        assert Part(row.part[0]) is Part.TOP_EDGE
        assert 175 < row.clock_deg[0] < 190  # beneath the ray


def test_own_parapet_five_metres_off_is_found():
    # P.526-15 section 4.1 geometry: 300 m, 5.8 GHz, top 0.13 m under the ray at 5 m
    wall = solids(prisms(([box(4.7, -10, 5.0, 10)], -INF, level(14.2 - 0.13))))
    row = found(wall, rays([0, 0, 14.2, 300, 0, 14.2], wavelength_m=GHZ_5_8), k=4 / 3)
    assert row.ratio[0] == pytest.approx(0.26, abs=0.01)
    assert row.v_top[0] == pytest.approx(-0.3644, abs=0.015)
    assert row.from_start_m[0] == pytest.approx(5.0)


def test_wall_beside_the_ray_is_found_though_the_drawing_from_above_shows_no_crossing():
    zone_m = Ray(rays([0, 0, 5, 200, 0, 5])).zone_m(np.array([100.0]))[0]
    wall = solids(prisms(([box(100, 0.3 * zone_m, 101, 30)], -INF, level(20.0))))
    row = found(wall, rays([0, 0, 5, 200, 0, 5]))
    assert row.ratio[0] == pytest.approx(0.3, abs=1e-4)
    assert row.clock_deg[0] == pytest.approx(270.0)  # left of the ray
    assert Part(row.part[0]) in (Part.WALL, Part.CORNER)
    assert not row.cut[0]
    assert row.v_right[0] == pytest.approx(-0.3 * ROOT_2, abs=1e-3)
    assert row.v_left[0] > 5
    assert row.v_top[0] > 5


def test_thin_mast_beside_the_ray_is_found():
    zone_m = Ray(rays([0, 0, 5, 300, 0, 5])).zone_m(np.array([87.3]))[0]
    mast = solids(rounds=uprights((87.3, -0.4 * zone_m - 0.05, 0, 12, 0.05, 0.05)))
    row = found(mast, rays([0, 0, 5, 300, 0, 5]))
    assert row.ratio[0] == pytest.approx(0.4, abs=1e-4)
    assert row.clock_deg[0] == pytest.approx(90.0)
    assert row.v_left[0] == pytest.approx(-0.4 * ROOT_2, abs=1e-3)


def test_wire_under_and_beside_a_ray_is_met_at_its_nearest_point():
    things = solids(lines=wires([100, -50, 4, 100, 50, 4], [20, 3, 5, 180, 3, 5]))
    row = found(things, rays([0, 0, 5, 200, 0, 5]))
    assert row.clearance_m == pytest.approx([1.0, 3.0])
    assert row.clock_deg == pytest.approx([180.0, 270.0])
    # along the ray the zone is widest in its middle
    assert row.from_start_m == pytest.approx([100.0, 100.0])


@pytest.mark.parametrize(
    ("things", "metres", "clock", "part"),
    [
        (solids(prisms(([box(90, -20, 110, 20)], -INF, level(7.0)))), -2.0, 0.0, Part.TOP_EDGE),
        (solids(prisms(([box(90, -1.5, 110, 20)], -INF, level(30.0)))), -1.5, 90.0, Part.WALL),
        (solids(prisms(([box(90, -20, 110, 1.5)], -INF, level(30.0)))), -1.5, 270.0, Part.WALL),
        (solids(prisms(([box(90, -20, 110, 20)], 4.0, level(30.0)))), -1.0, 180.0, Part.UNDER_EDGE),
        (solids(rounds=uprights((100, 0.03, 0, 30, 0.1, 0.1))), -0.07, 90.0, Part.UPRIGHT),
        (solids(rounds=uprights((100, 0.0, 0, 5.02, 0.1, 0.1))), -0.02, 0.0, Part.UPRIGHT),
    ],
)
def test_a_ray_through_a_body_gives_way_by_the_shortest_way(things, metres, clock, part):
    row = found(things, rays([0, 0, 5, 200, 0, 5]))
    assert row.cut[0]
    assert row.clearance_m[0] == pytest.approx(metres, abs=1e-9)
    assert row.clock_deg[0] == pytest.approx(clock)
    assert row.ratio[0] == pytest.approx(row.clearance_m[0] / row.zone_m[0])
    assert Part(row.part[0]) is part


def test_screen_in_the_ray_has_one_parameter_per_edge():
    screen = solids(prisms(([box(100, -2, 100.001, 3)], -INF, level(6.0))))
    row = found(screen, rays([0, 0, 5, 200, 0, 5]))
    zone_m = row.zone_m[0]
    edges = row.v_top[0], row.v_right[0], row.v_left[0]
    assert np.array(edges) == pytest.approx(ROOT_2 * np.array([1, 2, 3]) / zone_m, rel=1e-4)
    assert row.v_under[0] == INF


def test_radio_inside_a_building_is_said():
    house = solids(prisms(([box(-5, -5, 5, 5)], -INF, level(8.0))))
    there = rays([0, 0, 5, 100, 0, 5], [100, 0, 5, 0, 0, 5], [0, 0, 9, 100, 0, 9])
    row = found(house, there)
    assert row.holds_start.tolist() == [True, False, False]
    assert row.holds_end.tolist() == [False, True, False]
    assert row.cut.tolist() == [True, True, False]


def test_own_bracket_is_left_out_but_the_roof_edge_behind_it_is_not():
    pole = solids(rounds=uprights((0, 0, 0, 9, 0.05, 0.05)))
    assert np.isnan(found(pole, rays([0.1, 0, 6, 100, 0, 6])).ratio[0])
    roof = solids(prisms(([box(-10, -10, 3, 10)], -INF, level(5.7))))
    row = found(roof, rays([0.1, 0, 6, 100, 0, 6]))
    assert row.from_start_m[0] == pytest.approx(2.9)
    assert row.clearance_m[0] == pytest.approx(0.3)


def test_nothing_bounds_a_ray_without_a_judged_part_or_with_an_unknown_end():
    house = solids(prisms(([box(-5, -5, 5, 5)], -INF, level(8.0))))
    row = found(house, rays([0, 0, 9, 1.9, 0, 9], [0, np.nan, 9, 40, 0, 9], [0, 0, 9, 0, 0, 9]))
    assert np.isnan(row.ratio).all()
    assert (worst_pairs(row, all_pairs(3, house), 3) == -1).all()


def test_lift_is_the_bulge_of_the_earth():
    # P.452-16 Annex 1: 0.0662 m at the middle of 1.5 km with k = 1
    edge = solids(prisms(([box(749.9, -9, 750.1, 9)], -INF, level(4.0))))
    flat, curved = (found(edge, rays([0, 0, 5, 1500, 0, 5]), k=k).clearance_m[0] for k in (INF, 1.0))
    assert flat - curved == pytest.approx(750.0**2 / (2 * 6_371_000.0), abs=1e-6)


def test_lift_brings_the_worst_place_of_a_long_flat_roof_where_it_is():
    # 2.6 km of roof 1 cm under the ray: the lift, not an end, decides
    roof = solids(prisms(([box(200, -5, 2800, 5)], -INF, level(4.9))))
    ends = rays([0, 0, 5, 3000, 0, 5])
    row = found(roof, ends, k=4.0)
    one = Ray(ends, k=4.0)
    place = np.linspace(200, 2800, 20001)
    along = np.column_stack((place, np.zeros(20001), np.full(20001, 4.9)))
    assert row.ratio[0] == pytest.approx(one.ratios(along).min(), abs=1e-7)


@pytest.mark.parametrize("options", [{"k": 0.0}, {"k": -1.0}, {"k": float("nan")}, {"bracket_m": 0.0}])
def test_settings_outside_their_range_are_refused(options):
    with pytest.raises(ValueError, match="above 0"):
        found(solids(lines=wires([0, 0, 0, 1, 0, 0])), rays([0, 0, 5, 9, 0, 5]), **options)


def test_upright_ray_is_judged_level():
    house = solids(prisms(([box(2, -5, 9, 5)], -INF, level(8.0))))
    row = found(house, rays([0, 0, 0, 0, 0, 20], [4, 0, 0, 4, 0, 20]))
    assert row.clearance_m[0] == pytest.approx(2.0)
    assert row.cut.tolist() == [False, True]


# --- against the plain way ------------------------------------------------------------------------------------------


def a_prism(chance):
    """A prism by chance: convex or not, level or under several planes, on the ground or hanging."""
    while True:
        count = chance.integers(3, 8)
        angle = np.sort(chance.uniform(0, 2 * np.pi, count))
        reach = chance.uniform(3, 20, count)
        ring = chance.uniform(-40, 40, 2) + np.column_stack((np.cos(angle) * reach, np.sin(angle) * reach))
        if shapely.Polygon(ring).is_valid and shapely.Polygon(ring).area > 1:
            break
    slopes = 0.0 if chance.random() < 0.4 else 0.6
    planes = tops(
        *(
            (chance.uniform(-slopes, slopes), chance.uniform(-slopes, slopes), chance.uniform(5, 12))
            for _ in range(chance.integers(1, 5))
        )
    )
    lowest = top_of(planes, ring[0], ring).min()
    return [ring], (min(lowest - 0.5, 3.0) if chance.random() < 0.3 else -INF), planes


def a_ray(chance):
    return [*chance.uniform(-80, 80, 2), chance.uniform(2, 16), *chance.uniform(-80, 80, 2), chance.uniform(2, 16)]


@pytest.mark.parametrize("k", [INF, 4 / 3, 0.05])
def test_prisms_by_chance_come_as_near_as_looking_closer_finds(k):
    chance = np.random.default_rng(20)
    for _ in range(25):
        prism, ends = a_prism(chance), rays(a_ray(chance))
        row, ray = found(solids(prisms(prism)), ends, k=k), Ray(ends, k=k)
        if row.cut[0]:
            continue
        plain = least_on_prism(ray, *prism)
        if np.isnan(row.ratio[0]):
            assert plain == INF
            continue
        # the place is a place of the body, and no other is nearer
        assert ray.ratios(row.place_m)[0] == pytest.approx(row.ratio[0], rel=1e-5)
        assert on_surface(prism, row.place_m[0])
        assert row.ratio[0] <= plain + 1e-7 * max(1, plain)


def on_surface(prism, place):
    (ring,), underside, planes = prism
    area, plan = shapely.Polygon(ring), shapely.Point(place[:2])
    top = top_of(planes, ring[0], place[None, :2])[0]
    on_outline = area.exterior.distance(plan) < 1e-6 and underside - 1e-6 <= place[2] <= top + 1e-6
    return on_outline or (area.covers(plan) and (abs(place[2] - top) < 1e-6 or abs(place[2] - underside) < 1e-6))


@pytest.mark.parametrize("k", [INF, 4 / 3, 0.05])
def test_uprights_by_chance_come_as_near_as_looking_closer_finds(k):
    chance = np.random.default_rng(21)
    for _ in range(20):
        foot, radius = chance.uniform(0, 3), 10 ** chance.uniform(-2, 0.7)
        row_of = [
            *chance.uniform(-40, 40, 2),
            foot,
            foot + chance.uniform(1, 14),
            radius,
            radius * chance.uniform(0.2, 1),
        ]
        ends = rays(a_ray(chance))
        row, ray = found(solids(rounds=uprights(row_of)), ends, k=k), Ray(ends, k=k)
        if row.cut[0]:
            continue
        plain = least_on_upright(ray, row_of)
        if np.isnan(row.ratio[0]):
            assert plain == INF
            continue
        assert ray.ratios(row.place_m)[0] == pytest.approx(row.ratio[0], rel=1e-5)
        assert row.ratio[0] <= plain + 1e-7 * max(1, plain)


@pytest.mark.parametrize("k", [INF, 0.05])
def test_wires_by_chance_come_as_near_as_an_optimiser_finds(k):
    chance = np.random.default_rng(22)
    for _ in range(40):
        ends, run = rays(a_ray(chance)), np.array(a_ray(chance))
        row, ray = found(solids(lines=wires(run)), ends, k=k), Ray(ends, k=k)
        parts = np.linspace(0, 1, 2001)[:, None]
        ratios = ray.ratios(run[:3] + parts * (run[3:] - run[:3]))
        at = float(parts[int(np.argmin(ratios)), 0])
        if ratios.min() == INF:
            continue
        near = minimize_scalar(
            lambda t, run=run, ray=ray: ray.ratios((run[:3] + t * (run[3:] - run[:3]))[None])[0],
            bounds=(max(0, at - 5e-4), min(1, at + 5e-4)), method="bounded", options={"xatol": 1e-12},
        )  # fmt: skip
        assert row.ratio[0] <= min(near.fun, ratios.min()) + 1e-9
        assert ray.ratios(row.place_m)[0] == pytest.approx(row.ratio[0], rel=1e-5)


def test_convex_body_is_met_where_a_constrained_optimiser_meets_it():
    roof = tops((0.0, 0.5, 6.0), (0.0, -0.5, 11.0))
    ring = box(40, 3, 60, 13)
    ends = rays([0, 0, 10, 100, 2, 6])
    ray = Ray(ends)
    row = found(solids(prisms(([ring], -INF, roof))), ends)
    best = minimize(
        lambda x: ray.ratios(x[None])[0], [50.0, 5.0, 5.0], method="SLSQP", bounds=[(40, 60), (3, 13), (-50, 20)],
        constraints={"type": "ineq", "fun": lambda x: top_of(roof, ring[0], x[None, :2])[0] - x[2]},
        options={"ftol": 1e-14, "maxiter": 500},
    )  # fmt: skip
    assert row.ratio[0] == pytest.approx(best.fun, abs=1e-5)
    assert row.ratio[0] <= best.fun + 1e-9


def test_cut_is_what_walking_along_the_ray_finds():
    chance = np.random.default_rng(23)
    seen = set()
    for _ in range(150):
        (ring,), underside, planes = prism = a_prism(chance)
        ends = rays(
            [*chance.uniform(-80, -30, 2), chance.uniform(2, 14), *(ring.mean(axis=0) * 2 + 40), chance.uniform(2, 14)]
        )
        row, ray = found(solids(prisms(prism)), ends, k=0.05), Ray(ends, k=0.05)
        s = np.linspace(1, ray.length_m - 1, 4001)
        points = ray.start + s[:, None] * ray.along
        top = top_of(planes, ring[0], points[:, :2]) + ray.lift_m(s)
        inside = shapely.contains_xy(shapely.Polygon(ring), points[:, 0], points[:, 1])
        inside &= (points[:, 2] < top) & (points[:, 2] > underside + ray.lift_m(s))
        assert bool(row.cut[0]) == bool(inside.any()) or abs(row.ratio[0]) < 0.02
        seen.add(bool(row.cut[0]))
    assert seen == {False, True}


def test_least_bow_takes_the_ray_off_a_level_block_and_no_lesser_bow_does():
    ring = np.array([[80.0, -3.0], [118.0, -5.0], [124.0, 2.0], [95.0, 6.0]])
    block = [ring], -INF, level(9.0)
    ends = rays([0, 0, 6, 300, 0, 6])
    row, ray = found(solids(prisms(block)), ends), Ray(ends)
    s = np.linspace(1, 299, 200001)
    straight = ray.start + s[:, None] * ray.along

    def met(ratio, side):
        bowed = straight + (ratio * ray.zone_m(s))[:, None] * side
        return (shapely.contains_xy(shapely.Polygon(ring), bowed[:, 0], bowed[:, 1]) & (bowed[:, 2] < 9.0)).any()

    ways = ((row.v_top[0], ray.up), (row.v_right[0], ray.right), (row.v_left[0], -ray.right))
    for v, side in ways:
        assert met(v / ROOT_2 - 1e-3, side)
        assert not met(v / ROOT_2 + 1e-3, side)
    assert row.ratio[0] == pytest.approx(-min(v for v, _ in ways) / ROOT_2)


# --- laws -----------------------------------------------------------------------------------------------------------


def a_yard(chance, count=12):
    blocks = prisms(*(a_prism(chance) for _ in range(count)))
    masts = uprights(*((*chance.uniform(-60, 60, 2), 0, chance.uniform(4, 14), 0.1, 0.05) for _ in range(count)))
    return solids(blocks, masts, wires(*(a_ray(chance) for _ in range(count))))


def test_both_directions_give_the_same_bits():
    chance = np.random.default_rng(24)
    things, there = a_yard(chance), rays(*(a_ray(chance) for _ in range(60)))
    one, other = found(things, there, k=4 / 3), found(things, turned(there), k=4 / 3)
    for name in ("ratio", "clearance_m", "zone_m", "place_m", "part", "corner", "cut", "v_top", "v_under"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name))
    for name, opposite in (("from_start_m", "from_end_m"), ("v_left", "v_right"), ("holds_start", "holds_end")):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, opposite))
    mirrored = np.sin(np.radians(one.clock_deg + other.clock_deg))[np.isfinite(one.ratio)]
    np.testing.assert_allclose(mirrored, 0.0, atol=1e-12)
    whole = np.repeat([Ray(there, n).length_m for n in range(60)], 36)
    both = (one.from_start_m + one.from_end_m)[np.isfinite(one.ratio)]
    np.testing.assert_allclose(both, whole[np.isfinite(one.ratio)])


def test_a_row_does_not_depend_on_the_others():
    chance = np.random.default_rng(25)
    things, there = a_yard(chance), rays(*(a_ray(chance) for _ in range(20)))
    bodies, pairs = Bodies.of(things), all_pairs(20, things)
    whole = clearances(bodies, there, pairs)
    some = chance.permutation(len(pairs))[:50]
    part = clearances(bodies, there, Pairs(pairs.ray[some], pairs.family[some], pairs.solid[some]))
    np.testing.assert_array_equal(part.ratio, whole.ratio[some])
    np.testing.assert_array_equal(part.place_m, whole.place_m[some])


def test_one_more_building_never_helps():
    chance = np.random.default_rng(26)
    blocks = [a_prism(chance) for _ in range(8)]
    there = rays(*(a_ray(chance) for _ in range(40)))

    def worst(count):
        things = solids(prisms(*blocks[:count]))
        row, pairs = found(things, there), all_pairs(40, things)
        at = worst_pairs(row, pairs, 40)
        return np.where(at < 0, INF, row.ratio[at])

    for count in range(1, 8):
        assert (worst(count + 1) <= worst(count)).all()


@settings(max_examples=60, deadline=None)
@given(
    height=st.floats(2, 12),
    at=st.floats(5, 195),
    under=st.floats(0.5, 14),
    lower=st.floats(2, 12),
    more=st.floats(0.01, 5),
)
def test_raising_an_end_over_one_edge_never_hurts(height, at, under, lower, more):
    edge = solids(prisms(([box(at - 0.05, -300, at + 0.05, 300)], -INF, level(under))))
    before, after = (
        found(edge, rays([0, 0, start, 200, 0, lower]), k=4 / 3).ratio[0] for start in (height, height + more)
    )
    assert after >= before - 1e-9


@settings(max_examples=40, deadline=None)
@given(bearing=st.floats(0, 6.28), east=st.floats(-5e5, 5e5), north=st.floats(-5e5, 5e5), seed=st.integers(0, 1000))
def test_a_yard_turned_and_moved_far_away_keeps_its_clearances(bearing, east, north, seed):
    chance = np.random.default_rng(seed)
    (ring,), underside, planes = a_prism(chance)
    ends = np.array(a_ray(chance)).reshape(2, 3)
    turn = np.array([[np.cos(bearing), -np.sin(bearing)], [np.sin(bearing), np.cos(bearing)]])
    shift = np.array([east, north])
    moved = planes.copy()
    moved[:, :2] = planes[:, :2] @ turn.T
    ends_moved = np.column_stack((ends[:, :2] @ turn.T + shift, ends[:, 2]))
    one = found(solids(prisms(([ring], underside, planes))), rays(ends.ravel()))
    other = found(solids(prisms(([ring @ turn.T + shift], underside, moved))), rays(ends_moved.ravel()))
    if abs(one.ratio[0]) > 1e-6:
        assert other.ratio[0] == pytest.approx(one.ratio[0], rel=1e-6, abs=1e-6, nan_ok=True)


@pytest.mark.parametrize("direction", [(0, 0.05, 0), (0, 0, 0.05)])
def test_ratio_has_no_step_when_a_shed_is_slid_or_the_ray_is_raised_through_it(direction):
    roof = tops((0.0, 0.4, 5.0), (0.0, -0.4, 9.0), (0.4, 0.0, 5.0), (-0.4, 0.0, 13.0))
    shed = solids(prisms(([box(40, -5, 60, 5)], -INF, roof)))
    there = np.arange(-200, 201)[:, None] * np.array(direction)
    row = found(shed, rays(*np.hstack((np.array([0, 0, 6]) + there, np.array([100, 4, 7]) + there))), k=4 / 3)
    assert row.cut.any()
    assert not row.cut.all()
    # no more than the step itself over the zone
    assert np.abs(np.diff(row.ratio)).max() <= 0.05 / row.zone_m.min() * 1.2


def test_outline_drawn_the_other_way_round_is_the_same_body():
    chance = np.random.default_rng(27)
    for _ in range(30):
        (ring,), underside, planes = a_prism(chance)
        there = rays(*(a_ray(chance) for _ in range(10)))
        # the planes count from the first corner, which stays
        other = np.vstack((ring[:1], ring[:0:-1]))
        one, back = (found(solids(prisms(([some], underside, planes))), there) for some in (ring, other))
        np.testing.assert_allclose(back.ratio, one.ratio, rtol=1e-9, atol=1e-12)
        np.testing.assert_array_equal(back.cut, one.cut)


def test_edge_that_stands_in_the_way_is_named():
    gable = tops((0.0, 0.5, 6.0), (0.0, -0.5, 16.0))
    house = solids(prisms(([box(60, 0, 140, 20)], -INF, gable)))
    across, along = rays([100, -100, 9, 100, 100, 9]), rays([0, 8, 9, 200, 10, 9])
    over_ridge, past_end = found(house, across), found(house, along)
    assert (Part(over_ridge.part[0]), over_ridge.corner[0]) == (Part.RIDGE, -1)
    assert over_ridge.place_m[0] == pytest.approx([100, 10, 11])
    # nearer the far end the roof is higher at the ray and the zone narrower than at mid path: the wall at x = 140
    assert (Part(past_end.part[0]), past_end.corner[0]) == (Part.TOP_EDGE, 1)
    assert past_end.place_m[0, 0] == pytest.approx(140.0)


def test_ray_below_a_crown_is_bounded_from_above():
    crown = solids(prisms(([box(80, -6, 120, 6)], 7.0, level(15.0))))
    row = found(crown, rays([0, 0, 5, 200, 0, 5]))
    assert Part(row.part[0]) is Part.UNDERSIDE
    assert row.clock_deg[0] == pytest.approx(0.0)
    assert row.clearance_m[0] == pytest.approx(2.0)
    assert row.from_start_m[0] == pytest.approx(100.0)
    near = found(crown, rays([0, 0, 6.5, 200, 0, 6.5]))
    assert near.v_under[0] == pytest.approx(-ROOT_2 * near.ratio[0])


def test_ray_over_a_pitched_roof_is_nearest_inside_its_slope():
    # a level ray beside the ridge and along it meets the slope square to it, at mid path
    roof = tops((0.0, 0.5, 6.0), (0.0, -0.5, 16.0))
    row = found(solids(prisms(([box(60, 0, 140, 20)], -INF, roof))), rays([0, 3, 9, 200, 3, 9]))
    assert Part(row.part[0]) is Part.TOP
    assert row.clearance_m[0] == pytest.approx((9 - 7.5) / np.hypot(1, 0.5))
    # the slope rises to the north, left of a ray that runs east: its nearest point lies below and to the left
    assert row.clock_deg[0] == pytest.approx(180.0 + np.degrees(np.arctan(0.5)), abs=1e-6)
    assert row.from_start_m[0] == pytest.approx(100.0)


def test_courtyard_is_open_to_the_sky():
    court = [box(0, 0, 40, 40), box(10, 10, 30, 30)]
    block = solids(prisms((court, -INF, level(10.0))))
    row = found(block, rays([20, 12, 4, 20, 28, 4], [20, 12, 4, 20, 60, 4]))
    assert row.cut.tolist() == [False, True]
    assert row.clearance_m[0] == pytest.approx(10.0)  # its side walls; those behind the ends bound nothing
    assert not row.holds_start.any()


def test_worst_pair_of_equals_is_the_first_solid_whatever_the_order():
    twins = solids(prisms(*[([box(90, -9, 110, 9)], -INF, level(4.0))] * 3))
    there = rays([0, 0, 5, 200, 0, 5])
    pairs = all_pairs(1, twins)
    back = Pairs(pairs.ray[::-1], pairs.family[::-1], pairs.solid[::-1])
    bodies = Bodies.of(twins)
    for some in (pairs, back):
        at = worst_pairs(clearances(bodies, there, some), some, 1)[0]
        assert (some.family[at], some.solid[at]) == (Family.PRISM, 0)
