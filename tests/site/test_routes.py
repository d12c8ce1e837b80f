"""Routes of wires go along with the building or pole that they run on, and only there."""

from __future__ import annotations

import datetime

import pytest

from survey_app.site.edits import add, align, move_by, rotate, set_locked
from survey_app.site.network import Device, Wire, WireEnd
from survey_app.site.new import new_site
from survey_app.site.place import PlanePoint
from survey_app.site.site import Site
from survey_app.site.structure import Building, Pole, Roof


def at(x: float, y: float) -> PlanePoint:
    return PlanePoint(x_m=x, y_m=y)


ROUTE = (at(12, 5), at(20.3, 5), at(30, 5), at(40.2, 0.1))


def yard(*, route: tuple[PlanePoint, ...] = ROUTE, far_in: bool = False) -> Site:
    """A hall of 20 by 10 m with a switch, a pole 40 m off with another, and a wire between."""
    outline = (at(0, 0), at(20, 0), at(20, 10), at(0, 10))
    rows = (
        Building(kind="building", id="hall", outline=outline, eaves_height_m=6.0, roof=Roof()),
        Pole(kind="pole", id="P1", position=at(40, 0), height_m=8.0),
        Device(id="D1", gear="switch", structure="hall", position=at(10, 5)),
        Device(
            id="D2", gear="switch", structure="hall" if far_in else "P1", position=at(18, 9) if far_in else at(40, 0)
        ),
        Wire(id="W1", a=WireEnd(thing="D1"), b=WireEnd(thing="D2"), route=route),
    )
    site = new_site("Yard", as_of=datetime.date(2026, 12, 1))
    from survey_app.gear.catalogue import load_catalogue
    from survey_app.site.edits import add_gear

    switch = next(item for item in load_catalogue() if item.kind == "switch")
    site = add_gear(site, switch).after
    for row in rows:
        if isinstance(row, Device):
            row = Device(**{**dict(row), "gear": switch.id})
        site = add(site, row).after
    return site


def route_of(site: Site) -> list[tuple[float, float]]:
    return [(one.x_m, one.y_m) for one in site.design.wires[0].route]


def test_corners_in_the_building_and_on_its_wall_go_along_and_the_others_stay():
    edit = move_by(yard(), "hall", dx_m=1.0, dy_m=2.0)
    assert route_of(edit.after) == [(13.0, 7.0), (21.3, 7.0), (30.0, 5.0), (40.2, 0.1)]
    assert "W1" in edit.touched


def test_corner_at_a_pole_goes_along_with_the_pole():
    assert route_of(move_by(yard(), "P1", dx_m=0.0, dy_m=-3.0).after) == [
        (12.0, 5.0), (20.3, 5.0), (30.0, 5.0), (40.2, -2.9),
    ]  # fmt: skip


def test_whole_route_goes_along_when_both_ends_do():
    moved = move_by(yard(far_in=True), "hall", dx_m=5.0, dy_m=0.0).after
    assert route_of(moved) == [(17.0, 5.0), (25.3, 5.0), (35.0, 5.0), (45.2, 0.1)]
    both = move_by(yard(), "hall", "P1", dx_m=5.0, dy_m=0.0).after
    assert route_of(both) == route_of(moved)


def test_wire_that_is_moved_itself_is_moved_once():
    assert route_of(move_by(yard(), "hall", "W1", dx_m=1.0, dy_m=0.0).after)[0] == (13.0, 5.0)


def test_wire_of_others_that_only_passes_stays():
    site = yard()
    passing = Wire(id="W2", a=WireEnd(thing="D2"), b=WireEnd(thing="D2"), route=(at(5, 5),))
    site = add(site, passing).after
    assert move_by(site, "hall", dx_m=1.0, dy_m=0.0).after.design.wires[1] is site.design.wires[1]


def test_locked_wire_stays_and_does_not_stop_the_building():
    site = set_locked(yard(), ["W1"], locked=True).after
    moved = move_by(site, "hall", dx_m=1.0, dy_m=0.0).after
    assert route_of(moved) == route_of(site)


def test_route_turns_and_is_aligned_with_its_building():
    turned = rotate(yard(), ["hall"], 90.0, about=at(10, 5)).after
    assert route_of(turned)[0] == pytest.approx((10.0, 3.0))
    aligned = align(yard(), ["hall", "P1"], "left").after
    assert route_of(aligned)[-1] == pytest.approx((0.2, 0.1))
