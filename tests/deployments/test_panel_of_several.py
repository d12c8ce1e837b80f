"""Several stations into one panel: one beam looks between them, one slow station takes the air of the other."""

from __future__ import annotations

import pytest

from tests.deployments.ground import assessed_at, cell, codes
from tests.plot import sector


def test_panel_looks_midway_between_two_stations_alike() -> None:
    """Stations at 84 and 96 degrees at one distance: the aim that leaves both the same is 90."""
    found = assessed_at(sector(84.0, 96.0, gear="bowline-p16", ceiling=12.0))
    (bearing,) = (row.bearing_plan_deg for row in found.radios if row.id == "A")
    assert bearing == pytest.approx(90.0, abs=0.2)


def test_two_stations_alike_share_the_air() -> None:
    """Four cameras: 16.992 Mbit/s / 130 = 0.13071; several stations under contention leave 0.45: 0.29046."""
    found = assessed_at(sector(84.0, 96.0, gear="bowline-p16", cameras=2, ceiling=12.0))
    assert cell(found, "A").load_fraction == pytest.approx(0.29046, abs=1e-5)
    assert codes(found, "stop") == set()


def test_slow_station_takes_the_air_of_the_fast_one() -> None:
    """One station held to 13 Mbit/s: 8.496 / 130 = 0.06535 and 8.496 / 13 = 0.65354, together 0.71889.

    Load 0.71889 / 0.45 = 1.5975: more than all. The slow one takes 0.65354 / 0.71889 = 0.9091 of it.
    If both wanted all they can, each would get 0.45 / (1/130 + 1/13) = 5.318 Mbit/s.
    """
    plot = sector(84.0, 96.0, gear="bowline-p16", cameras=2, ceiling=12.0)
    plot.set("radios", "S2", highest_mcs=0)
    found = assessed_at(plot)
    row = cell(found, "A")
    assert row.load_fraction == pytest.approx(1.5975, abs=1e-4)
    assert (row.heaviest_station, row.heaviest_share_fraction) == ("S2", pytest.approx(0.9091, abs=1e-4))
    assert row.equal_share_mbps == pytest.approx(5.318, abs=1e-3)
    assert "cell-full" in codes(found, "stop")
