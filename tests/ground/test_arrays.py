"""How the room takes its numbers."""

import datetime

import numpy as np
import pytest

from survey_app.ground._arrays import broadcast
from survey_app.ground.bearings import compass_point, reduce_bearing, to_magnetic, turn
from survey_app.ground.geodesic import direct, inverse, plan_line
from survey_app.ground.landmark import angle_sigma, landmark_error
from survey_app.ground.magnetic import declination
from survey_app.ground.plane import Plane, plan_bearing, to_geographic, to_plane, true_bearing
from survey_app.ground.sun import sun_position
from survey_app.ground.tolerance import combined_sigma, position_sigma, position_tolerance, step_sigma

PLANE = Plane(43.55, -69.6, rotation_deg=12.0)
NOON = np.datetime64("2026-06-21T12:00", "ms")

# every function of arrays, with arguments that it can answer
FUNCTIONS = [
    (reduce_bearing, (371.5,)),
    (turn, (10.0, 300.0)),
    (to_magnetic, (100.0, -14.6)),
    (lambda *a: np.stack(inverse(*a)), (43.55, -69.6, 43.56, -69.58)),
    (lambda *a: np.stack(direct(*a)), (43.55, -69.6, 33.0, 812.0)),
    (lambda *a: np.stack(plan_line(*a)), (1.0, 2.0, 30.0, -40.0)),
    (lambda *a: np.stack(to_plane(PLANE, *a)), (43.551, -69.602)),
    (lambda *a: np.stack(to_geographic(PLANE, *a)), (120.0, -30.0)),
    (lambda *a: true_bearing(PLANE, *a), (120.0, -30.0, 77.0)),
    (lambda *a: plan_bearing(PLANE, *a), (120.0, -30.0, 77.0)),
    (landmark_error, (300.0, 3.0, 0.5)),
    (angle_sigma, (20.0, 300.0, 500.0, 0.5, 3.0, 1.0)),
    (position_sigma, (57.0, 1.0, 0.5)),
    (position_tolerance, (57.0, 27.0)),
    (step_sigma, (5.0,)),
    (combined_sigma, (0.3, 0.4)),
    (lambda *a: declination(*a, 2026.9).declination_deg, (43.55, -69.6, 12.0)),
    (lambda *a: sun_position(*a, NOON).elevation_deg, (43.55, -69.6)),
]
NAMES = [str(index) for index in range(len(FUNCTIONS))]


@pytest.mark.parametrize(("function", "arguments"), FUNCTIONS, ids=NAMES)
def test_function_with_nan_in_gives_nan_out(function, arguments):
    assert np.isfinite(function(*arguments)).all()
    for index in range(len(arguments)):
        broken = list(arguments)
        broken[index] = [np.nan, arguments[index], None]
        answer = function(*broken)
        assert answer.shape[-1] == 3
        assert np.isnan(answer[..., [0, 2]]).any(axis=0).all() if answer.ndim > 1 else np.isnan(answer[[0, 2]]).all()
        assert np.isfinite(answer[..., 1]).all()


@pytest.mark.parametrize(("function", "arguments"), FUNCTIONS, ids=NAMES)
def test_function_of_many_gives_the_same_bits_as_of_one(function, arguments):
    # an element's answer must not depend on how many stand beside it, nor on the order in memory
    random = np.random.default_rng(11)
    many = [value * (1.0 + 0.01 * random.uniform(-1, 1, 37)) for value in arguments]
    together = function(*many)
    backwards = function(*(values[::-1] for values in many))[..., ::-1]
    alone = np.stack([function(*(float(v[i]) for v in many)) for i in range(37)], axis=-1)
    assert together.tobytes() == np.ascontiguousarray(backwards).tobytes()
    assert together.tobytes() == np.ascontiguousarray(alone).tobytes()


@pytest.mark.parametrize(("function", "arguments"), FUNCTIONS, ids=NAMES)
@pytest.mark.parametrize("wrong", ["43.55", 1j, True, datetime.date(2026, 1, 1), [1.0, "2"], [object()]])
def test_function_with_something_that_is_no_number_raises(function, arguments, wrong):
    with pytest.raises(TypeError):
        function(wrong, *arguments[1:])


def test_broadcast_of_shapes_that_do_not_fit_raises():
    with pytest.raises(ValueError, match="shape"):
        broadcast([1.0, 2.0], [1.0, 2.0, 3.0])


def test_broadcast_of_nothing_keeps_the_empty_shape():
    assert broadcast([], 1.0)[1].shape == (0,)
    assert inverse([], [], [], []).ground_distance_m.shape == (0,)
    assert declination([], [], [], 2026.0).zone.shape == (0,)


def test_compass_point_of_text_raises():
    with pytest.raises(TypeError):
        compass_point("N")  # type: ignore[arg-type]
