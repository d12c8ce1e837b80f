"""What rays cross indoors, held against a geometry library, plain reckoning and hand geometry."""

from __future__ import annotations

import datetime
import itertools
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.ground.indoors import IndoorCrossings, Met, indoor_crossings, standing
from survey_app.ground.partitions import OpeningState, Partitions, partitions
from survey_app.ground.place import place
from survey_app.site.file import read_site
from survey_app.site.place import PlanePoint
from survey_app.site.site import Design, Site
from survey_app.site.structure import Building
from survey_app.site.surroundings import Opening, Room, Wall


def _points(*pairs: tuple[float, float]) -> tuple[PlanePoint, ...]:
    return tuple(PlanePoint(x_m=x, y_m=y) for x, y in pairs)


def _box(x0: float, y0: float, x1: float, y1: float) -> tuple[PlanePoint, ...]:
    return _points((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def _inside(walls: Any = (), openings: Any = (), rooms: Any = (), base_m: float = 0.0) -> Partitions:
    hall = Building(kind="building", id="hall", outline=_box(-100, -100, 100, 100), base_m=base_m)
    design = Design(
        name="Inside",
        as_of=datetime.date(2026, 12, 1),
        structures=(hall,),
        walls=tuple(walls),
        openings=tuple(openings),
        rooms=tuple(rooms),
    )
    return partitions(design, place(Site(design=design)).outlines, {"hall": base_m})


def _wall(wall_id: str, *pairs: tuple[float, float], **more: Any) -> Wall:
    return Wall(id=wall_id, structure="hall", route=_points(*pairs), **more)


def _room(room_id: str, *corners: float, floor: float = 0.0, ceiling: float = 3.0) -> Room:
    return Room(id=room_id, structure="hall", outline=_box(*corners), floor_height_m=floor, ceiling_height_m=ceiling)


def _met(inside: Partitions, found: IndoorCrossings) -> list[tuple[int, str, str]]:
    names = (inside.wall_ids, inside.opening_ids, inside.room_ids, inside.room_ids)
    return [
        (ray, Met(met).name, names[met][thing])
        for ray, met, thing in zip(found.ray.tolist(), found.met.tolist(), found.thing.tolist(), strict=True)
    ]


# By hand -------------------------------------------------------------------------------------------------------------

TWO_ROOMS = _inside(
    [_wall("brick", (12, 0), (12, 20), height_m=9.0)],
    [Opening(id="door", wall="brick", along_m=6.0, width_m=3.0, height_m=3.0)],
)


def test_a_ray_through_the_wall_of_the_hall_meets_it_once_and_square() -> None:
    found = indoor_crossings(TWO_ROOMS, [[0, 10, 4]], [[24, 10, 4]])
    assert _met(TWO_ROOMS, found) == [(0, "WALL", "brick")]
    assert found.along.tolist() == [0.5]
    assert found.incidence_deg.tolist() == [0.0]


@pytest.mark.parametrize(
    ("y_m", "height_m", "what"),
    [
        (6.0, 2.0, "OPENING"),
        (4.51, 2.99, "OPENING"),
        (7.49, 0.0, "OPENING"),
        (4.49, 2.0, "WALL"),
        (7.51, 2.0, "WALL"),
        (6.0, 3.01, "WALL"),
        (6.0, 9.01, None),
        (20.1, 2.0, None),
    ],
)
def test_the_door_is_where_it_is_drawn_and_the_wall_all_round_it(y_m: float, height_m: float, what: str | None) -> None:
    found = indoor_crossings(TWO_ROOMS, [[0, y_m, height_m]], [[24, y_m, height_m]])
    assert [row[1] for row in _met(TWO_ROOMS, found)] == ([what] if what else [])


def test_a_ray_at_an_angle_meets_the_wall_at_that_angle() -> None:
    flat = indoor_crossings(TWO_ROOMS, [[2, 1, 4]], [[22, 1 + 20 / np.sqrt(3), 4]])
    assert flat.incidence_deg == pytest.approx([30.0])
    # and one that climbs, too: 45 degrees up, square on the plan
    steep = indoor_crossings(TWO_ROOMS, [[10, 10, 2]], [[14, 10, 6]])
    assert steep.incidence_deg == pytest.approx([45.0])


@pytest.mark.parametrize(
    ("state", "changing", "stands"),
    [
        ("open", "closed", False),
        ("closed", "open", True),
        ("changes", "open", False),
        ("changes", "closed", True),
    ],
)
def test_doors_stand_as_they_are_drawn_or_as_is_asked(state: Any, changing: Any, stands: bool) -> None:
    inside = _inside(
        [_wall("brick", (12, 0), (12, 20))],
        [Opening(id="door", wall="brick", along_m=6.0, width_m=1.0, state=state)],
    )
    found = indoor_crossings(inside, [[0, 6, 1], [0, 15, 1]], [[24, 6, 1], [24, 15, 1]])
    assert standing(inside, found, changing).tolist() == [stands, True]
    assert inside.opening_state.tolist() == [OpeningState[state.upper()]]


def test_a_word_for_doors_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="changing"):
        standing(TWO_ROOMS, indoor_crossings(TWO_ROOMS, [[0, 1, 1]], [[1, 1, 1]]), "ajar")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=r"\(rays, 3\)"):
        indoor_crossings(TWO_ROOMS, [0, 1, 1], [1, 1, 1])
    with pytest.raises(ValueError):
        indoor_crossings(TWO_ROOMS, [[0, 1, 1]] * 3, [[1, 1, 1]] * 2)


