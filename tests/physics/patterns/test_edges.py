from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UsageError
from survey_app.physics.patterns import (
    ENVELOPE,
    LOBE,
    OMNI,
    SECTOR,
    azimuth_edge_deg,
    beam_elevation_deg,
    elevation_edges_deg,
    gain_dbi,
    half_power_azimuth_deg,
)
from survey_app.physics.patterns.side_lobes import SideLobes


@pytest.mark.parametrize("kind", [SECTOR, LOBE])
@pytest.mark.parametrize("width", [9.4, 19.0, 27.0, 60.0, 90.0, 120.0])
def test_half_power_azimuth_is_half_the_beamwidth(kind: int, width: float) -> None:
    assert float(half_power_azimuth_deg(kind, 17.0, width, 7.0, 28.0)) == pytest.approx(width / 2.0, abs=1e-9)


def test_half_power_azimuth_of_an_omni_is_nan() -> None:
    assert np.isnan(half_power_azimuth_deg(OMNI, 8.0, 360.0, 17.0, np.nan))


@given(st.floats(0.5, 24.9))
def test_azimuth_edge_of_a_panel_is_the_solved_main_lobe(fall_db: float) -> None:
    got = azimuth_edge_deg(LOBE, fall_db, 16.0, 27.0, 27.0, 25.0)
    assert float(got) == pytest.approx(27.0 * math.sqrt(fall_db / 12.0), abs=1e-9)


def test_azimuth_edge_beyond_the_level_behind_is_nan() -> None:
    got = azimuth_edge_deg(LOBE, [25.0, 25.01], 16.0, 27.0, 27.0, 25.0)
    assert np.isnan(got).tolist() == [False, True]


@given(st.sampled_from([SECTOR, LOBE, ENVELOPE]), st.floats(0.5, 20.0), st.sampled_from(["peak", "average"]))
def test_azimuth_edge_is_where_the_gain_has_fallen_and_not_before(
    kind: int, fall_db: float, side_lobes: SideLobes
) -> None:
    edge_deg = azimuth_edge_deg(kind, fall_db, 25.0, 60.0, 9.0, 30.0, side_lobes=side_lobes)
    before, after = gain_dbi(
        kind, 25.0, 60.0, 9.0, 30.0, 0.0, np.array([-1e-6, 1e-6]) + edge_deg, 0.0, side_lobes=side_lobes
    )
    assert before > 25.0 - fall_db - 1e-6
    assert after <= 25.0 - fall_db + 1e-6


@given(st.sampled_from([OMNI, SECTOR, LOBE]), st.floats(0.5, 20.0), st.floats(-8.0, 8.0))
def test_elevation_edges_are_where_the_gain_has_fallen_and_not_before(
    kind: int, fall_db: float, tilt_deg: float
) -> None:
    lower, upper = elevation_edges_deg(kind, fall_db, 17.0, 90.0, 7.0, 28.0, tilt_deg)
    assert lower < -tilt_deg < upper
    inside = gain_dbi(kind, 17.0, 90.0, 7.0, 28.0, tilt_deg, 0.0, [lower + 1e-6, upper - 1e-6])
    outside = gain_dbi(kind, 17.0, 90.0, 7.0, 28.0, tilt_deg, 0.0, [lower - 1e-6, upper + 1e-6])
    assert (inside > 17.0 - fall_db - 1e-5).all()
    assert (outside <= 17.0 - fall_db + 1e-5).all()


@given(st.floats(0.5, 12.0), st.floats(2.0, 12.0))
def test_elevation_edges_of_an_omni_are_the_solved_main_lobe(fall_db: float, tilt_deg: float) -> None:
    lower, upper = elevation_edges_deg(OMNI, fall_db, 12.0, 360.0, 6.8, np.nan, tilt_deg)
    expected = 6.8 * math.sqrt(fall_db / 12.0)
    assert beam_elevation_deg([lower, upper], tilt_deg).tolist() == pytest.approx([-expected, expected], abs=1e-9)


def test_elevation_edges_that_the_beam_never_reaches_are_nan() -> None:
    lower, upper = elevation_edges_deg(OMNI, 40.0, 8.0, 360.0, 17.0, np.nan)
    assert np.isnan([lower, upper]).all()


@pytest.mark.parametrize("fall_db", [0.0, -3.0, np.nan])
def test_edges_of_no_fall_are_nan(fall_db: float) -> None:
    assert np.isnan(azimuth_edge_deg(LOBE, fall_db, 16.0, 27.0, 27.0, 25.0))


def test_edges_of_an_unknown_antenna_are_nan() -> None:
    assert np.isnan(
        azimuth_edge_deg([LOBE, LOBE, 99], 3.0, [np.nan, 16.0, 16.0], [27.0, np.nan, 27.0], 27.0, 25.0)
    ).all()


def test_edges_of_mixed_kinds_come_in_one_call() -> None:
    got = azimuth_edge_deg([SECTOR, LOBE, OMNI], 3.0, 17.0, [90.0, 27.0, 360.0], 7.0, 28.0)
    np.testing.assert_allclose(got, [45.0, 13.5, np.nan], atol=1e-9)


def test_edges_of_a_kind_that_is_not_a_whole_number_raise() -> None:
    with pytest.raises(UsageError):
        half_power_azimuth_deg(1.0, 17.0, 90.0, 7.0, 28.0)
