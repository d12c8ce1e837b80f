"""Remove things, alone or with all that hangs on them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from survey_app.errors import UsageError
from survey_app.site.collection import COLLECTIONS, every_thing
from survey_app.site.edits.edit import Edit, finished
from survey_app.site.edits.following import naming_instead
from survey_app.site.edits.moving import titled
from survey_app.site.edits.naming import evidence_ids, field_words
from survey_app.site.edits.sharing import Found, find_all, with_rows
from survey_app.site.record import Record
from survey_app.site.reference_table import uses_of
from survey_app.site.shape import fields_of
from survey_app.site.site import Site
from survey_app.site.thing import Thing

__all__ = ["hanging_on", "remove"]


class _Removal(NamedTuple):
    gone: dict[str, dict[int, Thing]]
    """Rows that go, by collection and number."""
    cleared: dict[str, dict[int, Record]]
    """Rows that stay but lose a reference."""
    asked: frozenset[str]

    def others(self) -> Iterator[tuple[str, Thing]]:
        """Yield collection and thing for everything that goes along without having been asked for."""
        for name, rows in self.gone.items():
            yield from ((name, thing) for thing in rows.values() if thing.id not in self.asked)


def _removal(site: Site, asked: list[Found]) -> _Removal:
    gone: dict[str, dict[int, Thing]] = {}
    for found in asked:
        gone.setdefault(found.collection.name, {})[found.number] = found.thing
    frontier = {name: frozenset(thing.id for thing in rows.values()) for name, rows in gone.items()}
    while frontier:
        further: dict[str, set[str]] = {}
        for collection, ids in frontier.items():
            for use in uses_of(site.design, collection, ids):
                rows = gone.setdefault(use.reference.holder, {})
                if use.reference.on_removal == "goes" and use.number not in rows:
                    rows[use.number] = use.row
                    further.setdefault(use.reference.holder, set()).add(use.row.id)
        frontier = {name: frozenset(ids) for name, ids in further.items()}
    cleared: dict[str, dict[int, Record]] = {}
    for collection, things in gone.items():
        ids = frozenset(thing.id for thing in things.values())
        for use in uses_of(site.design, collection, ids):
            if use.number not in gone.get(use.reference.holder, {}):
                rows_left = cleared.setdefault(use.reference.holder, {})
                row = rows_left.get(use.number, use.row)
                rows_left[use.number] = naming_instead(row, use.reference, ids, None, "Remove")
    return _Removal(gone, cleared, frozenset(found.thing.id for found in asked))


_WORDS = {collection.name: collection.word for collection in COLLECTIONS}


def hanging_on(site: Site, *ids: str) -> tuple[str, ...]:
    """Return what would go along if the things were removed: `radio R1`, `hop H1`, in the order of the file."""
    others = _removal(site, find_all(site, ids)).others()
    return tuple(f"{_WORDS[name]} {thing.id}" for name, thing in others)


def _some(words: list[str]) -> str:
    shown = ", ".join(words[:6])
    return shown if len(words) <= 6 else f"{shown} and {len(words) - 6} more"


def remove(site: Site, *ids: str, cascade: bool = False) -> Edit:
    """Remove things; with `cascade` also everything that hangs on them.

    Where something else could do without them (a mount without its climb, a landmark that was seen from a mount) its
    reference is cleared and a remark says so. Evidence of what goes stays in the site.

    Parameters
    ----------
    site : Site
        The site.
    *ids : str
        The things.
    cascade : bool, default False
        Whether what hangs on them goes too; `remarks` names it.

    Raises
    ------
    UsageError
        Something hangs on them and `cascade` is not set; the message names it.
    """
    asked = find_all(site, ids)
    if not asked:
        return Edit("Remove nothing", site, site, ())
    removal = _removal(site, asked)
    others = [f"{_WORDS[name]} {thing.id}" for name, thing in removal.others()]
    title = titled(asked)
    if others and not cascade:
        raise UsageError(
            f"{_some(others)} would go along",
            where=f"Remove {title}",
            remedy="remove them first, or all of it together",
        )
    after, touched = site, []
    for name in _WORDS:
        drop, put = removal.gone.get(name, {}), removal.cleared.get(name, {})
        if drop or put:
            after = with_rows(after, "design", name, put=put, drop=frozenset(drop))
            touched += [thing.id for thing in drop.values()] + [_thing_id(row) for row in put.values()]
    remarks = [f"{other} goes along" for other in others]
    remarks += [
        f"{_WORDS[name]} {_thing_id(row)} loses its {_lost(getattr(site.design, name)[number], row)}"
        for name, rows in removal.cleared.items()
        for number, row in rows.items()
    ]
    kept = sorted(evidence_ids(site.evidence) & set(touched) - {thing.id for _, _, thing in every_thing(after.design)})
    remarks += [f"the evidence of {one} is kept" for one in kept]
    return finished(f"Remove {title}", site, after, tuple(touched), remarks=tuple(remarks))


def _thing_id(row: Record) -> str:
    assert isinstance(row, Thing)
    return row.id


def _lost(old: Record, new: Record) -> str:
    return field_words(name for name in fields_of(type(old)) if getattr(old, name) != getattr(new, name))
