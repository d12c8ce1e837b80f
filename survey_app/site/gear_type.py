"""Gear types: the record of one catalogue entry, also carried as a copy in the site."""

from typing import Annotated, Literal

from pydantic import Field

from survey_app.site.gear_part import GearBase, Pattern, Ports, PowerInput, PowerOutput
from survey_app.site.record import Name, Text, said

__all__ = [
    "AntennaType",
    "ArmType",
    "BatteryType",
    "CableType",
    "CameraType",
    "ClampType",
    "DeviceType",
    "EnclosureType",
    "FeederType",
    "GearType",
    "PoleType",
    "ProtectorType",
    "RadioType",
    "SolarType",
    "SundryType",
]


class RadioType(GearBase):
    """A radio unit."""

    kind: Literal["radio"]
    indoor: Annotated[bool, said("For use indoors only")] = False
    mode: Annotated[Literal["n", "ac", "ax"], said("802.11 generation")]
    highest_mcs: Annotated[int, said("Highest rate index per stream", ge=0, le=13)]
    chains: Annotated[int, said("Transmit and receive chains", ge=1, le=8)] = 2
    streams: Annotated[int, said("Spatial streams", ge=1, le=8)] = 2
    widths_mhz: Annotated[tuple[int, ...], said("Channel widths that it can use", min_length=1, max_length=8)]
    tunes_low_mhz: Annotated[float, said("Lowest frequency that it tunes", ge=2000, le=100000)] = 5150.0
    tunes_high_mhz: Annotated[float, said("Highest frequency that it tunes", ge=2000, le=100000)] = 5875.0
    tunes_step_mhz: Annotated[float, said("Step of the frequencies that it tunes", ge=0.001, le=1000)] = 5.0
    certified_regions: Annotated[
        tuple[str, ...], said("Regions of its certificate; empty = not noted", max_length=50)
    ] = ()
    radar_certified: Annotated[bool | None, said("Certified for radar channels; null = not noted")] = None
    pattern: Annotated[Pattern | None, said("Built-in antenna; null = connectors only")] = None
    connectors: Annotated[int, said("Antenna connectors", ge=0, le=8)] = 0
    power_per_mcs_dbm: Annotated[
        tuple[float, ...], said("Highest total power over all chains at each rate index", min_length=1, max_length=14)
    ]
    power_floor_dbm: Annotated[float, said("Lowest total power that can be set", ge=-30, le=40)] = 0.0
    power_step_db: Annotated[float, said("Step of the power setting", ge=0.01, le=10)] = 1.0
    power_tolerance_db: Annotated[float, said("Tolerance of the set power, either way", ge=0, le=10)] = 1.5
    sensitivity_20mhz_dbm: Annotated[
        tuple[float, ...],
        said("Sensitivity at 20 MHz at each rate index, combined over chains", min_length=1, max_length=14),
    ]
    noise_figure_db: Annotated[float, said("Noise figure", ge=0, le=20)] = 6.0
    max_input_dbm: Annotated[float, said("Highest level that it must stand in use", ge=-60, le=20)] = -30.0
    damage_input_dbm: Annotated[float, said("Level that damages it", ge=-60, le=40)] = 0.0
    lights_dbm: Annotated[tuple[float, ...], said("Levels at which its lights come on, rising", max_length=12)] = ()
    reading_stated_as: Annotated[Literal["combined", "per_chain"], said("What its own display shows")] = "combined"
    reading_step_db: Annotated[float, said("Step of its display", ge=0.01, le=10)] = 1.0
    reading_tolerance_db: Annotated[float, said("Tolerance of its display, either way", ge=0, le=10)] = 2.0
    acir_db: Annotated[
        tuple[float, ...],
        said("Rejection of the adjacent channel, the next, and three widths off or more", min_length=3, max_length=3),
    ] = (23.0, 39.0, 55.0)
    access: Annotated[Literal["contention", "scheduled", "both"], said("Air access that it can run")] = "contention"
    efficiency_one_station: Annotated[
        float, said("Throughput over link rate, one station, contention", ge=0.01, le=1)
    ] = 0.55
    efficiency_many_stations: Annotated[float, said("The same with several stations, contention", ge=0.01, le=1)] = 0.45
    efficiency_scheduled: Annotated[float, said("The same with scheduled access", ge=0.01, le=1)] = 0.70
    legacy_cipher_cap_mbps: Annotated[
        float | None, said("Link rate with an old cipher; null = no cap known", ge=0.1)
    ] = 54.0
    protections: Annotated[tuple[str, ...], said("Protections that it can run, strongest first", max_length=10)] = (
        "wpa3_sae",
        "wpa2_aes",
    )
    ack_distance_m: Annotated[float, said("Greatest distance that its timing can be set to", ge=1, le=1e6)] = 15000.0
    power_inputs: Annotated[tuple[PowerInput, ...], said("How it can be fed", max_length=6)]
    watts_w: Annotated[float, said("Highest consumption", ge=0.01, le=1000)]
    inrush_factor: Annotated[float, said("Consumption at start over the highest, for two seconds", ge=1, le=10)] = 1.5
    pass_output: Annotated[PowerOutput | None, said("Port that feeds a further device; null = none")] = None
    ports: Annotated[tuple[Ports, ...], said("Network ports", max_length=8)]
    transparent_bridge: Annotated[bool, said("As a station it carries several devices (4-address)")] = True
    relay_mode: Annotated[bool, said("Can serve stations and be a station at once")] = False
    default_address: Annotated[Name, said("Management address out of the box; empty = not known")] = ""
    setup_note: Annotated[Text, said("What the bench must know about this type")] = ""


