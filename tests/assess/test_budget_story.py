"""What a budget must answer to: the power that is set, both directions, the slowest station of a cell."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from survey_app.data import demo_sites_folder
from survey_app.gear.catalogue import load_catalogue
from survey_app.site.file import read_site, site_from_bytes, site_to_bytes
from survey_app.site.site import Site
from tests.assess.test_difference import two_poles
from tests.laws import checked


def _changed(site: Site, change: Callable[[dict[str, Any]], None]) -> Site:
    data = json.loads(site_to_bytes(site))
    change(data["design"])
    return site_from_bytes(json.dumps(data).encode("utf-8"), "changed")


def _boatyard() -> Site:
    return read_site(demo_sites_folder() / "boatyard")


def _gate_reading(site: Site) -> float:
    reading = {row.id: row for row in checked(site).hops}["G"].ends.station.expected_reading_dbm
    assert reading is not None
    return reading


def _curve(index: int, power_dbm: float) -> Callable[[dict[str, Any]], None]:
    def change(design: dict[str, Any]) -> None:
        for item in design["gear"]:
            if item["id"] == "bowline-p16":
                item["power_per_mcs_dbm"][index] = power_dbm

    return change


def test_reading_follows_the_power_set_for_aiming() -> None:
    """19 dBm + 16 + 16 dBi less 90.8 dB of free space over 142.6 m at 5785 MHz."""
    assert _gate_reading(_boatyard()) == pytest.approx(-39.8, abs=0.2)


def test_reading_does_not_move_with_the_lowest_rate_s_power_but_with_the_highest_s() -> None:
    site = _boatyard()
    plain = _gate_reading(site)
    assert _gate_reading(_changed(site, _curve(0, 24.0))) == plain
    # the highest rate's power lies above the ceiling of 19 dBm until it is brought below it
    assert _gate_reading(_changed(site, _curve(7, 15.0))) == pytest.approx(plain - 4.0)


@pytest.mark.parametrize("pair", [("bowline-p19", "bowline-p16"), ("sheave-d25", "bowline-p18")])
def test_units_that_change_places_change_the_two_directions(pair: tuple[str, str]) -> None:
    here, there = (checked(two_poles(("one",), gear)).hops[0] for gear in (pair, pair[::-1]))
    for ours, theirs in ((here.ends, there.ends),):
        assert ours.station.expected_reading_dbm == pytest.approx(theirs.access_point.expected_reading_dbm, abs=1e-9)
        assert ours.access_point.expected_reading_dbm == pytest.approx(theirs.station.expected_reading_dbm, abs=1e-9)
    up, down = here.directions.to_access_point, here.directions.to_station
    turned_up, turned_down = there.directions.to_access_point, there.directions.to_station
    assert (up.mcs, down.mcs) == (turned_down.mcs, turned_up.mcs)
    assert up.margin_at_needed_rate_db == pytest.approx(turned_down.margin_at_needed_rate_db, abs=1e-9)


def test_slow_station_fills_the_cell_and_is_named() -> None:
    """8 Mbit/s at 130, 52 and 13 Mbit/s of link rate: 0.0615 + 0.1538 + 0.6154 = 0.8308 of the air, of 0.45 to be had.

    By hand from the rates of IEEE 802.11-2020, clause 19 [IEEE80211], and the sum of demand over rate [HEUSSE].
    """

    def change(design: dict[str, Any]) -> None:
        design["defaults"] = {"overhead_factor": 1.0, "return_fraction": 0.0}
        for hop, mcs in zip(design["hops"], (7, 3, 0), strict=True):
            hop["chosen_mcs"] = mcs
        design["gear"] += [
            json.loads(item.model_dump_json()) for item in load_catalogue().copies_for(["lens-b4", "logbook-16"])
        ]
        design["devices"] = [{"id": "recorder", "gear": "logbook-16"}]
        design["head_ends"] = [{"id": "office", "device": "recorder"}]
        design["wires"] = [{"id": "up", "a": {"thing": "hub"}, "b": {"thing": "recorder"}, "length_m": 10.0}]
        design["cameras"] = []
        for key in ("one", "two", "three"):
            design["cameras"].append(
                {"id": f"camera-{key}", "gear": "lens-b4", "mount": f"mount-{key}", "stream": {"rate_mbps": 8.0}}
            )
            design["wires"].append(
                {"id": f"w-{key}", "a": {"thing": f"camera-{key}"}, "b": {"thing": key}, "length_m": 3.0}
            )

    site = two_poles(("one", "two", "three"), ("bowline-p16", "bowline-p16"))
    (cell,) = (found := checked(_changed(site, change))).cells
    assert cell.airtime_used_fraction == pytest.approx(8 / 130 + 8 / 52 + 8 / 13, abs=1e-6)
    assert cell.load_fraction == pytest.approx(0.8308 / 0.45, abs=1e-3)
    assert cell.heaviest_station == "three"
    (full,) = (row for row in found.findings if row.code == "cell-full")
    assert full.severity == "stop"
    assert "three" in full.message
