"""Edits by name with plain arguments: how a cure of a finding, or a script, asks for one."""

from __future__ import annotations

import datetime
import difflib
import inspect
from collections.abc import Callable, Mapping
from typing import Any

from survey_app.errors import UnknownNameError, UsageError
from survey_app.site.edits.adding import join, wire
from survey_app.site.edits.addressing import fill_addresses, set_address_plan
from survey_app.site.edits.corners import remove_corner
from survey_app.site.edits.edit import Edit
from survey_app.site.edits.gear import drop_unused_gear, remove_gear, replace_gear_type
from survey_app.site.edits.moving import move_by, set_height, slide
from survey_app.site.edits.radio import aim_by_hand, aim_computed, hang, lock_channel, set_channel, set_power
from survey_app.site.edits.removing import remove
from survey_app.site.edits.site_wide import change_design, set_as_of, set_defaults, set_region, set_revision
from survey_app.site.edits.state import set_status, withdraw_acceptance
from survey_app.site.edits.things import change, rename
from survey_app.site.site import Site

__all__ = ["NAMED_EDITS", "perform"]

Plain = str | float | int | bool | None


def _remove(site: Site, thing_id: str, cascade: bool = False) -> Edit:
    return remove(site, thing_id, cascade=cascade)


def _move_by(site: Site, thing_id: str, dx_m: float, dy_m: float) -> Edit:
    return move_by(site, thing_id, dx_m=dx_m, dy_m=dy_m)


def _set_as_of(site: Site, as_of: str) -> Edit:
    return set_as_of(site, _date(as_of))


def _set_status(site: Site, thing_id: str, status: Any, later_date: str | None = None) -> Edit:
    return set_status(site, thing_id, status=status, later_date=None if later_date is None else _date(later_date))


def _date(text: str) -> datetime.date:
    try:
        return datetime.date.fromisoformat(text)
    except (TypeError, ValueError):
        raise UsageError(f"'{text}' is not a date", remedy="write it year-month-day, such as 2026-12-01") from None


NAMED_EDITS: Mapping[str, Callable[..., Edit]] = {
    "aim_by_hand": aim_by_hand,
    "aim_computed": aim_computed,
    "change": change,
    "change_design": change_design,
    "drop_unused_gear": drop_unused_gear,
    "fill_addresses": fill_addresses,
    "hang": hang,
    "join": join,
    "lock_channel": lock_channel,
    "move_by": _move_by,
    "remove": _remove,
    "remove_corner": remove_corner,
    "remove_gear": remove_gear,
    "rename": rename,
    "replace_gear_type": replace_gear_type,
    "set_address_plan": set_address_plan,
    "set_as_of": _set_as_of,
    "set_channel": set_channel,
    "set_defaults": set_defaults,
    "set_height": set_height,
    "set_power": set_power,
    "set_region": set_region,
    "set_revision": set_revision,
    "set_status": _set_status,
    "slide": slide,
    "wire": wire,
    "withdraw_acceptance": withdraw_acceptance,
}
"""The edits that need nothing but words and numbers."""


def perform(site: Site, name: str, arguments: Mapping[str, Plain]) -> Edit:
    """Make the edit of that name.

    Parameters
    ----------
    site : Site
        The site.
    name : str
        Name of the edit.
    arguments : mapping of str to str, float, int, bool or None
        Its arguments by name, without the site.

    Raises
    ------
    UnknownNameError, UsageError
        There is no such edit, it does not take these arguments, or it refuses them.

    Examples
    --------
    >>> from survey_app.site.new import new_site
    >>> site = new_site("Yard", as_of=datetime.date(2026, 12, 1))
    >>> perform(site, "set_region", {"region": "EU"}).after.design.region
    'EU'
    """
    edit = NAMED_EDITS.get(name)
    if edit is None:
        close = difflib.get_close_matches(name, NAMED_EDITS, n=1)
        remedy = f"did you mean '{close[0]}'" if close else "name an edit"
        raise UnknownNameError(f"there is no edit '{name}'", remedy=remedy)
    try:
        inspect.signature(edit).bind(site, **arguments)
    except TypeError as error:
        raise UsageError(f"the edit '{name}' does not take these arguments ({error})") from None
    return edit(site, **arguments)
