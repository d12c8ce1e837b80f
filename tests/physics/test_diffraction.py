"""Losses at one obstacle: where the published curves meet, which way they run, and where they end."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.physics.diffraction import (
    CLEAR_PARAMETER,
    average_terrain_loss_db,
    clearance_parameter,
    diffraction_parameter,
    knife_edge_loss_db,
    narrow_screen_loss_db,
    rounded_obstacle_loss_db,
    screen_loss_db,
)
from survey_app.physics.fresnel import fresnel_zone_radius_m

heights = st.floats(-20, 20)
lengths = st.floats(1, 5_000)
frequencies = st.floats(2_400, 66_000)
parameters = st.floats(-3, 12)


@given(heights, lengths, lengths, frequencies)
def test_parameter_is_the_same_seen_from_either_end(height_m, d1_m, d2_m, frequency_mhz):
    there = diffraction_parameter(height_m, d1_m, d2_m, frequency_mhz)
    assert there == diffraction_parameter(height_m, d2_m, d1_m, frequency_mhz)


@given(heights, lengths, lengths, frequencies)
def test_parameter_is_the_share_of_the_zone_that_is_taken(height_m, d1_m, d2_m, frequency_mhz):
    radius_m = fresnel_zone_radius_m(d1_m, d2_m, frequency_mhz)
    expected = clearance_parameter(-height_m / radius_m)
    assert float(diffraction_parameter(height_m, d1_m, d2_m, frequency_mhz)) == pytest.approx(
        float(expected), rel=1e-12
    )


@pytest.mark.parametrize(
    "inputs", [(np.nan, 9, 9, 5500), (1, 0, 9, 5500), (1, 9, -1, 5500), (1, 9, 9, 0), (np.inf, 9, 9, 5500)]
)
def test_parameter_outside_its_range_is_unknown(inputs):
    assert np.isnan(diffraction_parameter(*inputs))


@given(parameters, st.floats(0, 2))
def test_edge_loss_never_falls_when_the_edge_rises(parameter, rise):
    assert knife_edge_loss_db(parameter + rise) >= knife_edge_loss_db(parameter)


def test_edge_loss_begins_without_a_step():
    above = float(knife_edge_loss_db(np.nextafter(CLEAR_PARAMETER, 1.0)))
    assert knife_edge_loss_db(CLEAR_PARAMETER) == 0.0
    assert 0.0 <= above < 0.02


def test_edge_loss_at_the_ends_of_numbers():
    assert knife_edge_loss_db([-np.inf, np.inf]).tolist() == [0.0, np.inf]
    assert np.isnan(knife_edge_loss_db(np.nan))


@given(st.floats(-5, 20), lengths, lengths, frequencies, st.floats(0, 50))
def test_crest_costs_no_less_than_its_edge_and_the_same_both_ways(height_m, d1_m, d2_m, frequency_mhz, radius_m):
    there = rounded_obstacle_loss_db(height_m, d1_m, d2_m, frequency_mhz, radius_m)
    back = rounded_obstacle_loss_db(height_m, d2_m, d1_m, frequency_mhz, radius_m)
    edge = knife_edge_loss_db(diffraction_parameter(height_m, d1_m, d2_m, frequency_mhz))
    assert np.isnan(there) == np.isnan(back)
    if not np.isnan(there):
        assert there == back
        assert there >= edge


def test_crest_without_a_radius_is_an_edge():
    edge = knife_edge_loss_db(diffraction_parameter(2.0, 250, 250, 5500))
    assert rounded_obstacle_loss_db(2.0, 250, 250, 5500, 0.0) == edge


def test_crest_formula_meets_itself_where_it_changes():
    radii_m = np.linspace(5.0, 200.0, 4001)
    loss_db = rounded_obstacle_loss_db(5.0, 250, 250, 5500, radii_m)
    assert np.isfinite(loss_db).all()
    # the printed halves differ by 0.04 dB at m n = 4
    assert np.abs(np.diff(loss_db)).max() < 0.1


def test_crest_too_large_for_the_formula_is_unknown():
    assert np.isnan(rounded_obstacle_loss_db(2.0, 5, 5, 5500, 1500.0))
    assert np.isnan(rounded_obstacle_loss_db(2.0, 250, 250, 5500, -1.0))


@given(parameters, parameters, parameters)
def test_screen_costs_at_most_its_easiest_edge_and_more_in_the_mean_than_at_best(top, left, right):
    minimum_db, average_db = screen_loss_db(top, left, right)
    easiest = min(top, left, right)
    assert 0.0 <= minimum_db <= average_db + 1e-9
    assert average_db <= knife_edge_loss_db(easiest) + 1e-9


@given(parameters, parameters, parameters)
def test_screen_is_the_same_seen_from_behind(top, left, right):
    assert screen_loss_db(top, left, right) == screen_loss_db(top, right, left)


def test_screen_without_sides_is_an_edge():
    minimum_db, average_db = screen_loss_db([0.0, 1.0, 2.0], np.inf, np.inf)
    np.testing.assert_allclose(minimum_db, knife_edge_loss_db([0.0, 1.0, 2.0]), atol=1e-9)
    np.testing.assert_allclose(average_db, knife_edge_loss_db([0.0, 1.0, 2.0]), atol=1e-9)


@settings(deadline=None)  # the first call loads the integral
@given(st.floats(0, 6), st.floats(0, 0.4), st.floats(0, 0.4), st.floats(1.05, 2))
def test_thicker_mast_costs_more(top, left, right, factor):
    thin = narrow_screen_loss_db(top, left, right)
    thick = narrow_screen_loss_db(top, left * factor + 0.001, right * factor + 0.001)
    assert thick >= thin
    assert narrow_screen_loss_db(top, right, left) == thin


def test_narrow_screen_with_its_sides_the_wrong_way_round_is_unknown():
    assert np.isnan(narrow_screen_loss_db(1.0, -0.5, 0.2))
    assert np.isnan(narrow_screen_loss_db(np.nan, 0.1, 0.1))


def test_average_terrain_is_asked_only_where_it_holds():
    assert average_terrain_loss_db([-1.0, -0.25]).tolist() == [30.0, 15.0]
    assert np.isnan(average_terrain_loss_db([-0.2, 0.0, np.nan, -np.inf])).all()
