"""Good designs at random, drawn from the catalogue by the rules of the trade, and single faults to plant in them."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from typing import Any

from survey_app.site.place import Anchor
from tests.plot import Plot

__all__ = ["Cell", "Drawn", "good_design"]

_REGIONS: tuple[tuple[str, str, tuple[float, float], tuple[int, ...]], ...] = (
    ("US", "US", (43.55, -69.6), (149, 157, 165)),
    ("CA", "CA", (44.2, -66.4), (149, 157, 165)),
    ("EU", "DK", (56.3, 11.8), (100, 108, 132, 140)),
    ("UK", "GB", (53.8, -4.6), (100, 108, 132, 140)),
    ("AU", "AU", (-38.6, 145.2), (149, 157, 165)),
)
"""Region, country, an anchor in open water, outdoor channels four widths apart or two."""

_GAIN_DBI = {
    "bowline-p16": 16.0,
    "bowline-p18": 18.0,
    "bowline-p19": 19.0,
    "clove-s20": 20.0,
    "sheave-d25": 25.0,
    "becket-c": 11.3,
}
_ANTENNAS = {"becket-c": {"antenna": "rove-o12", "feeder": "tail-1"}}
_MOST_EIRP_DBM = 29.0  # under the least of all regions' limits for an outdoor channel
_LOUDEST_DBM = -38.0
_MHZ = 5500.0


@dataclass(frozen=True)
class Cell:
    """One cell of a drawn design."""

    access_point: str
    gear: str
    stations: tuple[str, ...]


@dataclass(frozen=True)
class Drawn:
    """A drawn design: the plot, to be changed further, and what is in it."""

    plot: Plot
    cells: tuple[Cell, ...]
    cameras: tuple[str, ...]

    @property
    def radios(self) -> tuple[str, ...]:
        """Every radio."""
        return tuple(key for cell in self.cells for key in (cell.access_point, *cell.stations))


def _loss_db(distance_m: float) -> float:
    return 20.0 * math.log10(4.0 * math.pi * distance_m * _MHZ * 1e6 / 299_792_458.0)


def _ceiling_dbm(gear: str, far_gear: str, nearest_m: float) -> float:
    """Return a ceiling that is inside every region's law and does not deafen the nearest far end."""
    own, far = _GAIN_DBI[gear], _GAIN_DBI[far_gear]
    loud = _LOUDEST_DBM + _loss_db(nearest_m) - own - far
    return float(max(0, math.floor(min(_MOST_EIRP_DBM - own, loud, 21.0))))


@dataclass(frozen=True)
class _Kind:
    """A kind of cell: gear of hub and stations, how many stations, how far and how wide they spread."""

    gear: str
    station_gear: tuple[str, ...]
    stations: tuple[int, int]
    spread_deg: float
    distance_m: tuple[float, float]


_KINDS = (
    _Kind("bowline-p16", ("bowline-p16",), (1, 1), 0.0, (70.0, 350.0)),
    _Kind("bowline-p18", ("bowline-p18",), (1, 1), 0.0, (90.0, 450.0)),
    _Kind("bowline-p19", ("bowline-p19",), (1, 1), 0.0, (100.0, 500.0)),
    _Kind("sheave-d25", ("sheave-d25",), (1, 1), 0.0, (220.0, 900.0)),
    _Kind("bowline-p16", ("bowline-p16", "bowline-p18"), (2, 2), 7.0, (90.0, 180.0)),
    _Kind("bowline-p19", ("bowline-p16",), (2, 2), 5.0, (90.0, 180.0)),
    _Kind("becket-c", ("bowline-p16",), (2, 3), 60.0, (110.0, 200.0)),
    _Kind("clove-s20", ("bowline-p16", "bowline-p18"), (2, 4), 30.0, (110.0, 220.0)),
)

_WALLS = ((0, 180.0), (1, 90.0), (2, 0.0), (3, 270.0))
"""Edges of the office and the plan bearings that they look to."""


