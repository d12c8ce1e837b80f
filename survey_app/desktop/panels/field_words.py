"""What people call the fields, and which of them the form of a kind shows first."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from survey_app.site.collection import collection_of
from survey_app.site.edits.naming import field_words
from survey_app.site.place import HeightReference
from survey_app.site.thing import Thing

__all__ = ["FIRST", "REFERENCE_WORDS", "SITE_FIRST", "kind_of", "kind_words", "label_of"]

REFERENCE_WORDS: Mapping[HeightReference, str] = {
    "ground": "over the ground",
    "eaves": "over the eaves",
    "roof": "over the roof",
    "datum": "over the datum",
}

_LABELS: Mapping[str, str] = {
    "id": "id",
    "as_of": "date",
    "drawn_by": "drawn by",
    "legal_owner": "owner of the document",
    "call_number": "number to call",
    "addressing.management": "block for management",
    "addressing.video": "block for video",
    "addressing.reserved": "kept free at its start",
    "addressing.name_pattern": "names in the network",
    "plane.anchor": "origin on the earth",
    "plane.anchor.rotation_deg": "plan north, true bearing",
    "plane.anchor.sigma_m": "origin known to ±",
    "plane.datum": "datum, height 0 is",
    "plane.datum_elevation_m": "datum over the sea",
    "base_m": "foot over datum",
    "base_known.how": "foot known by",
    "base_known.sigma_m": "foot known to ±",
    "height_known.how": "height known by",
    "height_known.sigma_m": "height known to ±",
    "height_reference": "measured from",
    "eaves_height_m": "eaves over the foot",
    "roof.kind": "roof",
    "roof.ridge_height_m": "ridge over the foot",
    "roof.ridge_plan_deg": "ridge, plan bearing",
    "roof.parapet_height_m": "parapet",
    "wall": "outer wall",
    "section": "shape of section",
    "crown_top_m": "top of the crowns",
    "crown_base_m": "underside of the crowns",
    "growth_m_per_year": "growth in height",
    "crown_growth_m_per_year": "growth sideways",
    "leaf": "leaves",
    "swing_radius_m": "swings out to",
    "envelope_height_m": "tallest that passes",
    "passes_per_day": "passes",
    "standing_fraction": "part of time it stands",
    "place.kind": "where on it",
    "place.edge": "edge, from 0",
    "place.along_m": "along the edge",
    "place.stand_off_m": "stand-off",
    "place.position": "position",
    "place.side_plan_deg": "side, plan bearing",
    "pipe.diameter_mm": "pipe, outside",
    "pipe.section": "pipe, section",
    "pipe.measured": "pipe measured on site",
    "usable": "verdict of the walk",
    "permission.state": "permission",
    "permission.on": "permission, date",
    "permission.by": "permission, by",
    "permission.conditions": "permission, conditions",
    "power.mains": "mains at the place",
    "power.switched_at_night": "circuit switched",
    "power.board": "board and breaker",
    "power.spur_m": "new spur",
    "overhead_line_m": "overhead line, distance",
    "no_overhead_line": "no overhead line in 30 m",
    "climb": "way up",
    "position_sigma_m": "place known to ±",
    "lean_sigma_deg": "lean, spread",
    "photo": "photograph",
    "gear": "type",
    "mount": "hangs on",
    "width_mhz": "channel width",
    "guard_interval_us": "guard interval",
    "highest_mcs": "highest rate allowed, MCS",
    "power_mode": "power in service",
    "power_ceiling_dbm": "power at most",
    "aim.bearing_deg": "aim by hand, bearing",
    "aim.north": "its north",
    "aim.tilt_deg": "aim by hand, tilt",
    "rotation_deg": "unit turned by",
    "access": "air access",
    "isolation": "stations kept apart",
    "bridge": "devices behind it",
    "radar_spare": "spare channel checked",
    "link_rule": "power rule",
    "network_name": "network name",
    "hardware_address": "hardware address",
    "shows_level_at": "level is read at",
    "access_point": "access point",
    "wanted_margin_db": "wanted margin",
    "chosen_mcs": "rate by hand, MCS",
    "target.position": "looks at",
    "target.width_m": "width of scene there",
    "target.height_m": "height of target",
    "angle_of_view_deg": "angle of view",
    "stream.mode": "stream",
    "stream.rate_mbps": "video rate",
    "stream.night_factor": "night over day",
    "stream.viewers": "viewers beside recorder",
    "stream.multicast": "multicast",
    "analogue": "analogue, with encoder",
    "edge_recording_hours": "records by itself",
    "switched_at_night": "circuit switched",
    "volts_v": "voltage",
    "volts_low_v": "lowest voltage in use",
    "battery_count": "batteries",
    "panel_count": "panels",
    "sun_hours_per_day": "sun in the worst month",
    "a.thing": "from",
    "a.port": "port there",
    "b.thing": "to",
    "b.port": "port there ",
    "power": "carries supply",
    "drops_m": "up and down",
    "length_m": "measured length",
    "extra_ohm": "plugs and joints",
    "capacity_mbps": "capacity granted",
    "days_wanted_days": "days of recording",
    "recording_fraction": "part of time recorded",
    "disks_tb": "disks",
    "uplink_mbps": "line to the outside",
    "viewers": "viewers over it",
    "sigma_m": "position known to ±",
    "bearing_true_deg": "taken towards, true",
    "later_date": "to come on",
    "note": "remark",
    "words": "note",
    "seen_from": "seen from mounts",
    "fed_from": "fed directly from",
    "spanning_tree": "loop protection",
    "diameter_top_mm": "diameter at the top",
    "diameter_foot_mm": "diameter at the foot",
    "floor_height_m": "floor over the foot",
    "sill_height_m": "lower edge over the floor",
    "also_joins": "may also join",
    "needed_rate_mbps": "link rate needed",
    "wanted_fraction": "part to be served",
    "goods_loss_db": "full racks take",
    "ceiling_height_m": "ceiling over the floor",
    "level_low_m": "lowest level",
    "level_high_m": "highest level",
    "reach_m": "height to reach",
    "opacity_fraction": "how strongly it shows",
    "greyed": "without its colours",
    "dpi": "dots per inch",
    "width_px": "width",
    "height_px": "height",
    "order": "place in the order",
}

SITE_FIRST = (
    "name", "revision", "as_of", "region", "country", "units", "paper", "drawn_by", "legal_owner", "call_number",
    "plane.anchor", "plane.anchor.rotation_deg", "plane.datum", "plane.datum_elevation_m",
)  # fmt: skip
"""Fields of the site that stand open when nothing is selected."""

FIRST: Mapping[str, tuple[str, ...]] = {
    "building": ("name", "eaves_height_m", "base_m", "roof.kind", "roof.ridge_height_m", "wall", "use", "owner"),
    "pole": ("name", "position", "height_m", "base_m", "section", "diameter_top_mm", "owner"),
    "mast": ("name", "position", "height_m", "base_m", "section", "diameter_top_mm", "guyed"),
    "tree_stand": ("name", "crown_top_m", "crown_base_m", "growth_m_per_year", "leaf"),
    "obstacle": ("name", "height_m", "base_m", "swing_radius_m"),
    "overhead_line": ("name", "height_m", "voltage"),
    "traffic_area": ("name", "envelope_height_m", "passes_per_day", "standing_fraction"),
    "mount": (
        "name", "structure", "height_m", "height_reference", "place.kind", "place.edge", "place.along_m",
        "place.position", "place.side_plan_deg", "place.stand_off_m", "pipe.diameter_mm", "usable", "permission.state",
        "overhead_line_m",
    ),
    "radio": (
        "name", "role", "gear", "mount", "antenna", "channel", "width_mhz", "power_mode", "power_ceiling_dbm",
        "aim.bearing_deg", "aim.tilt_deg",
    ),
    "hop": ("access_point", "station"),
    "camera": (
        "name", "gear", "mount", "position", "height_m", "height_reference", "purpose", "target.position",
        "target.width_m", "angle_of_view_deg", "stream.mode", "stream.rate_mbps",
    ),
    "device": ("name", "gear", "structure", "mount", "position", "environment", "enclosure", "fed_from"),
    "wire": ("medium", "gear", "a.thing", "b.thing", "power", "length_m", "drops_m", "protectors"),
    "supply": ("name", "kind", "structure", "position", "switched_at_night", "volts_v", "battery", "battery_count"),
    "head end": ("name", "device", "days_wanted_days", "recording_fraction", "disks_tb", "uplink_mbps", "viewers"),
    "climb": ("name", "way", "reach_m", "key", "order"),
    "landmark": ("name", "position", "sigma_m", "seen_from"),
    "note": ("words", "position"),
    "plan picture": ("name", "opacity_fraction", "greyed", "fit"),
    "photograph": ("name", "file", "mount", "bearing_true_deg"),
    "water": ("name", "level_low_m", "level_high_m"),
    "zone": ("name", "purpose"),
    "room": ("name", "structure", "floor_height_m", "ceiling_height_m", "floor"),
    "wall": ("name", "structure", "material", "thickness_mm", "construction", "floor_height_m", "height_m"),
    "opening": ("name", "wall", "along_m", "width_m", "sill_height_m", "height_m", "material", "state"),
    "served area": (
        "name", "structure", "station", "also_joins", "floor_height_m", "height_m", "needed_rate_mbps",
        "wanted_fraction", "goods_loss_db",
    ),
}  # fmt: skip
"""Fields that stand open in the form of each kind, in this order; the others stand under "more"."""


def kind_of(thing: Thing) -> str:
    """Return the kind of a thing: of a structure which, of all others their collection's word."""
    collection = collection_of(type(thing))
    return str(getattr(thing, "kind", "structure")) if collection.name == "structures" else collection.word


