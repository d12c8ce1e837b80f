"""Transmit masks and rejection: laws and edges."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.spectrum import acir_db, leakage_ratio_db, occupied_width_mhz, transmit_mask_dbr


@given(offset=st.floats(0, 500), more=st.floats(0, 100), width=st.sampled_from([5.0, 10.0, 20.0, 40.0, 80.0, 160.0]))
def test_mask_never_rises_with_distance_and_is_even(offset: float, more: float, width: float) -> None:
    near, far, other_side = transmit_mask_dbr([offset, offset + more, -offset], width)
    assert far <= near + 1e-12
    assert near == other_side


def test_mask_of_an_unknown_width_is_nan() -> None:
    assert np.isnan(transmit_mask_dbr(0, [30, np.nan])).all()
    assert np.isnan(transmit_mask_dbr(np.nan, 20))
    assert np.isnan(transmit_mask_dbr(0, 10, "ax"))


@pytest.mark.parametrize("function", [transmit_mask_dbr, occupied_width_mhz])
def test_unknown_mode_raises(function: object) -> None:
    arguments = (20, "b") if function is occupied_width_mhz else (0, 20, "b")
    with pytest.raises(ValueError, match="n, ac or ax"):
        function(*arguments)  # type: ignore[operator]
    with pytest.raises(ValueError, match="n, ac or ax"):
        leakage_ratio_db(20, 20, 20, "b")  # type: ignore[arg-type]


@given(
    offset=st.floats(0, 300),
    more=st.floats(0.0, 50),
    tx=st.sampled_from([20.0, 40.0, 80.0]),
    rx=st.sampled_from([20.0, 40.0, 80.0]),
)
def test_leakage_ratio_never_falls_with_distance(offset: float, more: float, tx: float, rx: float) -> None:
    near, far = leakage_ratio_db([offset, offset + more], tx, rx)
    assert far >= near - 1e-9
    assert near >= 0


def test_leakage_into_two_halves_adds_up_to_that_into_the_whole() -> None:
    whole = 10 ** (-leakage_ratio_db(60, 40, 40) / 10)
    halves = 10 ** (-leakage_ratio_db([50, 70], 40, 20) / 10)
    assert float(halves.sum()) == pytest.approx(float(whole), rel=1e-9)


def test_leakage_into_the_own_channel_loses_almost_nothing() -> None:
    assert 0 <= float(leakage_ratio_db(0, 20, 20)) < 0.05
    assert 0 <= float(leakage_ratio_db(0, 20, 80)) < 1e-6


def test_leakage_with_an_unusable_element_is_nan() -> None:
    assert np.isnan(leakage_ratio_db([20, np.nan, 20], [25, 20, 20], [20, 20, 0])).all()


@pytest.mark.parametrize(
    ("offset", "tx", "rx", "expected"),
    [
        (0, 20, 20, 0.0),
        (10, 20, 20, 3.0103),
        (19.9, 20, 20, 23.0),
        (20, 20, 20, 23.0),
        (39, 20, 20, 23.0),
        (40, 20, 20, 39.0),
        (60, 20, 20, 55.0),
        (-60, 20, 20, 55.0),
        (30, 20, 40, 23.0),
        (60, 40, 20, 39.0),
        (90, 40, 20, 55.0),
        (10, 40, 20, 3.0103),
        (10, 20, 40, 0.0),
        (400, 80, 20, 55.0),
    ],
)
def test_rejection_by_distance(offset: float, tx: float, rx: float, expected: float) -> None:
    assert float(acir_db(offset, tx, rx)) == pytest.approx(expected, abs=1e-3)


def test_rejection_with_figures_of_each_radio() -> None:
    steps = [[23, 39, 55], [30, 45, 60]]
    assert acir_db([20, 40], 20, 20, steps).tolist() == [23.0, 45.0]


def test_rejection_with_an_unusable_element_is_nan() -> None:
    assert np.isnan(acir_db([np.nan, 20, 20], [20, 0, 20], [20, 20, np.nan])).all()


@pytest.mark.parametrize("steps", [23.0, [23.0, 39.0]])
def test_rejection_without_three_figures_raises(steps: object) -> None:
    with pytest.raises(ValueError, match="three figures"):
        acir_db(20, 20, 20, steps)  # type: ignore[arg-type]


def test_occupied_width_is_narrower_than_the_channel() -> None:
    assert [round(float(x), 1) for x in occupied_width_mhz([20, 40, 80])] == [17.8, 36.6, 76.6]
    assert [round(float(x), 1) for x in occupied_width_mhz([20, 40, 80], "ax")] == [19.1, 38.2, 78.2]
    assert np.isnan(occupied_width_mhz([10, np.nan])).all()
