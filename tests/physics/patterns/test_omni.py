from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics.patterns import omni_beamwidth_deg, omni_gain_dbi
from survey_app.physics.patterns.side_lobes import SideLobes

gains = st.floats(2.0, 15.0)
readings = st.sampled_from(["peak", "average"])


@given(gains, st.floats(-10.0, 10.0), readings)
def test_omni_gain_at_the_beam_is_the_peak(gain: float, tilt_deg: float, side_lobes: SideLobes) -> None:
    got = omni_gain_dbi(gain, omni_beamwidth_deg(gain), tilt_deg, -tilt_deg, side_lobes=side_lobes)
    assert float(got) == gain


@given(gains, st.floats(0.0, 90.0), st.floats(0.0, 90.0), readings)
def test_omni_gain_falls_away_from_the_beam_alike_up_and_down(
    gain: float, first: float, second: float, side_lobes: SideLobes
) -> None:
    width, (near, far) = omni_beamwidth_deg(gain), sorted((first, second))
    inner, outer, below = omni_gain_dbi(gain, width, 0.0, [near, far, -far], side_lobes=side_lobes)
    assert inner >= outer
    assert outer == below


@given(gains, st.floats(-90.0, 90.0), st.floats(0.0, 1.0))
def test_average_omni_gain_never_passes_the_peak_reading(gain: float, elevation_deg: float, k: float) -> None:
    width = omni_beamwidth_deg(gain)
    peak, average = (
        omni_gain_dbi(gain, width, 0.0, elevation_deg, side_lobes=reading, k=k) for reading in ("peak", "average")
    )
    assert float(average) <= float(peak) + 1e-12


def test_omni_gain_at_half_the_beamwidth_is_three_decibels_down() -> None:
    assert float(omni_gain_dbi(12.0, 6.8, 0.0, 3.4)) == pytest.approx(9.0)


def test_tilted_omni_looks_down_all_round_and_less_at_the_horizon() -> None:
    level, horizon = omni_gain_dbi(8.0, 17.0, 5.0, [-5.0, 0.0])
    assert level == 8.0
    assert horizon == pytest.approx(8.0 - 12.0 * (90.0 * 5.0 / 95.0 / 17.0) ** 2)


@pytest.mark.parametrize(
    "values",
    [
        (np.nan, 7, 0, 0),
        (12, np.nan, 0, 0),
        (12, 7, np.nan, 0),
        (12, 7, 0, np.nan),
        (12, 0, 0, 0),
        (12, 181, 0, 0),
        (12, 7, 0, 91),
        (12, 7, 90, 0),
    ],
)
def test_omni_gain_outside_its_range_is_nan(values: tuple[float, ...]) -> None:
    assert np.isnan(omni_gain_dbi(*values))
    assert np.isnan(omni_gain_dbi(*values, side_lobes="average"))


def test_omni_gain_with_another_reading_raises() -> None:
    with pytest.raises(UnknownNameError, match="write peak or average"):
        omni_gain_dbi(8.0, 17.0, 0.0, 0.0, side_lobes="mean")  # type: ignore[arg-type]


@pytest.mark.parametrize("k", [-0.1, 1.1, np.nan])
def test_omni_gain_with_an_impossible_leakage_raises(k: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        omni_gain_dbi(8.0, 17.0, 0.0, 0.0, k=k)


def test_omni_gain_broadcasts() -> None:
    assert omni_gain_dbi(np.full((4, 1), 8.0), 17.0, 0.0, np.linspace(-90.0, 90.0, 7)).shape == (4, 7)
