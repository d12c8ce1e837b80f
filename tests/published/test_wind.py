"""Wind, mast and acceptance window against the outside world.

Each row says where its expectation comes from:

* P: printed in the source, or in a copy of its text that is named
* D: worked out by hand from the source's formula
* C: common practice, no source
"""

from __future__ import annotations

import numpy as np
import pytest

from survey_app.physics import mast, wind, window

# D: 0.613 V^2 (ASCE7, 7-16, 26.10-1) and 0.5 x 1.25 v^2 (EN1991, 2005, 4.10), the second seen in a printed worked sheet
PRESSURES = [
    (25, 383.1, 390.6),
    (30, 551.7, 562.5),
    (35, 750.9, 765.6),
    (40, 980.8, 1000.0),
    (45, 1241.3, 1265.6),
    (50, 1532.5, 1562.5),
    (55, 1854.3, 1890.6),
    (60, 2206.8, 2250.0),
]


@pytest.mark.parametrize(("speed_m_s", "asce_pa", "en_pa"), PRESSURES)
def test_two_codes_give_two_pressures_for_one_number(speed_m_s: float, asce_pa: float, en_pa: float) -> None:
    assert float(wind.asce7_velocity_pressure_pa(speed_m_s)) == pytest.approx(asce_pa, abs=0.06)
    mean = wind.en1991_mean_speed_m_s(speed_m_s, 10)
    gust = 1.0 + 7.0 * wind.en1991_turbulence(10)
    # The peak pressure less gust and height factor is the basic pressure.
    basic = wind.en1991_peak_pressure_pa(speed_m_s, 10) / gust * (speed_m_s / mean) ** 2
    assert float(basic) == pytest.approx(en_pa, abs=0.06)


@pytest.mark.parametrize(
    ("feet", "expected_b", "expected_c"),
    [
        (15, 0.58, 0.85),
        (20, None, 0.90),
        (25, None, 0.94),
        (30, 0.70, 0.98),
        (40, 0.76, 1.04),
        (50, 0.81, 1.09),
    ],
)
def test_exposure_factor_matches_the_printed_table(feet: float, expected_b: float | None, expected_c: float) -> None:
    """P: ASCE7, to 7-16, exposure C column in a public code table; exposure B D from the formula of public pages."""
    assert float(wind.asce7_exposure_factor(feet * 0.3048, "C")) == pytest.approx(expected_c, abs=0.006)
    if expected_b is not None:
        assert float(wind.asce7_exposure_factor(feet * 0.3048, "B")) == pytest.approx(expected_b, abs=0.006)


def test_eurocode_example_of_a_printed_sheet() -> None:
    """P: EN1991, 2005, worked sheet: vb 25 m/s, 77.36 m, z0 0.003: vm 39.624, Iv 0.098, qp 1.658 kPa."""
    assert float(wind.en1991_mean_speed_m_s(25, 77.36, "0")) == pytest.approx(39.624, abs=0.005)
    assert float(wind.en1991_turbulence(77.36, "0")) == pytest.approx(0.098, abs=0.0006)
    assert float(wind.en1991_peak_pressure_pa(25, 77.36, "0")) == pytest.approx(1658, abs=2)


@pytest.mark.parametrize(("height_m", "expected_pa"), [(10, 918.9), (6, 795.8)])
def test_eurocode_peak_pressure_in_open_country(height_m: float, expected_pa: float) -> None:
    """D: EN1991, 2005, 4.3 to 4.5, terrain II, vb 25 m/s."""
    assert float(wind.en1991_peak_pressure_pa(25, height_m)) == pytest.approx(expected_pa, abs=0.1)


@pytest.mark.parametrize(
    ("terrain", "roughness_m", "least_m"),
    [("0", 0.003, 1), ("I", 0.01, 1), ("II", 0.05, 2), ("III", 0.3, 5), ("IV", 1.0, 10)],
)
def test_terrains_of_the_eurocode(terrain: str, roughness_m: float, least_m: float) -> None:
    """P: EN1991, 2005, table 4.1, on two public pages."""
    assert wind.EN1991_TERRAINS[terrain] == (roughness_m, least_m)


def test_pole_example_of_a_printed_sheet() -> None:
    """P: TIA222, revision G, worked sheet: Kz 1.09, Kd 0.95, 44.44 m/s: 1254 Pa; Gh 1.1, 0.108 m2/m: 150 N/m."""
    pressure = wind.asce7_velocity_pressure_pa(44.44, 1.09, direction_factor=0.95)
    assert float(pressure) == pytest.approx(1254, abs=1)
    assert float(wind.wind_force_n(pressure, 0.108, 1.1)) == pytest.approx(150, abs=1.5)
    second = wind.asce7_velocity_pressure_pa(44.44, 0.70, direction_factor=0.85)
    assert float(second) == pytest.approx(720.46, abs=0.3)


@pytest.mark.parametrize(
    ("area_m2", "drag", "effective_m2", "force_n", "moment_nm"),
    [
        pytest.param(0.09, 1.2, 0.108, 108.3, 650, id="plate-0.30"),
        pytest.param(0.16, 1.2, 0.192, 192.5, 1155, id="plate-0.40"),
        pytest.param(0.2827, 1.3, 0.3676, 368.4, 2211, id="dish-0.60"),
    ],
)
def test_force_and_moment_of_what_hangs_on_a_mast(
    area_m2: float, drag: float, effective_m2: float, force_n: float, moment_nm: float
) -> None:
    """D: ASCE7, 7-16: 45 m/s, Kz 0.85, Kd 0.95: 1002.4 Pa; drag C; 6 m."""
    pressure = wind.asce7_velocity_pressure_pa(45, 0.85, direction_factor=0.95)
    assert float(pressure) == pytest.approx(1002.4, abs=0.05)
    effective = wind.effective_area_m2(area_m2, drag)
    assert float(effective) == pytest.approx(effective_m2, abs=0.0005)
    force = wind.wind_force_n(pressure, effective)
    assert float(force) == pytest.approx(force_n, rel=0.001)
    assert float(mast.free_mast_moment_nm(force, 0.0, 6)) == pytest.approx(moment_nm, rel=0.001)


