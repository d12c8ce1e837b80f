"""Relief: how high the ground is, as spot heights or as a grid of heights in a file."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from survey_app.site.place import HeightKnown, Position
from survey_app.site.record import Day, Name, Record, said

__all__ = ["GridRelief", "Relief", "SpotHeight", "SpotRelief"]

_VERTICAL_DATUM = said("What the heights of the source count from, as the source names it", min_length=1)
_SOURCE = said("Where the heights come from: a survey, a drawing, a published model; empty = not noted")
_DATED = said("When the ground was surveyed; null = not noted")


class SpotHeight(Record):
    """A point of the ground whose height is known."""

    position: Annotated[Position, said("Where it is")]
    height_m: Annotated[float, said("Height of the ground over the site datum", ge=-500, le=9000)]
    known: Annotated[HeightKnown, said("How the height is known")] = HeightKnown(how="survey")


class SpotRelief(Record):
    """Spot heights, joined by triangles: straight between the points, unknown outside of them."""

    kind: Literal["spots"]
    points: Annotated[tuple[SpotHeight, ...], said("Spot heights, no two at one place", min_length=3, max_length=20000)]
    vertical_datum: Annotated[Name, _VERTICAL_DATUM] = "site datum"
    source: Annotated[Name, _SOURCE] = ""
    dated: Annotated[Day | None, _DATED] = None


class GridRelief(Record):
    """A grid of heights in a file, which says itself where its points lie on the earth or on the plan."""

    kind: Literal["grid"]
    file: Annotated[Name, said("File under assets/: GeoTIFF", min_length=1)]
    grid: Annotated[Name, said("How its points are placed: the map grid that the file names, or `plan`", min_length=1)]
    height_unit: Annotated[Literal["metre", "foot", "us_survey_foot"], said("Unit of the heights in the file")] = (
        "metre"
    )
    vertical_datum: Annotated[Name, _VERTICAL_DATUM]
    datum_offset_m: Annotated[
        float, said("What is added to a height of the file to have it over the site datum", ge=-9500, le=9500)
    ] = 0.0
    source: Annotated[Name, _SOURCE] = ""
    dated: Annotated[Day | None, _DATED] = None
    sigma_m: Annotated[float, said("Standard deviation of its heights", ge=0, le=100)] = 1.0
    voids: Annotated[
        Literal["none", "filled", "unknown"],
        said("Points without a height: there were none, they were filled from around them, they stay unknown"),
    ] = "none"
    void_count: Annotated[int, said("How many points of the file had no height", ge=0, le=1_000_000_000)] = 0


Relief = Annotated[SpotRelief | GridRelief, Field(discriminator="kind")]
"""Spot heights or a grid; `kind` says which."""
