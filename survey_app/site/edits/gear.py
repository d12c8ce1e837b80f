"""The copies of gear types that a site carries: add, take newer ones, put one type in the place of another."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from survey_app.errors import UnknownNameError, UsageError
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.following import naming_instead
from survey_app.site.edits.sharing import rebuilt, with_rows
from survey_app.site.gear_type import GearType, RadioType
from survey_app.site.record import Record
from survey_app.site.reference_table import uses_of
from survey_app.site.shape import fields_of
from survey_app.site.site import Site
from survey_app.site.validation import nearest

__all__ = ["add_gear", "differences", "drop_unused_gear", "remove_gear", "replace_gear_type", "take_newer_gear"]


def _number(site: Site, gear_id: str) -> int:
    ids = [row.id for row in site.design.gear]
    if gear_id not in ids:
        raise UnknownNameError(
            f"the site has no gear type '{gear_id}'", remedy=nearest(gear_id, ids) or "add the gear type first"
        )
    return ids.index(gear_id)


def add_gear(site: Site, gear: GearType) -> Edit:
    """Add a copy of a gear type; one that is there in the same words is left alone.

    Raises
    ------
    UsageError
        The site has another version of it: `take_newer_gear` changes that.
    """
    same = [row for row in site.design.gear if row.id == gear.id]
    label = f"Add gear type {gear.name}"
    if same and same[0] == gear:
        return Edit(label, site, site, ())
    if same:
        raise UsageError(
            f"the site has another version of the gear type '{gear.id}'", remedy="take the newer one in its place"
        )
    return finished(label, site, with_rows(site, "design", "gear", add=(gear,)), (gear.id,))


def remove_gear(site: Site, gear_id: str) -> Edit:
    """Remove the copy of a gear type that nothing uses."""
    number = _number(site, gear_id)
    used = [use.row.id for use in uses_of(site.design, "gear", frozenset([gear_id]))]
    label = f"Remove gear type {site.design.gear[number].name}"
    if used:
        raise UsageError(f"{len(used)} things are of this type, such as {used[0]}", where=label)
    return finished(label, site, with_rows(site, "design", "gear", drop={number}), (gear_id,))


def drop_unused_gear(site: Site) -> Edit:
    """Remove the copies of all gear types that nothing uses."""
    ids = frozenset(row.id for row in site.design.gear)
    used: set[Any] = set()
    for use in uses_of(site.design, "gear", ids):
        used.add(getattr(use.row, use.reference.path))
    drop = {number: row.id for number, row in enumerate(site.design.gear) if row.id not in used}
    label = "Drop unused gear types"
    if not drop:
        return Edit(label, site, site, ())
    after = with_rows(site, "design", "gear", drop=frozenset(drop))
    return finished(label, site, after, tuple(drop.values()), remarks=tuple(f"{one} goes" for one in drop.values()))


def differences(old: Record, new: Record, place: str = "") -> Iterator[str]:
    """Yield what differs between two records of a kind: `pattern.gain_dbi: 16.0 -> 17.0`.

    Examples
    --------
    >>> from survey_app.site.gear_part import Ports
    >>> list(differences(Ports(count=1, speed_mbps=100), Ports(count=2, speed_mbps=100)))
    ['count: 1 -> 2']
    """
    for name in fields_of(type(old)):
        before, after = getattr(old, name), getattr(new, name)
        if before == after:
            continue
        if isinstance(before, Record) and type(before) is type(after):
            yield from differences(before, after, f"{place}{name}.")
        else:
            yield f"{place}{name}: {_said(before)} -> {_said(after)}"


def _said(value: Any) -> str:
    if value is None:
        return "null"
    if isinstance(value, Record):
        return "set"
    text = ", ".join(_said(one) for one in value) if isinstance(value, tuple) else str(value)
    return text if len(text) <= 80 else text[:79] + "…"


def take_newer_gear(site: Site, gear: GearType) -> Edit:
    """Take another version of a gear type that the site has; the remarks say what changed.

    Raises
    ------
    UnknownNameError, UsageError
        The site has no such type, or the new one is of another kind.
    """
    number = _number(site, gear.id)
    old = site.design.gear[number]
    label = f"Take newer {gear.name}"
    if type(old) is not type(gear):
        raise UsageError(f"'{gear.id}' is of the kind {old.kind} here and {gear.kind} there", where=label)
    if old == gear:
        return Edit(label, site, site, ())
    after = with_rows(site, "design", "gear", put={number: gear})
    return finished(label, site, after, (gear.id,), remarks=tuple(differences(old, gear)))


def replace_gear_type(site: Site, old_id: str, new_id: str, things: tuple[str, ...] | None = None) -> Edit:
    """Put one gear type in the place of another, over all things that use it or over chosen ones.

    A radio whose new unit has no connectors loses its antenna and feeder. The old copy goes when nothing uses it.

    Parameters
    ----------
    site : Site
        The site; it must have a copy of the new type already.
    old_id, new_id : str
        Gear ids.
    things : tuple of str or None
        Ids of the things to change; None = all that use the old type.
    """
    old, new = site.design.gear[_number(site, old_id)], site.design.gear[_number(site, new_id)]
    label = f"Replace {old.name} by {new.name}"
    if type(old) is not type(new):
        raise UsageError(f"'{old_id}' is of the kind {old.kind}, '{new_id}' of {new.kind}", where=label)
    uses = list(uses_of(site.design, "gear", frozenset([old_id])))
    if things is not None:
        strange = [one for one in things if one not in {use.row.id for use in uses}]
        if strange:
            raise UnknownNameError(f"'{strange[0]}' does not use the gear type '{old_id}'", where=label)
    chosen = [use for use in uses if things is None or use.row.id in things]
    if old_id == new_id or not chosen:
        return Edit(label, site, site, ())
    puts: dict[str, dict[int, Record]] = {}
    remarks: list[str] = []
    for use in chosen:
        rows = puts.setdefault(use.reference.holder, {})
        row = naming_instead(rows.get(use.number, use.row), use.reference, frozenset([old_id]), new_id, label)
        if isinstance(new, RadioType) and new.connectors == 0 and (use.row.antenna or use.row.feeder):
            row = rebuilt(row, label, antenna=None, feeder=None)
            remarks.append(f"radio {use.row.id} loses its antenna and feeder, the new unit has no connectors")
        rows[use.number] = row
    after = site
    for name, put in puts.items():
        after = with_rows(after, "design", name, put=put)
    touched = [use.row.id for use in chosen]
    if len(chosen) == len(uses):
        after = with_rows(after, "design", "gear", drop={_number(after, old_id)})
        touched.append(old_id)
    remarks.append(f"{len(set(touched) - {old_id})} things changed")
    return finished(label, site, after, tuple(dict.fromkeys(touched)), remarks=tuple(remarks))
