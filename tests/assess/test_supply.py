"""The supply as a network: hand-worked chains, and a general root finder on a chain with a pass port."""

from __future__ import annotations

import math

import pytest

from survey_app.assess.network import network_stage
from survey_app.assess.supply import supply_rows
from survey_app.ground.place import place
from tests.assess.network_site import Sketch, yard

HOT_OHM_PER_M = 0.0938 * (1.0 + 0.00393 * 40.0)


def solved(sketch: Sketch):
    job = sketch.job()
    return job, network_stage(job, place(job.site)).supplied


def test_volts_at_a_radio_behind_an_injector_are_the_root_of_the_cable_equation():
    _, supplied = solved(yard(0))
    # 16 m, drip loop 1 m, service 3 m; plugs 0.1 ohm, two protectors 0.1 ohm each; injector at its low end
    loop = 20.0 * HOT_OHM_PER_M + 0.3
    source = 24.0 * 0.95
    expected = (source + math.sqrt(source**2 - 4.0 * loop * 8.0)) / 2.0
    fed = supplied.things["A"]
    assert fed.volts_v == pytest.approx(expected, abs=1e-9)
    assert fed.load_w == pytest.approx(8.0)
    assert fed.port_w == pytest.approx(source * 8.0 / expected)
    assert fed.source == "board"


def test_a_camera_on_the_pass_port_is_one_network_with_its_radio():
    optimize = pytest.importorskip("scipy.optimize")
    sketch = yard(0)
    sketch.camera("Z", gear="c24", mount="m-office")
    sketch.wire("w-Z", "A", "Z", "a_to_b", length_m=26.0)
    _, supplied = solved(sketch)
    first, second, source = 20.0 * HOT_OHM_PER_M + 0.3, 30.0 * HOT_OHM_PER_M + 0.3, 24.0 * 0.95

    def mismatch(volts):
        radio, camera = volts
        current = 4.5 / camera
        return [source - first * (8.0 / radio + current) - radio, radio - second * current - camera]

    radio, camera = optimize.fsolve(mismatch, [22.0, 21.0], xtol=1e-12)
    assert supplied.things["A"].volts_v == pytest.approx(radio, abs=1e-6)
    assert supplied.things["Z"].volts_v == pytest.approx(camera, abs=1e-6)
    assert supplied.things["A"].volts_v < solved(yard(0))[1].things["A"].volts_v


def test_a_battery_far_from_its_radio_gives_no_operating_point_and_the_power_that_would():
    sketch = Sketch()
    sketch.pole("trailer", 0.0, 0.0)
    sketch.mount("m", "trailer")
    sketch.supply("cells", "battery", battery="cell", battery_count=1, volts_v=12.0)
    sketch.radio("R", "sta", "m")
    sketch.wire("w", "cells", "R", "a_to_b", length_m=41.0, protectors="none", extra_ohm=0.2)
    job, supplied = solved(sketch)
    fed = supplied.things["R"]
    assert fed.starts is False
    assert fed.volts_v is None
    # 45 m with drip and service, 12 V: 144 / (4 * 5.085)
    assert fed.most_w == pytest.approx(7.08, abs=0.005)
    assert fed.feed.problem is None
    row = supply_rows(job, supplied)[0]
    assert row.volts_at_load is None
    assert row.null_reasons[0].kind == "refused"


def test_every_device_adds_what_it_loses_to_what_it_feeds():
    _, supplied = solved(yard(2))
    tap = supplied.things["tap1"]
    radio = supplied.things["S"]
    assert tap.load_w == pytest.approx(radio.port_w / 0.81)
    hitch = supplied.things["hitch"]
    cameras = sum(supplied.things[key].port_w for key in ("C1", "C2"))
    assert hitch.load_w == pytest.approx(6.0 + cameras + tap.port_w)
    assert supplied.feeders["hitch"].out_w == pytest.approx(cameras + tap.port_w)
    assert supplied.things["feed"].load_w == pytest.approx(hitch.port_w / 0.89)


def test_a_switch_fed_at_its_terminals_hands_on_the_low_end_of_its_source():
    _, supplied = solved(yard(1))
    camera = supplied.things["C1"]
    loop = 8.0 * HOT_OHM_PER_M + 0.3
    source = 54.0 * 0.98
    assert camera.volts_v == pytest.approx((source + math.sqrt(source**2 - 4.0 * loop * 9.0)) / 2.0, abs=1e-9)


def test_a_hot_box_takes_power_from_its_supply():
    _, supplied = solved(yard(4))
    feeder = supplied.feeders["feed"]
    hitch, tap, feed = supplied.feeders["hitch"], supplied.things["tap1"], supplied.feeders["feed"]
    lost = 6.0 + tap.load_w * 0.19 + feed.out_w * (1.0 / 0.89 - 1.0)
    warm = 40.0 + 15.0 + lost * 10.0 / 35.0
    assert feeder.temperature_c == pytest.approx(warm)
    assert feeder.limit_w == pytest.approx(75.0 * (1.0 - 0.02 * (warm - 50.0)))
    assert hitch.limit_w == pytest.approx(60.0)


def test_a_ring_of_feeders_is_no_source():
    sketch = yard(0)
    sketch.device("one", "plug12d", fed_from="two")
    sketch.device("two", "plug12d", fed_from="one")
    _, supplied = solved(sketch)
    assert supplied.forest.unfed == {"one": ("one", "two")}


def test_solar_autonomy_follows_the_published_example():
    # 18 W, 3 days, 2.5 h of sun, 0.65: 432 Wh a day, lithium 142 Ah at 12 V, array 266 W
    sketch = Sketch()
    sketch.gear = tuple(
        item.__class__(**{**dict(item), "volts_v": 12.0, "capacity_ah": 142.1}) if item.id == "cell" else item
        for item in sketch.gear
    )
    sketch.gear = tuple(
        item.__class__(**{**dict(item), "own_w": 0.0}) if item.id == "sun180" else item for item in sketch.gear
    )
    sketch.pole("p", 0.0, 0.0)
    sketch.mount("m", "p")
    sketch.supply(
        "sun",
        "solar",
        battery="cell",
        battery_count=1,
        panel="sun180",
        panel_count=1,
        sun_hours_per_day=2.5,
        volts_v=24.0,
    )
    sketch.device("load", "plug12d", fed_from="sun")
    sketch.gear = tuple(
        item.__class__(**{**dict(item), "own_w": 18.0}) if item.id == "plug12d" else item for item in sketch.gear
    )
    _, supplied = solved(sketch)
    found = supplied.autonomy["sun"]
    assert found.energy_wh == pytest.approx(432.0)
    assert found.days == pytest.approx(3.0, abs=0.002)
    assert found.needed_w == pytest.approx(266.0, abs=0.5)


def test_volts_do_not_change_when_other_radios_are_added():
    first, second = solved(yard(1))[1], solved(yard(4))[1]
    assert first.things["S"].volts_v == second.things["S"].volts_v
    assert first.things["A"].volts_v == second.things["A"].volts_v
