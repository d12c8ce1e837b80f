from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics import exposure


@given(st.floats(0, 60), st.floats(0.1, 100), st.floats(1, 2.56))
def test_density_at_the_distance_is_the_limit(eirp: float, limit: float, factor: float) -> None:
    distance = exposure.exposure_distance_m(eirp, limit, factor)
    assert float(exposure.power_density_w_m2(eirp, distance, factor)) == pytest.approx(limit, rel=1e-9)


@given(st.floats(0, 60))
def test_twenty_decibels_are_ten_times_the_distance(eirp: float) -> None:
    near, far = exposure.exposure_distance_m([eirp, eirp + 20], 10)
    assert float(far / near) == pytest.approx(10, rel=1e-9)


@given(st.floats(0, 60), st.floats(0, 5))
def test_keep_out_is_never_less_than_any_of_its_three(eirp: float, manual: float) -> None:
    found = float(exposure.keep_out_m(eirp, 10, manual_m=manual))
    assert found >= exposure.LEAST_DISTANCE_M
    assert found >= manual
    assert found >= float(exposure.exposure_distance_m(eirp, 10, exposure.GROUND_REFLECTION_FACTOR))


def test_ground_reflection_is_four_decibels() -> None:
    assert 10 * math.log10(exposure.GROUND_REFLECTION_FACTOR) == pytest.approx(20 * math.log10(1.6), abs=1e-12)


@pytest.mark.parametrize(
    "value",
    [
        exposure.exposure_distance_m(math.nan, 10),
        exposure.exposure_distance_m(36, 0),
        exposure.exposure_distance_m(36, 10, 0.5),
        exposure.power_density_w_m2(36, 0),
        exposure.keep_out_m(math.nan, 10),
        exposure.keep_out_m(36, 10, manual_m=-1),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)
