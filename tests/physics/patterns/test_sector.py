from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.errors import UnknownNameError
from survey_app.physics.patterns import beamwidths_gain_dbi, sector_elevation_beamwidth_deg, sector_gain_dbi
from survey_app.physics.patterns.side_lobes import SideLobes

azimuth_widths = st.floats(10.0, 120.0)
elevation_widths = st.floats(2.0, 60.0)
readings = st.sampled_from(["peak", "average"])


@given(azimuth_widths, elevation_widths, st.floats(-10.0, 10.0), readings)
def test_sector_gain_at_the_beam_is_the_peak(
    azimuth_width: float, elevation_width: float, tilt_deg: float, side_lobes: SideLobes
) -> None:
    got = sector_gain_dbi(17.0, azimuth_width, elevation_width, tilt_deg, 0.0, -tilt_deg, side_lobes=side_lobes)
    assert float(got) == 17.0


@given(azimuth_widths, elevation_widths, st.floats(0.0, 180.0), st.floats(0.0, 180.0), readings)
def test_sector_gain_falls_along_the_azimuth_alike_left_and_right(
    azimuth_width: float, elevation_width: float, first: float, second: float, side_lobes: SideLobes
) -> None:
    near, far = sorted((first, second))
    inner, outer, left = sector_gain_dbi(
        17.0, azimuth_width, elevation_width, 0.0, [near, far, -far], 0.0, side_lobes=side_lobes
    )
    assert inner >= outer
    assert outer == pytest.approx(left, abs=1e-9)


@given(elevation_widths, st.floats(0.0, 90.0), st.floats(0.0, 90.0), readings)
def test_sector_gain_falls_along_the_elevation_alike_up_and_down(
    elevation_width: float, first: float, second: float, side_lobes: SideLobes
) -> None:
    near, far = sorted((first, second))
    inner, outer, below = sector_gain_dbi(
        17.0, 90.0, elevation_width, 0.0, 0.0, [near, far, -far], side_lobes=side_lobes
    )
    assert inner >= outer - 1e-9
    assert outer == below


@given(azimuth_widths, elevation_widths, st.floats(-180.0, 180.0), st.floats(-90.0, 90.0), readings)
def test_sector_gain_is_never_above_the_peak_nor_below_the_level_behind(
    azimuth_width: float, elevation_width: float, azimuth: float, elevation: float, side_lobes: SideLobes
) -> None:
    got = float(sector_gain_dbi(0.0, azimuth_width, elevation_width, 0.0, azimuth, elevation, side_lobes=side_lobes))
    behind = 10 * np.log10(1 + 8 * 0.7) - (12 if side_lobes == "peak" else 15) - 15 * np.log10(180 / elevation_width)
    assert behind - 1e-9 <= got <= 0.0


@pytest.mark.parametrize("side_lobes", ["peak", "average"])
@pytest.mark.parametrize("width", [2.0, 4.0, 7.0, 15.0, 22.0])
def test_sector_elevation_pattern_runs_into_the_level_behind_at_90_deg(side_lobes: SideLobes, width: float) -> None:
    # Without k_v in the slope of the far side lobes the two met with a step of up to 8 dB.
    below, at = sector_gain_dbi(17.0, 90.0, width, 0.0, 0.0, [90.0 - 1e-7, 90.0], side_lobes=side_lobes)
    assert below == pytest.approx(at, abs=1e-3)


def test_sector_gain_at_half_the_beamwidths_is_three_decibels_down() -> None:
    assert sector_gain_dbi(17.0, 90.0, 7.0, 0.0, [45.0, 0.0], [0.0, 3.5]).tolist() == pytest.approx([14.0, 14.0])


def test_sector_gain_goes_round_by_whole_turns() -> None:
    got = sector_gain_dbi(17.0, 90.0, 7.0, 0.0, [30.0, 390.0, -330.0], 0.0)
    assert got.tolist() == pytest.approx([float(got[0])] * 3, abs=1e-12)


@pytest.mark.parametrize("width", [22.5, 30.0, 90.0, 180.0])
def test_sector_gain_of_a_wide_elevation_beam_is_a_number_everywhere(width: float) -> None:
    got = sector_gain_dbi(10.0, 90.0, width, 0.0, np.linspace(-180, 180, 25)[:, np.newaxis], np.linspace(-90, 90, 37))
    assert np.isfinite(got).all()


@pytest.mark.parametrize("position", range(6))
def test_sector_gain_with_an_unknown_input_is_nan(position: int) -> None:
    values = [17.0, 90.0, 7.0, 2.0, 10.0, 1.0]
    values[position] = np.nan
    assert np.isnan(sector_gain_dbi(*values))
    assert np.isnan(sector_gain_dbi(*values, side_lobes="average"))


@pytest.mark.parametrize(
    "values",
    [
        (17, 0, 7, 0, 0, 0),
        (17, 361, 7, 0, 0, 0),
        (17, 90, 0, 0, 0, 0),
        (17, 90, 181, 0, 0, 0),
        (17, 90, 7, 0, 0, 91),
        (17, 90, 7, 0, np.inf, 0),
    ],
)
def test_sector_gain_outside_its_range_is_nan(values: tuple[float, ...]) -> None:
    assert np.isnan(sector_gain_dbi(*values))


def test_sector_gain_with_another_reading_or_leakage_raises() -> None:
    with pytest.raises(UnknownNameError):
        sector_gain_dbi(17.0, 90.0, 7.0, 0.0, 0.0, 0.0, side_lobes="best")  # type: ignore[arg-type]
    for name in ("k_back", "k_azimuth", "k_elevation"):
        with pytest.raises(ValueError, match=name):
            sector_gain_dbi(17.0, 90.0, 7.0, 0.0, 0.0, 0.0, **{name: 1.5})


def test_improved_side_lobes_lie_below_the_typical_ones() -> None:
    elevation = np.array([10.0, 20.0, 25.0])
    typical = sector_gain_dbi(17.0, 90.0, 6.87, 0.0, 0.0, elevation)
    improved = sector_gain_dbi(17.0, 90.0, 6.87, 0.0, 0.0, elevation, k_azimuth=0.7, k_elevation=0.3)
    assert (improved < typical).all()


@given(st.floats(5.0, 25.0), azimuth_widths)
def test_gain_of_beamwidths_takes_the_elevation_beamwidth_back(gain: float, azimuth_width: float) -> None:
    width = sector_elevation_beamwidth_deg(gain, azimuth_width)
    assert float(beamwidths_gain_dbi(azimuth_width, width)) == pytest.approx(gain, abs=1e-9)


def test_gain_of_impossible_beamwidths_is_nan() -> None:
    assert np.isnan(beamwidths_gain_dbi([0.0, -5.0, np.nan], 7.0)).all()
    assert np.isnan(sector_elevation_beamwidth_deg(17.0, [0.0, np.nan])).all()


def test_sector_gain_broadcasts() -> None:
    assert sector_gain_dbi(np.full((4, 1), 17.0), 90.0, 7.0, 2.0, np.linspace(-90.0, 90.0, 7), 0.0).shape == (4, 7)
