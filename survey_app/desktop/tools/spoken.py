"""Lists of things as part of a sentence."""

from __future__ import annotations

from collections.abc import Iterable

from survey_app.site.edits.moving import titled
from survey_app.site.edits.sharing import find_all
from survey_app.site.site import Site

__all__ = ["some", "spoken"]


def spoken(site: Site, ids: Iterable[str]) -> str:
    """Return what people call some things of a site: `Pole 3`, `Mount M1`, `3 things`."""
    return titled(find_all(site, ids))


def some(words: Iterable[str], most: int = 6) -> str:
    """Return words as a list of a sentence, the rest counted.

    Examples
    --------
    >>> some(["mount M1", "radio A1", "hop H1"]), some(["a", "b", "c"], most=2)
    ('mount M1, radio A1 and hop H1', 'a, b and 1 more')
    """
    rows = list(words)
    shown = rows[:most]
    if len(rows) > most:
        shown = [*shown, f"{len(rows) - most} more"]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}" if shown else "nothing"
