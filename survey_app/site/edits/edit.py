"""What an edit is: a name for people, the site before and after, what it touched."""

from __future__ import annotations

from typing import NamedTuple

from survey_app.errors import UsageError
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
) -> Edit:
    """Make the edit after checking that its references hold.

    Raises
    ------
    UsageError
        The edit would leave a reference without a thing of the right kind, or an id twice.
    """
    faults = check_touched(after, touched, before=before) if after is not before else ()
    if faults:
        raise UsageError(faults[0].sentence, where=f"{label}, {faults[0].place}", remedy="the site is unchanged")
    return Edit(label, before, after, touched, remarks, merge_key)
