from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.rain import (
    HORIZONTAL_TILT_DEG,
    VERTICAL_TILT_DEG,
    rain_attenuation_db,
    rain_coefficients,
    rain_exceeded_percent,
    rain_path_factor,
    rain_specific_attenuation_db_per_km,
)

frequencies = st.floats(1_000.0, 100_000.0)
distances = st.floats(1.0, 60_000.0)
rates = st.floats(1.0, 200.0)
percents = st.floats(0.001, 1.0)
polarisations = st.floats(0.0, 90.0)


def test_rain_specific_attenuation_without_rain_is_nothing() -> None:
    assert float(rain_specific_attenuation_db_per_km(0.0, 60_000.0, 0.0)) == 0.0
    assert float(rain_attenuation_db(500.0, 60_000.0, 0.0)) == 0.0


@given(st.floats(1_000.0, 1_000_000.0))
def test_rain_coefficients_on_a_vertical_path_do_not_know_polarisation(frequency_mhz: float) -> None:
    (k_h, k_v), (alpha_h, alpha_v) = rain_coefficients(frequency_mhz, [HORIZONTAL_TILT_DEG, VERTICAL_TILT_DEG], 90.0)
    assert float(k_h) == pytest.approx(float(k_v), rel=1e-12)
    assert float(alpha_h) == pytest.approx(float(alpha_v), rel=1e-12)


@given(st.floats(1_000.0, 1_000_000.0), st.floats(-89.0, 89.0))
def test_rain_coefficients_of_slant_lie_between_horizontal_and_vertical(frequency_mhz: float, path_deg: float) -> None:
    k, _ = rain_coefficients(frequency_mhz, [0.0, 45.0, 90.0], path_deg)
    assert min(k[0], k[2]) * (1 - 1e-12) <= k[1] <= max(k[0], k[2]) * (1 + 1e-12)


def test_rain_specific_attenuation_above_10_ghz_hits_horizontal_harder() -> None:
    frequency_mhz = np.array([12_000.0, 24_000.0, 60_000.0])
    horizontal = rain_specific_attenuation_db_per_km(42.0, frequency_mhz, HORIZONTAL_TILT_DEG)
    assert (horizontal > rain_specific_attenuation_db_per_km(42.0, frequency_mhz, VERTICAL_TILT_DEG)).all()


@given(distances, frequencies, rates)
def test_rain_path_factor_stays_between_nothing_and_two_and_a_half(
    distance_m: float, frequency_mhz: float, rate: float
) -> None:
    _, alpha = rain_coefficients(frequency_mhz, 90.0)
    assert 0.0 < float(rain_path_factor(distance_m, frequency_mhz, rate, alpha)) <= 2.5


def test_rain_path_factor_of_a_very_short_path_is_two_and_a_half() -> None:
    # The published denominator turns negative on very short paths; the factor once followed it there.
    assert rain_path_factor([0.5, 5.0, 50.0], 24_000.0, 10.0, 1.0).tolist() == [2.5, 2.5, 2.5]


@given(distances, frequencies, rates, percents, percents)
def test_rain_attenuation_falls_with_the_share_of_the_year(
    distance_m: float, frequency_mhz: float, rate: float, first: float, second: float
) -> None:
    rarely, often = sorted((first, second))
    hard, mild = rain_attenuation_db(distance_m, frequency_mhz, rate, [rarely, often])
    assert hard >= mild * (1.0 - 1e-12)


@given(distances, frequencies, rates, percents, polarisations)
def test_rain_exceeded_percent_takes_the_attenuation_back(
    distance_m: float, frequency_mhz: float, rate: float, percent: float, polarisation: float
) -> None:
    margin_db = rain_attenuation_db(distance_m, frequency_mhz, rate, percent, polarisation)
    got = rain_exceeded_percent(margin_db, distance_m, frequency_mhz, rate, polarisation)
    assert float(got) == pytest.approx(percent, rel=1e-6)


def test_rain_exceeded_percent_of_a_margin_beyond_the_method_is_nan() -> None:
    rare_db, often_db = rain_attenuation_db(500.0, 60_000.0, 42.0, [0.001, 1.0])
    got = rain_exceeded_percent([rare_db * 1.01, rare_db, often_db, often_db * 0.99], 500.0, 60_000.0, 42.0)
    np.testing.assert_allclose(got, [np.nan, 0.001, 1.0, np.nan], rtol=1e-12)


def test_rain_at_5_ghz_stays_below_two_decibels_at_3_km() -> None:
    assert float(rain_attenuation_db(3000.0, 5875.0, 90.0, 0.01, HORIZONTAL_TILT_DEG)) < 2.0


@pytest.mark.parametrize(
    "values",
    [
        (0.0, 24_000.0, 42.0, 0.01, 0.0, 0.0),
        (60_001.0, 24_000.0, 42.0, 0.01, 0.0, 0.0),
        (500.0, 999.0, 42.0, 0.01, 0.0, 0.0),
        (500.0, 100_001.0, 42.0, 0.01, 0.0, 0.0),
        (500.0, 24_000.0, -1.0, 0.01, 0.0, 0.0),
        (500.0, 24_000.0, 42.0, 0.0009, 0.0, 0.0),
        (500.0, 24_000.0, 42.0, 1.01, 0.0, 0.0),
        (500.0, 24_000.0, 42.0, 0.01, np.inf, 0.0),
        (500.0, 24_000.0, 42.0, 0.01, 0.0, 91.0),
        (np.nan, 24_000.0, 42.0, 0.01, 0.0, 0.0),
        (500.0, np.nan, 42.0, 0.01, 0.0, 0.0),
        (500.0, 24_000.0, np.nan, 0.01, 0.0, 0.0),
        (500.0, 24_000.0, 42.0, np.nan, 0.0, 0.0),
        (500.0, 24_000.0, 42.0, 0.01, np.nan, 0.0),
        (500.0, 24_000.0, 42.0, 0.01, 0.0, np.nan),
    ],
)
def test_rain_attenuation_outside_its_range_is_nan(values: tuple[float, ...]) -> None:
    assert np.isnan(rain_attenuation_db(*values))


@pytest.mark.parametrize("margin_db", [0.0, -3.0, np.nan])
def test_rain_exceeded_percent_without_a_margin_is_nan(margin_db: float) -> None:
    assert np.isnan(rain_exceeded_percent(margin_db, 500.0, 60_000.0, 42.0))


def test_rain_exceeded_percent_without_rain_is_nan() -> None:
    assert np.isnan(rain_exceeded_percent(10.0, 500.0, 60_000.0, 0.0))


def test_rain_functions_broadcast() -> None:
    assert rain_attenuation_db(np.full((3, 1), 500.0), 60_000.0, 42.0, np.array([0.01, 0.1])).shape == (3, 2)
    assert rain_exceeded_percent(np.full((3, 1), 5.0), 500.0, np.array([24e3, 60e3]), 42.0).shape == (3, 2)
