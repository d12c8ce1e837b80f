from __future__ import annotations

import math

import numpy as np
import pytest

from survey_app.errors import UnknownNameError
from survey_app.physics import latency


def test_load_decides_between_light_and_loaded_under_contention_only() -> None:
    contended = latency.typical_latency_ms("contention", [0.2, 0.7, 0.71, 1.0, 1.01, math.nan, -0.1])
    np.testing.assert_array_equal(contended[:4], [[0.5, 2], [0.5, 2], [5, 30], [5, 30]])
    assert np.isinf(contended[4]).all()
    assert np.isnan(contended[5:]).all()
    np.testing.assert_array_equal(latency.typical_latency_ms("polled", [0.2, 0.9]), [[2, 6], [2, 6]])


def test_bound_is_a_cycle_for_each_repeat_beyond_the_mean() -> None:
    assert float(latency.polling_bound_ms(5, 1)) == 6.0
    assert float(latency.polling_bound_ms(5, 1, 2)) == 16.0
    assert latency.polling_bound_ms(5, 1) > latency.polling_latency_ms(5, 1)


def test_negative_times_are_nan() -> None:
    assert math.isnan(latency.polling_latency_ms(-5, 1))
    assert math.isnan(latency.polling_bound_ms(5, 1, -1))


def test_unknown_access_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="contention or polled"):
        latency.typical_latency_ms("token", 0.5)
