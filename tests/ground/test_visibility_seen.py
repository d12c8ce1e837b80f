"""What a point sees over flat ground and over a relief: both ways must tell the same, and nothing is guessed."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from survey_app.ground.relief.lattice import Lattice
from survey_app.ground.relief.surface import LevelGround
from survey_app.ground.visibility.seen import what_is_seen
from tests.ground.made_solids import solids
from tests.ground.test_visibility_horizon import hills
from tests.ground.test_visibility_shadows import some_solids

EYE = np.array([0.3, -0.2, 14.0])


def lattice(rows: np.ndarray, half: float) -> Lattice:
    return Lattice(rows, np.array([[1.0, 0.0, half], [0.0, 1.0, half]]), "made", 0.1)


def test_seen_and_hidden_make_up_the_disc() -> None:
    found = what_is_seen(some_solids(1), LevelGround(0.0, "flat"), EYE, 1.5, 90.0)
    assert found.seen.area + found.hidden.area == pytest.approx(np.pi * 90.0**2, rel=1e-3)
    assert found.seen.intersection(found.hidden).area == pytest.approx(0.0, abs=1e-6)
    assert found.unknown.is_empty
    assert found.step_m == 0.0


def test_a_grid_of_level_heights_tells_what_exact_outlines_tell() -> None:
    things = some_solids(1)
    exact = what_is_seen(things, LevelGround(2.0, "flat"), EYE, 1.5, 90.0)
    # a middle of the grid that is not the viewer's own place
    gridded = what_is_seen(things, lattice(np.full((301, 301), 2.0), 150.0), EYE, 1.5, 90.0)
    assert gridded.step_m == 1.0
    wrong = exact.seen.symmetric_difference(gridded.seen)
    assert wrong.area < 0.03 * exact.seen.area
    # what is wrong lies along edges of shadows, or is thinner than a step
    assert wrong.difference(exact.hidden.boundary.buffer(1.0)).area < 1e-3 * exact.seen.area


def test_a_hill_hides_the_valley_behind_it_up_to_the_line_of_sight() -> None:
    rows = np.zeros((401, 401))
    rows[:, 250:253] = 5.0  # a bank 50 to 52 m east
    found = what_is_seen(solids(), lattice(rows, 200.0), np.array([0.0, 0.0, 8.0]), 0.0, 180.0)
    # the line over its far edge, 3 m lower at 52 m, is down at 52 * 8 / 3 = 138.7 m
    assert not found.seen.contains(shapely.Point(137.5, 0.0))
    assert found.seen.contains(shapely.Point(140.0, 0.0))
    assert found.seen.contains(shapely.Point(-150.0, 0.0))


def test_a_higher_far_end_is_never_hidden_more_by_the_relief() -> None:
    ground = lattice(hills(4, 301, 4.0, 20.0), 150.0)
    eye = np.array([0.0, 0.0, float(ground.heights_m(0.0, 0.0)) + 5.0])
    areas = [what_is_seen(solids(), ground, eye, over, 120.0).seen.area for over in (0.5, 2.0, 6.0, 20.0)]
    assert areas == sorted(areas)
    assert areas[0] < areas[-1]


def test_ground_that_is_not_known_is_neither_seen_nor_hidden() -> None:
    unknown = what_is_seen(solids(), LevelGround(float("nan"), "nobody knows"), EYE, 1.5, 50.0)
    assert unknown.seen.is_empty
    assert unknown.hidden.is_empty
    rows = np.zeros((301, 301))
    rows[150, 180:] = np.nan
    found = what_is_seen(solids(), lattice(rows, 150.0), np.array([0.0, 0.0, 10.0]), 1.5, 100.0)
    assert found.unknown.contains(shapely.Point(60.0, 0.0))
    assert found.seen.contains(shapely.Point(-60.0, 0.0))
    assert found.seen.area + found.unknown.area == pytest.approx(np.pi * 100.0**2, rel=1e-3)
