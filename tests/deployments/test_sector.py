"""A sector of 90 degrees: three stations inside its beam, and one outside."""

from __future__ import annotations

import pytest

from tests.deployments.ground import assessed_at, cell, codes
from tests.plot import sector


def test_sector_serves_three_stations_across_its_beam() -> None:
    """At 50, 90 and 130 degrees the aim is 90: the outer ones are 40 off, inside the half beam of 45.

    Three cameras: 12.744 Mbit/s / 130 / 0.45 = 0.21785.
    """
    found = assessed_at(sector(50.0, 90.0, 130.0))
    off = [abs(row.ends.access_point.off_axis_azimuth_deg or 0.0) for row in found.hops]
    assert off == pytest.approx([40.0, 0.0, 40.0], abs=1.5)
    assert all((row.ends.access_point.pointing_loss_db or 0.0) < 3.0 for row in found.hops)
    assert cell(found, "A").load_fraction == pytest.approx(0.21785, abs=1e-5)
    assert codes(found, "stop") == set()


def test_station_behind_the_sector_is_told() -> None:
    """Stations 150 degrees apart: however it looks, one is 75 degrees off or more."""
    assert "outside-beam" in codes(assessed_at(sector(20.0, 90.0, 170.0)), "stop", "warn")
