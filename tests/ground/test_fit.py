"""Pictures fitted to the plan by known points."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.linalg import orthogonal_procrustes

from survey_app.errors import UsageError
from survey_app.ground.fit import PictureFit, fit_picture, fit_points
from survey_app.ground.plane import Plane, to_plane
from survey_app.site.place import Anchor, GeoPoint, PlanePoint
from survey_app.site.plan_picture import ControlPoint, PlanPicture

PIXEL = st.floats(0.0, 5000.0)
METRE = st.floats(-3000.0, 3000.0)


def _spread(points: list[tuple[float, float]]) -> float:
    """Return the smaller singular value of the points about their mean, and so how far they are from one line."""
    xy = np.array(points)
    return float(np.linalg.svd(xy - xy.mean(axis=0), compute_uv=False)[1])


def _picture(points: list[tuple[float, float]], fit: Any = "similarity", **at: Any) -> PlanPicture:
    rows = tuple(
        ControlPoint(x_px=x, y_px=y, position=PlanePoint(x_m=mx, y_m=my))
        for (x, y), (mx, my) in zip(points, at["plan"], strict=True)
    )
    return PlanPicture(id="pic", file="p.png", width_px=100, height_px=80, control_points=rows, fit=fit)


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.tuples(PIXEL, PIXEL), min_size=2, max_size=8),
    st.floats(0.001, 2.0),
    st.floats(0.0, 359.9),
    METRE,
    METRE,
)
def test_similarity_finds_a_known_turn_scale_and_shift_again(
    points: list[tuple[float, float]], scale: float, turn_deg: float, x_m: float, y_m: float
) -> None:
    x, y = np.array(points).T
    assume(math.hypot(np.ptp(x), np.ptp(y)) > 50.0)
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    # up the picture is -y; turned clockwise by the bearing
    plan_x, plan_y = scale * (c * x - s * y) + x_m, scale * (-s * x - c * y) + y_m
    fit = fit_points(x, y, plan_x, plan_y)
    assert fit.scale_m_per_px == pytest.approx(scale, rel=1e-7)
    assert math.cos(math.radians(fit.turn_deg - turn_deg)) == pytest.approx(1.0, abs=1e-9)
    back_x, back_y = fit.to_plan(x, y)
    assert np.hypot(back_x - plan_x, back_y - plan_y).max() < 1e-6
    assert max(fit.residual_m) < 1e-6
    pixel_x, pixel_y = fit.to_picture(plan_x, plan_y)
    assert np.hypot(pixel_x - x, pixel_y - y).max() < 1e-3


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.tuples(PIXEL, PIXEL), min_size=3, max_size=8),
    st.tuples(st.floats(0.1, 1.0), st.floats(-0.5, 0.5), st.floats(-0.5, 0.5), st.floats(0.1, 1.0)),
    METRE,
    METRE,
)
def test_affine_finds_a_known_shear_again(
    points: list[tuple[float, float]], matrix: tuple[float, float, float, float], x_m: float, y_m: float
) -> None:
    assume(_spread(points) > 50.0)
    a, b, d, e = matrix[0], matrix[1], matrix[2], -matrix[3]
    assume(a * e - b * d < -0.01)
    x, y = np.array(points).T
    plan_x, plan_y = a * x + b * y + x_m, d * x + e * y + y_m
    fit = fit_points(x, y, plan_x, plan_y, "affine")
    assert (fit.a, fit.b, fit.d, fit.e) == pytest.approx((a, b, d, e), abs=1e-7)
    assert max(fit.residual_m) < 1e-6


NOISY = st.lists(st.tuples(PIXEL, PIXEL, st.floats(-2.0, 2.0), st.floats(-2.0, 2.0)), min_size=4, max_size=10)


def _noisy(rows: list[tuple[float, float, float, float]]) -> tuple[Any, Any, Any, Any]:
    x, y, off_x, off_y = np.array(rows).T
    return x, y, 0.1 * x + 0.02 * y + 300.0 + off_x, 0.02 * x - 0.1 * y - 900.0 + off_y


@settings(max_examples=60, deadline=None)
@given(NOISY)
def test_affine_with_readings_that_disagree_is_that_of_plain_least_squares(
    rows: list[tuple[float, float, float, float]],
) -> None:
    assume(_spread([row[:2] for row in rows]) > 100.0)
    x, y, plan_x, plan_y = _noisy(rows)
    fit = fit_points(x, y, plan_x, plan_y, "affine")
    design = np.column_stack((x, y, np.ones_like(x)))
    for ours, plan in (((fit.a, fit.b, fit.c), plan_x), ((fit.d, fit.e, fit.f), plan_y)):
        theirs = np.linalg.lstsq(design, plan, rcond=None)[0]
        assert ours[:2] == pytest.approx(theirs[:2], abs=1e-8)
        assert ours[2] == pytest.approx(theirs[2], abs=1e-4)


@settings(max_examples=60, deadline=None)
@given(NOISY)
def test_similarity_with_readings_that_disagree_is_that_of_procrustes_and_of_real_least_squares(
    rows: list[tuple[float, float, float, float]],
) -> None:
    assume(_spread([row[:2] for row in rows]) > 100.0)
    x, y, plan_x, plan_y = _noisy(rows)
    fit = fit_points(x, y, plan_x, plan_y)
    # four real unknowns: x_m = a x - b (-y) + c, y_m = b x + a (-y) + f, with y down
    one, zero = np.ones_like(x), np.zeros_like(x)
    rows_x, rows_y = np.column_stack((x, y, one, zero)), np.column_stack((-y, x, zero, one))
    a, b, c, f = np.linalg.lstsq(np.vstack((rows_x, rows_y)), np.concatenate((plan_x, plan_y)), rcond=None)[0]
    assert (fit.a, fit.b, fit.d, fit.e) == pytest.approx((a, b, b, -a), abs=1e-8)
    assert (fit.c, fit.f) == pytest.approx((c, f), abs=1e-4)
    up, plan = np.column_stack((x, -y)), np.column_stack((plan_x, plan_y))
    up, plan = up - up.mean(axis=0), plan - plan.mean(axis=0)
    turn, _ = orthogonal_procrustes(up, plan)
    if np.linalg.det(turn) > 0:
        scale = np.sum((up @ turn) * plan) / np.sum(up**2)
        assert np.array([[fit.a, -fit.b], [fit.d, -fit.e]]) == pytest.approx(scale * turn.T, abs=1e-8)


@settings(max_examples=40, deadline=None)
@given(NOISY, st.sampled_from(["similarity", "affine"]), st.floats(-0.01, 0.01), st.floats(-0.01, 0.01))
def test_no_other_fit_leaves_less_over(
    rows: list[tuple[float, float, float, float]], mode: Any, turn: float, grow: float
) -> None:
    assume(_spread([row[:2] for row in rows]) > 100.0)
    x, y, plan_x, plan_y = _noisy(rows)
    fit = fit_points(x, y, plan_x, plan_y, mode)
    c, s = (1.0 + grow) * math.cos(turn), (1.0 + grow) * math.sin(turn)
    own_x, own_y = fit.to_plan(x, y)
    other_x, other_y = c * own_x - s * own_y, s * own_x + c * own_y
    shift = (plan_x - other_x).mean(), (plan_y - other_y).mean()
    other = np.hypot(other_x + shift[0] - plan_x, other_y + shift[1] - plan_y)
    assert fit.rms_m <= math.sqrt(float((other**2).mean())) + 1e-7


def test_residuals_name_the_point_that_was_misread() -> None:
    x, y = [0.0, 1000.0, 1000.0, 0.0], [0.0, 0.0, 800.0, 800.0]
    fit = fit_points(x, y, [0.0, 100.0, 100.0, 0.0], [80.0, 80.0, 0.0, 4.0])
    assert np.argmax(fit.residual_m) == 3
    assert fit.rms_m == pytest.approx(math.sqrt(sum(one**2 for one in fit.residual_m) / 4))
    # the same four points with the fourth read rightly fit without rest
    assert fit_points(x, y, [0.0, 100.0, 100.0, 0.0], [80.0, 80.0, 0.0, 0.0]).residual_m == (0.0,) * 4


def test_corners_of_the_picture_stand_as_it_is_turned() -> None:
    fit = fit_points([0, 100], [50, 50], [0.0, 10.0], [0.0, 0.0])
    assert fit.turn_deg == pytest.approx(0.0)
    assert fit.corners_m(100, 50) == pytest.approx(np.array([(0.0, 5.0), (10.0, 5.0), (10.0, 0.0), (0.0, 0.0)]))
    right = fit_points([0, 0], [0, 100], [0.0, -10.0], [0.0, 0.0])
    assert right.turn_deg == pytest.approx(90.0)


@pytest.mark.parametrize(
    ("points", "plan", "mode", "words"),
    [
        ([(0, 0)], [(0, 0)], "similarity", "needs two known points, 1 given"),
        ([(0, 0), (9, 0)], [(0, 0), (9, 0)], "affine", "needs three known points, 2 given"),
        ([(5, 5), (5, 5)], [(0, 0), (9, 0)], "similarity", "one spot in the picture"),
        ([(0, 0), (9, 0)], [(7, 7), (7, 7)], "similarity", "one spot on the plan"),
        ([(0, 0), (5, 5), (9, 9)], [(0, 0), (5, 9), (9, 2)], "affine", "one line in the picture"),
        ([(0, 0), (5, 0), (9, 9)], [(0, 0), (5, 5), (9, 9)], "affine", "one line on the plan"),
        ([(0, 0), (9, 0), (0, 9)], [(0, 0), (9, 0), (0, 9)], "affine", "the other way round"),
        ([(0, 0), (9, 0)], [(0, 0), (math.nan, 0)], "similarity", "has no place"),
        # up and down cancel each other out: no turn is better than another
        ([(0, 0), (9, 0), (0, 9), (9, 9)], [(0, 0), (9, 0), (0, 9), (9, 9)], "similarity", "no turn and scale"),
    ],
)
def test_points_that_say_nothing_are_refused(points: Any, plan: Any, mode: Any, words: str) -> None:
    (x, y), (mx, my) = np.array(points, float).T, np.array(plan, float).T
    with pytest.raises(UsageError, match=words):
        fit_points(x, y, mx, my, mode)


def test_fit_when_the_numbers_of_points_differ_is_refused() -> None:
    with pytest.raises(UsageError, match="not as many points"):
        fit_points([0, 1, 2], [0, 1, 2], [0, 1], [0, 1])


def test_picture_is_fitted_by_its_control_points_also_where_they_are_in_degrees() -> None:
    picture = _picture([(0, 80), (100, 80)], plan=[(0.0, 0.0), (50.0, 0.0)])
    assert fit_picture(picture).scale_m_per_px == pytest.approx(0.5)
    anchor = Anchor(lat_deg=43.55, lon_deg=-69.6)
    east = GeoPoint(lat_deg=43.55, lon_deg=-69.599)
    rows = (picture.control_points[0], ControlPoint(x_px=100.0, y_px=80.0, position=east))
    mixed = PlanPicture(**{**picture.__dict__, "control_points": rows})
    x, y = to_plane(Plane(43.55, -69.6), east.lat_deg, east.lon_deg)
    fit: PictureFit = fit_picture(mixed, anchor)
    assert [float(one) for one in fit.to_plan(100.0, 80.0)] == pytest.approx([float(x), float(y)], abs=1e-9)
    with pytest.raises(UsageError, match=r"^plan picture pic: a known point has no place; give it in metres"):
        fit_picture(mixed)
