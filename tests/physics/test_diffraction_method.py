"""The method is chosen by rule, and the loss is the one of that method."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.physics.bullington import bullington_loss_db, bullington_parameter
from survey_app.physics.diffraction import (
    knife_edge_loss_db,
    narrow_screen_loss_db,
    rounded_obstacle_loss_db,
    screen_loss_db,
)
from survey_app.physics.diffraction_method import (
    BULLINGTON,
    METHODS,
    NARROW_SCREEN,
    NONE,
    ROUNDED,
    SCREEN,
    SINGLE_EDGE,
    UNKNOWN,
    diffraction_method,
    obstacle_loss_db,
)

INF = np.inf


def one(top, left=INF, right=INF, radius_m=0.0):
    """Loss and method of one obstacle half-way along 500 m at 5.5 GHz."""
    loss_db, method = obstacle_loss_db([top], [left], [right], [radius_m], [250], [250], [0, 1], 5500)
    return float(loss_db[0]), int(method[0])


def test_nothing_in_the_zone_costs_nothing():
    assert one(-0.78) == (0.0, NONE)
    loss_db, method = obstacle_loss_db([], [], [], [], [], [], [0, 0], 5500)
    assert loss_db.tolist() == [0.0]
    assert method.tolist() == [NONE]


def test_lone_edge_is_a_knife_edge():
    assert one(0.5) == (float(knife_edge_loss_db(0.5)), SINGLE_EDGE)


def test_lone_crest_is_rounded():
    height_m = 2.0
    top = 1.083579999
    loss_db, method = one(top, radius_m=10.0)
    assert method == ROUNDED
    assert loss_db == pytest.approx(float(rounded_obstacle_loss_db(height_m, 250, 250, 5500, 10.0)), abs=1e-6)


def test_screen_with_a_side_in_the_zone_goes_by_its_three_edges():
    assert one(1.0, 0.8, 1.2) == (float(screen_loss_db(1.0, 0.8, 1.2)[1]), SCREEN)


def test_mast_goes_by_the_integral():
    assert one(4.0, 0.05, 0.05) == (float(narrow_screen_loss_db(4.0, 0.05, 0.05)), NARROW_SCREEN)


def test_wall_beside_the_ray_costs_what_its_near_edge_costs():
    loss_db, method = one(9.0, -0.4, 25.0)
    assert method == SCREEN
    assert loss_db == pytest.approx(float(knife_edge_loss_db(-0.4)), abs=0.05)
    assert one(9.0, -0.8, 25.0) == (0.0, NONE)


def test_second_obstacle_in_the_zone_makes_it_a_profile():
    loss_db, method = obstacle_loss_db([0.5, -0.5], INF, INF, 0.0, [100, 300], [400, 200], [0, 2], 5500)
    assert method.tolist() == [BULLINGTON]
    one_db = float(knife_edge_loss_db(0.5))
    assert loss_db[0] == pytest.approx(float(bullington_loss_db(0.5, 500.0)), abs=1e-9)
    assert loss_db[0] > one_db + 6.0
    # an obstacle that has left the zone changes nothing
    far_db, far = obstacle_loss_db([0.5, -0.79], INF, INF, 0.0, [100, 300], [400, 200], [0, 2], 5500)
    assert far.tolist() == [SINGLE_EDGE]
    assert far_db[0] == one_db


def test_two_roofs_have_the_loss_of_their_profile():
    d1_m, d2_m = np.array([200.0, 400.0]), np.array([400.0, 200.0])
    top_m, h1_m, h2_m = np.array([114.0, 116.0]), 110.0, 112.0
    above_m = top_m - (h1_m * d2_m + h2_m * d1_m) / 600.0
    top = above_m * np.sqrt(2.0 * 600.0 / (0.05168835482758621 * d1_m * d2_m))
    loss_db, method = obstacle_loss_db(top, INF, INF, 0.0, d1_m, d2_m, [0, 2], 5800)
    expected = bullington_loss_db(bullington_parameter(d1_m, d2_m, top_m, h1_m, h2_m, 5800, INF), 600.0)
    assert method.tolist() == [BULLINGTON]
    assert loss_db[0] == pytest.approx(float(expected), abs=1e-9)


def test_tall_thing_beside_the_ray_is_no_wall_across_it():
    beside = obstacle_loss_db([0.2, 30.0], [INF, -0.6], [INF, 20.0], 0.0, [100, 300], [400, 200], [0, 2], 5500)
    across = obstacle_loss_db([0.2, 30.0], INF, INF, 0.0, [100, 300], [400, 200], [0, 2], 5500)
    assert beside[0][0] < 20.0 < across[0][0]


def test_unknown_obstacle_makes_its_own_hop_unknown_only():
    top = [0.5, np.nan, 0.5, -2.0]
    loss_db, method = obstacle_loss_db(top, INF, INF, 0.0, [100] * 4, [400] * 4, [0, 1, 2, 4], 5500)
    assert method.tolist() == [SINGLE_EDGE, UNKNOWN, SINGLE_EDGE]
    assert np.isnan(loss_db).tolist() == [False, True, False]
    for change in ({"d1": [0, 100, 100]}, {"f": [0, 5500, 5500]}, {"radius": [-1, 0, 0]}):
        d1_m, f_mhz, radius_m = change.get("d1", [100] * 3), change.get("f", 5500), change.get("radius", 0)
        loss_db, method = obstacle_loss_db([0.5, 0.6, 0.7], INF, INF, radius_m, d1_m, [400] * 3, [0, 1, 2, 3], f_mhz)
        assert np.isnan(loss_db).tolist() == [True, False, False]
        assert method.tolist() == [UNKNOWN, SINGLE_EDGE, SINGLE_EDGE]


def test_arrays_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="offsets"):
        diffraction_method([0.5], INF, INF, 0.0, [0, 1, 0])
    with pytest.raises(ValueError, match="broadcast"):
        diffraction_method([0.5, 0.6], INF, INF, 0.0, [0, 1])


parameters = st.floats(-2, 6)
obstacles = st.tuples(parameters, st.floats(-2, 9), st.floats(0, 9), st.floats(20, 480))


@settings(deadline=None)
@given(st.lists(st.lists(obstacles, max_size=4), min_size=1, max_size=5))
def test_loss_is_the_same_from_the_other_end_and_among_other_hops(hops):
    flat = [row for hop in hops for row in hop]
    top, left, width, d1_m = (np.array([row[n] for row in flat], dtype=float) for n in range(4))
    right, d2_m = width - left, 500.0 - d1_m
    offsets = np.cumsum([0, *(len(hop) for hop in hops)])
    loss_db, method = obstacle_loss_db(top, left, right, 0.0, d1_m, d2_m, offsets, 5500)
    assert ((loss_db >= 0.0) & (method >= NONE) & (method < len(METHODS))).all()
    assert ((loss_db == 0.0) | (method != NONE)).all()
    back, _ = obstacle_loss_db(top, right, left, 0.0, d2_m, d1_m, offsets, 5500)
    np.testing.assert_array_equal(loss_db, back)
    for hop, (first, last) in enumerate(pairwise(offsets)):
        part = slice(first, last)
        alone, _ = obstacle_loss_db(
            top[part], left[part], right[part], 0.0, d1_m[part], d2_m[part], [0, last - first], 5500
        )
        assert alone[0] == loss_db[hop]
