from __future__ import annotations

import numpy as np
import pytest

from survey_app.physics.arrays import float_array, nan_unless


def test_float_array_of_a_backward_view_lies_forward_in_memory() -> None:
    backward = np.arange(5.0)[::-1]
    got = float_array(backward)
    assert got.flags.c_contiguous
    np.testing.assert_array_equal(got, backward)


def test_float_array_of_a_lone_number_stays_without_axes() -> None:
    assert float_array(3).shape == ()


def test_float_array_of_whole_numbers_is_float64() -> None:
    assert float_array([1, 2]).dtype == np.float64


def test_float_array_of_none_is_nan() -> None:
    assert np.isnan(float_array([None, 1.0])).tolist() == [True, False]


@pytest.mark.parametrize("wrong", ["five", [1.0, "x"], 1j, object()])
def test_float_array_of_something_else_raises(wrong: object) -> None:
    with pytest.raises((ValueError, TypeError)):
        float_array(wrong)  # type: ignore[arg-type]


def test_nan_unless_keeps_only_what_holds() -> None:
    got = nan_unless(np.array([True, False, True]), np.array([1.0, 2.0, np.nan]))
    np.testing.assert_array_equal(got, [1.0, np.nan, np.nan])
