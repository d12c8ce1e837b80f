from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics import receiver

SENSITIVITY = [-93.0, -90.0, -87.0, -84.0, -80.0, -77.0, -75.0, -72.0]
POWER = [25.0, 25.0, 25.0, 24.0, 24.0, 23.0, 22.0, 21.0]
LEVELS = st.floats(-110, -20)


def test_level_on_the_threshold_is_carried() -> None:
    assert float(receiver.highest_mcs(-72.0, SENSITIVITY)) == 7
    assert float(receiver.highest_mcs(-72.0001, SENSITIVITY)) == 6


def test_no_modulation_is_minus_one_and_unknown_is_nan() -> None:
    found = receiver.highest_mcs([-94.0, -math.inf, math.nan], SENSITIVITY)
    np.testing.assert_array_equal(found, [receiver.NO_MCS, receiver.NO_MCS, np.nan])
    assert math.isnan(receiver.highest_mcs(-50.0, SENSITIVITY, math.nan))


def test_index_that_is_not_to_be_had_is_skipped() -> None:
    assert float(receiver.highest_mcs(-50.0, [*SENSITIVITY[:7], math.nan])) == 6
    assert float(receiver.highest_mcs_by_power(-60.0, [*POWER[:7], math.nan], SENSITIVITY)) == 6


def test_each_hop_may_have_its_own_table_and_margin() -> None:
    tables = [SENSITIVITY, [s + 3 for s in SENSITIVITY]]
    np.testing.assert_array_equal(receiver.highest_mcs([-72, -72], tables), [7, 6])
    np.testing.assert_array_equal(receiver.highest_mcs(-62.0, SENSITIVITY, [10, 13, 20]), [7, 6, 3])


def test_back_off_at_high_rates_costs_what_level_alone_does_not_show() -> None:
    # 25 dBm for all would give -72 dBm and index 7; at 21 dBm index 7 is 4 dB short.
    gain = -97.0
    assert float(receiver.highest_mcs(gain + 25, SENSITIVITY)) == 7
    assert float(receiver.highest_mcs_by_power(gain, POWER, SENSITIVITY)) == 6


def test_higher_index_may_carry_where_a_lower_one_does_not() -> None:
    # A unit that sends index 0 with less power than index 1: the highest that carries counts.
    assert float(receiver.highest_mcs_by_power(-100.0, [5.0, 12.0], [-93.0, -90.0], 1.0)) == 1


@given(LEVELS, st.floats(0, 20), st.floats(0, 20))
def test_more_margin_never_gives_a_higher_modulation(level: float, less: float, more: float) -> None:
    low, high = sorted((less, more))
    assert receiver.highest_mcs(level, SENSITIVITY, high) <= receiver.highest_mcs(level, SENSITIVITY, low)


@given(LEVELS)
def test_flat_power_is_the_same_as_one_level(level: float) -> None:
    by_power = receiver.highest_mcs_by_power(level - 20.0, [20.0] * 8, SENSITIVITY)
    assert by_power == receiver.highest_mcs((level - 20.0) + 20.0, SENSITIVITY)


@given(st.floats(-140, -40), st.integers(0, 7))
def test_margin_table_tells_what_highest_mcs_decides(gain: float, mcs: int) -> None:
    margin = receiver.margin_table_db(gain, POWER, SENSITIVITY)
    assert (margin[mcs] >= 0) == (receiver.highest_mcs_by_power(gain, POWER, SENSITIVITY) >= mcs or margin[mcs] >= 0)
    assert receiver.highest_mcs_by_power(gain, POWER, SENSITIVITY) == max(
        (index for index in range(8) if margin[index] >= 0), default=-1
    )


@pytest.mark.parametrize(("width", "shift"), [(5, -6), (10, -3), (20, 0), (40, 3), (80, 6), (160, 9)])
def test_sensitivity_moves_by_three_decibels_for_each_doubling(width: int, shift: int) -> None:
    np.testing.assert_array_equal(receiver.sensitivity_at_width_dbm(SENSITIVITY, width), np.array(SENSITIVITY) + shift)
    assert 10 * math.log10(width / 20) == pytest.approx(shift, abs=0.04)


def test_sensitivity_at_a_width_that_does_not_exist_is_nan() -> None:
    assert np.isnan(receiver.sensitivity_at_width_dbm(-75.0, [0, 22, math.nan])).all()


def test_snr_required_is_undone_by_the_noise_floor() -> None:
    # 802.11n index 7 of a usual unit: 23 dB over a noise of -95 dBm
    assert float(receiver.snr_required_db(-72.0, 20, 6.0)) == pytest.approx(22.965, abs=0.001)
