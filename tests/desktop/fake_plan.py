"""A plan without a screen: one metre is forty pixels, and what lies where follows from the site alone."""

from __future__ import annotations

import math

from survey_app.desktop.desk import Desk
from survey_app.desktop.tools.tool import Pointer
from survey_app.desktop.tools.where import outline_of, point_of
from survey_app.drawing.plat.view import Hit
from survey_app.site.collection import every_thing

__all__ = ["FakePlan", "at"]

PX_PER_M = 40.0
_TOLERANCE_M = 0.4


def at(x_m: float, y_m: float, *, shift: bool = False, control: bool = False, alt: bool = False) -> Pointer:
    """Return the pointer over a point of the plane."""
    return Pointer(x_m, y_m, x_m * PX_PER_M, -y_m * PX_PER_M, shift, control, alt)


class FakePlan:
    """What tools ask of a plan."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.refreshed = 0
        self.scale = PX_PER_M
        self.middle_m = (0.0, 0.0)
        self.asked_for: list[str] = []

    @property
    def px_per_m(self) -> float:
        return self.scale

    @property
    def interface_scale(self) -> float:
        return 1.0

    @property
    def window_m(self) -> tuple[float, float, float, float]:
        (x, y), half_x, half_y = self.middle_m, 2000.0 / self.scale, 1600.0 / self.scale
        return x - half_x, y - half_y, x + half_x, y + half_y

    def hits(self, x_m: float, y_m: float) -> tuple[Hit, ...]:
        order = (
            "radios",
            "cameras",
            "mounts",
            "devices",
            "supplies",
            "landmarks",
            "notes",
            "openings",
            "walls",
            "rooms",
            "structures",
            "hops",
            "wires",
        )
        found: list[tuple[int, float, Hit]] = []
        placed, things = self.desk.placed, dict(self.desk.things)
        for collection, _, thing in every_thing(self.desk.site.design):
            rank = order.index(collection.name) if collection.name in order else len(order)
            corners = outline_of(placed, thing.id)
            if corners:
                hit = self._outline_hit(thing.id, collection.name, corners, x_m, y_m, closed=hasattr(thing, "outline"))
                if hit is not None:
                    found.append((rank + (1 if hit.part == "area" else 0), hit.distance_m, hit))
                continue
            if collection.name == "hops":
                a, b = point_of(placed, things[thing.access_point]), point_of(placed, things[thing.station])
                distance = _to_segment((x_m, y_m), a, b) if a and b else math.inf
            else:
                point = point_of(placed, thing, things) if collection.name not in ("wires", "head_ends") else None
                distance = math.inf if point is None else math.dist(point, (x_m, y_m))
            if distance <= _TOLERANCE_M:
                found.append((rank, distance, Hit(thing.id, collection.name, "symbol", distance)))
        found.sort(key=lambda row: (row[0], row[1], row[2].id))
        return tuple(row[2] for row in found)

    def _outline_hit(self, thing_id, kind, corners, x_m, y_m, *, closed):
        edges = range(len(corners) if closed else len(corners) - 1)
        near = min(
            ((_to_segment((x_m, y_m), corners[n], corners[(n + 1) % len(corners)]), n) for n in edges), default=None
        )
        if near is not None and near[0] <= _TOLERANCE_M:
            return Hit(thing_id, kind, f"edge {near[1]}", near[0])
        inside = False
        for n in range(len(corners)):
            (ax, ay), (bx, by) = corners[n], corners[(n + 1) % len(corners)]
            if (ay > y_m) != (by > y_m) and x_m < (bx - ax) * (y_m - ay) / (by - ay) + ax:
                inside = not inside
        return Hit(thing_id, kind, "area", 0.0) if inside and closed else None

    def within(self, x0_m, y0_m, x1_m, y1_m, *, touching):
        found = []
        placed, things = self.desk.placed, dict(self.desk.things)
        for thing in things.values():
            corners = outline_of(placed, thing.id)
            if not corners:
                point = point_of(placed, thing, things)
                corners = (point,) if point is not None else ()
            inside = [x0_m <= x <= x1_m and y0_m <= y <= y1_m for x, y in corners]
            if inside and (any(inside) if touching else all(inside)):
                found.append(thing.id)
        return tuple(found)

    def refresh(self) -> None:
        self.refreshed += 1

    def take_up(self, tool_name: str) -> None:
        self.asked_for.append(tool_name)


def _to_segment(p, a, b):
    length = math.dist(a, b)
    if length == 0:
        return math.dist(p, a)
    t = max(0.0, min(1.0, ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / length**2))
    return math.dist(p, (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))
