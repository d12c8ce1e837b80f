"""One to one: an access point, a station, four cameras behind it."""

from __future__ import annotations

import pytest

from tests.deployments.ground import assessed_at, cell, codes, route
from tests.plot import one_hop


def test_one_to_one_carries_four_cameras() -> None:
    """Video 4 x 4 Mbit/s x 1.06 = 16.96; return 16 x 0.002 = 0.032; together 16.992 Mbit/s.

    Air: 16.992 / 130 = 0.13071. Contention with one station leaves 0.55: load 0.13071 / 0.55 = 0.23765.
    Alone the hop carries 130 x 0.55 = 71.5; free are 71.5 x (1 - 0.23765) = 54.508.
    Late: the hop 2 ms when its air is lightly used, and 0.05 ms for each of the four boxes before the recorder
    (switch, tap, injector, core switch): 2.2 ms.
    """
    found = assessed_at(one_hop(cameras=4))
    row = cell(found, "A")
    assert row.demand_mbps == pytest.approx(16.992)
    assert row.load_fraction == pytest.approx(0.23765, abs=1e-5)
    way = route(found, "C1")
    hop = next(leg for leg in way.legs if leg.kind == "hop")
    assert (hop.demand_mbps, hop.carries_mbps) == (pytest.approx(16.96), pytest.approx(71.5))
    assert hop.left_mbps == pytest.approx(54.508, abs=1e-3)
    assert (way.bottleneck_leg, way.bottleneck_mbps) == ("H-S", pytest.approx(71.5))
    assert way.latency_ms == pytest.approx(2.2)
    assert codes(found, "stop") == set()


def test_one_to_one_says_how_many_more_cameras_fit() -> None:
    """Up to a load of 60 %: less its own 23.765 % and the 4 % in which a neighbour was heard, 32.235 % are free, of 0.55
    of the air 0.17729. One more camera of 4.24 Mbit/s and 0.2 % of it back takes 4.24848 / 130 = 0.032681: 5.425, so five.
    """
    assert cell(assessed_at(one_hop(cameras=4)), "A").more_cameras == 5
