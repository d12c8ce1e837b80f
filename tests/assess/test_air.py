"""The air in detail: who shares it, what each direction gets, how late pictures are, and the laws that must hold."""

from __future__ import annotations

import datetime
import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from survey_app.assess.air.others import heaviest_clique
from survey_app.assess.record import Assessment, CellRow
from survey_app.physics.airtime import equal_rate_mbps
from survey_app.physics.turns import turns_mbps
from survey_app.site.edits import add_evidence
from survey_app.site.evidence import Scan, ScanRow
from survey_app.site.network import Stream
from survey_app.site.site import Site
from tests.assess.rule_case import assessed
from tests.assess.test_rules_radio import second_cell_elsewhere, second_cell_on_the_channel
from tests.plot import one_hop, sector

_AT = datetime.datetime(2026, 11, 20, 12, 0, tzinfo=datetime.UTC)


def scanned(site: Site, mount: str, *rows: ScanRow) -> Site:
    return add_evidence(site, Scan(at=_AT, by="Kim", mount=mount, rows=rows)).after


def the_cell(found: Assessment) -> CellRow:
    (row,) = found.cells
    return row


def mount_of(site: Site, radio: str) -> str:
    return next(row.mount for row in site.design.radios if row.id == radio)


def channel_of(site: Site, radio: str) -> int:
    channel = next(row.channel for row in site.design.radios if row.id == radio)
    assert channel is not None
    return channel


def test_airtime_of_one_hop_by_hand() -> None:
    """Time of a turn by the standard's timing, times turns a second, both ways; nothing is lost with this margin."""
    found = assessed(one_hop(cameras=2).site())
    (hop,) = found.hops
    up, down = hop.directions.to_access_point, hop.directions.to_station
    assert up.lost_frames_fraction == pytest.approx(0.0, abs=1e-6)
    # 16 packets of 1472 octets in a turn; the turn costs less than twice its bare payload at this rate, and more than it
    assert up.phy_rate_mbps is not None
    assert up.air_fraction is not None
    assert up.demand_mbps / up.phy_rate_mbps < up.air_fraction < 2.0 * up.demand_mbps / up.phy_rate_mbps
    # a receipt of 100 octets costs a whole turn: far more than its bits
    assert down.air_fraction is not None
    assert down.phy_rate_mbps is not None
    assert down.air_fraction > 5.0 * down.demand_mbps / down.phy_rate_mbps
    cell = the_cell(found)
    assert cell.air_fraction == pytest.approx(up.air_fraction + down.air_fraction)


def test_like_stations_get_alike_by_turns_and_more_alone() -> None:
    rows = [hop.directions.to_access_point for hop in assessed(sector(60.0, 90.0, 120.0).site()).hops]
    by_turns = [row.equal_turn_mbps for row in rows]
    assert by_turns == pytest.approx([by_turns[0]] * 3, rel=0.05)
    (alone,) = assessed(sector(60.0).site()).hops
    assert alone.directions.to_access_point.equal_turn_mbps > 2.5 * by_turns[0]  # type: ignore[operator]


def test_a_neighbour_takes_air_and_the_finding_names_where_it_was_heard() -> None:
    site = sector(60.0, 90.0, 120.0).site()
    mount = mount_of(site, "A")
    busy = scanned(site, mount, ScanRow(channel=channel_of(site, "A"), width_mhz=20, level_dbm=-70, busy_percent=55))
    before, after = the_cell(assessed(site)), the_cell(assessed(busy))
    assert before.neighbours_fraction == pytest.approx(0.04)
    assert (after.neighbours_fraction, after.listened_at) == (pytest.approx(0.55), mount)
    assert after.load_fraction == before.load_fraction
    assert after.load_with_others_fraction == pytest.approx((before.load_fraction or 0.0) + 0.55)
    assert (after.delay_p99_ms or 0.0) > (before.delay_p99_ms or 0.0)
    assert (after.more_cameras or 0) < (before.more_cameras or 0)
    (full,) = [row for row in assessed(busy).findings if row.code == "cell-full"]
    assert f"55 % are of neighbours (scan at {mount})" in full.message


