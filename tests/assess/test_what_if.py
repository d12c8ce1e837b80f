"""What if: events met by small sites, with figures worked by hand; nothing is edited."""

from __future__ import annotations

import functools

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.second_ways import SecondWay, second_ways
from survey_app.assess.what_if import (
    ChannelLost,
    Fails,
    Grown,
    NeighbourMore,
    RadarHeard,
    Rain,
    WhatIf,
    spared_by,
    what_if,
)
from survey_app.errors import UnknownNameError, UsageError
from survey_app.site.place import PlanePoint
from survey_app.site.site import Site
from survey_app.site.structure import TreeStand
from tests.assess.rule_case import regions
from tests.assess.test_second_ways import fan
from tests.plot import Plot, one_hop, sector


def met(site: Site, event: object) -> WhatIf:
    before = site.model_dump_json()
    found = what_if(site, event, regions())  # type: ignore[arg-type]  # one of the events
    assert site.model_dump_json() == before
    return found


def on_radar(**more: object) -> Plot:
    plot = one_hop(channel=100, cameras=2)
    plot.set("radios", "A", **more)
    plot.set("cameras", "C1", edge_recording_hours=0.0)
    return plot


def test_radar_without_a_spare_darkens_the_cell_for_the_listening_time_and_ten_seconds() -> None:
    """60 s of listening before use and 10 s to leave: 70 s."""
    found = met(on_radar().site(), RadarHeard("A"))
    assert found.outage_s == 70.0
    assert found.dark == ("C1", "C2")
    assert found.unrecorded == ("C1",)
    assert found.change is None


def test_radar_with_a_checked_spare_costs_the_move_alone_and_tells_what_the_spare_is_like() -> None:
    found = met(on_radar(radar_spare=157).site(), RadarHeard("A"))
    assert found.outage_s == 10.0
    assert found.moved_to == (("A", 157),)
    assert found.change is not None
    assert "A" in found.change.sheets_to_reprint


def test_radar_on_a_channel_without_the_duty_does_nothing() -> None:
    found = met(one_hop().site(), RadarHeard("A"))
    assert (found.dark, found.outage_s, found.change) == ((), None, None)


def test_lost_channel_moves_a_cell_that_has_a_spare_and_strands_one_that_has_none() -> None:
    stranded = met(on_radar().site(), ChannelLost(100))
    assert (stranded.dark, stranded.outage_s, stranded.moved_to) == (("C1", "C2"), None, ())
    moved = met(on_radar(radar_spare=157).site(), ChannelLost(100))
    assert (moved.dark, moved.moved_to) == ((), (("A", 157),))
    assert met(on_radar().site(), ChannelLost(44)).dark == ()


def test_rain_takes_from_every_margin_what_the_recommendation_says() -> None:
    """ITU-R P.838-3, horizontal, 5.8 GHz: k = 0.0005 and alpha = 1.6 or so; 150 mm/h take about 1.4 dB/km, a tenth of
    that over 100 m. Power is fixed, so that nothing makes up for it.
    """
    plot = one_hop(cameras=1)
    for key in ("A", "S"):
        plot.set("radios", key, power_mode="fixed")
    dry = assess(plot.site(), regions())
    found = met(plot.site(), Rain(150.0))
    lost = found.worst_margin_before_db - found.worst_margin_after_db
    assert 0.10 < lost * 1000.0 / dry.hop("H-S").distance_m / 10.0 < 0.25
    assert met(plot.site(), Rain(0.0)).worst_margin_after_db == found.worst_margin_before_db


def test_automatic_power_makes_up_for_the_rain() -> None:
    found = met(one_hop(cameras=1, ceiling=20.0).site(), Rain(40.0))
    assert found.worst_margin_after_db == pytest.approx(found.worst_margin_before_db, abs=1.0)
    assert found.stops_after == found.stops_before


@functools.cache
def _by_trees() -> Site:
    plot = one_hop(distance=200.0, cameras=1)
    corners = ((100.0, 9.5), (120.0, 9.5), (120.0, 20.0), (100.0, 20.0))
    outline = tuple(PlanePoint(x_m=x, y_m=y) for x, y in corners)
    plot.add("structures", TreeStand(id="wood", kind="tree_stand", outline=outline, crown_top_m=12.0))
    return plot.site()


def test_trees_grow_into_the_way() -> None:
    """The hop runs along y = 6, the crowns begin at 9.5 and come 0.25 m a year: after 20 years they reach over it."""
    soon, late = met(_by_trees(), Grown(0.0)), met(_by_trees(), Grown(20.0))
    assert soon.change is not None
    assert soon.change.new_findings == ()
    assert late.change is not None
    assert {row.code for row in late.change.new_findings} & {"not-clear", "thin-margin", "leaf-and-growth"}
    assert late.worst_margin_after_db < late.worst_margin_before_db


def test_one_neighbour_more_is_told_where_it_is_heard() -> None:
    found = met(one_hop().site(), NeighbourMore("m-office", 157, -70.0, 30.0))
    assert found.change is not None
    assert "channel-busy" in {row.code for row in found.change.new_findings}
    quiet = met(one_hop().site(), NeighbourMore("m-office", 36, -95.0, 1.0))
    assert quiet.change is not None
    assert "channel-busy" not in {row.code for row in quiet.change.new_findings}


