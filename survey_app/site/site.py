"""The whole document: design and evidence."""

from typing import Annotated, Literal

from pydantic import AfterValidator

from survey_app.site.addressing import AddressPlan
from survey_app.site.evidence import Evidence
from survey_app.site.gear_type import GearType
from survey_app.site.mount import Climb, Mount
from survey_app.site.network import Camera, Device, HeadEnd, Supply, Wire
from survey_app.site.place import Anchor, Position
from survey_app.site.plan_picture import PlanPicture
from survey_app.site.prices import PriceList
from survey_app.site.radio import Hop, Radio
from survey_app.site.record import Day, Id, Name, Record, Text, said
from survey_app.site.relief import Relief
from survey_app.site.structure import Structure
from survey_app.site.surroundings import Opening, Room, ServedArea, Wall, Water, Zone
from survey_app.site.thing import Thing

__all__ = [
    "FORMAT",
    "VERSION",
    "AcceptedFinding",
    "Defaults",
    "Design",
    "Landmark",
    "Note",
    "Photograph",
    "Plane",
    "Site",
]

FORMAT = "survey-site"
VERSION = 1


def _readable(name: str) -> str:
    # spaces and marks that turn the direction of writing are characters, but nobody can read them
    if not any(letter.isprintable() and not letter.isspace() for letter in name):
        raise ValueError("nothing in it can be read, at least one letter or figure is needed")
    return name


class Plane(Record):
    """The local plane and its heights."""

    anchor: Annotated[Anchor | None, said("Where the plane lies on the earth; null = plan north only")] = None
    datum: Annotated[Name, said("What height 0 is")] = "ground at the plan's origin"
    datum_elevation_m: Annotated[float, said("Height of the site datum over the sea", ge=-500, le=9000)] = 0.0


class Landmark(Thing):
    """A conspicuous thing of known position, from which a turn to the aim is printed."""

    position: Annotated[Position, said("Where it is")]
    sigma_m: Annotated[float, said("Standard deviation of its position", ge=0, le=1000)] = 3.0
    seen_from: Annotated[tuple[Id, ...], said("Mounts from which it was seen; empty = not noted", max_length=1000)] = ()


class Note(Thing):
    """A survey note on the plan."""

    position: Annotated[Position, said("Where it belongs")]
    words: Annotated[Text, said("The note")]


class Photograph(Thing):
    """A photograph under assets/."""

    file: Annotated[Name, said("File under assets/")]
    mount: Annotated[Id | None, said("Mount it was taken from")] = None
    bearing_true_deg: Annotated[float | None, said("Direction it was taken in", ge=0, lt=360)] = None
    angle_of_view_deg: Annotated[float | None, said("Horizontal angle of view", ge=0.1, le=360)] = None


class AcceptedFinding(Record):
    """A finding that somebody accepted with a reason."""

    finding: Annotated[str, said("Id of the finding", min_length=1, max_length=300)]
    reason: Annotated[Text, said("Why it is accepted", min_length=1)]
    by: Annotated[Name, said("Who accepts", min_length=1)]
    on: Annotated[Day, said("When")]
    severity: Annotated[Literal["stop", "warn", "note"], said("Severity when accepted")]
    value: Annotated[float | None, said("Value when accepted")] = None
    limit: Annotated[float | None, said("Limit when accepted")] = None
    unit: Annotated[Name, said("Unit of value and limit")] = ""
    edition: Annotated[Name, said("Edition of the rule when accepted")] = ""


