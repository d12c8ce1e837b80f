"""Where the plane lies on the screen, what is cut away outside it, and the net of coordinates."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon, box

from survey_app.desktop.canvas.clip import clip_lines, clip_outline
from survey_app.desktop.canvas.frame import Frame
from survey_app.desktop.canvas.graticule import letters_of, multiples, step_m, subdivision
from survey_app.desktop.canvas.neatline import crosses, neatline
from survey_app.desktop.canvas.segments import dashed, segments_of, thinned
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Strokes, Words

far = st.floats(-2e6, 2e6)
scale = st.floats(math.log(0.01), math.log(12_000.0)).map(math.exp)
px = st.floats(0.0, 1200.0)
small = st.floats(-50.0, 50.0)


@given(far, far, scale, px, px)
def test_frame_there_and_back_agree_to_a_hundredth_of_a_pixel(x_m, y_m, px_per_m, x_px, y_px):
    frame = Frame(x_m, y_m, px_per_m, 1100.0, 640.0, left_px=30.0, top_px=26.0)
    back = frame.px(*frame.m(x_px, y_px))
    assert back == pytest.approx((x_px, y_px), abs=0.01)


@given(far, far, scale, px, px, st.floats(0.05, 20.0))
def test_frame_zoomed_keeps_the_point_under_the_pointer(x_m, y_m, px_per_m, x_px, y_px, factor):
    frame = Frame(x_m, y_m, px_per_m, 1100.0, 640.0)
    before = frame.m(x_px, y_px)
    zoomed = frame.zoomed(factor, x_px, y_px)
    assert zoomed.px(*before) == pytest.approx((x_px, y_px), abs=0.05)


def test_frame_ten_centimetres_across_a_thousand_kilometres_away_tells_a_millimetre():
    frame = Frame(1_000_000.0, -1_000_000.0, 11_000.0, 1100.0, 640.0)
    assert frame.window_m[2] - frame.window_m[0] == pytest.approx(0.1, rel=1e-6)
    one, other = frame.px(1_000_000.0, -1_000_000.0), frame.px(1_000_000.001, -1_000_000.0)
    assert other[0] - one[0] == pytest.approx(11.0, abs=0.01)
    many = frame.px_of(np.array([[1_000_000.001, -1_000_000.0]]))
    assert tuple(many[0]) == pytest.approx(other, abs=1e-6)


def test_frame_stops_zooming_before_figures_lose_their_sense():
    frame = Frame(0.0, 0.0, 1.0, 1000.0, 600.0)
    for _ in range(200):
        frame = frame.zoomed(2.0, 500.0, 300.0)
    assert frame.window_m[2] - frame.window_m[0] == pytest.approx(0.02)
    for _ in range(200):
        frame = frame.zoomed(0.5, 500.0, 300.0)
    assert frame.window_m[2] - frame.window_m[0] == pytest.approx(200_000.0)


def test_frame_fitted_shows_all_with_its_margin():
    frame = Frame(0.0, 0.0, 1.0, 1000.0, 600.0).fitted((100.0, 50.0, 500.0, 350.0), 50.0)
    left, top = frame.px(100.0, 350.0)
    right, bottom = frame.px(500.0, 50.0)
    assert min(left, top, 1000.0 - right, 600.0 - bottom) == pytest.approx(50.0)
    assert left >= 50.0 - 1e-9


@given(st.lists(st.tuples(small, small), min_size=2, max_size=12), st.data())
def test_clipped_lines_are_what_shapely_leaves_inside(points, data):
    array = np.array(points)
    joined = np.array([*data.draw(st.lists(st.booleans(), min_size=len(points) - 1, max_size=len(points) - 1)), False])
    window = (-20.0, -10.0, 25.0, 15.0)
    kept, links = clip_lines(array, joined, window)
    ours = sum(math.dist(kept[i], kept[i + 1]) for i in range(len(kept) - 1) if links[i])
    theirs = sum(
        LineString([points[i], points[i + 1]]).intersection(box(*window)).length
        for i in range(len(points) - 1)
        if joined[i] and points[i] != points[i + 1]
    )
    assert ours == pytest.approx(theirs, abs=1e-6)
    assert len(kept) == 0 or (np.abs(kept - (2.5, 2.5)) <= (22.5 + 1e-9, 12.5 + 1e-9)).all()


def test_clipped_line_inside_stays_one_line():
    array = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [30.0, 1.0], [1.0, 2.0]])
    kept, links = clip_lines(array, np.array([True, True, True, True, False]), (-5.0, -5.0, 5.0, 5.0))
    assert links.tolist() == [True, True, True, False, True, False]
    assert kept[3].tolist() == [5.0, 1.0]


@given(st.floats(-30.0, 30.0), st.floats(-30.0, 30.0), st.floats(1.0, 40.0), st.integers(3, 9), st.floats(0.0, 6.0))
def test_clipped_convex_outline_has_the_area_that_shapely_leaves(x, y, radius, corners, turn):
    angles = turn + np.arange(corners) * 2.0 * math.pi / corners
    outline = np.stack((x + radius * np.cos(angles), y + radius * np.sin(angles)), axis=1)
    window = (-20.0, -10.0, 25.0, 15.0)
    kept = clip_outline(outline, window)
    theirs = Polygon(outline).intersection(box(*window)).area
    assert (Polygon(kept).area if len(kept) >= 3 else 0.0) == pytest.approx(theirs, abs=1e-6)


@given(scale)
def test_lettered_ticks_lie_80_to_200_px_apart_at_one_two_or_five(px_per_m):
    step = step_m(px_per_m)
    assert 80.0 - 1e-6 <= step * px_per_m <= 200.0 + 1e-6
    leading = step / 10.0 ** math.floor(math.log10(step) + 1e-9)
    assert min(abs(leading - one) for one in (1.0, 2.0, 5.0)) < 1e-6
    assert (step / subdivision(step)) * px_per_m >= 16.0 - 1e-6


def test_coordinates_are_lettered_as_the_picture_shows():
    assert [letters_of(k, 50.0, "E", "W", with_letter=k % 2 == 0) for k in range(-1, 3)] == [
        "50 W",
        "0 E",
        "50",
        "100 E",
    ]
    assert letters_of(12345, 100.0, "N", "S") == "1\N{THIN SPACE}234\N{THIN SPACE}500 N"
    assert list(multiples(-0.1, 0.31, 0.1)) == [-1, 0, 1, 2, 3]


def test_neatline_letters_stand_at_their_ticks():
    frame = Frame(250.0, 120.0, 2.28, 1100.0, 620.0, left_px=30.0, top_px=26.0)
    shapes = neatline(frame, 1150.0, 666.0)
    across = {s.text: s.at for s in shapes if isinstance(s, Words) and s.turn_deg == 0.0}
    up = {s.text: s.at for s in shapes if isinstance(s, Words) and s.turn_deg != 0.0}
    assert across["100 E"][0] == pytest.approx(frame.px(100.0, 0.0)[0])
    assert -up["100 N"][1] == pytest.approx(frame.px(0.0, 100.0)[1])
    assert "50" in across
    assert "50" in up
    ticks = next(s for s in shapes if isinstance(s, Strokes) and s.role is Role.FINE)
    at_100 = ticks.points[np.isclose(ticks.points[:, 0], frame.px(100.0, 0.0)[0])]
    assert len(at_100) == 4


def test_crosses_stand_on_whole_steps_of_the_plane():
    (net,) = crosses(Frame(250.0, 120.0, 2.28, 1100.0, 620.0))
    middles = net.points.reshape(-1, 4, 2).mean(axis=1)
    assert np.allclose(middles / 50.0, np.round(middles / 50.0))


@given(
    st.lists(st.tuples(small, small), min_size=2, max_size=10), st.lists(st.floats(0.5, 9.0), min_size=1, max_size=3)
)
def test_dashes_cover_their_part_of_a_line_and_go_on_round_its_corners(points, lengths):
    array = np.array(points)
    joined = np.ones(len(points), dtype=np.bool_)
    joined[-1] = False
    pattern = tuple(v for length in lengths for v in (length, 1.0))
    ends, start, length = segments_of(array, joined, (-1e3, -1e3, 1e3, 1e3))
    drawn = dashed(ends, start, length, pattern)
    whole, period, offset, wanted = float(length.sum()), sum(pattern), 0.0, 0.0
    for dash in lengths:
        full, rest = divmod(max(whole - offset, 0.0), period)
        wanted += full * dash + min(rest, dash)
        offset += dash + 1.0
    assert np.hypot(*(drawn[:, 2:] - drawn[:, :2]).T).sum() == pytest.approx(wanted, abs=1e-6)


def test_dashes_of_a_line_stand_still_when_its_beginning_is_cut_away():
    line, joined = np.array([[-1e7, 0.0], [1e7, 0.0]]), np.array([True, False])
    near, wide = (dashed(*segments_of(line, joined, (-x, -5.0, x, 5.0)), (7.0, 3.0)) for x in (50.0, 500.0))
    starts = set(np.round(wide[:, 0], 3))
    assert len(near) < 20
    assert all(round(x, 3) in starts for x in near[1:, 0])


def test_very_many_close_points_are_thinned_but_ends_stay():
    turn = np.linspace(0.0, 6.0, 40_000)
    points = np.stack((300.0 * np.cos(turn), 300.0 * np.sin(turn)), axis=1)
    joined = np.ones(len(points), dtype=np.bool_)
    joined[19_999] = joined[-1] = False
    kept, links = thinned(points, joined)
    assert len(kept) <= 20_002
    assert (kept[0] == points[0]).all()
    assert (kept[-1] == points[-1]).all()
    assert np.count_nonzero(~links) == 2
    assert any((row == points[19_999]).all() for row in kept[~links])
