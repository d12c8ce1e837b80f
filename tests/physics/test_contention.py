from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics import airtime, contention, efficiency


def test_lone_station_never_collides_and_waits_half_its_window() -> None:
    assert float(contention.collision_probability(1)) == pytest.approx(0.0, abs=1e-15)
    transmit = float(contention.transmit_probability(1))
    assert (1 - transmit) / transmit == pytest.approx(7.5, abs=1e-9)


@given(st.integers(1, 200))
def test_both_equations_of_the_fixed_point_hold(stations: int) -> None:
    transmit = float(contention.transmit_probability(stations))
    collision = float(contention.collision_probability(stations))
    assert collision == pytest.approx(1 - (1 - transmit) ** (stations - 1), abs=1e-12)
    # Stage i is reached with p^i and lasts (16 2^i + 1) / 2 slots on average; the last one repeats.
    slots = sum(collision**stage * (16 * 2**stage + 1) / 2 for stage in range(6))
    slots += collision**6 / (1 - collision) * (1024 + 1) / 2
    attempts = 1 / (1 - collision)
    assert transmit == pytest.approx(attempts / slots, rel=1e-9)


@given(st.integers(1, 100))
def test_more_stations_collide_more_and_each_sends_less(stations: int) -> None:
    fewer, more = contention.collision_probability([stations, stations + 1])
    assert more > fewer
    fewer, more = contention.transmit_probability([stations, stations + 1])
    assert more < fewer


def test_model_of_one_station_is_the_plain_exchange() -> None:
    air = ("ac", 40, [0, 4, 8], 2, 0.4)
    found = contention.saturated_efficiency(1, *air, 16, 700)
    np.testing.assert_allclose(found, efficiency.exchange_efficiency(*air, 16, 700), rtol=1e-12)


@pytest.mark.parametrize(("window", "stages"), [(0, 6), (15, -1)])
def test_window_and_stages_out_of_range_are_refused(window: int, stages: int) -> None:
    with pytest.raises(ValueError, match="window"):
        contention.transmit_probability(2, window, stages)


def test_window_of_the_anomaly_out_of_range_is_refused() -> None:
    with pytest.raises(ValueError, match="window"):
        contention.anomaly_mbps([54], 100, window=0)


def test_no_station_is_nan() -> None:
    assert math.isnan(contention.transmit_probability(0))
    assert math.isnan(contention.anomaly_mbps([math.inf, math.inf], 100))
    assert math.isnan(contention.anomaly_mbps([54, math.nan], 100))
    assert math.isnan(contention.anomaly_mbps([54, 0], 100))


@given(st.lists(st.floats(6, 866), min_size=1, max_size=6))
def test_without_overhead_and_back_off_a_lone_turn_is_equal_throughput(rates_mbps: list[float]) -> None:
    # A window of one slot collides always, a huge one never.
    found = contention.anomaly_mbps(rates_mbps, 0.0, window=10**9, slot_us=0.0)
    assert float(found) == pytest.approx(float(airtime.equal_rate_mbps(rates_mbps, 1.0)), rel=1e-6)


@given(st.lists(st.floats(6, 866), min_size=2, max_size=6), st.integers(1, 4))
def test_padding_changes_no_bit(rates_mbps: list[float], pads: int) -> None:
    padded = [*rates_mbps, *[math.inf] * pads]
    assert contention.anomaly_mbps(padded, 130.0) == contention.anomaly_mbps(rates_mbps, 130.0)


@given(st.lists(st.floats(20, 866), min_size=1, max_size=5), st.floats(6, 19))
def test_slow_station_brings_everybody_below_its_own_rate(fast: list[float], slow: float) -> None:
    assert contention.anomaly_mbps([*fast, slow], 130.0) < slow
    assert contention.anomaly_mbps([*fast, slow], 130.0) < contention.anomaly_mbps(fast, 130.0)
