"""Edits that a form asks for: one field of one thing, of several things in one step, or of the site."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import ValidationError

from survey_app.desktop.panels.entries import Entry
from survey_app.errors import UsageError
from survey_app.ground.place import Placed
from survey_app.site.addressing import AddressPlan
from survey_app.site.edits import add_gear, change, change_design, rename, set_address_plan, set_anchor, set_defaults
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.naming import field_words
from survey_app.site.edits.sharing import find, rebuilt
from survey_app.site.network import CameraTarget
from survey_app.site.place import Anchor, EdgePlace, GeoPoint, PlanePoint, PointPlace, PolePlace, RoofPlace
from survey_app.site.record import Record
from survey_app.site.site import Site
from survey_app.site.validation import faults_of

if TYPE_CHECKING:
    from survey_app.gear.catalogue import Catalogue

__all__ = ["change_field", "change_of_site", "in_one_step", "made", "with_gear"]

R = TypeVar("R", bound=Record)
_SCENE_M = 10.0  # width of a scene that nobody has said anything of yet


def change_of_site(site: Site, path: str, value: Any) -> Edit:
    """Return the edit that sets a field of the site itself.

    Raises
    ------
    UsageError
        The value is refused.
    """
    if path == "plane.anchor":
        return set_anchor(site, _anchor(site, value))
    head, _, rest = path.partition(".")
    if not rest:
        return change_design(site, **{path: value})
    if head == "defaults":
        return set_defaults(site, **{rest: value})
    if head == "addressing":
        plan = site.design.addressing or AddressPlan()
        return set_address_plan(site, **{**plan.model_dump(), rest: value})
    plane = rebuilt(site.design.plane, "plane", **{rest: value})
    return change_design(site, plane=plane)._replace(label=f"Set {field_words([rest])}", merge_key="")


def _anchor(site: Site, point: Any) -> Anchor | None:
    if point is None:
        return None
    if not isinstance(point, GeoPoint):
        raise UsageError("the origin is tied by latitude and longitude", remedy="write LAT, LON such as 43.55, -69.6")
    old = site.design.plane.anchor
    if old is None:
        return Anchor(lat_deg=point.lat_deg, lon_deg=point.lon_deg)
    return rebuilt(old, "anchor", lat_deg=point.lat_deg, lon_deg=point.lon_deg)


def change_field(site: Site, placed: Placed, entry: Entry, value: Any, catalogue: Catalogue) -> Edit:
    """Return the edit that sets one field of one thing.

    Parameters
    ----------
    site, placed : Site, Placed
        The site and where everything of it is.
    entry : Entry
        The field.
    value : object
        Its new value.
    catalogue : Catalogue
        Gear types that the site may not carry yet; one that is chosen comes along.

    Raises
    ------
    UsageError
        The value is refused.
    """
    if not entry.thing_id:
        return change_of_site(site, entry.path, value)
    if entry.path == "id":
        return rename(site, entry.thing_id, value)
    start = site
    if entry.reference is not None and value is not None and _names_gear(entry):
        start = with_gear(site, str(value), catalogue)
    fields = _fields(site, placed, entry, value)
    edit = change(start, entry.thing_id, **fields)
    if start is site:
        return edit
    return edit._replace(before=site, touched=tuple(dict.fromkeys((*edit.touched, str(value)))))


def _names_gear(entry: Entry) -> bool:
    return entry.reference is not None and all(kind.endswith("_type") for kind in entry.reference.kinds)


def with_gear(site: Site, gear_id: str, catalogue: Catalogue) -> Site:
    """Return the site with a copy of a gear type of the catalogue; as it is where it has one, or there is none."""
    if any(row.id == gear_id for row in site.design.gear) or gear_id not in catalogue:
        return site
    return add_gear(site, catalogue.find(gear_id)).after


def _fields(site: Site, placed: Placed, entry: Entry, value: Any) -> dict[str, Any]:
    head, _, rest = entry.path.partition(".")
    found = find(site, entry.thing_id)
    if entry.path == "place.kind":
        return {"place": _place(site, placed, entry.thing_id, value)}
    if entry.lead is not None and rest:
        part = getattr(found.thing, head)
        if value is None:
            return {head: None}
        return {entry.path: value} if isinstance(part, Record) else {head: _part(entry.lead, rest, value)}
    if entry.path == "mount" and value is not None and getattr(found.thing, "position", None) is not None:
        # what hangs on a mount is where the mount is
        return {"mount": value, "position": None}
    return {entry.path: value}


def _part(kind: type[Record], lead: str, value: Any) -> Record:
    more = {"width_m": _SCENE_M} if kind is CameraTarget else {}
    return made(kind, **{lead: value}, **more)


def made(kind: type[R], **fields: Any) -> R:
    """Return a new record.

    Raises
    ------
    UsageError
        A value is refused.
    """
    try:
        return kind(**fields)
    except ValidationError as error:
        raise UsageError(faults_of(error, kind)[0].sentence) from None


def _place(site: Site, placed: Placed, mount_id: str, kind: str) -> Record:
    """Return the same spot said another way; on an edge it begins at the first corner."""
    old = getattr(find(site, mount_id).thing, "place")  # noqa: B009 - only a mount has a place
    if old.kind == kind:
        return old
    if kind == "edge":
        return EdgePlace(kind="edge", edge=0, along_m=0.0)
    if kind == "pole":
        return PolePlace(kind="pole")
    spot = placed.points[mount_id]
    here = PlanePoint(x_m=round(float(spot.x_m), 3), y_m=round(float(spot.y_m), 3))
    return RoofPlace(kind="roof", position=here) if kind == "roof" else PointPlace(kind="point", position=here)


def in_one_step(site: Site, makers: Sequence[Callable[[Site], Edit]], label: str) -> Edit:
    """Return one edit made of several, each made from what the one before it left.

    Raises
    ------
    SurveyError
        One of them is refused: then none is done.
    """
    after = site
    touched: list[str] = []
    remarks: list[str] = []
    for make in makers:
        edit = make(after)
        after = edit.after
        touched += edit.touched
        remarks += edit.remarks
    return Edit(label, site, after, tuple(dict.fromkeys(touched)), tuple(remarks))
