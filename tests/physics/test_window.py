from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics import window

LEVELS = st.floats(-95, -25)
SIGMAS = st.floats(0, 5)


def test_uniform_tolerances_have_the_spread_of_drawn_numbers() -> None:
    drawn = np.random.default_rng(5).uniform(-1.5, 1.5, 200_000)
    assert float(window.uniform_sigma_db(1.5)) == pytest.approx(drawn.std(), rel=0.01)
    rounding = drawn - np.round(drawn)
    assert float(window.step_sigma_db(1.0)) == pytest.approx(rounding.std(), rel=0.01)


@given(st.lists(SIGMAS, min_size=1, max_size=6))
def test_parts_add_as_a_right_angle_does(sigmas: list[float]) -> None:
    found = window.combined_sigma_db({str(index): sigma for index, sigma in enumerate(sigmas)})
    assert float(found) == pytest.approx(math.hypot(*sigmas), rel=1e-12)


def test_no_part_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one"):
        window.combined_sigma_db({})


def test_parts_may_be_arrays() -> None:
    found = window.combined_sigma_db({"power": [0.0, 3.0], "gain": 4.0})
    np.testing.assert_allclose(found, [4, 5])


def test_doubtful_gear_widens_the_window_by_the_excess() -> None:
    limits = window.acceptance_window(-57.0, [0.0, 1.5, 2.0])
    np.testing.assert_allclose(limits.good_low_dbm, [-60, -60, -61])
    np.testing.assert_allclose(limits.good_high_dbm, [-54, -54, -53])
    np.testing.assert_allclose(limits.low_dbm, [-63, -63, -64])
    np.testing.assert_allclose(limits.wrong_dbm, [-67, -67, -68])


@given(LEVELS, SIGMAS)
def test_nineteen_of_twenty_sound_readings_are_good(expected: float, sigma: float) -> None:
    limits = window.acceptance_window(expected, sigma)
    assert limits.good_low_dbm <= expected - 2 * sigma + 1e-9
    assert limits.good_high_dbm >= expected + 2 * sigma - 1e-9
    assert limits.wrong_dbm < limits.low_dbm < limits.good_low_dbm < limits.good_high_dbm


@given(LEVELS, SIGMAS, LEVELS, LEVELS)
def test_stronger_reading_never_gets_a_weaker_verdict(expected: float, sigma: float, one: float, other: float) -> None:
    limits = window.acceptance_window(expected, sigma)
    weaker, stronger = sorted((one, other))
    verdicts = window.reading_verdict([weaker, stronger], limits)
    assert window.VERDICTS.index(verdicts[0]) <= window.VERDICTS.index(verdicts[1])


def test_reading_on_a_limit_gets_the_better_word() -> None:
    limits = window.acceptance_window(-57.0)
    verdicts = window.reading_verdict([-54, -60, -63, -67], limits)
    assert verdicts.tolist() == ["good", "good", "low", "not accepted"]


def test_unknown_reading_or_window_has_no_verdict() -> None:
    assert window.reading_verdict([math.nan], window.acceptance_window(-57.0)).tolist() == [""]
    assert window.reading_verdict([-57.0], window.acceptance_window(math.nan)).tolist() == [""]
    assert window.reading_verdict([-57.0], window.acceptance_window(-57.0, -1.0)).tolist() == [""]


@given(LEVELS, st.integers(1, 4))
def test_chains_together_are_the_level_again(level: float, chains: int) -> None:
    each = float(window.chain_level_dbm(level, chains))
    assert 10 * math.log10(chains * 10 ** (each / 10)) == pytest.approx(level, abs=1e-9)


@given(LEVELS, st.sampled_from([0.5, 1.0, 2.0]))
def test_display_shows_a_whole_step_not_farther_than_half_of_one(level: float, step: float) -> None:
    shown = float(window.expected_reading_dbm(level, step_db=step))
    assert shown / step == round(shown / step)
    assert abs(shown - level) <= step / 2 + 1e-9


def test_unknown_convention_is_refused() -> None:
    with pytest.raises(UnknownNameError, match="combined or per_chain"):
        window.expected_reading_dbm(-57, "rssi")


def test_unit_with_fewer_lights_is_padded() -> None:
    thresholds = [[-80, -72, -65, -58], [-75, -60, math.nan, math.nan]]
    np.testing.assert_array_equal(window.lights_expected([-57, -57], thresholds), [4, 2])
    assert math.isnan(window.lights_expected(math.nan, [-80]))


@pytest.mark.parametrize(
    "value",
    [
        window.uniform_sigma_db(-1),
        window.step_sigma_db(math.nan),
        window.combined_sigma_db({"gain": -1.0}),
        window.chain_level_dbm(-57, 0),
        window.expected_reading_dbm(-57, step_db=-1),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)
