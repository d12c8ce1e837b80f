"""Where something dropped on the plan hangs: on a mount that is there, round a pole, off a wall, on a roof."""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from survey_app.desktop.tools.figures import length
from survey_app.desktop.tools.indoors import room_at
from survey_app.desktop.tools.outline import counter_clockwise
from survey_app.desktop.tools.where import outline_of, point_of
from survey_app.drawing.shapes import Point
from survey_app.ground.bearings import compass_point
from survey_app.ground.place import Placed
from survey_app.ground.straight import bearing_of, distance_of
from survey_app.paper import rounding
from survey_app.site.mount import Mount
from survey_app.site.network import Camera
from survey_app.site.place import (
    LONGEST_ALONG_M,
    EdgePlace,
    HeightReference,
    Place,
    PlanePoint,
    PointPlace,
    PolePlace,
    RoofPlace,
)
from survey_app.site.radio import Radio
from survey_app.site.site import Site
from survey_app.site.structure import Building, Mast, OverheadLine, Pole, Structure, TrafficArea, TreeStand
from survey_app.site.surroundings import Room

__all__ = ["Perch", "carrier_at", "perch_at"]

_WALL_STAND_OFF_M = 0.3
_POLE_STAND_OFF_M = 0.2
_UNDER_TOP_M = 0.5
_APART_M = 0.6
"""Units that share a pole hang this far apart, one under the other."""
_OVER_ROOF_M = 1.5
_UNDER_CEILING_M = 0.5
_SIDE_STEP_DEG = 5.0


Take = Literal["free", "any", "none"]


class Perch(NamedTuple):
    """A place where something can hang."""

    at: Point
    """Where it then is. [m]"""
    structure: str
    place: Place
    height_m: float
    height_reference: HeightReference
    words: str
    """Such as `BOAT SHED, wall to the NE, 3.2 m along, 0.3 m off, at the eaves`."""
    mount: str | None = None
    """The mount that is there already; None = a new one is made."""


def perch_at(
    site: Site,
    placed: Placed,
    at: Point,
    reach_m: float,
    *,
    without: str | None = None,
    only: str | None = None,
    take: Take = "free",
) -> Perch | None:
    """Return where something dropped at a point hangs, or None where there is nothing to hang on.

    Parameters
    ----------
    site : Site
        The site.
    placed : Placed
        Where everything of it is.
    at : (x, y)
        Where it is dropped. [m]
    reach_m : float
        How far a pole or a wall may be. [m]
    without : str or None
        A mount that is not to be taken: the one that is being moved.
    only : str or None
        The only structure that is looked at; its distance then does not matter.
    take : str
        Which mounts that are there are taken: those that carry nothing, any, or none.
    """
    mount = None if take == "none" or only is not None else _mount(site, placed, at, reach_m, without, take)
    if mount is not None:
        return mount
    best: tuple[float, Perch] | None = None
    for structure in _near(site, placed, at, reach_m, only):
        found = _on(site, placed, structure, at, reach_m if only is None else math.inf, without)
        if found is not None and (best is None or found[0] < best[0]):
            best = found
    return None if best is None else best[1]


_BOXES: list[tuple[Placed, NDArray[np.float64]]] = []
"""The rectangles round all structures of the site that was asked last."""


def _boxes(site: Site, placed: Placed) -> NDArray[np.float64]:
    """Return x_min, y_min, x_max, y_max of every structure, made once for each value of a site. [m]"""
    if not _BOXES or _BOXES[0][0] is not placed:
        rows = np.full((len(site.design.structures), 4), np.nan)
        for number, structure in enumerate(site.design.structures):
            corners = placed.outlines.get(structure.id)
            foot = placed.points.get(structure.id)
            if corners is not None:
                rows[number] = (*corners.min(axis=0), *corners.max(axis=0))
            elif foot is not None:
                rows[number] = (foot.x_m, foot.y_m, foot.x_m, foot.y_m)
        _BOXES[:] = [(placed, rows)]
    return _BOXES[0][1]


