"""A switch with several cameras behind one radio: the station has to bridge more than one device."""

from __future__ import annotations

import pytest

from tests.deployments.ground import assessed_at, cell, codes
from tests.plot import Plot, one_hop


def single(cameras: int) -> Plot:
    plot = one_hop(cameras=cameras)
    plot.set("radios", "S", bridge="single")
    return plot


def test_station_that_carries_one_device_stops_a_switch_with_three_cameras() -> None:
    assert "no-through-bridge" in codes(assessed_at(single(3)), "stop")
    assert "no-through-bridge" not in codes(assessed_at(single(1)), "stop", "warn")
    assert "no-through-bridge" not in codes(assessed_at(one_hop(cameras=3)), "stop", "warn")


def test_switch_sends_all_its_cameras_over_the_one_hop() -> None:
    """Three cameras: 12.744 Mbit/s / 130 / 0.55 = 0.17824."""
    assert cell(assessed_at(one_hop(cameras=3)), "A").load_fraction == pytest.approx(0.17824, abs=1e-5)