class AntennaType(GearBase):
    """An antenna with connectors."""

    kind: Literal["antenna"]
    pattern: Annotated[Pattern, said("Its pattern")]
    connectors: Annotated[int, said("Connectors", ge=1, le=8)] = 2
    tunes_low_mhz: Annotated[float, said("Lowest frequency", ge=2000, le=100000)] = 5150.0
    tunes_high_mhz: Annotated[float, said("Highest frequency", ge=2000, le=100000)] = 5875.0


class FeederType(GearBase):
    """A coaxial feeder, one per chain."""

    kind: Literal["feeder"]
    loss_db: Annotated[float, said("Loss of one feeder with its plugs at 5.8 GHz", ge=0, le=60)]


class CableType(GearBase):
    """A network or supply cable."""

    kind: Literal["cable"]
    medium: Annotated[Literal["copper", "fibre", "dc"], said("What it is")]
    ohm_per_km: Annotated[
        float | None, said("Conductor resistance at 20 °C; null = carries no supply", ge=0.001, le=1000)
    ] = None
    four_pair_feed: Annotated[bool, said("Supply runs over all four pairs")] = False
    drum_m: Annotated[float, said("Length on one drum", ge=1, le=10000)] = 305.0
    outdoor: Annotated[bool, said("For use outdoors")] = True
    direct_burial: Annotated[bool, said("May lie in the ground")] = False
    shielded: Annotated[bool, said("Has a shield to be bonded")] = True
    bend_factor: Annotated[float, said("Smallest bend over the diameter", ge=0.1, le=50)] = 8.0
    data_limit_m: Annotated[float | None, said("Longest channel for data", ge=1, le=100000)] = 100.0
    speed_mbps: Annotated[float, said("Speed that it carries", ge=0.01, le=100000)] = 1000.0


class DeviceType(GearBase):
    """A powered box between source, radio and recorder."""

    kind: Literal[
        "injector", "switch", "converter", "supply_unit", "recorder", "encoder", "media_converter", "sign_in_server"
    ]
    ports: Annotated[tuple[Ports, ...], said("Network ports", max_length=8)] = ()
    power_inputs: Annotated[tuple[PowerInput, ...], said("How it can be fed", max_length=6)] = ()
    power_outputs: Annotated[tuple[PowerOutput, ...], said("How it feeds others", max_length=6)] = ()
    own_w: Annotated[float, said("Own consumption", ge=0, le=5000)] = 0.0
    budget_w: Annotated[
        float | None, said("Power for all its outputs together; null = the sum of its ports", ge=0.01, le=10000)
    ] = None
    efficiency_fraction: Annotated[float, said("Power out over power in", ge=0.01, le=1)] = 1.0
    spanning_tree: Annotated[bool, said("Loop protection on by default")] = False
    derate_percent_per_k: Annotated[float, said("Loss of output per kelvin above the derating start", ge=0, le=20)] = (
        0.0
    )
    derate_above_c: Annotated[float | None, said("Where derating starts; null = none", ge=-50, le=150)] = None
    delay_ms: Annotated[float, said("Delay that it adds to a packet", ge=0, le=1000)] = 0.05
    channels: Annotated[int, said("Recorder or encoder: video channels", ge=0, le=1000)] = 0
    input_limit_mbps: Annotated[float | None, said("Recorder: highest rate in", ge=0.01, le=100000)] = None
    bays: Annotated[int, said("Recorder: disk bays", ge=0, le=100)] = 0
    disk_tb: Annotated[float | None, said("Recorder: size of the disk per bay as sold", ge=0.001, le=100)] = None
    usable_fraction: Annotated[float, said("Recorder: usable part of a disk as sold", ge=0.01, le=1)] = 0.9
    stream_mbps: Annotated[float | None, said("Encoder: rate per channel", ge=0.001, le=1000)] = None