def test_a_radio_on_the_wall_does_not_look_through_it() -> None:
    found = indoor_crossings(TWO_ROOMS, [[12, 10, 4], [12.0005, 10, 4], [11.99, 10, 4]], [[24, 10, 4]] * 3)
    assert found.ray.tolist() == [2]


def test_a_corner_is_met_once() -> None:
    # one wall with a corner, and two walls that share one
    bent = _inside([_wall("bent", (0, 0), (5, 5), (10, 0))])
    assert len(indoor_crossings(bent, [[5, -5, 1]], [[5, 20, 1]])) == 1
    two = _inside([_wall("left", (0, 0), (5, 5)), _wall("right", (5, 5), (10, 0))])
    assert len(indoor_crossings(two, [[5, -5, 1]], [[5, 20, 1]])) == 1
    # a ray that only touches the tip goes by
    assert len(indoor_crossings(bent, [[-5, 5, 1]], [[15, 5, 1]])) in (0, 2)


def test_an_opening_in_the_second_piece_of_a_wall_counts_along_the_whole_run() -> None:
    inside = _inside(
        [_wall("bent", (0, 0), (10, 0), (10, 10))], [Opening(id="door", wall="bent", along_m=14.0, width_m=1.0)]
    )
    found = indoor_crossings(inside, [[5, 4, 1], [5, 6, 1]], [[15, 4, 1], [15, 6, 1]])
    assert _met(inside, found) == [(0, "OPENING", "door"), (1, "WALL", "bent")]


def test_a_ray_that_hardly_moves_is_no_reason_to_stumble() -> None:
    tiny = [[12, 10, 4], [12 + 1e-13, 10, 4 + 1e-313], [12 + 1e-200, 10, 8]]
    assert len(indoor_crossings(TWO_ROOMS, [[12, 10, 4]] * 3, tiny)) == 0
    assert len(indoor_crossings(STOREYS, [[5, 5, 3.0]], [[5, 5, 3.0 + 1e-313]])) == 0


def test_rays_that_are_nowhere_or_have_no_length_cross_nothing() -> None:
    start = [[np.nan, 10, 4], [0, 10, np.nan], [12, 10, 4], [0, 10, 4]]
    end = [[24, 10, 4], [24, 10, 4], [12, 10, 4], [24, np.nan, 4]]
    assert len(indoor_crossings(TWO_ROOMS, start, end)) == 0
    assert len(indoor_crossings(TWO_ROOMS, np.empty((0, 3)), np.empty((0, 3)))) == 0
    assert len(indoor_crossings(_inside(), [[0, 0, 0]], [[1, 1, 1]])) == 0


