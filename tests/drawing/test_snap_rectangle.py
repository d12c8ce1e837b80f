"""Rectangles from two points and a depth."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from survey_app.drawing.shapes import Point
from survey_app.drawing.snap.rectangle import depth_of, rectangle, turned_rectangle
from survey_app.errors import UsageError

POINT = st.tuples(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))


@given(POINT, POINT, st.floats(0.01, 500.0), st.booleans())
def test_turned_rectangle_has_four_right_angles_and_the_depth(a: Point, b: Point, depth_m: float, left: bool) -> None:
    assume(math.dist(a, b) > 0.01)
    depth_m = depth_m if left else -depth_m
    corners = turned_rectangle(a, b, depth_m)
    assert corners[:2] == (a, b)
    assert depth_of(a, b, corners[2]) == pytest.approx(depth_m, rel=1e-6)
    for n in range(4):
        p, q, r = corners[n - 1], corners[n], corners[(n + 1) % 4]
        dot = (p[0] - q[0]) * (r[0] - q[0]) + (p[1] - q[1]) * (r[1] - q[1])
        assert abs(dot) <= 1e-6 * math.dist(p, q) * math.dist(q, r) + 1e-8
    assert math.dist(corners[1], corners[2]) == pytest.approx(abs(depth_m), rel=1e-6)


@given(POINT, POINT)
def test_rectangle_between_two_corners_holds_both_and_runs_counter_clockwise(a: Point, b: Point) -> None:
    assume(a[0] != b[0] and a[1] != b[1])
    corners = rectangle(a, b)
    assert a in corners
    assert b in corners
    double_area = sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(corners, corners[1:] + corners[:1], strict=True))
    assert double_area >= 0
    assert rectangle(b, a) == corners


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: rectangle((0.0, 0.0), (0.0, 5.0)), "span no area"),
        (lambda: turned_rectangle((1.0, 1.0), (1.0, 1.0), 2.0), "no length"),
        (lambda: turned_rectangle((1.0, 1.0), (2.0, 1.0), 0.0), "depth is zero"),
    ],
)
def test_rectangle_without_area_is_refused(make: object, words: str) -> None:
    with pytest.raises(UsageError, match=words):
        make()  # type: ignore[operator]


def test_depth_of_a_point_off_an_edge_without_length_is_none() -> None:
    assert depth_of((1.0, 1.0), (1.0, 1.0), (5.0, 5.0)) == 0.0
