"""Move, add and take out corners of outlines and routes; mounts on a building's edges keep their wall."""

from __future__ import annotations

import math
from collections.abc import Callable

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.sharing import Found, find, rebuilt, with_rows
from survey_app.site.edits.things import change
from survey_app.site.place import EdgePlace, PlanePoint, Position
from survey_app.site.record import Record
from survey_app.site.site import Site
from survey_app.site.structure import Building

__all__ = ["insert_corner", "move_corner", "remove_corner"]


def _corners(found: Found) -> tuple[str, tuple[Position, ...]]:
    for name in ("outline", "route"):
        if name in type(found.thing).model_fields:
            return name, getattr(found.thing, name)
    raise UsageError("it has no corners", where=found.title, remedy="move it as a whole")


def _check(corner: int, count: int, title: str) -> None:
    if not 0 <= corner < count:
        raise UsageError(f"there is no corner {corner}, they are numbered 0 to {count - 1}", where=title)


def move_corner(site: Site, thing_id: str, corner: int, position: Position) -> Edit:
    """Move one corner of an outline or route."""
    found = find(site, thing_id)
    name, corners = _corners(found)
    _check(corner, len(corners), found.title)
    edit = change(site, thing_id, **{name: (*corners[:corner], position, *corners[corner + 1 :])})
    return edit._replace(label=f"Move corner of {found.title}", merge_key=f"{edit.merge_key} {corner}")


def insert_corner(site: Site, thing_id: str, before: int, position: Position) -> Edit:
    """Put a new corner into an outline or route, before the corner of that number.

    Mounts stay on their wall: those on later edges are renumbered, those on the edge that is parted go to its half.

    Raises
    ------
    UsageError
        A mount is on the edge that is parted, and the corners are not given in metres of the plane.
    """
    found = find(site, thing_id)
    name, corners = _corners(found)
    _check(before, len(corners) + 1, found.title)
    new = (*corners[:before], position, *corners[before:])
    parted = (before - 1) % len(corners)

    def follow(place: EdgePlace) -> tuple[int, float]:
        later = place.edge + (1 if place.edge >= before else 0)
        if place.edge != parted:
            return later, place.along_m
        start = corners[parted]
        if not (isinstance(start, PlanePoint) and isinstance(position, PlanePoint)):
            raise UsageError("a mount is on that edge, and its corners are not in metres of the plane")
        first_m = math.hypot(position.x_m - start.x_m, position.y_m - start.y_m)
        if place.along_m <= first_m:
            return later, place.along_m
        return (later + 1) % len(new), place.along_m - first_m

    return _with_corners(site, found, name, new, follow, f"Add corner to {found.title}")


def remove_corner(site: Site, thing_id: str, corner: int) -> Edit:
    """Take a corner out of an outline or route; mounts on later edges are renumbered.

    Raises
    ------
    UsageError
        A mount is on one of the two edges that meet there, or too few corners would be left.
    """
    found = find(site, thing_id)
    name, corners = _corners(found)
    _check(corner, len(corners), found.title)
    joined = ((corner - 1) % len(corners), corner)

    def follow(place: EdgePlace) -> tuple[int, float]:
        if place.edge in joined:
            raise UsageError("a mount is on an edge that ends there", where=found.title, remedy="move the mount first")
        return place.edge - (1 if place.edge > corner else 0), place.along_m

    new = (*corners[:corner], *corners[corner + 1 :])
    return _with_corners(site, found, name, new, follow, f"Remove corner of {found.title}")


def _with_corners(
    site: Site,
    found: Found,
    name: str,
    corners: tuple[Position, ...],
    follow: Callable[[EdgePlace], tuple[int, float]],
    label: str,
) -> Edit:
    thing = rebuilt(found.thing, found.title, **{name: corners})
    after = with_rows(site, "design", found.collection.name, put={found.number: thing})
    touched = [thing.id]
    put: dict[int, Record] = {}
    for number, mount in enumerate(site.design.mounts if isinstance(thing, Building) else ()):
        if mount.structure == thing.id and isinstance(mount.place, EdgePlace):
            edge, along_m = follow(mount.place)
            row = rebuilt(mount, mount.id, place=rebuilt(mount.place, mount.id, edge=edge, along_m=along_m))
            if row is not mount:
                put[number] = row
                touched.append(row.id)
    if put:
        after = with_rows(after, "design", "mounts", put=put)
    return finished(label, site, after, tuple(touched), following=touched[1:])
