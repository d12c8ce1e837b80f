"""Movable cameras indoors: one station on a cart, an area that must be served wherever it stands."""

from __future__ import annotations

import pytest

from tests.assess.test_rules_inside import hall
from tests.deployments.ground import assessed_at, cell, codes


def test_cart_behind_a_brick_wall_takes_little_air_and_is_served_all_over() -> None:
    """Held to rate 4: 52 x 4 bits x 3/4 x 2 streams / 4 us = 78 Mbit/s. One camera 4.248 / 78 / 0.55 = 0.09902."""
    found = assessed_at(hall(area={"needed_rate_mbps": 52.0}), 4)
    assert cell(found, "A").load_fraction == pytest.approx(0.09902, abs=1e-5)
    (area,) = found.areas
    assert area.served_fraction == pytest.approx(1.0, abs=1e-4)
    assert area.rate_everywhere_mbps is not None
    assert area.rate_everywhere_mbps >= 52.0
    assert codes(found, "stop") == set()


def test_cart_moved_behind_metal_is_not_served_everywhere() -> None:
    assert "area-not-served" in codes(assessed_at(hall(wall="metal", area={"needed_rate_mbps": 104.0})), "stop", "warn")
