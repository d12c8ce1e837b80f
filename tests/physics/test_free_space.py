from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.free_space import far_field_distance_m, free_space_loss_db, free_space_range_m, wavelength_m

distances = st.floats(1.0, 1e6)
frequencies = st.floats(100.0, 1e5)


@given(distances, frequencies)
def test_free_space_loss_at_double_the_distance_is_six_decibels_more(distance_m: float, frequency_mhz: float) -> None:
    more = free_space_loss_db(2.0 * distance_m, frequency_mhz) - free_space_loss_db(distance_m, frequency_mhz)
    assert float(more) == pytest.approx(6.0206, abs=1e-4)


@given(distances, frequencies)
def test_free_space_loss_at_double_the_frequency_is_six_decibels_more(distance_m: float, frequency_mhz: float) -> None:
    more = free_space_loss_db(distance_m, 2.0 * frequency_mhz) - free_space_loss_db(distance_m, frequency_mhz)
    assert float(more) == pytest.approx(6.0206, abs=1e-4)


@given(distances, frequencies)
def test_free_space_range_takes_the_loss_back(distance_m: float, frequency_mhz: float) -> None:
    loss_db = free_space_loss_db(distance_m, frequency_mhz)
    assert float(free_space_range_m(loss_db, frequency_mhz)) == pytest.approx(distance_m, rel=1e-12)


@pytest.mark.parametrize(
    ("distance_m", "frequency_mhz"),
    [(0.0, 5500.0), (-1.0, 5500.0), (100.0, 0.0), (100.0, -5.0), (np.nan, 5500.0), (100.0, np.nan), (0.001, 5500.0)],
)
def test_free_space_loss_outside_its_range_is_nan(distance_m: float, frequency_mhz: float) -> None:
    assert np.isnan(free_space_loss_db(distance_m, frequency_mhz))


def test_free_space_loss_of_one_bad_element_leaves_the_others() -> None:
    got = free_space_loss_db([100.0, -1.0, 300.0], 5500.0)
    assert np.isnan(got).tolist() == [False, True, False]


def test_free_space_range_of_a_negative_loss_is_nan() -> None:
    assert np.isnan(free_space_range_m([-0.1, np.nan], 5500.0)).all()


def test_free_space_functions_broadcast() -> None:
    assert free_space_loss_db(np.ones((5, 1)), np.full(3, 5500.0)).shape == (5, 3)
    assert free_space_range_m(np.ones((5, 1)), np.full(3, 5500.0)).shape == (5, 3)
    assert far_field_distance_m(np.ones((5, 1)), np.full(3, 5500.0)).shape == (5, 3)


def test_wavelength_outside_its_range_is_nan() -> None:
    assert np.isnan(wavelength_m([0.0, -1.0, np.nan])).all()


def test_far_field_distance_of_a_point_is_nothing_and_of_less_nan() -> None:
    assert float(far_field_distance_m(0.0, 5500.0)) == 0.0
    assert np.isnan(far_field_distance_m([-0.1, np.nan], 5500.0)).all()
