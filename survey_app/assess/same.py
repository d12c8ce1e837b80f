"""When two inputs of a piece of work cannot be told apart."""

from __future__ import annotations

import dataclasses
import datetime
import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from survey_app.site.record import Record

__all__ = ["alike", "same"]

_PLAIN = (str, int, bool, bytes, type(None))


def same(one: Any, other: Any) -> bool:
    """Return whether two inputs cannot be told apart: records are one object, scalars agree in type and in every bit.

    Parameters
    ----------
    one, other : object
        Records of the site or of an assessment; scalars, texts, arrays; tuples, mappings and dataclasses of them.

    Examples
    --------
    >>> same(0.0, -0.0), same(1, 1.0), same(float("nan"), float("nan")), same((1, "a"), (1, "a"))
    (False, False, True, True)
    """
    if one is other:
        return True
    kind = type(one)
    if kind is not type(other):
        return False
    if kind is float:
        return bool(one == other and math.copysign(1.0, one) == math.copysign(1.0, other)) or (
            one != one and other != other
        )
    if kind in _PLAIN:
        return bool(one == other)
    if isinstance(one, datetime.date):
        return bool(one == other)
    if isinstance(one, np.ndarray | np.generic):
        return bool(one.dtype == other.dtype and one.shape == other.shape and one.tobytes() == other.tobytes())
    if isinstance(one, tuple | list):
        return len(one) == len(other) and all(map(same, one, other))
    if isinstance(one, Mapping):
        return list(one) == list(other) and all(map(same, one.values(), other.values()))
    if dataclasses.is_dataclass(one):
        return all(same(getattr(one, f.name), getattr(other, f.name)) for f in dataclasses.fields(one))
    return False


def alike(one: Any, other: Any) -> bool:
    """Return whether two values hold the same: as `same`, but two records count as one where all their fields do.

    For answers, not for inputs: where a stage has made a row anew that says what the old one said, the old one stays.
    """
    if one is other:
        return True
    if type(one) is not type(other):
        return False
    if isinstance(one, Record):
        return all(alike(value, other.__dict__[name]) for name, value in one.__dict__.items())
    if isinstance(one, tuple):
        return len(one) == len(other) and all(map(alike, one, other))
    if dataclasses.is_dataclass(one):
        return all(alike(getattr(one, f.name), getattr(other, f.name)) for f in dataclasses.fields(one))
    return same(one, other)
