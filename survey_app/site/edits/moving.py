"""Move things on the plan, with all that stands on them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from survey_app.errors import UsageError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.sharing import find, find_all, rebuilt, with_rows
from survey_app.site.edits.things import change
from survey_app.site.mount import Mount
from survey_app.site.place import EdgePlace, HeightReference, PlanePoint, Position
from survey_app.site.record import Record
from survey_app.site.reference_table import uses_of
from survey_app.site.shape import FieldShape, fields_of
from survey_app.site.site import Site

__all__ = [
    "by_metres",
    "move",
    "move_by",
    "move_to",
    "set_height",
    "slide",
]

Shift = Callable[[Position], Position]


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


def _is_position(field: FieldShape) -> bool:
    return list(field.records) == ["plane", "geographic"]


def _shifted(value: Any, shift: Shift) -> Any:
    if isinstance(value, tuple):
        return tuple(_shifted(one, shift) for one in value)
    return None if value is None else shift(value)


def _moved(row: Record, shift: Shift) -> Record:
    """Return a row with all its positions shifted; what it merely looks at or passes on to others is not its own."""
    fields: dict[str, Any] = {}
    for name, field in fields_of(type(row)).items():
        if _is_position(field):
            fields[name] = _shifted(getattr(row, name), shift)
    if isinstance(row, Mount) and not isinstance(row.place, EdgePlace) and "position" in type(row.place).model_fields:
        fields["place"] = _moved(row.place, shift)
    return rebuilt(row, "Move", **fields)


def move(site: Site, ids: Iterable[str], shift: Shift) -> Edit:
    """Move things and what stands on them: mounts at a point of a roof, rooms, walls, boxes, sources of power.

    Mounts on an edge or on a pole follow by themselves.

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
    puts: dict[str, dict[int, Record]] = {}
    for found in asked:
        puts.setdefault(found.collection.name, {})[found.number] = found.thing
    for found in asked:
        if found.collection.name == "structures":
            for use in uses_of(site.design, "structures", frozenset([found.thing.id])):
                puts.setdefault(use.reference.holder, {}).setdefault(use.number, use.row)
    title = asked[0].title if len(asked) == 1 else f"{len(asked)} things"
    after, touched = site, []
    for name, rows in puts.items():
        put = {number: _moved(row, shift) for number, row in rows.items()}
        put = {number: row for number, row in put.items() if row is not rows[number]}
        if put:
            after = with_rows(after, "design", name, put=put)
            touched += [getattr(row, "id") for row in put.values()]  # noqa: B009 - every row of these is a thing
    key = f"move {' '.join(found.thing.id for found in asked)}"
    return finished(f"Move {title}", site, after, tuple(touched), merge_key=key)


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
