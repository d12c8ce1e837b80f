"""Gives a site its copies of the gear types that it names but does not carry."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from survey_app.site.gear_type import GearType, ProtectorType, SundryType
from survey_app.site.reference_table import KINDS, REFERENCES, named
from survey_app.site.site import Design, Site

__all__ = ["missing_copies", "with_copies"]

# A mount may leave its clamp and arm open: they are chosen from those that the site carries.
_CHOSEN = frozenset({"clamp", "arm"})


def missing_copies(design: Design, types: Iterable[GearType]) -> tuple[GearType, ...]:
    """Return the types that a design needs a copy of, by id: what it names, what it chooses from, what is counted.

    Parameters
    ----------
    design : Design
        The design; types that it names may be missing from its `gear`.
    types : iterable of GearType
        Types to take copies from, such as a catalogue. What is not among them is left missing.

    Returns
    -------
    tuple of GearType
        Types whose id the design does not carry: those that a thing names, every clamp and arm, the small part of
        every counting rule that it has none for, and the surge protectors where it has none.
    """
    carried = {row.id for row in design.gear}
    wanted = set(_named(design))
    rules = {row.rule for row in design.gear if isinstance(row, SundryType)}
    protected = any(isinstance(row, ProtectorType) for row in design.gear)
    found = {}
    for item in types:
        by_rule = isinstance(item, SundryType) and item.rule not in rules
        surge = isinstance(item, ProtectorType) and not protected
        if item.id not in carried and (item.id in wanted or item.kind in _CHOSEN or by_rule or surge):
            found[item.id] = item
    return tuple(found[key] for key in sorted(found))


def _named(design: Design) -> Iterator[str]:
    for reference in REFERENCES:
        if any(KINDS[kind].collection == "gear" for kind in reference.kinds):
            for row in getattr(design, reference.holder):
                yield from named(row, reference)


def with_copies(site: Site, types: Iterable[GearType]) -> Site:
    """Return the site with the copies that it misses; the same object where it misses none.

    What the site carries already stays as it is, also where `types` has a newer version of it.

    Examples
    --------
    >>> import datetime
    >>> from survey_app.site.new import new_site
    >>> site = new_site("Yard", as_of=datetime.date(2026, 12, 1))
    >>> with_copies(site, ()) is site
    True
    """
    more = missing_copies(site.design, types)
    if not more:
        return site
    design = Design(**{**site.design.__dict__, "gear": (*site.design.gear, *more)})
    return Site(**{**site.__dict__, "design": design})
