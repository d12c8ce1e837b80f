"""Whether anything stands in a ray, held against a ray tracer and against the crossings."""

from __future__ import annotations

import importlib.metadata
import sqlite3

import numpy as np
import pytest
import shapely
from embreex import rtcore_scene
from embreex.mesh_construction import TriangleMesh

from survey_app.ground.ray import blocked, crossings, ray_index
from survey_app.ground.solids import SolidKind
from tests.bodies import sight_lines, solids, town, triangles

LEVEL_10 = [(0.0, 0.0, 10.0)]
DOWN = -np.inf
SQUARE = np.array([(40.0, -10.0), (60.0, -10.0), (60.0, 10.0), (40.0, 10.0)])
NEXT_DOOR = SQUARE + np.array((0.0, 20.0))


def _blocked(bodies, start, end, **options):
    there = bool(blocked(ray_index(bodies), [start], [end], **options)[0])
    assert bool(blocked(ray_index(bodies), [end], [start], **options)[0]) == there
    return there


def _traced(outlines, tops, start, end):
    """Ask the ray tracer, which counts in single precision."""
    scene = rtcore_scene.EmbreeScene(robust=True)
    TriangleMesh(scene, triangles(outlines, tops).astype(np.float32))
    along = end - start
    length = np.linalg.norm(along, axis=1)
    way = (along / length[:, None]).astype(np.float32)
    return scene.run(start.astype(np.float32), way, length.astype(np.float32), query="INTERSECT") != -1


def _held_against_tracer(outlines, tops, start, end, within_m):
    """Compare; where they differ the ray must pass an edge, a roof's rim or its own end within a distance."""
    level = [
        ([np.asarray(ring.coords)[:-1] for ring in (o.exterior, *o.interiors)], [(0.0, 0.0, t)], DOWN)
        for o, t in zip(outlines, tops, strict=True)
    ]
    mine = blocked(ray_index(solids(level)), start, end)
    differ = mine != _traced(outlines, tops, start, end)
    assert differ.sum() <= len(start) // 5000

    def with_all(by):
        grown = [o.buffer(by, join_style="mitre") for o in outlines]
        parts = [(p, t) for g, t in zip(grown, tops, strict=True) for p in shapely.get_parts(g)]
        bodies = [
            ([np.asarray(r.coords)[:-1] for r in (p.exterior, *p.interiors)], [(0.0, 0.0, t + by)], DOWN)
            for p, t in parts
        ]
        return blocked(ray_index(solids(bodies)), start[differ], end[differ])

    # a ray that truly passes that close is blocked by the larger bodies and free of the smaller ones
    assert with_all(within_m).all()
    assert not with_all(-within_m).any()


def test_hundred_thousand_rays_over_a_town_agree_with_the_ray_tracer():
    rings, tops = town(500, 1000.0)
    start, end = sight_lines(450, 3.0, 25.0, 1000.0)
    outlines = [shapely.Polygon(ring) for ring in rings]
    # a ray that begins inside a body is blocked, but meets no triangle where it ends inside, too
    tree = shapely.STRtree(outlines)
    points = shapely.points(np.concatenate((start, end))[:, :2])
    inside = np.zeros(len(points), bool)
    inside[tree.query(points, "within")[0]] = True
    free = ~(inside[: len(start)] | inside[len(start) :])
    assert free.sum() > 70_000
    _held_against_tracer(outlines, tops, start[free], end[free], 2e-3)


def test_hundred_thousand_rays_over_real_footprints_agree_with_the_ray_tracer():
    try:
        files = importlib.metadata.files("momepy") or []
    except importlib.metadata.PackageNotFoundError:
        pytest.skip("the footprints come with the extra `bench`")
    place = next(one for one in files if one.name == "bubenec.gpkg").locate()
    with sqlite3.connect(f"file:{place}?mode=ro", uri=True) as table:
        blobs = [row[0] for row in table.execute("select geom from buildings")]
    table.close()
    outlines = [part for blob in blobs for part in shapely.get_parts(shapely.from_wkb(_wkb(blob)))]
    corner = np.min([shapely.bounds(one)[:2] for one in outlines], axis=0)
    outlines = [shapely.transform(one, lambda at: at - corner) for one in outlines]
    assert len(outlines) > 100
    rng = np.random.default_rng(4)
    tops = rng.uniform(6.0, 25.0, len(outlines))
    high = shapely.total_bounds(outlines)[2:]
    start, end = (
        np.column_stack((rng.uniform(-20.0, high + 20.0, (170_000, 2)), rng.uniform(3.0, 30.0, 170_000)))
        for _ in range(2)
    )
    tree = shapely.STRtree(outlines)
    free = np.ones(len(start), bool)
    for ends in (start, end):
        free[tree.query(shapely.points(ends[:, :2]), "within")[0]] = False
    start, end = start[free][:100_000], end[free][:100_000]
    assert len(start) == 100_000
    _held_against_tracer(outlines, tops, start, end, 2e-3)


