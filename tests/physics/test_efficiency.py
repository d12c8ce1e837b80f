from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics import efficiency, frames, rates

AIR = st.tuples(st.sampled_from(["n", "ac", "ax"]), st.sampled_from([20, 40]), st.integers(0, 7), st.integers(1, 2))


@given(AIR, st.integers(1, 63), st.integers(0, 5000))
def test_efficiency_lies_between_nothing_and_all(air: tuple[str, int, int, int], count: int, distance: int) -> None:
    found = float(efficiency.exchange_efficiency(*air, 0.8, count, distance))
    assert 0 < found < 1


@given(AIR, st.integers(1, 60), st.integers(0, 5000))
def test_more_frames_and_less_distance_leave_more(air: tuple[str, int, int, int], count: int, distance: int) -> None:
    here = efficiency.exchange_efficiency(*air, 0.8, count, distance)
    # Whole symbols may waste part of the first step.
    assert efficiency.exchange_efficiency(*air, 0.8, count + 4, distance) > here
    assert efficiency.exchange_efficiency(*air, 0.8, count, distance + 450) < here


@given(AIR, st.integers(1, 60))
def test_goodput_is_efficiency_of_the_rate(air: tuple[str, int, int, int], count: int) -> None:
    rate = rates.phy_rate_mbps(*air)
    goodput = efficiency.goodput_mbps(*air, frames=count)
    assert goodput == pytest.approx(float(rate * efficiency.exchange_efficiency(*air, frames=count)), rel=1e-12)


def test_exchange_is_the_sum_of_its_parts() -> None:
    data_us = frames.frame_us("n", 20, 7, 2, 0.8, 8)
    expected = 16 + 3 * 9 + 7.5 * 9 + float(data_us) + 16 + 32
    assert float(efficiency.exchange_us("n", 20, 7, 2, 0.8, 8)) == pytest.approx(expected)
    without = efficiency.exchange_us("n", 20, 7, 2, 0.8, 8, with_backoff=False)
    assert expected - float(without) == pytest.approx(67.5)


def test_video_class_waits_less() -> None:
    best = efficiency.exchange_us("n", 20, 7, 2, frames=8)
    video = efficiency.exchange_us("n", 20, 7, 2, frames=8, access="video")
    assert float(best - video) == pytest.approx((1 + 4) * 9)


def test_unknown_traffic_class_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="best effort"):
        efficiency.exchange_us("n", 20, 7, 2, access="urgent")


def test_long_block_is_answered_by_a_longer_bitmap() -> None:
    short, long = efficiency.exchange_us("ax", 80, 11, 2, frames=[64, 65])
    data = frames.frame_us("ax", 80, 11, 2, frames=[64, 65])
    assert float((long - data[1]) - (short - data[0])) == pytest.approx(8.0)


@pytest.mark.parametrize(
    "value",
    [
        efficiency.exchange_us("ac", 20, 9, 1),
        efficiency.goodput_mbps("n", 20, 7, 1, frames=0),
        efficiency.exchange_efficiency("n", 20, 7, 1, distance_m=-1),
        efficiency.polling_efficiency("n", 20, 7, 1, distance_m=math.nan),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)


def test_polling_beats_contention_with_the_same_frames() -> None:
    contended = efficiency.exchange_efficiency("n", 40, 7, 2, 0.4, [8, 16], 500)
    polled = efficiency.polling_efficiency("n", 40, 7, 2, 0.4, [8, 16], 500)
    assert (polled > contended - 0.02).all()
    assert np.isfinite(polled).all()
