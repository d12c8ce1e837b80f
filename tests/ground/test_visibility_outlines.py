"""Outlines of fields on a grid: they are sound polygons, run through the crossings, and fit together without a gap."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from survey_app.ground.visibility.outlines import area_above, areas_apart


def _field(rng: np.random.Generator, rows: int, columns: int, kind: int) -> np.ndarray:
    values = rng.normal(size=(rows, columns)) + 0.3
    if kind == 1:
        return np.sign(values)
    if kind == 2:  # noughts, which lie at points of the grid
        return np.round(values)
    if kind == 3:
        values[rng.random(values.shape) < 0.2] = np.nan
    return values


@pytest.mark.parametrize("kind", range(4))
def test_areas_of_fields_by_chance_are_sound_and_make_up_the_first(kind: int) -> None:
    rng = np.random.default_rng(kind)
    for _ in range(80):
        rows, columns = (int(n) for n in rng.integers(2, 12, 2))
        x, y = np.cumsum(rng.uniform(0.5, 2.0, columns)), np.cumsum(rng.uniform(0.5, 2.0, rows))
        fields = [_field(rng, rows, columns, kind) for _ in range(3)]
        if rng.random() < 0.5:  # often the very same values, so that outlines run together
            fields[1] = np.where(rng.random((rows, columns)) < 0.7, fields[0], fields[1])
        apart, whole = areas_apart(x, y, fields), area_above(x, y, fields[0])
        assert all(shapely.is_valid(area) for area in (*apart, whole))
        assert sum(area.area for area in apart) == pytest.approx(whole.area, abs=1e-4)
        assert shapely.symmetric_difference(shapely.union_all(apart), whole).area < 1e-4
        assert shapely.intersection(apart[0], apart[2]).area < 1e-4


def test_rings_in_rings_belong_to_their_own_outline() -> None:
    x = np.linspace(-9.5, 9.5, 191)
    away = np.hypot(x, x[:, None])
    area = area_above(x, x, np.cos(away * np.pi / 2.0))  # discs and rings: positive to 1, from 3 to 5, from 7 to 9
    disc, ring, outer = (
        next(part for part in shapely.get_parts(area) if part.covers(shapely.Point(at, 0.0))) for at in (0.0, 4.0, 8.0)
    )
    assert [len(part.interiors) for part in (disc, ring, outer)] == [0, 1, 1]
    assert disc.area == pytest.approx(np.pi, rel=1e-2)
    assert ring.area == pytest.approx(np.pi * (25.0 - 9.0), rel=1e-2)
    assert outer.area == pytest.approx(np.pi * (81.0 - 49.0), rel=1e-2)
    assert area.is_valid


def test_a_straight_border_has_no_corner_however_many_cells_it_crosses() -> None:
    x = np.arange(50.0)
    area = area_above(x, x, np.tile(np.where(x < 20.0, 1.0, -1.0), (50, 1)))
    assert shapely.get_num_coordinates(area) <= 9  # two at each corner of the rectangle, a hair's breadth apart
    assert area.bounds == pytest.approx((0.0, 0.0, 19.5, 49.0), abs=1e-6)


def test_an_area_ends_at_the_last_known_points() -> None:
    values = np.ones((4, 4))
    values[:, 3] = np.nan
    assert area_above(np.arange(4.0), np.arange(4.0), values).bounds == pytest.approx((0.0, 0.0, 2.0, 3.0), abs=1e-6)
    assert area_above(np.arange(4.0), np.arange(4.0), np.full((4, 4), np.nan)).is_empty


def test_outlines_run_through_the_exact_crossing() -> None:
    x = np.linspace(-2.0, 2.0, 81)
    area = area_above(x, x, 1.0 - np.hypot(x, x[:, None]))
    assert area.area == pytest.approx(np.pi, rel=2e-3)
    hole = area_above(x, x, np.hypot(x, x[:, None]) - 1.0)
    assert hole.area == pytest.approx(16.0 - np.pi, rel=2e-3)
    assert len(hole.interiors) == 1
