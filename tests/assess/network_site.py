"""A small site builder for the tests of routes, supply, wires and tally; every type and place is invented."""

from __future__ import annotations

import datetime
from typing import Any

from survey_app.assess.job import Job
from survey_app.site.evidence import Evidence, Sight
from survey_app.site.gear_part import Body, Pattern, Ports, PowerInput, PowerOutput
from survey_app.site.gear_type import (
    ArmType,
    BatteryType,
    CableType,
    CameraType,
    ClampType,
    DeviceType,
    EnclosureType,
    ProtectorType,
    RadioType,
    SolarType,
    SundryType,
)
from survey_app.site.mount import Climb, Mount, Pipe
from survey_app.site.network import Camera, Device, HeadEnd, Supply, Wire, WireEnd
from survey_app.site.place import Anchor, EdgePlace, PlanePoint, PolePlace
from survey_app.site.radio import Hop, Radio
from survey_app.site.site import Defaults, Design, Plane, Site
from survey_app.site.structure import Building, Mast, Pole, Structure
from survey_app.site.surroundings import Zone
from survey_app.site.thing import Permission

PASSIVE_24 = PowerInput(scheme="passive", volts_min_v=18.0, volts_max_v=28.0, pairs="4,5+ 7,8-")
AF = PowerInput(scheme="802.3af", volts_min_v=37.0, volts_max_v=57.0)
AT = PowerInput(scheme="802.3at", volts_min_v=42.5, volts_max_v=57.0)
MAINS = PowerInput(scheme="mains", volts_min_v=100.0, volts_max_v=240.0, pairs="none", through="mains_plug")
MAINS_HARD = PowerInput(scheme="mains", volts_min_v=100.0, volts_max_v=240.0, pairs="none", through="terminals")


def _radio(type_id: str, **more: Any) -> RadioType:
    fields: dict[str, Any] = {
        "id": type_id,
        "kind": "radio",
        "name": type_id,
        "what": f"radio {type_id}",
        "mode": "n",
        "highest_mcs": 7,
        "widths_mhz": (20, 40),
        "pattern": Pattern(model="lobe", gain_dbi=16.0, azimuth_beamwidth_deg=27.0, elevation_beamwidth_deg=27.0),
        "power_per_mcs_dbm": (25.0,) * 8,
        "sensitivity_20mhz_dbm": (-93.0, -90.0, -87.0, -84.0, -80.0, -77.0, -75.0, -72.0),
        "power_inputs": (PASSIVE_24,),
        "watts_w": 8.0,
        "ports": (Ports(count=2, speed_mbps=100.0),),
        "lights_dbm": (-80.0, -72.0, -65.0, -58.0),
        "body": Body(ingress="IP55", mass_kg=0.4, pipe_min_mm=30.0, pipe_max_mm=65.0),
    }
    return RadioType(**{**fields, **more})


def _device(type_id: str, kind: str, ports: int = 2, speed: float = 1000.0, **more: Any) -> DeviceType:
    row = (Ports(count=ports, speed_mbps=speed),) if ports else ()
    fields: dict[str, Any] = {"id": type_id, "kind": kind, "name": type_id, "what": f"{kind} {type_id}", "ports": row}
    return DeviceType(**{**fields, **more})


def _sundry(rule: str, unit: str = "piece", **more: Any) -> SundryType:
    return SundryType(
        id=f"s-{rule}".replace("_", "-"), kind="sundry", name=rule, what=rule, rule=rule, unit=unit, **more
    )


