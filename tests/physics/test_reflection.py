"""Reflection: image geometry, what a surface throws back, and the sum of both rays."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics.free_space import wavelength_m
from survey_app.physics.reflection import (
    field_ratio,
    level_change_db,
    reflected_ray,
    reflection_coefficient,
    rough_factor,
    smooth_roughness_m,
)
from survey_app.physics.surface import SURFACES, surface_permittivity, water_permittivity

heights = st.floats(0.5, 60)
lengths = st.floats(20, 4_000)
angles = st.floats(0, 90)
permittivities = st.builds(complex, st.floats(1.5, 90), st.floats(-1e3, 0))


@given(heights, heights, lengths)
def test_reflected_ray_is_the_straight_one_from_the_image(h1_m, h2_m, distance_m):
    ray = reflected_ray(h1_m, h2_m, distance_m)
    assert ray.reflected_m == pytest.approx(np.hypot(distance_m, h1_m + h2_m))
    assert ray.difference_m == pytest.approx(ray.reflected_m - ray.direct_m, abs=1e-9)
    # in and out under the same angle
    slope = np.tan(np.deg2rad(ray.grazing_deg))
    assert h1_m / ray.point_m == pytest.approx(float(slope))
    assert h2_m / (distance_m - ray.point_m) == pytest.approx(float(slope))


@given(heights, heights, lengths, permittivities, st.sampled_from(["horizontal", "vertical"]))
def test_both_directions_have_the_same_ripple(h1_m, h2_m, distance_m, permittivity, polarisation):
    there = field_ratio(h1_m, h2_m, distance_m, 5500, permittivity, polarisation)
    assert there == field_ratio(h2_m, h1_m, distance_m, 5500, permittivity, polarisation)


@given(permittivities, angles, st.sampled_from(["horizontal", "vertical"]))
def test_surface_throws_back_no_more_than_it_gets(permittivity, grazing_deg, polarisation):
    assert abs(reflection_coefficient(permittivity, grazing_deg, polarisation)) <= 1.0 + 1e-12


@given(permittivities)
def test_grazing_and_upright_incidence_are_alike_in_both_polarisations(permittivity):
    for polarisation in ("horizontal", "vertical"):
        assert complex(reflection_coefficient(permittivity, 0.0, polarisation)) == pytest.approx(-1.0)
    across = complex(reflection_coefficient(permittivity, 90.0, "horizontal"))
    along = complex(reflection_coefficient(permittivity, 90.0, "vertical"))
    assert across == pytest.approx(-along)


@given(permittivities, angles)
def test_horizontal_waves_are_thrown_back_more(permittivity, grazing_deg):
    across = abs(reflection_coefficient(permittivity, grazing_deg, "horizontal"))
    assert across >= abs(reflection_coefficient(permittivity, grazing_deg, "vertical")) - 1e-12


def test_rough_surface_leaves_less():
    factor = rough_factor([0.0, 0.02, 0.1, 1.0], 5.0, 5500)
    assert factor[0] == 1.0
    assert (np.diff(factor) < 0).all()
    # at Rayleigh's limit, taken as the standard deviation of a sine of that height, most is left
    limit_m = float(smooth_roughness_m(5.0, 5500))
    assert 0.8 < rough_factor(limit_m / (2.0 * np.sqrt(2.0)), 5.0, 5500) < 1.0
    assert np.isnan(rough_factor(-0.1, 5.0, 5500))
    assert np.isnan(smooth_roughness_m(0.0, 5500))


def test_antennas_that_look_away_from_the_surface_quieten_it():
    full, less = field_ratio(10, 12, 300, 5500, 60 - 30j, "horizontal", reflected_gain_db=[0.0, -20.0])
    assert abs(less) == pytest.approx(abs(full) / 10.0)


def test_level_of_both_rays():
    assert level_change_db([1.0, 0.0, -1.0]).round(6).tolist() == [6.0206, 0.0, -np.inf]
    assert np.isnan(level_change_db(np.nan))


@pytest.mark.parametrize("inputs", [(np.nan, 9, 99), (-1, 9, 99), (9, 9, 0), (9, np.inf, 99)])
def test_geometry_outside_its_range_is_unknown(inputs):
    assert np.isnan(reflected_ray(*inputs).difference_m)
    assert np.isnan(field_ratio(*inputs, 5500, 60 - 30j, "vertical"))


def test_unknown_names_are_refused():
    with pytest.raises(UnknownNameError, match="polarisation"):
        reflection_coefficient(60 - 30j, 5.0, "slant")
    with pytest.raises(UnknownNameError, match="lawn"):
        surface_permittivity("lawn", 5500)


def test_surfaces_lose_and_know_their_range():
    for name in SURFACES:
        found = surface_permittivity(name, [500.0, 5_500.0, 60_000.0, np.nan])
        assert found[1].real >= 1.0
        assert found[1].imag < 0.0
        assert np.isnan(found[3])
        assert np.isnan(found[2]) == ("ground" in name)
        assert np.isnan(found[0]) == ("water" not in name)


def test_water_outside_its_range_is_unknown():
    assert np.isnan(water_permittivity(5500, [-3.0, 31.0], 35.0)).all()
    assert np.isnan(water_permittivity(5500, 15.0, [-1.0, 41.0])).all()
    assert np.isnan(water_permittivity([0.0, 600_000.0], 15.0)).all()


def test_ratio_far_down_a_long_way_keeps_its_phase():
    ray = reflected_ray(30.0, 40.0, 100.0)
    turns = float(ray.difference_m / wavelength_m(60_000))
    assert turns > 1000
    ratio = complex(field_ratio(30.0, 40.0, 100.0, 60_000, 1e12 - 1e12j, "horizontal"))
    assert np.angle(-ratio) == pytest.approx(np.angle(np.exp(-2j * np.pi * turns)), abs=1e-5)
