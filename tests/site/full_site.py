"""A small site with one of everything, every reference filled."""

from __future__ import annotations

import datetime
from typing import Any

from survey_app.site import Design, Site
from survey_app.site.evidence import (
    AcceptanceRow,
    AsBuilt,
    BenchProof,
    Evidence,
    Reading,
    Scan,
    ScanRow,
    Sight,
    WalkNote,
)
from survey_app.site.gear_part import Body, Cut, Pattern, Ports, PowerInput, PowerOutput
from survey_app.site.gear_type import (
    AntennaType,
    ArmType,
    BatteryType,
    CableType,
    CameraType,
    ClampType,
    DeviceType,
    EnclosureType,
    FeederType,
    PoleType,
    ProtectorType,
    RadioType,
    SolarType,
    SundryType,
)
from survey_app.site.mount import Climb, Mount, MountPower, Pipe
from survey_app.site.network import Camera, CameraTarget, Device, HeadEnd, Stream, Supply, Wire, WireEnd
from survey_app.site.place import (
    Anchor,
    EdgePlace,
    GeoPoint,
    HeightKnown,
    PlanePoint,
    PointPlace,
    PolePlace,
    RoofPlace,
)
from survey_app.site.plan_picture import ControlPoint, PlanPicture
from survey_app.site.radio import AimByHand, Hop, Radio
from survey_app.site.site import AcceptedFinding, Defaults, Landmark, Note, Photograph, Plane
from survey_app.site.structure import Building, Mast, Obstacle, OverheadLine, Pole, Roof, TrafficArea, TreeStand
from survey_app.site.surroundings import Opening, Room, ServedArea, Wall, Water, Zone
from survey_app.site.thing import Permission

DAY = datetime.date(2026, 12, 1)
MOMENT = datetime.datetime(2026, 12, 1, 9, 30, tzinfo=datetime.timezone(datetime.timedelta(hours=1)))


def at(x_m: float, y_m: float) -> PlanePoint:
    """Return a point of the plane."""
    return PlanePoint(x_m=x_m, y_m=y_m)


def box(x_m: float, y_m: float, width_m: float, depth_m: float) -> tuple[PlanePoint, ...]:
    """Return the corners of a rectangle."""
    return (
        at(x_m, y_m),
        at(x_m + width_m, y_m),
        at(x_m + width_m, y_m + depth_m),
        at(x_m, y_m + depth_m),
    )


_FEED = PowerInput(scheme="passive", volts_min_v=18.0, volts_max_v=28.0, pairs="4,5+ 7,8-")
_GIVE = PowerOutput(scheme="passive", volts_v=24.0, watts_w=12.0, pairs="4,5+ 7,8-")
_PORT = Ports(count=1, speed_mbps=100.0)
_WIDE = Pattern(model="lobe", gain_dbi=16.0, azimuth_beamwidth_deg=27.0, elevation_beamwidth_deg=27.0)
_TABLE = Pattern(
    model="table",
    gain_dbi=12.0,
    azimuth_beamwidth_deg=360.0,
    elevation_beamwidth_deg=7.0,
    azimuth_cut=Cut(angle_deg=(-180.0, 0.0, 180.0), relative_db=(0.0, 0.0, 0.0)),
    elevation_cut=Cut(angle_deg=(-90.0, 0.0, 90.0), relative_db=(-20.0, 0.0, -20.0)),
)


def _radio_type(gear_id: str, **fields: Any) -> RadioType:
    return RadioType(
        kind="radio",
        id=gear_id,
        name=gear_id,
        what="radio",
        mode="n",
        highest_mcs=7,
        widths_mhz=(20, 40),
        power_per_mcs_dbm=(25.0, 25.0, 25.0, 24.0, 24.0, 23.0, 22.0, 21.0),
        sensitivity_20mhz_dbm=(-93.0, -90.0, -87.0, -84.0, -80.0, -77.0, -75.0, -72.0),
        power_inputs=(_FEED,),
        watts_w=8.0,
        ports=(_PORT,),
        **fields,
    )