class CameraType(GearBase):
    """A camera."""

    kind: Literal["camera"]
    width_px: Annotated[int, said("Pixels across", ge=100, le=20000)]
    height_px: Annotated[int, said("Pixels upright", ge=100, le=20000)]
    frames_fps: Annotated[float, said("Frames a second", ge=0.01, le=240)] = 15.0
    angle_min_deg: Annotated[float, said("Narrowest horizontal angle of view", ge=0.1, le=180)]
    angle_max_deg: Annotated[float, said("Widest horizontal angle of view", ge=0.1, le=360)]
    cap_mbps: Annotated[float, said("Rate cap that is usual for it", ge=0.001, le=1000)] = 4.0
    night_factor: Annotated[float, said("Night rate over day rate unless capped", ge=1, le=5)] = 1.3
    watts_day_w: Annotated[float, said("Consumption by day", ge=0.01, le=500)]
    watts_night_w: Annotated[float, said("Consumption with its lamps on", ge=0.01, le=500)]
    infrared: Annotated[bool, said("Has lamps of its own")] = True
    steerable: Annotated[bool, said("Pans and tilts; delay matters")] = False
    power_inputs: Annotated[tuple[PowerInput, ...], said("How it can be fed", max_length=6)]
    ports: Annotated[tuple[Ports, ...], said("Network ports", max_length=8)]


class BatteryType(GearBase):
    """A battery."""

    kind: Literal["battery"]
    volts_v: Annotated[float, said("Nominal voltage", ge=0.1, le=400)]
    capacity_ah: Annotated[float, said("Capacity", ge=0.01, le=100000)]
    depth_fraction: Annotated[float, said("Usable depth of discharge", ge=0.01, le=1)]
    efficiency_fraction: Annotated[float, said("Energy out over energy in", ge=0.01, le=1)] = 0.95


class SolarType(GearBase):
    """A solar panel with its regulator."""

    kind: Literal["solar"]
    peak_w: Annotated[float, said("Rated power", ge=0.1, le=10000)]
    own_w: Annotated[float, said("Consumption of the regulator", ge=0, le=100)] = 0.3


class EnclosureType(GearBase):
    """A box."""

    kind: Literal["enclosure"]
    inside_mm: Annotated[tuple[float, float, float], said("Inside width, height, depth")]
    glands: Annotated[int, said("Glands", ge=0, le=100)]
    heat_k_per_w: Annotated[float, said("Temperature rise inside per watt", ge=0, le=10)]
    sun_k: Annotated[float, said("Temperature rise in full sun", ge=0, le=60)] = 15.0


class ClampType(GearBase):
    """A bracket that holds a radio and sets its tilt."""

    kind: Literal["clamp"]
    tilt_min_deg: Annotated[float, said("Steepest tilt down", ge=-90, le=0)]
    tilt_max_deg: Annotated[float, said("Steepest tilt up", ge=0, le=90)]
    tilt_step_deg: Annotated[float, said("Step of the tilt", ge=0.01, le=45)]
    band: Annotated[bool, said("Held by bands: takes tapered and octagonal columns")] = False


class ArmType(GearBase):
    """A wall arm with a tube for the clamp."""

    kind: Literal["arm"]
    reach_m: Annotated[float, said("Distance of the tube from the wall", ge=0.01, le=5)]
    tube_mm: Annotated[float, said("Diameter of the tube", ge=1, le=500)]
    fixings: Annotated[int, said("Fixings into the wall", ge=1, le=20)]


class PoleType(GearBase):
    """A pole or mast to be bought."""

    kind: Literal["pole"]
    height_m: Annotated[float, said("Height", ge=0.1, le=100)]
    diameter_top_mm: Annotated[float, said("Outside diameter at the top", ge=1, le=2000)]
    diameter_foot_mm: Annotated[float, said("Outside diameter at the foot", ge=1, le=2000)]
    wall_mm: Annotated[float | None, said("Wall thickness; null = owner's data", ge=0.1, le=50)] = None


class ProtectorType(GearBase):
    """A surge protector."""

    kind: Literal["protector"]
    clamp_v: Annotated[float, said("Clamping voltage, line to line", ge=1, le=5000)]
    extra_ohm: Annotated[float, said("Resistance of one pass", ge=0, le=10)] = 0.1
    passes_supply: Annotated[bool, said("Lets the supply through")] = True
    speed_mbps: Annotated[float, said("Speed that it carries", ge=0.01, le=100000)] = 1000.0


class SundryType(GearBase):
    """A small part that is counted by rule."""

    kind: Literal["sundry"]
    unit: Annotated[Literal["piece", "m", "set", "roll"], said("Unit of the count")] = "piece"
    rule: Annotated[
        Literal[
            "plug",
            "boot",
            "gland",
            "drip_clip",
            "tie",
            "tape",
            "label",
            "lug",
            "bond_wire",
            "lanyard",
            "patch_lead",
            "anchor_brick",
            "anchor_concrete",
            "anchor_insulated",
            "anchor_sheet",
            "feeder_seal",
            "cable_clip",
            "earth_clamp",
            "sealant",
            "box_fill",
            "disk",
        ],
        said("Which counting rule uses it"),
    ]


GearType = Annotated[
    RadioType
    | AntennaType
    | FeederType
    | CableType
    | DeviceType
    | CameraType
    | BatteryType
    | SolarType
    | EnclosureType
    | ClampType
    | ArmType
    | PoleType
    | ProtectorType
    | SundryType,
    Field(discriminator="kind"),
]
"""Any gear type; `kind` says which."""
