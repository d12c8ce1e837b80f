"""Single faults to plant in a good design: each takes a drawn design and changes one thing."""

from __future__ import annotations

import datetime
import functools
import math
import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from survey_app.assess.interference import interference_of
from survey_app.assess.job import Job
from survey_app.assess.memo import Fresh
from survey_app.assess.numbers import numbers
from survey_app.assess.pipeline import assess
from survey_app.site.evidence import Reading, Scan, ScanRow, Sight
from survey_app.site.network import CameraTarget, Stream
from survey_app.site.place import EdgePlace, HeightKnown, PlanePoint, RoofPlace
from survey_app.site.radio import AimByHand, Radio
from survey_app.site.relief import SpotHeight, SpotRelief
from survey_app.site.site import Plane
from survey_app.site.structure import Building, OverheadLine, TrafficArea, TreeStand
from survey_app.site.surroundings import Water
from survey_app.site.thing import Permission
from survey_app.spectrum.regions import Regions, load_regions
from tests.designs import Drawn
from tests.plot import TAPE, WALK, catalogue

__all__ = ["FAULTS", "Fault"]

Plant = Callable[[random.Random, Drawn], bool]
"""Changes a design and says whether it could."""


@dataclass(frozen=True)
class Fault:
    """A fault and the code that must find it."""

    code: str
    severity: str
    plant: Plant
    follows: str = ""
    """Code that the same fault is also found by, and that may be listed before it; it is not counted."""


@functools.cache
def _regions() -> Regions:
    return load_regions()


def _hop(drawn: Drawn, draw: random.Random) -> str:
    return f"H-{_station(drawn, draw)}"


def _station(drawn: Drawn, draw: random.Random) -> str:
    return draw.choice([key for cell in drawn.cells for key in cell.stations])


def _radio(drawn: Drawn, key: str) -> Radio:
    return next(radio for radio in drawn.plot.rows["radios"] if radio.id == key)


def _station_mount(drawn: Drawn, draw: random.Random) -> str:
    return f"m-{_station(drawn, draw)}"


def _own_type(drawn: Drawn, key: str, **more: Any) -> bool:
    """Give one radio a type of its own that differs from the catalogue's in some fields."""
    found = catalogue().find(_radio(drawn, key).gear)
    own = type(found)(**{**found.__dict__, "id": "own-type", "name": "Own type", **more})
    drawn.plot.more_gear.append(own)
    drawn.plot.set("radios", key, gear="own-type")
    return True


def _set_site(**fields: Any) -> Plant:
    def plant(draw: random.Random, drawn: Drawn) -> bool:
        drawn.plot.fields.update(fields)
        return True

    return plant


def _set_mount(**fields: Any) -> Plant:
    def plant(draw: random.Random, drawn: Drawn) -> bool:
        drawn.plot.set("mounts", _station_mount(drawn, draw), **fields)
        return True

    return plant


def _set_station(**fields: Any) -> Plant:
    def plant(draw: random.Random, drawn: Drawn) -> bool:
        drawn.plot.set("radios", _station(drawn, draw), **fields)
        return True

    return plant


def _set_hop(**fields: Any) -> Plant:
    def plant(draw: random.Random, drawn: Drawn) -> bool:
        drawn.plot.set("hops", _hop(drawn, draw), **fields)
        return True

    return plant


def _set_camera(**fields: Any) -> Plant:
    def plant(draw: random.Random, drawn: Drawn) -> bool:
        drawn.plot.set("cameras", draw.choice(drawn.cameras), **fields)
        return True

    return plant


def _radar_region(drawn: Drawn) -> bool:
    return drawn.plot.fields["region"] in ("EU", "UK")


def _new_sight(result: str | None) -> Plant:
    def plant(draw: random.Random, drawn: Drawn) -> bool:
        hop = _hop(drawn, draw)
        sights = drawn.plot.evidence["sights"]
        drawn.plot.evidence["sights"] = [row for row in sights if row.hop != hop]
        if result is not None:
            drawn.plot.note("sights", Sight(at=WALK, by="walker", hop=hop, result=result))  # type: ignore[arg-type]
        return True

    return plant


def _too_high(draw: random.Random, drawn: Drawn) -> bool:
    key = _station_mount(drawn, draw)
    mount = next(row for row in drawn.plot.rows["mounts"] if row.id == key)
    drawn.plot.set("mounts", mount.id, height_m=mount.height_m + 1.4)
    return True


