"""The most valuable second way, on a site where it can be seen by eye."""

from __future__ import annotations

import functools

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.second_ways import SecondWay, second_ways
from survey_app.site.site import Site
from tests.assess.rule_case import regions
from tests.plot import Plot, one_hop, sector


def fan() -> Plot:
    """Two hops from the office to two poles 42 m apart, one camera at each; the poles see each other, and the switch
    in the office opens rings.
    """
    plot = sector(80.0, 100.0, gear="bowline-p16", ceiling=12.0)
    plot.drop("hops", "H-S2")
    plot.wall_mount("m-office-2", "office", 1, 2.0)
    plot.access_point("A2", "m-office-2", "bowline-p16", 149, power_ceiling_dbm=12.0)
    plot.feed_indoors("A2", "bowline-p16")
    plot.hop("H-S2", "A2", "S2")
    return plot


@functools.cache
def found() -> tuple[Site, tuple[SecondWay, ...]]:
    site = fan().site()
    return site, second_ways(site, regions(), most=1)


def test_the_two_poles_are_joined() -> None:
    (way,) = found()[1]
    assert (way.a, way.b, way.kind) == ("hitch-m1", "hitch-m2", "hop")
    assert way.distance_m == pytest.approx(41.7, abs=0.1)
    assert way.margin_db is not None
    assert way.margin_db > 10.0


def test_what_it_saves_is_what_an_assessment_of_the_site_with_it_says() -> None:
    """The sums over all failures, of the site as it stands and of the site with the way, as the record has them."""
    site, (way,) = found()
    before, after = assess(site, regions()), assess(way.edit.after, regions())
    assert way.dark_before == sum(len(row.dark) for row in before.failures)
    old = {row.subject for row in before.failures}
    assert way.dark_after == sum(len(row.dark) for row in after.failures if row.subject in old)
    lost = {row.subject: row for row in after.failures}
    assert lost["H-S1"].dark == ()
    assert lost["H-S1"].moved == ("C1-1",)
    assert lost["A"].moved == ("C1-1",)


def test_it_costs_work_and_parts_and_brings_no_stop() -> None:
    site, (way,) = found()
    assert way.hours > 0.0
    assert any("panel" in what for what, _ in way.parts)
    stops = {row.id for row in assess(site, regions()).findings if row.severity == "stop"}
    assert {row.id for row in assess(way.edit.after, regions()).findings if row.severity == "stop"} <= stops
    assert way.edit.before is site


def test_nothing_is_proposed_where_no_switch_has_a_port_left() -> None:
    """One pole, whose switch feeds four cameras and its station: all five of its feeding ports are taken."""
    assert second_ways(one_hop(cameras=4).site(), regions()) == ()
