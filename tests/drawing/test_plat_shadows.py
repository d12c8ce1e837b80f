"""Shadows in a wedge: hatched where the radio does not see, its tint left where it does."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest
import shapely

from survey_app.assess.coverage import radio_shadows
from survey_app.drawing.plat.lines import Piece
from survey_app.drawing.plat.plat import Plat, plat
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.shadows import fan_area, hatch_of, open_tint, shaded
from survey_app.drawing.plat.view import Wish
from survey_app.drawing.plat.wedges import fan_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Strokes
from tests.drawing.plat_sites import demo_scene, view_of


@lru_cache(maxsize=4)
def scene(name: str, radio: str) -> PlatScene:
    bare = demo_scene(name)
    reach = bare.radio_rows[radio].reach_m
    assert reach is not None
    return PlatScene(bare.site, bare.placed, bare.assessment, shadows=radio_shadows(bare.site, {radio: reach}))


def strokes(drawn: Plat, role: Role) -> list[Strokes]:
    return [shape for shape in drawn.shapes if isinstance(shape, Strokes) and shape.role is role]


def lines_of(piece: Piece) -> np.ndarray:
    return piece[0].reshape(-1, 2, 2)


@pytest.mark.parametrize(("name", "radio"), [("boatyard", "A-P"), ("college", "A-O"), ("boatyard", "A-G")])
def test_hatch_lies_in_the_shadow_and_tint_outside_of_it(name: str, radio: str) -> None:
    made = scene(name, radio)
    drawn = plat(made, view_of(made, 2.0), Wish(selection=(radio,)))
    fan = fan_of(made.radios[radio])
    assert fan is not None
    shadow = shaded(fan, made.shadows[radio])
    (hatch,) = strokes(drawn, Role.SHADOW)
    middles = hatch.points.reshape(-1, 2, 2).mean(axis=1)
    assert len(middles) > 2
    assert shapely.contains_xy(shadow.buffer(1e-6), *middles.T).all()
    rings = open_tint(fan, made.shadows[radio])
    areas = [shapely.Polygon(ring) for ring in rings]
    assert all(area.is_valid for area in areas)
    whole = shapely.union_all(areas)
    assert whole.area == pytest.approx(fan_area(fan).area - shadow.area, rel=1e-6)
    assert whole.intersection(shadow).area == pytest.approx(0.0, abs=1e-3)


def test_lines_of_the_hatch_fall_by_45_degrees_3_mm_apart_whatever_the_window() -> None:
    area = shapely.box(3.0, -7.0, 41.0, 22.0)
    lines = lines_of(hatch_of(area, 1.5))
    away = lines[:, 1] - lines[:, 0]
    assert away[:, 1] == pytest.approx(-away[:, 0])
    sums = np.unique(np.round(lines.sum(axis=2), 6))
    assert np.diff(sums) == pytest.approx(1.5 * np.sqrt(2.0))
    # two neighbours share the grid
    beside = lines_of(hatch_of(shapely.box(41.0, -7.0, 60.0, 22.0), 1.5))
    assert np.isin(
        np.round(beside[beside[:, 0, 0] == 41.0].sum(axis=2)[:, 0] / (1.5 * np.sqrt(2.0)), 6) % 1.0, (0.0,)
    ).all()
    assert len(hatch_of(shapely.Polygon(), 1.0)[0]) == 0


def test_tint_with_an_island_of_shadow_is_cut_into_outlines_without_holes() -> None:
    made = scene("college", "A-O")
    fan = fan_of(made.radios["A-O"])
    assert fan is not None
    x, y = fan.centre
    islands = shapely.union_all([shapely.box(x + d, y + 10.0, x + d + 10.0, y + 30.0) for d in (5.0, 40.0, -60.0)])
    rings = open_tint(fan, islands)
    assert sum(shapely.Polygon(ring).area for ring in rings) == pytest.approx(fan_area(fan).area - 600.0)


def test_shadows_show_for_the_selected_radio_alone_and_can_be_switched_off() -> None:
    made = scene("boatyard", "A-P")
    view = view_of(made, 2.0)
    assert strokes(plat(made, view, Wish(selection=("A-P",))), Role.SHADOW)
    assert not strokes(plat(made, view, Wish()), Role.SHADOW)
    assert not strokes(plat(made, view, Wish(selection=("ST-W",))), Role.SHADOW)
    assert not strokes(plat(made, view, Wish(frozenset(("shadows",)), ("A-P",))), Role.SHADOW)
    # without the hatch the tint is whole again
    off = plat(made, view, Wish(frozenset(("shadows",)), ("A-P",)))
    plain = plat(demo_scene("boatyard"), view, Wish(selection=("A-P",)))
    assert sum(len(one.points) for one in strokes(off, Role.WEDGE)) == sum(
        len(one.points) for one in strokes(plain, Role.WEDGE)
    )


def test_same_scene_gives_the_same_hatch_at_each_scale_and_pan() -> None:
    made = scene("boatyard", "A-P")
    first = plat(made, view_of(made, 2.0), Wish(selection=("A-P",)))
    again = plat(made, view_of(made, 2.0, fx=0.6), Wish(selection=("A-P",)))
    assert np.array_equal(strokes(first, Role.SHADOW)[0].points, strokes(again, Role.SHADOW)[0].points)
