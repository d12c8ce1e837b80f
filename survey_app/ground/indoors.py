"""What straight rays cross inside buildings: walls, doors, floors and ceilings, where, and at which angle."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from survey_app.ground._arrays import FloatArray, broadcast
from survey_app.ground.partitions import OpeningState, Partitions

__all__ = ["IndoorCrossings", "Met", "indoor_crossings", "standing"]

IntArray = NDArray[np.int64]
BoolArray = NDArray[np.bool_]

# What lies nearer to an end than this is what the end hangs on or stands on.
_OWN_M = 1e-3
_NO_WAY_M = 1e-9  # a ray that moves less than this on the plan is upright
# A ceiling and the floor of the room above are one slab where no more than this lies between them.
_VOID_M = 1.5
_LEVEL_M = 1e-3  # floors of rooms that lie over each other on the plan within this are one
# Rooms are drawn along their inner faces, and the slab goes on between them: so far beyond each.
_HALF_WALL_M = 0.15
_PAIRS = 1_000_000  # so many pairs of ray and piece are looked at together


class Met(IntEnum):
    """What a ray crosses."""

    WALL = 0
    OPENING = 1
    FLOOR = 2
    CEILING = 3


@dataclass(frozen=True)
class IndoorCrossings:
    """What rays cross, ray after ray and along each.

    Attributes
    ----------
    ray : ndarray of int, shape (n,)
        Place of the ray in what was asked.
    met : ndarray of int, shape (n,)
        `Met`.
    thing : ndarray of int, shape (n,)
        Place in `wall_ids`, `opening_ids` or `room_ids` of the partitions: of a floor the room above it, of a ceiling
        the room below.
    along : ndarray of float, shape (n,)
        Part of the ray's length, over 0 and under 1. [1]
    incidence_deg : ndarray of float, shape (n,)
        Angle between the ray and the square to what it crosses, 0 to 90. [deg]
    """

    ray: IntArray
    met: IntArray
    thing: IntArray
    along: FloatArray
    incidence_deg: FloatArray

    def __len__(self) -> int:
        return len(self.ray)

    def taken(self, which: BoolArray) -> IndoorCrossings:
        """Return those crossings only."""
        return IndoorCrossings(
            self.ray[which], self.met[which], self.thing[which], self.along[which], self.incidence_deg[which]
        )


def indoor_crossings(inside: Partitions, start_m: ArrayLike, end_m: ArrayLike) -> IndoorCrossings:
    """Return what straight rays cross inside buildings.

    Parameters
    ----------
    inside : Partitions
        What divides the inside.
    start_m, end_m : array_like of float, shape (rays, 3)
        Ends of the rays: x, y, and height over the site datum. [m]

    Returns
    -------
    IndoorCrossings
        A ray with a NaN crosses nothing.

    Raises
    ------
    ValueError
        The ends are not triples or their numbers differ.

    Notes
    -----
    Walls and floors have no thickness here. What lies within a millimetre of an end does not count: a radio hangs on
    its wall. A wall is crossed where the ray passes from one side of its run to the other between its foot and its
    top; a corner belongs to one of the pieces that meet there, so that it is met once. A ray that runs in the plane of
    a wall or floor does not cross it. A ceiling followed by the floor of the room above within 1.5 m is one slab and
    counts as that floor. Floors and ceilings reach 0.15 m beyond their rooms, so that no ray slips through between two
    rooms. Of openings that overlap, the first counts.
    """
    start, end = broadcast(start_m, end_m)
    if start.ndim != 2 or start.shape[1] != 3:
        raise ValueError(f"ends have the shape {start.shape}, (rays, 3) is needed")
    parts = [_empty()]
    for first, last in _slices(len(start), max(len(inside.wall), len(inside.corners_m), 1)):
        here = start[first:last], end[first:last]
        parts += [_shifted(found, first) for found in (_walls(inside, *here), _levels(inside, *here))]
    return _ordered(_merged_slabs(inside, start, end, _ordered(_concatenated(parts))))


def standing(
    inside: Partitions, crossings: IndoorCrossings, changing: Literal["open", "closed"] = "closed"
) -> BoolArray:
    """Return which crossings are met by something that stands in the way.

    Parameters
    ----------
    inside : Partitions
        What the crossings were found in.
    crossings : IndoorCrossings
        From `indoor_crossings`.
    changing : {"open", "closed"}, default "closed"
        How doors stand that are now open and now closed.

    Returns
    -------
    ndarray of bool, shape (n,)
        Walls, floors and ceilings always; an opening where it is closed.

    Raises
    ------
    ValueError
        `changing` is neither.
    """
    if changing not in ("open", "closed"):
        raise ValueError(f"changing is {changing!r}, 'open' or 'closed' is needed")
    stands = np.asarray(crossings.met != Met.OPENING)
    state = inside.opening_state[crossings.thing[~stands]]
    closed = state == OpeningState.CLOSED
    if changing == "closed":
        closed |= state == OpeningState.CHANGES
    result: BoolArray = stands.copy()
    result[~stands] = closed
    return result


def _slices(rays: int, things: int) -> Iterator[tuple[int, int]]:
    step = max(1, _PAIRS // things)
    for first in range(0, rays, step):
        yield first, min(first + step, rays)


def _walls(inside: Partitions, start: FloatArray, end: FloatArray) -> IndoorCrossings:
    """Return crossings of walls and openings."""
    direction = end - start
    flat = direction[:, None, :2]
    # from the ray's start, so that far from the origin the corners keep their digits
    a, b = inside.start_m[None] - start[:, None, :2], inside.end_m[None] - start[:, None, :2]
    side_a, side_b = _cross(flat, a), _cross(flat, b)
    moves = np.sum(np.square(direction[:, :2]), axis=1) > _NO_WAY_M * _NO_WAY_M
    ray, piece = np.nonzero(((side_a >= 0.0) != (side_b >= 0.0)) & moves[:, None])
    side_a, side_b = side_a[ray, piece], side_b[ray, piece]
    part = side_a / (side_a - side_b)
    run = inside.end_m[piece] - inside.start_m[piece]
    met_m = a[ray, piece] + part[:, None] * run
    towards = direction[ray]
    along = np.sum(met_m * towards[:, :2], axis=1) / np.sum(np.square(towards[:, :2]), axis=1)
    height_m = start[ray, 2] + along * towards[:, 2]
    wall, length_m = inside.wall[piece], np.sqrt(np.sum(np.square(towards), axis=1))
    hit = _between(along, length_m) & (height_m >= inside.bottom_m[wall]) & (height_m <= inside.top_m[wall])
    ray, wall, along, height_m = ray[hit], wall[hit], along[hit], height_m[hit]
    towards, run, length_m = towards[hit], run[hit], length_m[hit]
    run_m = np.sqrt(np.sum(np.square(run), axis=1))
    cosine = np.abs(_cross(towards[:, :2], run)) / (run_m * length_m)
    at_m = inside.along_m[piece[hit]] + part[hit] * run_m
    opening = _opening_at(inside, wall, at_m, height_m)
    return IndoorCrossings(
        ray,
        np.where(opening >= 0, int(Met.OPENING), int(Met.WALL)),
        np.where(opening >= 0, opening, wall),
        along,
        _angle_deg(cosine),
    )


def _opening_at(inside: Partitions, wall: IntArray, at_m: FloatArray, height_m: FloatArray) -> IntArray:
    """Return the opening of each crossing of a wall, -1 where there is none."""
    order = np.argsort(inside.opening_wall, kind="stable")
    count = np.bincount(inside.opening_wall, minlength=len(inside.wall_ids))
    first = np.cumsum(count) - count
    found = np.full(len(wall), -1, np.int64)
    for n in reversed(range(int(count.max(initial=0)))):
        has = np.flatnonzero(count[wall] > n)
        one = order[first[wall[has]] + n]
        here = (
            (at_m[has] >= inside.opening_from_m[one])
            & (at_m[has] <= inside.opening_to_m[one])
            & (height_m[has] >= inside.opening_bottom_m[one])
            & (height_m[has] <= inside.opening_top_m[one])
        )
        found[has[here]] = one[here]
    return found


def _levels(inside: Partitions, start: FloatArray, end: FloatArray) -> IndoorCrossings:
    """Return crossings of the floors and the ceilings of rooms."""
    rise_m = end[:, 2] - start[:, 2]
    length_m = np.sqrt(np.sum(np.square(end - start), axis=1))
    parts = [_empty()]
    for met, level_m in ((Met.FLOOR, inside.floor_m), (Met.CEILING, inside.ceiling_m)):
        under = level_m[None] - start[:, 2, None]
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            along = np.where(rise_m[:, None] != 0.0, under / rise_m[:, None], np.nan)
        ray, room = np.nonzero(_between(along, length_m[:, None]))
        along = along[ray, room]
        inner = _in_rooms(inside, room, start[ray, :2] + along[:, None] * (end - start)[ray, :2])
        ray, room, along = ray[inner], room[inner], along[inner]
        cosine = np.abs(rise_m[ray]) / length_m[ray]
        parts.append(IndoorCrossings(ray, np.full(len(ray), int(met)), room, along, _angle_deg(cosine)))
    return _concatenated(parts)


def _in_rooms(inside: Partitions, room: IntArray, point: FloatArray) -> BoolArray:
    """Return which points lie in their room or within half a wall of it."""
    result = np.zeros(len(room), bool)
    for n in range(len(inside.room_ids)):
        ring = inside.corners_m[inside.room_start[n] : inside.room_start[n + 1]]
        low, high = ring.min(axis=0) - _HALF_WALL_M, ring.max(axis=0) + _HALF_WALL_M
        here = np.flatnonzero(room == n)
        here = here[((point[here] >= low) & (point[here] <= high)).all(axis=1)]
        if len(here):
            result[here] = _inside_ring(ring, point[here]) | _beside_ring(ring, point[here])
    return result


def _inside_ring(ring: FloatArray, point: FloatArray) -> BoolArray:
    """Return which points an odd number of a ring's edges lies to the right of."""
    a = ring[None] - point[:, None]
    b = np.roll(ring, -1, axis=0)[None] - point[:, None]
    over = (a[..., 1] >= 0.0) != (b[..., 1] >= 0.0)
    right = np.where(b[..., 1] > a[..., 1], _cross(a, b) > 0.0, _cross(a, b) < 0.0)
    return np.asarray(np.count_nonzero(over & right, axis=1) % 2 == 1)