class Defaults(Record):
    """Figures of judgement that hold for the whole site; every one can be changed."""

    width_mhz: Annotated[Literal[5, 10, 20, 40, 80, 160], said("Channel width")] = 20
    target_level_dbm: Annotated[float, said("Level that automatic power aims for", ge=-90, le=-20)] = -55.0
    margin_near_db: Annotated[float, said("Wanted margin up to 1 km", ge=0, le=60)] = 10.0
    margin_far_db: Annotated[float, said("Wanted margin beyond 1 km", ge=0, le=60)] = 15.0
    thin_margin_db: Annotated[float, said("Margin below which a hop stops the design", ge=0, le=60)] = 3.0
    strong_level_dbm: Annotated[float, said("Level above which a receiver is too close", ge=-60, le=0)] = -35.0
    load_note_fraction: Annotated[float, said("Load of a cell that is noted", ge=0.01, le=1)] = 0.50
    load_warn_fraction: Annotated[float, said("Load of a cell that is warned of", ge=0.01, le=1)] = 0.60
    interference_rise_db: Annotated[float, said("Planned rise of the noise by others", ge=0, le=30)] = 3.0
    multipath_sigma_db: Annotated[float, said("Spread of levels by reflections at the site", ge=0, le=20)] = 1.0
    pointing_sigma_db: Annotated[float, said("Spread of levels by aiming, both ends", ge=0, le=20)] = 0.5
    overhead_factor: Annotated[float, said("Network rate over video rate", ge=1, le=2)] = 1.06
    return_fraction: Annotated[float, said("Traffic towards the camera over video rate", ge=0, le=1)] = 0.002
    variable_rate_factor: Annotated[float, said("Planned rate over the mean of a variable stream", ge=1, le=5)] = 2.0
    cable_temp_c: Annotated[float, said("Worst temperature of a cable", ge=-50, le=120)] = 60.0
    air_temp_max_c: Annotated[float, said("Highest air temperature", ge=-50, le=70)] = 40.0
    air_temp_min_c: Annotated[float, said("Lowest air temperature", ge=-90, le=50)] = -20.0
    cable_service_m: Annotated[float, said("Service length at each outdoor run", ge=0, le=50)] = 3.0
    cable_drip_m: Annotated[float, said("Drip loop at each outdoor run", ge=0, le=10)] = 1.0
    cable_waste_percent: Annotated[float, said("Waste", ge=0, le=100)] = 10.0
    spare_plug_percent: Annotated[float, said("Spare plugs", ge=0, le=100)] = 10.0
    spare_radio_share: Annotated[int, said("One spare radio per so many of a type, at least one", ge=1, le=1000)] = 10
    free_zone_fraction: Annotated[
        float, said("Part of the first Fresnel zone's radius that stays free", ge=0, le=2)
    ] = 0.6
    low_k: Annotated[float, said("Effective earth radius factor in bad weather", ge=0.1, le=2)] = 0.67
    growth_years: Annotated[float, said("Years of growth that trees are judged for", ge=0, le=50)] = 5.0
    standing_warn_fraction: Annotated[
        float, said("Part of the time above which traffic in a ray stops the design", ge=0, le=1)
    ] = 0.1
    rain_rate_mm_per_hour: Annotated[float, said("Rain rate exceeded 0.01 % of the year", ge=0, le=300)] = 42.0
    compass_sigma_deg: Annotated[float, said("Spread of a careful compass reading", ge=0, le=20)] = 2.0
    tape_sigma_m: Annotated[float, said("Height by tape", ge=0, le=10)] = 0.05
    rangefinder_sigma_m: Annotated[float, said("Height by rangefinder", ge=0, le=10)] = 0.3
    counted_sigma_m: Annotated[float, said("Height by counting storeys or rungs", ge=0, le=10)] = 0.5
    guessed_sigma_m: Annotated[float, said("Guessed height", ge=0, le=20)] = 2.0
    drawing_sigma_m: Annotated[float, said("Height from a drawing", ge=0, le=10)] = 0.2
    survey_sigma_m: Annotated[float, said("Height by a surveyor", ge=0, le=10)] = 0.02
    keep_out_limit_w_per_m2: Annotated[
        float, said("Power density limit for the keep-out distance", ge=0.001, le=100)
    ] = 10.0
    crew: Annotated[int, said("People in a crew; never one at height", ge=2, le=20)] = 2
    day_hours: Annotated[float, said("Working hours in a day", ge=0.5, le=24)] = 8.0