def _wkb(blob):
    """Cut the head off a geometry of a GeoPackage: 8 bytes and the envelope that its flags name (OGC 12-128, 2.1.3)."""
    envelope = (0, 32, 48, 48, 64)[(blob[3] >> 1) & 7]
    return blob[8 + envelope :]


def test_blocked_is_what_some_body_holds_a_piece_of():
    rng = np.random.default_rng(6)
    rings, tops = town(150, 400.0, seed=7)
    prisms = [
        ([r], [(*rng.uniform(-0.3, 0.3, 2), t), (*rng.uniform(-0.3, 0.3, 2), t + 1.0)], rng.choice([DOWN, 2.0]))
        for r, t in zip(rings, tops, strict=True)
    ]
    posts = [(*rng.uniform(0.0, 400.0, 2), 0.0, rng.uniform(5.0, 30.0), 1.0, 0.3) for _ in range(80)]
    index = ray_index(solids(prisms, posts, [(0.0, 0.0, 5.0, 400.0, 400.0, 5.0)]))
    start, end = sight_lines(120, 0.0, 25.0, 400.0)
    found = crossings(index, start, end)
    held = np.zeros(len(start), bool)
    held[found.ray[~np.isnan(found.inside_from)]] = True
    assert blocked(index, start, end).tolist() == held.tolist()
    assert 0.2 < held.mean() < 0.95
    assert blocked(index, end, start).tolist() == held.tolist()


def test_ray_over_the_roof_is_free_and_under_it_is_not():
    bodies = solids([([SQUARE], LEVEL_10, DOWN)])
    assert not _blocked(bodies, (0.0, 0.0, 11.0), (100.0, 0.0, 10.5))
    assert _blocked(bodies, (0.0, 0.0, 11.0), (100.0, 0.0, 8.0))
    assert _blocked(bodies, (0.0, 0.0, 9.0), (100.0, 0.0, 9.0))


def test_ray_that_dips_into_a_ridge_and_meets_no_wall_is_blocked():
    gable = [(0.0, 0.4, 6.0), (0.0, -0.4, 14.0)]
    bodies = solids([([SQUARE], gable, DOWN)])
    # over both eaves (6 m) and under the ridge (10 m) in the middle
    assert _blocked(bodies, (50.0, -30.0, 9.0), (50.0, 30.0, 9.0))
    assert not _blocked(bodies, (50.0, -30.0, 10.5), (50.0, 30.0, 10.5))


def test_ray_under_a_crown_is_free():
    bodies = solids([([SQUARE], LEVEL_10, 4.0)])
    assert not _blocked(bodies, (0.0, 0.0, 2.0), (100.0, 0.0, 3.9))
    assert _blocked(bodies, (0.0, 0.0, 2.0), (100.0, 0.0, 8.0))


@pytest.mark.parametrize("side", [-10.0, 10.0])
def test_ray_along_a_wall_either_side_is_free(side):
    assert not _blocked(solids([([SQUARE], LEVEL_10, DOWN)]), (0.0, side, 5.0), (100.0, side, 5.0))


def test_ray_along_the_wall_between_two_houses_is_blocked():
    both = solids([([SQUARE], LEVEL_10, DOWN), ([NEXT_DOOR], LEVEL_10, DOWN)])
    assert _blocked(both, (0.0, 10.0, 5.0), (100.0, 10.0, 5.0))
    assert not _blocked(both, (0.0, 10.0, 10.5), (100.0, 10.0, 10.5))


def test_ray_between_two_corners_that_do_not_face_each_other_is_free():
    apart = solids([([SQUARE], LEVEL_10, DOWN), ([NEXT_DOOR + np.array((100.0, 0.0))], LEVEL_10, DOWN)])
    assert not _blocked(apart, (0.0, 10.0, 5.0), (300.0, 10.0, 5.0))


def test_ray_past_a_corner_is_free_and_through_both_corners_of_a_house_is_not():
    diamond = np.array([(40.0, 0.0), (50.0, 10.0), (60.0, 0.0), (50.0, -10.0)])
    bodies = solids([([diamond], LEVEL_10, DOWN)])
    assert not _blocked(bodies, (0.0, 10.0, 5.0), (100.0, 10.0, 5.0))
    assert _blocked(bodies, (0.0, 0.0, 5.0), (100.0, 0.0, 5.0))


def test_mount_on_the_wall_looks_out_but_not_through_its_own_house():
    bodies = solids([([SQUARE], LEVEL_10, DOWN)])
    for at in ((60.0, 3.0, 5.0), (60.0, 10.0, 5.0), (60.0, -10.0, 5.0)):
        assert not _blocked(bodies, at, (100.0, 30.0, 5.0))
    assert _blocked(bodies, (60.0, 3.0, 5.0), (0.0, 3.5, 5.0))
    assert _blocked(bodies, (60.0, 10.0, 5.0), (0.0, -30.0, 5.0))
    assert not _blocked(bodies, (60.0, 3.0, 10.0), (0.0, 3.5, 10.0))