def _over_limit(draw: random.Random, drawn: Drawn) -> bool:
    """Only where law binds below the unit: a hub of several stations, or a region with an EIRP limit."""
    cells = [cell for cell in drawn.cells if len(cell.stations) > 1 or _radar_region(drawn)]
    if not cells:
        return False
    cell = draw.choice(cells)
    drawn.plot.set("radios", cell.access_point, power_ceiling_dbm=27.0)
    return True


def _indoor_band(draw: random.Random, drawn: Drawn) -> bool:
    if not _radar_region(drawn):
        return False
    drawn.plot.set("radios", draw.choice(drawn.cells).access_point, channel=36)
    return True


def _slow_hub(draw: random.Random, drawn: Drawn) -> bool:
    """Hold a hub with two cameras or more to its lowest rate."""
    busy = [cell for cell in drawn.cells if sum(camera.split("-")[1] in cell.stations for camera in drawn.cameras) > 1]
    if not busy:
        return False
    drawn.plot.set("radios", draw.choice(busy).access_point, highest_mcs=0)
    return True


def _too_strong(draw: random.Random, drawn: Drawn) -> bool:
    """Only where law leaves room above the ceiling: fixed point to point without an EIRP limit, near enough."""
    gains = {"bowline-p16": 16.0, "bowline-p18": 18.0, "bowline-p19": 19.0}
    found = assess(drawn.plot.site(), _regions())
    for cell in drawn.cells:
        if len(cell.stations) == 1 and cell.gear in gains and drawn.plot.fields["region"] == "US":
            loss = found.hop(f"H-{cell.stations[0]}").free_space_loss_db
            if loss is not None and 25.0 + 2.0 * gains[cell.gear] - loss > -34.0:
                drawn.plot.set("radios", cell.stations[0], power_ceiling_dbm=None)
                return True
    return False


def _turned_away(draw: random.Random, drawn: Drawn) -> bool:
    """Aim one station by hand two thirds of its beam beside its hub."""
    key = _station(drawn, draw)
    row = assess(drawn.plot.site(), _regions()).radio(key)
    assert row.bearing_true_deg is not None
    assert row.beamwidth_azimuth_deg is not None
    beside = (row.bearing_true_deg + 0.62 * row.beamwidth_azimuth_deg) % 360.0
    drawn.plot.set("radios", key, aim=AimByHand(bearing_deg=beside))
    return True


def _same_address(draw: random.Random, drawn: Drawn) -> bool:
    for key in drawn.radios[:2]:
        drawn.plot.set("radios", key, address="10.0.0.7")
    return True


def _same_serial(draw: random.Random, drawn: Drawn) -> bool:
    for key in drawn.radios[:2]:
        drawn.plot.set("radios", key, serial="0042-A")
    return True


def _rainy(draw: random.Random, drawn: Drawn) -> bool:
    key = _station(drawn, draw)
    found = catalogue().find(_radio(drawn, key).gear)
    return _own_type(drawn, key, body=type(found.body)(**{**found.body.__dict__, "ingress": "IP20"}))


def _crossed(draw: random.Random, drawn: Drawn) -> bool:
    key = _station(drawn, draw)
    found = catalogue().find(_radio(drawn, key).gear)
    pattern = found.pattern  # type: ignore[union-attr]
    return _own_type(drawn, key, pattern=type(pattern)(**{**pattern.__dict__, "polarisation": "slant"}))  # type: ignore[union-attr]


def _own(**more: Any) -> Plant:
    return lambda draw, drawn: _own_type(drawn, _station(drawn, draw), **more)


def _idle_radio(draw: random.Random, drawn: Drawn) -> bool:
    """Add a fed radio that no hop uses, a metre below a station."""
    key = _station(drawn, draw)
    mount = next(row for row in drawn.plot.rows["mounts"] if row.id == f"m-{key}")
    drawn.plot.mount("m-idle", mount.structure, mount.height_m - 1.0, climb=mount.climb)
    drawn.plot.add("radios", Radio(id="idle", role="station", gear="bowline-p19", mount="m-idle"))
    drawn.plot.wire("w-idle", f"hitch-m-{key}", "idle", "a_to_b", length=4.0)
    return True


def _two_on_one(draw: random.Random, drawn: Drawn) -> bool:
    """Hang the hub of a second cell where the first hangs."""
    if len(drawn.cells) < 2:
        return False
    first, second = (_radio(drawn, cell.access_point).mount for cell in drawn.cells[:2])
    mount = next(row for row in drawn.plot.rows["mounts"] if row.id == first)
    drawn.plot.set("mounts", second, place=mount.place, height_m=mount.height_m)
    return True