@pytest.mark.parametrize("event", [RadarHeard("S"), RadarHeard("no"), NeighbourMore("no", 36, -70.0, 10.0)])
def test_event_at_a_thing_that_is_not_there_is_refused(event: object) -> None:
    with pytest.raises(UnknownNameError):
        met(one_hop().site(), event)


@pytest.mark.parametrize(
    "event",
    [
        Rain(-1.0),
        Rain(400.0),
        Grown(-1.0),
        Grown(80.0),
        NeighbourMore("m-office", 36, 40.0, 10.0),
        NeighbourMore("m-office", 0, -70.0, 10.0),
        NeighbourMore("m-office", 36, -70.0, 101.0),
        NeighbourMore("m-office", 36, float("nan"), 10.0),
    ],
)
def test_figure_without_sense_is_refused(event: object) -> None:
    with pytest.raises(UsageError):
        met(one_hop().site(), event)


def test_sentences_begin_with_the_event() -> None:
    told = met(on_radar().site(), RadarHeard("A")).sentences
    assert told[0].startswith("Radar on channel 100")
    assert told[1:] == ("Dark for 70 s: C1, C2.", "Not recorded meanwhile: C1.")


def test_a_failure_says_what_the_record_says_and_what_works_no_longer() -> None:
    site = sector(80.0, 100.0).site()
    found = met(site, Fails("S1"))
    row = next(one for one in assess(site, regions()).failures if one.subject == "S1")
    assert (found.kind, found.subject, found.dark, found.unrecorded) == ("failure", "S1", row.dark, row.unrecorded)
    assert {"S1", "H-S1"} <= set(found.silent)
    assert "H-S2" not in found.silent
    assert found.change is None


def test_a_failure_takes_from_the_legs_that_carried_the_dark_cameras_and_adds_where_others_come_home() -> None:
    """By hand: the other pole's hop gains just what the first one carried."""
    (way,) = second()
    site = way.edit.after
    before = {row.id: row for route in assess(site, regions()).routes for row in route.legs}
    found = met(site, Fails("H-S1"))
    (other,) = found.ways
    assert (other.camera, other.before[1:2] != other.after[1:2]) == ("C1-1", True)
    assert "H-S1" in other.before
    assert "H-S1" not in other.after
    figures = {row.id: row for row in found.figures}
    gain = figures["H-S2"].after - figures["H-S2"].before
    assert gain == pytest.approx(before["H-S1"].demand_mbps, rel=1e-6)
    assert found.moved == ("C1-1",)
    assert "Home by another way: C1-1." in found.sentences


def test_what_cannot_fail_is_refused_by_name() -> None:
    with pytest.raises(UnknownNameError, match="nothing called 'nobody' can fail"):
        what_if(one_hop().site(), Fails("nobody"), regions())


def test_a_heavy_rain_tells_margins_before_and_after() -> None:
    plot = one_hop(cameras=1)
    for key in ("A", "S"):
        plot.set("radios", key, power_mode="fixed")
    site = plot.site()
    found = met(site, Rain(150.0))
    before, after = assess(site, regions()).hops[0], assess(site, regions(), rain_mm_per_hour=150.0).hops[0]
    told = {(row.id, row.quantity): row for row in found.figures}[before.id, f"margin to {before.access_point}"]
    assert told.before == before.directions.to_access_point.margin_with_interference_db
    assert told.after == after.directions.to_access_point.margin_with_interference_db
    assert told.after < told.before


@functools.cache
def second() -> tuple[SecondWay, ...]:
    return second_ways(fan().site(), regions(), most=1)


def test_a_second_way_is_held_against_the_failure_that_is_looked_at() -> None:
    (way,) = second()
    site = way.edit.before
    held = spared_by(way, met(site, Fails("H-S1")))
    assert held.cameras == ("C1-1",)
    assert "keeps C1-1" in held.sentence
    assert f"{way.hours:.1f} h" in held.sentence
    # what takes the camera itself away cannot be helped by a way
    own = met(site, Fails("m1"))
    assert own.dark
    assert spared_by(way, own).cameras == ()


def test_a_neighbour_makes_slower_only_what_its_cell_is_then_too_full_for() -> None:
    plot = one_hop(cameras=2)
    channel = next(one.channel for one in plot.site().design.radios if one.role == "access_point")
    loud = met(plot.site(), NeighbourMore("m-office", channel, -50.0, 90.0))
    assert loud.slower == ("C1", "C2")
    assert met(plot.site(), NeighbourMore("m-office", channel, -50.0, 1.0)).slower == ()


def test_what_is_planned_for_later_takes_part_where_the_assessment_counts_it() -> None:
    plot = one_hop(cameras=2)
    plot.set("cameras", "C2", status="later")
    site = plot.site()
    counted = assess(site, regions(), with_later=True)
    now, then = what_if(site, Fails("A"), regions()), what_if(site, Fails("A"), regions(), counted)
    assert (now.dark, then.dark) == (("C1",), ("C1", "C2"))
    wet = what_if(site, Rain(5.0), regions(), counted)
    assert wet.fullest_after_fraction == pytest.approx(wet.fullest_before_fraction)
