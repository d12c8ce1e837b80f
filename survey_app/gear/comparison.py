"""What changed between two states of a gear type, such as a site's copy and today's catalogue."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from survey_app.gear.catalogue import Catalogue
from survey_app.site.gear_type import GearType

__all__ = ["GearChange", "compare", "compare_with_catalogue"]


@dataclass(frozen=True, slots=True)
class GearChange:
    """One field that differs.

    Parameters
    ----------
    gear : str
        Id of the type.
    field : str
        Path of the field, such as `pattern.gain_dbi` or `power_per_mcs_dbm[3]`; `""` for the whole type.
    old, new : object
        The two values; None where a side has no such value.
    """

    gear: str
    field: str
    old: Any
    new: Any


def compare(old: GearType, new: GearType) -> tuple[GearChange, ...]:
    """List the fields in which two types differ, in the order of the record.

    Examples
    --------
    >>> from survey_app.gear.catalogue import load_catalogue
    >>> catalogue = load_catalogue()
    >>> [c.field for c in compare(catalogue.find("coffer-30"), catalogue.find("coffer-50"))][-2:]
    ['glands', 'heat_k_per_w']
    """
    return tuple(GearChange(new.id, path, was, now) for path, was, now in _walk("", old.model_dump(), new.model_dump()))


def compare_with_catalogue(copies: Iterable[GearType], catalogue: Catalogue) -> tuple[GearChange, ...]:
    """List what differs between a site's copies and the catalogue; a type that the catalogue lacks is one row."""
    changes: list[GearChange] = []
    for copy in copies:
        if copy.id in catalogue:
            changes += compare(copy, catalogue.by_id[copy.id])
        else:
            changes.append(GearChange(copy.id, "", copy.name, None))
    return tuple(changes)


def _walk(path: str, old: Any, new: Any) -> list[tuple[str, Any, Any]]:
    if isinstance(old, dict) and isinstance(new, dict):
        keys = dict.fromkeys((*old, *new))
        return [row for key in keys for row in _walk(f"{path}.{key}".lstrip("."), old.get(key), new.get(key))]
    if isinstance(old, tuple) and isinstance(new, tuple) and len(old) == len(new):
        pairs = enumerate(zip(old, new, strict=True))
        return [row for number, (was, now) in pairs for row in _walk(f"{path}[{number}]", was, now)]
    return [] if old == new and type(old) is type(new) else [(path, old, new)]
