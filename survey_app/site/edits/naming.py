"""Ids and words of things: which ids are taken, the next free one, how people call a field."""

from __future__ import annotations

from collections.abc import Iterable

from survey_app.site.collection import every_thing
from survey_app.site.evidence import Evidence
from survey_app.site.record import unit_of
from survey_app.site.site import Site

__all__ = ["evidence_ids", "field_words", "fresh_id", "length_words"]


def evidence_ids(evidence: Evidence) -> frozenset[str]:
    """Return the ids of all things that evidence speaks of, also of those that are gone."""
    return frozenset(
        [row.hop for row in evidence.sights]
        + [row.hop for row in evidence.readings]
        + [row.subject for row in evidence.as_built]
        + [row.subject for row in evidence.acceptance]
        + [row.mount for row in evidence.scans]
        + [row.radio for row in evidence.bench]
        + [row.subject for row in evidence.walk_notes if row.subject is not None]
    )


def fresh_id(site: Site, prefix: str) -> str:
    """Return an id that no thing has and no evidence speaks of: the prefix and the next free number.

    Examples
    --------
    >>> import datetime
    >>> from survey_app.site.new import new_site
    >>> fresh_id(new_site("Yard", as_of=datetime.date(2026, 12, 1)), "M")
    'M1'
    """
    taken = evidence_ids(site.evidence) | {thing.id for _, _, thing in every_thing(site.design)}
    number = 1
    while f"{prefix}{number}" in taken:
        number += 1
    return f"{prefix}{number}"


def field_words(fields: Iterable[str]) -> str:
    """Return field names as words for people, without their units.

    Examples
    --------
    >>> field_words(["height_m", "height_reference"])
    'height and height reference'
    """
    units = (
        "m",
        "deg",
        "mhz",
        "dbm",
        "dbi",
        "db",
        "mbps",
        "mm",
        "us",
        "w",
        "v",
        "ohm",
        "hours",
        "days",
        "tb",
        "percent",
    )
    words = []
    for field in fields:
        name = field.replace(".", "_")
        head, _, last = name.rpartition("_")
        words.append((head if head and last in units and unit_of(name) else name).replace("_", " "))
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else "nothing"


_FOOT_M = 0.3048


def length_words(length_m: float, site: Site) -> str:
    """Return a length in the units that people of the site read: `4.2 m`, `13.8 ft`.

    Examples
    --------
    >>> import datetime
    >>> from survey_app.site.new import new_site
    >>> length_words(4.2, new_site("Yard", as_of=datetime.date(2026, 12, 1)))
    '4.2 m'
    """
    if site.design.units == "feet":
        return f"{length_m / _FOOT_M:.1f} ft"
    return f"{length_m:.1f} m" if length_m >= 0.05 or length_m == 0 else f"{length_m:.3f} m"