def kind_words(thing: Thing) -> str:
    """Return what people call the kind of a thing, with the role of a radio."""
    role = getattr(thing, "role", None)
    return str(role or kind_of(thing)).replace("_", " ")


def label_of(path: str, kind: str = "") -> str:
    """Return what people call a field.

    Examples
    --------
    >>> label_of("eaves_height_m"), label_of("stream.rate_mbps"), label_of("defaults.thin_margin_db")
    ('eaves over the foot', 'video rate', 'thin margin')
    """
    known: Mapping[Any, str] = _LABELS
    if (kind, path) in _OF_KIND:
        return _OF_KIND[(kind, path)]
    if path in known:
        return known[path].strip()
    return field_words([path.removeprefix("defaults.")])


_OF_KIND: Mapping[tuple[str, str], str] = {
    ("building", "base_m"): "foot over datum",
    ("camera", "mount"): "hangs on",
    ("device", "mount"): "fixed to",
    ("photograph", "mount"): "taken from",
    ("device", "structure"): "in or at",
    ("supply", "structure"): "in or at",
    ("mount", "structure"): "on",
    ("room", "structure"): "in",
    ("wall", "structure"): "in",
    ("opening", "wall"): "in",
    ("served area", "structure"): "in",
    ("served area", "height_m"): "antenna over its floor",
    ("opening", "height_m"): "top over the floor",
    ("wall", "height_m"): "height over its floor",
    ("supply", "kind"): "source",
    ("zone", "purpose"): "means",
    ("photograph", "note"): "remark",
    ("note", "note"): "remark",
    ("photograph", "angle_of_view_deg"): "angle of view",
    ("camera", "height_m"): "height of the lens",
    ("mount", "height_m"): "height",
}
