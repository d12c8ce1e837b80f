from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics import rates

COMBINATIONS = st.tuples(
    st.sampled_from(rates.MODES), st.sampled_from([20, 40, 80]), st.integers(0, 11), st.integers(1, 4)
)


@pytest.mark.parametrize(
    ("mode", "width", "mcs", "streams", "guard"),
    [
        ("n", 20, 8, 1, 0.8),  # counts per stream: no index 8
        ("n", 80, 7, 1, 0.8),
        ("n", 20, 7, 1, 1.6),
        ("ac", 20, 9, 1, 0.8),
        ("ac", 20, 9, 2, 0.4),
        ("ac", 20, 9, 4, 0.4),
        ("ac", 80, 6, 3, 0.4),
        ("ac", 40, 10, 1, 0.8),
        ("ax", 20, 12, 1, 0.8),
        ("ax", 20, 0, 1, 0.4),
        ("ax", 30, 0, 1, 0.8),
        ("ax", 20, 0.5, 1, 0.8),
        ("ax", 20, -1, 1, 0.8),
        ("ax", 20, 0, 0, 0.8),
        ("ax", 20, 0, 5, 0.8),
    ],
)
def test_rate_of_a_combination_that_does_not_exist_is_nan(
    mode: str, width: float, mcs: float, streams: float, guard: float
) -> None:
    assert math.isnan(rates.phy_rate_mbps(mode, width, mcs, streams, guard))


@pytest.mark.parametrize(("streams", "exists"), [(1, False), (2, False), (3, True), (4, False)])
def test_256_qam_five_sixths_in_20_mhz_exists_with_three_streams_only(streams: int, exists: bool) -> None:
    assert math.isfinite(rates.phy_rate_mbps("ac", 20, 9, streams)) is exists


@pytest.mark.parametrize("function", [rates.mcs_count, lambda mode: rates.rate_table_mbps(mode, 20, 1)])
def test_unknown_mode_is_refused_with_the_modes_that_exist(function: object) -> None:
    with pytest.raises(UnknownNameError, match="n, ac, ax"):
        function("g")  # type: ignore[operator]


@given(COMBINATIONS)
def test_rate_grows_with_index_width_and_streams_wherever_both_exist(combination: tuple[str, int, int, int]) -> None:
    mode, width, mcs, streams = combination
    here = rates.phy_rate_mbps(mode, width, mcs, streams)
    for other in ((width * 2, mcs, streams), (width, mcs + 1, streams), (width, mcs, streams + 1)):
        more = rates.phy_rate_mbps(mode, *other)
        assert np.isnan(here) or np.isnan(more) or more > here


@given(COMBINATIONS)
def test_rate_is_data_bits_over_symbol(combination: tuple[str, int, int, int]) -> None:
    mode, width, mcs, streams = combination
    bits = rates.data_bits_per_symbol(mode, width, mcs, streams)
    rate = rates.phy_rate_mbps(mode, width, mcs, streams)
    assert np.isnan(bits) == np.isnan(rate)
    if not np.isnan(bits):
        assert 0 <= rate * rates.symbol_us(mode, 0.8) - bits < 1


def test_rate_table_of_many_radios_has_a_row_for_each() -> None:
    table = rates.rate_table_mbps("ac", [20, 40, 80], [1, 2, 2], [0.8, 0.4, 0.4])
    assert table.shape == (3, 10)
    np.testing.assert_allclose(np.nanmax(table, axis=-1), [78, 400, 866.6667])


def test_lowest_index_for_a_need_skips_what_is_not_to_be_had() -> None:
    table = rates.rate_table_mbps("ac", 20, 2)
    assert rates.lowest_mcs_for(table, [0.0, 13.0, 13.1, 156.0, 157.0]).tolist() == [0, 0, 1, 8, 10]
    assert math.isnan(rates.lowest_mcs_for(table, math.nan))
    np.testing.assert_array_equal(rates.lowest_mcs_for([table, table], [20.0, 300.0]), [1, 10])


def test_entry_by_index_follows_rows_and_refuses_what_lies_outside() -> None:
    table = [[1.0, 2.0], [3.0, 4.0]]
    np.testing.assert_array_equal(rates.at_mcs(table, [1, 0]), [2, 3])
    np.testing.assert_array_equal(rates.at_mcs(table, [-1, 2]), [np.nan, np.nan])
    np.testing.assert_array_equal(rates.at_mcs([1.0, 2.0], [[0], [math.nan]]), [[1], [np.nan]])


def test_rate_name_counts_as_the_mode_counts() -> None:
    assert rates.rate_name("n", 20, 7, 2).startswith("MCS 15 (64-QAM 5/6, 2 streams")
    assert rates.rate_name("ax", 20, 7, 2).startswith("MCS 7 (64-QAM 5/6, 2 streams")


def test_rate_name_of_what_does_not_exist_is_refused() -> None:
    with pytest.raises(ValueError, match="no index 9"):
        rates.rate_name("ac", 20, 9, 1)


def test_cap_of_old_encryption_never_raises_a_rate() -> None:
    found = rates.capped_rate_mbps([6.5, 54.0, 130.0, math.nan], [True, True, True, True])
    np.testing.assert_array_equal(found, [6.5, 54.0, 54.0, np.nan])


def test_names_stand_for_every_index() -> None:
    assert len(rates.MODULATIONS) == len(rates.CODING_RATES) == rates.mcs_count("ax")
