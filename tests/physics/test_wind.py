from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics import wind

HEIGHTS = st.floats(0, 150)


@given(st.floats(1, 80))
def test_pressure_grows_with_the_square_of_the_speed(speed: float) -> None:
    assert float(wind.asce7_velocity_pressure_pa(2 * speed)) == pytest.approx(
        4 * float(wind.asce7_velocity_pressure_pa(speed))
    )
    assert float(wind.en1991_peak_pressure_pa(2 * speed, 8)) == pytest.approx(
        4 * float(wind.en1991_peak_pressure_pa(speed, 8))
    )


@given(HEIGHTS, HEIGHTS)
def test_higher_is_never_calmer(one: float, other: float) -> None:
    low, high = sorted((one, other))
    for exposure in wind.ASCE7_EXPOSURES:
        assert wind.asce7_exposure_factor(high, exposure) >= wind.asce7_exposure_factor(low, exposure)
    for terrain in wind.EN1991_TERRAINS:
        assert wind.en1991_peak_pressure_pa(25, high, terrain) >= wind.en1991_peak_pressure_pa(25, low, terrain)


@given(HEIGHTS)
def test_open_country_is_windier_than_town(height: float) -> None:
    factors = [float(wind.asce7_exposure_factor(height, exposure)) for exposure in ("B", "C", "D")]
    assert factors == sorted(factors)
    pressures = [float(wind.en1991_peak_pressure_pa(25, height, terrain)) for terrain in ("IV", "III", "II", "I", "0")]
    assert pressures == sorted(pressures)


@pytest.mark.parametrize(("terrain", "least_m"), [("II", 2), ("IV", 10)])
def test_below_the_least_height_the_pressure_stays(terrain: str, least_m: float) -> None:
    assert wind.en1991_peak_pressure_pa(25, 0, terrain) == wind.en1991_peak_pressure_pa(25, least_m, terrain)


@given(st.floats(0, 2), st.floats(0, 2), st.floats(-180, 180))
def test_slanted_area_lies_between_front_and_side(front: float, side: float, angle: float) -> None:
    found = float(wind.slanted_area_m2(front, side, angle))
    assert min(front, side) - 1e-12 <= found <= max(front, side) + 1e-12
    assert float(wind.slanted_area_m2(front, side, 0)) == pytest.approx(front)
    assert float(wind.slanted_area_m2(front, side, 90)) == pytest.approx(side, abs=1e-12)


@pytest.mark.parametrize(
    ("function", "match"),
    [
        (lambda: wind.asce7_exposure_factor(6, "A"), "B, C or D"),
        (lambda: wind.en1991_turbulence(6, "V"), "0, I, II, III, IV"),
        (lambda: wind.en1991_peak_pressure_pa(25, 6, "C"), "0, I, II, III, IV"),
    ],
)
def test_ground_of_the_other_code_is_refused(function: object, match: str) -> None:
    with pytest.raises(UnknownNameError, match=match):
        function()  # type: ignore[operator]


@pytest.mark.parametrize(
    "value",
    [
        wind.asce7_exposure_factor(-1),
        wind.asce7_exposure_factor(300),
        wind.asce7_velocity_pressure_pa(-1),
        wind.asce7_velocity_pressure_pa(45, 0),
        wind.en1991_mean_speed_m_s(25, 201),
        wind.en1991_mean_speed_m_s(25, 6, orography=0),
        wind.en1991_turbulence(math.nan),
        wind.effective_area_m2(-0.1, 1.2),
        wind.effective_area_m2(0.1, 0),
        wind.slanted_area_m2(0.1, 0.1, 0, 1.5),
        wind.wind_force_n(1000, 0.1, 0),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)