GEAR = (
    _radio_type("panel", pattern=_WIDE, body=Body(ingress="IP55", mass_kg=0.4, pipe_min_mm=30.0, pipe_max_mm=65.0)),
    _radio_type("panel-b", pattern=_WIDE, pass_output=_GIVE),
    _radio_type("bare", connectors=2),
    AntennaType(kind="antenna", id="omni", name="omni", what="antenna", pattern=_TABLE),
    FeederType(kind="feeder", id="tail", name="tail", what="feeder", loss_db=0.7),
    CableType(kind="cable", id="line", name="line", what="cable", medium="copper", ohm_per_km=93.8),
    DeviceType(kind="injector", id="plug", name="plug", what="injector", power_outputs=(_GIVE,), ports=(_PORT,)),
    DeviceType(kind="recorder", id="log", name="log", what="recorder", ports=(_PORT,), bays=4, disk_tb=8.0),
    CameraType(
        kind="camera",
        id="eye",
        name="eye",
        what="camera",
        width_px=2688,
        height_px=1520,
        angle_min_deg=28.0,
        angle_max_deg=98.0,
        watts_day_w=5.0,
        watts_night_w=9.0,
        power_inputs=(_FEED,),
        ports=(_PORT,),
    ),
    BatteryType(
        kind="battery", id="cell", name="cell", what="battery", volts_v=12.8, capacity_ah=100.0, depth_fraction=0.8
    ),
    SolarType(kind="solar", id="sun", name="sun", what="panel", peak_w=180.0),
    EnclosureType(
        kind="enclosure",
        id="case",
        name="case",
        what="box",
        inside_mm=(300.0, 200.0, 150.0),
        glands=4,
        heat_k_per_w=0.7,
    ),
    ClampType(
        kind="clamp", id="cleat", name="cleat", what="clamp", tilt_min_deg=-25.0, tilt_max_deg=25.0, tilt_step_deg=5.0
    ),
    ArmType(kind="arm", id="arm", name="arm", what="wall arm", reach_m=0.3, tube_mm=48.0, fixings=2),
    PoleType(
        kind="pole",
        id="mast-6",
        name="mast 6",
        what="pole",
        height_m=6.0,
        diameter_top_mm=60.3,
        diameter_foot_mm=60.3,
        wall_mm=3.6,
    ),
    ProtectorType(kind="protector", id="cap", name="cap", what="surge protector", clamp_v=70.0),
    SundryType(kind="sundry", id="tie", name="tie", what="tie", rule="tie"),
)


