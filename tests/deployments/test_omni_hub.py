"""An omni hub: it looks everywhere, and everything shares its one channel."""

from __future__ import annotations

import pytest

from tests.deployments.ground import assessed_at, cell, codes
from tests.deployments.hub import omni


def test_omni_hub_shares_one_air_among_six_stations() -> None:
    """Twelve cameras: 12 x (4.24 + 0.008) = 50.976 Mbit/s / 130 = 0.39212; 0.45 are to be had: load 0.87138, over
    the 60 % that are warned of.
    """
    found = assessed_at(omni())
    assert cell(found, "A").load_fraction == pytest.approx(0.87138, abs=1e-5)
    assert len(cell(found, "A").stations) == 6
    assert "cell-full" in codes(found, "warn")
    assert cell(found, "A").more_cameras == 0


def test_omni_hub_has_no_bearing_and_no_side_loss() -> None:
    found = assessed_at(omni())
    assert found.radio("A").bearing_plan_deg is None
    levels = [row.ends.station.rx_level_dbm for row in found.hops]
    assert max(levels) - min(levels) < 0.05, "all six are equally far"  # type: ignore[type-var, operator]