def test_what_a_station_hears_counts_too_and_other_channels_do_not() -> None:
    site = sector(60.0, 90.0, 120.0).site()
    channel = channel_of(site, "A")
    far = scanned(site, mount_of(site, "S2"), ScanRow(channel=channel, level_dbm=-70, busy_percent=30))
    assert the_cell(assessed(far)).listened_at == mount_of(site, "S2")
    off = scanned(site, mount_of(site, "A"), ScanRow(channel=channel + 8, level_dbm=-40, busy_percent=90))
    assert the_cell(assessed(off)).neighbours_fraction is None


@settings(max_examples=8, deadline=None)
@given(st.lists(st.tuples(st.integers(-95, -60), st.integers(0, 60)), min_size=1, max_size=4), st.data())
def test_removing_a_neighbour_never_hurts(heard: list[tuple[int, int]], data: st.DataObject) -> None:
    site = sector(60.0, 90.0).site()
    channel, mount = channel_of(site, "A"), mount_of(site, "A")
    rows = [
        ScanRow(channel=channel, width_mhz=10.0 * (n + 1), level_dbm=level, busy_percent=busy)
        for n, (level, busy) in enumerate(heard)
    ]
    gone = data.draw(st.integers(0, len(rows) - 1))
    more = the_cell(assessed(scanned(site, mount, *rows)))
    fewer = the_cell(assessed(scanned(site, mount, *rows[:gone], *rows[gone + 1 :])))
    assert (fewer.neighbours_fraction or 0.0) <= (more.neighbours_fraction or 0.0) + 1e-12
    assert (fewer.load_with_others_fraction or 0.0) <= (more.load_with_others_fraction or 0.0) + 1e-12
    if more.delay_p99_ms is not None:
        assert (fewer.delay_p99_ms or 0.0) <= more.delay_p99_ms + 1e-9


@pytest.mark.parametrize("station", ["m1", "m3"])
def test_adding_a_camera_never_raises_anyones_rate(station: str) -> None:
    one, more = sector(60.0, 90.0, 120.0), sector(60.0, 90.0, 120.0)
    more.camera("X", station)
    before, after = assessed(one.site()), assessed(more.site())
    for was, now in zip(before.hops, after.hops, strict=True):
        for way in ("equal_turn_mbps", "equal_time_mbps"):
            old, new = getattr(was.directions.to_access_point, way), getattr(now.directions.to_access_point, way)
            assert new <= old * (1 + 1e-9)
    assert (the_cell(after).delay_p99_ms or 0.0) >= (the_cell(before).delay_p99_ms or 0.0)


@given(st.lists(st.floats(150.0, 5000.0), min_size=2, max_size=7), st.data())
def test_splitting_a_cell_onto_a_clean_channel_never_lowers_what_all_get(
    turn: list[float], data: st.DataObject
) -> None:
    cut = data.draw(st.integers(1, len(turn) - 1))

    def together(part: list[float]) -> float:
        count = len(part)
        return float(turns_mbps([12e3] * count, part, [0.0] * count, [1] * count).sum())

    assert together(turn[:cut]) + together(turn[cut:]) >= together(turn) * (1 - 1e-9)
    rate = [1e4 / one for one in turn]
    apart = sum(len(part) * float(equal_rate_mbps(part, 0.45)) for part in (rate[:cut], rate[cut:]))
    assert apart >= len(rate) * float(equal_rate_mbps(rate, 0.45)) * (1 - 1e-9)


@given(st.integers(1, 7), st.data())
def test_heaviest_clique_is_that_of_trying_every_set(count: int, data: st.DataObject) -> None:
    weight = np.array([data.draw(st.floats(0.0, 1.0)) for _ in range(count)])
    joined = np.zeros((count, count), dtype=bool)
    for a, b in itertools.combinations(range(count), 2):
        joined[a, b] = joined[b, a] = data.draw(st.booleans())
    best = 0.0
    for size in range(1, count):
        for others in itertools.combinations(range(1, count), size):
            if all(joined[a, b] for a, b in itertools.combinations((0, *others), 2)):
                best = max(best, sum(weight[n] for n in others))
    assert heaviest_clique(0, joined, weight) == pytest.approx(best)


