"""The ground on the plan: contours and spot heights, their layer, their words."""

from __future__ import annotations

from functools import lru_cache

from survey_app.data import demo_sites_folder
from survey_app.drawing.plat.plat import plat
from survey_app.drawing.plat.scene import PlatScene
from survey_app.drawing.plat.tiers import LAYERS, tier_of
from survey_app.drawing.plat.view import PlatView, Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Strokes, Symbol, Words
from survey_app.ground.place import place
from survey_app.site.edits import add_spot_heights
from survey_app.site.file import read_site
from survey_app.site.place import PlanePoint
from survey_app.site.relief import SpotHeight

WINDOW = (-200.0, -150.0, 200.0, 150.0)


@lru_cache(maxsize=2)
def _scene(relief):
    site = read_site(demo_sites_folder() / "boatyard")
    if relief:
        corners = ((-300, -300, 0.0), (300, -300, 6.0), (300, 300, 6.0), (-300, 300, 0.0), (-120, 130, 1.8))
        spots = [SpotHeight(position=PlanePoint(x_m=x, y_m=y), height_m=h) for x, y, h in corners]
        site = add_spot_heights(site, spots).after
    return PlatScene(site, place(site), None)


def _drawn(*, relief=True, px_per_m=2.5, **wish):
    view = PlatView(WINDOW, px_per_m, 4.0, tier_of(px_per_m))
    return plat(_scene(relief), view, Wish(**wish)).shapes


def _contours(shapes):
    return [one for one in shapes if isinstance(one, Strokes) and one.role is Role.CONTOUR]


def test_contours_run_where_the_slope_has_their_height_and_carry_it():
    shapes = _drawn()
    (lines,) = _contours(shapes)
    # a slope of one metre in a hundred to the east: whole metres every hundred metres, halves between
    at = {round(float(x)) for x in lines.points[:, 0]}
    assert {-100, 0, 100} <= at
    words = [one.text for one in shapes if isinstance(one, Words) and one.italic]
    assert {"2", "3", "4"} <= set(words)


def test_spot_in_the_window_has_a_cross_and_its_height():
    shapes = _drawn()
    assert [one.at for one in shapes if isinstance(one, Symbol) and one.name == "spot height"] == [(-120.0, 130.0)]
    assert "1.8" in [one.text for one in shapes if isinstance(one, Words)]


def test_layer_far_view_and_a_flat_site_have_none_of_it():
    assert "ground heights" in LAYERS
    for shapes in (_drawn(hidden=frozenset({"ground heights"})), _drawn(relief=False), _drawn(px_per_m=0.1)):
        assert not _contours(shapes)
        assert not any(isinstance(one, Symbol) and one.name == "spot height" for one in shapes)


def test_feet_are_written_where_feet_are_read():
    words = [one.text for one in _drawn(feet=True) if isinstance(one, Words) and one.italic]
    assert "10" in words  # 3.0 m
