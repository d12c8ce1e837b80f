"""Bullington: the construction as printed, step by step, against the one that runs; both directions; bad profiles."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from survey_app.physics.bullington import bullington_loss_db, bullington_parameter, ragged_bullington_parameter
from survey_app.physics.diffraction import diffraction_parameter, knife_edge_loss_db
from survey_app.physics.free_space import wavelength_m

POINTS = 12
profiles = arrays(np.float64, POINTS, elements=st.floats(0, 40))
ends = st.floats(1, 50)


def as_printed(d1_m, length_m, heights_m, h1_m, h2_m, frequency_mhz, earth_km):
    """The source's own steps, in its own units, in plain Python."""
    wave_m, d = float(wavelength_m(frequency_mhz)), length_m / 1000.0
    points = [(x / 1000.0, h) for x, h in zip(d1_m, heights_m, strict=True)]

    def raised(x, h):
        return h + 500.0 / earth_km * x * (d - x)

    steepest = max((raised(x, h) - h1_m) / x for x, h in points)
    straight = (h2_m - h1_m) / d
    if steepest < straight:
        return max(
            (raised(x, h) - (h1_m * (d - x) + h2_m * x) / d) * math.sqrt(0.002 * d / (wave_m * x * (d - x)))
            for x, h in points
        )
    from_far = max((raised(x, h) - h2_m) / (d - x) for x, h in points)
    x = (h2_m - h1_m + from_far * d) / (steepest + from_far)
    above = h1_m + steepest * x - (h1_m * (d - x) + h2_m * x) / d
    return above * math.sqrt(0.002 * d / (wave_m * x * (d - x)))


def along(length_m):
    d1_m = np.linspace(0.0, length_m, POINTS + 2)[1:-1]
    return d1_m, length_m - d1_m


@settings(deadline=None)
@given(profiles, ends, ends, st.floats(100, 5_000), st.floats(2_400, 66_000))
def test_parameter_is_that_of_the_printed_steps(heights_m, h1_m, h2_m, length_m, frequency_mhz):
    d1_m, d2_m = along(length_m)
    found = float(bullington_parameter(d1_m, d2_m, heights_m, h1_m, h2_m, frequency_mhz, 8500.0 / 6371.0))
    expected = as_printed(d1_m, length_m, heights_m, h1_m, h2_m, frequency_mhz, 8500.0)
    # near grazing the printed quotients cancel, so that only the absolute difference is small
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-6)


@settings(deadline=None)
@given(profiles, ends, ends, st.floats(100, 5_000))
def test_both_directions_give_the_same_bits(heights_m, h1_m, h2_m, length_m):
    d1_m, d2_m = along(length_m)
    there = bullington_parameter(d1_m, d2_m, heights_m, h1_m, h2_m, 5500)
    back = bullington_parameter(d2_m[::-1], d1_m[::-1], heights_m[::-1], h2_m, h1_m, 5500)
    assert there == back


@settings(deadline=None)
@given(profiles, ends, ends, st.integers(0, POINTS - 1), st.floats(0, 20))
def test_raising_one_point_never_lowers_the_loss(heights_m, h1_m, h2_m, index, rise_m):
    d1_m, d2_m = along(1000.0)
    raised_m = heights_m.copy()
    raised_m[index] += rise_m
    before, after = (
        bullington_loss_db(bullington_parameter(d1_m, d2_m, row, h1_m, h2_m, 5500), 1000.0)
        for row in (heights_m, raised_m)
    )
    assert after >= before - 1e-9


@settings(deadline=None)
@given(profiles, ends, ends, st.floats(0, 20))
def test_raising_an_end_never_hurts(heights_m, h1_m, h2_m, rise_m):
    d1_m, d2_m = along(1000.0)
    before = bullington_parameter(d1_m, d2_m, heights_m, h1_m, h2_m, 5500)
    assert bullington_parameter(d1_m, d2_m, heights_m, h1_m + rise_m, h2_m, 5500) <= before + 1e-9


