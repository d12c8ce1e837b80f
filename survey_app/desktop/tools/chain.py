"""A chain of measured legs: distances, bearings from each north, differences of heights, as words, text and drawing."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, NamedTuple

from survey_app.desktop.tools.figures import area, height, length
from survey_app.desktop.tools.outline import area_m2
from survey_app.desktop.tools.strokes import along, beside, line
from survey_app.desktop.tools.where import elevation_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Point, Shape, Symbol
from survey_app.ground.bearings import to_magnetic
from survey_app.ground.magnetic import declination
from survey_app.ground.plane import to_geographic, true_bearing
from survey_app.ground.straight import bearing_of, distance_of
from survey_app.paper import rounding

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk

__all__ = ["Chain", "Leg", "Mark"]


class Leg(NamedTuple):
    """One leg of a chain."""

    start: Point
    end: Point
    distance_m: float
    bearing_plan_deg: float
    bearing_true_deg: float | None
    """None where the plane is tied to no place of the earth."""
    bearing_magnetic_deg: float | None
    """None where there is no usable magnetic north."""
    rise_m: float | None
    """Height of the thing at the end over that at the start; None where one of them is not known."""


class Mark(NamedTuple):
    """One point of a chain."""

    at: Point
    thing: str | None
    """Id of the thing that it is on."""


class Chain:
    """Marks in a row.

    Parameters
    ----------
    desk : Desk
        The site on which they lie: heights and norths come from it, also after it has changed.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.marks: list[Mark] = []
        self._north: tuple[object, float | None] | None = None

    def legs(self) -> tuple[Leg, ...]:
        """Return the legs from mark to mark."""
        return tuple(self.leg(a, b) for a, b in itertools.pairwise(self.marks))

    def leg(self, a: Mark, b: Mark) -> Leg:
        """Return the leg between two marks."""
        start_m, end_m = self._elevation(a), self._elevation(b)
        plan_deg = bearing_of(a.at, b.at)
        true_deg = self._true(a.at, plan_deg)
        east_deg = self._declination_deg() if true_deg is not None else None
        magnetic_deg = float(to_magnetic(true_deg, east_deg)) if true_deg is not None and east_deg is not None else None
        rise_m = end_m - start_m if start_m is not None and end_m is not None else None
        return Leg(a.at, b.at, distance_of(a.at, b.at), plan_deg, true_deg, magnetic_deg, rise_m)

    def _elevation(self, mark: Mark) -> float | None:
        return elevation_of(self._desk.placed, self._desk.things.get(mark.thing or ""))

    def _true(self, at: Point, plan_deg: float) -> float | None:
        plane = self._desk.placed.plane
        if plane is None:
            return None
        true_deg = float(true_bearing(plane, at[0], at[1], plan_deg))
        return None if math.isnan(true_deg) else true_deg

    def _declination_deg(self) -> float | None:
        """Return the declination at the plane's origin, asked for once for a plane and a date."""
        plane, design = self._desk.placed.plane, self._desk.site.design
        if plane is None:
            return None
        key = (design.plane, design.as_of)
        if self._north is None or self._north[0] != key:
            lat_deg, lon_deg = to_geographic(plane, 0.0, 0.0)
            north = declination(float(lat_deg), float(lon_deg), design.plane.datum_elevation_m, design.as_of)
            known = bool(north.usable) and not math.isnan(float(north.declination_deg))
            self._north = (key, float(north.declination_deg) if known else None)
        return self._north[1]

    @property
    def encloses_m2(self) -> float:
        """The area of a chain that ends where it began; 0 for one that does not. [m²]"""
        points = tuple(mark.at for mark in self.marks)
        return area_m2(points[:-1]) if len(points) > 3 and points[0] == points[-1] else 0.0

    def length_m(self) -> float:
        """Return the length of the whole chain. [m]"""
        return sum(one.distance_m for one in self.legs())

    # -- in words

    def words_of(self, one: Leg) -> str:
        """Return a leg in words: distance, its bearings, what it climbs."""
        site = self._desk.site
        parts = [length(site, one.distance_m), f"{rounding.bearing(one.bearing_plan_deg)} plan"]
        if one.bearing_true_deg is not None:
            parts.append(f"{rounding.bearing(one.bearing_true_deg)} true")
        if one.bearing_magnetic_deg is not None:
            parts.append(f"{rounding.bearing(one.bearing_magnetic_deg)} magnetic")
        if one.rise_m is not None:
            parts.append(height(site, one.rise_m))
        return ", ".join(parts)

    def total(self) -> str:
        """Return the whole chain in words."""
        count, site = len(self.marks) - 1, self._desk.site
        if count < 1:
            return "Nothing is measured."
        whole = f"{length(site, self.length_m())} in {count} {'leg' if count == 1 else 'legs'}"
        enclosed_m2 = self.encloses_m2
        return f"{whole}, encloses {area(site, enclosed_m2)}." if enclosed_m2 else f"{whole}."

    def text(self) -> str:
        """Return the chain as text to be copied: a line for each leg, tabs between, and the sum."""
        site = self._desk.site
        rows = ["leg\tdistance\tplan\ttrue\tmagnetic\theight"]
        for number, one in enumerate(self.legs(), 1):
            bearings = (one.bearing_plan_deg, one.bearing_true_deg, one.bearing_magnetic_deg)
            words = ["" if value is None else rounding.bearing(value) for value in bearings]
            rise = "" if one.rise_m is None else height(site, one.rise_m)
            rows.append("\t".join([str(number), length(site, one.distance_m), *words, rise]))
        rows.append(self.total())
        return "\n".join(rows)

    # -- as drawn

    def shapes(self) -> tuple[Shape, ...]:
        """Return the chain with the words of each leg along it."""
        shapes: list[Shape] = []
        for one in self.legs():
            shapes.extend(line(one.start, one.end, Role.DIMENSION))
            bearing_deg = one.bearing_true_deg if one.bearing_true_deg is not None else one.bearing_plan_deg
            words = f"{rounding.bearing(bearing_deg)} {length(self._desk.site, one.distance_m)}"
            shapes.extend(along(one.start, one.end, words))
            if one.rise_m is not None:
                shapes.extend(along(one.start, one.end, height(self._desk.site, one.rise_m), below=True))
        shapes += [Symbol("measured", mark.at, (Arc(Role.DIMENSION, (0.0, 0.0), 0.7),)) for mark in self.marks]
        if len(self.marks) > 2:
            shapes.extend(beside(self.marks[-1].at, self.total().rstrip("."), bold=True))
        return tuple(shapes)
