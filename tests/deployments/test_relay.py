"""A relay without a relay mode: the access point stands between two stations, wired at both outer ends."""

from __future__ import annotations

import pytest

from tests.assess.test_rules_ways import relay
from tests.deployments.ground import assessed_at, cell, codes, route


def test_relay_pays_its_air_twice() -> None:
    """One camera crosses both hops of the cell: twice 4.248 Mbit/s / 130 = 0.065354; 0.45 are to be had: 0.14523."""
    found = assessed_at(relay())
    assert cell(found, "R").demand_mbps == pytest.approx(8.496)
    assert cell(found, "R").load_fraction == pytest.approx(0.14523, abs=1e-5)
    legs = [(leg.id, leg.direction) for leg in route(found, "C1").legs if leg.kind == "hop"]
    assert legs == [("R-S", "to_access_point"), ("R-A", "to_station")]


def test_relay_is_managed_from_one_end_and_must_not_keep_its_stations_apart() -> None:
    assert "managed-from-one-end" in codes(assessed_at(relay()), "note")
    apart = relay()
    apart.set("radios", "R", isolation=True)
    assert "isolation-kills-relay" in codes(assessed_at(apart), "stop")
    assert "isolation-kills-relay" not in codes(assessed_at(relay()), "stop")
