from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.gases import (
    gas_attenuation_db_per_km,
    gas_loss_db,
    oxygen_attenuation_db_per_km,
    water_vapour_attenuation_db_per_km,
)


def test_gas_attenuation_at_5_ghz_is_a_hundredth_of_a_decibel() -> None:
    assert 0.005 < float(gas_attenuation_db_per_km(5500.0)) < 0.015


def test_gas_attenuation_peaks_at_the_oxygen_lines_near_60_ghz() -> None:
    frequency_mhz = np.arange(50_000.0, 70_000.0, 100.0)
    peak_mhz = frequency_mhz[np.argmax(gas_attenuation_db_per_km(frequency_mhz))]
    assert 60_000.0 < peak_mhz < 62_000.0


def test_water_vapour_peaks_at_its_line_near_22_ghz() -> None:
    frequency_mhz = np.arange(15_000.0, 30_000.0, 50.0)
    peak_mhz = frequency_mhz[np.argmax(water_vapour_attenuation_db_per_km(frequency_mhz))]
    assert 22_000.0 < peak_mhz < 23_000.0


def test_dry_air_has_no_water_vapour_attenuation() -> None:
    assert float(water_vapour_attenuation_db_per_km(24_000.0, vapour_g_per_m3=0.0)) == 0.0


@given(st.floats(1_000.0, 350_000.0), st.floats(500.0, 1080.0), st.floats(-40.0, 50.0), st.floats(0.0, 40.0))
def test_gas_attenuation_is_positive_and_the_sum_of_its_parts(
    frequency_mhz: float, pressure_hpa: float, temperature_c: float, vapour: float
) -> None:
    air = (frequency_mhz, pressure_hpa, temperature_c, vapour)
    oxygen, water = oxygen_attenuation_db_per_km(*air), water_vapour_attenuation_db_per_km(*air)
    assert float(oxygen) > 0.0
    assert float(water) >= 0.0
    assert float(gas_attenuation_db_per_km(*air)) == float(oxygen + water)


@given(st.floats(0.0, 20_000.0), st.floats(1_000.0, 100_000.0))
def test_gas_loss_grows_with_the_distance(distance_m: float, frequency_mhz: float) -> None:
    once, twice = gas_loss_db(distance_m, frequency_mhz), gas_loss_db(2.0 * distance_m, frequency_mhz)
    assert float(twice) == pytest.approx(2.0 * float(once), rel=1e-12)


@pytest.mark.parametrize(
    "air",
    [
        (999.0, 1013.25, 15.0, 7.5),
        (1_000_001.0, 1013.25, 15.0, 7.5),
        (5500.0, 0.0, 15.0, 7.5),
        (5500.0, 1013.25, -273.15, 7.5),
        (5500.0, 1013.25, 15.0, -0.1),
        (np.nan, 1013.25, 15.0, 7.5),
        (5500.0, np.nan, 15.0, 7.5),
        (5500.0, 1013.25, np.nan, 7.5),
        (5500.0, 1013.25, 15.0, np.nan),
    ],
)
def test_gas_attenuation_outside_its_range_is_nan(air: tuple[float, float, float, float]) -> None:
    assert np.isnan(oxygen_attenuation_db_per_km(*air))
    assert np.isnan(water_vapour_attenuation_db_per_km(*air))
    assert np.isnan(gas_attenuation_db_per_km(*air))


def test_gas_loss_of_a_negative_distance_is_nan() -> None:
    assert np.isnan(gas_loss_db([-1.0, np.nan], 5500.0)).all()


def test_gas_functions_broadcast() -> None:
    assert gas_attenuation_db_per_km(np.full((3, 1), 5500.0), np.full(4, 1000.0)).shape == (3, 4)
    assert gas_loss_db(np.full((3, 1), 100.0), 5500.0, temperature_c=np.zeros(2)).shape == (3, 2)