@settings(deadline=None)
@given(st.floats(0, 40), ends, ends, st.floats(1, 999))
def test_profile_of_one_point_is_that_edge(height_m, h1_m, h2_m, d1_m):
    d2_m = 1000.0 - d1_m
    above_m = height_m - (h1_m * d2_m + h2_m * d1_m) / (d1_m + d2_m)
    expected = float(diffraction_parameter(above_m, d1_m, d2_m, 5500))
    found = float(bullington_parameter([d1_m], [d2_m], [height_m], h1_m, h2_m, 5500, np.inf))
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_ragged_and_dense_profiles_give_the_same_bits():
    random = np.random.default_rng(3)
    d1_m, d2_m = along(800.0)
    heights_m = random.uniform(0, 30, (50, POINTS))
    h1_m, h2_m = random.uniform(5, 40, (2, 50))
    dense = bullington_parameter(d1_m, d2_m, heights_m, h1_m, h2_m, 5800)
    full = bullington_parameter(np.tile(d1_m, (50, 1)), d2_m, heights_m, h1_m, h2_m, 5800)
    offsets = np.arange(51) * POINTS
    ragged = ragged_bullington_parameter(
        np.tile(d1_m, 50), np.tile(d2_m, 50), heights_m.ravel(), offsets, h1_m, h2_m, 5800
    )
    alone = [bullington_parameter(d1_m, d2_m, heights_m[n], h1_m[n], h2_m[n], 5800) for n in range(50)]
    np.testing.assert_array_equal(dense, full)
    np.testing.assert_array_equal(dense, ragged)
    np.testing.assert_array_equal(dense, alone)
    assert (dense > 0).any()
    assert (dense < 0).any()


def test_points_at_the_ends_do_not_count():
    d1_m, d2_m = along(800.0)
    heights_m = np.linspace(0, 12, POINTS)
    inner = bullington_parameter(d1_m, d2_m, heights_m, 14, 14, 5500)
    whole = bullington_parameter([0, *d1_m, 800], [800, *d2_m, 0], [99, *heights_m, 99], 14, 14, 5500)
    assert inner == whole


def test_one_bad_profile_leaves_the_others_alone():
    d1_m, d2_m = [100.0, 200.0, 100.0, 200.0, 150.0], [200.0, 100.0, 200.0, 100.0, 150.0]
    good = ragged_bullington_parameter(d1_m, d2_m, [0, 9, 0, 9, 12], [0, 2, 4, 5], 10, 10, 5500)
    for place, value in ((2, np.nan), (3, np.inf)):
        heights_m = [0, 9, 0, 9, 12]
        heights_m[place] = value
        found = ragged_bullington_parameter(d1_m, d2_m, heights_m, [0, 2, 4, 5], 10, 10, 5500)
        assert np.isnan(found).tolist() == [False, True, False]
        assert found[[0, 2]].tolist() == good[[0, 2]].tolist()


@pytest.mark.parametrize(
    "change",
    [{"h1_m": np.nan}, {"h2_m": np.inf}, {"frequency_mhz": 0}, {"k": 0}, {"d1_m": -5.0}, {"d2_m": np.nan}],
    ids=str,
)
def test_profile_outside_its_range_is_unknown(change):
    values = {"d1_m": 100.0, "d2_m": 200.0, "h1_m": 10.0, "h2_m": 10.0, "frequency_mhz": 5500.0, "k": 4 / 3, **change}
    d1_m, d2_m = values.pop("d1_m"), values.pop("d2_m")
    found = bullington_parameter([d1_m, 150.0], [d2_m, 150.0], [4.0, 5.0], **values)
    assert np.isnan(found)


def test_hop_without_a_point_loses_nothing():
    parameter = ragged_bullington_parameter([], [], [], [0, 0, 0], 10, 10, 5500)
    assert parameter.tolist() == [-np.inf, -np.inf]
    assert bullington_loss_db(parameter, 500).tolist() == [0.0, 0.0]


def test_arrays_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="offsets"):
        ragged_bullington_parameter([1.0], [1.0], [1.0], [1, 0], 10, 10, 5500)
    with pytest.raises(ValueError, match="as many points"):
        ragged_bullington_parameter([1.0], [1.0], [1.0], [0, 2], 10, 10, 5500)
    with pytest.raises(ValueError, match="same number"):
        bullington_parameter([1.0, 2.0], [2.0, 1.0], [[1.0], [2.0]], 10, 10, 5500)


def test_read_only_and_turned_arrays_are_taken():
    d1_m, d2_m = along(800.0)
    heights_m = np.linspace(0, 20, POINTS)
    expected = bullington_parameter(d1_m, d2_m, heights_m, 14, 12, 5500)
    frozen = heights_m.copy()
    frozen.flags.writeable = False
    assert bullington_parameter(d1_m, d2_m, frozen, 14, 12, 5500) == expected
    assert bullington_parameter(d2_m[::-1], d1_m[::-1], heights_m[::-1], 12, 14, 5500) == expected


@given(st.floats(-3, 20), st.floats(10, 50_000))
def test_profile_costs_at_most_ten_decibels_and_the_way_more_than_its_edge(parameter, distance_m):
    edge_db = float(knife_edge_loss_db(parameter))
    loss_db = float(bullington_loss_db(parameter, distance_m))
    assert edge_db <= loss_db <= edge_db + 10.0 + 0.02 * distance_m / 1000.0
