"""Reflection and multipath against the outside: worked values, other published formulas, an independent library.

Sources: P530 (P.530-17), P2040 (P.2040-3), MEISSNER (2004). Marks as in test_propagation.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest

from survey_app.physics.layers import slab
from survey_app.physics.multipath import (
    detailed_occurrence_percent,
    multipath_exceeded_percent,
    quick_occurrence_percent,
)
from survey_app.physics.reflection import reflected_ray, reflection_coefficient
from survey_app.physics.surface import surface_permittivity, water_permittivity


def test_detour_by_a_mirror_has_the_worked_length() -> None:
    """D: image geometry, two masts of 10 m, 300 m apart."""
    assert float(reflected_ray(10, 10, 300).difference_m) == pytest.approx(0.66593, abs=1e-5)


@pytest.mark.parametrize("name", ["fresh water", "sea water", "wet ground", "medium dry ground", "concrete"])
@pytest.mark.parametrize("frequency_mhz", [2_450.0, 5_500.0, 9_900.0])
def test_surface_throws_back_what_a_slab_without_end_does(name: str, frequency_mhz: float) -> None:
    """P2040: a bare surface by its own formula, against the formula of section 2.2.2.2 for a slab of a kilometre."""
    grazing_deg = np.linspace(0.5, 90.0, 80)
    permittivity = surface_permittivity(name, frequency_mhz)
    for ours, theirs in (("horizontal", "te"), ("vertical", "tm")):
        wave = slab(permittivity, 1_000.0, frequency_mhz, 90.0 - grazing_deg, theirs)  # type: ignore[arg-type]
        found = reflection_coefficient(permittivity, grazing_deg, ours)
        np.testing.assert_allclose(np.abs(found), np.abs(wave.reflection), atol=1e-9)


@pytest.mark.parametrize("permittivity", [3.0, 5.24, 15.0, 80.0])
def test_upright_waves_pass_at_brewsters_angle(permittivity: float) -> None:
    """D: the tangent of the angle from the surface is one over the root of the permittivity; no source needed."""
    brewster_deg = np.rad2deg(np.arctan(1.0 / np.sqrt(permittivity)))
    assert abs(reflection_coefficient(permittivity, brewster_deg, "vertical")) < 1e-12


@pytest.mark.parametrize(
    ("name", "real", "imaginary"),
    [
        ("wet ground", 30.0 * 5.5**-0.4, 17.975 * 0.15 * 5.5**0.30),
        ("medium dry ground", 15.0 * 5.5**-0.1, 17.975 * 0.035 * 5.5**0.63),
        ("very dry ground", 3.0, 17.975 * 0.00015 * 5.5**1.52),
        ("concrete", 5.24, 17.98 * 0.0462 * 5.5**-0.2178),
    ],
)
def test_ground_has_the_permittivity_of_its_row(name: str, real: float, imaginary: float) -> None:
    """P: P2040, P.2040-3 Table 3, at 5.5 GHz, two transcriptions."""
    found = surface_permittivity(name, 5500)
    assert float(found.real) == pytest.approx(real, rel=1e-6)
    assert float(-found.imag) == pytest.approx(imaginary, rel=1e-4)


def test_sea_water_conducts_as_standard_sea_water_does() -> None:
    """M: the practical salinity scale of 1978 has 4.2914 S/m at 35 g/kg and 15 deg C; MEISSNER takes it over."""
    at_low_mhz = 1.0
    found = water_permittivity(at_low_mhz, 15.0, 35.0)
    assert float(-found.imag) * at_low_mhz / 1000.0 / 17.9751 == pytest.approx(4.2914, abs=2e-4)


def test_fresh_water_lies_along_another_published_model() -> None:
    """M: two relaxations as in ITU-R P.840 for droplets, fitted apart from MEISSNER's; both within a few per cent."""
    f_ghz, t = np.meshgrid([2.4, 5.5, 10.0, 24.0, 60.0], [2.0, 10.0, 20.0, 28.0])
    heat = 300.0 / (t + 273.15) - 1.0
    at_rest, fast = 77.66 + 103.3 * heat, 3.52
    between = 0.0671 * at_rest
    slow_ghz = 20.20 - 146.0 * heat + 316.0 * heat * heat
    other = (at_rest - between) / (1 + 1j * f_ghz / slow_ghz) + (between - fast) / (1 + 1j * f_ghz / (39.8 * slow_ghz))
    found = water_permittivity(f_ghz * 1000.0, t, 0.0)
    assert np.abs(found / (other + fast) - 1.0).max() < 0.05


# Multipath, P530 section 2.3 -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("fade_db", "percent"), [(5, 0.2600198388), (10, 0.01387262194), (30, 5e-5)])
def test_all_fades_have_the_worked_share(fade_db: float, percent: float) -> None:
    """D: P530 section 2.3.2 for an occurrence of 0.05 %, with the bracket of public code that follows -18."""
    assert float(multipath_exceeded_percent(fade_db, 0.05)) == pytest.approx(percent, rel=0.005)


def test_detailed_method_has_the_worked_share() -> None:
    """L: itur 0.4.0 at 51.5 N 0.1 W, 10 km, 120 and 80 m, 20 dB."""
    occurrence = detailed_occurrence_percent(10_000, 5800, 120, 80, -122.0659, 40.16)
    assert float(multipath_exceeded_percent(40.0, occurrence)) == pytest.approx(0.0002384606193 / 100.0, rel=0.005)


def test_hops_below_five_kilometres_have_no_share() -> None:
    """P530 (-18 as quoted): the rows of 1 and 3 km, 8.2e-8 and 7.9e-6 %, are outside; so near nothing that 0 may stand."""
    assert np.isnan(detailed_occurrence_percent([1_000, 3_000], 5800, 60, 55, -122.0659, 40.16)).all()


def test_quick_method_scales_to_its_worked_row() -> None:
    """M for the coefficients: 2.700030188e-05 % at 3 km for 20 dB, carried to 6 km with the same inclination."""
    occurrence = float(quick_occurrence_percent(6_000, 5800, 60 + 5, 55, -200))
    expected = 2.700030188e-05 * 100.0 * 2.0**3.1
    assert occurrence == pytest.approx(expected, rel=0.005)


@pytest.fixture(scope="module")
def itur() -> Iterator[Any]:
    """Independent implementation of P530, with its own maps of gradient and roughness."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import itur.models.itu453
        import itur.models.itu530

        itur.models.itu530.change_version(17)
        yield itur


def test_detailed_method_over_ranges_is_that_of_an_independent_library(itur: Any) -> None:
    """L: itur 0.4.0, deep fades; below the transition it misplaces a bracket and is not asked."""
    place = (np.array(51.5), np.array(359.9))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        gradient = float(np.asarray(itur.models.itu453.DN65(*place, 1).value).ravel()[0])
        rough_m = float(np.asarray(itur.models.itu530._ITU530_17_.s_a(*place)).ravel()[0])
        for distance_km, h1_m, h2_m, f_ghz, fade_db in [
            (5, 30, 30, 5.5, 40),
            (8, 60, 35, 5.8, 35),
            (20, 200, 120, 24, 50),
            (40, 300, 250, 11, 45),
        ]:
            expected = itur.models.itu530.multipath_loss_for_A(
                51.5, -0.1, h1_m, h2_m, distance_km, f_ghz, fade_db
            ).value
            occurrence = detailed_occurrence_percent(distance_km * 1000, f_ghz * 1000, h1_m, h2_m, gradient, rough_m)
            found = float(multipath_exceeded_percent(fade_db, occurrence))
            assert found == pytest.approx(float(expected), rel=1e-9)
