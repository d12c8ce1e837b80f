"""What people call things in the name of a step: `Pole 3`, `mount M1`, `3 things`."""

from __future__ import annotations

from collections.abc import Iterable

from survey_app.site.edits.sharing import find_all
from survey_app.site.site import Site

__all__ = ["some", "spoken"]


def spoken(site: Site, ids: Iterable[str]) -> str:
    """Return what people call some things of a site."""
    found = find_all(site, ids)
    if len(found) != 1:
        return f"{len(found)} things"
    thing, word = found[0].thing, found[0].collection.word
    if found[0].collection.name == "structures" or thing.title.lower().startswith(word):
        return thing.title
    return f"{word} {thing.title}"


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
