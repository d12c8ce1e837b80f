"""Move one edge of an outline parallel to itself; its neighbours grow or shrink, mounts stay where they are."""

from __future__ import annotations

import math
from collections.abc import Iterator

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.naming import length_words
from survey_app.site.edits.sharing import Found, find, rebuilt, with_rows
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace, PlanePoint
from survey_app.site.record import Record
from survey_app.site.site import Site
from survey_app.site.structure import Building

__all__ = ["move_edge"]

_XY = tuple[float, float]
_PARALLEL = 1e-3
_SLACK_M = 1e-6


def move_edge(site: Site, thing_id: str, edge: int, offset_m: float) -> Edit:
    """Move an edge of an outline out or in, parallel to itself.

    Its ends run along the lines of the neighbouring edges, so that all directions stay; where a neighbour runs on in
    the same direction, the end moves square to the edge. Mounts on the edge move with it, those on the neighbours stay
    at their place of the wall.

    Parameters
    ----------
    site : Site
        The site.
    thing_id : str
        What has the outline: a building, a zone, water.
    edge : int
        From this corner to the next.
    offset_m : float
        Outwards; negative inwards. [m]

    Raises
    ------
    UsageError
        It has no outline or no such edge, corners are in degrees, the outline would turn inside out, a mount would be
        left beside its wall, or it is locked.
    """
    found = find(site, thing_id)
    label = f"Move edge of {found.title} by {length_words(abs(offset_m), site)}"
    old = _corners(found, label)
    if not 0 <= edge < len(old):
        raise UsageError(f"there is no edge {edge}, they are numbered 0 to {len(old) - 1}", where=found.title)
    new = _moved(old, edge, offset_m, label)
    outline = tuple(
        rebuilt(point, label, x_m=x, y_m=y)
        for point, (x, y) in zip(getattr(found.thing, "outline"), new, strict=True)  # noqa: B009 - checked above
    )
    thing = rebuilt(found.thing, found.title, outline=outline)
    key = f"edge {edge} of {thing_id}"
    if thing is found.thing:
        return Edit(label, site, site, (), merge_key=key)
    after = with_rows(site, "design", found.collection.name, put={found.number: thing})
    put = dict(_following(site, found, old, new, edge, label)) if isinstance(thing, Building) else {}
    if put:
        after = with_rows(after, "design", "mounts", put=put)
    touched = (thing_id, *(mount.id for mount in put.values()))
    return finished(label, site, after, touched, merge_key=key, following=touched[1:])


def _corners(found: Found, label: str) -> list[_XY]:
    outline = getattr(found.thing, "outline", None)
    if outline is None:
        raise UsageError("it has no outline", where=found.title)
    corners = [(point.x_m, point.y_m) for point in outline if isinstance(point, PlanePoint)]
    if len(corners) < len(outline):
        raise UsageError(
            "its corners are given by latitude and longitude", where=label, remedy="write them in metres first"
        )
    return corners


def _area(corners: list[_XY]) -> float:
    x0, y0 = corners[0]
    return sum(
        (p[0] - x0) * (q[1] - y0) - (q[0] - x0) * (p[1] - y0)
        for p, q in zip(corners, corners[1:] + corners[:1], strict=True)
    )


def _unit(a: _XY, b: _XY, label: str) -> _XY:
    length_m = math.dist(a, b)
    if length_m == 0:
        raise UsageError("two corners there are the same point", where=label, remedy="take one of them out first")
    return (b[0] - a[0]) / length_m, (b[1] - a[1]) / length_m


def _moved(old: list[_XY], edge: int, offset_m: float, label: str) -> list[_XY]:
    count = len(old)
    a, b = edge, (edge + 1) % count
    ux, uy = _unit(old[a], old[b], label)
    side = 1.0 if _area(old) > 0 else -1.0
    nx, ny = uy * side, -ux * side
    new = list(old)
    for corner, beyond in ((a, (a - 1) % count), (b, (b + 1) % count)):
        vx, vy = _unit(old[beyond], old[corner], label)
        across = vx * nx + vy * ny
        # along the neighbour's line until the offset is reached, or square to the edge where the neighbour runs on
        wx, wy = (vx / across, vy / across) if abs(across) > _PARALLEL else (nx, ny)
        new[corner] = (old[corner][0] + wx * offset_m, old[corner][1] + wy * offset_m)
    for first in (a - 1, a, b):
        p, q = old[first % count], old[(first + 1) % count]
        r, s = new[first % count], new[(first + 1) % count]
        if (q[0] - p[0]) * (s[0] - r[0]) + (q[1] - p[1]) * (s[1] - r[1]) <= 0:
            raise UsageError("the outline would turn inside out", where=label, remedy="move it less far")
    return new


def _following(
    site: Site, found: Found, old: list[_XY], new: list[_XY], edge: int, label: str
) -> Iterator[tuple[int, Mount]]:
    count = len(old)
    for number, mount in enumerate(site.design.mounts):
        place = mount.place
        if mount.structure != found.thing.id or not isinstance(place, EdgePlace):
            continue
        if place.edge not in ((edge - 1) % count, edge, (edge + 1) % count):
            continue
        start, end = place.edge, (place.edge + 1) % count
        ux, uy = _unit(new[start], new[end], label)
        vx, vy = _unit(old[start], old[end], label)
        x, y = old[start][0] + vx * place.along_m, old[start][1] + vy * place.along_m
        along_m = (x - new[start][0]) * ux + (y - new[start][1]) * uy
        if not -_SLACK_M <= along_m <= math.dist(new[start], new[end]) + _SLACK_M:
            raise UsageError(f"Mount {mount.title} would be beside its wall", where=label, remedy="move it first")
        row: Record = rebuilt(mount, mount.id, place=rebuilt(place, mount.id, along_m=max(along_m, 0.0)))
        if row is not mount and abs(along_m - place.along_m) > 1e-12:
            assert isinstance(row, Mount)
            yield number, row