def good_design(seed: int) -> Drawn:
    """Draw a design in which nothing is wrong: one to three cells from one office, each on its own wall and channel.

    Parameters
    ----------
    seed : int
        Decides everything.
    """
    draw = random.Random(seed)
    region, country, (lat, lon), channels = draw.choice(_REGIONS)
    anchor = Anchor(lat_deg=lat, lon_deg=lon, rotation_deg=round(draw.uniform(-30.0, 30.0), 1))
    plot = Plot(region, country, anchor)
    plot.office(eaves=round(draw.uniform(4.0, 7.0), 1))
    plot.head_end(days_wanted_days=5.0)
    for n in range(2):
        bearing, distance = math.radians(draw.uniform(0.0, 360.0)), draw.uniform(900.0, 1500.0)
        plot.landmark(f"mark{n}", distance * math.sin(bearing), distance * math.cos(bearing))
    walls, on_air = list(_WALLS), list(channels)
    draw.shuffle(walls)
    cells, cameras = [], list[str]()
    for number in range(draw.randint(1, 3)):
        kind = draw.choice(_KINDS)
        cells.append(_cell(draw, plot, number, kind, walls.pop(), on_air.pop(draw.randrange(len(on_air))), cameras))
    return Drawn(plot, tuple(cells), tuple(cameras))


def _cell(
    draw: random.Random,
    plot: Plot,
    number: int,
    kind: _Kind,
    wall: tuple[int, float],
    channel: int,
    cameras: list[str],
) -> Cell:
    edge, outward = wall
    hub, mount = f"A{number}", f"hub{number}"
    along = round(draw.uniform(3.0, 9.0), 1)
    plot.wall_mount(mount, "office", edge, along, round(draw.uniform(0.8, 1.4), 2))
    x, y = _on_wall(edge, along)
    middle = outward + draw.uniform(-40.0, 40.0)
    count = draw.randint(*kind.stations)
    near = draw.uniform(*kind.distance_m)
    far_gear = draw.choice(kind.station_gear)
    ceiling = _ceiling_dbm(kind.gear, far_gear, near)
    plot.access_point(hub, mount, kind.gear, channel, power_ceiling_dbm=ceiling, **_ANTENNAS.get(kind.gear, {}))
    plot.feed_indoors(hub, kind.gear, length=round(draw.uniform(8.0, 25.0), 1))
    stations = []
    for n in range(count):
        spread = 0.0 if count == 1 else kind.spread_deg * (2.0 * n / (count - 1) - 1.0)
        distance = near * draw.uniform(1.0, 1.25)
        bearing = math.radians(middle + spread + draw.uniform(-1.0, 1.0))
        spot = (x + distance * math.sin(bearing), y + distance * math.cos(bearing))
        stations.append(_station(draw, plot, f"S{number}{n}", hub, far_gear, spot, distance, kind.gear, cameras))
    return Cell(hub, kind.gear, tuple(stations))


def _on_wall(edge: int, along: float) -> tuple[float, float]:
    return {
        0: (along, -0.3),
        1: (20.3, along),
        2: (20.0 - along, 12.3),
        3: (-0.3, 12.0 - along),
    }[edge]


def _station(
    draw: random.Random,
    plot: Plot,
    key: str,
    hub: str,
    gear: str,
    spot: tuple[float, float],
    distance: float,
    hub_gear: str,
    cameras: list[str],
) -> str:
    height = round(draw.uniform(5.0, 7.0), 1)
    tapered = gear == "bowline-p16" and draw.random() < 0.3
    more: dict[str, Any] = {"section": "tapered", "diameter_foot_mm": 114.0} if tapered else {}
    plot.pole(f"pole-{key}", *spot, height=height, diameter=draw.choice((76.0, 89.0)), **more)
    mount = f"m-{key}"
    plot.mount(mount, f"pole-{key}", round(height - draw.uniform(0.3, 0.8), 2))
    plot.station(key, mount, gear, hub, power_ceiling_dbm=_ceiling_dbm(gear, hub_gear, distance))
    plot.cabinet(mount, f"pole-{key}", key, gear)
    for n in range(draw.randint(1, 2)):
        camera = f"C-{key}-{n}"
        plot.camera(camera, mount)
        cameras.append(camera)
    return key