# Floors --------------------------------------------------------------------------------------------------------------

STOREYS = _inside(
    rooms=[
        _room("ground", 0, 0, 20, 10, floor=0.0, ceiling=2.7),
        _room("first", 0, 0, 20, 10, floor=3.0, ceiling=2.7),
        _room("second-west", 0, 0, 9.9, 10, floor=6.0, ceiling=2.7),
        _room("second-east", 10.1, 0, 20, 10, floor=6.0, ceiling=2.7),
    ]
)


def test_a_ray_from_storey_to_storey_meets_one_slab_each() -> None:
    found = indoor_crossings(STOREYS, [[5, 5, 1], [5, 5, 7]], [[5, 5, 7], [6, 5, 1]])
    assert _met(STOREYS, found) == [
        (0, "FLOOR", "first"),
        (0, "FLOOR", "second-west"),
        (1, "FLOOR", "second-west"),
        (1, "FLOOR", "first"),
    ]
    assert found.incidence_deg[:2].tolist() == [0.0, 0.0]
    assert found.incidence_deg[2] == pytest.approx(np.rad2deg(np.arctan(1 / 6)))


def test_no_ray_slips_through_between_two_rooms() -> None:
    found = indoor_crossings(STOREYS, [[10.0, 5, 1]], [[10.0, 5, 7]])
    assert [row[1] for row in _met(STOREYS, found)] == ["FLOOR", "FLOOR"]


def test_a_ray_to_the_roof_meets_a_ceiling_and_one_on_its_own_floor_nothing() -> None:
    found = indoor_crossings(STOREYS, [[5, 5, 7], [1, 5, 1], [1, 5, 2.8]], [[5, 5, 12], [19, 5, 2], [19, 5, 2.8]])
    assert _met(STOREYS, found) == [(0, "CEILING", "second-west")]


def test_a_low_room_has_a_floor_and_a_ceiling() -> None:
    crawl = _inside(rooms=[_room("crawl", 0, 0, 9, 9, floor=0.0, ceiling=1.0)])
    for start, end in ((-1, 4), (4, -1)):
        found = indoor_crossings(crawl, [[5, 5, start]], [[5, 5, end]])
        assert sorted(row[1] for row in _met(crawl, found)) == ["CEILING", "FLOOR"]


def test_a_ceiling_that_is_the_next_floor_is_one_slab_whatever_the_last_digit() -> None:
    for base_m in (0.0, 0.1, 123.4):
        inside = _inside(
            rooms=[_room("low", 0, 0, 9, 9, floor=0.1, ceiling=0.2), _room("high", 0, 0, 9, 9, floor=0.3)],
            base_m=base_m,
        )
        for start, end in ((base_m + 0.2, base_m + 2), (base_m + 2, base_m + 0.2)):
            found = indoor_crossings(inside, [[5, 5, start]], [[5, 5, end]])
            assert _met(inside, found) == [(0, "FLOOR", "high")]


# Against a geometry library -----------------------------------------------------------------------------------------

numbers = st.floats(-50, 50).map(lambda value: round(value, 2))
spots = st.tuples(numbers, numbers)
levels = st.floats(0, 6).map(lambda value: round(value, 2))
rays = st.tuples(spots, levels, spots, levels)


