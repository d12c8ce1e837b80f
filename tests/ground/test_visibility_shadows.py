"""Shadows of solids: by hand, against rays judged one by one in another way, and by the laws that they must obey."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.ground.ray import blocked, ray_index
from survey_app.ground.solids import SolidKind, Solids
from survey_app.ground.visibility.shadows import disc, level_shadows, upright_shadows
from tests.ground.made_solids import INF, box, level, prisms, solids, tops, uprights

HOUSE = solids(prisms(([box(10.0, -2.0, 14.0, 2.0)], -INF, level(5.0))))


def at(x: float, y: float, z: float) -> np.ndarray:
    return np.array([x, y, z], float)


def some_solids(seed: int) -> Solids:
    """Level blocks, gables, a hip, crowns over the ground, a courtyard and poles, none near the middle."""
    made = np.random.default_rng(seed)
    items = []
    while len(items) < 14:
        x, y = made.uniform(-80.0, 80.0, 2)
        if math.hypot(x, y) < 20.0:
            continue
        turn, long, wide = made.uniform(0.0, math.pi), made.uniform(4.0, 16.0), made.uniform(3.0, 9.0)
        spin = np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]])
        ring = box(-long / 2, -wide / 2, long / 2, wide / 2) @ spin.T + (x, y)
        eaves = made.uniform(2.0, 9.0)
        kind = len(items) % 5
        rings, underside, top = [ring], -INF, level(eaves)
        if kind in (1, 2):
            # heights count from the first corner: up from both long sides
            side = spin @ (0.0, 1.0)
            slope = made.uniform(0.3, 0.9)
            pitches = [
                (slope * side[0], slope * side[1], eaves),
                (-slope * side[0], -slope * side[1], eaves + slope * wide),
            ]
            if kind == 2:
                end = spin @ (1.0, 0.0)
                pitches += [
                    (slope * end[0], slope * end[1], eaves),
                    (-slope * end[0], -slope * end[1], eaves + slope * long),
                ]
            top = tops(*pitches)
        elif kind == 3:
            underside = eaves / 2.0
        elif kind == 4:
            rings = [ring, box(-long / 4, -wide / 4, long / 4, wide / 4) @ spin.T + (x, y)]
        items.append((rings, underside, top))
    poles = [
        (*made.uniform(-60.0, 60.0, 2), 0.0, made.uniform(4.0, 12.0), 0.3, made.uniform(0.1, 0.3)) for _ in range(4)
    ]
    bare = prisms(*items)
    # the rays of the house read a level top from here
    highest = [
        float(np.max([c for *_, c in top if c < INF])) + 10.0 * (len(top[top[:, 2] < INF]) > 1) for *_, top in items
    ]
    return solids(replace(bare, highest_m=np.array(highest)), uprights(*poles))


def hides(block: tuple[list[np.ndarray], float, np.ndarray], eye: np.ndarray, target: np.ndarray) -> bool:
    """Whether one prism stands between two points: cut the line by the area, then look at heights at eight hundred places."""
    rings, underside, planes = block
    area = shapely.Polygon(rings[0], list(rings[1:]))
    steps = np.linspace(0.0, 1.0, 801)[:, None]
    points = eye + steps * (target - eye)
    over = shapely.contains_xy(area, points[:, 0], points[:, 1])
    first = rings[0][0]
    top = np.min(
        [a * (points[:, 0] - first[0]) + b * (points[:, 1] - first[1]) + c for a, b, c in planes if c < INF], axis=0
    )
    return bool(np.any(over & (points[:, 2] > underside) & (points[:, 2] < top)))


def test_the_shadow_of_a_box_ends_where_similar_triangles_say() -> None:
    hidden = level_shadows(HOUSE, at(0.0, 0.0, 10.0), 0.0, 200.0)
    # the far roof edge is 14 m away, 5 m of 10 m high: 14 * 10 / (10 - 5) = 28
    assert hidden.bounds == pytest.approx((10.0, -4.0, 28.0, 4.0))
    # a trapezoid from 4 m wide at 10 m to 8 m wide at 20 m, then 8 m wide up to 28 m
    assert hidden.area == pytest.approx(0.5 * (4.0 + 8.0) * 10.0 + 8.0 * 8.0)


def test_a_plane_above_the_roof_is_hidden_only_behind_what_stands_over_the_viewer() -> None:
    assert level_shadows(HOUSE, at(0.0, 0.0, 6.0), 7.0, 200.0).is_empty
    # from 3 m the near edge, 2 m higher 10 m away, hides a plane 17 m higher from 85 m on
    assert level_shadows(HOUSE, at(0.0, 0.0, 3.0), 20.0, 200.0).bounds[0] == pytest.approx(85.0)


def test_at_eye_height_all_behind_a_wall_is_hidden() -> None:
    hidden = level_shadows(HOUSE, at(0.0, 0.0, 3.0), 3.0, 200.0)
    half = math.atan2(2.0, 10.0)
    # sector of the disc less the triangle in front of the wall
    assert hidden.area == pytest.approx(half * 200.0**2 - 10.0 * 2.0, rel=1e-4)
    assert level_shadows(HOUSE, at(0.0, 0.0, 5.0), 5.0, 200.0).is_empty  # along the roof it only grazes


def test_a_mount_beside_its_wall_loses_the_half_behind_it() -> None:
    wall = solids(prisms(([box(-500.0, 0.3, 500.0, 12.0)], -INF, level(9.0))))
    hidden = level_shadows(wall, at(0.0, 0.0, 6.0), 2.0, 300.0)
    assert hidden.area == pytest.approx(0.5 * math.pi * 300.0**2, rel=2e-3)
    assert shapely.box(*hidden.bounds).bounds[1] == pytest.approx(0.3)


def test_a_viewer_on_the_wall_or_the_roof_edge_looks_outward_freely() -> None:
    for z in (4.0, 5.0):
        hidden = level_shadows(HOUSE, at(10.0, 0.0, z), 0.0, 50.0)
        assert not hidden.contains(shapely.Point(9.9, 0.0))
        assert hidden.contains(shapely.Point(12.0, 0.5))
        assert hidden.contains(shapely.Point(14.5, 0.0))


def test_a_viewer_inside_a_solid_sees_nothing() -> None:
    eye = at(12.0, 0.0, 3.0)
    assert level_shadows(HOUSE, eye, 0.0, 50.0).equals(disc(eye, 50.0))


def test_one_sees_under_a_crown_and_over_it() -> None:
    crown = solids(prisms(([box(10.0, -2.0, 14.0, 2.0)], 3.0, level(5.0))))
    hidden = level_shadows(crown, at(0.0, 0.0, 10.0), 0.0, 200.0)
    # the lower edge of the near side: 10 * 10 / (10 - 3)
    assert hidden.bounds[0] == pytest.approx(100.0 / 7.0)
    assert not hidden.contains(shapely.Point(12.0, 0.0))


def test_a_pole_throws_a_thin_strip() -> None:
    pole = solids(None, uprights((20.0, 0.0, 0.0, 6.0, 0.15, 0.15)))
    hidden = level_shadows(pole, at(0.0, 0.0, 10.0), 0.0, 200.0)
    assert hidden.bounds[2] == pytest.approx(50.0)
    assert hidden.bounds[3] == pytest.approx(0.15 * 50.0 / 20.0, rel=1e-3)


def test_a_courtyard_is_seen_from_above() -> None:
    ring = solids(prisms(([box(10.0, -20.0, 50.0, 20.0), box(20.0, -10.0, 40.0, 10.0)], -INF, level(5.0))))
    hidden = level_shadows(ring, at(0.0, 0.0, 30.0), 0.0, 200.0)
    assert not hidden.contains(shapely.Point(35.0, 0.0))
    assert hidden.contains(shapely.Point(22.0, 0.0))  # 20 * 30 / 25 = 24


def test_kinds_that_do_not_count_hide_nothing() -> None:
    assert level_shadows(HOUSE, at(0.0, 0.0, 10.0), 0.0, 200.0, kinds=[SolidKind.TREES]).is_empty


@pytest.mark.parametrize(("eye_m", "plane_m"), [(15.0, 1.5), (3.0, 3.0), (2.5, 8.0), (12.0, 5.0)])
def test_random_targets_are_hidden_as_a_ray_says_that_is_walked_by_itself(eye_m: float, plane_m: float) -> None:
    made = np.random.default_rng(5)
    found = some_solids(3)
    eye = at(0.3, -0.2, eye_m)
    hidden = level_shadows(found, eye, plane_m, 120.0)
    targets = np.column_stack((made.uniform(-80.0, 80.0, (150, 2)), np.full(150, plane_m)))
    # a walk in eight hundred steps sees nothing thinner than 0.15 m
    edge = shapely.boundary(hidden)
    targets = targets[shapely.distance(edge, shapely.points(targets[:, :2])) > 0.35]
    blocks = _blocks(found)
    by_hand = np.array([any(hides(block, eye, target) for block in blocks) for target in targets])
    only_blocks = level_shadows(Solids(found.ids, found.prisms, solids().uprights, found.wires), eye, plane_m, 120.0)
    assert np.array_equal(shapely.contains_xy(only_blocks, *targets[:, :2].T), by_hand)
    assert by_hand.any()
    assert not by_hand.all()


def _blocks(found: Solids) -> list[tuple[list[np.ndarray], float, np.ndarray]]:
    table = found.prisms
    rows = []
    for n in range(len(table)):
        start = table.ring_start[table.first_ring[n] : table.first_ring[n + 1] + 1]
        rings = [table.corners_m[a:b] for a, b in itertools.pairwise(start)]
        rows.append((rings, float(table.underside_m[n]), table.planes[n]))
    return rows


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize(("eye_m", "plane_m"), [(15.0, 1.5), (3.0, 3.0), (2.5, 8.0)])
def test_outlines_agree_with_the_rays_of_the_house(seed: int, eye_m: float, plane_m: float) -> None:
    found, eye = some_solids(seed), at(0.3, -0.2, eye_m)
    hidden = level_shadows(found, eye, plane_m, 120.0)
    made = np.random.default_rng(seed)
    targets = np.column_stack((made.uniform(-80.0, 80.0, (20000, 2)), np.full(20000, plane_m)))
    targets = targets[shapely.distance(shapely.boundary(hidden), shapely.points(targets[:, :2])) > 1e-3]
    # inside a pole the strip across it is not the pole
    poles = shapely.buffer(shapely.points(found.uprights.centre_m), 0.35)
    targets = targets[~np.any([shapely.contains_xy(pole, *targets[:, :2].T) for pole in poles], axis=0)]
    rays = blocked(ray_index(found), np.broadcast_to(eye, targets.shape), targets)
    assert np.mean(rays == shapely.contains_xy(hidden, *targets[:, :2].T)) >= 0.9999


@given(st.floats(5.1, 60.0), st.floats(0.1, 30.0), st.floats(0.0, 4.9))
@settings(max_examples=60, deadline=None)
def test_raising_the_viewer_over_one_box_never_hides_more(height_m: float, more_m: float, plane_m: float) -> None:
    low = level_shadows(HOUSE, at(0.0, 1.0, height_m), plane_m, 150.0)
    high = level_shadows(HOUSE, at(0.0, 1.0, height_m + more_m), plane_m, 150.0)
    assert high.difference(low.buffer(1e-6)).area == 0.0


@given(st.integers(0, 50), st.floats(1.0, 20.0), st.floats(0.5, 12.0))
@settings(max_examples=25, deadline=None)
def test_adding_solids_never_shows_more(seed: int, eye_m: float, plane_m: float) -> None:
    found = some_solids(seed)
    fewer = Solids(found.ids, found.prisms, solids().uprights, found.wires)
    eye = at(0.3, -0.2, eye_m)
    less = level_shadows(fewer, eye, plane_m, 100.0)
    assert less.difference(level_shadows(found, eye, plane_m, 100.0).buffer(1e-6)).area == pytest.approx(0.0, abs=1e-9)


def test_a_bulge_lets_a_far_shadow_end_where_the_bent_ray_comes_down() -> None:
    far = solids(prisms(([box(2000.0, -50.0, 2010.0, 50.0)], -INF, level(10.0))))
    eye = at(0.0, 0.0, 20.0)
    end = level_shadows(far, eye, 0.0, 6000.0, k=4.0 / 3.0).bounds[2]
    # the ray over the far corner of the roof, 50 m aside, is bent by d1 d2 / (2 k R) there and at the plane at its end
    aside = 1.0 + (50.0 / 2010.0) ** 2
    lift = 2010.0 * (end - 2010.0) * aside / (2.0 * 4.0 / 3.0 * 6_371_000.0)
    assert 20.0 * (1.0 - 2010.0 / end) - lift == pytest.approx(10.0, abs=1e-6)
    assert end > level_shadows(far, eye, 0.0, 6000.0).bounds[2] == pytest.approx(4020.0)


def test_an_upright_plane_is_hidden_up_to_the_line_of_sight_over_the_roof() -> None:
    hidden = upright_shadows(HOUSE, at(0.0, 0.0, 10.0), np.array([20.0, -10.0]), np.array([20.0, 10.0]), 0.0, 30.0)
    # over the far roof edge: 10 - 5 * 20 / 14; from wall to wall: 20 * 2 / 10 either side
    assert hidden.bounds == pytest.approx((6.0, 0.0, 14.0, 10.0 - 100.0 / 14.0))


@pytest.mark.parametrize("seed", range(2))
def test_upright_planes_agree_with_the_rays_of_the_house(seed: int) -> None:
    found, made = some_solids(seed), np.random.default_rng(seed)
    eye = at(0.3, -0.2, 7.0)
    start, end = np.array([-70.0, 40.0]), np.array([60.0, 75.0])
    hidden = upright_shadows(found, eye, start, end, 0.0, 25.0)
    along, z = made.uniform(0.0, math.hypot(130.0, 35.0), 20000), made.uniform(0.0, 25.0, 20000)
    points = start + along[:, None] * (end - start) / math.hypot(130.0, 35.0)
    kept = shapely.distance(shapely.boundary(hidden), shapely.points(along, z)) > 1e-3
    near_pole = np.min(np.hypot(*(points[:, None] - found.uprights.centre_m).transpose(2, 0, 1)), axis=1) < 0.5
    kept &= ~near_pole
    rays = blocked(ray_index(found), np.broadcast_to(eye, (int(kept.sum()), 3)), np.column_stack((points, z))[kept])
    assert np.mean(rays == shapely.contains_xy(hidden, along[kept], z[kept])) >= 0.999
    assert rays.any()
