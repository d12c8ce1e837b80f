"""Lets the routes of wires go along with what they run on."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from itertools import pairwise

from survey_app.site.edits.positions import Shift
from survey_app.site.edits.sharing import rebuilt
from survey_app.site.network import Camera, Device, Wire
from survey_app.site.place import PlanePoint, Position
from survey_app.site.radio import Radio
from survey_app.site.record import Record
from survey_app.site.site import Design
from survey_app.site.structure import Building, Mast, Pole

__all__ = ["routes_along"]

_ON_THE_WALL_M = 0.5
"""A corner no farther from a wall or a pole runs on it."""

Metres = tuple[float, float]


def routes_along(design: Design, rows: Mapping[str, Mapping[int, Record]], shift: Shift) -> dict[int, Wire]:
    """Return wires with the corners of their routes that go along when things are moved.

    A wire between two things that both go takes its whole route along. One of which one end goes takes the corners
    that lie in the buildings and at the poles that go; the others stay where they are. Locked wires, those that are
    moved themselves, and corners given by latitude and longitude stay.

    Parameters
    ----------
    design : Design
        The design before.
    rows : mapping
        The rows that are moved, by collection and number.
    shift : callable
        Turns an old position into the new one.
    """
    moved = rows.get("wires", {})
    routed = {n: wire for n, wire in enumerate(design.wires) if wire.route and not wire.locked and n not in moved}
    if not routed:
        return {}
    going = _going(design, rows)
    structures = [one for one in rows.get("structures", {}).values() if isinstance(one, Building | Pole | Mast)]
    found = {}
    for number, wire in routed.items():
        ends = (wire.a.thing in going) + (wire.b.thing in going)
        if not ends:
            continue
        route = tuple(
            shift(corner) if isinstance(corner, PlanePoint) and (ends == 2 or _is_on(corner, structures)) else corner
            for corner in wire.route
        )
        if route != wire.route:
            found[number] = rebuilt(wire, wire.title, route=route)
    return found


def _going(design: Design, rows: Mapping[str, Mapping[int, Record]]) -> frozenset[str]:
    """Return the ids of what goes: the rows, what hangs on their mounts, and head ends at their devices."""
    going = {getattr(row, "id") for group in rows.values() for row in group.values()}  # noqa: B009 - all are things
    hung: tuple[Radio | Camera | Device, ...] = (*design.radios, *design.cameras, *design.devices)
    going |= {one.id for one in hung if one.mount is not None and one.mount in going}
    going |= {one.id for one in design.head_ends if one.device in going}
    return frozenset(going)


def _is_on(corner: PlanePoint, structures: Iterable[Building | Pole | Mast]) -> bool:
    at = (corner.x_m, corner.y_m)
    for one in structures:
        if isinstance(one, Building):
            outline = _metres(one.outline)
            if outline and (_inside(at, outline) or _off_m(at, outline) <= _ON_THE_WALL_M):
                return True
        elif isinstance(one.position, PlanePoint):
            foot = (one.position.x_m, one.position.y_m)
            if _apart_m(at, foot) <= _ON_THE_WALL_M:
                return True
    return False


def _metres(outline: Iterable[Position]) -> list[Metres]:
    corners = list(outline)
    found = [(one.x_m, one.y_m) for one in corners if isinstance(one, PlanePoint)]
    return found if len(found) == len(corners) else []


def _closed(outline: list[Metres]) -> Iterable[tuple[Metres, Metres]]:
    return pairwise([*outline, outline[0]])


def _inside(at: Metres, outline: list[Metres]) -> bool:
    x, y = at
    crossings = 0
    for (ax, ay), (bx, by) in _closed(outline):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            crossings += 1
    return crossings % 2 == 1


def _off_m(at: Metres, outline: list[Metres]) -> float:
    return min(_from_edge_m(at, a, b) for a, b in _closed(outline))


def _from_edge_m(at: Metres, a: Metres, b: Metres) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    part = 0.0 if square == 0.0 else ((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / square
    part = min(max(part, 0.0), 1.0)
    return _apart_m(at, (a[0] + part * dx, a[1] + part * dy))


def _apart_m(a: Metres, b: Metres) -> float:
    return math.hypot(a[0] - b[0], a[1] - b[1])
