"""Numbers of what is dragged: those of the whole assessment, for the few things concerned."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

from survey_app.assess.hop_rows import way_of_row
from survey_app.assess.live import Lift, Live, LiveCell, LiveDirection, LiveEnd, LiveHop, LiveRadio, live
from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.ground.first_use import prepare_geometry
from survey_app.physics.kernels import NotCompiledError
from survey_app.site import read_site
from survey_app.site.edits import aim_by_hand, move_by, remove, set_height
from survey_app.site.site import Site
from survey_app.spectrum.regions import Regions, load_regions
from tests.benchmarks.big_site import big_site

DEMO_SITES = Path(__file__).resolve().parents[2] / "demo_sites"
_OWN = {"aim_is_held"}
_PARTS = {"access_point", "station", "to_access_point", "to_station", "way"}


@pytest.fixture(scope="module")
def regions() -> Regions:
    return load_regions()


def _pairs(found: Live, whole: Assessment) -> Iterator[tuple[Any, Any]]:
    """Yield every live row with the row of the assessment that it stands for."""
    cells = {row.id: row for row in whole.cells}
    for key, radio in found.radios.items():
        yield radio, whole.radio(key)
    for key, hop in found.hops.items():
        row = whole.hop(key)
        yield hop, row
        yield hop.access_point, row.ends.access_point
        yield hop.station, row.ends.station
        yield hop.to_access_point, row.directions.to_access_point
        yield hop.to_station, row.directions.to_station
    for key, cell in found.cells.items():
        yield cell, cells[key]


def _assert_same(found: Live, whole: Assessment) -> int:
    """Hold every field against that of the assessment, bit for bit."""
    compared = 0
    for row, other in _pairs(found, whole):
        left_out = _OWN | (_PARTS if isinstance(row, LiveHop) else set())
        for name in {field.name for field in fields(row)} - left_out:
            assert repr(getattr(row, name)) == repr(getattr(other, name)), (other, name)
            compared += 1
    return compared


def test_live_rows_have_the_names_of_the_record() -> None:
    from survey_app.assess.record import CellRow, DirectionRow, HopEndRow, HopRow, RadioRow

    pairs = ((LiveRadio, RadioRow), (LiveEnd, HopEndRow), (LiveDirection, DirectionRow), (LiveCell, CellRow))
    for mine, record in pairs:
        assert {field.name for field in fields(mine)} - _OWN <= set(record.model_fields)
    assert {field.name for field in fields(LiveHop)} - _PARTS <= set(HopRow.model_fields)


@pytest.mark.parametrize("file", ["boatyard", "college", "mill"])
def test_live_numbers_are_those_of_the_assessment_to_the_last_bit(file: str, regions: Regions) -> None:
    site = read_site(DEMO_SITES / file)
    whole = assess(site, regions)
    compared = 0
    for mount in sorted({radio.mount for radio in site.design.radios})[::2]:
        found = Lift(site, [mount], regions, whole).at(site, settled=True)
        assert found.stale == frozenset()
        compared += _assert_same(found, whole)
    assert compared > 100


def test_live_without_an_assessment_answers_noise_alone(regions: Regions) -> None:
    """The unit at the hall answers a neighbour at the column with 11 dB: who has not heard of it sends 3 dBm."""
    site = read_site(DEMO_SITES / "mill")
    whole = assess(site, regions)
    alone, told = live(site, ["hall-north"], regions), Lift(site, ["hall-north"], regions, whole).at(site)
    level = whole.hop("C1").ends.station.rx_level_dbm
    assert level is not None
    assert told.hops["C1"].station.rx_level_dbm == level
    assert alone.hops["C1"].station.rx_level_dbm == pytest.approx(level - 11.0)


def test_moved_pole_is_followed_by_its_hops_and_whole_cell(regions: Regions) -> None:
    site = big_site(3, 3)
    rnd = random.Random(7)
    lift = Lift(site, ["pole-s1-0"], regions)
    for _ in range(4):
        site = move_by(site, "pole-s1-0", dx_m=rnd.uniform(-9, 9), dy_m=rnd.uniform(-9, 9)).after
        found = lift.at(site, settled=True)
        assert set(found.radios) == {"radio-a1", "radio-s1-0", "radio-s1-1", "radio-s1-2"}
        assert set(found.hops) == {"hop-s1-0", "hop-s1-1", "hop-s1-2"}
        assert set(found.cells) == {"radio-a1"}
        _assert_same(found, assess(site, regions))


def test_held_aim_is_said_and_the_own_numbers_of_the_moved_thing_are_true(regions: Regions) -> None:
    before = big_site(3, 3)
    site = move_by(before, "pole-s1-0", dx_m=11.0, dy_m=-6.0).after
    whole = assess(site, regions)
    for assessment in (None, assess(before, regions)):
        found = Lift(before, ["pole-s1-0"], regions, assessment).at(site)
        assert found.radios["radio-a1"].aim_is_held
        assert {"radio-a1", "hop-s1-0"} <= found.stale
        assert found.radios["radio-a1"].bearing_plan_deg == assess(before, regions).radio("radio-a1").bearing_plan_deg
        row, hop = found.radios["radio-s1-0"], found.hops["hop-s1-0"]
        assert "radio-s1-0" not in found.stale
        assert row.bearing_true_deg == whole.radio("radio-s1-0").bearing_true_deg
        assert row.tilt_deg == whole.radio("radio-s1-0").tilt_deg
        assert hop.distance_m == whole.hop("hop-s1-0").distance_m
        assert hop.access_point.bearing_plan_deg == whole.hop("hop-s1-0").ends.access_point.bearing_plan_deg
        # the common aim hardly turns: what is shown meanwhile is near what will settle
        assert hop.station.rx_level_dbm == pytest.approx(whole.hop("hop-s1-0").ends.station.rx_level_dbm, abs=2.0)


def test_turning_an_aim_by_hand_shows_every_far_end_its_loss(regions: Regions) -> None:
    site = big_site(2, 3)
    lift = Lift(site, ["radio-a0"], regions)
    losses = []
    for bearing in (0.0, 20.0, 60.0):
        turned = aim_by_hand(site, "radio-a0", bearing_deg=bearing, tilt_deg=-1.0).after
        found = lift.at(turned)
        assert found.stale == frozenset()
        _assert_same(found, assess(turned, regions))
        losses.append([hop.access_point.pointing_loss_db for hop in found.hops.values()])
    assert len({tuple(row) for row in losses}) == 3


def test_what_else_an_edit_changes_is_taken_up_anew(regions: Regions) -> None:
    site = big_site(2, 3)
    lift = Lift(site, ["pole-s1-0", "pole-a1"], regions)
    higher = set_height(site, "mount-s1-0", 3.5).after
    _assert_same(lift.at(higher, settled=True), assess(higher, regions))
    fewer = remove(higher, "radio-s1-1", cascade=True).after
    found = lift.at(fewer, settled=True)
    assert set(found.radios) == {"radio-a1", "radio-s1-0", "radio-s1-2"}
    _assert_same(found, assess(fewer, regions))


def test_thing_without_a_radio_touches_nothing(regions: Regions) -> None:
    site: Site = big_site(1, 1)
    found = live(site, ["recorder"], regions)
    assert (found.radios, found.hops, found.cells) == ({}, {}, {})


def test_while_kernels_are_not_compiled_the_way_stays_as_assessed_and_says_so(regions, monkeypatch):
    site = read_site(DEMO_SITES / "boatyard")
    whole = assess(site, regions)
    mount = whole.radio("ST-B").mount
    higher = set_height(site, mount, 7.0).after

    def refused(*_args: object) -> None:
        raise NotCompiledError("near")

    with monkeypatch.context() as patched:
        patched.setattr("survey_app.ground.clearance_pairs.near", refused)
        lift = Lift(site, (mount,), regions, whole, may_compile=False)
        early = lift.at(higher)
    assert early.hops["S-B"].way == way_of_row(whole.hop("S-B"))
    assert early.hops["S-B"].station.tilt_deg != whole.hop("S-B").ends.station.tilt_deg
    assert early.unjudged >= {"S-B"} <= early.stale
    prepare_geometry()  # as the window's own thread does
    later = lift.at(higher)
    assert not later.unjudged
    assert later.hops["S-B"].way.ratio > whole.hop("S-B").fresnel_clearance_ratio