def test_bare_mast_loads_its_own_foot() -> None:
    """D: 60.3 mm x 6 m, drag 1.2, 1002.4 Pa: 435.2 N, arm 3 m: 1306 N m."""
    line_load = float(wind.wind_force_n(1002.4, wind.effective_area_m2(0.0603, 1.2)))
    assert line_load * 6 == pytest.approx(435.2, abs=0.1)
    assert float(mast.free_mast_moment_nm(0.0, line_load, 6)) == pytest.approx(1306, abs=0.5)


@pytest.mark.parametrize(
    ("outside_mm", "wall_mm", "modulus_cm3", "yield_nm"),
    [
        (33.7, 2.6, 1.835, 431),
        (42.4, 3.2, 3.594, 845),
        (48.3, 3.2, 4.797, 1127),
        (60.3, 3.6, 8.582, 2017),
        (88.9, 5.49, 28.268, 6643),
        (114.3, 6.02, 52.678, 12379),
    ],
)
def test_tubes_yield_where_hand_computation_says(
    outside_mm: float, wall_mm: float, modulus_cm3: float, yield_nm: float
) -> None:
    """D: pi (D^4 - d^4) / (32 D), 235 MPa."""
    assert float(mast.tube_section_modulus_m3(outside_mm, wall_mm)) * 1e6 == pytest.approx(modulus_cm3, abs=0.001)
    assert float(mast.yield_moment_nm(outside_mm, wall_mm)) == pytest.approx(yield_nm, abs=0.6)


def test_free_mast_with_one_plate_is_at_97_percent_of_first_yield() -> None:
    """D: 650 + 1306 over 2017; with the 0.60 m dish past it."""
    plate = mast.free_mast_moment_nm(108.3, 72.53, 6) / mast.yield_moment_nm(60.3, 3.6)
    dish = mast.free_mast_moment_nm(368.4, 72.53, 6) / mast.yield_moment_nm(60.3, 3.6)
    assert float(plate) == pytest.approx(0.97, abs=0.005)
    assert float(dish) > 1


def test_head_of_that_mast_turns_almost_a_degree_at_20_m_s() -> None:
    """D: 0.613 x 0.85 x 0.95 x 20^2 = 198.0 Pa, E I 54 335 N m2: 0.95 deg."""
    pressure = wind.asce7_velocity_pressure_pa(20, 0.85, direction_factor=0.95)
    assert float(pressure) == pytest.approx(198.0, abs=0.05)
    stiffness = mast.STEEL_MODULUS_PA * mast.tube_second_moment_m4(60.3, 3.6)
    assert float(stiffness) == pytest.approx(54_335, abs=1)
    line_load = wind.wind_force_n(pressure, wind.effective_area_m2(0.0603, 1.2))
    turn = mast.head_turn_deg(wind.wind_force_n(pressure, 0.108), line_load, 6, stiffness)
    assert float(turn) == pytest.approx(0.95, abs=0.005)


def test_head_turn_agrees_with_integrated_curvature() -> None:
    """Slope at the head is the integral of M / (E I) along the mast: trapezoids against the closed form."""
    from scipy.integrate import trapezoid  # slow to import

    height = np.linspace(0.0, 6.0, 20_001)
    moment = 21.38 * (6 - height) + 14.33 * (6 - height) ** 2 / 2
    expected = np.rad2deg(trapezoid(moment, height) / 54_335)
    assert float(mast.head_turn_deg(21.38, 14.33, 6, 54_335)) == pytest.approx(expected, rel=1e-8)


# ---- acceptance


def test_acceptance_window_of_practice() -> None:
    """C: PRACTICE: expected -57: accept -60 to -54; to 6 dB low; to 10 dB not accepted; beyond, another path."""
    limits = window.acceptance_window(-57.0)
    assert float(limits.good_low_dbm) == -60.0
    assert float(limits.good_high_dbm) == -54.0
    assert float(limits.low_dbm) == -63.0
    assert float(limits.wrong_dbm) == -67.0
    readings = [-56.0, -61.0, -65.0, -70.3, -53.0]
    expected = ["good", "low", "not accepted", "wrong path", "too strong"]
    assert window.reading_verdict(readings, limits).tolist() == expected


def test_unit_that_shows_one_chain_shows_three_decibels_less() -> None:
    """C: PRACTICE: -57 combined reads -60 per chain with two chains."""
    assert float(window.expected_reading_dbm(-57.0, "per_chain", 2)) == pytest.approx(-60, abs=0.02)


@pytest.mark.parametrize(("level_dbm", "expected"), [(-57, 4), (-58, 4), (-59, 3), (-71.9, 2), (-79, 1), (-80.1, 0)])
def test_lights_of_a_usual_unit(level_dbm: float, expected: int) -> None:
    """C: PRACTICE: lights at -80, -72, -65 and -58 dBm."""
    assert float(window.lights_expected(level_dbm, (-80, -72, -65, -58))) == expected