def _unrecorded(draw: random.Random, drawn: Drawn) -> bool:
    return _radar_region(drawn) and _set_camera(edge_recording_hours=0.0)(draw, drawn)


def _no_radar_word(draw: random.Random, drawn: Drawn) -> bool:
    return _radar_region(drawn) and _own_type(drawn, draw.choice(drawn.cells).access_point, radar_certified=None)


def _no_channel(draw: random.Random, drawn: Drawn) -> bool:
    drawn.plot.set("radios", draw.choice(drawn.cells).access_point, channel=None)
    return True


def _elsewhere(draw: random.Random, drawn: Drawn) -> bool:
    drawn.plot.fields["country"] = "DK" if drawn.plot.fields["region"] != "EU" else "US"
    return True


def _scan(days: int, level_dbm: float) -> Plant:
    def plant(draw: random.Random, drawn: Drawn) -> bool:
        cell = draw.choice(drawn.cells)
        hub = _radio(drawn, cell.access_point)
        assert hub.channel is not None
        scans = [row for row in drawn.plot.evidence["scans"] if row.mount != hub.mount]
        heard = (ScanRow(channel=hub.channel, level_dbm=level_dbm),)
        scans.append(Scan(at=WALK - datetime.timedelta(days=days), by="walker", mount=hub.mount, rows=heard))
        drawn.plot.evidence["scans"] = scans
        return True

    return plant


def _old_sheet(draw: random.Random, drawn: Drawn) -> bool:
    reading = Reading(at=WALK, by="rigger", revision="0", hop=_hop(drawn, draw), end="station", level_dbm=-50.0)
    drawn.plot.note("readings", reading)
    return True


def _side_by_side(draw: random.Random, drawn: Drawn) -> bool:
    """Hang the hub of a second cell beside the first, on its channel."""
    if len(drawn.cells) < 2:
        return False
    first, second = (_radio(drawn, cell.access_point) for cell in drawn.cells[:2])
    place = next(row for row in drawn.plot.rows["mounts"] if row.id == first.mount).place
    assert isinstance(place, EdgePlace)
    beside = EdgePlace(kind="edge", edge=place.edge, along_m=place.along_m + 0.4)
    drawn.plot.set("mounts", second.mount, place=beside)
    drawn.plot.set("radios", second.id, channel=first.channel)
    return True


_HARDLY_HEARD_DBM, _SPOILT_DB = -80.0, 9.0


def _on_one_channel(draw: random.Random, drawn: Drawn) -> bool:
    """Put a second cell on the channel of the first, where a far end hears its hub and the hubs hardly each other."""
    if len(drawn.cells) < 2:
        return False
    first, second = (_radio(drawn, cell.access_point) for cell in drawn.cells[:2])
    assert first.channel is not None
    drawn.plot.set("radios", second.id, channel=first.channel)
    quiet = ScanRow(channel=first.channel, level_dbm=-92.0, busy_percent=4.0)
    drawn.plot.evidence["scans"] = [
        Scan(at=row.at, by=row.by, mount=row.mount, rows=(quiet,)) if row.mount == second.mount else row
        for row in drawn.plot.evidence["scans"]
    ]
    job = Job(drawn.plot.site())
    found = numbers(job, _regions())
    between = interference_of(job, found, Fresh())
    row, level = found.radios.row, between.in_channel_dbm
    hubs = max(level[row[first.id], row[second.id]], level[row[second.id], row[first.id]])
    return bool(hubs < _HARDLY_HEARD_DBM and min(between.down.margin_needed_db) < _SPOILT_DB)


def _wrong_plug(draw: random.Random, drawn: Drawn) -> bool:
    plugs = [device.id for device in drawn.plot.rows["devices"] if device.gear == "plug-24"]
    if not plugs:
        return False
    drawn.plot.set("devices", draw.choice(plugs), gear="plug-48")
    return True


def _wet_plug(draw: random.Random, drawn: Drawn) -> bool:
    plugs = [device.id for device in drawn.plot.rows["devices"] if device.gear == "plug-24"]
    if not plugs:
        return False
    drawn.plot.set("devices", draw.choice(plugs), environment="outdoors")
    return True


