from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics import airtime

RATES = st.lists(st.floats(6, 1200), min_size=1, max_size=12)
LIMITS = st.floats(0.1, 1.0)


@given(RATES, LIMITS)
def test_equal_throughput_fills_the_limit_exactly(rates: list[float], limit: float) -> None:
    each = airtime.equal_rate_mbps(rates, limit)
    used = airtime.airtime_used_fraction(np.full(len(rates), each), rates)
    assert used == pytest.approx(limit, rel=1e-12)
    assert airtime.load_fraction(used, limit) == pytest.approx(1.0, rel=1e-12)


@given(RATES, LIMITS)
def test_equal_air_fills_the_limit_exactly(rates: list[float], limit: float) -> None:
    each = airtime.equal_air_mbps(rates, limit)
    assert airtime.airtime_used_fraction(each, rates) == pytest.approx(limit, rel=1e-12)


@given(RATES, LIMITS)
def test_equal_air_carries_at_least_as_much_together(rates: list[float], limit: float) -> None:
    together = float(airtime.equal_air_mbps(rates, limit).sum())
    assert together >= len(rates) * float(airtime.equal_rate_mbps(rates, limit)) * (1 - 1e-12)


@given(RATES, LIMITS)
def test_slowest_station_loses_least_by_equal_throughput(rates: list[float], limit: float) -> None:
    equal = float(airtime.equal_rate_mbps(rates, limit))
    fair = airtime.equal_air_mbps(rates, limit)
    assert equal >= float(fair.min()) * (1 - 1e-12)
    assert equal <= float(fair.max()) * (1 + 1e-12)


@given(RATES, LIMITS, st.integers(1, 5))
def test_padding_changes_no_bit(rates: list[float], limit: float, pads: int) -> None:
    padded = [*rates, *[math.inf] * pads]
    assert airtime.equal_rate_mbps(padded, limit) == airtime.equal_rate_mbps(rates, limit)
    assert airtime.separate_channels_chain_mbps(padded, limit) == airtime.separate_channels_chain_mbps(rates, limit)
    np.testing.assert_array_equal(
        airtime.equal_air_mbps(padded, limit)[: len(rates)], airtime.equal_air_mbps(rates, limit)
    )
    demand = np.linspace(1.0, 9.0, len(rates))
    used = airtime.airtime_used_fraction(demand, rates)
    for pad_rate in (13.0, math.inf, math.nan):
        assert airtime.airtime_used_fraction([*demand, *[0.0] * pads], [*rates, *[pad_rate] * pads]) == used


@given(RATES, LIMITS)
def test_chain_on_one_channel_carries_less_than_its_weakest_hop_on_its_own(rates: list[float], limit: float) -> None:
    shared = float(airtime.one_channel_chain_mbps(rates, limit))
    apart = float(airtime.separate_channels_chain_mbps(rates, limit))
    assert shared <= apart * (1 + 1e-12)
    assert shared >= apart / len(rates) * (1 - 1e-12)


def test_demand_at_no_rate_never_fits_and_unknown_is_said() -> None:
    assert float(airtime.airtime_used_fraction([4, 4], [130, 0])) == math.inf
    assert math.isnan(airtime.airtime_used_fraction([4, 4], [130, math.nan]))
    assert math.isnan(airtime.airtime_used_fraction([4, math.nan], [130, 130]))
    assert math.isnan(airtime.airtime_used_fraction([4, -1], [130, 130]))
    assert float(airtime.airtime_used_fraction([4, 0], [130, math.nan])) == 4 / 130


def test_station_without_a_rate_takes_everything_from_all() -> None:
    assert float(airtime.equal_rate_mbps([130, 0], 0.5)) == 0.0


def test_many_cells_are_rows() -> None:
    used = airtime.airtime_used_fraction([[8, 8], [4, 0]], [[130, 65], [13, math.inf]])
    np.testing.assert_allclose(used, [8 / 130 + 8 / 65, 4 / 13], rtol=1e-15)


@pytest.mark.parametrize("limit", [0.0, -0.1, 1.1, math.nan])
def test_limit_that_is_no_share_is_nan(limit: float) -> None:
    assert math.isnan(airtime.load_fraction(0.5, limit))
    assert math.isnan(airtime.equal_rate_mbps([130], limit))


def test_planning_limit_without_a_station_is_nan() -> None:
    assert math.isnan(airtime.planning_limit_fraction("polled", 0))


def test_unknown_access_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="contention or polled"):
        airtime.planning_limit_fraction("tdma", 2)
