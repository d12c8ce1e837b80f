"""From arrays to the record: NaN becomes null, and every null says why."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any, Literal

from survey_app.assess.record import NullReason

__all__ = ["number", "refused", "unknown", "without"]


def number(value: Any) -> float | None:
    """Return a plain float, or None for NaN, infinity or None.

    Examples
    --------
    >>> number(float("nan")) is None, number(2)
    (True, 2.0)
    """
    if value is None:
        return None
    plain = float(value)
    return plain if math.isfinite(plain) else None


def _reasons(
    fields: Iterable[str], kind: Literal["unknown", "not_applicable", "refused"], sentence: str
) -> list[NullReason]:
    return [NullReason(field=field, kind=kind, sentence=sentence) for field in fields]


def unknown(fields: Iterable[str], sentence: str) -> list[NullReason]:
    """Say that fields are unknown, and what would make them known."""
    return _reasons(fields, "unknown", sentence)


def without(fields: Iterable[str], sentence: str) -> list[NullReason]:
    """Say that fields do not apply here."""
    return _reasons(fields, "not_applicable", sentence)


def refused(fields: Iterable[str], sentence: str) -> list[NullReason]:
    """Say that fields are refused: they could be computed but not trusted."""
    return _reasons(fields, "refused", sentence)
