"""The part of a site that a gesture touches, as a small site of its own: what moves can be followed frame by frame."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from survey_app.site.collection import COLLECTIONS, every_thing
from survey_app.site.edits.sharing import with_fields
from survey_app.site.reference_table import KINDS, Reference, named, references_of, uses_of
from survey_app.site.site import Site

__all__ = ["followers", "part_ids", "part_of"]

_THING_COLLECTIONS = tuple(collection.name for collection in COLLECTIONS)
_FOLLOW = frozenset(
    {
        "mounts",
        "cameras",
        "radios",
        "hops",
        "devices",
        "supplies",
        "wires",
        "rooms",
        "walls",
        "openings",
        "served_areas",
    }
)
"""Collections whose rows go where the thing goes that they name."""
_LEFT = frozenset({("landmarks", "seen_from"), ("photographs", "mount"), ("devices", "fed_from"), ("mounts", "climb")})
"""References that say nothing of where a thing is."""


def followers(site: Site, ids: Iterable[str]) -> frozenset[str]:
    """Return the ids of things with all that hangs on them: mounts, what hangs there, hops, wires."""
    held = {thing.id: collection.name for collection, _, thing in every_thing(site.design)}
    found = {one for one in ids if one in held}
    frontier: dict[str, set[str]] = {}
    for one in found:
        frontier.setdefault(held[one], set()).add(one)
    while frontier:
        further: dict[str, set[str]] = {}
        for collection, some in frontier.items():
            for use in uses_of(site.design, collection, frozenset(some)):
                reference = use.reference
                if reference.holder not in _FOLLOW or (reference.holder, reference.path) in _LEFT:
                    continue
                if use.row.id not in found:
                    found.add(use.row.id)
                    further.setdefault(reference.holder, set()).add(use.row.id)
        frontier = further
    return frozenset(found)


def part_ids(site: Site, ids: Iterable[str]) -> frozenset[str]:
    """Return the ids of things, of what hangs on them, and of all that any of those names.

    Parameters
    ----------
    site : Site
        The whole site.
    ids : iterable of str
        The things.
    """
    rows = {thing.id: (collection.name, thing) for collection, _, thing in every_thing(site.design)}
    wanted = set(followers(site, ids))
    stack = list(wanted)
    while stack:
        collection, thing = rows[stack.pop()]
        for reference in references_of(collection):
            if not _names_things(reference):
                continue
            for other in named(thing, reference):
                if other not in wanted and other in rows:
                    wanted.add(other)
                    stack.append(other)
    return frozenset(wanted)


def part_of(site: Site, ids: Collection[str]) -> Site:
    """Return a site of only the things with these ids; rows are the same objects, gear and figures are shared."""
    kept = {name: tuple([row for row in getattr(site.design, name) if row.id in ids]) for name in _THING_COLLECTIONS}
    return with_fields(site, design=with_fields(site.design, **kept))


def _names_things(reference: Reference) -> bool:
    return any(KINDS[kind].collection != "gear" for kind in reference.kinds)
