"""Laying a plan picture by its known points."""

from __future__ import annotations

import pytest

from survey_app.ground.fit import fit_picture
from survey_app.site.edits import add
from survey_app.site.place import PlanePoint
from survey_app.site.plan_picture import ControlPoint, PlanPicture
from tests.desktop.tool_hand import Hand

pytestmark = pytest.mark.desktop


def known(x_px: float, y_px: float, x_m: float, y_m: float) -> ControlPoint:
    return ControlPoint(x_px=x_px, y_px=y_px, position=PlanePoint(x_m=x_m, y_m=y_m))


@pytest.fixture
def hand(qapp) -> Hand:
    """A picture of 400 x 200 px that lies with a tenth of a metre for a pixel, its lower left corner at the origin."""
    hand = Hand()
    picture = PlanPicture(
        id="plan",
        file="plan.png",
        width_px=400,
        height_px=200,
        control_points=(known(0, 200, 0, 0), known(400, 200, 40, 0)),
    )
    hand.desk.perform(lambda site: add(site, picture))
    hand.take("picture")
    return hand


def test_two_pairs_turn_and_scale_the_picture(hand):
    hand.press(10, 5)
    hand.press(100, 50)
    hand.press(30, 5)
    assert "left over" not in hand.hover(100, 90)
    assert "200.0 mm for a pixel" in hand.words
    hand.press(100, 90)
    hand.tool.key("Enter")
    (picture,) = hand.design.plan_pictures
    fit = fit_picture(picture)
    assert fit.scale_m_per_px == pytest.approx(0.2)
    assert fit.turn_deg == pytest.approx(270.0)
    assert [float(one) for one in fit.to_plan(100, 150)] == pytest.approx([100, 50])
    assert hand.steps[-1] == "Lay plan picture plan by 2 points"
    hand.desk.undo()
    assert fit_picture(hand.design.plan_pictures[0]).scale_m_per_px == pytest.approx(0.1)


def test_the_third_pair_lays_it_at_once_and_says_what_is_left_over(hand):
    for here, there in (((10, 5), (10, 5)), ((30, 5), (30, 5)), ((20, 15), (20, 15.5))):
        hand.press(*here)
        hand.press(*there)
    assert hand.steps[-1] == "Lay plan picture plan by 3 points"
    assert hand.heard[-1].startswith("The picture lies by 3 points, 0.")
    assert len(hand.design.plan_pictures[0].control_points) == 3


def test_one_pair_moves_it_as_it_is(hand):
    hand.press(10, 5)
    hand.press(15, 8)
    assert hand.tool.key("Enter")
    fit = fit_picture(hand.design.plan_pictures[0])
    assert fit.scale_m_per_px == pytest.approx(0.1)
    assert [float(one) for one in fit.to_plan(0, 200)] == pytest.approx([5, 3])
    assert hand.steps[-1] == "Move plan picture plan"


def test_a_spot_beside_the_picture_and_two_pairs_on_one_spot_are_refused(hand):
    hand.press(-20, -20)
    assert "beside the picture" in hand.heard[-1]
    for _ in range(2):
        hand.press(10, 5)
        hand.press(15, 8)
    before = hand.site
    hand.tool.key("Enter")
    assert "one spot" in hand.heard[-1]
    assert hand.site is before
    assert hand.tool.cancel()
    assert hand.tool.pairs == []


def test_without_a_picture_it_says_so(qapp):
    hand = Hand()
    hand.take("picture")
    hand.press(0, 0)
    assert "no plan picture" in hand.heard[-1].lower()
