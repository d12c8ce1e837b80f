from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.decibels import dbm_to_mw, from_db, mw_to_dbm, sum_dbm, to_db

levels = st.floats(-200.0, 200.0)


def test_to_db_of_nothing_is_minus_infinity_and_back() -> None:
    assert float(to_db(0.0)) == -np.inf
    assert float(from_db(-np.inf)) == 0.0


def test_to_db_of_a_negative_ratio_is_nan() -> None:
    assert np.isnan(to_db([-1.0, np.nan])).all()


def test_from_db_of_an_enormous_level_is_infinite_without_a_warning() -> None:
    assert float(from_db(1e6)) == np.inf


def test_mw_to_dbm_of_no_power_is_minus_infinity() -> None:
    assert float(mw_to_dbm(0.0)) == -np.inf
    assert float(dbm_to_mw(-np.inf)) == 0.0


@given(levels)
def test_decibels_there_and_back_are_the_same(level_db: float) -> None:
    assert float(to_db(from_db(level_db))) == pytest.approx(level_db, abs=1e-9)
    assert float(mw_to_dbm(dbm_to_mw(level_db))) == pytest.approx(level_db, abs=1e-9)


@given(levels, levels)
def test_decibels_of_a_product_are_the_sum(first_db: float, second_db: float) -> None:
    product = from_db(first_db) * from_db(second_db)
    assert float(to_db(product)) == pytest.approx(first_db + second_db, abs=1e-9)


def test_sum_dbm_of_one_level_is_that_level() -> None:
    assert float(sum_dbm(-71.25)) == -71.25


def test_sum_dbm_with_nothing_is_unchanged() -> None:
    assert float(sum_dbm(-80.0, -np.inf)) == -80.0


def test_sum_dbm_of_nothing_is_nothing() -> None:
    assert float(sum_dbm(-np.inf, -np.inf)) == -np.inf


def test_sum_dbm_with_nan_is_nan() -> None:
    assert np.isnan(sum_dbm(-80.0, [np.nan], -70.0)).all()


def test_sum_dbm_of_very_low_levels_keeps_its_digits() -> None:
    assert float(sum_dbm(-4000.0, -4000.0)) == pytest.approx(-4000.0 + 3.0103, abs=1e-4)


def test_sum_dbm_broadcasts() -> None:
    assert sum_dbm(np.zeros((3, 1)), np.zeros(4), -10.0).shape == (3, 4)


@given(levels, levels)
def test_sum_dbm_does_not_depend_on_the_order_of_two(first_dbm: float, second_dbm: float) -> None:
    assert float(sum_dbm(first_dbm, second_dbm)) == float(sum_dbm(second_dbm, first_dbm))


@given(st.lists(levels, min_size=1, max_size=5))
def test_sum_dbm_lies_between_the_strongest_and_that_many_times_it(levels_dbm: list[float]) -> None:
    total = float(sum_dbm(*levels_dbm))
    assert max(levels_dbm) <= total
    assert total <= max(levels_dbm) + float(to_db(len(levels_dbm))) + 1e-9


def test_sum_dbm_of_shapes_that_do_not_fit_raises() -> None:
    with pytest.raises(ValueError, match="broadcast"):
        sum_dbm(np.zeros(3), np.zeros(4))