def _long_wire(draw: random.Random, drawn: Drawn) -> bool:
    fed = [cell for cell in drawn.cells if cell.gear in ("bowline-p16", "bowline-p18")]
    if not fed:
        return False
    drawn.plot.set("wires", f"w-{fed[0].access_point}", length_m=80.0)
    return True


def _unfed(draw: random.Random, drawn: Drawn) -> bool:
    drawn.plot.set("devices", f"feed-{_station_mount(drawn, draw)}", fed_from=None)
    return True


def _no_recorder(draw: random.Random, drawn: Drawn) -> bool:
    drawn.plot.drop("wires", "p-recorder")
    return True


def _wired_twice(draw: random.Random, drawn: Drawn) -> bool:
    camera = draw.choice([row.id for row in drawn.plot.rows["cameras"]])
    drawn.plot.wire("second-wire", "core", camera, length=50.0)
    return True


def _long_keep(draw: random.Random, drawn: Drawn) -> bool:
    drawn.plot.set("head_ends", "home", days_wanted_days=3000.0)
    return True


def _guessed(draw: random.Random, drawn: Drawn) -> bool:
    """Only where a narrow beam is steered by it."""
    cells = [cell for cell in drawn.cells if cell.gear == "clove-s20"]
    if not cells:
        return False
    drawn.plot.set("mounts", f"m-{cells[0].stations[0]}", height_known=HeightKnown(how="guessed", sigma_m=8.0))
    return True


@dataclass(frozen=True)
class _Middle:
    """A point in the middle of a hop that is alone in its cell, and the zone there. [m]"""

    station: str
    x_m: float
    y_m: float
    ray_m: float
    zone_m: float

    def square(self, half_m: float = 1.0) -> tuple[PlanePoint, ...]:
        corners = ((-half_m, -half_m), (half_m, -half_m), (half_m, half_m), (-half_m, half_m))
        return tuple(PlanePoint(x_m=self.x_m + a, y_m=self.y_m + b) for a, b in corners)

    def top_m(self, free: float = 0.35) -> float:
        """Height of something that leaves so much of the zone free."""
        return self.ray_m - free * self.zone_m


def _middle(drawn: Drawn) -> _Middle | None:
    cell = next((cell for cell in drawn.cells if len(cell.stations) == 1), None)
    if cell is None:
        return None
    found = assess(drawn.plot.site(), _regions())
    a, s = found.radio(cell.access_point), found.radio(cell.stations[0])
    zone_m = found.hop(f"H-{s.id}").fresnel_radius_m
    assert zone_m is not None
    ray_m = (a.antenna_elevation_m + s.antenna_elevation_m) / 2.0
    return _Middle(s.id, (a.x_m + s.x_m) / 2.0, (a.y_m + s.y_m) / 2.0, ray_m, zone_m)


def _in_the_middle(make: Callable[[_Middle], Any]) -> Plant:
    """Put something under the middle of a hop."""

    def plant(draw: random.Random, drawn: Drawn) -> bool:
        middle = _middle(drawn)
        if middle is None:
            return False
        drawn.plot.add("structures", make(middle))
        return True

    return plant


def _shed(at: _Middle) -> Building:
    height = round(at.top_m(), 3)
    return Building(id="shed", kind="building", outline=at.square(), eaves_height_m=height, height_known=TAPE)


def _tree(at: _Middle) -> TreeStand:
    return TreeStand(
        id="tree", kind="tree_stand", outline=at.square(), crown_top_m=at.top_m(), growth_m_per_year=0.0,
        crown_growth_m_per_year=0.0,
    )  # fmt: skip


def _lane(standing: float) -> Callable[[_Middle], TrafficArea]:
    def make(at: _Middle) -> TrafficArea:
        return TrafficArea(
            id="lane",
            kind="traffic_area",
            outline=at.square(),
            envelope_height_m=at.top_m(),
            standing_fraction=standing,
        )

    return make


def _line(at: _Middle) -> OverheadLine:
    # across the ray, whichever way that runs
    corners = at.square(3.0)
    return OverheadLine(id="line", kind="overhead_line", route=(*corners[:3],))


def _flat_outline(at: _Middle) -> Building:
    corners = tuple(PlanePoint(x_m=at.x_m + n, y_m=at.y_m) for n in range(3))
    return Building(id="sliver", kind="building", outline=corners, eaves_height_m=1.0)


