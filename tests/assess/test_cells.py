"""Cells: how full the air is, who fills it, and how many more cameras fit."""

from __future__ import annotations

import pytest

from survey_app.assess.record import CellRow
from tests.assess.rule_case import assessed
from tests.plot import Plot, one_hop, sector


def cell(plot: Plot) -> CellRow:
    (row,) = assessed(plot.site()).cells
    return row


def with_more(count: int) -> Plot:
    """Add cameras behind the stations in turn, for a pole's switch has only so many ports."""
    plot = sector(60.0, 90.0, 120.0, cameras=1)
    for number in range(count):
        plot.camera(f"X{number}", f"m{number % 3 + 1}")
    return plot


def careful_hop(cameras: int) -> Plot:
    """A hop with so much margin wanted that automatic power gives just the rate that is needed now."""
    plot = one_hop(cameras=cameras, ceiling=25.0)
    plot.set("hops", "H-S", wanted_margin_db=38.0)
    return plot


def test_cell_takes_as_many_more_cameras_as_it_says_and_not_one_more() -> None:
    room = cell(with_more(0)).more_cameras
    assert room is not None
    assert room > 0
    loads = {more: cell(with_more(more)).load_with_others_fraction for more in (room, room + 1)}
    limit = 0.60
    assert loads[room] is not None
    assert loads[room + 1] is not None
    assert loads[room] <= limit < loads[room + 1]


def test_growth_counts_what_automatic_power_would_give_if_it_were_asked() -> None:
    """At the rate of today the air looks nearly used up; with another camera the power rises, and with it the rate."""
    found = [cell(careful_hop(cameras)) for cameras in (2, 3, 4)]
    loads = [row.load_fraction for row in found]
    assert loads[0] is not None
    assert loads[0] > 0.5
    assert found[0].more_cameras is not None
    assert found[0].more_cameras > 2
    assert all(load is not None and load <= 0.6 for load in loads)
    assert "growth" not in {row.code for row in assessed(careful_hop(2).site()).findings}


def test_load_is_the_same_whatever_station_the_camera_hangs_on_where_rates_are_alike() -> None:
    one, other = sector(60.0, 90.0, 120.0), sector(60.0, 90.0, 120.0)
    one.camera("X", "m1")
    other.camera("X", "m3")
    assert cell(one).load_fraction == pytest.approx(cell(other).load_fraction)
    assert (cell(one).heaviest_station, cell(other).heaviest_station) == ("S1", "S3")


def test_share_of_equal_stations_is_the_rate_each_gets_when_all_send() -> None:
    """Stations of one rate R share what the air carries: R x 0.45 / 3 each."""
    row = cell(sector(60.0, 90.0, 120.0))
    found = assessed(sector(60.0, 90.0, 120.0).site())
    rates = {hop.directions.to_access_point.phy_rate_mbps for hop in found.hops}
    assert len(rates) == 1
    (rate,) = rates
    assert rate is not None
    assert row.equal_share_mbps == pytest.approx(rate * 0.45 / 3.0)


def test_scheduled_access_carries_more() -> None:
    plain, scheduled = sector(60.0, 90.0, 120.0), sector(60.0, 90.0, 120.0)
    scheduled.set("radios", "A", access="scheduled")
    assert cell(plain).airtime_limit_fraction == pytest.approx(0.45)
    assert cell(scheduled).airtime_limit_fraction == pytest.approx(0.70)
    assert cell(scheduled).access == "scheduled"
