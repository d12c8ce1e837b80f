"""The boatyard: routes, supply and recorder against hand values, and the board that is taken away."""

from __future__ import annotations

import functools

import pytest

from survey_app.assess.pipeline import assess
from survey_app.assess.record import Assessment
from survey_app.assess.rules import network, supply, video
from survey_app.data import demo_sites_folder
from survey_app.site.edits import add_camera, add_wire, perform
from survey_app.site.network import Camera, Wire, WireEnd
from survey_app.site.site import Site


@functools.cache
def boatyard(file: str = "site.json") -> Site:
    text = (demo_sites_folder() / "boatyard" / file).read_text(encoding="utf-8")
    return Site.model_validate_json(text)


@functools.cache
def checked(file: str = "site.json") -> Assessment:
    return assess(boatyard(file))


def test_the_recorder_keeps_thirty_eight_days():
    row = checked().head_ends[0]
    # 62.0 Mbit/s of video, 65.7 with overhead; 28.8 TB usable, filled to nine tenths
    assert row.input_mbps == pytest.approx(65.7, abs=0.05)
    assert row.gb_per_day == pytest.approx(670, abs=1)
    assert int(row.days or 0) == 38
    assert (row.channels_used, row.channels) == (15, 16)


def test_every_camera_comes_home_over_the_hops_of_the_story():
    ways = {row.camera: [leg.id for leg in row.legs if leg.kind == "hop"] for row in checked().routes}
    assert ways["cam-gate-1"] == ["G"]
    assert ways["cam-a-1"] == ["S-A", "U"]
    assert ways["cam-c-2"] == ["P-C", "U"]
    assert ways["cam-fuel-1"] == ["F"]


def test_the_gate_draws_what_was_added_up_by_hand():
    # by night: four cameras of 9 W, a converter 8 W / 0.81, the switch itself 6 W, and what the cables take
    chain = {link.id: link for row in checked().supplies if row.id == "ST-gate" for link in row.chain}
    assert chain["hitch-gate"].load_w == pytest.approx(36 + 8 / 0.81 + 6, abs=0.4)
    # lost in the box: switch 6 W, converter 1.9, supply unit 6.4; 0.286 K/W, 15 K of sun; 2 % a kelvin over 50
    warm = boatyard().design.defaults.air_temp_max_c + 15 + 0.286 * (6 + 1.9 + 6.4)
    assert chain["feed-gate"].limit_w == pytest.approx(75 * (1 - 0.02 * (warm - 50)), abs=0.3)
    assert [link.id for row in checked().supplies if row.id == "ST-gate" for link in row.chain] == [
        "board-gate",
        "feed-gate",
        "hitch-gate",
        "p-gate",
        "tap-gate",
        "w-gate",
        "ST-gate",
    ]


def test_twelve_climbs_and_thirteen_sheets():
    assert len(checked().climbs) == 12
    order = {key: number for number, row in enumerate(checked().climbs) for key in row.radios}
    for hop in boatyard().design.hops:
        assert order[hop.access_point] <= order[hop.station]


@pytest.mark.parametrize("file", ["site.json", "alternatives/cured.json"])
def test_supply_network_and_video_give_notes_only(file):
    own = {*supply.CODES, *network.CODES, *video.CODES}
    assert {f.severity for f in checked(file).findings if f.code in own} <= {"note"}


def test_without_its_board_the_jetty_is_dark_and_nothing_else_is_new():
    edit = perform(boatyard(), "remove", {"thing_id": "board-w"})
    dark = assess(edit.after)
    before = {f.id for f in checked().findings}
    assert {f.id for f in dark.findings} - before == {"no-power-there:w"}
    found = next(f for f in dark.findings if f.id == "no-power-there:w")
    assert found.severity == "stop"
    assert assess(edit.before).model_dump_json() == checked().model_dump_json()


def test_the_camera_that_passes_the_switch_s_budget_is_the_second_steerable_one():
    site = boatyard()
    stops = []
    for number in (1, 2):
        camera = f"new-{number}"
        site = add_camera(site, Camera(id=camera, gear="lens-p25", mount="a", height_m=4.0)).after
        ends = {"a": WireEnd(thing="hitch-a"), "b": WireEnd(thing=camera)}
        wire = Wire(id=f"w-{camera}", gear="line-24s", power="a_to_b", drops_m=4.0, **ends)
        site = add_wire(site, wire).after
        stops.append({f.id for f in assess(site).findings if f.severity == "stop"})
    # 9.9 + 18 + 18 W hold, 64 W do not
    assert "wrong-supply:hitch-a" not in {key[: len("wrong-supply:hitch-a")] for key in stops[0]}
    assert any(key.startswith("wrong-supply:hitch-a") for key in stops[1])


def test_the_tally_buys_what_the_story_needs():
    need = {row.gear: row.need for row in checked().tally if row.status == "buy" and row.gear}
    assert need["bowline-p16"] == 9
    assert need["bowline-p19"] == 3
    assert need["clove-s20"] == 1
    assert need["feed-54"] == need["hitch-5"] == need["tap-54-24"] == need["coffer-50"] == need["box-fill"] == 7
    assert need["cap-rj"] == 2 * sum(w.outdoors for w in boatyard().design.wires)
    assert need["disk-8"] == 4
    # slip columns are tapered: bands
    assert next(row for row in checked().tally if row.gear == "cleat-90").for_ids == ("ST-A", "ST-B")
