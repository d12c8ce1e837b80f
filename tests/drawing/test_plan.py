"""The plan clip: what it shows, that it shows it in the right place, and that it is the same every time."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.drawing.hatch import hatch_band
from survey_app.drawing.plan import plan_clip
from survey_app.drawing.plan_scene import PlanEnd, PlanHop, PlanLandmark, PlanScene, PlanStructure
from survey_app.drawing.plan_view import SCALES
from survey_app.drawing.roles import PENS, Role
from survey_app.drawing.shapes import Arc, Drawing, Path, Symbol, Words
from tests.paper.sample_views import ACCESS_POINT, OMNI, STATION

STATION_SCENE, HUB_SCENE, OMNI_SCENE = STATION.plan, ACCESS_POINT.plan, OMNI.plan


def symbols(drawing: Drawing, name: str) -> list[Symbol]:
    return [shape for shape in drawing.shapes if isinstance(shape, Symbol) and shape.name == name]


def texts(drawing: Drawing) -> list[str]:
    return [shape.text for shape in drawing.shapes if isinstance(shape, Words)]


def test_clip_has_the_size_asked_for():
    drawing, _ = plan_clip(STATION_SCENE, 88.0, 48.0)
    assert (drawing.width_mm, drawing.height_mm) == pytest.approx((88.0, 48.0))


def test_same_scene_gives_the_same_drawing():
    assert plan_clip(HUB_SCENE, 88.0, 48.0) == plan_clip(HUB_SCENE, 88.0, 48.0)


@pytest.mark.parametrize("scene", [STATION_SCENE, HUB_SCENE, OMNI_SCENE], ids=["station", "hub", "omni"])
@pytest.mark.parametrize("height_mm", [30.0, 48.0, 66.0])
def test_north_and_scale_bar_are_always_there(scene, height_mm):
    drawing, n = plan_clip(scene, 88.0, height_mm)
    assert symbols(drawing, "north")
    assert any(text.endswith(" m") and text[0].isdigit() for text in texts(drawing))
    assert n in SCALES


def test_scale_bar_is_as_long_as_it_says():
    drawing, n = plan_clip(STATION_SCENE, 88.0, 48.0)
    bar = max(
        (
            s
            for s in drawing.shapes
            if isinstance(s, Path)
            and s.role is Role.LOW_BUILDING
            and len(s.points) == 4
            and abs(s.points[0][1] - s.points[1][1]) < 1e-9
        ),
        key=lambda s: -abs(s.points[1][0] - s.points[0][0] - 100.0),
    )
    length_m = bar.points[1][0] - bar.points[0][0]
    assert f"{length_m:g} m" in texts(drawing)
    assert drawing.mm_per_m == pytest.approx(1000.0 / n)


def test_every_radio_is_drawn_where_it_stands():
    drawing, _ = plan_clip(HUB_SCENE, 88.0, 48.0)
    assert [s.at for s in symbols(drawing, "access point")] == [HUB_SCENE.radio.at]
    assert {s.at for s in symbols(drawing, "station")} == {hop.far.at for hop in HUB_SCENE.hops}


@given(st.floats(0, 359.9), st.floats(20, 3000))
@settings(max_examples=40, deadline=None)
def test_aim_arrow_lies_along_the_aim(bearing_deg, distance_m):
    turn = math.radians(bearing_deg)
    far = PlanEnd("A1", (distance_m * math.sin(turn), distance_m * math.cos(turn)), "access_point")
    radio = PlanEnd("S1", (0.0, 0.0), "station", bearing_deg)
    scene = PlanScene((), (), radio, (PlanHop(far, True),), bearing_deg, "x")
    drawing, _ = plan_clip(scene, 88.0, 48.0)
    (aim,) = [shape for shape in drawing.shapes if isinstance(shape, Path) and shape.role is Role.AIM]
    (x0, y0), (x1, y1) = aim.points
    assert math.degrees(math.atan2(x1 - x0, y1 - y0)) % 360.0 == pytest.approx(bearing_deg % 360.0, abs=0.01)
    x_min, y_min, x_max, y_max = drawing.window_m
    assert all(x_min <= p[0] <= x_max and y_min <= p[1] <= y_max for p in (radio.at, far.at))


@pytest.mark.parametrize("turn_deg", [-150.0, -23.4, 23.4, 100.0])
def test_turn_arc_runs_from_the_landmark_to_the_aim(turn_deg):
    mark = PlanLandmark("tower", "640 m", (307.6 - turn_deg) % 360.0, turn_deg, f"{abs(turn_deg)}°")
    drawing, _ = plan_clip(replace(STATION_SCENE, landmark=mark), 88.0, 48.0)
    (arc,) = [shape for shape in drawing.shapes if isinstance(shape, Arc) and shape.role is Role.TURN]
    assert (arc.start_deg + arc.sweep_deg) % 360.0 == pytest.approx(307.6)


def test_hop_nobody_checked_is_drawn_hollow_and_never_solid():
    hop = replace(HUB_SCENE.hops[0], checked=False)
    drawing, _ = plan_clip(replace(HUB_SCENE, hops=(hop, replace(HUB_SCENE.hops[1], checked=False))), 88.0, 48.0)
    roles = [shape.role for shape in drawing.shapes if isinstance(shape, Path)]
    assert roles.count(Role.HOP_UNCHECKED) == 4
    assert Role.HOP_THIN not in roles


def test_cut_hop_is_dashed_behind_the_cut():
    drawing, _ = plan_clip(HUB_SCENE, 88.0, 48.0)
    behind = [shape for shape in drawing.shapes if isinstance(shape, Path) and shape.role is Role.HOP_BEHIND_CUT]
    assert len(behind) == 1
    assert PENS[Role.HOP_BEHIND_CUT].dash_mm


def test_omni_has_no_aim_and_no_limits():
    drawing, _ = plan_clip(OMNI_SCENE, 88.0, 48.0)
    roles = {shape.role for shape in drawing.shapes if isinstance(shape, Path)}
    assert not roles & {Role.AIM, Role.LIMIT}


def test_two_radios_on_one_spot_still_give_a_clip():
    radio = PlanEnd("S1", (5.0, 5.0), "station", 0.0)
    scene = PlanScene((), (), radio, (PlanHop(PlanEnd("A1", (5.0, 5.0), "access_point"), True),), 0.0, "0.0° true")
    drawing, n = plan_clip(scene, 88.0, 48.0)
    assert n == SCALES[0] or n in SCALES
    assert drawing.shapes


def test_hatch_stays_in_its_band_and_pitch_holds():
    square = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
    strokes = hatch_band(square, 2.0, 4.0)
    assert strokes
    for a, b in strokes:
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        assert min(middle[0], 40 - middle[0], middle[1], 40 - middle[1]) <= 4.0
        assert b[1] - a[1] == pytest.approx(b[0] - a[0])
        assert abs(((a[1] - a[0]) / (2.0 * math.sqrt(2.0))) - round((a[1] - a[0]) / (2.0 * math.sqrt(2.0)))) < 1e-6


def test_hatch_of_a_crossed_outline_does_not_fail():
    assert hatch_band(((0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)), 1.0, 1.0) is not None


@pytest.mark.parametrize("kind", ["building", "tree_stand", "obstacle", "traffic_area"])
def test_what_reaches_far_beyond_the_window_is_drawn_near_it_only(kind):
    """An area of a thousand kilometres under a clip of some hundred metres: its hatch would be millions of strokes."""
    far, (_, y) = 1e6, STATION_SCENE.radio.at
    area = PlanStructure(kind, "FAR", ((-far, -far), (far, -far), (far, y), (-far, y)), 14.0)
    drawing, _ = plan_clip(replace(STATION_SCENE, structures=(area,)), 88.0, 48.0)
    assert len(drawing.shapes) < 3000
    around = 25.0 / drawing.mm_per_m
    sides = (-around, -around, around, around)
    x0, y0, x1, y1 = (shown + side for shown, side in zip(drawing.window_m, sides, strict=True))
    for shape in drawing.shapes:
        if isinstance(shape, Path) and shape.role in (Role.BUILDING, Role.TREES, Role.HATCH):
            assert all(x0 <= x <= x1 and y0 <= y <= y1 for x, y in shape.points)


def test_line_that_runs_far_beyond_the_window_keeps_its_steps():
    x, y = STATION_SCENE.radio.at
    near = PlanStructure("overhead_line", "", ((x - 800.0, y), (x + 900.0, y)), 9.0)
    far = PlanStructure("overhead_line", "", ((x - 800.0, y), (1e9, y)), 9.0)
    drawn = [plan_clip(replace(STATION_SCENE, structures=(line,)), 88.0, 48.0)[0] for line in (near, far)]
    steps = [[s.points for s in one.shapes if isinstance(s, Path) and s.role is Role.OVERHEAD_LINE] for one in drawn]
    assert len(steps[0]) > 3
    assert [p for s in steps[1] for xy in s for p in xy] == pytest.approx([p for s in steps[0] for xy in s for p in xy])
