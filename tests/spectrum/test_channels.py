"""Channel arithmetic at its edges."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.spectrum import (
    STANDARD_CHANNELS,
    centre_mhz,
    channel_of,
    channels_in_words,
    members,
    overlap_fraction,
    overlap_loss_db,
    overlap_mhz,
    span_mhz,
)


def test_centre_of_a_number_outside_the_raster_is_nan() -> None:
    assert np.isnan(centre_mhz([0, -4, 201, 36.5, float("nan")])).all()
    assert centre_mhz(14) == 2484.0


@given(st.integers(1, 200))
def test_channel_of_the_centre_is_the_channel(number: int) -> None:
    assert channel_of(float(centre_mhz(number))) == number


@pytest.mark.parametrize("frequency", [5181.0, 2413.0, 0.0, float("nan"), float("inf"), 9000.0])
def test_frequency_off_the_raster_has_no_channel(frequency: float) -> None:
    assert channel_of(frequency) is None


def test_span_of_no_width_is_nan() -> None:
    for edges in (span_mhz(5500, 0), span_mhz(float("nan"), 20), span_mhz(5500, -20)):
        assert np.isnan(edges).all()


@pytest.mark.parametrize("width", [40, 80, 160])
def test_members_tile_the_wide_channel(width: int) -> None:
    for number in STANDARD_CHANNELS[width]:
        inside = members(number, width)
        assert set(inside) <= set(STANDARD_CHANNELS[20])
        assert 5 * (inside[0] + inside[-1]) == 10 * number
        assert len(inside) == width / 20


def test_member_of_an_odd_width_raises() -> None:
    with pytest.raises(ValueError, match="not 60"):
        members(102, 60)
    assert members(36, 10) == (36,)


def test_spans_that_touch_do_not_overlap() -> None:
    assert overlap_mhz((5170, 5190), (5190, 5210)) == 0.0
    assert overlap_mhz((5170, 5190), (5300, 5310)) == 0.0
    assert float(overlap_fraction(5180, 20, 5200, 20)) == 0.0
    assert np.isposinf(overlap_loss_db(5180, 20, 5200, 20))
    assert float(overlap_loss_db(5180, 20, 5180, 20)) == 0.0
    assert not np.signbit(overlap_loss_db(5180, 20, 5180, 20))


def test_overlap_with_an_unusable_channel_is_nan() -> None:
    assert np.isnan(overlap_fraction([5180, np.nan, 5180], [0, 20, 20], 5180, [20, 20, -1])).all()


@given(
    f1=st.integers(5150, 5850),
    f2=st.integers(5150, 5850),
    b1=st.sampled_from([5, 10, 20, 40, 80]),
    b2=st.sampled_from([5, 10, 20, 40, 80]),
)
def test_shared_width_is_the_same_seen_from_both(f1: int, f2: int, b1: int, b2: int) -> None:
    one, other = overlap_fraction(f1, b1, f2, b2) * b1, overlap_fraction(f2, b2, f1, b1) * b2
    assert float(one) == pytest.approx(float(other), abs=1e-9)
    assert float(one) == pytest.approx(overlap_mhz((f1 - b1 / 2, f1 + b1 / 2), (f2 - b2 / 2, f2 + b2 / 2)), abs=1e-9)
    assert 0 <= float(overlap_fraction(f1, b1, f2, b2)) <= 1


@pytest.mark.parametrize(
    ("channels", "width", "words"),
    [
        ([], 20, ""),
        ([36], 20, "36"),
        ([140, 132, 136, 100, 104], 20, "100-104, 132-140"),
        ([64, 100], 20, "64, 100"),
        ([102, 110, 134], 40, "102-110, 134"),
        ([106, 122, 155], 80, "106-122, 155"),
    ],
)
def test_channels_in_words_join_neighbours(channels: list[int], width: int, words: str) -> None:
    assert channels_in_words(channels, width) == words
