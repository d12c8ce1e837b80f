"""Moments as people read them and as file names have them."""

from __future__ import annotations

import datetime

__all__ = ["now", "read_moment", "said_moment", "stamp"]


def now() -> datetime.datetime:
    """Return this moment, with its offset from UTC, to the second."""
    return datetime.datetime.now(datetime.UTC).astimezone().replace(microsecond=0)


def read_moment(text: object) -> datetime.datetime:
    """Read a moment with its offset.

    Raises
    ------
    ValueError
        It is none.

    Examples
    --------
    >>> read_moment("2026-11-27T07:12:00+01:00").hour
    7
    """
    if not isinstance(text, str):
        raise ValueError("is no moment")  # noqa: TRY004 - one kind of error for all that a file may hold
    moment = datetime.datetime.fromisoformat(text)
    if moment.tzinfo is None:
        raise ValueError("has no offset")
    return moment


def said_moment(moment: datetime.datetime) -> str:
    """Return a moment as people here read it."""
    try:
        return moment.astimezone().strftime("%Y-%m-%d %H:%M")
    except (OverflowError, ValueError, OSError):  # a damaged file may name a year that no clock here can show
        return moment.isoformat(timespec="minutes")


def stamp(moment: datetime.datetime) -> str:
    """Return a moment as part of a file's name that every system takes.

    Examples
    --------
    >>> stamp(datetime.datetime(2026, 11, 27, 7, 12, 5))
    '2026-11-27-071205'
    """
    return moment.strftime("%Y-%m-%d-%H%M%S")
