"""Move things on the plan, with all that stands on them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.naming import length_words
from survey_app.site.edits.positions import Shift, own_positions, with_positions
from survey_app.site.edits.routes import routes_along
from survey_app.site.edits.sharing import Found, find, find_all, rebuilt, with_rows
from survey_app.site.edits.things import change
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace, HeightReference, PlanePoint, Position
from survey_app.site.record import Record
from survey_app.site.reference_table import uses_of
from survey_app.site.site import Site

__all__ = [
    "Shift",
    "by_metres",
    "carried",
    "move",
    "move_by",
    "move_to",
    "put_along",
    "put_back",
    "set_height",
    "slide",
    "titled",
]


def by_metres(dx_m: float, dy_m: float) -> Shift:
    """Return the shift of positions of the plane by metres.

    A position given by latitude and longitude is refused: how far a metre is there is not known on this floor.

    Examples
    --------
    >>> by_metres(1, 2)(PlanePoint(x_m=10, y_m=10))
    PlanePoint(x_m=11.0, y_m=12.0)
    """

    def shift(position: Position) -> Position:
        if not isinstance(position, PlanePoint):
            raise UsageError(
                "a position is given by latitude and longitude and cannot be moved by metres of the plane",
                remedy="move it to a new latitude and longitude, or write it in metres first",
            )
        return rebuilt(position, "position", x_m=position.x_m + dx_m, y_m=position.y_m + dy_m)

    return shift


def carried(site: Site, found: Iterable[Found]) -> dict[str, dict[int, Record]]:
    """Return rows that move with things: they themselves, and what is recorded as being in or on a structure."""
    rows: dict[str, dict[int, Record]] = {}
    things = list(found)
    for one in things:
        rows.setdefault(one.collection.name, {})[one.number] = one.thing
    for one in things:
        if one.collection.name == "structures":
            for use in uses_of(site.design, "structures", frozenset([one.thing.id])):
                rows.setdefault(use.reference.holder, {}).setdefault(use.number, use.row)
    return rows


def put_back(
    site: Site, rows: Mapping[str, Mapping[int, Record]], change: Callable[[Record], Record]
) -> tuple[Site, tuple[str, ...]]:
    """Return the site with rows changed, and the ids of those that are other than before."""
    after, touched = site, []
    for name, old in rows.items():
        put = {number: change(row) for number, row in old.items()}
        put = {number: row for number, row in put.items() if row is not old[number]}
        if put:
            after = with_rows(after, "design", name, put=put)
            touched += [getattr(row, "id") for row in put.values()]  # noqa: B009 - every row of these is a thing
    return after, tuple(touched)


def put_along(
    site: Site, rows: Mapping[str, Mapping[int, Record]], change: Callable[[Record], Record], shift: Shift
) -> tuple[Site, tuple[str, ...]]:
    """Return the site with rows moved, and the corners of routes that run on them; with the ids of what is other."""
    after, touched = put_back(site, rows, change)
    wires = routes_along(site.design, rows, shift)
    if not wires:
        return after, touched
    after = with_rows(after, "design", "wires", put=wires)
    return after, (*touched, *(wire.id for wire in wires.values()))


def titled(found: list[Found]) -> str:
    """Return what one or several things are called in a label."""
    return found[0].title if len(found) == 1 else f"{len(found)} things"


def move(site: Site, ids: Iterable[str], shift: Shift) -> Edit:
    """Move things and what stands on them: mounts at a point of a roof, rooms, walls, boxes, sources of power.

    Mounts on an edge or on a pole follow by themselves. A wire that ends there takes along the corners of its route
    that lie in the building or at the pole; one of which both ends go takes all of them.

    Parameters
    ----------
    site : Site
        The site.
    ids : iterable of str
        The things.
    shift : callable
        Turns an old position into the new one; `by_metres` makes one for positions of the plane.

    Raises
    ------
    UsageError
        A position cannot be moved that way, or leaves the range of the plane.
    """
    asked = find_all(site, ids)
    if not asked:
        return Edit("Move nothing", site, site, ())
    after, touched = put_along(site, carried(site, asked), lambda row: with_positions(row, shift), shift)
    names = [found.thing.id for found in asked]

    def label(first: Site, last: Site) -> str:
        distance_m = _moved_m(first, last, names)
        by = "" if distance_m is None else f" by {length_words(distance_m, last)}"
        return f"Move {titled(asked)}{by}"

    return finished(label(site, after), site, after, touched, merge_key=f"move {' '.join(names)}", relabel=label)


def _moved_m(first: Site, last: Site, ids: Iterable[str]) -> float | None:
    """Return how far things went, by the first of them that has a point in metres on both sides."""
    for one in ids:
        old, new = (own_positions(find(site, one).thing) for site in (first, last))
        if old and new and isinstance(old[0], PlanePoint) and isinstance(new[0], PlanePoint):
            return math.hypot(new[0].x_m - old[0].x_m, new[0].y_m - old[0].y_m)
    return None


def move_by(site: Site, *ids: str, dx_m: float, dy_m: float) -> Edit:
    """Move things, and what stands on them, by metres of the plane."""
    return move(site, ids, by_metres(dx_m, dy_m))


def move_to(site: Site, thing_id: str, position: Position) -> Edit:
    """Move a thing that stands at one point (pole, camera, note, a mount at a point) to another point."""
    found = find(site, thing_id)
    thing = found.thing
    if isinstance(thing, Mount) and "position" in type(thing.place).model_fields:
        edit = change(site, thing_id, place=rebuilt(thing.place, found.title, position=position))
    elif "position" in type(thing).model_fields:
        edit = change(site, thing_id, position=position)
    else:
        raise UsageError("it does not stand at one point", where=found.title, remedy="move its corners, or use move_by")
    if isinstance(position, PlanePoint):

        def label(first: Site, last: Site) -> str:
            distance_m = _moved_m(first, last, [thing_id])
            return f"Move {found.title}{'' if distance_m is None else f' by {length_words(distance_m, last)}'}"

        return edit._replace(label=label(site, edit.after), relabel=label)
    return edit._replace(label=f"Move {found.title}")


def slide(site: Site, mount_id: str, along_m: float, edge: int | None = None) -> Edit:
    """Move a mount along its edge of the building, or to another edge."""
    found = find(site, mount_id)
    place = found.thing.place if isinstance(found.thing, Mount) else None
    if not isinstance(place, EdgePlace):
        raise UsageError("it is not a mount on an edge of a building", where=found.title)
    new = rebuilt(place, found.title, along_m=along_m, edge=place.edge if edge is None else edge)
    return change(site, mount_id, place=new)._replace(label=f"Move {found.title} along its wall")


def set_height(site: Site, thing_id: str, height_m: float, reference: HeightReference | None = None) -> Edit:
    """Set the height of a mount, camera or structure; for the first two also what it is measured from."""
    fields: dict[str, Any] = {"height_m": height_m}
    if reference is not None:
        fields["height_reference"] = reference
    return change(site, thing_id, **fields)
