"""What an event does, on the plan: words at what feels it, ids struck through, lines of silent legs broken."""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.assess.what_if import Fails, RadarHeard, WhatIf, what_if
from survey_app.drawing.labels import Box
from survey_app.drawing.plat.felt import felt_of, with_break
from survey_app.drawing.plat.plat import Plat, plat
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Path, Strokes
from tests.drawing.plat_sites import demo_scene, symbols, texts, view_of

GATE = ("cam-gate-1", "cam-gate-2", "cam-gate-3", "cam-gate-4")


@lru_cache(maxsize=8)
def answer(name: str, subject: str) -> WhatIf:
    scene = demo_scene(name)
    return what_if(scene.site, Fails(subject), before=scene.assessment)


def drawn(name: str, subject: str, px_per_m: float) -> tuple[Plat, PlatView]:
    scene = demo_scene(name)
    view = view_of(scene, px_per_m)
    return plat(scene, view, Wish(felt=felt_of(answer(name, subject)))), view


def lines(found: Plat, role: Role) -> int:
    rows = [shape for shape in found.shapes if isinstance(shape, Strokes) and shape.role is role and not shape.filled]
    return sum(int(np.count_nonzero(~shape.joined)) for shape in rows)


@pytest.mark.parametrize("px_per_m", [1.8, 0.6])
def test_dark_cameras_are_named_struck_through_and_said_dark_also_where_others_have_no_names(px_per_m: float) -> None:
    found, _ = drawn("boatyard", "gate", px_per_m)
    told = texts(found)
    assert told.count("dark, not recorded") == 4
    assert [f"Gate {n}" in told for n in range(1, 5)] == [True] * 4
    assert "silent" in told  # the station on the mount that fails
    struck = [shape for shape in found.shapes if isinstance(shape, Path) and shape.role is Role.STRUCK]
    assert len(struck) == 5
    bodies = {one.subject for one in symbols(found, "camera")}
    assert set(GATE) <= bodies


def test_on_the_smallest_plan_what_has_room_is_said() -> None:
    told = texts(drawn("boatyard", "gate", 0.2)[0])
    assert told.count("dark, not recorded") >= 2


def test_without_an_event_nothing_of_it_is_drawn() -> None:
    scene = demo_scene("boatyard")
    found = plat(scene, view_of(scene, 1.8), Wish())
    assert not {"dark", "dark, not recorded", "silent", "fails"} & set(texts(found))


def test_views_of_dark_cameras_are_left_out() -> None:
    scene = demo_scene("boatyard")
    view = view_of(scene, 1.8)
    bare = plat(scene, view, Wish())
    felt, _ = drawn("boatyard", "gate", 1.8)
    assert lines(bare, Role.VIEW_FAR) - lines(felt, Role.VIEW_FAR) == len(GATE)


def test_the_line_of_a_silent_hop_is_broken_by_a_zigzag_of_one_size() -> None:
    scene = demo_scene("mill")
    bare = plat(scene, view_of(scene, 1.0), Wish())
    felt, view = drawn("mill", "E", 1.0)
    assert lines(felt, Role.HOP) - lines(bare, Role.HOP) == 1  # two parts in place of one
    signs = [shape for shape in felt.shapes if isinstance(shape, Strokes) and shape.role is Role.HOP_THIN]
    (sign,) = signs
    across_mm = np.hypot(*(sign.points[-1] - sign.points[0])) * view.mm_per_m
    assert across_mm == pytest.approx(6.0)


def test_words_of_an_event_cover_no_other_words() -> None:
    for name, subject, px_per_m in (("boatyard", "gate", 1.8), ("mill", "switch-hall", 0.9)):
        found, view = drawn(name, subject, px_per_m)
        boxes = [
            Box(
                one.x_m * view.mm_per_m,
                one.y_m * view.mm_per_m,
                one.half_width_mm,
                one.half_height_mm,
                -np.radians(one.turn_deg),
            )
            for one in found.words_boxes
        ]
        assert not [pair for pair in combinations(boxes, 2) if pair[0].touches(pair[1])]


def test_radar_is_said_at_the_access_point_that_hears_it() -> None:
    scene = demo_scene("mill")
    found = what_if(scene.site, RadarHeard("A-E"), before=scene.assessment)
    felt = felt_of(found)
    assert felt.words["A-E"] == f"to ch {dict(found.moved_to)['A-E']}"
    assert "A-E" not in felt.struck


@given(
    st.lists(st.tuples(st.integers(-500, 500), st.integers(-500, 500)), min_size=2, max_size=6, unique=True),
    st.floats(0.05, 20.0),
)
def test_a_broken_line_keeps_its_ends_and_its_length(points: list[tuple[int, int]], mm_per_m: float) -> None:
    line = np.array(points, dtype=float)
    (first, second), sign = with_break(line, mm_per_m)
    assert np.array_equal(first[0], line[0])
    assert np.array_equal(second[-1], line[-1])

    def length(rows: np.ndarray) -> float:
        return float(np.hypot(*np.diff(rows, axis=0).T).sum())

    gap = float(np.hypot(*(sign[-1] - sign[0])))
    assert length(first) + length(second) + gap == pytest.approx(length(line))
    assert gap * mm_per_m <= 6.0 + 1e-6
    assert np.array_equal(sign[0], first[-1])
    assert np.array_equal(sign[-1], second[0])
