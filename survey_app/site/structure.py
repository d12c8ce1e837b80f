"""Structures: what stands on the site and can carry a mount or come into a ray."""

from typing import Annotated, Literal

from pydantic import Field

from survey_app.site.place import HeightKnown, Position
from survey_app.site.record import Id, Name, Record, said
from survey_app.site.thing import Thing

__all__ = [
    "Building",
    "Mast",
    "Obstacle",
    "OverheadLine",
    "Pole",
    "Roof",
    "Structure",
    "TrafficArea",
    "TreeStand",
]

_BASE = said("Height of its foot over the site datum; null = on the relief at its place", ge=-500, le=9000)
_HOW = said("How the height is known")
Outline = tuple[Position, ...]


class Roof(Record):
    """Shape of a building's roof above the eaves."""

    kind: Annotated[Literal["flat", "gable", "hip", "shed"], said("Shape of the roof")] = "flat"
    ridge_height_m: Annotated[
        float | None, said("Height of the ridge over the foot; null = no ridge", ge=0, le=500)
    ] = None
    ridge_plan_deg: Annotated[float | None, said("Plan bearing of the ridge line", ge=0, lt=360)] = None
    parapet_height_m: Annotated[float, said("Parapet above a flat roof", ge=0, le=20)] = 0.0


class Building(Thing):
    """A building: outline, storeys, roof."""

    kind: Literal["building"]
    outline: Annotated[Outline, said("Corners in order; the last joins the first", min_length=3, max_length=10000)]
    holes: Annotated[tuple[Outline, ...], said("Courtyards", max_length=100)] = ()
    base_m: Annotated[float | None, _BASE] = None
    base_known: Annotated[HeightKnown, said("How the foot's height is known")] = HeightKnown(how="drawing", sigma_m=0.2)
    eaves_height_m: Annotated[float, said("Height of the eaves over the foot", ge=0.01, le=500)] = 6.0
    height_known: Annotated[HeightKnown, _HOW] = HeightKnown()
    roof: Annotated[Roof, said("Roof above the eaves")] = Roof()
    storeys: Annotated[int | None, said("Number of storeys", ge=1, le=200)] = None
    wall: Annotated[
        Literal["brick", "concrete", "stone", "timber", "sheet_metal", "insulated", "glass", "unknown"],
        said("What the outer wall is made of; decides fixings"),
    ] = "unknown"
    owner: Annotated[Name, said("Who owns it")] = ""


class _Upright(Thing):
    """Common part of poles and masts."""

    position: Annotated[Position, said("Foot on the plan")]
    base_m: Annotated[float | None, _BASE] = None
    base_known: Annotated[HeightKnown, said("How the foot's height is known")] = HeightKnown(how="drawing", sigma_m=0.2)
    height_m: Annotated[float, said("Height of the top over the foot", ge=0.01, le=500)] = 6.0
    height_known: Annotated[HeightKnown, _HOW] = HeightKnown()
    section: Annotated[Literal["round", "tapered", "octagonal", "square", "lattice"], said("Shape of the section")] = (
        "round"
    )
    diameter_top_mm: Annotated[float, said("Outside diameter at the top", ge=1, le=2000)] = 89.0
    diameter_foot_mm: Annotated[float, said("Outside diameter at the foot", ge=1, le=3000)] = 89.0
    owner: Annotated[Name, said("Who owns it")] = ""


class Pole(_Upright):
    """A pole: a column of its own, street lighting or otherwise."""

    kind: Literal["pole"]


class Mast(_Upright):
    """A mast: put up for antennas, on the ground or on a roof."""

    kind: Literal["mast"]
    guyed: Annotated[bool, said("Held by guys")] = False


class TreeStand(Thing):
    """Trees: outline of the crowns, from where to where they reach, how they grow."""

    kind: Literal["tree_stand"]
    outline: Annotated[Outline, said("Edge of the crowns", min_length=3, max_length=10000)]
    base_m: Annotated[float | None, _BASE] = None
    crown_base_m: Annotated[float, said("Lower edge of the crowns over the ground", ge=0, le=100)] = 2.0
    crown_top_m: Annotated[float, said("Top of the crowns over the ground", ge=0.1, le=150)] = 12.0
    height_known: Annotated[HeightKnown, _HOW] = HeightKnown()
    growth_m_per_year: Annotated[float, said("Growth in height", ge=0, le=5)] = 0.5
    crown_growth_m_per_year: Annotated[float, said("Growth of the crown sideways", ge=0, le=5)] = 0.25
    leaf: Annotated[Literal["deciduous", "evergreen"], said("Whether it loses its leaves")] = "deciduous"


class Obstacle(Thing):
    """Something on the ground that a ray may meet: a ridge, a tank, a crane and its swing."""

    kind: Literal["obstacle"]
    outline: Annotated[Outline, said("Outline on the plan", min_length=3, max_length=10000)]
    base_m: Annotated[float | None, _BASE] = None
    height_m: Annotated[float, said("Height of the top over the foot", ge=0.01, le=1000)]
    height_known: Annotated[HeightKnown, _HOW] = HeightKnown()
    swing_radius_m: Annotated[
        float | None, said("Radius that a moving part sweeps; null = nothing moves", ge=0.01, le=500)
    ] = None


class OverheadLine(Thing):
    """An overhead line, as recorded on the walk."""

    kind: Literal["overhead_line"]
    route: Annotated[Outline, said("Its run on the plan", min_length=2, max_length=10000)]
    base_m: Annotated[float | None, _BASE] = None
    height_m: Annotated[
        float | None, said("Height of the lowest wire over the ground; null = not measured", ge=0.1, le=300)
    ] = None
    voltage: Annotated[Name, said("Voltage as recorded in words; empty = unknown")] = ""


class TrafficArea(Thing):
    """A lane or yard where something tall comes and goes."""

    kind: Literal["traffic_area"]
    outline: Annotated[Outline, said("Outline on the plan", min_length=3, max_length=10000)]
    base_m: Annotated[float | None, _BASE] = None
    envelope_height_m: Annotated[float, said("Height of the tallest thing that passes", ge=0.01, le=200)] = 4.5
    passes_per_day: Annotated[float, said("How often something that tall passes", ge=0, le=1e5)] = 10.0
    standing_fraction: Annotated[float, said("Part of the time something that tall stands there", ge=0, le=1)] = 0.0


Structure = Annotated[
    Building | Pole | Mast | TreeStand | Obstacle | OverheadLine | TrafficArea, Field(discriminator="kind")
]
"""Any structure; `kind` says which."""

StructureId = Id