PASS_24 = PowerOutput(scheme="passive", volts_v=24.0, watts_w=5.0, pairs="4,5+ 7,8-")
GEAR = (
    _radio("p16", pass_output=PASS_24),
    _radio("p19", power_inputs=(AF, AT), watts_w=8.5, ports=(Ports(count=1, speed_mbps=1000.0),)),
    _radio("one-at-a-time", transparent_bridge=False),
    CameraType(
        id="b4",
        kind="camera",
        name="b4",
        what="camera, bullet",
        width_px=2688,
        height_px=1520,
        angle_min_deg=28.0,
        angle_max_deg=98.0,
        watts_day_w=5.0,
        watts_night_w=9.0,
        power_inputs=(AF, AT),
        ports=(Ports(count=1, speed_mbps=100.0),),
        body=Body(ingress="IP67"),
    ),
    CameraType(
        id="c24",
        kind="camera",
        name="c24",
        what="camera, 24 V",
        width_px=1920,
        height_px=1080,
        angle_min_deg=28.0,
        angle_max_deg=98.0,
        watts_day_w=2.5,
        watts_night_w=4.5,
        power_inputs=(PASSIVE_24,),
        ports=(Ports(count=1, speed_mbps=100.0),),
    ),
    CameraType(
        id="p25",
        kind="camera",
        name="p25",
        what="camera, steerable",
        width_px=2688,
        height_px=1520,
        angle_min_deg=2.6,
        angle_max_deg=60.0,
        cap_mbps=6.0,
        watts_day_w=12.0,
        watts_night_w=18.0,
        steerable=True,
        power_inputs=(AT,),
        ports=(Ports(count=1, speed_mbps=100.0),),
        body=Body(ingress="IP67"),
    ),
    _device("slow-switch", "switch", 5, 10.0, delay_ms=120.0, power_inputs=(MAINS,)),
    _device(
        "recorder32",
        "recorder",
        channels=32,
        input_limit_mbps=320.0,
        bays=8,
        disk_tb=8.0,
        own_w=95.0,
        power_inputs=(MAINS,),
        body=Body(ingress="IP20"),
    ),
    _device("encoder4", "encoder", 1, 100.0, channels=4, stream_mbps=3.0, own_w=6.0, power_inputs=(MAINS,)),
    _device(
        "recorder16",
        "recorder",
        channels=16,
        input_limit_mbps=160.0,
        bays=4,
        disk_tb=8.0,
        own_w=60.0,
        power_inputs=(MAINS,),
        body=Body(ingress="IP20"),
    ),
    _device(
        "switch-mains",
        "switch",
        8,
        power_inputs=(MAINS,),
        power_outputs=(PowerOutput(scheme="802.3at", volts_v=54.0, watts_w=30.0, ports=4),),
        budget_w=65.0,
        own_w=8.0,
        spanning_tree=True,
        body=Body(ingress="IP20"),
    ),
    _device(
        "switch-pole",
        "switch",
        6,
        power_inputs=(PowerInput(scheme="dc", volts_min_v=48.0, volts_max_v=57.0, through="terminals"),),
        power_outputs=(PowerOutput(scheme="802.3at", volts_v=54.0, watts_w=30.0, ports=5),),
        budget_w=60.0,
        own_w=6.0,
        body=Body(ingress="IP66"),
    ),
    _device(
        "plug24",
        "injector",
        power_inputs=(MAINS,),
        power_outputs=(
            PowerOutput(scheme="passive", volts_v=24.0, tolerance_percent=5.0, watts_w=12.0, pairs="4,5+ 7,8-"),
        ),
        body=Body(ingress="IP20", temp_max_c=40.0),
    ),
    _device(
        "plug24w",
        "injector",
        power_inputs=(MAINS,),
        power_outputs=(
            PowerOutput(scheme="passive", volts_v=24.0, tolerance_percent=5.0, watts_w=18.0, pairs="4,5+ 7,8-"),
        ),
        body=Body(ingress="IP66"),
    ),
    _device(
        "plug48",
        "injector",
        power_inputs=(MAINS,),
        power_outputs=(PowerOutput(scheme="802.3at", volts_v=54.0, watts_w=30.0),),
        body=Body(ingress="IP20"),
    ),
    _device(
        "plug12d",
        "injector",
        power_inputs=(PowerInput(scheme="dc", volts_min_v=10.0, volts_max_v=30.0, through="terminals"),),
        power_outputs=(PowerOutput(scheme="passive", volts_v=24.0, watts_w=15.0, pairs="4,5+ 7,8-"),),
        efficiency_fraction=0.88,
        body=Body(ingress="IP30"),
    ),
    _device(
        "tap",
        "converter",
        power_inputs=(AF,),
        power_outputs=(PowerOutput(scheme="passive", volts_v=24.0, watts_w=10.5, pairs="4,5+ 7,8-"),),
        efficiency_fraction=0.81,
        body=Body(ingress="IP55"),
    ),
    _device(
        "feed54",
        "supply_unit",
        0,
        power_inputs=(MAINS_HARD,),
        power_outputs=(PowerOutput(scheme="dc", volts_v=54.0, tolerance_percent=2.0, watts_w=75.0, pairs="terminals"),),
        efficiency_fraction=0.89,
        derate_percent_per_k=2.0,
        derate_above_c=50.0,
        body=Body(ingress="IP20"),
    ),
    _device("glass", "media_converter", own_w=3.0, power_inputs=(MAINS,), body=Body(ingress="IP20")),
    CableType(id="c24s", kind="cable", name="c24s", what="outdoor cable 24 AWG", medium="copper", ohm_per_km=93.8),
    CableType(id="c26", kind="cable", name="c26", what="thin cable", medium="copper", ohm_per_km=133.9),
    CableType(id="c23g", kind="cable", name="c23g", what="cable 23 AWG", medium="copper", ohm_per_km=70.0),
    CableType(id="f2", kind="cable", name="f2", what="fibre, two", medium="fibre", data_limit_m=2000.0),
    BatteryType(
        id="cell", kind="battery", name="cell", what="battery", volts_v=12.8, capacity_ah=100.0, depth_fraction=0.8
    ),
    SolarType(
        id="sun180", kind="solar", name="sun180", what="panel", peak_w=180.0, body=Body(wind_area_m2=1.1, mass_kg=12.0)
    ),
    EnclosureType(
        id="box50",
        kind="enclosure",
        name="box50",
        what="box",
        inside_mm=(500.0, 400.0, 200.0),
        glands=8,
        heat_k_per_w=10.0 / 35.0,
        body=Body(ingress="IP66"),
    ),
    ClampType(
        id="cleat30",
        kind="clamp",
        name="cleat30",
        what="clamp 30 to 60",
        tilt_min_deg=-25.0,
        tilt_max_deg=25.0,
        tilt_step_deg=5.0,
        body=Body(pipe_min_mm=30.0, pipe_max_mm=60.0, mass_kg=0.5),
    ),
    ClampType(
        id="cleat50",
        kind="clamp",
        name="cleat50",
        what="clamp 48 to 90",
        tilt_min_deg=-20.0,
        tilt_max_deg=20.0,
        tilt_step_deg=0.5,
        body=Body(pipe_min_mm=48.0, pipe_max_mm=90.0, mass_kg=1.1),
    ),
    ClampType(
        id="cleat90",
        kind="clamp",
        name="cleat90",
        what="band 76 to 168",
        tilt_min_deg=-15.0,
        tilt_max_deg=15.0,
        tilt_step_deg=5.0,
        band=True,
        body=Body(pipe_min_mm=76.0, pipe_max_mm=168.0, mass_kg=1.4),
    ),
    ArmType(id="arm300", kind="arm", name="arm300", what="wall arm", reach_m=0.3, tube_mm=48.0, fixings=2),
    ArmType(id="arm600", kind="arm", name="arm600", what="wall arm, long", reach_m=0.6, tube_mm=48.0, fixings=4),
    ProtectorType(id="cap", kind="protector", name="cap", what="surge protector", clamp_v=70.0),
    _sundry("plug", pack=10),
    _sundry("gland"),
    _sundry("label"),
    _sundry("lug"),
    _sundry("bond_wire", "m"),
    _sundry("lanyard"),
    _sundry("patch_lead"),
    _sundry("anchor_brick"),
    _sundry("anchor_concrete"),
)


