"""Measuring: a chain of legs with distance, bearings and difference of heights; it stays until Esc."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from survey_app.desktop.tools.figures import area, bearing_of, distance_of, height, length
from survey_app.desktop.tools.outline import area_m2, squared
from survey_app.desktop.tools.placing import Placing
from survey_app.desktop.tools.strokes import along, beside, line
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.where import elevation_of, point_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Point, Shape, Symbol
from survey_app.ground.bearings import to_magnetic
from survey_app.ground.magnetic import declination
from survey_app.ground.plane import to_geographic, true_bearing
from survey_app.paper import rounding

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk
    from survey_app.desktop.tools.plan import Plan

__all__ = ["Leg", "MeasureTool"]


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


class MeasureTool(Placing):
    """Measures from point to point; each point on a thing takes that thing's height."""

    name = "measure"
    hint = "Press from point to point; Esc clears, Ctrl+C copies."

    def __init__(self, desk: Desk, plan: Plan) -> None:
        super().__init__(desk, plan)
        self._things: list[str | None] = []
        self._declination: tuple[object, float | None] | None = None
        self._ended = False

    def _under(self, at: Point) -> str | None:
        for hit in self.plan.hits(*at):
            if elevation_of(self.desk.placed, self.desk.things.get(hit.id)) is not None and hit.part != "area":
                return hit.id
        return None

    def hold(self, at: Point, pointer: Pointer) -> Point:
        """A thing under the pointer is measured at its own point; Shift holds right angles."""
        under = self._under(pointer.at)
        thing = self.desk.things.get(under or "")
        if thing is not None and not hasattr(thing, "outline") and not hasattr(thing, "route"):
            return point_of(self.desk.placed, thing, dict(self.desk.things)) or at
        if pointer.shift and self.points:
            return squared(self.points[-2] if len(self.points) > 1 else None, self.points[-1], at)
        return at

    def take(self, at: Point, pointer: Pointer) -> None:
        """Add a point."""
        if self._ended:
            self.points, self._things, self._ended = [], [], False
        if not self.points or at != self.points[-1]:
            self.points.append(at)
            del self._things[len(self.points) - 1 :]
            self._things.append(self._under(at))

    def enough(self) -> None:
        """The chain is whole: it stays on the plan, the next press begins another."""
        self._ended = True
        self.desk.say(self.total())

    # -- figures

    def legs(self) -> tuple[Leg, ...]:
        """Return the legs of the chain so far."""
        pairs = zip(self.points[:-1], self.points[1:], strict=True)
        return tuple(self._leg(n, a, b) for n, (a, b) in enumerate(pairs))

    def _leg(self, number: int, a: Point, b: Point, end_thing: str | None = None) -> Leg:
        things = [*self._things[: number + 1], *(self._things[number + 1 : number + 2] or [end_thing])]
        start_m, end_m = (self._elevation(one) for one in things[number : number + 2])
        plan_deg = bearing_of(a, b)
        true_deg = self._true(a, plan_deg)
        east_deg = self._declination_deg() if true_deg is not None else None
        magnetic_deg = float(to_magnetic(true_deg, east_deg)) if true_deg is not None and east_deg is not None else None
        rise_m = end_m - start_m if start_m is not None and end_m is not None else None
        return Leg(a, b, distance_of(a, b), plan_deg, true_deg, magnetic_deg, rise_m)

    def _elevation(self, thing_id: str | None) -> float | None:
        return elevation_of(self.desk.placed, self.desk.things.get(thing_id or ""))

    def _true(self, a: Point, plan_deg: float) -> float | None:
        plane = self.desk.placed.plane
        if plane is None:
            return None
        true_deg = float(true_bearing(plane, a[0], a[1], plan_deg))
        return None if math.isnan(true_deg) else true_deg

    def _declination_deg(self) -> float | None:
        """Return the declination in the middle of the chain, asked for once for a plane and a date."""
        plane, design = self.desk.placed.plane, self.desk.site.design
        if plane is None:
            return None
        key = (design.plane, design.as_of)
        if self._declination is None or self._declination[0] != key:
            lat_deg, lon_deg = to_geographic(plane, 0.0, 0.0)
            north = declination(float(lat_deg), float(lon_deg), design.plane.datum_elevation_m, design.as_of)
            known = bool(north.usable) and not math.isnan(float(north.declination_deg))
            self._declination = (key, float(north.declination_deg) if known else None)
        return self._declination[1]

    def leg_words(self, one: Leg) -> str:
        """Return a leg in words: distance, its bearings, what it climbs."""
        parts = [length(self.site, one.distance_m), f"{rounding.bearing(one.bearing_plan_deg)} plan"]
        if one.bearing_true_deg is not None:
            parts.append(f"{rounding.bearing(one.bearing_true_deg)} true")
        if one.bearing_magnetic_deg is not None:
            parts.append(f"{rounding.bearing(one.bearing_magnetic_deg)} magnetic")
        if one.rise_m is not None:
            parts.append(height(self.site, one.rise_m))
        return ", ".join(parts)

    def total(self) -> str:
        """Return the whole chain in words."""
        legs = self.legs()
        if not legs:
            return "Nothing is measured."
        count = f"{len(legs)} {'leg' if len(legs) == 1 else 'legs'}"
        whole = f"{length(self.site, sum(one.distance_m for one in legs))} in {count}"
        if len(self.points) > 3 and self.points[0] == self.points[-1]:
            whole += f", encloses {area(self.site, area_m2(tuple(self.points[:-1])))}"
        return whole + "."

    def text(self) -> str:
        """Return the chain as text to be copied: a line for each leg, tabs between, and the sum."""
        rows = ["leg\tdistance\tplan\ttrue\tmagnetic\theight"]
        for number, one in enumerate(self.legs(), 1):
            bearings = (one.bearing_plan_deg, one.bearing_true_deg, one.bearing_magnetic_deg)
            words = ["" if value is None else rounding.bearing(value) for value in bearings]
            rise = "" if one.rise_m is None else height(self.site, one.rise_m)
            rows.append("\t".join([str(number), length(self.site, one.distance_m), *words, rise]))
        rows.append(self.total())
        return "\n".join(rows)

    # -- what is seen

    def words(self, at: Point, pointer: Pointer) -> str:
        """Return the leg in hand and the sum."""
        if not self.points or self._ended:
            return self.hint if not self.points else self.total()
        if at == self.points[-1]:
            return self.total() if len(self.points) > 1 else self.hint
        now = self._leg(len(self.points) - 1, self.points[-1], at, self._under(at))
        words = self.leg_words(now)
        if len(self.points) > 1:
            whole_m = sum(one.distance_m for one in self.legs()) + now.distance_m
            words += f"; {length(self.site, whole_m)} in all"
        return words

    def ghost(self, at: Point, pointer: Pointer) -> tuple[Shape, ...]:
        """Return the chain with the words of each leg along it, and the leg in hand."""
        return (*self.chain(), *(() if self._ended else self.rubber(at)))

    def chain(self) -> tuple[Shape, ...]:
        """Return the chain that was measured."""
        shapes: list[Shape] = []
        for one in self.legs():
            shapes.extend(line(one.start, one.end, Role.DIMENSION))
            bearing_deg = one.bearing_true_deg if one.bearing_true_deg is not None else one.bearing_plan_deg
            words = f"{rounding.bearing(bearing_deg)} {length(self.site, one.distance_m)}"
            shapes.extend(along(one.start, one.end, words))
            if one.rise_m is not None:
                shapes.extend(along(one.start, one.end, height(self.site, one.rise_m), below=True))
        shapes += [Symbol("measured", point, (Arc(Role.DIMENSION, (0.0, 0.0), 0.7),)) for point in self.points]
        if len(self.points) > 2:
            shapes.extend(beside(self.points[-1], self.total().rstrip("."), bold=True))
        return tuple(shapes)

    def key(self, name: str, *, shift: bool = False, control: bool = False, alt: bool = False) -> bool:
        """Backspace takes the last point back, Enter ends the chain."""
        taken = super().key(name, shift=shift, control=control, alt=alt)
        del self._things[len(self.points) :]
        return taken

    def cancel(self) -> bool:
        """Clear the chain."""
        had = super().cancel()
        if not self.points:
            self._things, self._ended = [], False
        return had

    def end(self) -> None:
        """Another tool is taken up: the chain is cleared."""
        super().end()
        self._things, self._ended = [], False
