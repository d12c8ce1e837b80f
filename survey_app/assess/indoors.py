"""What stands inside a building and round it, as makes that rays go through: walls, doors, floors, ceilings, roof."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from survey_app.assess.record import WallKind
from survey_app.ground.indoors import IndoorCrossings, Met, indoor_crossings
from survey_app.ground.partitions import OpeningState, Partitions, partitions
from survey_app.ground.shell import Shell, shell_crossings
from survey_app.physics.arrays import BoolArray, FloatArray
from survey_app.physics.building_entry import BuildingKind
from survey_app.physics.construction import Construction, construction, inner_wall, outer_wall
from survey_app.physics.indoor import IndoorPlace
from survey_app.site.structure import Building
from survey_app.site.surroundings import Opening, Room, Wall

__all__ = ["Indoors", "Inside", "Make", "WaysThrough", "indoors_of", "inside_by_building", "ways_through"]

IntArray = NDArray[np.int64]

# A wall drawn along the outline, so near to where the ray leaves the building and so parallel, is the outer wall there.
_SAME_WALL_M = 0.6
_SAME_WALL_DEG = 5.0
_SLAB_M = 1e-3
_FLOORS = {"concrete": "floor-concrete", "timber": "floor-timber", "unknown": "floor-unknown"}
# metal keeps out as efficient buildings do; glass may be coated, and what nobody knows may be anything
_ENTRY: Mapping[str, tuple[BuildingKind, BuildingKind]] = {
    "sheet_metal": ("efficient", "efficient"),
    "insulated": ("efficient", "efficient"),
    "glass": ("traditional", "efficient"),
    "unknown": ("traditional", "efficient"),
}
_OPENINGS = {
    "timber": "door-timber",
    "hollow": "door-hollow",
    "glass": "door-glazed",
    "glazing": "glazing-unknown",
    "glazing_double": "glazing-double",
    "glazing_double_coated": "glazing-double-coated",
    "steel": "door-steel",
    "roller": "door-roller",
    "unknown": "door-unknown",
}


class Inside(NamedTuple):
    """Records of what divides a building, with the corners of rooms and runs of walls on the plane. [m]"""

    rooms: tuple[Room, ...] = ()
    walls: tuple[Wall, ...] = ()
    openings: tuple[Opening, ...] = ()
    outlines: tuple[FloatArray, ...] = ()
    """Of the rooms and then of the walls, shape (points, 2) each. [m]"""
    with_later: bool = False
    """Whether what is still to come counts as present."""


class Make(NamedTuple):
    """One thing that a ray may go through."""

    thing: str
    kind: WallKind
    made: Construction
    known: bool
    """Whether somebody wrote down what it is made of."""


@dataclass(frozen=True)
class Indoors:
    """A building from within.

    Attributes
    ----------
    building : str
        Its id.
    place : {"office", "corridor", "industrial"}
        What is usual inside.
    shell : Shell
        Outer walls and roof.
    inside : Partitions
        What divides it.
    makes : tuple of Make
        Everything that a ray may go through: inner walls, openings, floors, ceilings, then the outer wall, the roof and
        the floors between storeys of which no room is drawn.
    slabs_m : ndarray of float, shape (slabs,)
        Those floors over the site datum. [m]
    entry : tuple of str
        Kinds of building, of [P2109]_, that it may be: what loses least, and what loses most.
    """

    building: str
    place: IndoorPlace
    shell: Shell
    inside: Partitions
    makes: tuple[Make, ...]
    slabs_m: FloatArray
    entry: tuple[BuildingKind, BuildingKind]


class WaysThrough(NamedTuple):
    """What rays go through, ray after ray and along each; arrays of one shape (n,).

    Attributes
    ----------
    ray : ndarray of int
        Place of the ray in what was asked.
    make : ndarray of int
        Place in `Indoors.makes`.
    along : ndarray of float
        Part of the ray's length. [1]
    incidence_deg : ndarray of float
        Angle between the ray and the square to what it goes through, 0 to 90. [deg]
    opens : ndarray of bool
        A door, gate or window that is now open and now closed.
    """

    ray: IntArray
    make: IntArray
    along: FloatArray
    incidence_deg: FloatArray
    opens: BoolArray

    def taken(self, which: BoolArray) -> WaysThrough:
        """Return those only."""
        return self.at(np.flatnonzero(which))

    def at(self, which: IntArray) -> WaysThrough:
        """Return those at some places, in that order."""
        return WaysThrough(
            self.ray[which], self.make[which], self.along[which], self.incidence_deg[which], self.opens[which]
        )


def indoors_of(building: Building, foot_m: float, shell: Shell, within: Inside) -> Indoors:
    """Return a building from within.

    Parameters
    ----------
    building : Building
        Its record.
    foot_m : float
        Its foot over the site datum. [m]
    shell : Shell
        Its outside.
    within : Inside
        What divides it.
    """
    names = [thing.id for thing in (*within.rooms, *within.walls)]
    outlines = dict(zip(names, within.outlines, strict=True))
    inside = partitions(within, outlines, {building.id: foot_m}, with_later=within.with_later)
    rooms, walls = {one.id: one for one in within.rooms}, {one.id: one for one in within.walls}
    openings = {one.id: one for one in within.openings}
    slabs_m = _slabs_m(building, foot_m, inside)
    makes = [
        *(_wall(walls[key]) for key in inside.wall_ids),
        *(_opening(openings[key]) for key in inside.opening_ids),
        *(_floor(rooms[key]) for key in inside.room_ids),
        *(Make(key, "ceiling", construction("ceiling-board"), True) for key in inside.room_ids),
        Make(building.id, "outer_wall", outer_wall(building.wall), building.wall != "unknown"),
        Make(building.id, "roof", construction("roof-unknown"), False),
        Make(building.id, "floor", construction("floor-unknown"), False),
    ]
    entry = _ENTRY.get(building.wall, ("traditional", "traditional"))
    return Indoors(building.id, building.use, shell, inside, tuple(makes), slabs_m, entry)


def _wall(wall: Wall) -> Make:
    if wall.construction is not None:
        return Make(wall.id, "wall", construction(wall.construction.replace("_", "-")), True)
    return Make(wall.id, "wall", inner_wall(wall.material, wall.thickness_mm), wall.material != "unknown")


def _opening(opening: Opening) -> Make:
    return Make(opening.id, "opening", construction(_OPENINGS[opening.material]), opening.material != "unknown")


def _floor(room: Room) -> Make:
    return Make(room.id, "floor", construction(_FLOORS[room.floor]), room.floor != "unknown")


def _slabs_m(building: Building, foot_m: float, inside: Partitions) -> FloatArray:
    """Return the floors between storeys of a building in which no room is drawn; none where rooms are."""
    storeys = building.storeys or 1
    if inside.room_ids or storeys < 2:
        return np.zeros(0)
    return foot_m + building.eaves_height_m / storeys * np.arange(1, storeys, dtype=np.float64)


def ways_through(indoors: Indoors, start_m: FloatArray, end_m: FloatArray) -> WaysThrough:
    """Return what straight rays go through inside a building and at its outside; what stands open is left out.

    Parameters
    ----------
    indoors : Indoors
        The building.
    start_m, end_m : ndarray of float, shape (rays, 3)
        Ends of the rays: x, y, height over the site datum. [m]

    Notes
    -----
    A wall drawn along the outline of the building, with its openings, stands for the outer wall there.
    """
    inside = indoors.inside
    met = indoor_crossings(inside, start_m, end_m)
    state = inside.opening_state
    door = met.met == Met.OPENING
    stands = np.ones(len(met), bool)
    stands[door] = state[met.thing[door]] != OpeningState.OPEN
    opens = np.zeros(len(met), bool)
    opens[door] = state[met.thing[door]] == OpeningState.CHANGES
    first = np.cumsum([0, len(inside.wall_ids), len(inside.opening_ids), len(inside.room_ids)])
    outer = first[-1] + len(inside.room_ids)
    inner = WaysThrough(met.ray, met.thing + first[met.met], met.along, met.incidence_deg, opens)
    shell = shell_crossings(indoors.shell, start_m, end_m)
    length_m = np.sqrt(np.sum(np.square(end_m - start_m), axis=1))
    drawn = _drawn_as_wall(shell.ray, shell.along, shell.incidence_deg, met, length_m) & ~shell.roof
    outside = WaysThrough(
        shell.ray, outer + shell.roof.astype(np.int64), shell.along, shell.incidence_deg, np.zeros(len(shell.ray), bool)
    )
    return _ordered([inner.taken(stands), outside.taken(~drawn), _storeys(indoors, start_m, end_m, outer + 2)])


def _drawn_as_wall(
    ray: IntArray, along: FloatArray, incidence_deg: FloatArray, met: IndoorCrossings, length_m: FloatArray
) -> BoolArray:
    """Return which ways through the outer wall are those through a wall or opening that is drawn along it."""
    drawn = np.zeros(len(ray), bool)
    if not len(ray):
        return drawn
    upright = np.flatnonzero((met.met == Met.WALL) | (met.met == Met.OPENING))
    for n in upright.tolist():
        near = (ray == met.ray[n]) & (np.abs(along - met.along[n]) * length_m[ray] <= _SAME_WALL_M)
        drawn |= near & (np.abs(incidence_deg - met.incidence_deg[n]) <= _SAME_WALL_DEG)
    return drawn


def _storeys(indoors: Indoors, start_m: FloatArray, end_m: FloatArray, make: int) -> WaysThrough:
    """Return the ways through floors between storeys of which no room is drawn."""
    parts = [_none()]
    rise_m = end_m[:, 2] - start_m[:, 2]
    length_m = np.sqrt(np.sum(np.square(end_m - start_m), axis=1))
    for level_m in indoors.slabs_m.tolist():
        with np.errstate(divide="ignore", invalid="ignore"):
            along = np.where(rise_m != 0.0, (level_m - start_m[:, 2]) / rise_m, np.nan)
        ray: IntArray = np.flatnonzero((along * np.abs(rise_m) > _SLAB_M) & ((1.0 - along) * np.abs(rise_m) > _SLAB_M))
        angle_deg = np.rad2deg(np.arccos(np.clip(np.abs(rise_m[ray]) / length_m[ray], 0.0, 1.0)))
        parts.append(_of_one(ray, make, along[ray], angle_deg))
    return _joined(parts)


def _of_one(ray: IntArray, make: int, along: FloatArray, incidence_deg: FloatArray) -> WaysThrough:
    """Return ways through one thing that never opens."""
    return WaysThrough(
        ray.astype(np.int64), np.full(len(ray), make, np.int64), along, incidence_deg, np.zeros(len(ray), bool)
    )


def _none() -> WaysThrough:
    return _of_one(np.zeros(0, np.int64), 0, np.zeros(0), np.zeros(0))


def _joined(parts: Sequence[WaysThrough]) -> WaysThrough:
    return WaysThrough(
        np.concatenate([part.ray for part in parts]),
        np.concatenate([part.make for part in parts]),
        np.concatenate([part.along for part in parts]),
        np.concatenate([part.incidence_deg for part in parts]),
        np.concatenate([part.opens for part in parts]),
    )


def _ordered(parts: Sequence[WaysThrough]) -> WaysThrough:
    whole = _joined(parts)
    return whole.at(np.lexsort((whole.make, whole.along, whole.ray)))


def inside_by_building(
    rooms: Sequence[Room],
    walls: Sequence[Wall],
    openings: Sequence[Opening],
    outlines: Mapping[str, FloatArray],
    *,
    with_later: bool = False,
) -> dict[str, Inside]:
    """Return what divides each building that anything is drawn in, by its id.

    Parameters
    ----------
    rooms, walls, openings : sequence of Room, Wall, Opening
        Of the design.
    outlines : mapping of str to ndarray of float, shape (points, 2)
        Corners of rooms and runs of walls on the plane (`Placed.outlines`). [m]
    with_later : bool, default False
        Whether what is still to come counts as present.
    """
    nowhere = np.full((2, 2), np.nan)
    of_wall: dict[str, list[Opening]] = {}
    for opening in openings:
        of_wall.setdefault(opening.wall, []).append(opening)
    mine: dict[str, tuple[list[Room], list[Wall]]] = {}
    for room in rooms:
        mine.setdefault(room.structure, ([], []))[0].append(room)
    for wall in walls:
        mine.setdefault(wall.structure, ([], []))[1].append(wall)
    return {
        key: Inside(
            tuple(inner_rooms),
            tuple(inner_walls),
            tuple(opening for wall in inner_walls for opening in of_wall.get(wall.id, ())),
            tuple(outlines.get(thing.id, nowhere) for thing in (*inner_rooms, *inner_walls)),
            with_later,
        )
        for key, (inner_rooms, inner_walls) in mine.items()
    }