def _near(site: Site, placed: Placed, at: Point, reach_m: float, only: str | None) -> list[Structure]:
    """Return the structures whose rectangle is within reach of a point, or the one that is asked for."""
    structures = site.design.structures
    if only is not None:
        return [structure for structure in structures if structure.id == only]
    rows = _boxes(site, placed)
    with np.errstate(invalid="ignore"):
        near = (rows[:, :2] - reach_m <= at).all(axis=1) & (rows[:, 2:] + reach_m >= at).all(axis=1)
    return [structures[number] for number in np.flatnonzero(near).tolist()]


def _mount(site: Site, placed: Placed, at: Point, reach_m: float, without: str | None, take: Take) -> Perch | None:
    hung: tuple[Radio | Camera, ...] = (*site.design.radios, *site.design.cameras)
    taken = {one.mount for one in hung} if take == "free" else set()
    best: tuple[float, Mount] | None = None
    for mount in site.design.mounts:
        spot = placed.mounts.get(mount.id)
        if spot is None or mount.id in taken or mount.id == without:
            continue
        distance_m = distance_of(at, (spot.x_m, spot.y_m))
        if distance_m <= reach_m and (best is None or distance_m < best[0]):
            best = (distance_m, mount)
    if best is None:
        return None
    mount, spot = best[1], placed.mounts[best[1].id]
    return Perch(
        (spot.x_m, spot.y_m), mount.structure, mount.place, mount.height_m, mount.height_reference,
        f"on mount {mount.title}", mount.id,
    )  # fmt: skip


def _on(
    site: Site, placed: Placed, structure: Structure, at: Point, reach_m: float, without: str | None
) -> tuple[float, Perch] | None:
    if isinstance(structure, Pole | Mast):
        return _on_pole(site, placed, structure, at, reach_m, without)
    if isinstance(structure, Building):
        return _on_building(site, placed, structure, at, reach_m)
    if isinstance(structure, OverheadLine | TrafficArea | TreeStand):
        return None
    return _on_top(site, placed, structure, at)


def _on_pole(
    site: Site, placed: Placed, pole: Pole | Mast, at: Point, reach_m: float, without: str | None
) -> tuple[float, Perch] | None:
    axis = point_of(placed, pole)
    if axis is None:
        return None
    distance_m = distance_of(axis, at)
    if distance_m > reach_m:
        return None
    others = sum(mount.structure == pole.id and mount.id != without for mount in site.design.mounts)
    height_m = round(max(pole.height_m - _UNDER_TOP_M - _APART_M * others, min(1.0, pole.height_m / 2.0)), 3)
    up = f"{length(site, height_m)} up"
    if distance_m < (reach_m / 3.0 if math.isfinite(reach_m) else 0.05):
        place = PolePlace(kind="pole", side_plan_deg=None, stand_off_m=_POLE_STAND_OFF_M)
        return distance_m, Perch(
            axis, pole.id, place, height_m, "ground", f"{pole.title.upper()}, side of its aim, {up}"
        )
    side_deg = round(bearing_of(axis, at) / _SIDE_STEP_DEG) * _SIDE_STEP_DEG % 360.0
    place = PolePlace(kind="pole", side_plan_deg=side_deg, stand_off_m=_POLE_STAND_OFF_M)
    turn = math.radians(side_deg)
    spot = (axis[0] + _POLE_STAND_OFF_M * math.sin(turn), axis[1] + _POLE_STAND_OFF_M * math.cos(turn))
    words = f"{pole.title.upper()}, side {rounding.degrees(side_deg, 0)}, {up}"
    return distance_m, Perch(spot, pole.id, place, height_m, "ground", words)


