from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics import noise

LEVELS = st.floats(-120, -20)


@given(st.floats(0.1, 200), st.floats(50, 400))
def test_noise_doubles_with_width_and_with_temperature(width: float, temperature: float) -> None:
    here = noise.thermal_noise_dbm(width, temperature)
    assert noise.thermal_noise_dbm(2 * width, temperature) - here == pytest.approx(3.0103, abs=1e-4)
    assert noise.thermal_noise_dbm(width, 2 * temperature) - here == pytest.approx(3.0103, abs=1e-4)


def test_noise_figure_adds_to_the_noise() -> None:
    assert noise.noise_floor_dbm(20, 6) - noise.thermal_noise_dbm(20) == pytest.approx(6)


@given(LEVELS, LEVELS, LEVELS)
def test_signal_over_both_is_the_ratio_less_the_rise(level: float, floor: float, neighbour: float) -> None:
    expected = noise.snr_db(level, floor) - noise.interference_rise_db(floor, neighbour)
    assert noise.sinr_db(level, floor, neighbour) == pytest.approx(float(expected), abs=1e-9)


@given(LEVELS, LEVELS)
def test_no_neighbour_lifts_nothing(level: float, floor: float) -> None:
    assert float(noise.interference_rise_db(floor, -math.inf)) == 0.0
    assert float(noise.sinr_db(level, floor)) == pytest.approx(level - floor, abs=1e-12)


@pytest.mark.parametrize(
    "value",
    [
        noise.thermal_noise_dbm(0),
        noise.thermal_noise_dbm(-20),
        noise.thermal_noise_dbm(20, 0),
        noise.noise_floor_dbm(20, -1),
        noise.noise_floor_dbm(math.nan, 6),
        noise.sinr_db(-60, math.nan),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)
