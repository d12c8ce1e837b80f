"""The checksum of a design: what a sheet prints so that paper and file can be told apart."""

from __future__ import annotations

import hashlib
import json

from survey_app.site.plain import plain
from survey_app.site.site import Design

__all__ = ["checksum"]


def checksum(design: Design) -> str:
    """Return the checksum of a design: twelve hexadecimal digits in groups of four.

    It is taken over the design alone, so evidence does not change it, and over what differs from the defaults, so that
    a field that a later version adds does not change it either.

    Examples
    --------
    >>> import datetime
    >>> checksum(Design(name="Yard", as_of=datetime.date(2026, 12, 1)))
    '5C87 3901 0F4E'
    """
    text = json.dumps(plain(design), sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)
    digits = hashlib.sha256(text.encode("ascii")).hexdigest()[:12].upper()
    return " ".join(digits[start : start + 4] for start in (0, 4, 8))
