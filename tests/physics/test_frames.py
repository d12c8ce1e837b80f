from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics import frames, rates

DISTANCES = st.integers(0, 30_000)


@given(DISTANCES)
def test_coverage_class_is_the_whole_number_rule_of_whole_metres(distance: int) -> None:
    assert float(frames.coverage_class(distance)) == (distance + 449) // 450


@given(st.floats(0, 30_000))
def test_coverage_class_covers_the_way_there_and_back(distance: float) -> None:
    allowed_us = frames.COVERAGE_CLASS_US * frames.coverage_class(distance)
    # 3 us are a shade less than 450 m and back.
    assert allowed_us * 1.001 >= 2 * frames.propagation_us(distance)


@given(st.integers(1, 3000))
def test_subframe_is_a_multiple_of_four_and_just_long_enough(octets: int) -> None:
    length = float(frames.subframe_octets(octets))
    assert length % 4 == 0
    assert 4 <= length - octets < 8


def test_frame_without_encryption_is_sixteen_octets_shorter() -> None:
    assert float(frames.frame_octets(1472, 0)) == 1538


@pytest.mark.parametrize("mode", rates.MODES)
@given(count=st.integers(1, 63))
def test_longer_aggregate_takes_longer_but_less_for_each_frame(mode: str, count: int) -> None:
    here, there, twice = frames.frame_us(mode, 40, 4, 2, 0.8, [count, count + 1, 2 * count])
    assert there > here
    # One frame more may begin a new symbol; twice as many share the preamble in any case.
    assert twice / (2 * count) < here / count


@pytest.mark.parametrize("mode", rates.MODES)
def test_longest_aggregate_fits_and_one_more_does_not(mode: str) -> None:
    mcs = np.arange(rates.mcs_count(mode))
    width = 40
    most = frames.longest_aggregate(mode, width, mcs, 2)
    octets = most * frames.subframe_octets(frames.frame_octets())
    time_us = frames.frame_us(mode, width, mcs, 2, 0.8, most)
    next_us = frames.frame_us(mode, width, mcs, 2, 0.8, most + 1)
    assert (time_us <= frames.LONGEST_FRAME_US).all()
    assert (octets <= frames.MAX_AGGREGATE_OCTETS[mode]).all()
    assert (most <= frames.BLOCK_ACK_WINDOW[mode]).all()
    one_too_many = (
        (next_us > frames.LONGEST_FRAME_US)
        | (octets + 1560 > frames.MAX_AGGREGATE_OCTETS[mode])
        | (most + 1 > frames.BLOCK_ACK_WINDOW[mode])
    )
    assert one_too_many.all()


def test_lone_frame_goes_bare_in_the_oldest_mode_only() -> None:
    # 1554 octets need 24 symbols at 520 bits, 1560 need 25.
    assert float(frames.frame_us("n", 20, 7, 2)) == 40 + 24 * 4
    assert float(frames.frame_us("n", 20, 7, 2, always_aggregate=True)) == 40 + 25 * 4
    assert float(frames.frame_us("ac", 20, 7, 2)) == 44 + 25 * 4


@pytest.mark.parametrize(
    "value",
    [
        frames.frame_us("n", 20, 8, 2),
        frames.frame_us("n", 20, 7, 2, frames=0),
        frames.frame_us("n", 20, 7, 2, frames=1.5),
        frames.preamble_us("n", 5),
        frames.preamble_us("ax", 1, 0.4),
        frames.coverage_class(-1),
        frames.propagation_us(math.nan),
        frames.frame_octets(0),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)


def test_unknown_mode_is_refused() -> None:
    with pytest.raises(UnknownNameError):
        frames.preamble_us("b", 1)
