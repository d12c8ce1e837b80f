"""Mounts: places where something can hang."""

from typing import Annotated, Literal

from survey_app.site.place import HeightKnown, HeightReference, Place
from survey_app.site.record import Id, Name, Record, Text, said
from survey_app.site.thing import Environment, Permission, Thing

__all__ = ["Climb", "Mount", "MountPower", "Pipe"]


class Pipe(Record):
    """What the clamp goes round."""

    diameter_mm: Annotated[float, said("Outside diameter where the clamp sits", ge=1, le=2000)]
    section: Annotated[Literal["round", "tapered", "octagonal", "square", "lattice"], said("Shape of the section")] = (
        "round"
    )
    measured: Annotated[bool, said("Measured on site, not taken from a drawing")] = False


class MountPower(Record):
    """Electricity at the mount, as found on the walk."""

    mains: Annotated[Literal["yes", "by_spur", "no", "unknown"], said("Mains at the place")] = "unknown"
    switched_at_night: Annotated[
        Literal["never", "dead_by_day", "dead_by_night", "unknown"], said("Whether the circuit is switched")
    ] = "unknown"
    board: Annotated[Name, said("From which board, and whether a breaker is spare")] = ""
    spur_m: Annotated[float | None, said("Length of a new spur, if one is needed", ge=0, le=10000)] = None


class Climb(Thing):
    """One way up: a ladder position, a lift position, a roof hatch; serves one or more mounts."""

    way: Annotated[Literal["ladder", "lift", "roof", "rope", "floor", "unknown"], said("How one gets there")] = (
        "unknown"
    )
    reach_m: Annotated[float | None, said("Height to be reached", ge=0, le=500)] = None
    key: Annotated[Name, said("Key and who holds it")] = ""
    order: Annotated[int | None, said("Place in the order of climbs, if fixed by hand", ge=1, le=9999)] = None


class Mount(Thing):
    """A place where a radio or a camera can hang."""

    structure: Annotated[Id, said("The structure it is on")]
    place: Annotated[Place, said("Where on the structure")]
    height_m: Annotated[float, said("Height of the antenna's middle over the reference", ge=-100, le=1000)]
    height_reference: Annotated[HeightReference, said("What the height is measured from")] = "ground"
    height_known: Annotated[HeightKnown, said("How the height is known")] = HeightKnown()
    position_sigma_m: Annotated[float, said("Standard deviation of the place on the plan", ge=0, le=100)] = 0.1
    lean_sigma_deg: Annotated[float, said("Standard deviation of the structure's lean", ge=0, le=20)] = 0.0
    environment: Annotated[Environment, said("Exposed to weather or not")] = "outdoors"
    usable: Annotated[Literal["usable", "with_work", "refused"], said("Verdict of the walk")] = "usable"
    owner: Annotated[Name, said("Who owns it")] = ""
    permission: Annotated[Permission, said("The owner's permission")] = Permission()
    pipe: Annotated[Pipe | None, said("What the clamp goes round; null = fixed to a wall")] = None
    wall_fixing: Annotated[Text, said("Wall construction, age and who checked it")] = ""
    bracket: Annotated[Id | None, said("Gear id of the clamp or arm; null = chosen from the pipe")] = None
    arm: Annotated[Id | None, said("Gear id of a wall arm that carries the clamp")] = None
    power: Annotated[MountPower, said("Electricity at the place")] = MountPower()
    earth_point: Annotated[Name, said("Where the mount is bonded; empty = not known")] = ""
    climb: Annotated[Id | None, said("The way up; null = a climb of its own")] = None
    overhead_line_m: Annotated[
        float | None, said("Recorded distance to the nearest overhead line; null = not recorded", ge=0, le=10000)
    ] = None
    no_overhead_line: Annotated[bool, said("The walk recorded that no overhead line is within 30 m")] = False
    photo: Annotated[Name, said("File of the photograph of the mount under assets/")] = ""
