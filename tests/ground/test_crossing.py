"""What a line on the plan crosses, held against a geometry library of its own."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from survey_app.ground.crossing import area_spans

numbers = st.floats(-200, 200).map(lambda value: round(value, 3))
points = st.tuples(numbers, numbers)
stars = st.builds(
    lambda centre, radii, turn: np.array(
        [
            (
                centre[0] + r * np.sin(turn + 2 * np.pi * n / len(radii)),
                centre[1] + r * np.cos(turn + 2 * np.pi * n / len(radii)),
            )
            for n, r in enumerate(radii)
        ]
    ),
    points,
    st.lists(st.floats(2, 60), min_size=3, max_size=9),
    st.floats(0, 6),
)


def _spans(found):
    return list(zip(found.thing.tolist(), found.enter.tolist(), found.leave.tolist(), strict=True))


@given(points, points, st.lists(stars, min_size=1, max_size=4))
@settings(max_examples=200, deadline=None)
def test_length_inside_each_area_is_that_of_the_geometry_library(start, end, areas):
    assume(np.hypot(end[0] - start[0], end[1] - start[1]) > 0.01)
    length = float(np.hypot(end[0] - start[0], end[1] - start[1]))
    found = area_spans(start, end, [[area] for area in areas])
    assert bool((found.leave > found.enter).all())
    for n, area in enumerate(areas):
        inside = float((found.leave - found.enter)[found.thing == n].sum()) * length
        expected = shapely.Polygon(area).intersection(shapely.LineString([start, end])).length
        assert inside == pytest.approx(expected, abs=1e-6 * max(1.0, length))


@given(points, points, stars)
@settings(max_examples=100, deadline=None)
def test_line_walked_the_other_way_crosses_the_same_spans(start, end, area):
    assume(start != end)
    there, back = area_spans(start, end, [[area]]), area_spans(end, start, [[area]])
    there_m = sorted((a, b) for _, a, b in _spans(there) if b - a > 1e-9)
    back_m = sorted((1 - b, 1 - a) for _, a, b in _spans(back) if b - a > 1e-9)
    assert np.array(there_m).ravel() == pytest.approx(np.array(back_m).ravel(), abs=1e-7)


def test_courtyard_parts_the_span_of_its_building():
    outline = np.array([(10.0, -10.0), (50.0, -10.0), (50.0, 10.0), (10.0, 10.0)])
    court = np.array([(20.0, -5.0), (20.0, 5.0), (30.0, 5.0), (30.0, -5.0)])
    assert _spans(area_spans((0.0, 0.0), (100.0, 0.0), [[outline, court]])) == [(0, 0.1, 0.2), (0, 0.3, 0.5)]


def test_line_that_begins_and_ends_inside_is_inside_from_end_to_end():
    outline = np.array([(-10.0, -10.0), (50.0, -10.0), (50.0, 10.0), (-10.0, 10.0)])
    assert _spans(area_spans((0.0, 0.0), (40.0, 0.0), [[outline]])) == [(0, 0.0, 1.0)]


def test_line_through_a_corner_counts_it_once():
    diamond = np.array([(40.0, 0.0), (50.0, 10.0), (60.0, 0.0), (50.0, -10.0)])
    assert _spans(area_spans((0.0, 0.0), (100.0, 0.0), [[diamond]])) == [(0, 0.4, 0.6)]


def test_corner_that_only_touches_the_line_is_not_crossed():
    above = np.array([(40.0, 0.0), (50.0, 10.0), (30.0, 10.0)])
    below = np.array([(40.0, 0.0), (50.0, -10.0), (30.0, -10.0)])
    assert _spans(area_spans((0.0, 0.0), (100.0, 0.0), [[above], [below]])) == []


def test_corner_in_degrees_without_an_anchor_encloses_nothing():
    ring = np.array([(10.0, -10.0), (np.nan, np.nan), (50.0, 10.0)])
    good = np.array([(10.0, -10.0), (50.0, -10.0), (50.0, 10.0), (10.0, 10.0)])
    assert _spans(area_spans((0.0, 0.0), (100.0, 0.0), [[ring], [good]])) == [(1, 0.1, 0.5)]


def test_far_from_the_origin_spans_keep_their_millimetres():
    shift = np.array([4_000_000.0, -7_000_000.0])
    square = np.array([(10.25, -10.0), (30.5, -10.0), (30.5, 10.0), (10.25, 10.0)]) + shift
    start, end = tuple(shift), tuple(shift + np.array([100.0, 0.0]))
    ((_, enter, leave),) = _spans(area_spans(start, end, [[square]]))
    assert (enter * 100.0, leave * 100.0) == pytest.approx((10.25, 30.5), abs=1e-3)


def test_nothing_is_crossed_by_a_line_without_a_length():
    square = np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    assert _spans(area_spans((0.0, 0.0), (0.0, 0.0), [[square]])) == []
    assert _spans(area_spans((0.0, 0.0), (1.0, 0.0), [])) == []