class Design(Record):
    """The designed half of a site: what an edit changes and undo restores."""

    name: Annotated[Name, said("Name of the site", min_length=1), AfterValidator(_readable)]
    revision: Annotated[Name, said("Revision of the design", min_length=1, max_length=8)] = "A"
    as_of: Annotated[Day, said("Planned date of installation; declination, leaves and ages of sources come from it")]
    drawn_by: Annotated[Name, said("Who drew it")] = ""
    legal_owner: Annotated[Name, said("Who owns the document")] = ""
    call_number: Annotated[Name, said("Whom the installer calls; empty = line to be filled in")] = ""
    invented: Annotated[bool, said("The site is an invention, to learn from")] = False
    region: Annotated[
        str | None, said("Region of the radio rules; null = not chosen", pattern=r"^[A-Z][A-Z0-9]{1,7}$")
    ] = None
    country: Annotated[str | None, said("Country, two letters; null = not chosen", pattern=r"^[A-Z]{2}$")] = None
    currency: Annotated[Name, said("Currency of prices; empty = none")] = ""
    units: Annotated[Literal["metric", "feet", "both"], said("Units that people read")] = "metric"
    paper: Annotated[Literal["a4", "letter"], said("Paper size")] = "a4"
    plane: Annotated[Plane, said("The local plane")] = Plane()
    relief: Annotated[
        Relief | None, said("How high the ground is; null = assumed flat, at the height of the site datum")
    ] = None
    defaults: Annotated[Defaults, said("Figures of judgement")] = Defaults()
    addressing: Annotated[AddressPlan | None, said("Plan of the network's addresses; null = none")] = None
    price_list: Annotated[PriceList | None, said("Prices of parts and work; null = those of the gear alone")] = None
    structures: Annotated[tuple[Structure, ...], said("Structures", max_length=20000)] = ()
    waters: Annotated[tuple[Water, ...], said("Water and open surfaces", max_length=1000)] = ()
    zones: Annotated[tuple[Zone, ...], said("Zones", max_length=1000)] = ()
    rooms: Annotated[tuple[Room, ...], said("Rooms", max_length=10000)] = ()
    walls: Annotated[tuple[Wall, ...], said("Inner walls", max_length=20000)] = ()
    openings: Annotated[tuple[Opening, ...], said("Openings in walls", max_length=20000)] = ()
    served_areas: Annotated[
        tuple[ServedArea, ...], said("Areas inside in which movable cameras must be served", max_length=1000)
    ] = ()
    climbs: Annotated[tuple[Climb, ...], said("Ways up", max_length=20000)] = ()
    mounts: Annotated[tuple[Mount, ...], said("Mounts", max_length=20000)] = ()
    cameras: Annotated[tuple[Camera, ...], said("Cameras", max_length=20000)] = ()
    radios: Annotated[tuple[Radio, ...], said("Radios", max_length=20000)] = ()
    hops: Annotated[tuple[Hop, ...], said("Hops", max_length=20000)] = ()
    devices: Annotated[tuple[Device, ...], said("Switches, injectors and other powered boxes", max_length=20000)] = ()
    wires: Annotated[tuple[Wire, ...], said("Wires", max_length=50000)] = ()
    supplies: Annotated[tuple[Supply, ...], said("Sources of power", max_length=20000)] = ()
    head_ends: Annotated[tuple[HeadEnd, ...], said("Head ends", max_length=1000)] = ()
    landmarks: Annotated[tuple[Landmark, ...], said("Landmarks", max_length=1000)] = ()
    notes: Annotated[tuple[Note, ...], said("Survey notes", max_length=10000)] = ()
    photographs: Annotated[tuple[Photograph, ...], said("Photographs", max_length=10000)] = ()
    plan_pictures: Annotated[tuple[PlanPicture, ...], said("Pictures under the plan", max_length=100)] = ()
    accepted: Annotated[tuple[AcceptedFinding, ...], said("Findings accepted with a reason", max_length=10000)] = ()
    gear: Annotated[tuple[GearType, ...], said("Copies of the gear types that the site uses", max_length=2000)] = ()


class Site(Record):
    """A site: the whole document."""

    format: Annotated[Literal["survey-site"], said("What the file is")] = "survey-site"
    version: Annotated[Literal[1], said("Version of the file's layout")] = 1
    design: Annotated[Design, said("The design")]
    evidence: Annotated[Evidence, said("What was seen, measured and built")] = Evidence()