def _beside_ring(ring: FloatArray, point: FloatArray) -> BoolArray:
    """Return which points are within half a wall of a ring's edges: the slab goes on under the walls."""
    a, run = ring[None] - point[:, None], (np.roll(ring, -1, axis=0) - ring)[None]
    length_2 = np.sum(np.square(run), axis=-1)
    part = np.clip(0.0 - np.sum(a * run, axis=-1) / np.where(length_2 > 0.0, length_2, 1.0), 0.0, 1.0)
    away_2 = np.sum(np.square(a + part[..., None] * run), axis=-1)
    return np.asarray(np.any(away_2 <= _HALF_WALL_M * _HALF_WALL_M, axis=1))


def _merged_slabs(inside: Partitions, start: FloatArray, end: FloatArray, found: IndoorCrossings) -> IndoorCrossings:
    """Return the crossings with each ceiling that is the underside of the next floor, and each repeat, left out."""
    level = (found.met == Met.FLOOR) | (found.met == Met.CEILING)
    at = np.flatnonzero(level)
    if len(at) < 2:
        return found
    rising = end[found.ray[at], 2] > start[found.ray[at], 2]
    ceiling = found.met[at] == Met.CEILING
    height_m = np.where(ceiling, inside.ceiling_m[found.thing[at]], inside.floor_m[found.thing[at]])
    drop = np.zeros(len(at), bool)
    drop[1:] = _next_to(found.ray[at], height_m, _LEVEL_M) & (ceiling[1:] == ceiling[:-1])
    kept = np.flatnonzero(~drop)
    ceiling, rising, height_m, ray = ceiling[kept], rising[kept], height_m[kept], found.ray[at[kept]]
    # out through a ceiling and in through a floor, in the ray's order; at one height the order says nothing
    pair = ceiling[1:] != ceiling[:-1]
    out_first = ceiling[:-1] == rising[1:]
    slab = pair & (_next_to(ray, height_m, _VOID_M) & out_first | _next_to(ray, height_m, _LEVEL_M))
    drop[kept[:-1][slab & ceiling[:-1]]] = True
    drop[kept[1:][slab & ceiling[1:]]] = True
    keep = np.ones(len(found), bool)
    keep[at[drop]] = False
    return found.taken(keep)