class Sketch:
    """Collects things and makes a site of them."""

    def __init__(self) -> None:
        self.things: dict[str, list[Any]] = {}
        self.defaults = Defaults()
        self.sights: list[Sight] = []
        self.gear: tuple[Any, ...] = GEAR

    def _add(self, what: str, thing: Any) -> Any:
        self.things.setdefault(what, []).append(thing)
        return thing

    def pole(self, pole_id: str, x: float, y: float, **more: Any) -> Structure:
        """Add a pole."""
        return self._add("structures", Pole(id=pole_id, kind="pole", position=PlanePoint(x_m=x, y_m=y), **more))

    def mast(self, mast_id: str, x: float, y: float, **more: Any) -> Structure:
        """Add a mast."""
        return self._add("structures", Mast(id=mast_id, kind="mast", position=PlanePoint(x_m=x, y_m=y), **more))

    def building(self, building_id: str, x0: float, y0: float, x1: float, y1: float, **more: Any) -> Structure:
        """Add a building with four corners."""
        corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        outline = tuple(PlanePoint(x_m=x, y_m=y) for x, y in corners)
        return self._add("structures", Building(id=building_id, kind="building", outline=outline, **more))

    def zone(self, zone_id: str, purpose: str, x0: float, y0: float, x1: float, y1: float) -> Zone:
        """Add a zone with four corners."""
        corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
        outline = tuple(PlanePoint(x_m=x, y_m=y) for x, y in corners)
        return self._add("zones", Zone(id=zone_id, purpose=purpose, outline=outline))

    def mount(self, mount_id: str, structure: str, height: float = 5.0, **more: Any) -> Mount:
        """Add a mount; on a pole unless told otherwise."""
        fields: dict[str, Any] = {"place": PolePlace(kind="pole"), "permission": Permission(state="granted")}
        return self._add("mounts", Mount(id=mount_id, structure=structure, height_m=height, **{**fields, **more}))

    def climb(self, climb_id: str, **more: Any) -> Climb:
        """Add a way up."""
        return self._add("climbs", Climb(id=climb_id, **more))

    def radio(self, radio_id: str, role: str, mount: str, gear: str = "p16", **more: Any) -> Radio:
        """Add a radio; role `ap` or `sta`."""
        word = {"ap": "access_point", "sta": "station"}[role]
        return self._add("radios", Radio(id=radio_id, role=word, mount=mount, gear=gear, **more))

    def hop(self, hop_id: str, access_point: str, station: str, **more: Any) -> Hop:
        """Add a hop that was seen from end to end."""
        at = datetime.datetime(2026, 10, 20, 12, tzinfo=datetime.UTC)
        self.sights.append(Sight(at=at, by="surveyor", hop=hop_id, result="seen_with_lamp"))
        return self._add("hops", Hop(id=hop_id, access_point=access_point, station=station, **more))

    def camera(self, camera_id: str, gear: str = "b4", **more: Any) -> Camera:
        """Add a camera."""
        return self._add("cameras", Camera(id=camera_id, gear=gear, **more))

    def device(self, device_id: str, gear: str, **more: Any) -> Device:
        """Add a device."""
        return self._add("devices", Device(id=device_id, gear=gear, **more))

    def supply(self, supply_id: str, kind: str = "mains", **more: Any) -> Supply:
        """Add a source of power."""
        return self._add("supplies", Supply(id=supply_id, kind=kind, **more))

    def wire(self, wire_id: str, a: str, b: str, power: str = "none", **more: Any) -> Wire:
        """Add a wire; of 20 m copper unless told otherwise."""
        fields: dict[str, Any] = {"gear": "c24s", "length_m": 20.0}
        fields.update(more)
        return self._add("wires", Wire(id=wire_id, a=WireEnd(thing=a), b=WireEnd(thing=b), power=power, **fields))

    def head_end(self, head_end_id: str, device: str, **more: Any) -> HeadEnd:
        """Add a head end."""
        return self._add("head_ends", HeadEnd(id=head_end_id, device=device, **more))

    def change(self, what: str, thing_id: str, **more: Any) -> None:
        """Change fields of a thing that is drawn already."""
        rows = self.things[what]
        self.things[what] = [row.__class__(**{**dict(row), **more}) if row.id == thing_id else row for row in rows]

    def drop(self, what: str, thing_id: str) -> None:
        """Take a thing out again."""
        self.things[what] = [row for row in self.things[what] if row.id != thing_id]

    def site(self) -> Site:
        """Return the site drawn so far."""
        rows = {what: tuple(things) for what, things in self.things.items()}
        return Site(
            design=Design(
                name="test",
                as_of=datetime.date(2026, 12, 1),
                region="US",
                country="US",
                plane=Plane(anchor=Anchor(lat_deg=43.55, lon_deg=-69.6)),
                gear=self.gear,
                defaults=self.defaults,
                **rows,
            ),
            evidence=Evidence(sights=tuple(self.sights)),
        )

    def job(self) -> Job:
        """Return the indexed site drawn so far."""
        return Job(self.site())


