"""Ripple: nulls, extremes and shares by exact search against a very fine walk through the range."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.physics.reflection import field_ratio, level_change_db
from survey_app.physics.ripple import height_ripple, null_heights_m, water_level_ripple

SEA = 66.0 - 36.0j
polarisations = st.sampled_from(["horizontal", "vertical"])


def walked(h1_m, h2_m, distance_m, frequency_mhz, permittivity, polarisation, **more):
    return level_change_db(field_ratio(h1_m, h2_m, distance_m, frequency_mhz, permittivity, polarisation, **more))


@settings(deadline=None, max_examples=25)
@given(st.floats(2, 20), st.floats(60, 600), polarisations)
def test_nulls_are_where_a_fine_walk_finds_them(h1_m, distance_m, polarisation):
    heights_m, levels_db = null_heights_m(h1_m, distance_m, 1.0, 9.0, 5500, SEA, polarisation)
    fine_m = np.linspace(1.0, 9.0, 40_001)
    fine_db = walked(h1_m, fine_m, distance_m, 5500, SEA, polarisation)
    low = np.flatnonzero((fine_db[1:-1] < fine_db[:-2]) & (fine_db[1:-1] <= fine_db[2:])) + 1
    deep = low[fine_db[low] < -1.0]
    for place_m in fine_m[deep]:
        assert np.abs(heights_m - place_m).min() < 0.02
    assert (np.diff(heights_m) > 0).all()
    np.testing.assert_array_equal(levels_db, walked(h1_m, heights_m, distance_m, 5500, SEA, polarisation))
    # a null is a fall of the level: nothing near it is lower by more than the slow change of the reflection
    for place_m, level_db in zip(heights_m, levels_db, strict=True):
        near_db = fine_db[np.abs(fine_m - place_m) < 0.01]
        assert level_db <= near_db.min() + 0.5


@settings(deadline=None, max_examples=25)
@given(st.floats(4, 20), st.floats(4, 20), st.floats(60, 600), polarisations, st.floats(-8, 2))
def test_tide_is_what_a_fine_walk_finds(h1_m, h2_m, distance_m, polarisation, limit_db):
    found = water_level_ripple(h1_m, h2_m, distance_m, -1.6, 1.6, 5825, SEA, polarisation, limit_db)
    level_m = np.linspace(-1.6, 1.6, 50_001)
    fine_db = walked(h1_m - level_m, h2_m - level_m, distance_m, 5825, SEA, polarisation)
    assert found.below_fraction == pytest.approx(np.mean(fine_db < limit_db), abs=0.002)
    assert found.highest_db == pytest.approx(fine_db.max(), abs=0.02)
    # in a null of 40 dB the fine walk is the coarser of both
    assert from_field(found.lowest_db) == pytest.approx(from_field(fine_db.min()), abs=0.003)
    assert -1.6 <= found.lowest_at_m <= 1.6


def from_field(level_db):
    return 10.0 ** (level_db / 20.0)


def test_heights_and_tide_tell_of_the_same_place():
    heights_m, _ = null_heights_m(12.0, 200.0, 3.0, 9.0, 5500, SEA, "horizontal")
    ripple = height_ripple(12.0, 200.0, 3.0, 9.0, 5500, SEA, "horizontal", -3.0)
    assert len(heights_m) == pytest.approx(ripple.cycles, abs=1.0)
    assert np.abs(heights_m - ripple.lowest_at_m).min() < 1e-9


def test_nulls_over_a_mirror_are_at_whole_wavelengths_of_detour():
    """Far away over a perfect mirror the field is twice the sine of a turn, a formula of every text book."""
    wave_m = 299.792458 / 5500.0
    heights_m, _ = null_heights_m(10.0, 2_000.0, 1.0, 30.0, 5500, 1.0 - 1e12j, "horizontal")
    whole = np.arange(1, len(heights_m) + 1)
    np.testing.assert_allclose(heights_m, whole * wave_m * 2_000.0 / 20.0, rtol=2e-3)
    fine_m = np.linspace(1.0, 30.0, 301)
    plain_db = 20.0 * np.log10(np.abs(2.0 * np.sin(2.0 * np.pi * 10.0 * fine_m / (wave_m * 2_000.0))))
    away = np.abs(fine_m[:, None] - heights_m).min(axis=1) > 0.5
    exact_db = walked(10.0, fine_m, 2_000.0, 5500, 1.0 - 1e12j, "horizontal")
    np.testing.assert_allclose(exact_db[away], plain_db[away], atol=0.3)


def test_no_null_at_the_surface_itself():
    heights_m, _ = null_heights_m(10.0, 300.0, 0.0, 2.0, 5500, SEA, "horizontal")
    assert heights_m.tolist()
    assert heights_m[0] > 0.7


def test_antennas_may_see_the_surface_less_the_higher_they_hang():
    found = height_ripple(10.0, 150.0, 2.0, 12.0, 5500, SEA, "horizontal", -3.0)
    quiet = height_ripple(
        10.0, 150.0, 2.0, 12.0, 5500, SEA, "horizontal", -3.0, reflected_gain_db=lambda height_m: -2.0 * height_m
    )
    assert quiet.cycles == found.cycles
    assert quiet.below_fraction < found.below_fraction
    fine_m = np.linspace(2.0, 12.0, 100_001)
    fine_db = walked(10.0, fine_m, 150.0, 5500, SEA, "horizontal", reflected_gain_db=-2.0 * fine_m)
    assert quiet.below_fraction == pytest.approx(np.mean(fine_db < -3.0), abs=0.002)
    assert quiet.lowest_db == pytest.approx(fine_db.min(), abs=0.15)


def test_rough_water_ripples_less():
    calm = water_level_ripple(14.0, 5.0, 147.0, -1.6, 1.6, 5825, SEA, "horizontal", -3.0)
    rough = water_level_ripple(14.0, 5.0, 147.0, -1.6, 1.6, 5825, SEA, "horizontal", -3.0, roughness_m=0.05)
    assert rough.lowest_db > calm.lowest_db + 10.0
    assert rough.highest_db < calm.highest_db


@pytest.mark.parametrize(
    "change",
    [
        {"h1_m": np.nan},
        {"distance_m": 0.0},
        {"lowest_m": 5.0},
        {"lowest_m": -1.0},
        {"frequency_mhz": 0.0},
        {"roughness_m": -1.0},
    ],
    ids=str,
)
def test_ripple_outside_its_range_is_unknown(change):
    values = {"h1_m": 10.0, "distance_m": 300.0, "lowest_m": 1.0, "highest_m": 4.0, "frequency_mhz": 5500.0, **change}
    heights_m, levels_db = null_heights_m(permittivity=SEA, polarisation="horizontal", **values)
    assert heights_m.size == levels_db.size == 0
    assert np.isnan(height_ripple(permittivity=SEA, polarisation="horizontal", limit_db=-3.0, **values)).all()


def test_water_above_an_antenna_is_unknown():
    assert np.isnan(water_level_ripple(14.0, 1.0, 147.0, -1.6, 1.6, 5825, SEA, "vertical", -3.0)).all()
