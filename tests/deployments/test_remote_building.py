"""A remote building as a segment of the network: its cameras come home over the hop, or stay at a recorder of its own."""

from __future__ import annotations

import pytest

from survey_app.site.network import Camera, Device, HeadEnd, Stream, Supply
from tests.deployments.ground import assessed_at, cell, codes, route
from tests.plot import Plot


def segment(*, own_recorder: bool = False) -> Plot:
    """Draw two buildings with a hop between them; three cameras hang on two switches of the second."""
    plot = Plot()
    plot.office()
    plot.head_end()
    plot.office("shed", x=180.0)
    plot.wall_mount("m-office", "office", 1, 6.0)
    plot.wall_mount("m-shed", "shed", 3, 6.0)
    plot.landmark("tower", 900.0, 700.0)
    plot.access_point("A", "m-office", "bowline-p19", 157, power_ceiling_dbm=10.0)
    plot.station("S", "m-shed", "bowline-p19", "A", power_ceiling_dbm=10.0)
    plot.feed_indoors("A", "bowline-p19")
    plot.add("supplies", Supply(id="board-shed", kind="mains", structure="shed", status="existing"))
    for key in ("first", "second"):
        plot.add("devices", Device(id=key, gear="hitch-8", structure="shed", fed_from="board-shed"))
    plot.wire("p-between", "first", "second", length=2.0)
    plot.wire("w-S", "first", "S", "a_to_b")
    for number, switch in ((1, "first"), (2, "second"), (3, "second")):
        camera = Camera(
            id=f"C{number}", gear="lens-b4", mount="m-shed", height_m=3.5, purpose="detect", edge_recording_hours=24.0,
            stream=Stream(rate_mbps=4.0),
        )  # fmt: skip
        plot.add("cameras", camera)
        plot.wire(f"w-C{number}", switch, camera.id, "a_to_b", length=12.0)
    if own_recorder:
        plot.add("devices", Device(id="shed-recorder", gear="logbook-16", structure="shed", fed_from="board-shed"))
        plot.wire("p-shed-recorder", "second", "shed-recorder", length=2.0)
        plot.add("head_ends", HeadEnd(id="shed-home", device="shed-recorder", days_wanted_days=7.0))
    return plot


def test_segment_comes_home_over_the_hop() -> None:
    """Three cameras, 12.744 Mbit/s, at 130 Mbit/s and 0.55: 0.17824. C2 passes both switches before the hop."""
    found = assessed_at(segment())
    assert cell(found, "A").load_fraction == pytest.approx(0.17824, abs=1e-5)
    assert [leg.id for leg in route(found, "C2").legs] == ["w-C2", "p-between", "w-S", "H-S", "w-A", "p-recorder"]
    (between,) = (leg for leg in route(found, "C2").legs if leg.id == "p-between")
    assert (between.demand_mbps, between.left_mbps) == (pytest.approx(8.48), pytest.approx(1000.0 - 8.48))
    assert codes(found, "stop") == set()


def test_segment_with_a_recorder_of_its_own_leaves_the_hop_empty_and_has_a_second_way_to_none() -> None:
    """The way with the fewest hops wins: none over the air. When the shed's recorder fails, all go to the office."""
    found = assessed_at(segment(own_recorder=True))
    assert cell(found, "A").demand_mbps == 0.0
    assert {row.head_end for row in found.routes} == {"shed-home"}
    rows = {row.subject: row for row in found.failures}
    assert rows["shed-recorder"].moved == ("C1", "C2", "C3")
    assert rows["shed-recorder"].load_fraction == pytest.approx(0.17824, abs=1e-5)
    assert rows["shed-recorder"].fullest == "A"
