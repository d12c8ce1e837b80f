"""Doors and windows as edits: into the outer wall of a building, along their walls, into others."""

from __future__ import annotations

import pytest

from survey_app.data import demo_sites_folder
from survey_app.errors import UsageError
from survey_app.site.edits import add_outer_opening, move_opening
from survey_app.site.file import read_site
from survey_app.site.references import check_references
from survey_app.site.surroundings import Opening


@pytest.fixture
def mill():
    return read_site(demo_sites_folder() / "mill" / "site.json")


def gate(**more) -> Opening:
    return Opening(**{"id": "gate", "name": "Gate", "wall": "hall", "along_m": 10.0, "width_m": 4.0, **more})


def test_a_gate_in_the_outline_brings_that_side_as_a_wall(mill):
    edit = add_outer_opening(mill, "hall", 1, gate())
    wall, opening = edit.after.design.walls[-1], edit.after.design.openings[-1]
    assert [(p.x_m, p.y_m) for p in wall.route] == [(60, -20), (60, 19.7)]
    assert (wall.structure, wall.construction, wall.height_m) == ("hall", "brick_220", 9.0)
    assert opening.wall == wall.id
    assert edit.touched == (wall.id, "gate")
    assert not check_references(edit.after)
    assert edit.after.design.structures is mill.design.structures


@pytest.mark.parametrize(("building", "edge"), [("hall", 4), ("hall", -1), ("chain-pole", 0)])
def test_a_side_that_is_not_there_is_refused(mill, building, edge):
    with pytest.raises(UsageError, match="no such side"):
        add_outer_opening(mill, building, edge, gate())


def test_a_door_moves_along_its_wall_and_is_named_so(mill):
    edit = move_opening(mill, "door-12", 12.0)
    assert edit.after.design.openings[0].along_m == 12.0
    assert edit.label == "Move Sliding door along its wall"
    with pytest.raises(UsageError, match="no door or window"):
        move_opening(mill, "hall", 1.0)