@given(
    st.lists(st.lists(spots, min_size=2, max_size=5, unique=True), min_size=1, max_size=5),
    st.lists(rays, min_size=1, max_size=6),
    st.floats(1.0, 5.0),
)
@settings(max_examples=80, deadline=None)
def test_walls_are_met_where_the_geometry_library_meets_them(runs: Any, lines: Any, height_m: float) -> None:
    inside = _inside([_wall(f"w{n}", *run, height_m=height_m) for n, run in enumerate(runs)])
    found = indoor_crossings(inside, [(*a, h) for a, h, _, _ in lines], [(*b, k) for _, _, b, k in lines])
    for n, (a, h, b, k) in enumerate(lines):
        plan = shapely.LineString([a, b])
        for m, run in enumerate(runs):
            here = found.along[(found.ray == n) & (found.thing == m)]
            expected, doubtful = [], plan.length < 0.01
            for p, q in itertools.pairwise(run):
                piece = shapely.LineString([p, q])
                doubtful |= any(shapely.Point(end).distance(plan) < 1e-6 for end in (p, q))
                doubtful |= any(shapely.Point(end).distance(piece) < 2e-3 for end in (a, b))
                at = plan.intersection(piece)
                if at.geom_type == "Point" and not at.is_empty:
                    part = plan.project(at) / plan.length
                    level = h + part * (k - h)
                    doubtful |= min(abs(level), abs(level - height_m)) < 1e-6
                    if 0.0 <= level <= height_m:
                        expected.append(part)
            if not doubtful:
                assert here == pytest.approx(sorted(expected), abs=1e-7)


@given(
    st.lists(st.tuples(spots, st.floats(1.0, 30.0), st.floats(1.0, 30.0)), min_size=1, max_size=4),
    st.lists(st.tuples(spots, st.floats(-20, 20), spots, st.floats(-20, 20)), min_size=1, max_size=6),
)
@settings(max_examples=80, deadline=None)
def test_floors_are_met_where_the_geometry_library_says(boxes: Any, lines: Any) -> None:
    # storeys so far apart that no ceiling is the underside of a floor
    rooms = [
        _room(f"r{n}", x, y, x + w, y + d, floor=-14.0 + 7.0 * n, ceiling=3.0) for n, ((x, y), w, d) in enumerate(boxes)
    ]
    inside = _inside(rooms=rooms)
    found = indoor_crossings(inside, [(*a, h) for a, h, _, _ in lines], [(*b, k) for _, _, b, k in lines])
    for n, (a, h, b, k) in enumerate(lines):
        for m, ((x, y), w, d) in enumerate(boxes):
            reach = shapely.box(x, y, x + w, y + d).buffer(0.15, quad_segs=64)
            for met, level in ((Met.FLOOR, -14.0 + 7.0 * m), (Met.CEILING, -11.0 + 7.0 * m)):
                here = found.along[(found.ray == n) & (found.thing == m) & (found.met == met)].tolist()
                if not min(h, k) + 0.01 < level < max(h, k) - 0.01:
                    assert here == [] or min(abs(level - h), abs(level - k)) < 0.011
                    continue
                part = (level - h) / (k - h)
                at = shapely.Point(a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1]))
                if reach.exterior.distance(at) > 1e-3:
                    assert here == pytest.approx([part] if reach.contains(at) else [])


def _crowded() -> Partitions:
    random = np.random.default_rng(9)
    walls = [_wall(f"w{n}", *map(tuple, random.uniform(-50, 50, (3, 2)).tolist()), height_m=3.017) for n in range(12)]
    doors = [Opening(id=f"d{n}", wall=f"w{n}", along_m=5.0, width_m=4.0) for n in range(12)]
    floors = [_room(f"r{n}", -40 + 10 * n, -40, -30 + 10 * n, 40, floor=3.0 * (n % 2), ceiling=2.6) for n in range(8)]
    return _inside(walls, doors, floors)


CROWDED = _crowded()


@given(st.lists(rays, min_size=1, max_size=8))
@settings(max_examples=80, deadline=None)
def test_the_way_back_meets_the_same(lines: Any) -> None:
    start, end = np.array([(*a, h) for a, h, _, _ in lines]), np.array([(*b, k) for _, _, b, k in lines])
    there, back = indoor_crossings(CROWDED, start, end), indoor_crossings(CROWDED, end, start)
    assert sorted(zip(there.ray, there.met, there.thing, strict=True)) == sorted(
        zip(back.ray, back.met, back.thing, strict=True)
    )


