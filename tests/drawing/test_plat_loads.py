"""Load along the legs of routes: what all cameras together ask of a hop or wire, of what it carries."""

from __future__ import annotations

import pytest

from survey_app.assess.record import Leg
from survey_app.drawing.plat.load_words import load_words, loads_of
from survey_app.drawing.plat.plat import plat
from survey_app.drawing.plat.view import Wish
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Words
from tests.drawing.plat_sites import demo_scene, texts, view_of


def test_each_hop_says_what_it_carries_of_what_it_can() -> None:
    scene = demo_scene("boatyard")
    told = texts(plat(scene, view_of(scene, 3.0, 0.55, 0.45, (1600, 1000)), Wish(hop_words="load")))
    routes = scene.assessment.routes if scene.assessment is not None else ()
    uplink = next(leg for route in routes for leg in route.legs if leg.id == "U")
    # by hand: all cameras of the jetties and of the slip come over it
    behind = [route for route in routes if any(leg.id == "U" for leg in route.legs)]
    assert uplink.demand_mbps == pytest.approx(sum(route.demand_mbps for route in behind), rel=1e-6)
    assert f"U {uplink.demand_mbps:.1f} of {uplink.carries_mbps:.0f} Mbit/s" in told
    assert not [words for words in told if words.startswith("U ") and "down" in words]


def test_wires_say_it_in_the_ink_of_wires_and_only_when_asked() -> None:
    scene = demo_scene("boatyard")
    view = view_of(scene, 8.0, 0.6, 0.5, (1600, 1000))

    def of_wires(wish: Wish) -> list[str]:
        shapes = plat(scene, view, wish).shapes
        return [one.text for one in shapes if isinstance(one, Words) and one.role is Role.WORDS_WIRE]

    assert "17.0 of 1\N{THIN SPACE}000 Mbit/s" in of_wires(Wish(hop_words="load"))
    assert of_wires(Wish()) == []
    assert of_wires(Wish(frozenset({"wires"}), hop_words="load")) == []


def test_on_a_small_plan_the_load_stands_where_the_distance_would() -> None:
    scene = demo_scene("boatyard")
    view = view_of(scene, 0.79)
    told = texts(plat(scene, view, Wish(hop_words="load")))
    assert "8.5 of 59" in told
    assert not any(words == "147.3 m" for words in told)


def test_a_leg_that_is_crossed_both_ways_shows_the_fuller_one() -> None:
    scene = demo_scene("boatyard")
    assert scene.assessment is not None
    route = scene.assessment.routes[0]
    leg = route.legs[0].model_copy()
    light = replace_leg(leg, demand_mbps=1.0, carries_mbps=100.0)
    full = replace_leg(leg, demand_mbps=2.0, carries_mbps=50.0)
    unknown = replace_leg(leg, demand_mbps=0.5, carries_mbps=None)
    one = route.model_copy(update={"legs": (light, full)})
    assert load_words(loads_of([one])[leg.id]) == "2.0 of 50 Mbit/s"
    other = route.model_copy(update={"legs": (light, unknown, full)})
    assert load_words(loads_of([other])[leg.id]) == "0.5 Mbit/s of a rate not known"
    assert load_words(None) == "no video"


def replace_leg(leg: Leg, **more: object) -> Leg:
    return leg.model_copy(update=more)
