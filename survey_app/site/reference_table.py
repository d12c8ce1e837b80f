"""The table of references: which field names another thing or a gear type, and of which kind that must be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from operator import attrgetter
from typing import Any, Literal, NamedTuple

from survey_app.site.record import Record
from survey_app.site.site import Design

__all__ = ["KINDS", "REFERENCES", "Kind", "Reference", "Use", "named", "references_of", "uses_of"]

OnRemoval = Literal["goes", "cleared", "kept"]


class Kind(NamedTuple):
    """A kind of row that a reference may name."""

    word: str
    """What people call one of them, with its article: `an access point`."""
    collection: str
    field: str = ""
    """The field that tells the kind from others of its collection; empty = all of them."""
    values: tuple[str, ...] = ()

    def holds(self, row: Record) -> bool:
        """Return whether a row of the collection is of this kind."""
        return not self.field or getattr(row, self.field) in self.values


_DEVICES = (
    "injector",
    "switch",
    "converter",
    "supply_unit",
    "recorder",
    "encoder",
    "media_converter",
    "sign_in_server",
)

KINDS: Mapping[str, Kind] = {
    "structure": Kind("a structure", "structures"),
    "building": Kind("a building", "structures", "kind", ("building",)),
    "wall": Kind("a wall", "walls"),
    "climb": Kind("a climb", "climbs"),
    "mount": Kind("a mount", "mounts"),
    "access_point": Kind("an access point", "radios", "role", ("access_point",)),
    "station": Kind("a station", "radios", "role", ("station",)),
    "radio": Kind("a radio", "radios"),
    "camera": Kind("a camera", "cameras"),
    "device": Kind("a device", "devices"),
    "supply": Kind("a supply", "supplies"),
    "head_end": Kind("a head end", "head_ends"),
    "radio_type": Kind("a radio type", "gear", "kind", ("radio",)),
    "antenna_type": Kind("an antenna type", "gear", "kind", ("antenna",)),
    "feeder_type": Kind("a feeder type", "gear", "kind", ("feeder",)),
    "camera_type": Kind("a camera type", "gear", "kind", ("camera",)),
    "device_type": Kind("a device type", "gear", "kind", _DEVICES),
    "cable_type": Kind("a cable type", "gear", "kind", ("cable",)),
    "enclosure_type": Kind("an enclosure type", "gear", "kind", ("enclosure",)),
    "battery_type": Kind("a battery type", "gear", "kind", ("battery",)),
    "solar_type": Kind("a solar panel type", "gear", "kind", ("solar",)),
    "bracket_type": Kind("a clamp or arm type", "gear", "kind", ("clamp", "arm")),
    "arm_type": Kind("an arm type", "gear", "kind", ("arm",)),
}


class Reference(NamedTuple):
    """One field that names another row."""

    holder: str
    """The collection whose rows have the field."""
    path: str
    """The field, dotted where it lies in a part of the row: `a.thing`."""
    kinds: tuple[str, ...]
    """Kinds that it may name."""
    many: bool
    """Whether the field is a list of ids."""
    on_removal: OnRemoval
    """What becomes of the holder when what it names is removed: it goes too, or the field is cleared."""

    @property
    def words(self) -> str:
        """What the field may name, for people."""
        return " or ".join(KINDS[kind].word for kind in self.kinds)


def _reference(holder: str, path: str, kinds: str, on_removal: OnRemoval, *, many: bool = False) -> Reference:
    return Reference(holder, path, tuple(kinds.split()), many, on_removal)


REFERENCES: tuple[Reference, ...] = (
    _reference("rooms", "structure", "building", "goes"),
    _reference("walls", "structure", "building", "goes"),
    _reference("openings", "wall", "wall", "goes"),
    _reference("served_areas", "structure", "building", "goes"),
    _reference("served_areas", "station", "station", "cleared"),
    _reference("served_areas", "also_joins", "access_point", "cleared", many=True),
    _reference("mounts", "structure", "structure", "goes"),
    _reference("mounts", "bracket", "bracket_type", "cleared"),
    _reference("mounts", "arm", "arm_type", "cleared"),
    _reference("mounts", "climb", "climb", "cleared"),
    _reference("cameras", "gear", "camera_type", "kept"),
    # a camera or box without its mount would hang in the air: it goes with it
    _reference("cameras", "mount", "mount", "goes"),
    _reference("radios", "gear", "radio_type", "kept"),
    _reference("radios", "mount", "mount", "goes"),
    _reference("radios", "antenna", "antenna_type", "cleared"),
    _reference("radios", "feeder", "feeder_type", "cleared"),
    _reference("hops", "access_point", "access_point", "goes"),
    _reference("hops", "station", "station", "goes"),
    _reference("devices", "gear", "device_type", "kept"),
    _reference("devices", "structure", "structure", "goes"),
    _reference("devices", "mount", "mount", "goes"),
    _reference("devices", "enclosure", "enclosure_type", "cleared"),
    _reference("devices", "fed_from", "supply device", "cleared"),
    _reference("wires", "gear", "cable_type", "cleared"),
    _reference("wires", "a.thing", "radio camera device supply head_end", "goes"),
    _reference("wires", "b.thing", "radio camera device supply head_end", "goes"),
    _reference("supplies", "structure", "structure", "goes"),
    _reference("supplies", "battery", "battery_type", "cleared"),
    _reference("supplies", "panel", "solar_type", "cleared"),
    _reference("head_ends", "device", "device", "goes"),
    _reference("landmarks", "seen_from", "mount", "cleared", many=True),
    _reference("photographs", "mount", "mount", "cleared"),
)
"""Every reference of the design. Evidence also names things, but outlives them: it is not in this table."""

_GETTERS = {reference: attrgetter(reference.path) for reference in REFERENCES}
_BY_HOLDER: Mapping[str, tuple[Reference, ...]] = {
    holder: tuple(reference for reference in REFERENCES if reference.holder == holder)
    for holder in {reference.holder for reference in REFERENCES}
}
_BY_TARGET: Mapping[str, tuple[Reference, ...]] = {
    target: tuple(
        reference for reference in REFERENCES if any(KINDS[kind].collection == target for kind in reference.kinds)
    )
    for target in {kind.collection for kind in KINDS.values()}
}


def references_of(holder: str) -> tuple[Reference, ...]:
    """Return the references that the rows of a collection have."""
    return _BY_HOLDER.get(holder, ())


def named(row: Any, reference: Reference) -> tuple[str, ...]:
    """Return the ids that one row names by one reference.

    Examples
    --------
    >>> from survey_app.site.radio import Hop
    >>> [named(Hop(id="H", access_point="A", station="B"), reference) for reference in references_of("hops")]
    [('A',), ('B',)]
    """
    value = _GETTERS[reference](row)
    if reference.many:
        return tuple(value)
    return () if value is None else (value,)


class Use(NamedTuple):
    """One row that names another."""

    reference: Reference
    number: int
    """The holder's place in its collection."""
    row: Any


def uses_of(design: Design, collection: str, ids: frozenset[str]) -> Iterator[Use]:
    """Yield every row that names one of the ids in a collection (`gear` included)."""
    for reference in _BY_TARGET.get(collection, ()):
        getter = _GETTERS[reference]
        for number, row in enumerate(getattr(design, reference.holder)):
            value = getter(row)
            if (not ids.isdisjoint(value)) if reference.many else value in ids:
                yield Use(reference, number, row)
