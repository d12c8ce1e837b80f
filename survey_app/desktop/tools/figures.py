"""Figures of a gesture in words: bearings, lengths, areas, in the units that the site's people read."""

from __future__ import annotations

import math
from functools import lru_cache

from survey_app.drawing.shapes import Point
from survey_app.ground.plane import Plane, plan_bearing
from survey_app.ground.straight import bearing_of, distance_of
from survey_app.paper import rounding
from survey_app.site.site import Site

__all__ = ["area", "height", "leg", "length", "north_deg", "reads_feet"]

_SQUARE_FOOT_M2 = 0.3048**2


def reads_feet(site: Site) -> bool:
    """Whether people read this site in feet alone."""
    return site.design.units == "feet"


def length(site: Site, value_m: float, places: int = 1) -> str:
    """Return a length, such as `4.2 m` or `13 ft 9 in`."""
    if reads_feet(site):
        return rounding.feet_and_inches(value_m)
    # nothing wraps on the plan and in the list of steps: a plain space is what people search for
    return f"{rounding.number(value_m, places)} m"


def height(site: Site, value_m: float) -> str:
    """Return a difference of heights in words: `1.3 m higher`, `level`."""
    if rounding.tenths(value_m) == 0:
        return "level"
    return f"{length(site, abs(value_m))} {'higher' if value_m > 0 else 'lower'}"


def area(site: Site, value_m2: float) -> str:
    """Return an area, such as `174 m²`."""
    if reads_feet(site):
        return f"{rounding.number(value_m2 / _SQUARE_FOOT_M2, 0)} sq ft"
    return f"{rounding.number(value_m2, 0 if value_m2 >= 10 else 1)} m²"


def north_deg(site: Site, at: Point) -> float:
    """Return the plan bearing of the north from which bearings count at a point: true north, else plan north. [deg]"""
    anchor = site.design.plane.anchor
    if anchor is None:
        return 0.0
    return _north_deg(anchor.lat_deg, anchor.lon_deg, anchor.rotation_deg, at)


@lru_cache(maxsize=256)
def _north_deg(lat_deg: float, lon_deg: float, rotation_deg: float, at: Point) -> float:
    # a line that is being dragged asks for the same end again and again
    north = float(plan_bearing(Plane(lat_deg, lon_deg, rotation_deg), at[0], at[1], 0.0))
    return 0.0 if math.isnan(north) else north


def leg(site: Site, a: Point, b: Point) -> str:
    """Return bearing and distance from one point to another, as along a hop: `127.6° 295.4 m`."""
    distance_m = distance_of(a, b)
    if distance_m == 0.0:
        return length(site, 0.0)
    return f"{rounding.bearing(bearing_of(a, b) - north_deg(site, a))} {length(site, distance_m)}"
