from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics import conductors


@given(st.integers(0, 34))
def test_three_gauges_thicker_is_twice_the_copper_and_six_twice_the_diameter(gauge: int) -> None:
    ohm, thicker = conductors.conductor_ohm_per_km([gauge + 3, gauge])
    assert ohm / thicker == pytest.approx(2.0, rel=0.01)
    assert conductors.conductor_diameter_mm(gauge) / conductors.conductor_diameter_mm(gauge + 6) == pytest.approx(
        2.005, rel=0.001
    )


@given(st.floats(1, 200), st.floats(0.001, 300))
def test_wirings_stand_one_to_half_to_two(per_km: float, length: float) -> None:
    two, four, wires = (float(conductors.loop_resistance_ohm(per_km, length, w)) for w in conductors.WIRINGS)
    assert four == pytest.approx(two / 2)
    assert wires == pytest.approx(two * 2)
    # Two pairs: two conductors in parallel out, two back.
    out = 1 / (2 / (per_km * length / 1000))
    assert two == pytest.approx(2 * out)


def test_runs_of_different_wiring_are_computed_together() -> None:
    found = conductors.loop_resistance_ohm(100.0, [10, 20, 30], ["two-pair", "four-pair", "two-wire"], [0.1, 0.2, 0.0])
    np.testing.assert_allclose(found, [1.1, 1.2, 6.0])


@pytest.mark.parametrize("wiring", ["three-pair", ["two-pair", "TWO-PAIR"]])
def test_unknown_wiring_is_refused_with_the_known_ones(wiring: object) -> None:
    with pytest.raises(UnknownNameError, match="two-pair, four-pair, two-wire"):
        conductors.loop_resistance_ohm(90, 10, wiring)  # type: ignore[arg-type]


@given(st.floats(-40, 90), st.floats(-40, 90))
def test_resistance_rises_in_a_straight_line(first: float, second: float) -> None:
    middle = conductors.resistance_at_temperature_ohm(84.21, (first + second) / 2)
    ends = conductors.resistance_at_temperature_ohm(84.21, [first, second])
    assert float(middle) == pytest.approx(float(ends.mean()), rel=1e-12)


@pytest.mark.parametrize(
    "value",
    [
        conductors.conductor_ohm_per_km(-1),
        conductors.conductor_ohm_per_km(41),
        conductors.resistance_at_temperature_ohm(-1, 20),
        conductors.resistance_at_temperature_ohm(1, -300),
        conductors.loop_resistance_ohm(-90, 10),
        conductors.loop_resistance_ohm(90, -10),
        conductors.loop_resistance_ohm(90, 10, extra_ohm=-0.1),
        conductors.loop_resistance_ohm(90, math.nan),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)