def _next_to(ray: IntArray, height_m: FloatArray, within_m: float) -> BoolArray:
    """Return which crossings are of the same ray as the one before, and no further from it in height."""
    return np.asarray((ray[1:] == ray[:-1]) & (np.abs(np.diff(height_m)) <= within_m))


def _between(along: FloatArray, length_m: FloatArray) -> BoolArray:
    return np.asarray((along * length_m > _OWN_M) & ((1.0 - along) * length_m > _OWN_M))


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])


def _angle_deg(cosine: FloatArray) -> FloatArray:
    return np.rad2deg(np.arccos(np.clip(cosine, 0.0, 1.0)))


def _empty() -> IndoorCrossings:
    nothing = np.empty(0, np.int64)
    return IndoorCrossings(nothing, nothing, nothing, np.empty(0), np.empty(0))


def _shifted(found: IndoorCrossings, rays: int) -> IndoorCrossings:
    return IndoorCrossings(found.ray + rays, found.met, found.thing, found.along, found.incidence_deg)


def _concatenated(parts: list[IndoorCrossings]) -> IndoorCrossings:
    return IndoorCrossings(
        np.concatenate([one.ray for one in parts]).astype(np.int64),
        np.concatenate([one.met for one in parts]).astype(np.int64),
        np.concatenate([one.thing for one in parts]).astype(np.int64),
        np.concatenate([one.along for one in parts]),
        np.concatenate([one.incidence_deg for one in parts]),
    )


def _ordered(found: IndoorCrossings) -> IndoorCrossings:
    order = np.lexsort((found.thing, found.met, found.along, found.ray))
    return IndoorCrossings(
        found.ray[order], found.met[order], found.thing[order], found.along[order], found.incidence_deg[order]
    )
