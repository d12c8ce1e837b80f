"""Ids and names of new things: `P3` is called Pole 3."""

from __future__ import annotations

from typing import NamedTuple

from survey_app.site.edits import fresh_id
from survey_app.site.site import Site

__all__ = ["Called", "called"]


class Called(NamedTuple):
    """Id and name of a new thing."""

    id: str
    name: str


def called(site: Site, prefix: str, word: str = "") -> Called:
    """Return the next free id and, where a word is given, the name that goes with it.

    Examples
    --------
    >>> import datetime
    >>> from survey_app.site.new import new_site
    >>> called(new_site("Yard", as_of=datetime.date(2026, 12, 1)), "P", "Pole")
    Called(id='P1', name='Pole 1')
    """
    new_id = fresh_id(site, prefix)
    return Called(new_id, f"{word} {new_id.removeprefix(prefix)}" if word else "")
