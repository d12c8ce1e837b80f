"""Where rays go through outer walls and roofs, held against a geometry library and hand geometry."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.ground.roof import flat_top, roof_planes
from survey_app.ground.shell import Shell, holds, shell_crossings
from survey_app.site.structure import Roof

L_SHAPE = np.array([[0.0, 0.0], [30.0, 0.0], [30.0, 10.0], [10.0, 10.0], [10.0, 30.0], [0.0, 30.0]])
COURT = np.array([[2.0, 2.0], [8.0, 2.0], [8.0, 8.0], [2.0, 8.0]])
BARN = np.array([[0.0, 0.0], [20.0, 0.0], [20.0, 8.0], [0.0, 8.0]])


def _flat(*rings: np.ndarray, height_m: float = 6.0) -> Shell:
    return Shell(rings, flat_top(height_m)[:1])


def test_a_level_ray_out_of_an_arm_and_into_the_other_goes_through_two_walls() -> None:
    found = shell_crossings(_flat(L_SHAPE), [[5.0, 25.0, 2.0]], [[25.0, 5.0, 2.0]])
    assert found.along.tolist() == pytest.approx([0.25, 0.75])
    assert found.incidence_deg.tolist() == pytest.approx([45.0, 45.0])
    assert not found.roof.any()


def test_a_ray_over_a_courtyard_goes_through_its_walls() -> None:
    found = shell_crossings(_flat(L_SHAPE, COURT), [[1.0, 5.0, 2.0]], [[9.0, 5.0, 2.0]])
    assert found.along.tolist() == pytest.approx([0.125, 0.875])


def test_a_steep_ray_leaves_through_the_roof() -> None:
    found = shell_crossings(_flat(L_SHAPE), [[5.0, 5.0, 2.0]], [[5.0, 9.0, 10.0]])
    assert found.roof.tolist() == [True]
    assert found.along.tolist() == pytest.approx([0.5])
    assert found.incidence_deg.tolist() == pytest.approx([math.degrees(math.atan2(4.0, 8.0))])


def test_a_ray_under_a_gable_leaves_through_the_slope_square_to_it() -> None:
    planes, _ = roof_planes(BARN, Roof(kind="gable", ridge_height_m=7.0, ridge_plan_deg=90.0), 0.0, 5.0)
    barn = Shell((BARN,), planes[np.isfinite(planes[:, 2])])
    # the south slope rises 2 m in 4 m; a ray square to it goes out south and up
    found = shell_crossings(barn, [[10.0, 4.0, 2.0]], [[10.0, 0.0, 10.0]])
    assert found.roof.tolist() == [True]
    assert found.incidence_deg.tolist() == pytest.approx([0.0], abs=1e-4)


def test_what_hangs_on_the_wall_goes_through_none() -> None:
    assert len(shell_crossings(_flat(BARN), [[20.0, 4.0, 3.0]], [[80.0, 4.0, 3.0]]).ray) == 0


def test_inside_is_within_the_outline_under_the_roof_and_not_in_the_courtyard() -> None:
    spots = [[1.0, 1.0, 2.0], [5.0, 5.0, 2.0], [1.0, 1.0, 7.0], [20.0, 20.0, 2.0]]
    assert holds(_flat(L_SHAPE, COURT), spots).tolist() == [True, False, False, False]


_SPOT = st.tuples(st.floats(-5.0, 35.0), st.floats(-5.0, 35.0))


@settings(max_examples=60, deadline=None)
@given(_SPOT, _SPOT)
def test_level_rays_meet_the_walls_that_a_geometry_library_meets(start: tuple[float, float], end: tuple[float, float]):
    shape = shapely.Polygon(L_SHAPE, [COURT])
    line = shapely.LineString([start, end])
    if line.length < 1.0 or min(shapely.Point(at).distance(shape.boundary) for at in (start, end)) < 0.01:
        return
    met = shapely.intersection(line, shape.boundary)
    if met.geom_type not in ("Point", "MultiPoint", "LineString") or (
        met.geom_type == "LineString" and not met.is_empty
    ):
        return
    corners = [shapely.Point(at) for ring in (L_SHAPE, COURT) for at in ring.tolist()]
    if any(line.distance(corner) < 1e-6 for corner in corners):
        return
    found = shell_crossings(_flat(L_SHAPE, COURT), [[*start, 2.0]], [[*end, 2.0]])
    expected = sorted(
        shapely.Point(start).distance(one) / line.length for one in shapely.get_parts(met) if not one.is_empty
    )
    assert found.along.tolist() == pytest.approx(expected, abs=1e-9)
