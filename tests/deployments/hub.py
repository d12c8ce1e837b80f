"""Six stations round a mast: as one omni hub, and as three sectors."""

from __future__ import annotations

import math

from tests.plot import Plot

__all__ = ["omni", "sectors"]

BEARINGS = (0.0, 60.0, 120.0, 180.0, 240.0, 300.0)


def _ring(access_point_of: dict[int, str], distance: float = 150.0) -> Plot:
    """Draw the office, the hub's mast and six poles with two cameras each; access points are drawn by the caller."""
    plot = Plot()
    plot.office()
    plot.head_end()
    plot.mast("hub", 10.0, 40.0, height=12.0)
    plot.landmark("tower", 900.0, 700.0)
    for number, bearing in enumerate(BEARINGS):
        x, y = 10.0 + distance * math.sin(math.radians(bearing)), 40.0 + distance * math.cos(math.radians(bearing))
        plot.pole(f"p{number}", x, y)
        plot.mount(f"m{number}", f"p{number}", 5.5)
        plot.station(f"S{number}", f"m{number}", "bowline-p16", access_point_of[number], power_ceiling_dbm=12.0)
        plot.cabinet(f"m{number}", f"p{number}", f"S{number}", "bowline-p16")
        for camera in (1, 2):
            plot.camera(f"C{number}-{camera}", f"m{number}")
    return plot


def omni() -> Plot:
    """One access point with an omni antenna."""
    plot = _ring(dict.fromkeys(range(6), "A"))
    plot.mount("m-hub", "hub", 11.0)
    plot.access_point("A", "m-hub", "becket-c", 157, antenna="rove-o8", feeder="tail-1", power_ceiling_dbm=20.0)
    plot.feed_indoors("A", "becket-c", length=40.0)
    return plot


def sectors() -> Plot:
    """Three sectors on three channels, two stations each."""
    plot = _ring({0: "A1", 1: "A1", 2: "A2", 3: "A2", 4: "A3", 5: "A3"})
    for number, channel in ((1, 149), (2, 157), (3, 165)):
        plot.mount(f"m-hub{number}", "hub", 8.0 + number)
        plot.access_point(f"A{number}", f"m-hub{number}", "clove-s20", channel, power_ceiling_dbm=9.0)
        plot.feed_indoors(f"A{number}", "clove-s20", length=40.0)
    return plot
