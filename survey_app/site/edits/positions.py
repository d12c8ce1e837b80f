"""Where a thing says that it is: its own positions, and turning them into others."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, TypeVar

from survey_app.site.edits.sharing import rebuilt
from survey_app.site.mount import Mount
from survey_app.site.place import GeoPoint, PlanePoint, Position
from survey_app.site.plan_picture import PlanPicture
from survey_app.site.record import Record
from survey_app.site.shape import FieldShape, fields_of
from survey_app.site.thing import Thing

__all__ = ["Shift", "own_positions", "whereabouts", "with_positions"]

Shift = Callable[[Position], Position]
"""Turns a position into another."""

R = TypeVar("R", bound=Record)

_WHERE = ("structure", "mount", "wall", "place", "edge", "along_m")
"""Fields beside positions that say where a thing is: what it hangs on, and where on it."""


def _is_position(field: FieldShape) -> bool:
    return list(field.records) == ["plane", "geographic"]


def _parts(row: Record) -> Iterator[tuple[str, Any]]:
    """Yield the parts of a row that hold positions of its own; what it merely looks at is none of them."""
    if isinstance(row, Mount) and "position" in type(row.place).model_fields:
        yield "place", row.place
    if isinstance(row, PlanPicture):
        yield "control_points", row.control_points


def own_positions(row: Record) -> tuple[Position, ...]:
    """Return all positions of a row: corners, courtyards, route, foot, point of a mount, known points of a picture."""
    found: list[Position] = []
    for name, field in fields_of(type(row)).items():
        if _is_position(field):
            found += _flat(getattr(row, name))
    for _, part in _parts(row):
        for one in part if isinstance(part, tuple) else (part,):
            found += own_positions(one)
    return tuple(found)


def _flat(value: Any) -> Iterator[Position]:
    if isinstance(value, tuple):
        for one in value:
            yield from _flat(one)
    elif isinstance(value, PlanePoint | GeoPoint):
        yield value


def with_positions(row: R, shift: Shift, where: str = "Move") -> R:
    """Return a row with all its own positions shifted; the same object where none changes."""
    fields: dict[str, Any] = {
        name: _shifted(getattr(row, name), shift) for name, field in fields_of(type(row)).items() if _is_position(field)
    }
    for name, part in _parts(row):
        fields[name] = (
            tuple(with_positions(one, shift, where) for one in part)
            if isinstance(part, tuple)
            else with_positions(part, shift, where)
        )
    return rebuilt(row, where, **fields)


def _shifted(value: Any, shift: Shift) -> Any:
    if isinstance(value, tuple):
        return tuple(_shifted(one, shift) for one in value)
    return None if value is None else shift(value)


def whereabouts(thing: Thing) -> tuple[Any, ...]:
    """Return all that says where a thing is, to see whether it was moved."""
    hangs = tuple(getattr(thing, name, None) for name in _WHERE)
    return (own_positions(thing), hangs)
