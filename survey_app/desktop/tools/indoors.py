"""Inside buildings: which building something drawn lies in, on which floor, how high a storey is."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from survey_app.drawing.plat.areas import distance_to_line, inside
from survey_app.drawing.shapes import Point
from survey_app.ground.along_run import nearest_along
from survey_app.ground.place import Placed
from survey_app.site.site import Site
from survey_app.site.structure import Building
from survey_app.site.surroundings import Room

if TYPE_CHECKING:
    from survey_app.desktop.desk import Desk

__all__ = ["WallUnder", "building_of", "floor_in_hand", "room_at", "storey_m", "wall_at"]

_BESIDE_M = 0.6
"""What is drawn so near to the outline of a building is still in it."""


class WallUnder(NamedTuple):
    """A wall that an opening can be put into."""

    wall: str | None
    """An inner wall; None = a side of the building's outline."""
    building: str
    edge: int
    """Number of that side; 0 for an inner wall."""
    run: tuple[Point, ...]
    along_m: float


def building_of(desk: Desk, points: tuple[Point, ...]) -> Building | None:
    """Return the building that all points lie in or at; of several the smallest."""
    found: list[tuple[float, Building]] = []
    for structure in desk.site.design.structures:
        ring = desk.placed.outlines.get(structure.id)
        if not isinstance(structure, Building) or ring is None or not np.isfinite(ring).all():
            continue
        if all(inside(ring, *at) or distance_to_line(ring, True, *at)[0] <= _BESIDE_M for at in points):
            size = ring.max(axis=0) - ring.min(axis=0)
            found.append((float(size[0] * size[1]), structure))
    return min(found, key=lambda row: row[0])[1] if found else None


def storey_m(building: Building) -> float:
    """Return the height of one storey. [m]"""
    return min(max(round(building.eaves_height_m / (building.storeys or 1), 2), 0.1), 100.0)


def floor_in_hand(site: Site, building: str) -> float | None:
    """Return the floor on which was drawn last in a building, over its foot; None where nothing was. [m]"""
    for room in reversed(site.design.rooms):
        if room.structure == building:
            return room.floor_height_m
    walls = [wall for wall in site.design.walls if wall.structure == building and wall.floor_height_m is not None]
    return walls[-1].floor_height_m if walls else None


def room_at(site: Site, placed: Placed, building: str, at: Point) -> Room | None:
    """Return the room of a building round a point; of several over each other the one drawn last."""
    for room in reversed(site.design.rooms):
        ring = placed.outlines.get(room.id)
        if room.structure == building and ring is not None and np.isfinite(ring).all() and inside(ring, *at):
            return room
    return None


def wall_at(desk: Desk, at: Point, reach_m: float) -> WallUnder | None:
    """Return the inner wall under a point, else the side of a building's outline; None where there is neither."""
    found: list[tuple[int, float, WallUnder]] = []
    placed, design = desk.placed, desk.site.design
    for wall in design.walls:
        run = placed.outlines.get(wall.id)
        if run is not None and np.isfinite(run).all():
            near = nearest_along(run, *at)
            points = tuple((float(x), float(y)) for x, y in run)
            place = WallUnder(wall.id, wall.structure, 0, points, near.along_m)
            found.append((0, near.distance_m, place))
    for structure in design.structures:
        ring = placed.outlines.get(structure.id)
        if isinstance(structure, Building) and ring is not None and np.isfinite(ring).all():
            edge = nearest_along(np.concatenate((ring, ring[:1])), *at).piece
            side = np.array((ring[edge], ring[(edge + 1) % len(ring)]))
            near = nearest_along(side, *at)
            points = tuple((float(x), float(y)) for x, y in side)
            place = WallUnder(None, structure.id, edge, points, near.along_m)
            found.append((1, near.distance_m, place))
    within = [row for row in found if row[1] <= reach_m]
    return min(within, key=lambda row: row[:2])[2] if within else None