def _walled_in(draw: random.Random, drawn: Drawn) -> bool:
    """Build a kiosk round the column of a station."""
    middle = _middle(drawn)
    if middle is None:
        return False
    pole = next(row for row in drawn.plot.rows["structures"] if row.id == f"pole-{middle.station}")
    at = _Middle(middle.station, pole.position.x_m, pole.position.y_m, 0.0, 0.0)
    drawn.plot.add(
        "structures",
        Building(id="kiosk", kind="building", outline=at.square(), eaves_height_m=9.0, height_known=TAPE, wall="brick"),
    )
    return True


def _set_back(draw: random.Random, drawn: Drawn) -> bool:
    """Stand a hub in the middle of its roof, low."""
    cell = next((cell for cell in drawn.cells if len(cell.stations) == 1), None)
    if cell is None:
        return False
    place = RoofPlace(kind="roof", position=PlanePoint(x_m=10.0, y_m=6.0))
    mount = _radio(drawn, cell.access_point).mount
    drawn.plot.set("mounts", mount, place=place, height_m=0.25, arm=None)
    return True


def _seen_through(at: _Middle) -> Building:
    """A house as high as the ray: the walk saw the far end all the same, as its evidence says."""
    height = round(at.ray_m + 0.05 * at.zone_m, 3)
    return Building(id="shed", kind="building", outline=at.square(0.4), eaves_height_m=height, height_known=TAPE)


def _behind_the_parapet(draw: random.Random, drawn: Drawn) -> bool:
    """Build a parapet on the edge in front of a hub that stands back on its roof."""
    if not _set_back(draw, drawn):
        return False
    office = next(row for row in drawn.plot.rows["structures"] if row.id == "office")
    roof = type(office.roof)(**{**dict(office.roof), "parapet_height_m": 0.35})
    drawn.plot.set("structures", "office", roof=roof)
    return True


def _hidden_target(draw: random.Random, drawn: Drawn) -> bool:
    """Put a hut between a camera and what it is there to see, away from the ray."""
    middle = _middle(drawn)
    if middle is None:
        return False
    key = next(camera for camera in drawn.cameras if camera.startswith(f"C-{middle.station}-"))
    pole = next(row for row in drawn.plot.rows["structures"] if row.id == f"pole-{middle.station}")
    x_m, y_m = pole.position.x_m, pole.position.y_m
    away = math.hypot(x_m - middle.x_m, y_m - middle.y_m)
    out = ((x_m - middle.x_m) / away, (y_m - middle.y_m) / away)
    hut = _Middle(middle.station, x_m + 10.0 * out[0], y_m + 10.0 * out[1], 0.0, 0.0)
    target = PlanePoint(x_m=x_m + 16.0 * out[0], y_m=y_m + 16.0 * out[1])
    drawn.plot.set("cameras", key, target=CameraTarget(position=target, width_m=8.0))
    drawn.plot.add(
        "structures",
        Building(id="hut", kind="building", outline=hut.square(), eaves_height_m=3.5, height_known=TAPE),
    )
    return True


def _useless_relief(draw: random.Random, drawn: Drawn) -> bool:
    """Bring in heights that all lie on one line."""
    for structure in list(drawn.plot.rows["structures"]):
        drawn.plot.set("structures", structure.id, base_m=0.0)
    points = tuple(SpotHeight(position=PlanePoint(x_m=x, y_m=0.0), height_m=0.0) for x in (-100.0, 0.0, 900.0))
    drawn.plot.fields["relief"] = SpotRelief(kind="spots", points=points, vertical_datum="site datum")
    return True


def _low_and_unseen(draw: random.Random, drawn: Drawn) -> bool:
    """Hang a far station so low that two metres of ground would decide, and forget to look along the hop."""
    cell = next((cell for cell in drawn.cells if len(cell.stations) == 1), None)
    if cell is None:
        return False
    key = cell.stations[0]
    drawn.plot.set("mounts", f"m-{key}", height_m=1.5)
    sights = drawn.plot.evidence["sights"]
    drawn.plot.evidence["sights"] = [row for row in sights if row.hop != f"H-{key}"]
    return True


def _tidal(draw: random.Random, drawn: Drawn) -> bool:
    """Put a dock under a hop, whose level goes through all heights at which both rays are opposed."""
    middle = _middle(drawn)
    if middle is None:
        return False
    dock = _Middle(middle.station, middle.x_m, middle.y_m, 0.0, 0.0).square(25.0)
    drawn.plot.add("waters", Water(id="dock", outline=dock, level_low_m=-6.0, level_high_m=-0.5))
    return True


