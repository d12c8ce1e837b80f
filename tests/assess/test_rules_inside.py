"""Design checks inside buildings: each fires, its nearest miss does not, its cure removes it."""

from __future__ import annotations

from typing import Any

import pytest

from survey_app.assess.rules import inside
from survey_app.site.edits import change
from survey_app.site.place import PlanePoint, PointPlace
from survey_app.site.site import Site
from survey_app.site.surroundings import Opening, Room, ServedArea, Wall
from tests.assess.rule_case import Case, assessed
from tests.plot import Plot

_W, _E = 0.5, 39.5


def _points(*corners: tuple[float, float]) -> tuple[PlanePoint, ...]:
    return tuple(PlanePoint(x_m=x, y_m=y) for x, y in corners)


def hall(*, wall: str = "brick", door: str | None = None, area: dict[str, Any] | None = None, **station: Any) -> Plot:
    """A hall of two rooms: an access point in the west, a cart in the east, a wall between them."""
    plot = Plot(region="GB", country="GB")
    plot.office()
    corners = _points((0.0, 30.0), (40.0, 30.0), (40.0, 50.0), (0.0, 50.0))
    plot.office("hall", eaves=8.0)
    plot.set("structures", "hall", outline=corners, use="industrial")
    for key, x0, x1 in (("west", _W, 14.9), ("east", 15.1, _E)):
        outline = _points((x0, 30.5), (x1, 30.5), (x1, 49.5), (x0, 49.5))
        plot.add("rooms", Room(id=key, structure="hall", outline=outline, ceiling_height_m=7.5))
    run = _points((15.0, 30.0), (15.0, 50.0))
    plot.add("walls", Wall(id="between", structure="hall", route=run, material=wall, height_m=8.0))
    if door is not None:
        plot.add("openings", Opening(id="gate", wall="between", along_m=10.0, width_m=4.0, height_m=4.0, material=door))
    plot.head_end()
    for key, x, y, height in (("m-in", 0.5, 40.0, 4.0), ("m-cart", 30.0, 40.0, 1.5)):
        place = PointPlace(kind="point", position=PlanePoint(x_m=x, y_m=y))
        plot.mount(key, "hall", height, place=place, environment="indoors")
    plot.access_point("A", "m-in", "becket-i5", 36)
    plot.station("S", "m-cart", "becket-i5", "A", bridge="single", **station)
    plot.feed_indoors("A", "becket-i5")
    plot.cabinet("m-cart", "hall", "S", "becket-i5")
    plot.camera("C1", "m-cart")
    if area is not None:
        outline = _points((16.0, 31.0), (39.0, 31.0), (39.0, 49.0), (16.0, 49.0))
        fields: dict[str, Any] = {
            "outline": outline,
            "station": "S",
            "needed_rate_mbps": 13.0,
            "goods_loss_db": 0.0,
            **area,
        }
        plot.add("served_areas", ServedArea(id="carts", structure="hall", **fields))
    return plot


def unknown_wall() -> Plot:
    return hall(wall="unknown")


def unknown_wall_that_does_not_decide() -> Plot:
    # so near that even the worst of walls leaves the margin
    plot = hall(wall="unknown")
    for key, x in (("m-in", 13.0), ("m-cart", 17.0)):
        plot.set("mounts", key, place=PointPlace(kind="point", position=PlanePoint(x_m=x, y_m=40.0)), height_m=2.0)
    plot.set("hops", "H-S", wanted_margin_db=5.0)
    return plot


def it_is_brick(site: Site) -> Site:
    return change(site, "between", material="brick").after


def metal_wall() -> Plot:
    """A second access point hangs behind the wall, but the cart does not join it."""
    plot = hall(wall="metal", area={"needed_rate_mbps": 104.0})
    place = PointPlace(kind="point", position=PlanePoint(x_m=39.0, y_m=40.0))
    plot.mount("m-east", "hall", 4.0, place=place, environment="indoors")
    plot.access_point("A2", "m-east", "becket-i5", 44)
    plot.feed_indoors("A2", "becket-i5")
    return plot


def rate_too_high() -> Plot:
    return hall(area={"needed_rate_mbps": 130.0})


def rate_just_right() -> Plot:
    return hall(area={"needed_rate_mbps": 104.0})


def keep_it_open(site: Site) -> Site:
    return change(site, "gate", state="open").after


def steel_gate() -> Plot:
    return hall(wall="plasterboard", door="steel", area={"needed_rate_mbps": 104.0, "wanted_fraction": 0.97})


def timber_gate() -> Plot:
    return hall(wall="plasterboard", door="timber", area={"needed_rate_mbps": 52.0, "wanted_fraction": 0.97})


def nobody_moves() -> Plot:
    return hall(area={"station": None})


def somebody_moves() -> Plot:
    return hall(area={})


def name_the_station(site: Site) -> Site:
    return change(site, "carts", station="S").after


def join_the_second_too(site: Site) -> Site:
    return change(site, "carts", also_joins=("A2",)).after


CASES = [
    Case("indoor-wall-unknown", "warn", "H-S", unknown_wall, unknown_wall_that_does_not_decide, mended=it_is_brick),
    Case("area-not-served", "stop", "carts", rate_too_high, rate_just_right),
    Case("area-not-served", "stop", "carts", metal_wall, somebody_moves, mended=join_the_second_too),
    Case("area-not-served", "warn", "carts", steel_gate, timber_gate, mended=keep_it_open),
    Case("area-unknown", "warn", "carts", nobody_moves, somebody_moves, mended=name_the_station),
]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_it_fires(case: Case) -> None:
    case.fires()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_nearest_miss_does_not(case: Case) -> None:
    case.misses()


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_its_cure_removes_it(case: Case) -> None:
    case.is_cured()


def test_every_code_has_its_cases() -> None:
    assert {case.code for case in CASES} == set(inside.CODES)


def test_a_second_access_point_serves_what_the_first_does_not() -> None:
    before = metal_wall().site()
    (first,) = assessed(before).areas
    (second,) = assessed(join_the_second_too(before)).areas
    assert first.served_fraction < 0.9 < second.served_fraction
    assert second.access_points == ("A", "A2")
