"""Diffraction, multipath and reflection give the same bits alone and among thousands, however the thousands lie."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from survey_app.physics import bullington, diffraction, multipath, reflection, surface

COUNT = 611
RANDOM = np.random.default_rng(526)


def spread(low: float, high: float) -> np.ndarray[Any, np.dtype[np.float64]]:
    values = RANDOM.uniform(low, high, COUNT)
    values[RANDOM.integers(0, COUNT, 9)] = np.nan
    return values


NEAR, FAR, FREQUENCY = spread(5.0, 2_000.0), spread(5.0, 2_000.0), spread(2_400.0, 66_000.0)
EDGE, LEFT, RIGHT = spread(-3.0, 8.0), spread(-1.0, 3.0), spread(1.0, 3.0)
LOW, HIGH, GRAZING = spread(1.0, 40.0), spread(1.0, 40.0), spread(0.1, 90.0)
ETA = spread(1.5, 80.0) - 1j * spread(0.0, 90.0)

FUNCTIONS: dict[str, tuple[Callable[..., Any], tuple[Any, ...]]] = {
    "parameter": (diffraction.diffraction_parameter, (spread(-9, 9), NEAR, FAR, FREQUENCY)),
    "edge": (diffraction.knife_edge_loss_db, (EDGE,)),
    "crest": (diffraction.rounded_obstacle_loss_db, (spread(-2, 9), NEAR, FAR, FREQUENCY, spread(0, 20))),
    "screen": (diffraction.screen_loss_db, (EDGE, LEFT, RIGHT)),
    "mast": (diffraction.narrow_screen_loss_db, (EDGE, LEFT, RIGHT)),
    "terrain": (diffraction.average_terrain_loss_db, (spread(-3, 1),)),
    "profile": (bullington.bullington_loss_db, (EDGE, NEAR)),
    "occurrence": (
        multipath.detailed_occurrence_percent,
        (
            spread(5_000, 40_000),
            spread(4_000, 40_000),
            spread(0, 300),
            spread(0, 300),
            spread(-400, -40),
            spread(0, 90),
        ),
    ),
    "quick": (
        multipath.quick_occurrence_percent,
        (spread(5_000, 40_000), spread(4_000, 40_000), spread(0, 300), spread(0, 300), spread(-400, -40)),
    ),
    "exceeded": (multipath.multipath_exceeded_percent, (spread(0, 50), spread(0, 90))),
    "water": (surface.water_permittivity, (FREQUENCY, spread(-2, 30), spread(0, 40))),
    "reflected": (reflection.reflected_ray, (LOW, HIGH, NEAR)),
    "coefficient": (lambda eta, angle: reflection.reflection_coefficient(eta, angle, "vertical"), (ETA, GRAZING)),
    "rough": (reflection.rough_factor, (spread(0, 0.1), GRAZING, FREQUENCY)),
    "smooth": (reflection.smooth_roughness_m, (GRAZING, FREQUENCY)),
    "ratio": (
        lambda *values: reflection.field_ratio(*values[:5], "horizontal", *values[5:]),
        (LOW, HIGH, NEAR, FREQUENCY, ETA, spread(0, 0.05), spread(-20, 3)),
    ),
    "level": (reflection.level_change_db, (spread(-1, 1) + 1j * spread(-1, 1),)),
}


def bits(result: Any) -> Any:
    return np.stack([np.asarray(part) for part in result]) if isinstance(result, tuple) else np.asarray(result)


@pytest.mark.parametrize("name", FUNCTIONS)
def test_results_do_not_depend_on_the_size_or_the_layout_of_the_batch(name: str) -> None:
    function, columns = FUNCTIONS[name]
    whole = bits(function(*columns))
    assert np.isfinite(whole).any()
    assert np.isnan(whole).any()
    some = range(0, COUNT, 13)
    alone = np.stack([bits(function(*(column[index] for column in columns))) for index in some], axis=-1)
    np.testing.assert_array_equal(alone, whole[..., some])
    pieces = [bits(function(*(column[start : start + 7] for column in columns))) for start in range(0, COUNT, 7)]
    np.testing.assert_array_equal(np.concatenate(pieces, axis=-1), whole)
    turned = bits(function(*(column[::-1] for column in columns)))
    np.testing.assert_array_equal(turned[..., ::-1], whole)