FAULTS: tuple[Fault, ...] = (
    Fault("region-unset", "stop", _set_site(region=None)),
    Fault("region-unknown", "stop", _set_site(region="ZZ", country=None)),
    Fault("country-elsewhere", "stop", _elsewhere),
    Fault("no-channel", "stop", _no_channel),
    Fault("band-not-outdoors", "stop", _indoor_band),
    Fault("over-limit", "stop", _over_limit),
    Fault("unit-cannot", "stop", _set_hop(chosen_mcs=12)),
    Fault("radar-wait", "warn", _unrecorded),
    Fault("certificate-not-noted", "warn", _no_radar_word),
    Fault("beyond-timing", "stop", _own(ack_distance_m=60.0)),
    Fault("thin-margin", "warn", _set_hop(wanted_margin_db=60.0)),
    Fault("too-strong", "warn", _too_strong),
    Fault("outside-beam", "warn", _turned_away),
    Fault("mixed-slant", "note", _crossed),
    Fault("one-spot", "stop", _two_on_one),
    Fault("deaf-neighbour", "stop", _side_by_side, follows="same-channel-heard"),
    Fault("same-channel-heard", "warn", _on_one_channel, follows="growth"),
    Fault("unanchored", "warn", _set_site(plane=Plane())),
    Fault("north-unsure", "warn", _set_mount(position_sigma_m=95.0)),
    Fault("height-guessed-decides", "warn", _guessed, follows="chance-low"),
    Fault("nothing-to-aim-at", "warn", _idle_radio),
    Fault("bracket-cannot", "stop", _set_mount(bracket="cleat-30")),
    Fault("not-checked", "warn", _new_sight(None)),
    Fault("not-seen", "warn", _new_sight("not_seen")),
    Fault("cell-full", "stop", _slow_hub),
    Fault("weak-protection", "warn", _set_station(protection="wpa_tkip")),
    Fault("scan-stale", "warn", _scan(400, -92.0)),
    Fault("channel-busy", "warn", _scan(0, -70.0)),
    Fault("stale-sheet", "warn", _old_sheet),
    Fault("permission-missing", "warn", _set_mount(permission=Permission(state="not_asked"))),
    Fault("permission-missing", "stop", _set_mount(permission=Permission(state="refused"))),
    Fault("mount-refused", "stop", _set_mount(usable="refused")),
    Fault("datum-mixed", "stop", _too_high),
    Fault("weather-unfit", "stop", _rainy),
    Fault("overhead-line-near", "warn", _set_mount(overhead_line_m=4.0)),
    Fault("address-clash", "warn", _same_address),
    Fault("label-clash", "warn", _same_serial),
    Fault("nobody-knows-rate", "warn", _set_camera(stream=Stream(mode="variable", rate_mbps=4.0))),
    Fault("no-power-there", "stop", _unfed),
    Fault("wrong-supply", "stop", _wrong_plug),
    Fault("wet-injector", "stop", _wet_plug),
    Fault("no-volts", "warn", _long_wire),
    Fault("no-way-home", "stop", _no_recorder),
    Fault("days-short", "warn", _long_keep),
    Fault("no-free-port", "stop", _wired_twice),
    Fault("no-sign-in", "stop", _set_station(protection="wpa2_enterprise")),
    Fault("not-clear", "warn", _in_the_middle(_shed)),
    Fault("leaf-and-growth", "warn", _in_the_middle(_tree)),
    Fault("moving-blocker", "warn", _in_the_middle(_lane(0.0))),
    Fault("moving-blocker", "stop", _in_the_middle(_lane(0.5))),
    Fault("line-unmeasured", "warn", _in_the_middle(_line)),
    Fault("outline-fault", "warn", _in_the_middle(_flat_outline)),
    Fault("radio-inside", "warn", _walled_in),
    Fault("own-edge", "warn", _set_back),
    Fault("own-wall", "warn", _behind_the_parapet, follows="seen-against-drawn"),
    Fault("seen-against-drawn", "warn", _in_the_middle(_seen_through), follows="not-clear"),
    Fault("target-hidden", "warn", _hidden_target),
    Fault("relief-unknown", "warn", _useless_relief),
    Fault("assumed-flat", "warn", _low_and_unseen, follows="not-checked"),
    Fault("water-ripple", "warn", _tidal),
)
"""One fault each; those that need a certain region or kind of cell say so by returning False."""
