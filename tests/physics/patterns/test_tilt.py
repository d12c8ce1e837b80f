from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.patterns import beam_elevation_deg, frame_elevation_deg

elevations = st.floats(-90.0, 90.0)
tilts = st.floats(-60.0, 60.0)


@given(tilts)
def test_beam_elevation_at_the_beam_is_nothing(tilt_deg: float) -> None:
    assert float(beam_elevation_deg(-tilt_deg, tilt_deg)) == 0.0


@given(tilts)
def test_beam_elevation_of_zenith_and_nadir_stays(tilt_deg: float) -> None:
    assert beam_elevation_deg([-90.0, 90.0], tilt_deg).tolist() == pytest.approx([-90.0, 90.0])


@given(elevations, tilts)
def test_frame_elevation_takes_the_tilt_back(elevation_off_deg: float, tilt_deg: float) -> None:
    got = frame_elevation_deg(beam_elevation_deg(elevation_off_deg, tilt_deg), tilt_deg)
    assert float(got) == pytest.approx(elevation_off_deg, abs=1e-9)


@given(elevations, elevations, tilts)
def test_beam_elevation_keeps_the_order(first_deg: float, second_deg: float, tilt_deg: float) -> None:
    low, high = beam_elevation_deg(sorted((first_deg, second_deg)), tilt_deg)
    assert low <= high + 1e-12


@pytest.mark.parametrize("values", [(91.0, 0.0), (0.0, 90.0), (np.nan, 0.0), (0.0, np.nan)])
def test_tilt_outside_its_range_is_nan(values: tuple[float, float]) -> None:
    assert np.isnan(beam_elevation_deg(*values))
    assert np.isnan(frame_elevation_deg(*values))
