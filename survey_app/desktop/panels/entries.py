"""Which fields a form shows: every field of a record, parts of it drawn out, with its value."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from survey_app.desktop.panels.field_words import FIRST, REFERENCE_WORDS, SITE_FIRST, kind_of, label_of
from survey_app.desktop.panels.values import is_position
from survey_app.site.addressing import AddressPlan
from survey_app.site.collection import collection_of
from survey_app.site.place import Anchor
from survey_app.site.radio import Hop, Radio
from survey_app.site.record import Record
from survey_app.site.reference_table import Reference, references_of
from survey_app.site.shape import FieldShape, fields_of
from survey_app.site.site import Design, Site
from survey_app.site.thing import Thing

__all__ = ["Entry", "entries_of", "merged", "site_entries"]

LEADS = {"pipe": "diameter_mm", "aim": "bearing_deg", "target": "position"}
"""Parts that a thing may do without: by the field whose emptiness means that there is none."""


@dataclass(frozen=True)
class Entry:
    """One field in a form.

    Attributes
    ----------
    thing_id : str
        Whose field it is; empty for the site's own.
    path : str
        The field, dotted where it lies in a part: `stream.rate_mbps`.
    shape : FieldShape
        What it holds.
    value : object
        What stands there.
    label : str
        What people call it.
    first : bool
        Whether it stands open, or under "more".
    reference : Reference or None
        What it names, where it names another thing or a gear type.
    lead : type of Record or None
        The part that comes and goes with this field.
    group : str
        Head under which it is folded; empty = "more".
    """

    thing_id: str
    path: str
    shape: FieldShape
    value: Any
    label: str
    first: bool
    reference: Reference | None = None
    lead: type[Record] | None = None
    group: str = ""

    @property
    def key(self) -> tuple[str, str]:
        """What tells it from the other fields of a form."""
        return self.thing_id, self.path


def _editable(shape: FieldShape) -> bool:
    return shape.lists == 0 or (shape.lists == 1 and not shape.records)


def _walk(record: Record, prefix: str = "") -> Iterator[tuple[str, FieldShape, Any, type[Record] | None]]:
    for name, shape in fields_of(type(record)).items():
        value = getattr(record, name)
        if is_position(shape) or (not shape.records and _editable(shape)):
            if not (name == "kind" and len(shape.choices) <= 1):
                yield prefix + name, shape, value, None
        elif isinstance(value, Record) and not shape.lists:
            if len(shape.records) > 1:
                yield f"{prefix}{name}.kind", _kind_shape(shape), getattr(value, "kind", None), None
            lead = LEADS.get(name) if shape.nullable else None
            for path, inner, one, kind in _walk(value, f"{prefix}{name}."):
                leads = lead is not None and path == f"{prefix}{name}.{lead}"
                yield path, inner._replace(nullable=True) if leads else inner, one, type(value) if leads else kind
        elif shape.nullable and name in LEADS:
            part = next(iter(shape.records.values()))
            inner = fields_of(part)[LEADS[name]]._replace(nullable=True)
            yield f"{prefix}{name}.{LEADS[name]}", inner, None, part


def _kind_shape(shape: FieldShape) -> FieldShape:
    return shape._replace(name="kind", holds="choice", choices=tuple(shape.records), records={})


def entries_of(site: Site, thing: Thing) -> tuple[Entry, ...]:
    """Return the fields of a thing, those that stand open first; a hop has the heights of its ends too.

    Parameters
    ----------
    site : Site
        The site that it belongs to.
    thing : Thing
        The thing.
    """
    kind = kind_of(thing)
    first = FIRST.get(kind, ("name",))
    references = {one.path: one for one in references_of(collection_of(type(thing)).name)}
    found = [
        Entry(
            thing.id, path, _said(path, shape), value, label_of(path, kind), path in first, references.get(path), lead
        )
        for path, shape, value, lead in _walk(thing)
        if not _hidden(thing, path)
    ]
    order = {path: number for number, path in enumerate(first)}
    found.sort(key=lambda entry: order.get(entry.path, len(order)))
    if isinstance(thing, Hop):
        opened = sum(entry.first for entry in found)
        found[opened:opened] = _heights(site, thing)
    return tuple(found)


def _said(path: str, shape: FieldShape) -> FieldShape:
    # an aim that is not fixed by hand is computed: the field says so instead of "none"
    if path == "aim.bearing_deg":
        return shape._replace(meaning=f"{shape.meaning}; null = computed")
    if path == "pipe.diameter_mm":
        return shape._replace(meaning=f"{shape.meaning}; null = no pipe")
    return shape


def _hidden(thing: Thing, path: str) -> bool:
    """Return whether a field says nothing of this thing: what only the other role has, and is at its default."""
    if not isinstance(thing, Radio):
        return False
    other = ("channel", "network_name", "isolation", "radar_spare") if thing.role == "station" else ("bridge",)
    return path in other and getattr(thing, path) == fields_of(Radio)[path].default


def _heights(site: Site, hop: Hop) -> list[Entry]:
    radios = {radio.id: radio for radio in site.design.radios}
    mounts = {mount.id: mount for mount in site.design.mounts}
    found = []
    for radio_id in (hop.access_point, hop.station):
        radio = radios.get(radio_id)
        mount = mounts.get(radio.mount) if radio is not None else None
        if mount is not None:
            words = f"height {radio_id} {REFERENCE_WORDS[mount.height_reference]}"
            shape = fields_of(type(mount))["height_m"]
            opened = radio_id == hop.station
            found.append(Entry(mount.id, "height_m", shape, mount.height_m, words, first=opened))
    found.reverse()
    return found if len(found) < 2 or found[0].key != found[1].key else found[:1]


_ANCHOR_SHAPE = FieldShape(
    name="anchor",
    holds="record",
    meaning="Latitude and longitude of the plane's origin; null = plan north only",
    unit=None,
    nullable=True,
    lists=0,
    choices=(),
    records={"plane": Anchor, "geographic": Anchor},
    bounds={},
    item_bounds={},
    required=False,
    default=None,
)


def site_entries(site: Site) -> tuple[Entry, ...]:
    """Return the fields of the site itself; figures of judgement are folded."""
    design = site.design
    found = [
        Entry("", path, shape, value, label_of(path), path in SITE_FIRST, group=_group(path))
        for path, shape, value, _ in _walk_design(design)
    ]
    order = {path: number for number, path in enumerate(SITE_FIRST)}
    found.sort(key=lambda entry: order.get(entry.path, len(order)))
    return tuple(found)


_GROUPS = {"defaults": "figures of judgement", "addressing": "addresses in the network"}


def _group(path: str) -> str:
    return _GROUPS.get(path.partition(".")[0], "")


def _walk_design(design: Design) -> Iterator[tuple[str, FieldShape, Any, type[Record] | None]]:
    for path, shape, value, lead in _walk(design):
        if path in ("plane.anchor.lat_deg", "plane.anchor.lon_deg") or path.startswith("addressing."):
            continue
        yield path, shape, value, lead
    # a site without a plan of addresses begins one with its first block
    for path, shape, value, _ in _walk(design.addressing or AddressPlan(), "addressing."):
        yield path, shape, value, None
    yield "plane.anchor", _ANCHOR_SHAPE, design.plane.anchor, Anchor


def merged(entries: tuple[tuple[Entry, ...], ...]) -> tuple[tuple[Entry, bool], ...]:
    """Return the fields that several things of one kind have in common, and whether their values differ."""
    others = [{entry.path: entry for entry in one} for one in entries[1:]]
    found = []
    for entry in entries[0]:
        if entry.path in ("id", "name") or entry.thing_id != entries[0][0].thing_id:
            continue
        if all(entry.path in one for one in others):
            found.append((entry, any(one[entry.path].value != entry.value for one in others)))
    return tuple(found)
