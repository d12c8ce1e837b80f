"""Water, zones, rooms, what divides them, and areas inside that must be served."""

from typing import Annotated, Literal

from survey_app.site.place import Position
from survey_app.site.record import Id, said
from survey_app.site.thing import Thing

__all__ = ["Opening", "OpeningMaterial", "Room", "ServedArea", "Wall", "WallConstruction", "Water", "Zone"]

WallConstruction = Literal[
    "brick_110",
    "brick_220",
    "brick_cavity",
    "concrete_100",
    "concrete_200",
    "concrete_200_reinforced",
    "stud_plasterboard",
    "stud_plasterboard_double",
    "glass_6",
    "glazing_double",
    "glazing_double_coated",
    "glazing_unknown",
    "boarding_timber",
    "chipboard_18",
    "plywood_18",
    "sheet_metal",
    "panel_insulated",
    "stone",
    "racking_full",
]
"""How walls are usually made, where material and thickness say too little."""

OpeningMaterial = Literal[
    "timber",
    "hollow",
    "glass",
    "glazing",
    "glazing_double",
    "glazing_double_coated",
    "steel",
    "roller",
    "unknown",
]
"""What doors, gates and windows are made of; `glazing` is double glazing of which nobody knows the coating."""


class Water(Thing):
    """Water or an open flat surface that reflects, with the range of its level."""

    outline: Annotated[tuple[Position, ...], said("Outline on the plan", min_length=3, max_length=10000)]
    level_low_m: Annotated[float, said("Lowest usual level over the site datum", ge=-500, le=9000)] = 0.0
    level_high_m: Annotated[float, said("Highest usual level over the site datum", ge=-500, le=9000)] = 0.0


class Zone(Thing):
    """An area with a rule: hazard, keep out, boundary of the site."""

    purpose: Annotated[Literal["hazard", "keep_out", "boundary"], said("What the area means")]
    outline: Annotated[tuple[Position, ...], said("Outline on the plan", min_length=3, max_length=10000)]


class Room(Thing):
    """A room of a building."""

    structure: Annotated[Id, said("The building")]
    outline: Annotated[tuple[Position, ...], said("Inner outline on the plan", min_length=3, max_length=10000)]
    floor_height_m: Annotated[float, said("Height of its floor over the building's foot", ge=-100, le=500)] = 0.0
    ceiling_height_m: Annotated[float, said("Height of its ceiling over its floor", ge=0.1, le=100)] = 3.0
    floor: Annotated[Literal["concrete", "timber", "unknown"], said("What its floor is made of")] = "unknown"


class Wall(Thing):
    """A wall inside a building."""

    structure: Annotated[Id, said("The building")]
    route: Annotated[tuple[Position, ...], said("Its run on the plan", min_length=2, max_length=1000)]
    material: Annotated[
        Literal["concrete", "brick", "plasterboard", "wood", "glass", "chipboard", "plywood", "metal", "unknown"],
        said("What it is made of"),
    ] = "unknown"
    thickness_mm: Annotated[float | None, said("Thickness; null = not known", ge=0.1, le=3000)] = None
    construction: Annotated[
        WallConstruction | None,
        said("How it is made, where material and thickness say too little; null = by those two"),
    ] = None
    floor_height_m: Annotated[
        float | None,
        said("Height of its foot over the building's foot; null = the floor of the rooms beside it", ge=-100, le=500),
    ] = None
    height_m: Annotated[float, said("Height over its floor", ge=0.01, le=100)] = 3.0


class Opening(Thing):
    """A door, gate or window in a wall."""

    wall: Annotated[Id, said("The wall it is in")]
    along_m: Annotated[float, said("Distance of its middle along the wall's run", ge=0, le=1e5)]
    width_m: Annotated[float, said("Width", ge=0.01, le=100)]
    height_m: Annotated[float, said("Height of its top over the floor", ge=0.01, le=100)] = 2.1
    sill_height_m: Annotated[float, said("Height of its lower edge over the floor", ge=0, le=100)] = 0.0
    material: Annotated[OpeningMaterial, said("What door, leaf or pane is made of")] = "unknown"
    state: Annotated[Literal["open", "closed", "changes"], said("How it usually stands")] = "changes"


class ServedArea(Thing):
    """An area inside a building in which a movable camera must be served."""

    structure: Annotated[Id, said("The building")]
    outline: Annotated[tuple[Position, ...], said("Outline on the plan", min_length=3, max_length=10000)]
    station: Annotated[
        Id | None, said("The station that moves about in it; its hop says what it joins; null = not chosen")
    ] = None
    also_joins: Annotated[
        tuple[Id, ...], said("Further access points that the station may join, beside that of its hop", max_length=100)
    ] = ()
    floor_height_m: Annotated[float, said("Height of its floor over the building's foot", ge=-100, le=500)] = 0.0
    height_m: Annotated[float, said("Height of the station's antenna over that floor", ge=0, le=50)] = 1.5
    needed_rate_mbps: Annotated[
        float | None, said("Link rate needed everywhere in it; null = what the cell needs", ge=0.1, le=10000)
    ] = None
    wanted_fraction: Annotated[float, said("Part of the area that must have that rate", ge=0.01, le=1)] = 0.95
    goods_loss_db: Annotated[
        float, said("What goods and full racks take from a ray among them; empty they take nothing", ge=0, le=60)
    ] = 10.0