def yard(cameras: int = 2) -> Sketch:
    """Return an office with recorder and switch, and one hop to a pole with a switch and some cameras.

    The office's panel is fed by an injector, the pole by a board, a supply unit, a switch and a tap.
    """
    sketch = Sketch()
    sketch.building("office", 0.0, 0.0, 20.0, 10.0)
    sketch.pole("column", 150.0, 0.0)
    wall = EdgePlace(kind="edge", edge=1, along_m=5.0)
    sketch.mount("m-office", "office", 6.0, place=wall, pipe=Pipe(diameter_mm=48.3, measured=True), arm="arm300")
    sketch.mount("m-column", "column", 5.5)
    sketch.supply("board", structure="office")
    sketch.device("recorder", "recorder16", structure="office", fed_from="board")
    sketch.device("core", "switch-mains", structure="office", fed_from="board")
    sketch.device("plug", "plug24", structure="office", fed_from="board")
    sketch.head_end("home", "recorder")
    sketch.wire("w-core", "core", "recorder", outdoors=False, gear=None, length_m=2.0)
    sketch.wire("w-plug", "core", "plug", outdoors=False, gear=None, length_m=2.0)
    sketch.radio("A", "ap", "m-office", channel=157, power_ceiling_dbm=19.0)
    sketch.wire("w-A", "plug", "A", "a_to_b", length_m=16.0)
    sketch.radio("S", "sta", "m-column", power_ceiling_dbm=19.0)
    sketch.hop("A-S", "A", "S")
    sketch.supply("lamp", structure="column")
    sketch.device("feed", "feed54", mount="m-column", environment="outdoors", enclosure="box50", fed_from="lamp")
    sketch.device("hitch", "switch-pole", mount="m-column", environment="outdoors", enclosure="box50", fed_from="feed")
    sketch.device("tap1", "tap", mount="m-column", environment="outdoors", enclosure="box50")
    sketch.wire("w-tap", "hitch", "tap1", "a_to_b", outdoors=False, gear=None, length_m=1.0)
    sketch.wire("w-S", "tap1", "S", "a_to_b", length_m=4.0)
    for number in range(1, cameras + 1):
        sketch.camera(f"C{number}", mount="m-column")
        sketch.wire(f"w-C{number}", "hitch", f"C{number}", "a_to_b", length_m=4.0)
    return sketch
