"""Dials, elevation and level ruler: the right way round, and inside their boxes."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from survey_app.drawing.dial import compass_dial, rose_of_stations, side_glyph
from survey_app.drawing.elevation import ElevationScene, elevation_sketch
from survey_app.drawing.letters import letters_width_mm
from survey_app.drawing.level_scale import LevelWindow, level_scale
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Drawing, Path, Words


def paths(drawing: Drawing, role: Role) -> list[Path]:
    return [shape for shape in drawing.shapes if isinstance(shape, Path) and shape.role is role]


def bearing_of(path: Path) -> float:
    (x0, y0), (x1, y1) = path.points[0], path.points[-1]
    return math.degrees(math.atan2(x1 - x0, y1 - y0)) % 360.0


def turn_between(one_deg: float, two_deg: float) -> float:
    return abs((one_deg - two_deg + 180.0) % 360.0 - 180.0)


@pytest.mark.parametrize("bearing_deg", [0.0, 45.0, 137.9, 270.0, 359.9])
def test_dial_arrow_points_along_the_bearing(bearing_deg):
    (arrow,) = paths(compass_dial(bearing_deg), Role.AIM)
    assert turn_between(bearing_of(arrow), bearing_deg) < 0.01


@pytest.mark.parametrize("side_deg", [0.0, 90.0, 225.0, 340.0])
def test_side_glyph_puts_the_unit_on_its_side(side_deg):
    (arm,) = paths(side_glyph(side_deg), Role.AIM)
    assert turn_between(bearing_of(arm), side_deg) < 0.01


def test_rose_leaves_out_labels_that_would_touch():
    rose = rose_of_stations((("S1", 90.0), ("S2", 92.0), ("S3", 180.0)))
    assert {w.text for w in rose.shapes if isinstance(w, Words)} == {"N", "S1", "S3"}
    assert len(paths(rose, Role.HOP)) == 3


def sketch(tilt_deg: float | None, *, to_left: bool = False, height_mm: float = 22.0) -> Drawing:
    scene = ElevationScene("S1", "6.0", "A1", "13.0", tilt_deg, "words", to_left=to_left)
    return elevation_sketch(scene, 92.0, height_mm)


@pytest.mark.parametrize("height_mm", [15.0, 22.0, 29.0])
@pytest.mark.parametrize("to_left", [False, True])
@pytest.mark.parametrize("tilt_deg", [-45.0, -0.1, 0.04, 0.1, 2.0, 30.0])
def test_elevation_is_never_drawn_the_wrong_way_round(tilt_deg, to_left, height_mm):
    (ray,) = paths(sketch(tilt_deg, to_left=to_left, height_mm=height_mm), Role.AIM)
    (x0, y0), (x1, y1) = ray.points
    assert (x1 < x0) == to_left
    assert (y1 > y0) == (round(tilt_deg, 1) > 0)
    assert (y1 < y0) == (round(tilt_deg, 1) < 0)
    assert all(4.0 < y < height_mm for y in (y0, y1))


def test_elevation_without_a_tilt_draws_no_ray():
    assert not paths(sketch(None), Role.AIM)


@pytest.mark.parametrize(
    "window",
    [LevelWindow(-57, -54, -48), LevelWindow(-90, -89, -88), LevelWindow(-20, -5, 8), LevelWindow(-66, -60, -42)],
)
def test_level_ruler_solid_part_is_the_good_window(window):
    drawing = level_scale(window)
    (solid,) = paths(drawing, Role.SOLID)
    labels = {w.text: w.at[0] for w in drawing.shapes if isinstance(w, Words)}
    name = f"−{-window.good_low}" if window.good_low < 0 else str(window.good_low)
    assert labels[name] == pytest.approx(solid.points[0][0], abs=0.01)


@pytest.mark.parametrize("good", [1, 2, 3, 6, 20])
@pytest.mark.parametrize("low", [1, 3, 12])
def test_level_ruler_words_never_touch_and_stay_inside(good, low):
    drawing = level_scale(LevelWindow(-60 - low, -60, -60 + good))
    rows: dict[float, list[tuple[float, float]]] = {}
    for words in (shape for shape in drawing.shapes if isinstance(shape, Words)):
        width = letters_width_mm(words.text, words.height_mm)
        left = words.at[0] - {"start": 0.0, "middle": width / 2, "end": width}[words.align]
        assert left >= -0.01
        assert left + width <= drawing.width_mm + 0.01
        rows.setdefault(words.at[1], []).append((left, left + width))
    for spans in rows.values():
        ordered = sorted(spans)
        assert all(a[1] < b[0] for a, b in pairwise(ordered))
