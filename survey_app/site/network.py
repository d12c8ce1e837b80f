"""Cameras, devices, wires, supplies, head ends: what carries video and power besides the hops."""

from typing import Annotated, Literal

from survey_app.site.place import HeightReference, Position
from survey_app.site.record import Id, Name, Record, said
from survey_app.site.thing import Environment, Thing

__all__ = ["Camera", "CameraTarget", "Device", "HeadEnd", "Stream", "Supply", "Wire", "WireEnd"]


class CameraTarget(Record):
    """What the camera is there to see."""

    position: Annotated[Position, said("Middle of the target on the plan")]
    width_m: Annotated[float, said("Width of the scene at the target", ge=0.01, le=2000)]
    height_m: Annotated[float, said("Height of the target's middle over ground", ge=0, le=200)] = 1.5


class Stream(Record):
    """The video rate of a camera; null fields take the gear type's figures."""

    mode: Annotated[Literal["constant", "capped", "variable"], said("How the camera holds its rate")] = "capped"
    rate_mbps: Annotated[float | None, said("Set rate, cap, or mean of a variable stream", ge=0, le=1000)] = None
    night_factor: Annotated[float | None, said("Night rate over day rate; null = unknown or capped", ge=1, le=5)] = None
    viewers: Annotated[int, said("Unicast viewers that the recorder does not serve", ge=0, le=100)] = 0
    multicast: Annotated[bool, said("Sent as multicast")] = False


class Camera(Thing):
    """A camera."""

    gear: Annotated[Id, said("Gear id of the camera type")]
    mount: Annotated[Id | None, said("The mount it hangs on; null = at `position`")] = None
    position: Annotated[Position | None, said("Where it is on the plan, if on no mount")] = None
    height_m: Annotated[float, said("Height of the lens over the reference", ge=0, le=500)] = 4.0
    height_reference: Annotated[HeightReference, said("What the height is measured from")] = "ground"
    purpose: Annotated[
        Literal["monitor", "detect", "observe", "recognise", "identify", "inspect", "not_stated"],
        said("Why the camera is there"),
    ] = "not_stated"
    target: Annotated[CameraTarget | None, said("What it looks at")] = None
    angle_of_view_deg: Annotated[
        float | None, said("Horizontal angle of view; null = the type's widest", ge=0.1, le=180)
    ] = None
    stream: Annotated[Stream, said("Its video rate")] = Stream()
    analogue: Annotated[bool, said("An analogue camera behind an encoder")] = False
    edge_recording_hours: Annotated[float, said("Hours that it records by itself when cut off", ge=0, le=10000)] = 0.0
    environment: Annotated[Environment, said("Exposed to weather or not")] = "outdoors"
    address: Annotated[Name, said("Address in the video network; empty = line to be filled in")] = ""


class Device(Thing):
    """A powered box: switch, injector, supply unit, converter, encoder, recorder."""

    gear: Annotated[Id, said("Gear id of the device type")]
    structure: Annotated[Id | None, said("The structure it is in or at")] = None
    mount: Annotated[Id | None, said("The mount it is fixed to, if to one")] = None
    position: Annotated[Position | None, said("Where it is on the plan")] = None
    environment: Annotated[Environment, said("Exposed to weather or not, before any box")] = "indoors"
    enclosure: Annotated[Id | None, said("Gear id of the box it sits in; devices of one place share one box")] = None
    fed_from: Annotated[
        Id | None, said("Supply or device that powers it directly; null = through a wire, or nothing")
    ] = None
    address: Annotated[Name, said("Address in its network; empty = line to be filled in")] = ""
    spanning_tree: Annotated[bool | None, said("Loop protection switched on; null = what the type does by default")] = (
        None
    )


class Supply(Thing):
    """A source of power: a board of the mains, a battery, a solar set."""

    kind: Annotated[Literal["mains", "battery", "solar", "other"], said("What the source is")]
    structure: Annotated[Id | None, said("The structure it is in or at")] = None
    position: Annotated[Position | None, said("Where it is on the plan")] = None
    switched_at_night: Annotated[
        Literal["never", "dead_by_day", "dead_by_night", "unknown"], said("Whether the circuit is switched")
    ] = "never"
    board: Annotated[Name, said("Board and circuit; whether a breaker is spare")] = ""
    volts_v: Annotated[float | None, said("Voltage of a direct-current source", ge=1, le=400)] = None
    volts_low_v: Annotated[float | None, said("Its lowest voltage in use", ge=0.1, le=400)] = None
    battery: Annotated[Id | None, said("Gear id of the battery")] = None
    battery_count: Annotated[int, said("Batteries side by side", ge=0, le=100)] = 0
    panel: Annotated[Id | None, said("Gear id of the solar panel")] = None
    panel_count: Annotated[int, said("Panels", ge=0, le=100)] = 0
    sun_hours_per_day: Annotated[
        float | None, said("Equivalent full-sun hours a day in the worst month", ge=0, le=12)
    ] = None


class WireEnd(Record):
    """One end of a wire."""

    thing: Annotated[Id, said("Id of the radio, camera, device, supply or head end")]
    port: Annotated[Name, said("Port, as written on the thing; empty = any")] = ""


class Wire(Thing):
    """A copper, fibre or existing-network connection between two things."""

    medium: Annotated[Literal["copper", "fibre", "dc", "existing"], said("What it is")] = "copper"
    gear: Annotated[Id | None, said("Gear id of the cable")] = None
    a: Annotated[WireEnd, said("One end")]
    b: Annotated[WireEnd, said("Other end")]
    power: Annotated[Literal["none", "a_to_b", "b_to_a"], said("Whether and which way it carries the supply")] = "none"
    route: Annotated[tuple[Position, ...], said("Its run on the plan between the ends", max_length=1000)] = ()
    drops_m: Annotated[float, said("Length up and down that the plan does not show", ge=0, le=1000)] = 0.0
    length_m: Annotated[float | None, said("Measured length, where the route is not drawn", ge=0, le=20000)] = None
    outdoors: Annotated[bool, said("Any part of it runs outdoors")] = True
    protectors: Annotated[Literal["both_ends", "a", "b", "none", "by_rule"], said("Surge protectors")] = "by_rule"
    extra_ohm: Annotated[float, said("Extra loop resistance of plugs and joints", ge=0, le=20)] = 0.1
    capacity_mbps: Annotated[
        float | None, said("What an existing network grants; null = the ports decide", ge=0.001, le=100000)
    ] = None


class HeadEnd(Thing):
    """Where the video has to arrive."""

    device: Annotated[Id, said("The recorder or core switch")]
    days_wanted_days: Annotated[float | None, said("Days of recording wanted; null = not stated", ge=0, le=10000)] = (
        None
    )
    recording_fraction: Annotated[float, said("Part of the time that is recorded", ge=0, le=1)] = 1.0
    disks_tb: Annotated[float | None, said("Installed disks as sold; null = all bays filled", ge=0.001, le=10000)] = (
        None
    )
    uplink_mbps: Annotated[float | None, said("Line to the outside; null = none", ge=0, le=100000)] = None
    viewers: Annotated[int, said("Viewers at once over that line", ge=0, le=1000)] = 0
