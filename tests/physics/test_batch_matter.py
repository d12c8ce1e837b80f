"""Walls, rooms and trees give the same bits alone and among thousands, however the thousands lie in memory."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from survey_app.physics import building_entry, foliage, foliage_range, indoor, indoor_floors, indoor_path
from survey_app.physics.construction import construction
from survey_app.physics.layers import slab, slab_loss_db, stack
from survey_app.physics.loss_range import LossRange
from survey_app.physics.material import complex_permittivity, material
from survey_app.physics.wall_loss import construction_loss_db, rays_loss_db

COUNT = 409
RANDOM = np.random.default_rng(77)


def spread(low: float, high: float) -> np.ndarray[Any, np.dtype[np.float64]]:
    values = RANDOM.uniform(low, high, COUNT)
    values[RANDOM.integers(0, COUNT, 9)] = np.nan
    return values


FREQUENCY, ANGLE, DEPTH, DISTANCE = spread(900, 60_000), spread(-3, 93), spread(-5, 420), spread(0, 120)
MATTERS = [material(name) for name in ("concrete", "glass", "metal")]


def _layered(thickness_m: Any, frequency_mhz: Any, angle_deg: Any) -> Any:
    eta = np.stack([complex_permittivity(one, frequency_mhz) for one in MATTERS], axis=-1)
    thickness = np.stack(np.broadcast_arrays(thickness_m, 0.004, 0.0), axis=-1)
    wave = stack(eta, thickness, frequency_mhz, angle_deg, "tm")
    return wave.reflection.real, wave.reflection.imag, wave.transmission.real, wave.transmission.imag


def _one_slab(thickness_m: Any, frequency_mhz: Any, angle_deg: Any) -> Any:
    eta = complex_permittivity(MATTERS[0], frequency_mhz)
    wave = slab(eta, thickness_m, frequency_mhz, angle_deg, "te")
    return wave.reflection.real, wave.reflection.imag, slab_loss_db(eta, thickness_m, frequency_mhz, angle_deg, "tm")


def _path(distance_m: Any, low_db: Any, more_db: Any) -> Any:
    with np.errstate(invalid="ignore"):
        walls = LossRange(low_db, low_db + more_db, low_db + 2.0 * more_db)
    return tuple(indoor_path.indoor_path_loss_db(distance_m, 5500.0, walls, "industrial"))


def _rays(angle_deg: Any) -> Any:
    angle_deg = np.asarray(angle_deg)
    count = angle_deg.size
    walls = [construction("brick-110")]
    return rays_loss_db(count, np.arange(count), np.zeros(count, int), angle_deg, walls, 5500.0).likely_db.reshape(
        angle_deg.shape
    )


FUNCTIONS: dict[str, tuple[Callable[..., Any], tuple[Any, ...]]] = {
    "slab": (_one_slab, (spread(-0.01, 0.3), FREQUENCY, ANGLE)),
    "stack": (_layered, (spread(-0.01, 0.3), FREQUENCY, ANGLE)),
    "construction": (lambda a: tuple(construction_loss_db(construction("glazing-double"), 5500, 20, a)), (ANGLE,)),
    "rays": (_rays, (ANGLE,)),
    "entry": (
        lambda f, p, e: building_entry.building_entry_loss_db(f, "efficient", p, e),
        (FREQUENCY, spread(-0.1, 1.1), spread(-95, 95)),
    ),
    "place": (lambda d, f: indoor.indoor_loss_db(d, f, "corridor", False), (DISTANCE, FREQUENCY)),
    "floors": (indoor_floors.indoor_floors_loss_db, (DISTANCE, FREQUENCY, spread(-1, 40), spread(-1, 30))),
    "path": (_path, (DISTANCE, spread(-1, 60), spread(-1, 30))),
    "served": (indoor_path.served_fraction, (spread(-20, 20), spread(-1, 9))),
    "weissberger": (foliage.weissberger_loss_db, (DEPTH, FREQUENCY)),
    "early_itu": (foliage.early_itu_loss_db, (DEPTH, FREQUENCY)),
    "fitu_r": (lambda d, f: foliage.fitu_r_loss_db(d, f, True, True), (DEPTH, FREQUENCY)),
    "cost_235": (lambda d, f: foliage.cost_235_loss_db(d, f, False, True), (DEPTH, FREQUENCY)),
    "woodland": (lambda d, f: foliage.woodland_loss_db(d, *foliage.woodland_parameters(f, True)), (DEPTH, FREQUENCY)),
    "in_leaf": (lambda d, f: tuple(foliage_range.foliage_loss_range_db(d, f, True))[:2], (DEPTH, FREQUENCY)),
    "bare": (lambda d, f: tuple(foliage_range.foliage_loss_range_db(d, f, False))[:2], (DEPTH, FREQUENCY)),
}


def bits(result: Any) -> Any:
    return np.stack([np.asarray(part) for part in result]) if isinstance(result, tuple) else np.asarray(result)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_results_do_not_depend_on_the_size_or_the_layout_of_the_batch(name: str) -> None:
    function, columns = FUNCTIONS[name]
    whole = bits(function(*columns))
    assert np.isfinite(whole).any()
    assert np.isnan(whole).any()

    some = range(0, COUNT, 23)
    alone = np.stack([bits(function(*(column[index] for column in columns))) for index in some], axis=-1)
    np.testing.assert_array_equal(alone, whole[..., some])

    pieces = [bits(function(*(column[start : start + 7] for column in columns))) for start in range(0, COUNT, 7)]
    np.testing.assert_array_equal(np.concatenate(pieces, axis=-1), whole)

    np.testing.assert_array_equal(bits(function(*(column[::-1] for column in columns)))[..., ::-1], whole)

    tables = [np.repeat(column[:, np.newaxis], 3, axis=1) for column in columns]
    np.testing.assert_array_equal(bits(function(*(table[:, 1] for table in tables))), whole)
    np.testing.assert_array_equal(bits(function(*(np.asfortranarray(table) for table in tables)))[..., 2], whole)


AWKWARD = np.array([np.nan, np.inf, -np.inf, 0.0, -0.0, 1e-9, -1e-9, 1.0, -1.0, 90.0, -90.0, 1e9, -1e9])


@pytest.mark.parametrize("name", FUNCTIONS)
def test_no_number_raises_or_warns(name: str) -> None:
    function, columns = FUNCTIONS[name]
    random = np.random.default_rng(7)
    awkward = [np.where(random.random(COUNT) < 0.4, random.choice(AWKWARD, COUNT), column) for column in columns]
    assert bits(function(*awkward)).dtype == np.float64
