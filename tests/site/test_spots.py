"""Spot heights: three make a ground, more join it."""

from __future__ import annotations

import datetime

import pytest

from survey_app.errors import UsageError
from survey_app.site.edits import add_spot_heights, set_relief
from survey_app.site.new import new_site
from survey_app.site.place import PlanePoint
from survey_app.site.relief import GridRelief, SpotHeight


def _spot(x_m, y_m, height_m):
    return SpotHeight(position=PlanePoint(x_m=x_m, y_m=y_m), height_m=height_m)


@pytest.fixture
def site():
    return new_site("Yard", as_of=datetime.date(2026, 12, 1))


THREE = (_spot(0, 0, 1.0), _spot(100, 0, 2.0), _spot(0, 100, 3.0))


def test_three_make_a_ground_and_a_fourth_joins_it(site):
    made = add_spot_heights(site, THREE)
    assert made.label == "Add 3 spot heights"
    more = add_spot_heights(made.after, [_spot(50, 90, 2.5)])
    assert more.label == "Add spot height"
    assert more.after.design.relief.points == (*THREE, _spot(50, 90, 2.5))
    assert more.after.design.relief.source == made.after.design.relief.source


@pytest.mark.parametrize("spots", [THREE[:2], (*THREE, THREE[0])], ids=["two", "same place"])
def test_too_few_and_two_at_one_place_are_refused(site, spots):
    with pytest.raises(UsageError):
        add_spot_heights(site, spots)


def test_ground_of_a_grid_takes_no_spots(site):
    grid = GridRelief(kind="grid", file="a.tif", grid="plan", vertical_datum="site datum")
    with pytest.raises(UsageError, match="grid of heights"):
        add_spot_heights(set_relief(site, grid).after, THREE)
