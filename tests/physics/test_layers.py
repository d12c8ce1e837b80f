from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics.layers import Polarisation, slab, slab_loss_db, stack, transmission_loss_db
from survey_app.physics.material import AIR, complex_permittivity, conductivity_s_per_m, material, material_names

polarisations = st.sampled_from(["te", "tm"])
angles = st.floats(0.0, 89.5)
frequencies = st.floats(1_000.0, 40_000.0)
permittivities = st.builds(complex, st.floats(1.0, 12.0), st.floats(-8.0, 0.0))
layers = st.lists(st.tuples(permittivities, st.floats(0.0, 0.4)), min_size=1, max_size=6)


def _stack(rows: list[tuple[complex, float]], *more: float | str) -> tuple[complex, complex]:
    wave = stack([row[0] for row in rows], [row[1] for row in rows], *more)  # type: ignore[arg-type]
    return complex(wave.reflection), complex(wave.transmission)


@given(permittivities, st.floats(0.0, 0.5), frequencies, angles, polarisations)
def test_one_layer_as_a_stack_is_the_slab(
    eta: complex, thickness_m: float, frequency_mhz: float, angle_deg: float, polarisation: Polarisation
) -> None:
    one = slab(eta, thickness_m, frequency_mhz, angle_deg, polarisation)
    reflection, transmission = _stack([(eta, thickness_m)], frequency_mhz, angle_deg, polarisation)
    assert reflection == pytest.approx(complex(one.reflection), abs=1e-9)
    assert transmission == pytest.approx(complex(one.transmission), abs=1e-9)


@given(layers, frequencies, angles, polarisations)
def test_no_wall_gives_more_than_it_gets(
    rows: list[tuple[complex, float]], frequency_mhz: float, angle_deg: float, polarisation: Polarisation
) -> None:
    reflection, transmission = _stack(rows, frequency_mhz, angle_deg, polarisation)
    assert abs(reflection) ** 2 + abs(transmission) ** 2 <= 1.0 + 1e-9


@given(layers, frequencies, angles, polarisations)
def test_a_lossless_wall_keeps_nothing(
    rows: list[tuple[complex, float]], frequency_mhz: float, angle_deg: float, polarisation: Polarisation
) -> None:
    lossless = [(complex(eta.real, 0.0), thickness_m) for eta, thickness_m in rows]
    wave = stack([row[0] for row in lossless], [row[1] for row in lossless], frequency_mhz, angle_deg, polarisation)
    assert float(wave.absorbed_fraction) == pytest.approx(0.0, abs=1e-9)


@given(layers, frequencies, angles, polarisations)
def test_a_wall_lets_as_much_out_as_in(
    rows: list[tuple[complex, float]], frequency_mhz: float, angle_deg: float, polarisation: Polarisation
) -> None:
    _, there = _stack(rows, frequency_mhz, angle_deg, polarisation)
    _, back = _stack(rows[::-1], frequency_mhz, angle_deg, polarisation)
    assert there == pytest.approx(back, rel=1e-9, abs=1e-12)


@given(layers, frequencies)
def test_square_to_the_wall_the_polarisations_are_one(rows: list[tuple[complex, float]], frequency_mhz: float) -> None:
    te, tm = (_stack(rows, frequency_mhz, 0.0, polarisation)[1] for polarisation in ("te", "tm"))
    assert te == pytest.approx(tm, abs=1e-9)


@given(permittivities, frequencies, angles, polarisations)
def test_a_layer_without_thickness_is_not_there(
    eta: complex, frequency_mhz: float, angle_deg: float, polarisation: Polarisation
) -> None:
    assert float(slab_loss_db(eta, 0.0, frequency_mhz, angle_deg, polarisation)) == pytest.approx(0.0, abs=1e-9)
    with_air = _stack([(eta, 0.0), (1 + 0j, 0.3)], frequency_mhz, angle_deg, polarisation)
    assert abs(with_air[1]) == pytest.approx(1.0, abs=1e-9)


