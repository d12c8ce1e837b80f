"""Water, zones, rooms and what divides them: records that later versions of the checks fill with meaning."""

from typing import Annotated, Literal

from survey_app.site.place import Position
from survey_app.site.record import Id, said
from survey_app.site.thing import Thing

__all__ = ["Opening", "Room", "Wall", "Water", "Zone"]


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


class Wall(Thing):
    """A wall inside a building."""

    structure: Annotated[Id, said("The building")]
    route: Annotated[tuple[Position, ...], said("Its run on the plan", min_length=2, max_length=1000)]
    material: Annotated[
        Literal["concrete", "brick", "plasterboard", "wood", "glass", "chipboard", "plywood", "metal", "unknown"],
        said("What it is made of"),
    ] = "unknown"
    thickness_mm: Annotated[float | None, said("Thickness; null = not known", ge=0.1, le=3000)] = None
    height_m: Annotated[float, said("Height over its floor", ge=0.01, le=100)] = 3.0


class Opening(Thing):
    """A door, gate or window in a wall."""

    wall: Annotated[Id, said("The wall it is in")]
    along_m: Annotated[float, said("Distance of its middle along the wall's run", ge=0, le=1e5)]
    width_m: Annotated[float, said("Width", ge=0.01, le=100)]
    height_m: Annotated[float, said("Height of its top over the floor", ge=0.01, le=100)] = 2.1
    state: Annotated[Literal["open", "closed", "changes"], said("How it usually stands")] = "changes"
