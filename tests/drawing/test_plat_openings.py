"""Doors and windows on the plan: where they stand, what says how, and that they are found before their wall."""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.drawing.plat.hits import hits
from survey_app.drawing.plat.plat import plat
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.view import Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc
from tests.drawing.plat_sites import around, demo_scene
from tests.drawing.test_plat import edited, lines

AT = (12.0, 6.0)
"""The middle of the mill's inner door: its wall runs from (12, -20) northward, the door is 26 m along and 3 m wide."""


def drawn(scene: PlatScene):
    return plat(scene, around(scene, AT, 20.0), Wish()).shapes


def has_line(shapes, role: Role, a: tuple[float, float], b: tuple[float, float], within_m: float = 0.01) -> bool:
    wanted = (np.array((a, b)), np.array((b, a)))
    return any(len(x) == 2 and any(np.abs(x - w).max() <= within_m for w in wanted) for x in lines(shapes, role))


def bows(shapes) -> list[Arc]:
    return [one for one in shapes if isinstance(one, Arc) and one.role is Role.THIN and one.sweep_deg == 90.0]


def test_its_wall_has_a_gap_where_the_door_is():
    shapes = drawn(demo_scene("mill"))
    ends = [sorted(one[:, 1].tolist()) for one in lines(shapes, Role.INNER_WALL) if (one[:, 0] == 12.0).all()]
    assert sorted(ends) == [pytest.approx([-20.0, 4.5]), pytest.approx([7.5, 19.7])]


def test_a_narrow_door_has_a_leaf_square_to_its_wall_and_the_bow_of_its_swing():
    scene = edited(demo_scene("mill"), "openings", "door-12", width_m=1.0, state="changes")
    shapes = drawn(scene)
    assert has_line(shapes, Role.FINE, (12.0, 5.5), (11.0, 5.5))
    (bow,) = bows(shapes)
    assert (bow.centre, bow.radius, bow.start_deg) == (pytest.approx((12.0, 5.5)), pytest.approx(1.0), 270.0)


@pytest.mark.parametrize(("state", "bow"), [("open", 0), ("closed", 0), ("changes", 1)])
def test_how_a_door_stands_is_seen(state, bow):
    shapes = drawn(edited(demo_scene("mill"), "openings", "door-12", width_m=1.0, state=state))
    assert len(bows(shapes)) == bow
    assert has_line(shapes, Role.THIN, (12.0, 5.5), (12.0, 6.5)) is (state == "closed")
    assert has_line(shapes, Role.FINE, (12.0, 5.5), (11.0, 5.5)) is (state != "closed")


def test_a_window_has_two_lines_and_no_leaf():
    shapes = drawn(edited(demo_scene("mill"), "openings", "door-12", width_m=1.2, sill_height_m=0.9))
    off_m = 0.35 / around(demo_scene("mill"), AT, 20.0).mm_per_m
    for x in (12.0 - off_m, 12.0 + off_m):
        assert has_line(shapes, Role.THIN, (x, 5.4), (x, 6.6))
    assert bows(shapes) == []


def test_a_door_is_found_before_its_wall_and_follows_it():
    scene = demo_scene("mill")
    found = hits(scene, None, around(scene, AT, 20.0), *AT, 4.0)
    assert [hit.id for hit in found if hit.kind in ("openings", "walls")] == ["door-12", "wall-12"]
    wall = next(one for one in scene.site.design.walls if one.id == "wall-12")
    shifted = tuple(type(p)(x_m=p.x_m + 2.0, y_m=p.y_m) for p in wall.route)
    moved = edited(scene, "walls", "wall-12", route=shifted)
    assert moved.areas["door-12"].ring[:, 0].tolist() == pytest.approx([14.0, 14.0])
    assert moved.placed.points["door-12"][:2] == pytest.approx((14.0, 6.0))


def test_an_opening_past_the_end_of_its_wall_is_not_drawn():
    scene = edited(demo_scene("mill"), "openings", "door-12", along_m=300.0)
    assert "door-12" not in scene.areas
    assert "door-12" not in scene.placed.points
