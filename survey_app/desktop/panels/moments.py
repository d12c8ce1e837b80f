"""Moments as people type and read them: date and time of day, with the offset from UTC that this computer has then."""

from __future__ import annotations

import datetime
import re

from survey_app.errors import UsageError

__all__ = ["read_moment", "written_moment"]

_DAY = r"(?P<day>\d{4}-\d\d-\d\d)"
_TIME = r"(?P<time>[01]?\d|2[0-3]):(?P<minute>[0-5]\d)(?::(?P<second>[0-5]\d))?"
_OFFSET = r"(?P<offset>Z|UTC|[+-]\d\d:?\d\d)"
_TYPED = re.compile(rf"(?:{_DAY}(?:T|\s+))?{_TIME}\s*{_OFFSET}?", re.ASCII | re.IGNORECASE)
_PLAIN = str.maketrans({"−": "-", "–": "-", "\u00a0": " ", "\u202f": " "})
_HOW = "write it as 2026-12-01 14:30, or 14:30 for today"


def read_moment(text: str, now: datetime.datetime) -> datetime.datetime | None:
    """Read a moment; without an offset it is one of this computer's clock, without a date one of today.

    Parameters
    ----------
    text : str
        What was typed; nothing means no moment.
    now : datetime
        The present moment, with its offset.

    Returns
    -------
    datetime or None
        The moment with its offset; None where nothing was typed.

    Raises
    ------
    UsageError
        It is none, or is later than now.
    """
    plain = " ".join(text.translate(_PLAIN).split())
    if not plain:
        return None
    found = _TYPED.fullmatch(plain)
    if found is None:
        raise UsageError(f"'{plain[:40]}' is not a date and time", remedy=_HOW)
    try:
        day = datetime.date.fromisoformat(found["day"]) if found["day"] else now.date()
        clock = datetime.time(int(found["time"]), int(found["minute"]), int(found["second"] or 0))
        # the offset of that day, which is another one in winter than in summer
        moment = datetime.datetime.combine(day, clock)
        moment = moment.astimezone() if found["offset"] is None else moment.replace(tzinfo=_zone(found["offset"]))
        is_later = moment > now
    except (ValueError, OverflowError, OSError):
        raise UsageError(f"'{plain[:40]}' is not a date and time", remedy=_HOW) from None
    if is_later:
        raise UsageError(f"{written_moment(moment)} is later than now: what was seen lies behind us")
    return moment


def _zone(offset: str) -> datetime.tzinfo:
    if offset.upper() in ("Z", "UTC"):
        return datetime.UTC
    sign = -1 if offset[0] == "-" else 1
    return datetime.timezone(sign * datetime.timedelta(hours=int(offset[1:3]), minutes=int(offset[-2:])))


def written_moment(moment: datetime.datetime | None) -> str:
    """Return a moment as it stands in its field and in lists; empty for none.

    Examples
    --------
    >>> written_moment(datetime.datetime.fromisoformat("2026-10-22T09:00:00-04:00"))
    '2026-10-22 09:00 −04:00'
    """
    if moment is None:
        return ""
    offset = moment.strftime("%z") or "+0000"
    return f"{moment:%Y-%m-%d %H:%M} {offset[:3].replace('-', '−')}:{offset[3:5]}"