@given(permittivities, st.floats(0.0, 0.1), st.floats(0.0, 0.1), frequencies, angles, polarisations)
def test_two_layers_of_one_matter_are_one_layer(
    eta: complex, first_m: float, second_m: float, frequency_mhz: float, angle_deg: float, polarisation: Polarisation
) -> None:
    two = _stack([(eta, first_m), (eta, second_m)], frequency_mhz, angle_deg, polarisation)
    one = _stack([(eta, first_m + second_m)], frequency_mhz, angle_deg, polarisation)
    assert two == pytest.approx(one, abs=1e-9)


def test_slab_at_the_angle_without_reflection_only_absorbs() -> None:
    # the angle of Brewster: tan = root of the permittivity
    wave = slab(6.25, 0.01, 5500, float(np.rad2deg(np.arctan(2.5))), "tm")
    assert abs(complex(wave.reflection)) < 1e-9
    assert abs(complex(slab(6.25, 0.01, 5500, float(np.rad2deg(np.arctan(2.5))), "te").reflection)) > 0.1


def test_metal_lets_nothing_through_and_says_so_without_overflow() -> None:
    metal = complex_permittivity(material("metal"), 5500)
    assert float(slab_loss_db(metal, 0.001, 5500)) == np.inf
    wave = stack([metal, 1.0, metal], [0.001, 0.05, 0.001], 5500, 30.0, "tm")
    assert float(transmission_loss_db(wave)) == np.inf
    assert abs(complex(wave.reflection)) == pytest.approx(1.0, abs=0.01)


def test_slab_loss_ripples_with_thickness() -> None:
    # half a wavelength in the glass reflects nothing, a quarter reflects most
    half_m = 299_792_458.0 / 5.5e9 / 2.0 / np.sqrt(6.31)
    half, quarter = slab_loss_db(6.31, [half_m, half_m / 2.0], 5500)
    assert half == pytest.approx(0.0, abs=1e-9)
    assert quarter > 2.5


def test_outside_the_domain_is_nan() -> None:
    eta = 4.0 - 0.1j
    bad = [
        slab_loss_db(eta, 0.1, 5500, 90.0),
        slab_loss_db(eta, 0.1, 5500, -1.0),
        slab_loss_db(eta, -0.1, 5500),
        slab_loss_db(eta, np.inf, 5500),
        slab_loss_db(eta, 0.1, 0.0),
        slab_loss_db(eta, 0.1, np.nan),
        slab_loss_db(4.0 + 0.1j, 0.1, 5500),
        slab_loss_db(complex(np.nan, 0.0), 0.1, 5500),
        transmission_loss_db(stack([eta, complex(np.nan, 0)], [0.1, 0.1], 5500)),
    ]
    assert np.isnan(bad).all()


def test_wrong_arguments_are_refused() -> None:
    with pytest.raises(ValueError, match="polarisation"):
        slab(4.0, 0.1, 5500, 0.0, "both")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="no layer"):
        stack([], [], 5500)
    with pytest.raises(ValueError, match="no layer"):
        stack(4.0, 0.1, 5500)
    with pytest.raises(UnknownNameError, match="concrete"):
        material("cheese")


def test_material_beyond_its_row_is_nan() -> None:
    assert np.isnan(complex_permittivity(material("brick"), [999.0, 40_001.0, np.nan, -1.0])).all()
    assert np.isfinite(complex_permittivity(material("brick"), [1_000.0, 40_000.0])).all()
    # floorboard is tabled for 60 GHz only
    assert np.isnan(conductivity_s_per_m(material("floorboard"), 5500))


def test_material_conducts_as_much_more_as_it_is_told() -> None:
    dry, wet = conductivity_s_per_m(material("brick"), 5500, [1.0, 2.0])
    assert wet == pytest.approx(2.0 * dry)
    assert np.isnan(conductivity_s_per_m(material("brick"), 5500, 0.0))


def test_every_material_swallows_and_none_gives() -> None:
    for name in material_names():
        eta = complex_permittivity(material(name), 60_000.0)
        assert np.isnan(eta) or eta.imag <= 0.0, name
    assert complex(complex_permittivity(AIR, 5500)) == 1.0
