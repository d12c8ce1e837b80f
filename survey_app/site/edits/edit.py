"""What an edit is: a name for people, the site before and after, what it touched."""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import NamedTuple

from survey_app.errors import UsageError
from survey_app.site.calling import called
from survey_app.site.collection import COLLECTIONS
from survey_app.site.edits.positions import whereabouts
from survey_app.site.numbers import numbers
from survey_app.site.references import check_touched
from survey_app.site.site import Site

__all__ = ["Edit", "finished"]


class Edit(NamedTuple):
    """One edit, not yet applied to anything: a pure function has made `after` from `before`.

    `after` shares with `before` all that was not touched. An edit that changes nothing has the same site twice.
    """

    label: str
    """What people read in the list of steps: `Set height of mount M1`."""
    before: Site
    after: Site
    touched: tuple[str, ...]
    """Ids of the things and gear types that were added, changed or removed; empty for site-wide figures."""
    remarks: tuple[str, ...] = ()
    """What else came with it, one clause each: what went along, which reference was cleared."""
    merge_key: str = ""
    """Edits that follow each other with the same key make one step; empty = always a step of its own."""

    relabel: Callable[[Site, Site], str] | None = None
    """Makes the label of the step that several joined edits are, from the site before the first and after the last."""

    def joined_label(self, first: Site) -> str:
        """Return the label of a step that began with another site and ends with this edit."""
        return self.label if self.relabel is None else self.relabel(first, self.after)

    @property
    def changes_nothing(self) -> bool:
        """Whether the site is the same before and after."""
        return self.after is self.before


def finished(
    label: str,
    before: Site,
    after: Site,
    touched: tuple[str, ...],
    *,
    remarks: tuple[str, ...] = (),
    merge_key: str = "",
    relabel: Callable[[Site, Site], str] | None = None,
    following: Collection[str] = (),
) -> Edit:
    """Make the edit after checking that its references hold and that nothing locked is moved or goes.

    Parameters
    ----------
    label, before, after, touched, remarks, merge_key, relabel
        As `Edit` has them.
    following : collection of str
        Ids of things whose words change with what they name (a new id, a new number of the same wall), while they
        stay where they are: of these a lock is not asked.

    Raises
    ------
    UsageError
        The edit would leave a reference without a thing of the right kind, or an id twice, or it moves or removes a
        locked thing.
    """
    if after is not before:
        _check_locks(label, before, after, [one for one in touched if one not in following])
    faults = check_touched(after, touched, before=before) if after is not before else ()
    if faults:
        raise UsageError(faults[0].sentence, where=f"{label}, {faults[0].place}", remedy="the site is unchanged")
    return Edit(label, before, after, touched, remarks, merge_key, relabel)


def _check_locks(label: str, before: Site, after: Site, touched: list[str]) -> None:
    for collection in COLLECTIONS:
        old, new = getattr(before.design, collection.name), getattr(after.design, collection.name)
        if new is old:
            continue
        for one in touched:
            number = numbers(old).get(one)
            if number is None or not old[number].locked:
                continue
            kept = numbers(new).get(one)
            if kept is None or whereabouts(new[kept]) != whereabouts(old[number]):
                raise UsageError(f"{called(old[number])} is locked", where=label, remedy="unlock it first")
