"""Back-to-back chains of wired pairs, of any length: every hop has an air of its own."""

from __future__ import annotations

import pytest

from tests.deployments.ground import assessed_at, cell, route
from tests.plot import Plot

CHANNELS = (149, 157, 165)


def chain(hops: int) -> Plot:
    """Draw an office and so many poles in a row; two cameras at the last."""
    plot = Plot()
    plot.office()
    plot.head_end()
    plot.wall_mount("m0", "office", 1, 6.0)
    plot.landmark("tower", 900.0, 700.0)
    for number in range(1, hops + 1):
        plot.pole(f"p{number}", 20.3 + 120.0 * number, 6.0)
        plot.mount(f"m{number}", f"p{number}", 5.5)
        # the access point of the next hop hangs a metre lower on the same pole
        seat = f"m{number - 1}" if number == 1 else f"n{number - 1}"
        if number > 1:
            plot.mount(seat, f"p{number - 1}", 4.5)
        channel = CHANNELS[(number - 1) % 3]
        plot.access_point(f"A{number}", seat, "bowline-p16", channel, power_ceiling_dbm=14.0)
        plot.station(f"S{number}", f"m{number}", "bowline-p16", f"A{number}", power_ceiling_dbm=14.0)
        plot.cabinet(f"m{number}", f"p{number}", f"S{number}", "bowline-p16")
        if number == 1:
            plot.feed_indoors("A1", "bowline-p16")
        else:
            tap = type(plot.rows["devices"][-1])(
                id=f"tap-A{number}", gear="tap-54-24", mount=f"m{number - 1}", environment="outdoors",
                enclosure="coffer-50",
            )  # fmt: skip
            plot.add("devices", tap)
            plot.wire(f"p-A{number}", f"hitch-m{number - 1}", f"tap-A{number}", "a_to_b", length=0.5)
            plot.wire(f"w-A{number}", f"tap-A{number}", f"A{number}", "a_to_b", length=4.0)
    for camera in (1, 2):
        plot.camera(f"C{camera}", f"m{hops}")
    return plot


@pytest.mark.parametrize("hops", [1, 2, 3, 5])
def test_chain_of_any_length_loads_every_hop_alike_and_adds_its_delays(hops: int) -> None:
    """Two cameras: 8.48 + 0.016 = 8.496 Mbit/s / 130 = 0.065354; one station leaves 0.55: 0.11883 on every hop.

    Late: 2 ms a hop; boxes of 0.05 ms: the last pole's switch and tap, injector and core switch in the office make
    four; each pole between adds tap, switch and tap: 2 n + 0.05 (4 + 3 (n - 1)).
    """
    found = assessed_at(chain(hops))
    loads = [cell(found, f"A{number}").load_fraction for number in range(1, hops + 1)]
    assert loads == pytest.approx([0.11883] * hops, abs=1e-5)
    way = route(found, "C1")
    assert [leg.id for leg in way.legs if leg.kind == "hop"] == [f"H-S{number}" for number in range(hops, 0, -1)]
    assert way.latency_ms == pytest.approx(2.0 * hops + 0.05 * (4 + 3 * (hops - 1)))


def test_chain_is_as_long_lived_as_its_weakest_pole() -> None:
    dark = {row.subject: row.dark for row in assessed_at(chain(3)).failures}
    for pole in ("m1", "n1", "m2", "n2", "m3", "board-m1", "board-m2", "board-m3"):
        assert dark[pole] == ("C1", "C2"), pole
