"""The handles of a selected thing: corners, middles of edges, a mount's side, a camera's target, a beam's axis."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Literal, NamedTuple

from survey_app.desktop.tools.strokes import grip, line, polar
from survey_app.desktop.tools.where import outline_of, plan_of, point_of
from survey_app.drawing.roles import Role
from survey_app.drawing.shapes import Arc, Path, Point, Shape, Symbol
from survey_app.ground.straight import bearing_of, distance_of
from survey_app.site.mount import Mount
from survey_app.site.network import Camera
from survey_app.site.place import PolePlace
from survey_app.site.radio import Radio

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk

__all__ = ["Grip", "grip_shapes", "grips_of", "nearest_grip"]

_AXIS_PX = 96.0
"""Where the handle of a beam's axis stands, from the radio. [px]"""
_SIDE_PX = 22.0
_TARGET_PX = 60.0
_REACH_PX = 8.0
_LEAST_EDGE_PX = 40.0
_MOST = 400


class Grip(NamedTuple):
    """One handle."""

    kind: Literal["corner", "middle", "side", "target", "boresight"]
    thing: str
    at: Point
    number: int = 0
    """Of the corner, or of the corner before which a new one goes."""


def grips_of(desk: Desk, px_per_m: float) -> tuple[Grip, ...]:
    """Return the handles of the selected thing; none where several are selected."""
    if len(desk.selection) != 1:
        return ()
    thing = desk.things.get(desk.selection[0])
    if thing is None:
        return ()
    corners = outline_of(desk.placed, thing.id)
    if corners:
        return _corner_grips(thing.id, corners, px_per_m, closed=hasattr(thing, "outline"))
    if isinstance(thing, Radio):
        return _axis_grip(desk, thing, px_per_m)
    if isinstance(thing, Camera):
        return _target_grip(desk, thing, px_per_m)
    if isinstance(thing, Mount) and isinstance(thing.place, PolePlace):
        return _side_grip(desk, thing, thing.place, px_per_m)
    return ()


def _corner_grips(thing_id: str, corners: tuple[Point, ...], px_per_m: float, *, closed: bool) -> tuple[Grip, ...]:
    if len(corners) > _MOST or any(math.isnan(x) for x, _ in corners):
        return ()
    found = [Grip("corner", thing_id, corner, number) for number, corner in enumerate(corners)]
    ends = corners if closed else corners[:-1]
    for number, a in enumerate(ends):
        b = corners[(number + 1) % len(corners)]
        if distance_of(a, b) * px_per_m >= _LEAST_EDGE_PX:
            found.append(Grip("middle", thing_id, ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0), number + 1))
    return tuple(found)


def _axis_grip(desk: Desk, radio: Radio, px_per_m: float) -> tuple[Grip, ...]:
    at = point_of(desk.placed, radio)
    row = desk.rows.radios.get(radio.id) if desk.rows is not None else None
    if at is None or row is None or row.aim_by == "all_round":
        return ()
    bearing_deg = row.bearing_plan_deg if row.bearing_plan_deg is not None else 0.0
    return (Grip("boresight", radio.id, polar(at, bearing_deg, _AXIS_PX / px_per_m)),)


def _target_grip(desk: Desk, camera: Camera, px_per_m: float) -> tuple[Grip, ...]:
    at = point_of(desk.placed, camera, dict(desk.things))
    if at is None:
        return ()
    if camera.target is not None:
        target = plan_of(desk.placed, camera.target.position)
        return () if math.isnan(target[0]) else (Grip("target", camera.id, target),)
    return (Grip("target", camera.id, polar(at, 90.0, _TARGET_PX / px_per_m)),)


def _side_grip(desk: Desk, mount: Mount, place: PolePlace, px_per_m: float) -> tuple[Grip, ...]:
    pole = desk.placed.points.get(mount.structure)
    if pole is None or math.isnan(pole.x_m):
        return ()
    side_deg = place.side_plan_deg if place.side_plan_deg is not None else 0.0
    return (Grip("side", mount.id, polar((pole.x_m, pole.y_m), side_deg, _SIDE_PX / px_per_m)),)


def nearest_grip(grips: tuple[Grip, ...], at: Point, px_per_m: float) -> Grip | None:
    """Return the handle under a point, if one is near enough."""
    near = [(distance_of(one.at, at) * px_per_m, one) for one in grips]
    near = [pair for pair in near if pair[0] <= _REACH_PX]
    return min(near, key=lambda pair: pair[0])[1] if near else None


def grip_shapes(desk: Desk, grips: tuple[Grip, ...]) -> tuple[Shape, ...]:
    """Return the handles as drawn: squares at corners, a cross where a corner can be put in, rings on stalks."""
    shapes: list[Shape] = []
    for one in grips:
        if one.kind == "corner":
            shapes.append(grip(one.at))
        elif one.kind == "middle":
            arms = (Path(Role.GRIP, ((-0.7, 0.0), (0.7, 0.0))), Path(Role.GRIP, ((0.0, -0.7), (0.0, 0.7))))
            shapes.append(Symbol("put in a corner", one.at, arms))
        else:
            root = point_of(desk.placed, desk.things.get(one.thing), dict(desk.things))
            if root is not None:
                shapes.extend(line(root, one.at, Role.AXIS if one.kind == "boresight" else Role.THIN))
                turn_deg = bearing_of(root, one.at)
                shapes.append(Symbol(one.kind, one.at, (Arc(Role.GRIP, (0.0, 0.0), 1.1),), turn_deg))
    return tuple(shapes)
