"""Random walks: no event raises, and the site stays sound after each step."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from survey_app.assess.pipeline import assess
from survey_app.data import demo_sites_folder
from survey_app.site.file import read_site
from survey_app.site.references import check_references
from survey_app.site.site import Site
from tests.desktop.tool_hand import Hand
from tests.desktop.walk import Walker, events

pytestmark = pytest.mark.desktop


def sound(site: Site) -> bool:
    """Whether the whole site passes its constructor and its references hold."""
    return Site.model_validate_json(site.model_dump_json()) == site and check_references(site) == ()


@pytest.mark.parametrize("seed", range(3))
def test_a_long_walk_leaves_a_sound_site_and_undo_leads_back(qapp, seed):
    hand = Hand()
    first = hand.site.design
    walker = Walker(hand.desk, hand.plan)
    for number, event in enumerate(events(seed, 1500)):
        walker.play(event)
        if number % 250 == 0:
            assert sound(hand.site)
    assert sound(hand.site)
    assert len(hand.desk.things) > 5
    while hand.desk.document.history.undo_label:
        hand.desk.undo()
    assert hand.site.design is first


def test_a_walk_over_a_whole_site_leaves_it_sound(qapp):
    hand = Hand(read_site(demo_sites_folder() / "boatyard"))
    hand.desk.put_assessment(hand.site, assess(hand.site))
    hand.plan.middle_m, hand.plan.scale = (60.0, 30.0), 5.0
    walker = Walker(hand.desk, hand.plan)
    for event in events(7, 250):
        walker.play(event)
    assert sound(hand.site)
    assert len(hand.steps) > 10


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(seed=st.integers(0, 2**32), count=st.integers(1, 120))
def test_any_walk_raises_nothing(qapp, seed, count):
    hand = Hand()
    walker = Walker(hand.desk, hand.plan)
    for event in events(seed, count):
        walker.play(event)
    assert sound(hand.site)


def test_the_same_seed_gives_the_same_site(qapp):
    sites = []
    for _ in range(2):
        hand = Hand()
        walker = Walker(hand.desk, hand.plan)
        for event in events(99, 400):
            walker.play(event)
        sites.append(hand.site)
    assert sites[0] == sites[1]
