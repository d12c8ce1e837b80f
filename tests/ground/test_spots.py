"""Spots that stand for an area."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from survey_app.ground.spots import spots_in

L_SHAPE = np.array([[0.0, 0.0], [30.0, 0.0], [30.0, 10.0], [10.0, 10.0], [10.0, 30.0], [0.0, 30.0]])


def test_spots_lie_inside_and_share_the_area_evenly() -> None:
    found = spots_in(L_SHAPE, 500)
    shape = shapely.Polygon(L_SHAPE)
    assert found.area_m2 == pytest.approx(shape.area)
    assert all(shape.contains(shapely.Point(at)) for at in found.at_m.tolist())
    assert len(found.at_m) * found.step_m**2 == pytest.approx(shape.area, rel=0.05)


def test_a_narrow_strip_still_has_a_spot() -> None:
    strip = np.array([[0.0, 0.0], [40.0, 39.9], [40.0, 40.0]])
    assert len(spots_in(strip, 50).at_m) > 0


@pytest.mark.parametrize("outline", [[[0.0, 0.0], [1.0, 1.0]], [[0.0, 0.0], [1.0, np.nan], [2.0, 0.0]]])
def test_an_outline_that_encloses_nothing_has_none(outline: list[list[float]]) -> None:
    assert len(spots_in(np.array(outline), 50).at_m) == 0


def test_the_same_area_elsewhere_has_the_same_spots() -> None:
    here, there = spots_in(L_SHAPE, 300), spots_in(L_SHAPE + 1000.0, 300)
    assert np.allclose(there.at_m - 1000.0, here.at_m)
