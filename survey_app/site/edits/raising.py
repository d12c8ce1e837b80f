"""Raising and lowering what hangs: the height of a mount, by so much."""

from __future__ import annotations

from survey_app.errors import UsageError
from survey_app.site.calling import called
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.naming import length_words
from survey_app.site.edits.sharing import find
from survey_app.site.edits.things import change
from survey_app.site.mount import Mount
from survey_app.site.site import Site

__all__ = ["raise_mount"]

_PLACES = 3


def raise_mount(site: Site, mount_id: str, by_m: float) -> Edit:
    """Raise a mount, or lower it; several steps of one mount make one with what they add up to.

    Parameters
    ----------
    site : Site
        The site.
    mount_id : str
        The mount; all that hangs on it goes along.
    by_m : float
        How far; negative lowers it. [m]

    Raises
    ------
    UnknownNameError, UsageError
        There is no such mount, or the height is refused.
    """
    mount = _mount(site, mount_id)
    edit = change(site, mount_id, height_m=round(mount.height_m + by_m, _PLACES))

    def label(first: Site, last: Site) -> str:
        by = _mount(last, mount_id).height_m - _mount(first, mount_id).height_m
        verb = "Raise" if by >= 0.0 else "Lower"
        return f"{verb} {called(_mount(last, mount_id))} by {length_words(abs(by), last)}"

    return edit._replace(label=label(site, edit.after), merge_key=f"raise {mount_id}", relabel=label)


def _mount(site: Site, mount_id: str) -> Mount:
    found = find(site, mount_id)
    if not isinstance(found.thing, Mount):
        raise UsageError("it is not a mount", where=found.title)
    return found.thing
