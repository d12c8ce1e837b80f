from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.foliage import (
    cost_235_loss_db,
    early_itu_loss_db,
    fitu_r_loss_db,
    weissberger_loss_db,
    woodland_loss_db,
    woodland_parameters,
)
from survey_app.physics.foliage_range import RULE_NAMES, foliage_loss_range_db, wet_foliage_range_db

depths = st.floats(0.0, 400.0)
frequencies = st.floats(1_000.0, 95_000.0)


@given(depths, frequencies, st.booleans())
def test_the_range_is_ordered_and_names_two_rules(depth_m: float, frequency_mhz: float, in_leaf: bool) -> None:
    found = foliage_loss_range_db(depth_m, frequency_mhz, in_leaf)
    assert 0.0 <= float(found.low_db) <= float(found.high_db)
    assert RULE_NAMES[int(found.low_rule)]
    assert RULE_NAMES[int(found.high_rule)]


@given(depths, frequencies)
def test_a_bare_tree_takes_no_more_than_the_same_tree_in_leaf(depth_m: float, frequency_mhz: float) -> None:
    leaf, bare = (foliage_loss_range_db(depth_m, frequency_mhz, in_leaf) for in_leaf in (True, False))
    assert bare.low_db <= leaf.low_db
    assert bare.high_db <= leaf.high_db


@given(depths, depths, frequencies, st.booleans())
def test_more_foliage_never_takes_less(first_m: float, second_m: float, frequency_mhz: float, in_leaf: bool) -> None:
    near, far = sorted((first_m, second_m))
    short, long = (foliage_loss_range_db(depth, frequency_mhz, in_leaf) for depth in (near, far))
    # the one law of Weissberger begins 0.4 % below the end of the other
    assert long.low_db >= 0.995 * short.low_db
    assert long.high_db >= 0.995 * short.high_db


@pytest.mark.parametrize("in_leaf", [True, False])
def test_the_named_rule_gives_the_named_loss(in_leaf: bool) -> None:
    rules = {
        "Weissberger": lambda d, f: weissberger_loss_db(d, f),
        "early ITU": lambda d, f: early_itu_loss_db(d, f),
        "P.833 woodland": lambda d, f: woodland_loss_db(d, *woodland_parameters(f, extrapolate=True)),
        "FITU-R in leaf": lambda d, f: fitu_r_loss_db(d, f, True, extrapolate=True),
        "FITU-R bare": lambda d, f: fitu_r_loss_db(d, f, False, extrapolate=True),
        "COST 235 bare": lambda d, f: cost_235_loss_db(d, f, False, extrapolate=True),
    }
    named = set()
    for depth_m in (0.5, 2.0, 8.0, 30.0, 120.0, 390.0):
        for frequency_mhz in (2_437.0, 5_500.0, 24_000.0, 60_000.0):
            found = foliage_loss_range_db(depth_m, frequency_mhz, in_leaf)
            for loss_db, rule in ((found.low_db, found.low_rule), (found.high_db, found.high_rule)):
                name = RULE_NAMES[int(rule)]
                named.add(name)
                assert float(loss_db) == pytest.approx(float(rules[name](depth_m, frequency_mhz)))
    assert len(named) >= 3


def test_no_foliage_takes_nothing() -> None:
    for in_leaf in (True, False):
        found = foliage_loss_range_db(0.0, 5500.0, in_leaf)
        assert (float(found.low_db), float(found.high_db)) == (0.0, 0.0)


def test_what_is_used_beyond_its_frequencies_says_so() -> None:
    at_5, at_12 = foliage_loss_range_db(10.0, [5_500.0, 12_000.0], True).extrapolated
    assert at_5
    assert not at_12


def test_outside_the_domain_is_nan_and_nobody_is_named() -> None:
    found = foliage_loss_range_db([-1.0, 401.0, np.nan, 10.0, 10.0], [5500.0, 5500.0, 5500.0, 900.0, np.nan], True)
    assert np.isnan(found.low_db).all()
    assert np.isnan(found.high_db).all()
    assert found.low_rule.tolist() == found.high_rule.tolist() == [-1] * 5
    assert not found.extrapolated.any()


def test_rules_end_where_they_were_measured() -> None:
    assert np.isnan(fitu_r_loss_db(10.0, 5500.0, True))
    assert np.isnan(cost_235_loss_db(10.0, 5500.0, False))
    assert np.isnan(weissberger_loss_db(10.0, [229.0, 95_001.0])).all()
    assert np.isnan(early_itu_loss_db([10.0, 400.1], [199.0, 5500.0])).all()
    assert np.isnan(woodland_parameters([105.0, 2_118.0])).all()
    assert np.isnan(woodland_loss_db([-1.0, 5.0, 5.0], [1.0, 0.0, 1.0], [50.0, 50.0, -1.0])).all()


def test_wet_leaves_widen_the_range_upwards_only() -> None:
    dry = foliage_loss_range_db([1.0, 10.0, 50.0], 5500.0, True)
    wet = wet_foliage_range_db(dry)
    assert (wet.low_db == dry.low_db).all()
    assert (wet.high_db > dry.high_db).all()


def test_a_wood_takes_at_most_its_most() -> None:
    assert float(woodland_loss_db(1e6, 1.08, 51.0)) == pytest.approx(51.0)
    # and its first metre takes the specific attenuation
    assert float(woodland_loss_db(0.001, 1.08, 51.0)) == pytest.approx(0.00108, rel=1e-4)
