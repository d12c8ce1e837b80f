from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from survey_app.physics.geometry import antenna_angles_deg, elevation_deg
from survey_app.physics.patterns import lobe_field_dbi, lobe_gain_dbi
from survey_app.physics.pointing import pointing_loss_db

widths = st.floats(2.0, 120.0)
azimuths = st.floats(-180.0, 180.0)
elevations = st.floats(-90.0, 90.0)


@given(widths, widths, st.floats(0.0, 60.0), st.floats(-10.0, 10.0))
def test_lobe_gain_at_the_beam_is_the_peak(width_h: float, width_v: float, floor_db: float, tilt_deg: float) -> None:
    assert float(lobe_gain_dbi(16.0, width_h, width_v, floor_db, tilt_deg, 0.0, -tilt_deg)) == 16.0


@given(widths, widths, azimuths, elevations)
def test_lobe_gain_stays_between_the_peak_and_the_level_behind(
    width_h: float, width_v: float, azimuth: float, elevation: float
) -> None:
    assert 16.0 - 25.0 <= float(lobe_gain_dbi(16.0, width_h, width_v, 25.0, 0.0, azimuth, elevation)) <= 16.0


@given(widths, widths, azimuths, elevations)
def test_lobe_gain_is_alike_left_and_right_and_up_and_down(
    width_h: float, width_v: float, azimuth: float, elevation: float
) -> None:
    right, left, below = lobe_gain_dbi(
        16.0, width_h, width_v, 25.0, 0.0, [azimuth, -azimuth, azimuth], [elevation, elevation, -elevation]
    )
    assert right == pytest.approx(left, abs=1e-9)
    assert right == below


@given(widths, elevations, st.floats(0.0, 180.0), st.floats(0.0, 180.0))
def test_lobe_gain_falls_outward(width: float, elevation: float, first: float, second: float) -> None:
    near, far = sorted((first, second))
    inner, outer = lobe_gain_dbi(16.0, width, 27.0, 25.0, 0.0, [near, far], elevation)
    assert inner >= outer


@given(st.floats(0.0, 27.0))
def test_lobe_gain_within_a_beamwidth_loses_what_pointing_says(offset_deg: float) -> None:
    lost_db = 0.0 - lobe_gain_dbi(0.0, 27.0, 27.0, 25.0, 0.0, offset_deg, 0.0)
    assert float(lost_db) == pytest.approx(float(pointing_loss_db(offset_deg, 27.0)), abs=1e-12)


@pytest.mark.parametrize("position", range(7))
def test_lobe_gain_with_an_unknown_input_is_nan(position: int) -> None:
    values = [16.0, 27.0, 27.0, 25.0, 0.0, 10.0, 1.0]
    values[position] = np.nan
    assert np.isnan(lobe_gain_dbi(*values))


@pytest.mark.parametrize(
    "values",
    [
        (16, 0, 27, 25, 0, 0, 0),
        (16, 27, 0, 25, 0, 0, 0),
        (16, 27, 27, -1, 0, 0, 0),
        (16, 27, 27, 25, 0, 0, -91),
        (16, 361, 27, 25, 0, 0, 0),
    ],
)
def test_lobe_gain_outside_its_range_is_nan(values: tuple[float, ...]) -> None:
    assert np.isnan(lobe_gain_dbi(*values))


def test_lobe_gain_broadcasts() -> None:
    assert lobe_gain_dbi(np.full((4, 1), 16.0), 27.0, 27.0, 25.0, 0.0, np.linspace(-90.0, 90.0, 7), 0.0).shape == (4, 7)


def test_field_of_panels_is_the_gain_of_each_toward_each_spot() -> None:
    rng = np.random.default_rng(3)
    count = 40
    spots = np.column_stack((rng.uniform(-900.0, 900.0, (count, 2)), rng.uniform(2.0, 40.0, count)))
    spots[1, :2] = spots[0, :2]  # right above one another
    rows = np.arange(0, count, 2)
    aims = np.column_stack((rng.uniform(0.0, 360.0, len(rows)), rng.uniform(-20.0, 10.0, len(rows))))
    figures = np.column_stack(
        (
            rng.uniform(8.0, 20.0, len(rows)), rng.uniform(10.0, 120.0, len(rows)), rng.uniform(10.0, 60.0, len(rows)),
            rng.uniform(15.0, 40.0, len(rows)), rng.uniform(-5.0, 8.0, len(rows)),
        )
    )  # fmt: skip
    figures[3, 3], figures[4, 0], figures[5, 1], figures[6, 4] = np.nan, np.nan, 0.0, 95.0
    field = lobe_field_dbi(spots, rows, aims, figures, 1e-3)
    for n, row in enumerate(rows.tolist()):
        away = spots - spots[row]
        ground = np.hypot(away[:, 0], away[:, 1])
        up = elevation_deg(spots[row, 2], spots[:, 2], np.maximum(ground, 1e-3))
        toward = np.rad2deg(np.arctan2(away[:, 0], away[:, 1]))
        seen = antenna_angles_deg(toward, up, *aims[n])
        alone = lobe_gain_dbi(*figures[n], *seen)
        other = np.arange(count) != row
        assert field[n, other] == pytest.approx(alone[other], abs=1e-9, nan_ok=True)
    assert np.isnan(field[3:7]).all()
    assert not np.isnan(field[:3]).any()
