"""Multipath: where it says nothing, and which way it runs."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.multipath import (
    HIGHEST_PERCENT,
    detailed_occurrence_percent,
    multipath_exceeded_percent,
    quick_occurrence_percent,
)

occurrences = st.floats(1e-11, HIGHEST_PERCENT)


def test_hop_shorter_than_the_method_is_unknown():
    for found in (
        detailed_occurrence_percent([4_999, 5_000], 5800, 60, 55, -200, 40),
        quick_occurrence_percent([4_999, 5_000], 5800, 60, 55, -200),
    ):
        assert np.isnan(found).tolist() == [True, False]


def test_frequency_outside_the_method_is_unknown():
    found = quick_occurrence_percent(6_000, [2_400, 2_500, 45_000, 60_000], 60, 55, -200)
    assert np.isnan(found).tolist() == [True, False, False, True]


@given(st.floats(5_000, 50_000), st.floats(5_000, 40_000), st.floats(0, 300), st.floats(0, 300))
def test_occurrence_is_the_same_from_either_end(distance_m, frequency_mhz, h1_m, h2_m):
    there = detailed_occurrence_percent(distance_m, frequency_mhz, h1_m, h2_m, -250, 20)
    assert there == detailed_occurrence_percent(distance_m, frequency_mhz, h2_m, h1_m, -250, 20)


@given(occurrences, st.floats(0, 60), st.floats(0, 20))
def test_deeper_fades_are_never_more_common(occurrence, fade_db, more_db):
    deeper = multipath_exceeded_percent(fade_db + more_db, occurrence)
    assert deeper <= multipath_exceeded_percent(fade_db, occurrence) * (1.0 + 1e-12)


@given(occurrences)
def test_deep_and_shallow_line_meet(occurrence):
    meet_db = 25.0 + 1.2 * np.log10(occurrence)
    just_above, at = multipath_exceeded_percent([np.nextafter(meet_db, 0.0), meet_db], occurrence)
    assert just_above == pytest.approx(at, rel=1e-6)


def test_what_never_happens_never_exceeds():
    assert multipath_exceeded_percent([0, 3, 30], 0.0).tolist() == [0.0, 0.0, 0.0]


def test_fade_outside_its_range_is_unknown():
    found = multipath_exceeded_percent([-1.0, np.nan, 3.0, 3.0, np.nan], [0.1, 0.1, -1.0, 2_001.0, 0.0])
    assert np.isnan(found).all()
