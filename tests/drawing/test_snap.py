"""The snap engine: what the pointer catches, and what may never beat what."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Path, Point, Symbol, Words
from survey_app.drawing.snap import Kind, Snap, SnapField, field_of, snap
from survey_app.drawing.snap.field import Outline, field_from
from survey_app.drawing.snap.result import WEIGHTS
from survey_app.ground.place import place
from tests.site.full_site import full_site

SHED = ((0.0, 0.0), (8.0, 0.0), (8.0, 5.0), (0.0, 5.0))
REACH_M = 1.0


def _field(*outlines: tuple[Point, ...], points: tuple[Point, ...] = (), closed: bool = True) -> SnapField:
    """Return a field of outlines SHED 0, SHED 1, … and of poles at points."""
    ids = [f"b{n}" for n in range(len(outlines))] + [f"p{n}" for n in range(len(points))]
    names = [f"SHED {n}" for n in range(len(outlines))] + [f"Pole {n}" for n in range(len(points))]
    rings = [Outline(n, np.array(ring), closed) for n, ring in enumerate(outlines)]
    return field_from(ids, names, rings, [(len(outlines) + n, at) for n, at in enumerate(points)])


EMPTY = _field()


@pytest.mark.parametrize(
    ("pointer", "kind", "at", "words", "part"),
    [
        ((8.2, 5.1), Kind.CORNER, (8.0, 5.0), "corner of SHED 0", "corner 2"),
        ((4.1, 0.2), Kind.MIDDLE, (4.0, 0.0), "middle of an edge of SHED 0", "edge 0"),
        ((2.0, 0.3), Kind.EDGE, (2.0, 0.0), "edge of SHED 0", "edge 0"),
        ((12.0, 0.3), Kind.EXTENSION, (12.0, 0.0), "in line with SHED 0", "edge 0"),
        ((3.9, 2.4), Kind.NONE, (3.9, 2.4), "", ""),
    ],
)
def test_pointer_near_a_shed_catches_its_parts(pointer: Point, kind: Kind, at: Point, words: str, part: str) -> None:
    caught = snap(_field(SHED), *pointer, REACH_M)
    assert (caught.kind, caught.words, caught.part) == (kind, words, part)
    assert caught.at == pytest.approx(at)
    assert caught.id == ("b0" if kind is not Kind.NONE else "")
    assert bool(caught.marks) == caught.caught


def test_point_of_a_pole_is_caught_by_its_name() -> None:
    caught = snap(_field(points=((3.0, 3.0),)), 3.4, 3.0, REACH_M)
    assert (caught.kind, caught.at, caught.words, caught.id) == (Kind.POINT, (3.0, 3.0), "Pole 0", "p0")


@pytest.mark.parametrize(
    ("pointer", "kind", "at", "words"),
    [
        ((12.1, 0.1), Kind.ANGLE, (12.0, 0.0), "90.0°, 12 m"),
        ((12.5, 0.1), Kind.ANGLE, (12.5, 0.0), "90.0°"),
        ((0.1, -7.1), Kind.ANGLE, (0.0, -7.0), "180.0°, 7 m"),
        ((0.05, 4.55), Kind.ANGLE, (0.0, 4.55), "0.0°"),
        # half way between 75° and 90° there is only the length
        ((9.93 * math.sin(math.radians(82.5)), 9.93 * math.cos(math.radians(82.5))), Kind.METRES, None, "10 m"),
    ],
)
def test_line_from_an_anchor_likes_steps_of_15_degrees_and_whole_metres(
    pointer: Point, kind: Kind, at: Point | None, words: str
) -> None:
    caught = snap(EMPTY, *pointer, REACH_M, anchor=(0.0, 0.0))
    assert (caught.kind, caught.words) == (kind, words)
    if at is not None:
        assert caught.at == pytest.approx(at, abs=1e-12)


def test_line_in_feet_likes_whole_feet() -> None:
    caught = snap(EMPTY, 12.2, 0.02, 0.5, anchor=(0.0, 0.0), step_m=0.3048, feet=True)
    assert caught.words == "90.0°, 40 ft"
    assert caught.x_m == pytest.approx(40 * 0.3048)


def test_line_after_a_segment_likes_to_run_on_and_square_to_it() -> None:
    # a segment of 53.13° by its 3-4-5 triangle: no step of 15° is near
    previous, anchor = (-4.0, -3.0), (0.0, 0.0)
    on = snap(EMPTY, 8.1, 6.0, REACH_M, anchor=anchor, previous=previous)
    assert (on.kind, on.words) == (Kind.PARALLEL, "straight on, 10 m")
    assert on.at == pytest.approx((8.0, 6.0))
    square = snap(EMPTY, -6.0, 8.1, REACH_M, anchor=anchor, previous=previous)
    assert (square.kind, square.words) == (Kind.RIGHT_ANGLE, "right angle, 10 m")
    assert square.at == pytest.approx((-6.0, 8.0))


def test_foot_of_the_perpendicular_from_the_anchor_is_caught_on_an_edge() -> None:
    wall = ((0.0, 0.0), (12.0, 9.0), (12.0, 30.0))
    anchor = (10.0, -5.0)
    caught = snap(_field(wall, closed=False), 4.2, 2.8, REACH_M, anchor=anchor)
    assert (caught.kind, caught.words) == (Kind.FOOT, "square to an edge of SHED 0")
    across = np.array(caught.at) - np.array(anchor)
    assert float(across @ np.array([4.0, 3.0])) == pytest.approx(0.0, abs=1e-9)
    assert any(isinstance(mark, Symbol) and mark.name == "snap right angle" for mark in caught.marks)


def test_two_guide_lines_are_caught_where_they_cross() -> None:
    # in line with the shed's front and straight up from the anchor
    caught = snap(_field(SHED), 14.2, 0.2, REACH_M, anchor=(14.0, -6.3))
    assert caught.kind is Kind.CROSSING
    assert caught.at == pytest.approx((14.0, 0.0))
    assert caught.words == "0.0°, in line with SHED 0"
    roles = [mark.role for mark in caught.marks if isinstance(mark, Path)]
    assert Role.TRAIL in roles
    assert Role.RUBBER in roles


def test_grid_is_caught_last_of_all() -> None:
    assert snap(EMPTY, 12.05, 39.9, REACH_M, grid_m=1.0).words == "x 12 m, y 40 m"
    assert snap(EMPTY, -12.05, 39.9, REACH_M, grid_m=1.0).words == "x −12 m, y 40 m"
    assert snap(EMPTY, 12.05, 39.9, REACH_M).kind is Kind.NONE
    assert snap(_field(SHED), 8.1, 5.1, REACH_M, grid_m=0.5).kind is Kind.CORNER


def test_own_corners_close_the_outline_that_is_being_drawn() -> None:
    own = ((20.0, 20.0), (30.0, 20.0), (30.0, 28.0))
    caught = snap(EMPTY, 20.2, 20.1, REACH_M, anchor=own[-1], previous=own[-2], own=own)
    assert (caught.at, caught.words, caught.id) == ((20.0, 20.0), "first corner", "")


def test_angle_never_beats_a_corner_under_the_pointer() -> None:
    # the ray of 90° runs right under the pointer, the corner is a little off
    field = _field(((10.0, 0.25), (20.0, 3.0), (14.0, 9.0)))
    for locked in (False, True):
        caught = snap(field, 10.0, 0.0, REACH_M, anchor=(0.0, 0.0), lock_angle=locked)
        assert (caught.kind, caught.at) == (Kind.CORNER, (10.0, 0.25))


def test_locked_angle_holds_however_far_the_pointer_is_off() -> None:
    caught = snap(EMPTY, 9.96, 2.2, REACH_M, anchor=(0.0, 0.0), previous=(0.0, 8.0), lock_angle=True)
    # 77.5° is nearest to 75°
    assert caught.words.startswith("75.0°")
    square = snap(EMPTY, 9.8, 0.8, REACH_M, anchor=(0.0, 0.0), previous=(0.0, 8.0), lock_angle=True)
    assert square.at == pytest.approx((10.0, 0.0), abs=1e-9)
    assert square.words == "right angle, 10 m"


def test_locked_angle_stops_at_the_edge_that_it_crosses() -> None:
    wall = ((10.5, -20.0), (10.5, 20.0))
    caught = snap(_field(wall, closed=False), 10.3, 1.2, REACH_M, anchor=(0.0, 0.0), lock_angle=True)
    assert caught.kind is Kind.CROSSING
    assert caught.at == pytest.approx((10.5, 0.0))


def test_marks_show_by_shape_what_was_caught() -> None:
    def names(caught: Snap) -> set[str]:
        return {mark.name for mark in caught.marks if isinstance(mark, Symbol)}

    field = _field(SHED, points=((30.0, 3.0),))
    assert names(snap(field, 8.1, 5.1, REACH_M)) == {"snap corner"}
    assert names(snap(field, 30.1, 3.1, REACH_M)) == {"snap point"}
    assert names(snap(field, 2.0, 0.1, REACH_M)) == {"snap stroke"}
    # the middle wears two strokes, one either side
    assert len(snap(field, 4.1, 0.1, REACH_M).marks) == 2
    angle = snap(EMPTY, 0.0 + 6.0, 6.05, REACH_M, anchor=(0.0, 0.0))
    assert [mark.text for mark in angle.marks if isinstance(mark, Words)] == ["45.0°"]
    (arc,) = [part for mark in angle.marks if isinstance(mark, Symbol) for part in mark.parts if isinstance(part, Arc)]
    assert (arc.start_deg, arc.sweep_deg) == (0.0, pytest.approx(45.0))
    back = snap(EMPTY, -6.0, 6.05, REACH_M, anchor=(0.0, 0.0))
    (arc,) = [part for mark in back.marks if isinstance(mark, Symbol) for part in mark.parts if isinstance(part, Arc)]
    assert (arc.start_deg, arc.sweep_deg) == (pytest.approx(315.0), pytest.approx(45.0))


def test_equal_catches_are_decided_by_the_order_of_the_things() -> None:
    twice = _field(SHED, SHED)
    assert snap(twice, 8.1, 5.1, REACH_M).id == "b0"
    assert snap(twice, 2.0, 0.1, REACH_M).id == "b0"


def test_field_of_a_site_holds_what_stands_on_the_plan_and_leaves_out_what_is_dragged() -> None:
    site = full_site()
    field = field_of(site, place(site))
    assert snap(field, 18.1, 10.1, 0.5).words == "corner of BÜRO „SÜD“"
    assert snap(field, 5.05, 3.05, 0.5).part == ""  # a courtyard's corner has no number in the outline
    pole = snap(field, -60.1, 12.5, 0.5)
    assert (pole.words, pole.id) == ("Pole gate-pole", "gate-pole")
    line = snap(field, 30.0, -50.1, 0.5)
    assert (line.kind, line.id) == (Kind.EDGE, "line-10kv")
    less = field.without({"office", "gate-pole"})
    assert snap(less, -60.1, 12.5, 0.2).id != "gate-pole"
    assert "office" not in {snap(less, x, 10.0, 0.2).id for x in (0.0, 3.0, 18.0)}
    same = field_of(site, place(site), without={"office", "gate-pole"})
    assert len(same.corners) == len(less.corners)
    assert len(same.edges) == len(less.edges)
    assert field.without({"nothing"}) is field


def test_field_leaves_out_what_has_no_place() -> None:
    ring = np.array([(0.0, 0.0), (math.nan, math.nan), (8.0, 5.0), (0.0, 5.0)])
    field = field_from(["b"], ["B"], [Outline(0, ring, closed=True)], [(0, (math.nan, 1.0))])
    assert len(field.corners) == 3
    assert field.edge_number.tolist() == [2, 3]
    assert len(field.points) == 0


def test_directions_cross_an_extension_also_where_the_pointer_is_at_the_anchor() -> None:
    # it used to be found only once the pointer had left the anchor: what was snapped did not stay
    field = _field(((0.0, 1.375), (0.125, 0.0), (-0.125, 0.0)))
    anchor = (-0.625, 31.5)
    once = snap(field, *anchor, 4.0, anchor=anchor, step_m=None)
    assert (once.kind, once.words) == (Kind.CROSSING, "270.0°, in line with SHED 0")
    assert snap(field, *once.at, 4.0, anchor=anchor, step_m=None).at == once.at


# -- laws


COORDINATE = st.integers(-320, 320).map(lambda n: n / 8.0)
POINT = st.tuples(COORDINATE, COORDINATE)
RING = st.lists(POINT, min_size=3, max_size=5, unique=True).map(tuple)
SCENE = st.builds(
    lambda rings, points: _field(*rings, points=tuple(points)),
    st.lists(RING, max_size=3),
    st.lists(POINT, max_size=2),
)
GESTURE = st.fixed_dictionaries(
    {"anchor": st.none() | POINT, "previous": st.none() | POINT, "grid_m": st.none() | st.just(1.0)}
)
MANY = settings(max_examples=60, deadline=None)


@MANY
@given(SCENE, POINT, st.sampled_from([0.25, 1.0, 4.0]), GESTURE)
def test_law_nothing_is_caught_farther_away_than_the_reach(
    field: SnapField, pointer: Point, reach_m: float, gesture: dict
) -> None:
    caught = snap(field, *pointer, reach_m, **gesture)
    distance = math.dist(caught.at, pointer)
    assert distance <= reach_m * (1.0 - WEIGHTS.get(caught.kind, 0.0) + 0.15) + 1e-9
    assert distance <= reach_m + 1e-9


@MANY
@given(SCENE, st.data(), st.sampled_from([0.25, 1.0, 4.0]), GESTURE, st.booleans())
def test_law_a_corner_right_under_the_pointer_always_wins(
    field: SnapField, data: st.DataObject, reach_m: float, gesture: dict, locked: bool
) -> None:
    assume(len(field.corners))
    corner = field.corners[data.draw(st.integers(0, len(field.corners) - 1))]
    bearing = math.radians(data.draw(st.integers(0, 359)))
    off = data.draw(st.floats(0.0, 0.299)) * reach_m
    pointer = (corner[0] + off * math.sin(bearing), corner[1] + off * math.cos(bearing))
    caught = snap(field, *pointer, reach_m, **gesture, lock_angle=locked)
    assert caught.kind in (Kind.CORNER, Kind.POINT)
    assert math.dist(caught.at, pointer) <= off + 1e-9


@MANY
@given(SCENE, POINT, st.sampled_from([0.25, 1.0, 4.0]), GESTURE)
def test_law_what_was_snapped_stays_where_it_is(
    field: SnapField, pointer: Point, reach_m: float, gesture: dict
) -> None:
    once = snap(field, *pointer, reach_m, **gesture)
    again = snap(field, *once.at, reach_m, **gesture)
    assert math.dist(again.at, once.at) <= 1e-6


@MANY
@given(SCENE, POINT, st.sampled_from([1.0, 4.0]), GESTURE, POINT)
def test_law_the_same_plan_somewhere_else_snaps_alike(
    field: SnapField, pointer: Point, reach_m: float, gesture: dict, shift: Point
) -> None:
    # whole metres of coordinates stay whole
    dx, dy = round(shift[0]), round(shift[1])
    moved = SnapField(
        field.ids,
        field.names,
        field.corners + np.array((dx, dy)),
        field.corner_owner,
        field.corner_number,
        field.edges + np.array((dx, dy, dx, dy)),
        field.edge_owner,
        field.edge_number,
        field.points + np.array((dx, dy)),
        field.point_owner,
    )
    there = {
        key: (value[0] + dx, value[1] + dy) if isinstance(value, tuple) else value for key, value in gesture.items()
    }
    one = snap(field, *pointer, reach_m, **gesture)
    other = snap(moved, pointer[0] + dx, pointer[1] + dy, reach_m, **there)
    # two equal catches may change places by the last digit: what it cost is the same
    assert math.dist(other.at, (pointer[0] + dx, pointer[1] + dy)) / reach_m + WEIGHTS.get(
        other.kind, 0.0
    ) == pytest.approx(math.dist(one.at, pointer) / reach_m + WEIGHTS.get(one.kind, 0.0), abs=0.16)
    if other.kind is one.kind and other.id == one.id:
        assert math.dist((other.x_m - dx, other.y_m - dy), one.at) <= 1e-6


@settings(max_examples=50, deadline=None)
@given(SCENE, POINT, GESTURE)
def test_law_the_same_question_has_the_same_answer(field: SnapField, pointer: Point, gesture: dict) -> None:
    assert snap(field, *pointer, 2.0, **gesture) == snap(field, *pointer, 2.0, **gesture)
