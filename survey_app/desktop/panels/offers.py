"""Which editor a field gets, and what it offers: gear of the catalogue, things of the site, choices in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from survey_app.desktop.desk import Desk
from survey_app.desktop.panels.editors import ChoiceEditor, Editor, LineEditor, SearchEditor, TextEditor, TickEditor
from survey_app.desktop.panels.entries import Entry
from survey_app.desktop.panels.field_words import REFERENCE_WORDS
from survey_app.desktop.panels.values import (
    choice_words,
    is_position,
    null_words,
    read_position,
    read_value,
    written_position,
    written_value,
)
from survey_app.errors import InternalError
from survey_app.site.gear_type import AntennaType, GearType, RadioType
from survey_app.site.place import Anchor, GeoPoint
from survey_app.site.radio import Radio
from survey_app.site.record import Record
from survey_app.site.reference_table import KINDS, Reference

if TYPE_CHECKING:
    from survey_app.gear.catalogue import Catalogue

__all__ = ["editor_for", "gear_words"]

_TEXT = 1000


def editor_for(desk: Desk, catalogue: Catalogue, entry: Entry) -> Editor:
    """Return a new editor for a field.

    Parameters
    ----------
    desk : Desk
        The open document.
    catalogue : Catalogue
        Gear types that can be chosen.
    entry : Entry
        The field.
    """
    shape, feet = entry.shape, desk.site.design.units == "feet"
    if is_position(shape):
        return _position_editor(entry, feet)
    if entry.reference is not None and not entry.reference.many:
        what = entry.reference.words
        reference, empty = entry.reference, null_words(shape)
        return SearchEditor(lambda: _named(desk, catalogue, reference, shape.nullable, empty), what)
    if entry.path == "region":
        return SearchEditor(lambda: [(None, "not chosen"), *_regions()], "a region")
    if shape.holds == "choice":
        return ChoiceEditor(_choices(entry))
    if shape.holds == "true or false":
        return (
            ChoiceEditor([(None, null_words(shape)), (True, "yes"), (False, "no")]) if shape.nullable else TickEditor()
        )
    if shape.holds == "text" and shape.bounds.get("max_length", 0) > _TEXT:
        return TextEditor()
    return LineEditor(
        lambda text, _now: read_value(shape, text, feet=feet),
        lambda value: written_value(shape, value, feet=feet),
        null_words(shape),
    )


def _position_editor(entry: Entry, feet: bool) -> Editor:
    shape = entry.shape

    def read(text: str, now: Any) -> Any:
        # an origin on the earth is always read as latitude and longitude
        held = GeoPoint(lat_deg=0.0, lon_deg=0.0) if Anchor in shape.records.values() else now
        return read_position(text, held, feet=feet, nullable=shape.nullable)

    def write(value: Any) -> str:
        if isinstance(value, Anchor):
            value = GeoPoint(lat_deg=value.lat_deg, lon_deg=value.lon_deg)
        return written_position(value, feet=feet)

    return LineEditor(read, write, null_words(shape))


def _choices(entry: Entry) -> list[tuple[Any, str]]:
    shape = entry.shape
    words = dict(REFERENCE_WORDS) if shape.name == "height_reference" else {}
    unit = f" {shape.unit}" if shape.unit else ""
    found: list[tuple[Any, str]] = [(one, words.get(one, f"{choice_words(one)}{unit}")) for one in shape.choices]
    return [(None, null_words(shape)), *found] if shape.nullable else found


def _regions() -> list[tuple[Any, str]]:
    from survey_app.spectrum.regions import load_regions

    return [(code, code) for code in load_regions().codes]


def _named(desk: Desk, catalogue: Catalogue, reference: Reference, nullable: bool, empty: str) -> list[tuple[Any, str]]:
    found: list[tuple[Any, str]] = [(None, empty)] if nullable else []
    design = desk.site.design
    for name in reference.kinds:
        kind = KINDS[name]
        rows: tuple[Any, ...] = getattr(design, kind.collection)
        if kind.collection == "gear":
            own = {row.id for row in rows}
            rows = (*rows, *(item for item in catalogue if item.id not in own))
        found += [(row.id, _words(row)) for row in rows if kind.holds(row)]
    return found


def _words(row: Record) -> str:
    if isinstance(row, Radio):
        return f"{row.id} on {row.mount}"
    if hasattr(row, "what"):
        return gear_words(row)  # type: ignore[arg-type]
    name, one = getattr(row, "name", ""), getattr(row, "id", None)
    if one is None:
        raise InternalError("a row without an id was offered")
    return f"{one}, {name}" if name and name != one else str(one)


def gear_words(item: GearType) -> str:
    """Return a gear type as a list offers it: name, then what it is and how wide it looks."""
    pattern = item.pattern if isinstance(item, RadioType | AntennaType) else None
    beam = ""
    if pattern is not None:
        width = pattern.azimuth_beamwidth_deg
        beam = f", {pattern.gain_dbi:g} dBi {'all round' if width >= 360 else f'{width:g}°'}"
    return f"{item.name}, {item.what}{beam}"
