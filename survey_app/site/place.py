"""Positions, and where a mount sits on its structure."""

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from survey_app.site.record import Record, said

__all__ = [
    "LONGEST_ALONG_M",
    "Anchor",
    "EdgePlace",
    "GeoPoint",
    "HeightKnown",
    "HeightReference",
    "Place",
    "PlanePoint",
    "PointPlace",
    "PolePlace",
    "Position",
    "RoofPlace",
]

LONGEST_ALONG_M = 1e5
"""How far along an edge something may hang. [m]"""


class PlanePoint(Record):
    """A point of the local plane."""

    x_m: Annotated[float, said("Distance to the right on the plan", ge=-1e6, le=1e6)]
    y_m: Annotated[float, said("Distance up the plan (plan north)", ge=-1e6, le=1e6)]


class GeoPoint(Record):
    """A point by latitude and longitude on WGS 84."""

    lat_deg: Annotated[float, said("Latitude, north positive", ge=-90, le=90)]
    lon_deg: Annotated[float, said("Longitude, east positive", ge=-180, le=180)]


def _kind_of_position(value: Any) -> str:
    if isinstance(value, PlanePoint):
        return "plane"
    if isinstance(value, GeoPoint):
        return "geographic"
    keys = value.keys() if isinstance(value, dict) else ()
    return "geographic" if "lat_deg" in keys or "lon_deg" in keys else "plane"


Position = Annotated[
    Annotated[PlanePoint, Tag("plane")] | Annotated[GeoPoint, Tag("geographic")], Discriminator(_kind_of_position)
]
"""A position stays as it was written: metres of the plane, or latitude and longitude."""


class Anchor(Record):
    """Ties the plane to the earth: where the plane's origin lies and which way plan north points."""

    lat_deg: Annotated[float, said("Latitude of the plane's origin", ge=-90, le=90)]
    lon_deg: Annotated[float, said("Longitude of the plane's origin", ge=-180, le=180)]
    rotation_deg: Annotated[float, said("True bearing of plan north, clockwise", ge=-180, le=360)] = 0.0
    sigma_m: Annotated[float, said("Standard deviation of the origin's position on the earth", ge=0, le=1000)] = 1.0


HeightReference = Literal["ground", "eaves", "roof", "datum"]


class HeightKnown(Record):
    """How a height or a length is known; null sigma takes the site's default for that way of measuring."""

    how: Annotated[
        Literal["tape", "rangefinder", "counted", "guessed", "drawing", "survey"],
        said("How it was measured"),
    ] = "guessed"
    sigma_m: Annotated[float | None, said("Standard deviation, if better known", ge=0, le=100)] = None


class EdgePlace(Record):
    """On an edge of a building: which edge, how far along it, how far off the wall."""

    kind: Literal["edge"]
    edge: Annotated[int, said("Number of the edge: from this corner of the outline to the next, from 0", ge=0, le=9999)]
    along_m: Annotated[float, said("Distance along the edge from its first corner", ge=0, le=LONGEST_ALONG_M)]
    stand_off_m: Annotated[float, said("Distance of the antenna out from the wall", ge=0, le=10)] = 0.3


class RoofPlace(Record):
    """On a roof, at a point of the plan."""

    kind: Literal["roof"]
    position: Annotated[Position, said("Where the antenna stands on the plan")]


class PolePlace(Record):
    """On a pole or mast: the side and how far off its axis."""

    kind: Literal["pole"]
    side_plan_deg: Annotated[
        float | None, said("Plan bearing of the side it hangs on; null = towards its aim", ge=0, le=360)
    ] = None
    stand_off_m: Annotated[float, said("Distance of the antenna from the pole's axis", ge=0, le=5)] = 0.0


class PointPlace(Record):
    """At a measured point of the plan, whatever the structure's outline says."""

    kind: Literal["point"]
    position: Annotated[Position, said("Where the antenna is on the plan")]


Place = Annotated[EdgePlace | RoofPlace | PolePlace | PointPlace, Field(discriminator="kind")]
"""Where a mount sits on its structure."""