def test_many_rays_at_once_meet_what_each_meets_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    random = np.random.default_rng(3)
    walls = [_wall(f"w{n}", *map(tuple, random.uniform(-50, 50, (4, 2)).tolist())) for n in range(30)]
    inside = _inside(walls, [], [_room("r", -30, -30, 30, 30), _room("s", -30, -30, 30, 30, floor=3.3)])
    start, end = random.uniform(-50, 50, (200, 3)), random.uniform(-50, 50, (200, 3))
    start[:, 2], end[:, 2] = random.uniform(0, 5, 200), random.uniform(0, 5, 200)
    whole = indoor_crossings(inside, start, end)
    monkeypatch.setattr("survey_app.ground.indoors._PAIRS", 1000)
    parts = indoor_crossings(inside, start, end)
    assert len(whole) > 500
    for name in ("ray", "met", "thing", "along", "incidence_deg"):
        np.testing.assert_array_equal(getattr(whole, name), getattr(parts, name))
    alone = indoor_crossings(inside, start[117:118], end[117:118])
    np.testing.assert_array_equal(whole.along[whole.ray == 117], alone.along)


# What is gathered ----------------------------------------------------------------------------------------------------


def test_a_wall_stands_on_the_floor_of_the_rooms_that_it_divides() -> None:
    rooms = [
        _room("west", 0, 0, 9.9, 10, floor=4.0),
        _room("east", 10.1, 0, 20, 10, floor=4.0),
        _room("cellar", 30, 0, 40, 10, floor=-3.0),
    ]
    inside = _inside(
        [_wall("between", (10, 0), (10, 10)), _wall("far", (60, 0), (60, 10)), _wall("below", (35, 0), (35, 10))],
        rooms=rooms,
        base_m=100.0,
    )
    assert inside.bottom_m.tolist() == [104.0, 100.0, 97.0]
    assert inside.top_m.tolist() == [107.0, 103.0, 100.0]
    assert inside.storey_guessed == ()


def test_a_wall_under_rooms_on_several_floors_says_that_its_storey_is_guessed() -> None:
    rooms = [_room("low", 0, 0, 9, 9, floor=0.0), _room("high", 0, 0, 9, 9, floor=3.0)]
    inside = _inside([_wall("which", (4, 0), (4, 9))], rooms=rooms)
    assert inside.storey_guessed == ("which",)
    assert inside.bottom_m.tolist() == [0.0]


def test_what_has_no_place_is_named_and_what_is_gone_is_not_there() -> None:
    wall = _wall("here", (0, 0), (10, 0))
    inside = _inside(
        [
            wall,
            Wall(id="lost", structure="nowhere", route=_points((0, 0), (1, 0))),
            _wall("old", (0, 5), (9, 5), status="removed"),
        ],
        [
            Opening(id="beyond", wall="here", along_m=50.0, width_m=1.0),
            Opening(id="of-lost", wall="lost", along_m=0.5, width_m=0.5),
            Opening(id="good", wall="here", along_m=5.0, width_m=1.0),
        ],
        [Room(id="adrift", structure="nowhere", outline=_box(0, 0, 1, 1))],
    )
    assert inside.wall_ids == ("here",)
    assert inside.opening_ids == ("good",)
    assert set(inside.left_out) == {"lost", "beyond", "of-lost", "adrift"}


def test_the_hall_of_the_mill_is_divided_as_its_drawing_says() -> None:
    folder = Path(__file__).resolve().parents[2] / "demo_sites" / "mill"
    site = read_site(folder)
    design = site.design
    feet_m = {one.id: float(one.base_m or 0.0) for one in design.structures if one.kind == "building"}
    inside = partitions(design, place(site).outlines, feet_m)
    assert not inside.left_out
    assert not inside.storey_guessed
    assert len(inside.wall_ids) == len(design.walls) >= 1
    low = inside.bottom_m[0] + 1.0
    middle = (inside.start_m[0] + inside.end_m[0]) / 2.0
    run = inside.end_m[0] - inside.start_m[0]
    across = np.array([run[1], -run[0]]) / np.hypot(*run)
    found = indoor_crossings(inside, [[*(middle - across), low]], [[*(middle + across), low]])
    assert len(found) == 1
    assert found.incidence_deg == pytest.approx([0.0], abs=1e-5)
