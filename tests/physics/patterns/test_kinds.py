from __future__ import annotations

import numpy as np
import pytest

from survey_app.errors import UnknownNameError, UsageError
from survey_app.physics.geometry import off_axis_deg
from survey_app.physics.patterns import (
    ENVELOPE,
    LOBE,
    OMNI,
    SECTOR,
    beam_elevation_deg,
    envelope_gain_dbi,
    gain_dbi,
    lobe_gain_dbi,
    omni_gain_dbi,
    sector_gain_dbi,
)
from survey_app.physics.patterns.side_lobes import SideLobes

AZIMUTH = np.linspace(-180.0, 180.0, 37)[:, np.newaxis]
ELEVATION = np.linspace(-90.0, 90.0, 31)


@pytest.mark.parametrize("side_lobes", ["peak", "average"])
def test_gain_of_mixed_kinds_is_that_of_each_kind_to_the_bit(side_lobes: SideLobes) -> None:
    kinds = np.array([OMNI, SECTOR, LOBE, ENVELOPE])[:, np.newaxis, np.newaxis]
    got = gain_dbi(kinds, 17.0, 90.0, 7.0, 28.0, 2.0, AZIMUTH, ELEVATION, side_lobes=side_lobes)
    alone = (
        omni_gain_dbi(17.0, 7.0, 2.0, ELEVATION + 0.0 * AZIMUTH, side_lobes=side_lobes),
        sector_gain_dbi(17.0, 90.0, 7.0, 2.0, AZIMUTH, ELEVATION, side_lobes=side_lobes),
        lobe_gain_dbi(17.0, 90.0, 7.0, 28.0, 2.0, AZIMUTH, ELEVATION),
        envelope_gain_dbi(17.0, off_axis_deg(AZIMUTH, beam_elevation_deg(ELEVATION, 2.0))),
    )
    for row, expected in zip(got, alone, strict=True):
        np.testing.assert_array_equal(row, expected)


@pytest.mark.parametrize("kind", [OMNI, SECTOR, LOBE, ENVELOPE])
def test_gain_at_the_beam_of_a_tilted_antenna_is_the_peak(kind: int) -> None:
    # The beam of an antenna with built-in tilt lies below its mechanical axis.
    assert float(gain_dbi(kind, 17.0, 90.0, 7.0, 28.0, 2.0, 0.0, -2.0)) == pytest.approx(17.0, abs=1e-12)
    assert float(gain_dbi(kind, 17.0, 90.0, 7.0, 28.0, 2.0, 0.0, 0.0)) < 17.0


def test_gain_of_an_omni_needs_neither_front_to_back_nor_azimuth() -> None:
    assert float(gain_dbi(OMNI, 8.0, np.nan, 17.0, np.nan, 0.0, np.nan, 0.0)) == 8.0


def test_gain_of_a_panel_without_front_to_back_is_nan() -> None:
    assert np.isnan(gain_dbi(LOBE, 16.0, 27.0, 27.0, np.nan, 0.0, 0.0, 0.0))


def test_gain_of_an_unknown_kind_is_nan_and_leaves_the_others() -> None:
    got = gain_dbi([LOBE, 17, -1, SECTOR], 16.0, 27.0, 27.0, 25.0, 0.0, 0.0, 0.0)
    np.testing.assert_array_equal(got, [16.0, np.nan, np.nan, 16.0])


def test_gain_of_no_antennas_is_empty() -> None:
    assert gain_dbi(np.zeros(0, dtype=np.int64), 16.0, 27.0, 27.0, 25.0, 0.0, 0.0, 0.0).shape == (0,)


def test_gain_of_a_kind_that_is_not_a_whole_number_raises() -> None:
    with pytest.raises(UsageError, match="whole number"):
        gain_dbi(1.0, 16.0, 27.0, 27.0, 25.0, 0.0, 0.0, 0.0)


def test_gain_with_another_reading_raises_whatever_the_kinds() -> None:
    with pytest.raises(UnknownNameError):
        gain_dbi(LOBE, 16.0, 27.0, 27.0, 25.0, 0.0, 0.0, 0.0, side_lobes="x")  # type: ignore[arg-type]
