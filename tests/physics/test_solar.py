from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics import solar

SHARES = st.floats(0.1, 1.0)


@given(st.floats(1, 5000), st.floats(0.1, 10), SHARES, SHARES)
def test_battery_for_some_days_lasts_those_days(energy: float, days: float, usable: float, efficiency: float) -> None:
    capacity = solar.battery_wh(energy, days, usable, efficiency)
    assert float(solar.autonomy_days(capacity, energy, usable, efficiency)) == pytest.approx(days)
    minutes = float(solar.backup_minutes(capacity, energy / 24, usable, efficiency))
    assert minutes == pytest.approx(days * 24 * 60)


@given(st.floats(1, 500), st.floats(0.3, 7), SHARES)
def test_panels_give_back_a_day_in_a_day(load: float, sun: float, efficiency: float) -> None:
    energy = solar.daily_energy_wh(load)
    assert float(solar.array_w(energy, sun, efficiency) * sun * efficiency) == pytest.approx(float(energy))


def test_lead_needs_more_than_lithium() -> None:
    lead, lithium = (float(solar.battery_wh(432, 3, *solar.battery_kind(kind))) for kind in ("lead", "lithium"))
    assert lead > lithium


def test_unknown_battery_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="lead, lithium"):
        solar.battery_kind("nickel")


@pytest.mark.parametrize(
    "value",
    [
        solar.daily_energy_wh(-1),
        solar.daily_energy_wh(10, 25),
        solar.battery_wh(100, 3, 0),
        solar.battery_wh(100, 3, 1.1),
        solar.battery_wh(100, -1, 0.8),
        solar.capacity_ah(100, 0),
        solar.array_w(100, 0),
        solar.autonomy_days(100, 0, 0.8),
        solar.backup_minutes(100, 0, 0.8),
        solar.backup_minutes(math.nan, 10, 0.8),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)
