from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.patterns import (
    dish_beamwidth_deg,
    dish_beamwidth_from_gain_deg,
    dish_wavelengths,
    envelope_gain_dbi,
)

gains = st.floats(14.1, 50.0)
angles = st.floats(0.0, 180.0)


@given(gains)
def test_envelope_gain_on_the_axis_is_the_peak(gain: float) -> None:
    assert float(envelope_gain_dbi(gain, 0.0)) == gain


@given(gains, angles, angles)
def test_envelope_gain_falls_outward_but_for_the_published_step(gain: float, first: float, second: float) -> None:
    near, far = sorted((first, second))
    inner, outer = envelope_gain_dbi(gain, [near, far])
    assert outer <= inner + 0.04


@given(gains, angles)
def test_envelope_gain_is_alike_on_both_sides(gain: float, angle: float) -> None:
    right, left = envelope_gain_dbi(gain, [angle, -angle])
    assert right == left


@given(gains, angles)
def test_envelope_gain_is_never_below_the_level_behind(gain: float, angle: float) -> None:
    assert float(envelope_gain_dbi(gain, angle)) >= float(envelope_gain_dbi(gain, 180.0)) - 0.04


def test_envelope_gain_of_an_antenna_too_small_for_the_method_is_nan() -> None:
    assert np.isnan(envelope_gain_dbi([14.0, 14.1], 10.0)).tolist() == [True, False]


def test_envelope_gain_of_a_large_dish_ends_at_minus_10_dbi() -> None:
    assert envelope_gain_dbi(50.0, [48.0, 90.0, 180.0], 150.0).tolist() == [-10.0, -10.0, -10.0]


@pytest.mark.parametrize(
    "values",
    [
        (np.nan, 1.0, 10.0),
        (25.0, np.nan, 10.0),
        (25.0, 1.0, np.nan),
        (25.0, 181.0, 10.0),
        (25.0, 1.0, 2.0),
        (10.0, 1.0, 60.0),
    ],
)
def test_envelope_gain_outside_its_range_is_nan(values: tuple[float, float, float]) -> None:
    assert np.isnan(envelope_gain_dbi(*values))


@given(gains)
def test_dish_beamwidths_from_size_and_gain_agree_within_a_few_per_cent(gain: float) -> None:
    from_size = dish_beamwidth_deg(dish_wavelengths(gain))
    assert float(from_size) == pytest.approx(float(dish_beamwidth_from_gain_deg(gain)), rel=0.02)


def test_dish_beamwidth_of_no_dish_is_nan() -> None:
    assert np.isnan(dish_beamwidth_deg([0.0, -1.0, np.nan])).all()


def test_envelope_gain_broadcasts() -> None:
    assert envelope_gain_dbi(np.full((4, 1), 25.0), np.linspace(-90.0, 90.0, 7)).shape == (4, 7)
