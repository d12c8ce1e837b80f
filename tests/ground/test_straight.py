"""A line on the plan: the same bearing and length as the plane's own geometry has them."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from survey_app.ground.straight import bearing_of, distance_of

metres = st.floats(-1e4, 1e4, allow_nan=False)


@given(metres, metres, metres, metres)
def test_going_by_bearing_and_distance_arrives(ax, ay, bx, by):
    bearing_deg, far_m = bearing_of((ax, ay), (bx, by)), distance_of((ax, ay), (bx, by))
    assert 0.0 <= bearing_deg < 360.0
    turn = math.radians(bearing_deg)
    assert math.isclose(ax + far_m * math.sin(turn), bx, abs_tol=1e-8)
    assert math.isclose(ay + far_m * math.cos(turn), by, abs_tol=1e-8)


def test_a_hair_west_of_north_is_north_and_not_360():
    assert bearing_of((0.0, 0.0), (-1e-300, 1.0)) == 0.0
