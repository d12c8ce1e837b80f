"""Where in its collection a row with an id stands, found once per collection and remembered."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

__all__ = ["numbers", "remember"]

# A remembered tuple is held, so that its id() cannot be given to another; a look-up compares with `is`.
# Emptied as a whole when full: that is rare, and needs no order and no lock.
_MOST = 128
_remembered: dict[int, tuple[tuple[Any, ...], Mapping[str, int]]] = {}


def numbers(rows: tuple[Any, ...]) -> Mapping[str, int]:
    """Return the number of every row by its id; of rows with the same id the last.

    Examples
    --------
    >>> from survey_app.site.radio import Hop
    >>> dict(numbers((Hop(id="H1", access_point="A", station="B"), Hop(id="H2", access_point="A", station="C"))))
    {'H1': 0, 'H2': 1}
    """
    entry = _remembered.get(id(rows))
    if entry is not None and entry[0] is rows:
        return entry[1]
    found = {row.id: number for number, row in enumerate(rows)}
    remember(rows, found)
    return found


def remember(rows: tuple[Any, ...], found: Mapping[str, int]) -> None:
    """Remember the numbers of a collection that somebody knows already."""
    if len(_remembered) >= _MOST:
        _remembered.clear()
    _remembered[id(rows)] = (rows, found)
