from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics import mast

FORCES, LENGTHS = st.floats(0, 2000), st.floats(0.5, 15)


@given(FORCES, FORCES, LENGTHS)
def test_moments_of_head_and_mast_add(force: float, line_load: float, length: float) -> None:
    together = float(mast.free_mast_moment_nm(force, line_load, length))
    apart = float(mast.free_mast_moment_nm(force, 0, length) + mast.free_mast_moment_nm(0, line_load, length))
    assert together == pytest.approx(apart)


@given(st.floats(20, 300), st.floats(1, 9))
def test_modulus_is_second_moment_over_half_the_diameter(outside: float, wall: float) -> None:
    second = float(mast.tube_second_moment_m4(outside, wall))
    assert float(mast.tube_section_modulus_m3(outside, wall)) == pytest.approx(second / (outside / 2000))


def test_tube_that_is_all_wall_is_a_bar() -> None:
    assert float(mast.tube_second_moment_m4(40, 20)) == pytest.approx(math.pi * 0.04**4 / 64)


@given(FORCES, LENGTHS)
def test_head_turns_with_the_square_of_the_length(force: float, length: float) -> None:
    short, long = mast.head_turn_deg(force, 0, [length, 2 * length], 5e4)
    assert float(long) == pytest.approx(4 * float(short))


@pytest.mark.parametrize(
    "value",
    [
        mast.tube_second_moment_m4(40, 21),
        mast.tube_section_modulus_m3(0, 1),
        mast.yield_moment_nm(60, 0),
        mast.yield_moment_nm(60, 3, 0),
        mast.free_mast_moment_nm(-1, 0, 6),
        mast.free_mast_moment_nm(1, 0, 0),
        mast.head_turn_deg(1, 1, 6, 0),
        mast.head_turn_deg(math.nan, 1, 6, 1),
    ],
)
def test_out_of_domain_is_nan(value: float) -> None:
    assert math.isnan(value)