def test_overloaded_cell_waits_without_end() -> None:
    plot = sector(60.0, 90.0, 120.0, cameras=1)
    for n in range(12):
        plot.camera(f"X{n}", f"m{n % 3 + 1}")
    for camera in [row.id for row in plot.site().design.cameras]:
        plot.set("cameras", camera, stream={"mode": "constant", "rate_mbps": 20.0})
    cell = the_cell(assessed(plot.site()))
    assert (cell.load_fraction or 0.0) > 1.0
    assert cell.delay_p99_ms is None
    assert "wait without end" in next(row.sentence for row in cell.null_reasons if row.field == "delay_p99_ms")


def test_cells_that_hear_each_other_share_one_air_and_say_so() -> None:
    """Loads of cells that all hear each other add; on another channel each has its own."""
    together, apart = assessed(second_cell_on_the_channel().site()), assessed(second_cell_elsewhere().site())
    cells = {row.id: row for row in together.cells}
    assert all(row.heard_cells == tuple(key for key in cells if key != row.id) for row in cells.values())
    for row in cells.values():
        others = sum(other.load_fraction or 0.0 for other in cells.values() if other.id != row.id)
        assert row.heard_fraction == pytest.approx(others)
        shared = (row.load_fraction or 0.0) + others + (row.neighbours_fraction or 0.0)
        assert row.load_with_others_fraction == pytest.approx(shared)
    assert all(row.heard_cells == () and row.heard_fraction == 0.0 for row in apart.cells)


def test_multicast_takes_its_air_at_the_lowest_rate() -> None:
    """One camera of 4 Mbit/s, 1.06 of it on the network: 4.24 Mbit/s at 6.5 Mbit/s are 0.6523 of the air; its own way
    up, 4.24 / 130, and 0.008 back take 0.0327 besides. Over 0.55: 1.245 of what the cell carries.
    """
    plot = one_hop(cameras=1)
    quiet = assessed(plot.site()).cells[0]
    plot.set("cameras", "C1", stream=Stream(rate_mbps=4.0, multicast=True))
    loud = assessed(plot.site()).cells[0]
    assert (quiet.multicast_fraction, loud.multicast_fraction) == (0.0, pytest.approx(4.24 / 6.5, abs=1e-9))
    assert (loud.airtime_used_fraction or 0.0) - (quiet.airtime_used_fraction or 0.0) == pytest.approx(
        4.24 / 6.5, abs=1e-9
    )
    assert loud.load_fraction == pytest.approx((4.24 / 6.5 + 4.248 / 130.0) / 0.55, abs=1e-3)
    assert (loud.air_fraction or 0.0) > (quiet.air_fraction or 0.0) + 4.24 / 6.5, "waits and headers come on top"
    assert loud.more_cameras == 0
    polled = one_hop(cameras=1)
    polled.set("cameras", "C1", stream=Stream(rate_mbps=4.0, multicast=True))
    polled.set("radios", "A", access="scheduled")
    assert assessed(polled.site()).cells[0].multicast_fraction == 0.0


def test_multicast_of_a_small_stream_lets_pictures_wait_longer() -> None:
    plot = one_hop(cameras=2)
    plot.set("cameras", "C1", stream=Stream(rate_mbps=1.0))
    before = assessed(plot.site()).cells[0]
    plot.set("cameras", "C1", stream=Stream(rate_mbps=1.0, multicast=True))
    after = assessed(plot.site()).cells[0]
    assert before.delay_p99_ms
    assert before.more_cameras
    assert (after.delay_p99_ms or 0.0) > before.delay_p99_ms
    assert (after.more_cameras or 0) < before.more_cameras