def _on_building(
    site: Site, placed: Placed, building: Building, at: Point, reach_m: float
) -> tuple[float, Perch] | None:
    corners = outline_of(placed, building.id)
    walls = [wall for number in range(len(corners)) if (wall := _wall(corners, number, at)) is not None]
    if not walls:
        return None
    distance_m, number, along_m, edge_m = min(walls)
    inside = _inside(corners, at)
    if not inside and distance_m > reach_m:
        return None
    if inside and distance_m > reach_m:
        room = room_at(site, placed, building.id, at)
        if room is not None:
            return 0.0, _in_room(site, building, room, at)
        place = RoofPlace(kind="roof", position=PlanePoint(x_m=round(at[0], 3), y_m=round(at[1], 3)))
        words = f"{building.title.upper()}, on the roof, {length(site, _OVER_ROOF_M)} over it"
        return 0.0, Perch(at, building.id, place, _OVER_ROOF_M, "roof", words)
    along_m = round(min(max(along_m, 0.0), edge_m), 3)
    if along_m > LONGEST_ALONG_M:
        return None
    a, b = corners[number], corners[(number + 1) % len(corners)]
    ux, uy = (b[0] - a[0]) / edge_m, (b[1] - a[1]) / edge_m
    outward = (uy, -ux) if counter_clockwise(corners) else (-uy, ux)
    spot = (
        a[0] + ux * along_m + outward[0] * _WALL_STAND_OFF_M,
        a[1] + uy * along_m + outward[1] * _WALL_STAND_OFF_M,
    )
    place_on = EdgePlace(kind="edge", edge=number, along_m=along_m, stand_off_m=_WALL_STAND_OFF_M)
    facing = compass_point(bearing_of((0.0, 0.0), outward))
    words = (
        f"{building.title.upper()}, wall facing {facing}, {length(site, along_m)} along, "
        f"{length(site, _WALL_STAND_OFF_M)} off, at the eaves"
    )
    return distance_m, Perch(spot, building.id, place_on, 0.0, "eaves", words)


def _in_room(site: Site, building: Building, room: Room, at: Point) -> Perch:
    """Return a place under the ceiling of a room."""
    over_floor_m = max(room.ceiling_height_m - _UNDER_CEILING_M, room.ceiling_height_m / 2.0)
    place = PointPlace(kind="point", position=PlanePoint(x_m=round(at[0], 3), y_m=round(at[1], 3)))
    words = f"in {room.title}, {length(site, over_floor_m)} over its floor"
    return Perch(at, building.id, place, round(room.floor_height_m + over_floor_m, 3), "ground", words)


def _on_top(site: Site, placed: Placed, structure: Structure, at: Point) -> tuple[float, Perch] | None:
    corners = outline_of(placed, structure.id)
    if len(corners) < 3 or not _inside(corners, at):
        return None
    place = PointPlace(kind="point", position=PlanePoint(x_m=round(at[0], 3), y_m=round(at[1], 3)))
    words = f"{structure.title.upper()}, {length(site, _OVER_ROOF_M)} over its top"
    return 0.0, Perch(at, structure.id, place, _OVER_ROOF_M, "roof", words)


def _wall(corners: tuple[Point, ...], number: int, at: Point) -> tuple[float, int, float, float] | None:
    """Return distance to a wall, its number, how far along it, its length; None where it has none. [m]"""
    a, b = corners[number], corners[(number + 1) % len(corners)]
    edge_m = distance_of(a, b)
    if edge_m < 1e-6 or not math.isfinite(edge_m):
        return None
    ux, uy = (b[0] - a[0]) / edge_m, (b[1] - a[1]) / edge_m
    along_m = min(max((at[0] - a[0]) * ux + (at[1] - a[1]) * uy, 0.0), edge_m)
    foot = (a[0] + ux * along_m, a[1] + uy * along_m)
    return distance_of(foot, at), number, along_m, edge_m


def _inside(corners: tuple[Point, ...], at: Point) -> bool:
    inside = False
    for (ax, ay), (bx, by) in zip(corners, (*corners[1:], corners[0]), strict=True):
        if (ay > at[1]) != (by > at[1]) and at[0] < (bx - ax) * (at[1] - ay) / (by - ay) + ax:
            inside = not inside
    return inside


def carrier_at(site: Site, placed: Placed, at: Point, reach_m: float) -> Structure | None:
    """Return the structure that a box at a point is in or at: the pole that is near, else the building round it."""
    nearest: tuple[float, Structure] | None = None
    around = _near(site, placed, at, reach_m, None)
    for structure in around:
        axis = point_of(placed, structure) if isinstance(structure, Pole | Mast) else None
        if axis is not None and distance_of(axis, at) <= reach_m:
            distance_m = distance_of(axis, at)
            if nearest is None or distance_m < nearest[0]:
                nearest = (distance_m, structure)
    if nearest is not None:
        return nearest[1]
    for structure in around:
        corners = outline_of(placed, structure.id) if isinstance(structure, Building) else ()
        if len(corners) > 2 and _inside(corners, at):
            return structure
    return None
