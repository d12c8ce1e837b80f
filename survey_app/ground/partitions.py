"""What divides the inside of buildings, as arrays: walls with their openings, floors and ceilings of rooms."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from survey_app.ground._arrays import FloatArray
from survey_app.ground.crossing import area_spans
from survey_app.site.surroundings import Opening, Room, Wall

__all__ = ["Divided", "OpeningState", "Partitions", "partitions"]

IntArray = NDArray[np.int64]

# A wall is drawn along its middle, a room along its inner faces: so far a wall may lie from the room that it bounds.
_BESIDE_M = 0.6


class OpeningState(IntEnum):
    """How a door, gate or window usually stands."""

    OPEN = 0
    CLOSED = 1
    CHANGES = 2


@dataclass(frozen=True)
class Partitions:
    """Walls, openings and rooms of a site's buildings.

    Attributes
    ----------
    wall_ids, opening_ids, room_ids : tuple of str
        Ids, in the order of the arrays.
    start_m, end_m : ndarray of float, shape (pieces, 2)
        Straight pieces of the walls' runs, in order. [m]
    along_m : ndarray of float, shape (pieces,)
        Length of the wall's run up to the piece. [m]
    wall : ndarray of int, shape (pieces,)
        Place of the piece's wall in `wall_ids`.
    bottom_m, top_m : ndarray of float, shape (walls,)
        Over the site datum. [m]
    opening_wall : ndarray of int, shape (openings,)
        Place of the opening's wall in `wall_ids`.
    opening_from_m, opening_to_m : ndarray of float, shape (openings,)
        Along the wall's run. [m]
    opening_bottom_m, opening_top_m : ndarray of float, shape (openings,)
        Over the site datum. [m]
    opening_state : ndarray of int, shape (openings,)
        `OpeningState`.
    corners_m : ndarray of float, shape (corners, 2)
        Corners of the rooms, room after room. [m]
    room_start : ndarray of int, shape (rooms + 1,)
        First corner of each room, and the number of corners.
    floor_m, ceiling_m : ndarray of float, shape (rooms,)
        Over the site datum. [m]
    left_out : tuple of str
        Ids of walls, openings and rooms that have no place: a building that is missing or of no known height, a corner
        in degrees without an anchor, an opening beyond the end of its wall.
    storey_guessed : tuple of str
        Ids of walls that bound rooms on several floors; they are taken to stand on the lowest.
    """

    wall_ids: tuple[str, ...]
    opening_ids: tuple[str, ...]
    room_ids: tuple[str, ...]
    start_m: FloatArray
    end_m: FloatArray
    along_m: FloatArray
    wall: IntArray
    bottom_m: FloatArray
    top_m: FloatArray
    opening_wall: IntArray
    opening_from_m: FloatArray
    opening_to_m: FloatArray
    opening_bottom_m: FloatArray
    opening_top_m: FloatArray
    opening_state: IntArray
    corners_m: FloatArray
    room_start: IntArray
    floor_m: FloatArray
    ceiling_m: FloatArray
    left_out: tuple[str, ...]
    storey_guessed: tuple[str, ...]


class Divided(Protocol):
    """What divides the inside of buildings: a design, or the part of one that lies in a building."""

    @property
    def rooms(self) -> tuple[Room, ...]:
        """Rooms."""

    @property
    def walls(self) -> tuple[Wall, ...]:
        """Inner walls."""

    @property
    def openings(self) -> tuple[Opening, ...]:
        """Openings of those walls."""


def partitions(
    design: Divided, outlines: Mapping[str, FloatArray], feet_m: Mapping[str, float], *, with_later: bool = False
) -> Partitions:
    """Gather what divides the inside of buildings.

    Parameters
    ----------
    design : Divided
        Its walls, openings and rooms; those removed or still to come are not there.
    outlines : mapping of str to ndarray of float, shape (points, 2)
        Runs of walls and outlines of rooms in the plane (`Placed.outlines`). [m]
    feet_m : mapping of str to float
        Foot of each building over the site datum. [m]
    with_later : bool, default False
        Count what is still to come as present.

    Returns
    -------
    Partitions

    Notes
    -----
    A wall of which nobody wrote the floor stands on that of the rooms that it bounds or divides, on the lowest where
    those lie on several, and on the building's foot where it meets none.

    Examples
    --------
    >>> import datetime
    >>> from survey_app.site.site import Design
    >>> partitions(Design(name="Empty yard", as_of=datetime.date(2026, 12, 1)), {}, {}).wall_ids
    ()
    """
    gone = {"removed"} if with_later else {"removed", "later"}
    rooms = [room for room in design.rooms if room.status not in gone and _is_placed(room, outlines, feet_m)]
    walls = [wall for wall in design.walls if wall.status not in gone and _is_placed(wall, outlines, feet_m)]
    row = {wall.id: n for n, wall in enumerate(walls)}
    floors = [_floors_of(wall, rooms, outlines) for wall in walls]
    bottom_m = np.array(
        [feet_m[wall.structure] + min(here, default=0.0) for wall, here in zip(walls, floors, strict=True)], np.float64
    )
    pieces = [outlines[wall.id] for wall in walls]
    lengths_m = [np.hypot(*np.diff(run, axis=0).T) for run in pieces]
    openings = [
        opening
        for opening in design.openings
        if opening.status not in gone and opening.wall in row and _begins(opening) < lengths_m[row[opening.wall]].sum()
    ]
    of_wall = np.array([row[opening.wall] for opening in openings], np.int64)
    corners = [outlines[room.id] for room in rooms]
    floor_m = np.array([feet_m[room.structure] + room.floor_height_m for room in rooms], np.float64)
    there = {thing.id for thing in (*rooms, *walls, *openings)}
    asked: tuple[Room | Wall | Opening, ...] = (*design.rooms, *design.walls, *design.openings)
    return Partitions(
        wall_ids=tuple(row),
        opening_ids=tuple(opening.id for opening in openings),
        room_ids=tuple(room.id for room in rooms),
        start_m=_joined([run[:-1] for run in pieces]),
        end_m=_joined([run[1:] for run in pieces]),
        along_m=np.concatenate([np.zeros(0), *(np.cumsum(one) - one for one in lengths_m)]),
        wall=np.repeat(np.arange(len(walls)), [len(one) for one in lengths_m]).astype(np.int64),
        bottom_m=bottom_m,
        top_m=bottom_m + np.array([wall.height_m for wall in walls], np.float64),
        opening_wall=of_wall,
        opening_from_m=np.array([_begins(opening) for opening in openings], np.float64),
        opening_to_m=np.array([opening.along_m + opening.width_m / 2.0 for opening in openings], np.float64),
        opening_bottom_m=bottom_m[of_wall] + np.array([opening.sill_height_m for opening in openings], np.float64),
        opening_top_m=bottom_m[of_wall] + np.array([opening.height_m for opening in openings], np.float64),
        opening_state=np.array([OpeningState[opening.state.upper()] for opening in openings], np.int64),
        corners_m=_joined(corners),
        room_start=np.cumsum([0, *(len(one) for one in corners)]).astype(np.int64),
        floor_m=floor_m,
        ceiling_m=floor_m + np.array([room.ceiling_height_m for room in rooms], np.float64),
        left_out=tuple(thing.id for thing in asked if thing.status not in gone and thing.id not in there),
        storey_guessed=tuple(wall.id for wall, here in zip(walls, floors, strict=True) if len(here) > 1),
    )


def _is_placed(thing: Room | Wall, outlines: Mapping[str, FloatArray], feet_m: Mapping[str, float]) -> bool:
    run = outlines.get(thing.id)
    return run is not None and bool(np.isfinite(run).all()) and bool(np.isfinite(feet_m.get(thing.structure, np.nan)))


def _begins(opening: Opening) -> float:
    return opening.along_m - opening.width_m / 2.0


def _joined(runs: list[FloatArray]) -> FloatArray:
    return np.concatenate([np.zeros((0, 2)), *runs])


def _floors_of(wall: Wall, rooms: list[Room], outlines: Mapping[str, FloatArray]) -> set[float]:
    """Return the floor that is written of a wall, else those of the rooms beside it."""
    return _floors_beside(wall, rooms, outlines) if wall.floor_height_m is None else {wall.floor_height_m}


def _floors_beside(wall: Wall, rooms: list[Room], outlines: Mapping[str, FloatArray]) -> set[float]:
    """Return the floor heights of the rooms of the wall's building that it goes through or close beside.

    A room counts where that is so for more than a corner's length.
    """
    run = outlines[wall.id]
    low, high = run.min(axis=0) - _BESIDE_M, run.max(axis=0) + _BESIDE_M
    here = [room for room in rooms if room.structure == wall.structure and _reaches(outlines[room.id], low, high)]
    rings = [[outlines[room.id]] for room in here]
    floors: set[float] = set()
    for first, second in itertools.pairwise(run):
        length_m = float(np.hypot(*(second - first)))
        if length_m == 0.0:
            continue
        side = np.array([first[1] - second[1], second[0] - first[0]]) * (_BESIDE_M / length_m)
        for shift in (np.zeros(2), side, -side):
            (ax, ay), (bx, by) = (first + shift).tolist(), (second + shift).tolist()
            spans = area_spans((ax, ay), (bx, by), rings)
            inside_m = np.bincount(spans.thing, spans.leave - spans.enter, minlength=len(here)) * length_m
            enough = np.flatnonzero(inside_m > min(_BESIDE_M, length_m / 2.0)).tolist()
            floors.update(here[n].floor_height_m for n in enough)
    return floors


def _reaches(outline: FloatArray, low: FloatArray, high: FloatArray) -> bool:
    return bool(((outline.max(axis=0) >= low) & (outline.min(axis=0) <= high)).all())
