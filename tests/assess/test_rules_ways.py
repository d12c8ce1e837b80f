"""Two ways home, wires in a circle, a unit managed from one side, sign-in: fires, nearest miss, cure."""

from __future__ import annotations

import pytest

from survey_app.assess.rules import ways
from survey_app.site.edits import change, remove
from survey_app.site.network import Device
from tests.assess.rule_case import Case, assessed
from tests.assess.test_failures import two_ways
from tests.deployments.ground import assessed_at
from tests.plot import Plot, one_hop, sector


def one_way() -> Plot:
    """The second hop hangs in the air: nothing leads on from its far radio."""
    plot = two_ways()
    plot.drop("wires", "p-S2")
    return plot


def wired_twice() -> Plot:
    plot = one_hop(cameras=1)
    plot.wire("w-again", "core", "C1", length=90.0)
    return plot


def full_switch() -> Plot:
    """The pole's switch has six ports: uplink, four cameras, and one that is left."""
    plot = one_hop(cameras=4)
    for number in (1, 2):
        plot.add("devices", Device(id=f"more{number}", gear="hitch-8", structure="office", fed_from="board"))
        plot.wire(f"x-more{number}", f"more{number}", "hitch-m-column", length=30.0)
    return plot


def switch_with_room() -> Plot:
    plot = full_switch()
    plot.drop("wires", "x-more2")
    return plot


def relay() -> Plot:
    """A hub on the hill between a station in the office and one at the far column; no cable leads to the hub."""
    plot = one_hop(cameras=1, ceiling=9.0)
    plot.set("radios", "A", role="station", channel=None)
    plot.pole("hill", 80.0, 60.0)
    plot.mount("m-hill", "hill", 5.5)
    plot.rows["hops"] = []
    plot.access_point("R", "m-hill", "clove-s20", 157, power_ceiling_dbm=9.0)
    plot.cabinet("m-hill", "hill", "R", "clove-s20")
    plot.hop("R-A", "R", "A")
    plot.hop("R-S", "R", "S")
    return plot


def relay_with_cameras() -> Plot:
    """The same, but the hub's switch is on a cable to the office."""
    plot = relay()
    plot.add("devices", Device(id="shed", gear="hitch-8", structure="office", fed_from="board"))
    plot.wire("p-shed", "core", "shed", length=2.0)
    plot.wire("far", "hitch-m-hill", "shed", medium="fibre", gear="line-f2", length=120.0)
    return plot


def enterprise(*radios: str) -> Plot:
    plot = sector(80.0, 100.0)
    for key in radios:
        plot.set("radios", key, protection="wpa2_enterprise")
    return plot


def served() -> Plot:
    plot = enterprise("A", "S1", "S2")
    plot.add("devices", Device(id="wicket", gear="wicket-1", structure="office", fed_from="board"))
    plot.wire("p-wicket", "core", "wicket", length=2.0)
    return plot


def behind_its_own_station() -> Plot:
    plot = served()
    plot.drop("wires", "p-wicket")
    plot.wire("p-wicket", "hitch-m1", "wicket", length=90.0)
    return plot


CASES = (
    Case("second-way", "note", "core", two_ways, one_way, lambda site: remove(site, "H-S2").after),
    Case("no-free-port", "stop", "w-again", wired_twice, lambda: one_hop(cameras=1)),
    Case("no-free-port", "stop", "x-more2", full_switch, switch_with_room),
    Case(
        "managed-from-one-end", "note", "R", relay, relay_with_cameras,
        lambda _: relay_with_cameras().site(),
    ),
    Case("no-sign-in", "stop", "A", lambda: enterprise("S1"), served),
    Case(
        "no-sign-in", "stop", "A", behind_its_own_station, served,
        lambda site: change(site, "p-wicket", a={"thing": "core"}).after,
    ),
)  # fmt: skip

IDS = [f"{number}-{case.code}" for number, case in enumerate(CASES)]


def test_every_code_has_a_case() -> None:
    assert {case.code for case in CASES} == set(ways.CODES)


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_fires(case: Case) -> None:
    case.fires()


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_misses(case: Case) -> None:
    case.misses()


@pytest.mark.parametrize("case", CASES, ids=IDS)
def test_is_cured(case: Case) -> None:
    case.is_cured()


def test_route_names_its_second_way() -> None:
    rows = {row.camera: row for row in assessed(two_ways().site()).routes}
    assert [leg.id for leg in rows["C1"].legs] == [
        "w-C1", "p-S", "w-S", "H-S", "w-A", "p-A", "p-recorder"
    ]  # fmt: skip
    assert rows["C1"].second_way == ("w-C1", "p-S2", "w-S2", "H-S2", "w-A2", "p-A2", "p-recorder")
    assert all(row.second_way == () for row in assessed(one_way().site()).routes)


def test_legs_say_demand_and_what_is_left() -> None:
    """By hand: 3 cameras of 4.24 Mbit/s over the hop, 12.72; the cell's 0.55 of 130 Mbit/s is 71.5 Mbit/s alone, and
    (12.72 + 0.024) / 130 / 0.55 = 0.1782 of it are used: 58.757 are left. The recorder's wire at 1000: 987.28.
    """
    (row, *_) = assessed_at(one_hop(cameras=3)).routes
    legs = {leg.id: leg for leg in row.legs}
    assert legs["H-S"].demand_mbps == pytest.approx(12.72)
    assert legs["H-S"].carries_mbps == pytest.approx(71.5)
    assert legs["H-S"].left_mbps == pytest.approx(58.76, abs=0.01)
    assert legs["p-recorder"].left_mbps == pytest.approx(987.28)
    assert legs["w-C1"].demand_mbps == pytest.approx(4.24)
