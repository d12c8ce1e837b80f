"""Parts that several gear types share: antenna pattern, supply in and out, body, purchase."""

from typing import Annotated, Literal

from survey_app.site.record import Name, Record, Text, said

__all__ = ["Body", "Cut", "GearBase", "Pattern", "Polarisation", "Ports", "PowerInput", "PowerOutput", "PowerScheme"]

Polarisation = Literal["v", "h", "v+h", "v+v", "slant", "slant+slant", "circular"]
PowerScheme = Literal["passive", "802.3af", "802.3at", "802.3bt", "dc", "mains"]


class Cut(Record):
    """One measured cut of a pattern: level relative to the peak against angle."""

    angle_deg: Annotated[tuple[float, ...], said("Angles, rising, 0 = boresight", min_length=2, max_length=721)]
    relative_db: Annotated[
        tuple[float, ...], said("Level relative to the peak, at most 0", min_length=2, max_length=721)
    ]


class Pattern(Record):
    """How an antenna's gain depends on direction."""

    model: Annotated[
        Literal["omni", "sector", "lobe", "table"],
        said("omni and sector: reference patterns; lobe: main lobe with front-to-back floor; table: own cuts"),
    ]
    gain_dbi: Annotated[float, said("Peak gain", ge=-10, le=60)]
    azimuth_beamwidth_deg: Annotated[
        float, said("Width between the 3 dB points across; 360 = all round", ge=0.1, le=360)
    ]
    elevation_beamwidth_deg: Annotated[float, said("Width between the 3 dB points upright", ge=0.1, le=180)]
    front_to_back_db: Annotated[float, said("Front-to-back ratio; floor of the pattern", ge=0, le=90)] = 25.0
    cross_polar_db: Annotated[float, said("Cross-polar discrimination", ge=0, le=60)] = 20.0
    polarisation: Annotated[Polarisation, said("Polarisation of the two chains")] = "v+h"
    electrical_downtilt_deg: Annotated[float, said("Beam built in below the axis, down positive", ge=-10, le=30)] = 0.0
    azimuth_cut: Annotated[Cut | None, said("Own cut across, for a table")] = None
    elevation_cut: Annotated[Cut | None, said("Own cut upright, for a table")] = None
    gain_tolerance_db: Annotated[float, said("Tolerance of the gain, either way", ge=0, le=10)] = 1.0


class PowerInput(Record):
    """One way in which a thing can be fed."""

    scheme: Annotated[PowerScheme, said("Kind of supply that it takes")]
    volts_min_v: Annotated[float, said("Lowest voltage at its plug", ge=0, le=400)]
    volts_max_v: Annotated[float, said("Highest voltage at its plug", ge=0, le=400)]
    pairs: Annotated[Literal["4,5+ 7,8-", "1,2+ 3,6-", "both", "terminals", "none"], said("Pairs and polarity")] = (
        "both"
    )
    through: Annotated[Literal["data_cable", "terminals", "mains_plug"], said("Where the supply enters")] = "data_cable"


class PowerOutput(Record):
    """Ports of one kind through which a thing feeds others."""

    scheme: Annotated[PowerScheme, said("Kind of supply that it gives")]
    volts_v: Annotated[float, said("Nominal voltage", ge=1, le=400)]
    tolerance_percent: Annotated[float, said("Tolerance of the voltage", ge=0, le=50)] = 0.0
    watts_w: Annotated[float, said("Power that one port can give", ge=0.01, le=10000)]
    ports: Annotated[int, said("How many such ports", ge=1, le=96)] = 1
    pairs: Annotated[Literal["4,5+ 7,8-", "1,2+ 3,6-", "both", "terminals", "none"], said("Pairs and polarity")] = (
        "both"
    )


class Ports(Record):
    """Network ports of one speed."""

    count: Annotated[int, said("How many", ge=0, le=96)]
    speed_mbps: Annotated[float, said("Speed", ge=0.01, le=100000)]


class Body(Record):
    """What weather, wind and the clamp see."""

    ingress: Annotated[Name, said("Protection by IEC 60529, such as IP66; both marks where it has two")] = ""
    temp_min_c: Annotated[float | None, said("Lowest temperature in use", ge=-100, le=100)] = None
    temp_max_c: Annotated[float | None, said("Highest temperature in use", ge=-50, le=150)] = None
    mass_kg: Annotated[float | None, said("Mass", ge=0, le=2000)] = None
    wind_area_m2: Annotated[float | None, said("Effective projected area (drag x frontal area)", ge=0, le=50)] = None
    pipe_min_mm: Annotated[float | None, said("Smallest pipe that its own clamp takes", ge=0, le=1000)] = None
    pipe_max_mm: Annotated[float | None, said("Largest pipe that its own clamp takes", ge=0, le=1000)] = None


class GearBase(Record):
    """Common part of every gear type."""

    id: Annotated[str, said("Slug of the type", pattern=r"^[a-z0-9][a-z0-9_.\-]{0,39}$")]
    name: Annotated[Name, said("Name of the type")]
    what: Annotated[Name, said("What it is, in a few words for the tally")]
    maker: Annotated[Name, said("Who makes it; our own types are invented")] = "invented"
    order_code: Annotated[Name, said("Order code; empty = not known")] = ""
    price: Annotated[float | None, said("Price per unit in the site's currency; null = not known", ge=0, le=1e9)] = None
    pack: Annotated[int, said("Pieces in one purchase unit", ge=1, le=10000)] = 1
    provenance: Annotated[Text, said("Where the figures come from")] = "common practice, invented type"
    body: Annotated[Body, said("Weather, mass, wind, clamp")] = Body()
