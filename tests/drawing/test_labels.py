"""Placement of letters: never over what is taken, never out of the view, always the same."""

from __future__ import annotations

import math

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.drawing.labels import Box, Placer

boxes = st.builds(
    Box,
    x=st.floats(0, 60),
    y=st.floats(0, 40),
    half_width=st.floats(0.5, 20),
    half_height=st.floats(0.5, 6),
    turn=st.floats(-math.pi, math.pi),
)


@given(boxes, boxes)
@settings(max_examples=300)
def test_touching_boxes_are_those_whose_polygons_meet(one, two):
    first, second = shapely.Polygon(one.corners()), shapely.Polygon(two.corners())
    gap = first.distance(second)
    overlap = first.intersection(second).area
    if gap > 1e-6:
        assert not one.touches(two)
    elif overlap > 1e-6:
        assert one.touches(two)


@given(st.lists(st.tuples(st.floats(5, 83), st.floats(5, 45)), min_size=1, max_size=12))
@settings(max_examples=60)
def test_labels_of_points_never_overlap(points):
    placer = Placer(88.0, 50.0)
    kept = []
    for number, point in enumerate(points):
        placed = placer.at_point(point, f"S{number}", 2.5)
        if placed is not None:
            width = 2.5 * 0.85 * len(f"S{number}")
            kept.append(shapely.box(placed.x - width / 2, placed.y - 1.25, placed.x + width / 2, placed.y + 1.25))
    for index, box in enumerate(kept):
        assert all(box.intersection(other).area < 1e-6 for other in kept[:index])


def test_label_of_a_point_in_a_corner_stays_in_the_view():
    placed = Placer(88.0, 50.0).at_point((86.0, 48.0), "ST-gate", 3.5)
    assert placed is not None
    assert placed.x < 86.0
    assert placed.y < 48.0


def test_label_without_any_room_is_left_out():
    placer = Placer(88.0, 50.0)
    placer.take(Box(44.0, 25.0, 44.0, 25.0))
    assert placer.at_point((44.0, 25.0), "S1", 2.5) is None
    assert placer.along_line((10.0, 10.0), (70.0, 40.0), "307.6° true", 2.5) is None


def test_words_along_a_line_never_stand_on_their_head():
    for bearing in range(0, 360, 5):
        x, y = 20.0 * math.sin(math.radians(bearing)), 20.0 * math.cos(math.radians(bearing))
        placed = Placer(88.0, 50.0).along_line((44.0 - x, 25.0 - y), (44.0 + x, 25.0 + y), "2.0°", 2.5)
        assert placed is not None
        assert -90.0 <= placed.turn_deg <= 90.0


def test_outline_is_covered_only_where_there_is_no_other_room():
    free = Placer(88.0, 50.0)
    first = free.at_point((44.0, 25.0), "A1", 3.5)
    avoiding = Placer(88.0, 50.0)
    avoiding.avoid_line((44.0, 30.0), (60.0, 30.0))
    assert avoiding.at_point((44.0, 25.0), "A1", 3.5) != first