def test_wall_turned_askew_does_not_hide_a_mount_that_stands_on_it():
    for turn in np.linspace(0.1, 6.2, 40):
        way = np.array([(np.cos(turn), np.sin(turn)), (-np.sin(turn), np.cos(turn))])
        house = SQUARE @ way
        on_wall = house[1] + 0.37 * (house[2] - house[1])
        out = on_wall + np.array([37.0, 11.0]) @ way
        assert not _blocked(solids([([house], LEVEL_10, DOWN)]), (*on_wall, 5.0), (*out, 6.0))


def test_what_carries_an_end_and_kinds_that_do_not_count_can_be_left_out():
    bodies = solids([([SQUARE], LEVEL_10, DOWN)], uprights=[(80.0, 0.0, 0.0, 20.0, 0.2, 0.1)])
    index, start, end = ray_index(bodies), [(0.0, 0.05, 5.0)] * 4, [(100.0, 0.05, 5.0)] * 4
    without = [(-1, -1), (0, -1), (1, 0), (1, 1)]
    assert blocked(index, start, end, without=without).tolist() == [True, True, False, True]
    assert blocked(index, start[:1], end[:1], without=[(0,)], kinds=[SolidKind.BUILDING]).tolist() == [False]
    assert blocked(index, start[:1], end[:1], kinds=[SolidKind.UPRIGHT]).tolist() == [True]
    with pytest.raises(ValueError, match="leave out"):
        blocked(index, start, end, without=[1, 2])


def test_upright_ray_inside_is_blocked_and_a_point_is_not():
    bodies = solids([([SQUARE], LEVEL_10, DOWN)], uprights=[(0.0, 0.0, 0.0, 8.0, 1.0, 0.2)])
    assert _blocked(bodies, (50.0, 0.0, 2.0), (50.0, 0.0, 18.0))
    assert not _blocked(bodies, (50.0, 0.0, 10.0), (50.0, 0.0, 18.0))
    assert not _blocked(bodies, (40.0, 0.0, 2.0), (40.0, 0.0, 18.0))
    assert _blocked(bodies, (0.3, 0.3, 3.0), (0.3, 0.3, 30.0))
    assert not _blocked(bodies, (50.0, 0.0, 2.0), (50.0, 0.0, 2.0))


def test_ray_that_is_not_known_is_not_free():
    index = ray_index(solids([([SQUARE], LEVEL_10, DOWN)]))
    assert blocked(index, [(np.nan, 0.0, 50.0), (0.0, 0.0, 50.0)], [(1.0, 0.0, 50.0), (1.0, 0.0, 50.0)]).tolist() == [
        True,
        False,
    ]


def test_five_hundred_kilometres_from_the_origin_a_millimetre_still_counts():
    shift = np.array([500_000.0, -500_000.0])
    bodies = solids([([SQUARE + shift], LEVEL_10, DOWN)])
    near, past = (0.0, 9.999), (0.0, 10.001)
    for (x, y), expected in ((near, True), (past, False)):
        at, far = shift + np.array((x, y)), shift + np.array((x + 100.0, y))
        assert _blocked(bodies, (*at, 5.0), (*far, 5.0)) is expected


def test_wire_never_hides_anything_and_an_empty_site_is_free():
    assert not _blocked(solids(wires=[(50.0, -10.0, 5.0, 50.0, 10.0, 5.0)]), (0.0, 0.0, 5.0), (100.0, 0.0, 5.0))
    assert not _blocked(solids(), (0.0, 0.0, 5.0), (100.0, 0.0, 5.0))


@pytest.mark.parametrize("away_m", [0.0, 500_000.0, -7_000_000.0])
def test_on_whole_metres_where_all_touches_all_both_ways_say_the_same(away_m):
    """Houses and ends on one metre grid: rays along walls, through corners, from walls, upright, and of no length."""
    rng = np.random.default_rng(12)
    for _ in range(6):
        houses = []
        for x, y in (rng.integers(0, 20, (25, 2)) + away_m).tolist():
            w, h = rng.integers(1, 6, 2).tolist()
            ring = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
            houses.append(([ring], [(0.0, 0.0, float(rng.integers(1, 8)))], DOWN))
        index = ray_index(solids(houses, [(away_m + 9.0, away_m + 9.0, 0.0, 5.0, 1.0, 0.5)]))
        start, end = (
            rng.integers((-3, -3, 0), (28, 28, 9), (2000, 3)) + np.array((away_m, away_m, 0.0)) for _ in range(2)
        )
        answer = blocked(index, start, end)
        assert (answer == blocked(index, end, start)).all()
        there, back = crossings(index, start, end), crossings(index, end, start)
        rows = zip(there.ray, there.family, there.body, there.enter, there.leave, there.side, strict=True)
        mirrored = zip(back.ray, back.family, back.body, 1 - back.leave, 1 - back.enter, -back.side, strict=True)
        assert set(rows) == set(mirrored)
        through = there.ray[(there.side == 0) & ~np.isnan(there.inside_from)]
        assert answer[through].all()
        assert 0.3 < answer.mean() < 0.9
