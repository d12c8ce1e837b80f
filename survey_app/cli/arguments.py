"""Arguments that several commands read alike."""

from __future__ import annotations

import contextlib
import datetime
import re

from survey_app.errors import UsageError

__all__ = ["date_of"]

_WRITTEN = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)


def date_of(text: str | None, where: str = "--date") -> datetime.date:
    """Return the date that an argument means; today without one.

    Raises
    ------
    UsageError
        It is not a date, or not written year-month-day.

    Examples
    --------
    >>> date_of("2026-12-01")
    datetime.date(2026, 12, 1)
    """
    if text is None:
        return datetime.date.today()
    with contextlib.suppress(ValueError):
        if _WRITTEN.fullmatch(text):
            return datetime.date.fromisoformat(text)
    raise UsageError(f"{text[:60]!r} is not a date", where=where, remedy="write YYYY-MM-DD such as 2026-12-01")