def full_design() -> Design:
    """Return a design with one of everything."""
    return Design(
        name="Full site",
        as_of=DAY,
        region="EU",
        country="DK",
        plane=Plane(anchor=Anchor(lat_deg=56.3, lon_deg=11.8, rotation_deg=-4.5), datum_elevation_m=12.5),
        defaults=Defaults(margin_near_db=12.0),
        structures=(
            Building(
                kind="building",
                id="office",
                name="Büro „Süd“",
                outline=box(0.0, 0.0, 18.0, 10.0),
                holes=(box(5.0, 3.0, 2.0, 2.0),),
                roof=Roof(kind="gable", ridge_height_m=7.5, ridge_plan_deg=90.0),
                base_known=HeightKnown(),
            ),
            Pole(kind="pole", id="gate-pole", position=at(-60.0, 12.5), height_m=6.5, section="tapered"),
            Mast(kind="mast", id="roof-mast", position=at(9.0, 5.0), base_m=6.0, height_m=3.0, guyed=True),
            TreeStand(kind="tree_stand", id="lime", outline=box(-40.0, 20.0, 8.0, 8.0)),
            Obstacle(
                kind="obstacle", id="crane", outline=box(40.0, 40.0, 2.0, 2.0), height_m=20.0, swing_radius_m=15.0
            ),
            OverheadLine(kind="overhead_line", id="line-10kv", route=(at(-90.0, -50.0), at(90.0, -50.0))),
            TrafficArea(kind="traffic_area", id="lane", outline=box(-30.0, -5.0, 6.0, 40.0)),
        ),
        waters=(Water(id="pond", outline=box(100.0, 0.0, 50.0, 50.0), level_low_m=-1.5, level_high_m=0.25),),
        zones=(Zone(id="filling", purpose="hazard", outline=box(60.0, 0.0, 4.0, 4.0)),),
        rooms=(Room(id="store", structure="office", outline=box(0.0, 0.0, 9.0, 10.0)),),
        walls=(Wall(id="wall", structure="office", route=(at(9.0, 0.0), at(9.0, 10.0)), material="brick"),),
        openings=(Opening(id="door", wall="wall", along_m=5.0, width_m=1.0),),
        served_areas=(
            ServedArea(
                id="carts",
                structure="office",
                outline=box(1.0, 1.0, 7.0, 8.0),
                station="st-2",
                also_joins=("ap",),
                needed_rate_mbps=26.0,
            ),
        ),
        climbs=(Climb(id="ladder", way="ladder", reach_m=6.0, key="porter"),),
        mounts=(
            Mount(
                id="wall-mount",
                structure="office",
                place=EdgePlace(kind="edge", edge=1, along_m=4.5),
                height_m=-0.5,
                height_reference="eaves",
                arm="arm",
                bracket="cleat",
                climb="ladder",
                permission=Permission(state="granted", on=DAY, by="owner"),
                power=MountPower(mains="yes", switched_at_night="never"),
                photo="wall.jpg",
            ),
            Mount(
                id="gate-mount",
                structure="gate-pole",
                place=PolePlace(kind="pole", side_plan_deg=90.0),
                height_m=6.0,
                pipe=Pipe(diameter_mm=89.0, measured=True),
                bracket="cleat",
                climb="ladder",
            ),
            Mount(
                id="roof-mount",
                structure="office",
                place=RoofPlace(kind="roof", position=at(2.0, 2.0)),
                height_m=2.0,
                height_reference="roof",
            ),
            Mount(
                id="lime-mount",
                structure="lime",
                place=PointPlace(kind="point", position=GeoPoint(lat_deg=56.30001, lon_deg=11.79999)),
                height_m=4.0,
            ),
        ),
        cameras=(
            Camera(
                id="eye-1",
                gear="eye",
                mount="gate-mount",
                target=CameraTarget(position=at(-55.0, 12.0), width_m=6.0),
                stream=Stream(mode="variable", rate_mbps=3.5, night_factor=1.3),
            ),
            Camera(id="eye-2", gear="eye", position=at(3.0, 4.0)),
        ),
        radios=(
            Radio(
                id="ap",
                role="access_point",
                gear="bare",
                mount="wall-mount",
                antenna="omni",
                feeder="tail",
                channel=100,
                width_mhz=20,
                aim=AimByHand(bearing_deg=270.0, tilt_deg=-0.5),
            ),
            Radio(id="st", role="station", gear="panel", mount="gate-mount"),
            Radio(id="st-2", role="station", gear="panel", mount="roof-mount"),
        ),
        hops=(Hop(id="hop", access_point="ap", station="st", wanted_margin_db=12.0),),
        devices=(
            Device(id="plug-1", gear="plug", structure="office", enclosure="case", fed_from="board"),
            Device(id="log-1", gear="log", structure="office", position=at(1.0, 1.0), fed_from="board"),
            Device(id="plug-2", gear="plug", mount="gate-mount", fed_from="plug-1"),
        ),
        wires=(
            Wire(
                id="w1",
                gear="line",
                a=WireEnd(thing="plug-1", port="PoE"),
                b=WireEnd(thing="ap"),
                power="a_to_b",
                route=(at(1.0, 1.0), at(17.0, 4.0)),
                drops_m=6.5,
            ),
            Wire(id="w2", medium="existing", a=WireEnd(thing="log-1"), b=WireEnd(thing="end"), capacity_mbps=1000.0),
            Wire(id="w3", medium="dc", a=WireEnd(thing="solar"), b=WireEnd(thing="st")),
        ),
        supplies=(
            Supply(id="board", kind="mains", structure="office", board="B2, breaker 7"),
            Supply(id="solar", kind="solar", position=at(-60.0, 14.0), battery="cell", battery_count=2, panel="sun"),
        ),
        head_ends=(HeadEnd(id="end", device="log-1", days_wanted_days=30.0),),
        landmarks=(Landmark(id="spire", position=at(500.0, 800.0), seen_from=("wall-mount", "gate-mount")),),
        notes=(Note(id="note", position=at(0.0, -3.0), words="gate locked\nafter six"),),
        photographs=(Photograph(id="photo", file="gate/west.jpg", mount="gate-mount", bearing_true_deg=92.5),),
        plan_pictures=(
            PlanPicture(
                id="sheet",
                file="sheet.pdf",
                page=2,
                dpi=150.0,
                width_px=1240,
                height_px=1754,
                control_points=(
                    ControlPoint(x_px=100.0, y_px=1600.0, position=at(-90.0, -50.0)),
                    ControlPoint(x_px=1100.0, y_px=1600.0, position=at(110.0, -50.0)),
                ),
            ),
        ),
        accepted=(
            AcceptedFinding(
                finding="not-checked:hop", reason="seen tomorrow", by="me", on=DAY, severity="warn", value=1.5
            ),
        ),
        gear=GEAR,
    )


def full_site() -> Site:
    """Return a site with one of everything, evidence included, some of it of a thing that is gone."""
    row: dict[str, Any] = {"at": MOMENT, "by": "me"}
    evidence = Evidence(
        sights=(Sight(hop="hop", result="seen_with_lamp", photo="far.jpg", **row),),
        readings=(
            Reading(hop="hop", end="station", level_dbm=-57.0, level_per_chain_dbm=(-60.0, -60.5), **row),
            Reading(hop="gone-hop", end="station", level_dbm=-61.0, **row),
        ),
        as_built=(AsBuilt(subject="gate-mount", height_m=5.75, reason="lamp in the way", **row),),
        scans=(Scan(mount="wall-mount", rows=(ScanRow(channel=100, level_dbm=-88.0, busy_percent=12.5),), **row),),
        bench=(BenchProof(radio="st", passed=True, serial="S1", **row),),
        acceptance=(AcceptanceRow(subject="hop", accepted=True, figures="24 Mbit/s", **row),),
        walk_notes=(
            WalkNote(words="foggy", **row),
            WalkNote(subject="gate-mount", words="rust", photo="rust.jpg", **row),
        ),
    )
    return Site(design=full_design(), evidence=evidence)
