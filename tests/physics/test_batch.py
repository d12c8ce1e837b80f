"""A hop gets the same bits whether it is computed alone or among thousands, and however the thousands lie in memory."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from survey_app.physics import decibels, free_space, fresnel, gases, geometry, patterns, pointing, rain

COUNT = 503
RANDOM = np.random.default_rng(411)


def spread(low: float, high: float) -> np.ndarray[Any, np.dtype[np.float64]]:
    values = RANDOM.uniform(low, high, COUNT)
    values[RANDOM.integers(0, COUNT, 12)] = np.nan
    return values


FREQUENCY = spread(2_000.0, 70_000.0)
DISTANCE = spread(20.0, 9_000.0)
AZIMUTH, ELEVATION = spread(-400.0, 400.0), spread(-89.0, 89.0)
GAIN, WIDTH_H, WIDTH_V, BACK, TILT = spread(5, 30), spread(5, 120), spread(3, 40), spread(15, 35), spread(-5, 5)
KINDS = RANDOM.integers(0, 5, COUNT)
CUT = patterns.Cut.of(np.linspace(-180.0, 170.0, 36), -np.abs(np.linspace(-30.0, 28.0, 36)))

FUNCTIONS: dict[str, tuple[Callable[..., Any], tuple[Any, ...]]] = {
    "to_db": (decibels.to_db, (spread(0.0, 9.0),)),
    "from_db": (decibels.from_db, (spread(-150.0, 60.0),)),
    "sum_dbm": (decibels.sum_dbm, (spread(-100, 0), spread(-100, 0), spread(-100, 0))),
    "free_space_loss": (free_space.free_space_loss_db, (DISTANCE, FREQUENCY)),
    "free_space_range": (free_space.free_space_range_m, (spread(40.0, 130.0), FREQUENCY)),
    "far_field": (free_space.far_field_distance_m, (spread(0.0, 1.0), FREQUENCY)),
    "elevation": (geometry.elevation_deg, (spread(0, 40), spread(0, 40), DISTANCE, spread(0.7, 2.0))),
    "slant": (geometry.slant_distance_m, (DISTANCE, spread(0, 900), spread(0, 900))),
    "bulge": (geometry.earth_bulge_m, (DISTANCE, DISTANCE[::-1].copy(), spread(0.7, 2.0))),
    "fresnel": (fresnel.fresnel_zone_radius_m, (DISTANCE, DISTANCE[::-1].copy(), FREQUENCY)),
    "antenna_angles": (geometry.antenna_angles_deg, (AZIMUTH, ELEVATION, spread(0, 360), spread(-30, 30))),
    "off_axis": (geometry.off_axis_deg, (AZIMUTH, ELEVATION)),
    "gases": (gases.gas_loss_db, (DISTANCE, FREQUENCY, spread(900, 1030), spread(-20, 40), spread(0, 25))),
    "rain": (
        rain.rain_attenuation_db,
        (DISTANCE, FREQUENCY, spread(10, 120), spread(0.001, 1.0), spread(0, 90), spread(-20, 20)),
    ),
    "rain_exceeded": (rain.rain_exceeded_percent, (spread(0.1, 20.0), DISTANCE, FREQUENCY, spread(10, 120))),
    "pointing": (pointing.pointing_loss_db, (spread(-8, 8), spread(5, 20))),
    "rotation": (pointing.rotation_loss_db, (AZIMUTH, spread(15, 35))),
    "omni": (patterns.omni_gain_dbi, (GAIN, WIDTH_V, TILT, ELEVATION)),
    "sector": (patterns.sector_gain_dbi, (GAIN, WIDTH_H, WIDTH_V, TILT, AZIMUTH, ELEVATION)),
    "lobe": (patterns.lobe_gain_dbi, (GAIN, WIDTH_H, WIDTH_V, BACK, TILT, AZIMUTH, ELEVATION)),
    "envelope": (patterns.envelope_gain_dbi, (GAIN, spread(-180, 180))),
    "kinds": (patterns.gain_dbi, (KINDS, GAIN, WIDTH_H, WIDTH_V, BACK, TILT, AZIMUTH, ELEVATION)),
    "azimuth_edge": (patterns.azimuth_edge_deg, (KINDS, spread(1, 20), GAIN, WIDTH_H, WIDTH_V, BACK)),
    "elevation_edges": (patterns.elevation_edges_deg, (KINDS, spread(1, 20), GAIN, WIDTH_H, WIDTH_V, BACK, TILT)),
    "table": (lambda *values: patterns.table_gain_dbi(values[0], CUT, CUT, *values[1:]), (GAIN, AZIMUTH, ELEVATION)),
}


def bits(result: Any) -> Any:
    return np.stack([np.asarray(part) for part in result]) if isinstance(result, tuple) else np.asarray(result)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_results_do_not_depend_on_the_size_or_the_layout_of_the_batch(name: str) -> None:
    function, columns = FUNCTIONS[name]
    whole = bits(function(*columns))
    assert np.isfinite(whole).any()
    assert np.isnan(whole).any()

    # one at a time, as numbers without an axis
    some = range(0, COUNT, 29)
    alone = np.stack([bits(function(*(column[index] for column in columns))) for index in some], axis=-1)
    np.testing.assert_array_equal(alone, whole[..., some])

    # in pieces of seven
    pieces = [bits(function(*(column[start : start + 7] for column in columns))) for start in range(0, COUNT, 7)]
    np.testing.assert_array_equal(np.concatenate(pieces, axis=-1), whole)

    # backwards through memory
    np.testing.assert_array_equal(bits(function(*(column[::-1] for column in columns)))[..., ::-1], whole)

    # one column of a table
    tables = [np.repeat(column[:, np.newaxis], 3, axis=1) for column in columns]
    np.testing.assert_array_equal(bits(function(*(table[:, 1] for table in tables))), whole)

    # a table in either order
    np.testing.assert_array_equal(bits(function(*(np.asfortranarray(table) for table in tables)))[..., 2], whole)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_missing_first_input_is_missing_in_the_result(name: str) -> None:
    function, columns = FUNCTIONS[name]
    missing = np.full(COUNT, np.nan)
    if columns[0].dtype.kind == "i":
        arguments: tuple[Any, ...] = (columns[0], missing, *columns[2:])
    else:
        arguments = (missing, *columns[1:])
    assert np.isnan(bits(function(*arguments))).all()


AWKWARD = np.array([np.nan, np.inf, -np.inf, 0.0, -0.0, 1e-9, -1e-9, 1.0, -1.0, 90.0, -90.0, 180.0, 360.0, 1e9, -1e9])


@pytest.mark.parametrize("name", FUNCTIONS)
def test_no_number_raises_or_warns(name: str) -> None:
    function, columns = FUNCTIONS[name]
    random = np.random.default_rng(7)
    awkward = [
        column
        if column.dtype.kind == "i"
        else np.where(random.random(COUNT) < 0.4, random.choice(AWKWARD, COUNT), column)
        for column in columns
    ]
    assert bits(function(*awkward)).dtype == np.float64
